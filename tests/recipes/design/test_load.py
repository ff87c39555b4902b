import math
from pathlib import Path

import pytest

from recipes.design.load import BadInput, load, parse, validate
from recipes.design.starter import NAMES, starter_text
from tests.support.design import design, raw


def faults(**changes: object) -> dict[str, str]:
    with pytest.raises(BadInput) as caught:
        design(**changes)
    return {f.field: f.message + " | " + f.fix for f in caught.value.findings}


@pytest.mark.parametrize("name", NAMES)
def test_starters_are_valid(name: str) -> None:
    assert parse(starter_text(name)).motor.slots in (12, 18, 24)


def test_inches_and_texts_become_mm() -> None:
    d = design("wool-spinner")
    assert d.lamination.outer_diameter == pytest.approx(3.5 * 25.4)  # 1 in = 25.4 mm, ISO 31-1
    assert d.lamination.sheet_thickness == pytest.approx(0.35)
    assert d.liner.overhang == pytest.approx(5.0)
    other = design(lamination__slot_opening="1/8 in")
    assert other.lamination.slot_opening == pytest.approx(3.175)


def test_all_faults_come_at_once_with_field_limit_and_fix() -> None:
    found = faults(
        motor__slots=200, lamination__outer_diameter=-3, winding__turns="many", hub__spokess=1
    )
    assert set(found) == {
        "motor.slots",
        "lamination.outer_diameter",
        "winding.turns",
        "hub.spokess",
    }
    assert "at most 120" in found["motor.slots"]
    assert "at least 15 mm" in found["lamination.outer_diameter"]
    assert "did you mean 'spokes'" in found["hub.spokess"]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e308, True, "", "3 kg", "wide", [1], {}, None.__class__])  # fmt: skip
def test_lengths_refuse_what_is_no_length(value: object) -> None:
    assert set(faults(lamination__slot_depth=value)) == {"lamination.slot_depth"}


@pytest.mark.parametrize(
    "name",
    ["", " ", "../up", "a/b", "a\\b", "C:", "nul", "CON", ".hidden", "x" * 61, "tab\there", "..", "---"],
)  # fmt: skip
def test_names_that_are_no_folder_are_refused(name: str) -> None:
    assert set(faults(name=name)) == {"name"}


@pytest.mark.parametrize(("name", "slug"), [("Potter's wheel", "potters-wheel"), ("Öl  Pumpe 2", "öl-pumpe-2")])  # fmt: skip
def test_names_become_folders(name: str, slug: str) -> None:
    assert design(name=name).slug == slug


def test_missing_tables_and_keys_are_named() -> None:
    tables = raw()
    del tables["axle"], tables["motor"]["poles"]
    with pytest.raises(BadInput) as caught:
        validate(tables)
    assert {f.field for f in caught.value.findings} == {"axle", "motor.poles"}
    assert all("missing" in f.message for f in caught.value.findings)


def test_odd_poles_name_their_even_neighbours() -> None:
    assert "26 or 28" in faults(motor__poles=27)["motor.poles"]


def test_files_that_are_no_design(tmp_path: Path) -> None:
    cases = {
        "missing.toml": None,
        "binary.toml": b"\x00\xff\xfe\x80" * 40,
        "broken.toml": b"name = 'x'\n[motor\n",
        "empty.toml": b"",
        "deep.toml": b"a = " + b"[" * 3000,
        "huge.toml": b"# " + b"x" * 1_100_000,
        "list.toml": b"motor = 3\nname = 'x'\n",
    }
    for file, data in cases.items():
        path = tmp_path / file
        if data is not None:
            path.write_bytes(data)
        with pytest.raises(BadInput) as caught:
            load(path)
        assert all(f.message and f.fix for f in caught.value.findings), file
    with pytest.raises(BadInput, match="folder"):
        load(tmp_path)


def test_seats_out_of_range_are_counted_from_one() -> None:
    seats = [{"from_face": 22, "length": 14}, {"from_face": -1, "length": 14}]
    assert set(faults(axle__seats=seats)) == {"axle.seats[2].from_face"}
