"""Every grade of EN 10106 against two published copies, its own name and its neighbours."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest

from recipes.tables.reader import TableError, load_table
from recipes.tables.steel import Steel, steel_grade
from tests.places import ROOT

STEELS = [steel_grade(row.text("grade")) for row in load_table("en10106_grades.csv").rows]


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", reference("en10106_grades.csv"), ids=lambda row: row["grade"])
def test_grades_equal_the_published_table(row: dict[str, str]) -> None:
    """EN 10106 Table 2, copies of the DIN EN table; two rows from memory."""
    steel = steel_grade(row["grade"])
    found = [
        steel.thickness_mm,
        steel.loss_w_per_kg_1T5_50Hz,
        steel.loss_w_per_kg_1T0_50Hz,
        steel.polarization_2500_T,
        steel.polarization_5000_T,
        steel.polarization_10000_T,
        steel.density_kg_per_m3 / 1000.0,
        steel.min_stacking_factor,
    ]
    assert found == pytest.approx([float(text) for text in list(row.values())[1:9]], abs=1e-9)
    assert ("from memory" in row["source"]) == ("from memory" in steel.source)


def test_the_table_has_no_other_grades() -> None:
    names = [row["grade"] for row in reference("en10106_grades.csv")]
    assert [steel.name for steel in STEELS] == names
    assert len(names) == 27


@pytest.mark.parametrize("steel", STEELS, ids=lambda steel: steel.name)
def test_the_name_tells_loss_and_thickness(steel: Steel) -> None:
    """EN 10106: M, 100 x loss at 1.5 T and 50 Hz, 100 x thickness, A for fully processed."""
    loss, thickness = round(100 * steel.loss_w_per_kg_1T5_50Hz), round(100 * steel.thickness_mm)
    assert steel.name == f"M{loss}-{thickness}A"


@pytest.mark.parametrize("steel", STEELS, ids=lambda steel: steel.name)
def test_a_grade_is_possible(steel: Steel) -> None:
    assert 1.2 < steel.polarization_2500_T < steel.polarization_5000_T
    assert steel.polarization_5000_T < steel.polarization_10000_T < 2.0
    # loss rises between linearly and with the cube of the flux density
    ratio = steel.loss_w_per_kg_1T5_50Hz / steel.loss_w_per_kg_1T0_50Hz
    assert 1.5 < ratio < 1.5**3
    assert 7550.0 < steel.density_kg_per_m3 < 7900.0
    assert steel.min_stacking_factor == (0.95 if steel.thickness_mm == 0.35 else 0.97)
    # classical eddy loss, pi^2 B^2 f^2 t^2 / (6 rho), at the resistivity of plain iron
    volume_loss = (math.pi * 1.5 * 50.0 * steel.thickness_mm / 1000.0) ** 2 / (6.0 * 0.6e-6)
    assert volume_loss / steel.density_kg_per_m3 < steel.loss_w_per_kg_1T5_50Hz


def test_within_a_thickness_more_loss_means_less_silicon() -> None:
    """Less silicon: never less density, never less polarization (EN 10106 Table 2)."""
    for thickness in (0.35, 0.50, 0.65):
        rows = [steel for steel in STEELS if steel.thickness_mm == thickness]
        assert len(rows) >= 5
        for better, worse in pairwise(rows):
            assert better.loss_w_per_kg_1T5_50Hz < worse.loss_w_per_kg_1T5_50Hz
            assert better.loss_w_per_kg_1T0_50Hz < worse.loss_w_per_kg_1T0_50Hz
            assert better.density_kg_per_m3 <= worse.density_kg_per_m3
            assert better.polarization_2500_T <= worse.polarization_2500_T
            assert better.polarization_5000_T <= worse.polarization_5000_T
            assert better.polarization_10000_T <= worse.polarization_10000_T


def test_blanks_and_case_do_not_matter() -> None:
    assert steel_grade(" m330-35a ") is steel_grade("M330-35A") is steel_grade("M330 -35A")


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("M330", "M330-35A, M330-50A, M330-65A"),
        ("M330-35", "M330-35A"),
        ("M271-50A", "M270-50A"),
        ("NO20", "M"),
        ("", "M"),
        (None, "M"),
    ],
)
def test_an_unknown_grade_is_refused_with_the_nearest(name: str, near: str) -> None:
    with pytest.raises(TableError, match="is not an EN 10106 grade; nearest: ") as caught:
        steel_grade(name)
    assert near in str(caught.value).split("nearest: ")[1]
    assert repr(name) in str(caught.value)
