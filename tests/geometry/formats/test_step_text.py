"""Text of STEP files: strings in any alphabet, and files that are damaged."""

from __future__ import annotations

import random
from typing import Any

import pytest

from geometry.formats.step_read import StepError, decode_text, planar_loops, read_step
from geometry.formats.step_write import encode_text, write_step
from geometry.outline import Outline, Region
from geometry.solids import Extruded
from tests.support.solids import SLOT, axle, lamination


@pytest.fixture(scope="module")
def sheet_file() -> bytes:
    return write_step(Extruded(lamination(18), 17.3), name="lamination", payload="p" * 500)


def test_strings_follow_the_standard() -> None:
    # ISO 10303-21, strings (from memory): apostrophe and reverse solidus doubled, \\X2\\ for other alphabets
    assert encode_text("it's A\\B") == "'it''s A\\\\B'"
    assert encode_text("Ø µ") == "'\\X2\\00D8\\X0\\ \\X2\\00B5\\X0\\'"
    assert decode_text("'\\X2\\00D800B5\\X0\\ \\X\\B0'") == "Øµ °"
    with pytest.raises(StepError, match="wrong code"):
        decode_text("'\\X2\\00D\\X0\\'")


@pytest.mark.parametrize("name", ["Ø 82 'stator' \\ A", "ротор 𝛀", "a;b/*c*/#1=(", "x" * 200])
def test_any_name_survives(name: str) -> None:
    data = write_step(Extruded(Region(Outline.rectangle(3.1, 2.2)), 1.7), name=name)
    data.decode("ascii")
    assert read_step(data).product_names == (name,)
    assert decode_text(encode_text(name)) == name


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda d: d[:0], "does not start with ISO-10303-21"),
        (lambda d: b"0\nSECTION\n" + d, "does not start with ISO-10303-21"),
        (lambda d: d[:1500] + b"\xff\xfe" + d[1500:], "no text"),
        (lambda d: d[: len(d) // 2], "expected, found"),
        (lambda d: d.replace(b"END-ISO-10303-21;", b""), "found the end of the file"),
        (lambda d: d.replace(b"FILE_SCHEMA", b"FILE_SKETCH"), "names no schema"),
        (lambda d: d.replace(b"\n#21 =", b"\n#20 ="), "#20 is defined twice"),
        (lambda d: d.replace(b"VERTEX_POINT('',#", b"VERTEX_POINT('',#9999", 1), "used but not in"),
        (lambda d: d.replace(b"VERTEX_POINT('',#", b"VERTEX_POINT('',", 1), "should be a point"),
        (lambda d: d.replace(b"VERTEX_POINT(", b"VERTEX_LOOP(", 1), "VERTEX_POINT expected here"),
        (lambda d: d.replace(b"LENGTH_UNIT()", b"RATIO_UNIT()"), "names no length unit"),
        (lambda d: d.replace(b"CARTESIAN_POINT('',(", b"CARTESIAN_POINT('',("
                             b"1.,", 3), "three coordinates"),
        (lambda d: d.replace(b"EDGE_CURVE('',#", b"EDGE_CURVE(('',#", 1), "cannot read"),
    ],
)  # fmt: skip
def test_broken_files_are_refused(spoil: Any, says: str, sheet_file: bytes) -> None:
    with pytest.raises(StepError, match=says):
        read_step(spoil(sheet_file))


def test_random_damage_never_raises_anything_else() -> None:
    data = write_step(axle(SLOT), name="axle")
    dice = random.Random(20)
    refused = 0
    for _ in range(150):
        bad = bytearray(data)
        for _ in range(dice.randrange(1, 9)):
            at = dice.randrange(len(bad))
            bad[at : at + dice.randrange(0, 4)] = dice.choice([b"#", b"(", b"'", b";", b"", b"9"])
        try:
            planar_loops(read_step(bytes(bad)), 0.0)
        except StepError:
            refused += 1
    assert refused > 50
