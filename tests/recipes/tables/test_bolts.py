"""Bolts, plates and general tolerances against published copies of their standards."""

import csv

import pytest

from recipes.tables.bolts import BOLT_LENGTHS, bolt, bolt_length
from recipes.tables.general_tolerance import general_tolerance
from recipes.tables.plates import plate
from recipes.tables.reader import TableError
from tests.places import ROOT

REFERENCE = ROOT / "tests" / "reference"


def rows(name: str) -> list[dict[str, str]]:
    text = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in text if not line.startswith("#")))


@pytest.mark.parametrize("row", rows("iso273_holes.csv"), ids=lambda r: r["thread"])
def test_clearance_holes_are_those_of_iso_273(row: dict[str, str]) -> None:
    size = bolt(row["thread"])
    for kind in ("fine", "medium", "coarse"):
        assert size.hole(kind) == float(row[kind])


@pytest.mark.parametrize("row", rows("iso4762_heads.csv"), ids=lambda r: r["thread"])
def test_socket_heads_are_those_of_iso_4762(row: dict[str, str]) -> None:
    size = bolt(row["thread"])
    assert size.head("socket") == (float(row["head_diameter"]), float(row["head_height"]))
    assert size.pitch_mm == float(row["pitch"])


@pytest.mark.parametrize("row", rows("iso4032_nuts.csv"), ids=lambda r: r["thread"])
def test_nuts_are_those_of_iso_4032(row: dict[str, str]) -> None:
    """Hexagon heads of ISO 4014 are as wide across flats as the nut (common practice)."""
    size = bolt(row["thread"])
    assert (size.nut_high_mm, size.flats_mm) == (float(row["height"]), float(row["flats"]))


@pytest.mark.parametrize("row", rows("iso2768_linear_mm.csv"), ids=lambda r: r["over_mm"])
def test_general_tolerances_are_those_of_iso_2768(row: dict[str, str]) -> None:
    middle = (float(row["over_mm"]) + float(row["up_to_mm"])) / 2
    for size in (middle, float(row["up_to_mm"])):
        for grade in ("f", "m", "c"):
            assert general_tolerance(size, grade) == float(row[grade])


def test_a_length_below_the_table_takes_its_first_row() -> None:
    assert general_tolerance(0.2, "m") == 0.1


def test_a_length_beyond_the_table_is_refused() -> None:
    with pytest.raises(TableError, match="2000"):
        general_tolerance(2001.0, "m")


def test_bolts_come_in_the_lengths_of_the_data_handbook() -> None:
    """Mechanical Engineer's Data Handbook, table 8.2.4: standard bolt lengths; 75 is no longer sold."""
    named = [20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120, 130, 140, 150]
    assert [v for v in BOLT_LENGTHS if 20 <= v <= 150] == named


@pytest.mark.parametrize(
    ("least", "most", "length"), [(23.4, 99, 25), (25, 25, 25), (123.4, 1e9, 130), (201, 1e9, None)]
)
def test_the_shortest_bolt_that_does(least: float, most: float, length: float | None) -> None:
    assert bolt_length(least, most) == length


def test_an_unknown_thread_names_the_known_ones() -> None:
    with pytest.raises(TableError, match=r"M2.5, M3, M4"):
        bolt("M7")


def test_a_plate_goes_by_all_its_names() -> None:
    assert plate("6082-t6") == plate("EN AW-6082 T651")
    assert plate("S235").density_kg_per_m3 == 7850


def test_an_unknown_plate_names_its_neighbours() -> None:
    with pytest.raises(TableError, match="5083"):
        plate("5084 H111")
