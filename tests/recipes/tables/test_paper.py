"""Slot papers against the makers' sheets they were taken from."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest

from recipes.tables.paper import list_papers, nearest_papers, paper
from recipes.tables.reader import TableError
from tests.places import ROOT


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_aramid_equals_the_data_sheet() -> None:
    """Aramid paper type 410, Table I: AC rapid rise, ASTM D149."""
    rows = reference("aramid_paper_410.csv")
    assert len(rows) == len([row for row in list_papers() if row.kind == "aramid"]) == 11
    for row in rows:
        found = paper("aramid", float(row["thickness_mm"]))
        assert found.ac_strength_kv_per_mm == float(row["ac_rapid_rise_kV_mm"])
        assert found.strength_is == "typical"


def test_polyester_equals_the_makers_sheet() -> None:
    """Least electric strength of a polyester film for insulation, GB/T 1408.1."""
    rows = reference("polyester_film.csv")
    assert len(rows) == len([row for row in list_papers() if row.strength_is == "minimum"]) == 10
    for row in rows:
        found = paper("polyester", f"{row['thickness_um']} um")
        assert found.ac_strength_kv_per_mm == float(row["ac_strength_min_V_um"])


def test_aramid_is_named_in_mil_as_well() -> None:
    """The data sheet names each thickness in mil and in mm rounded to 0.01 mm."""
    for row in list_papers():
        if row.kind == "aramid":
            assert row.thickness_mil is not None
            assert row.thickness_mm == pytest.approx(row.thickness_mil * 0.0254, abs=0.0067)
            assert paper("aramid", f"{row.thickness_mil:g} mil") is row


@pytest.mark.parametrize("kind", ["aramid", "polyester"])
def test_each_kind_rises_and_is_plausible(kind: str) -> None:
    rows = [row for row in list_papers() if row.kind == kind]
    assert len(rows) >= 11
    for thin, thick in pairwise(rows):
        assert thin.thickness_mm < thick.thickness_mm
    for row in rows:
        assert (row.ac_strength_kv_per_mm is None) == (row.strength_is is None)
        assert row.class_C == {"aramid": 220, "polyester": 130}[kind]
        if row.ac_strength_kv_per_mm is not None:
            assert 15.0 < row.ac_strength_kv_per_mm < 130.0


def test_a_thin_film_is_stronger_for_its_thickness_but_holds_less() -> None:
    """The volume effect of breakdown: kV/mm falls, kV rises with thickness (common practice)."""
    rows = [row for row in list_papers() if row.kind == "polyester" and row.strength_is]
    for thin, thick in pairwise(rows):
        assert thin.ac_strength_kv_per_mm is not None
        assert thick.ac_strength_kv_per_mm is not None
        assert thin.ac_strength_kv_per_mm > thick.ac_strength_kv_per_mm
        held = [row.thickness_mm * (row.ac_strength_kv_per_mm or 0.0) for row in (thin, thick)]
        assert held[0] < 1.03 * held[1]  # the sheet prints whole kV/mm


@pytest.mark.parametrize(
    ("kind", "thickness", "mm"),
    [
        ("aramid", 0.25, 0.25),
        ("aramid", "0.25 mm", 0.25),
        ("Aramid 410", "10 mil", 0.25),
        ("aramid paper", "0.005 in", 0.13),
        ("aramid", "0.127 mm", 0.13),
        ("polyester film", "0.125 mm", 0.125),
        ("PET", "188 um", 0.188),
    ],
)
def test_papers_are_found_as_people_write_them(
    kind: str, thickness: float | str, mm: float
) -> None:
    assert paper(kind, thickness).thickness_mm == mm


def test_a_bare_number_in_an_inch_design_is_in_inches() -> None:
    assert paper("aramid", 0.007, "in").thickness_mm == 0.18


@pytest.mark.parametrize(
    ("kind", "thickness", "parts"),
    [
        ("aramid", 0.2, ["aramid 0.2 mm", "0.18 mm and 0.25 mm"]),
        ("polyester", "0.19 mm", ["polyester 0.19 mm", "0.188 mm and 0.2 mm"]),
        ("aramid", 3.0, ["0.73 mm and 0.76 mm"]),
        ("mica", 0.2, ["'mica'", "'aramid' or 'polyester'"]),
        (None, 0.2, ["None", "'aramid' or 'polyester'"]),
        ("aramid", "thick", ["'thick'", "0.35 mm"]),
        ("aramid", math.nan, ["nan"]),
    ],
)
def test_an_unknown_paper_is_refused_with_the_nearest(
    kind: str, thickness: float | str, parts: list[str]
) -> None:
    with pytest.raises(ValueError, match=r"mm|choose") as caught:
        paper(kind, thickness)
    for part in parts:
        assert part in str(caught.value)


def test_nearest_papers_of_both_kinds() -> None:
    found = [(row.kind, row.thickness_mm) for row in nearest_papers(0.19)]
    expected = [("polyester", 0.188), ("aramid", 0.18), ("polyester", 0.2), ("polyester", 0.175)]
    assert found == expected
    assert [row.thickness_mm for row in nearest_papers(5.0, 2)] == [0.76, 0.73]


def test_of_equally_near_papers_the_thinner_comes_first_then_aramid() -> None:
    found = [(row.kind, row.thickness_mm) for row in nearest_papers(0.275, 4)]
    expected = [("aramid", 0.25), ("polyester", 0.25), ("aramid", 0.3), ("polyester", 0.3)]
    assert found == expected


@pytest.mark.parametrize("wrong", [0.0, -0.2, math.nan, True])
def test_a_thickness_that_cannot_be_is_refused(wrong: float) -> None:
    with pytest.raises(TableError, match="thickness_mm"):
        nearest_papers(wrong)
