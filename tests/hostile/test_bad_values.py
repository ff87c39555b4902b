"""Values that a design file can hold and no field should: each is refused by its field."""

from __future__ import annotations

import pytest

from recipes.design.load import BadInput, parse
from recipes.design.starter import starter_text
from tests.support.paths import faults_of_path

GOOD = starter_text("potters-wheel")
NAME, SLOTS, SIZE = 'name = "Potter\'s wheel"', "slots = 24", "outer_diameter = 150"

BAD: dict[str, tuple[str, str]] = {
    "lists without end": ("a = " + "[" * 100_000, "nested too deeply"),
    "lists that do end": (GOOD.replace(SLOTS, f"slots = {'[' * 300}{']' * 300}"), "motor.slots"),
    "tables in tables": ("a = " + "{b = " * 200 + "1" + "}" * 200, "nested too deeply"),
    "a key of many dots": (".".join("a" * 3000) + " = 1", "nested too deeply"),
    "a head of many dots": ("[" + ".".join("a" * 5000) + "]", "nested too deeply"),
    "a number of 5000 digits": (GOOD.replace(SLOTS, "slots = " + "9" * 5000), "5000 digits"),
    "a count of 24 000 bits": (GOOD.replace(SLOTS, "slots = 0x" + "f" * 6000), "motor.slots"),
    "a length of 24 000 bits": (GOOD.replace(SIZE, "outer_diameter = 0x" + "f" * 6000), "lamination.outer_diameter"),
    "a figure of 65 bits": (GOOD.replace("top_speed = 240", f"top_speed = {2**64}"), "motor.top_speed"),
    "units of 24 000 bits": (GOOD.replace('units = "mm"', "units = 0x" + "f" * 6000), "units"),
    "a wire of 65 bits": (GOOD.replace('wire = "0.85 mm"', f"wire = {2**64}"), "winding.wire"),
    "a length beyond floats": (GOOD.replace(SIZE, "outer_diameter = 1e999"), "lamination.outer_diameter"),
    "a text beyond floats": (GOOD.replace(SIZE, 'outer_diameter = "1e999 mm"'), "lamination.outer_diameter"),
    "minus nothing": (GOOD.replace(SIZE, "outer_diameter = -0.0"), "lamination.outer_diameter"),
    "a wire that is no number": (GOOD.replace('wire = "0.85 mm"', "wire = nan"), "winding.wire"),
    "a date for a count": (GOOD.replace(SLOTS, "slots = 2024-05-27"), "motor.slots"),
    "a time for a name": (GOOD.replace(NAME, "name = 10:20:30"), "name"),
    "a terminal's colours in a name": (GOOD.replace(NAME, r'name = "a\u001b[31mb"'), "name"),
    "a line end in a lead's name": (GOOD.replace('"Hall"', r'"Hall\nx"'), "axle.leads[2].name"),
    "a bell in a note": (GOOD.replace(NAME, NAME + '\nnotes = "a\\u0007"'), "notes"),
    "a terminal's colours in a key": (GOOD + '\n"\\u001b[31m" = 1\n', "print.\\x1b[31m"),
    "a key of 100 000 letters": (GOOD + "\n" + "k" * 100_000 + " = 1\n", "print.kkkk"),
    "no letters in a name": (GOOD.replace(NAME, 'name = "---"'), "name"),
    "letters without width": (GOOD.replace(NAME, r'name = "\u200b\u200b"'), "name"),
    "a path as a name": (GOOD.replace(NAME, 'name = "../../etc"'), "name"),
    "an absolute path as a name": (GOOD.replace(NAME, 'name = "/tmp/x"'), "name"),
    "a path of Windows as a name": (GOOD.replace(NAME, r'name = "..\\x"'), "name"),
    "a drive as a name": (GOOD.replace(NAME, 'name = "c:x"'), "name"),
    "a home as a name": (GOOD.replace(NAME, 'name = ".."'), "name"),
    "300 letters": (GOOD.replace(NAME, f'name = "{"a" * 300}"'), "name"),
    "61 letters of four bytes": (GOOD.replace(NAME, f'name = "{chr(0x20000) * 61}"'), "name"),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD)
def test_the_field_is_named_and_the_line_can_be_printed(case: str) -> None:
    text, field = BAD[case]
    with pytest.raises(BadInput) as caught:
        parse(text)
    lines = [f.message for f in caught.value.findings]
    assert any(field in line for line in lines), lines
    for f in caught.value.findings:
        assert f.fix
        assert f.message.isprintable(), f.message
        assert len(f.message) < 400, f.message


@pytest.mark.parametrize(
    "name",
    ["con", "CON.", "Aux!", "nul ", "com1", "'lpt9'", "com¹", "PRN...", "conin$", "com1.txt"],
)
def test_devices_of_windows_are_refused_or_harmless(name: str) -> None:
    text = GOOD.replace(NAME, f'name = "{name}"')
    if name in ("conin$", "com1.txt"):  # become conin and com1-txt, which are none
        assert faults_of_path(parse(text).slug) == []
    else:
        with pytest.raises(BadInput, match="device"):
            parse(text)


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Töpferscheibe 2", "töpferscheibe-2"),
        ("cafe\u0301 «noir»", "café-noir"),  # one letter and its accent, as macOS writes them
        ("電動機 – 24/28".replace("/", "÷"), "電動機-24-28"),
        ("гребной винт", "гребной-винт"),
        ("wheel 🛞 of clay", "wheel-of-clay"),
        ("ab\u202ecd", "ab-cd"),
        ("İstanbul", "i-stanbul"),
        (" spaced . out. ", "spaced-out"),
        (chr(0x20000) * 60, chr(0x20000) * 60),
    ],
)
def test_names_in_any_script_become_folders_on_every_system(name: str, slug: str) -> None:
    found = parse(GOOD.replace(NAME, f'name = "{name}"')).slug
    assert found == slug
    assert faults_of_path(found) == []


def test_a_note_may_have_several_lines() -> None:
    design = parse(GOOD.replace(NAME, NAME + '\nnotes = """one\n\ttwo"""'))
    assert design.notes == "one\n\ttwo"
