"""Fifty bad design files: each is refused by field and fix, without traceback, and harms nothing."""

import math
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from recipes.cli.commands import run
from recipes.design.load import BadInput, parse, validate
from tests.support.design import raw

BAD: dict[str, tuple[dict[str, Any], str]] = {
    "slots as text": ({"motor__slots": "24"}, "motor.slots"),
    "slots as float": ({"motor__slots": 24.5}, "motor.slots"),
    "slots as bool": ({"motor__slots": True}, "motor.slots"),
    "too few slots": ({"motor__slots": 2}, "motor.slots"),
    "too many slots": ({"motor__slots": 123}, "motor.slots"),
    "slots not of three": ({"motor__slots": 25}, "motor"),
    "odd poles": ({"motor__poles": 27}, "motor.poles"),
    "poles like slots": ({"motor__poles": 24}, "motor"),
    "no poles": ({"motor__poles": None}, "motor.poles"),
    "voltage as text": ({"motor__supply_voltage": "48 V"}, "motor.supply_voltage"),
    "no voltage at all": ({"motor__supply_voltage": 0}, "motor.supply_voltage"),
    "nan current": ({"motor__phase_current": math.nan}, "motor.phase_current"),
    "infinite speed": ({"motor__top_speed": math.inf}, "motor.top_speed"),
    "unknown duty": ({"motor__duty": "resting"}, "motor.duty"),
    "misspelt key": ({"lamination__tooth_widht": 7.0}, "lamination.tooth_widht"),
    "unknown table": ({"magnets": {"n": 3}}, "magnets"),
    "table as number": ({"hub": 3}, "hub"),
    "list as table": ({"winding": [1, 2]}, "winding"),
    "negative diameter": ({"lamination__outer_diameter": -150}, "lamination.outer_diameter"),
    "zero diameter": ({"lamination__outer_diameter": 0}, "lamination.outer_diameter"),
    "huge diameter": ({"lamination__outer_diameter": 1e300}, "lamination.outer_diameter"),
    "length in kilograms": ({"lamination__slot_depth": "18 kg"}, "lamination.slot_depth"),
    "length without number": ({"lamination__slot_depth": "deep"}, "lamination.slot_depth"),
    "empty length": ({"lamination__slot_depth": ""}, "lamination.slot_depth"),
    "nan length": ({"lamination__slot_depth": math.nan}, "lamination.slot_depth"),
    "bore through the slots": ({"lamination__bore_diameter": 120, "hub__spokes": None}, "lamination.bore_diameter"),
    "bore larger than sheet": ({"lamination__bore_diameter": 400}, "hub"),
    "slot deeper than sheet": ({"lamination__slot_depth": 80}, "lamination.slot_depth"),
    "tooth wider than tip": ({"lamination__tooth_width": 18}, "lamination.tooth_width"),
    "teeth meet at the root": ({"lamination__tooth_width": 15.2}, "lamination.tooth_width"),
    "opening wider than pitch": ({"lamination__slot_opening": 25}, "lamination.slot_opening"),
    "opening too narrow for wire": ({"lamination__slot_opening": 1.2}, "lamination.slot_opening"),
    "opening too narrow to cut": ({"lamination__slot_opening": 0.6}, "lamination.slot_opening"),
    "round larger than wall": ({"lamination__root_radius": 9}, "lamination.root_radius"),
    "lip round too large": ({"lamination__tip_inner_radius": 3}, "lamination.tip_inner_radius"),
    "tip angle too steep": ({"lamination__tip_angle": 75}, "lamination.tip_angle"),
    "no tooth width": ({"lamination__tooth_width": None}, "lamination.tooth_width"),
    "parallel slots without width": ({"lamination__slot_shape": "parallel slots"}, "lamination.slot_width"),
    "unknown slot shape": ({"lamination__slot_shape": "pear"}, "lamination.slot_shape"),
    "arms meet": ({"hub__spokes": {"count": 6, "width": 40}}, "hub.spokes.width"),
    "arms without yoke": ({"hub__yoke_thickness": None}, "hub.yoke_thickness"),
    "window corners too round": ({"hub__spokes": {"count": 6, "width": 9, "fillet_radius": 30}}, "hub.spokes"),
    "bolts in the slots": ({"hub__bolts": {"count": 6, "circle_diameter": 125, "hole_diameter": 4}}, "hub.bolts"),
    "bolts through windows": ({"hub__bolts": {"count": 12, "circle_diameter": 70, "hole_diameter": 8}}, "hub"),
    "rotation that moves keys": ({"hub__rotation_step": 5}, "hub.rotation_step"),
    "tabs that do not divide": ({"lamination__tab_notch": {"count": 5}}, "lamination.tab_notch"),
    "liner too thick": ({"liner__thickness": 1.0, "wedge__thickness": 0}, "lamination.slot_opening"),
    "cuff longer than overhang": ({"liner__cuff": 9}, "liner.overhang"),
    "overhang below creepage": ({"liner__overhang": 0.2, "liner__cuff": 0}, "liner.overhang"),
    "wedge wider than slot": ({"wedge__overlap": 9}, "wedge.overlap"),
    "wire of no size": ({"winding__wire": "0.77 mm"}, "winding.wire"),
    "wire of no sense": ({"winding__wire": "thick"}, "winding.wire"),
    "grade 9": ({"winding__grade": 9}, "winding.grade"),
    "too many turns": ({"winding__turns": 90}, "winding.turns"),
    "no turns": ({"winding__turns": 0}, "winding.turns"),
    "one bearing seat": ({"axle__seats": [{"from_face": 22, "length": 14}]}, "axle.seats"),
    "bearing that is none": ({"axle__bearing": "9999"}, "axle.bearing"),
    "slot in the bearing seat": ({"axle__wire_slot": {"from_face": 20, "length": 22, "width": 8}}, "axle"),
    "bore wider than axle": ({"axle__bore_diameter": 26}, "axle"),
    "stock too thin": ({"axle__stock_diameter": 30}, "axle.stock_diameter"),
    "seat outside the axle": ({"axle__length": 100}, "axle"),
    "supply of a house": ({"motor__supply_voltage": 620}, "motor.supply_voltage"),
    "printer that shrinks by half": ({"print__measured_x": 50}, "print.measured_x"),
    "name with a path": ({"name": "../../etc/passwd"}, "name"),
}  # fmt: skip


@pytest.fixture(scope="module")
def earlier(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack of the good design, which no bad one may touch."""
    folder = tmp_path_factory.mktemp("earlier")
    good = folder / "good.toml"
    good.write_text(tomli_w.dumps(raw()))
    assert run(["build", str(good), "--no-solids", "--out", str(folder / "out")]) == 0
    return folder


def content(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.parametrize("case", BAD)
def test_bad_designs_are_refused_by_field_and_fix(case: str, earlier: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    changes, field = BAD[case]
    file = earlier / "bad.toml"
    file.write_text(tomli_w.dumps(raw(**changes)))
    before = content(earlier / "out")
    for command in (["check", str(file)], ["build", str(file), "--out", str(earlier / "out")]):
        capsys.readouterr()
        status = run(command)
        seen = capsys.readouterr()
        text = seen.out + seen.err
        assert status in (1, 2), text
        stops = [line for line in text.splitlines() if line.startswith(" STOP")]
        assert any(field in line for line in stops), text
        assert "fix:" in text
        assert "Traceback" not in text
    assert content(earlier / "out") == before


def test_files_that_cannot_be_read(earlier: Path, capsys: pytest.CaptureFixture[str]) -> None:
    missing, junk, folder = earlier / "none.toml", earlier / "junk.toml", earlier / "folder.toml"
    junk.write_bytes(bytes(range(256)) * 9)
    folder.mkdir()
    for path in (missing, junk, folder):
        for command in ("check", "build"):
            assert run([command, str(path)]) == 2
            assert "Traceback" not in capsys.readouterr().err


def test_a_folder_that_cannot_be_written(earlier: Path, capsys: pytest.CaptureFixture[str]) -> None:
    blocked = earlier / "blocked"
    blocked.write_text("a file where the folder should be")
    status = run(["build", str(earlier / "good.toml"), "--no-solids", "--out", str(blocked)])
    assert status == 2
    assert "Traceback" not in capsys.readouterr().err
    assert blocked.read_text() == "a file where the folder should be"


def test_thousands_of_unknown_keys_are_one_finding() -> None:
    with pytest.raises(BadInput) as refused:
        parse("".join(f"k{i} = 1\n" for i in range(5000)) + "[motor]\nslot = 1\n")
    unknown = [f for f in refused.value.findings if "key" in f.message]
    assert [f.field for f in unknown] == ["motor.slot", "file"]
    assert "5000 keys that do not exist: k0, k1, k2 and 4997 more" in unknown[1].message


def test_thousands_of_faults_end_with_a_count() -> None:
    with pytest.raises(BadInput) as refused:
        parse("[axle]\nseats = [" + "1," * 5000 + "]\n")
    assert len(refused.value.findings) == 201
    assert refused.value.findings[-1].message.endswith("more faults like these")


@pytest.mark.parametrize("text", ["a." * 90_000 + "a = 1", "x = {" + "b . " * 300 + "b = 2}"])
def test_keys_of_many_parts_are_refused_before_they_are_parsed(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("recipes.design.load.tomllib.loads", lambda _: pytest.fail("parsed"))
    with pytest.raises(BadInput, match="nested too deeply"):
        parse(text)


def test_no_sentence_of_a_library_reaches_the_user() -> None:
    wrong = {
        "name": 3,
        "motor": {"slots": "twelve"},
        "axle": {"seats": 4, "wire_slot": True},
        "ends": {"end_cap": 1.5},
    }
    with pytest.raises(BadInput) as refused:
        validate(wrong)
    texts = [f"{f.message} {f.fix}" for f in refused.value.findings]
    assert len(texts) > 10
    assert not [t for t in texts if "nput should" in t or "instance of" in t or "valid " in t]
    cap = next(f for f in refused.value.findings if f.field == "ends.end_cap")
    assert cap.fix == "write a table of keys, such as { key = value }"
