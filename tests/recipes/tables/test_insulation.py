"""Creepage distances and thermal classes against published tables."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest

from recipes.tables.insulation import MATERIAL_GROUPS, creepage
from recipes.tables.reader import TableError, load_table
from tests.places import ROOT


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


COLUMNS = {
    "PD1": (1, "III"),
    "PD2_group_I": (2, "I"),
    "PD2_group_II": (2, "II"),
    "PD2_group_III": (2, "III"),
    "PD3_group_I": (3, "I"),
    "PD3_group_II": (3, "II"),
    "PD3_group_III": (3, "III"),
}


@pytest.mark.parametrize("row", reference("iec60664_creepage_mm.csv"), ids=lambda r: r["V_rms"])
def test_creepage_equals_the_published_table(row: dict[str, str]) -> None:
    """IEC 60664-1 Table F.4."""
    for column, (degree, group) in COLUMNS.items():
        found = creepage(float(row["V_rms"]), degree, group)
        assert found.distance_mm == float(row[column])
        assert found.row_voltage_V == float(row["V_rms"])


def test_every_column_rises_with_voltage_and_dirt_and_group() -> None:
    rows = load_table("iec60664_creepage.csv").rows
    assert len(rows) == 17
    columns = ("pd1", "pd2_I", "pd2_II", "pd2_III", "pd3_I", "pd3_II", "pd3_III")
    for low, high in pairwise(rows):
        assert low.number("voltage_V") < high.number("voltage_V")
        for column in columns:
            assert low.number(column) < high.number(column)
    for row in rows:
        distances = [row.number(column) for column in columns]
        assert distances == sorted(distances)
        assert distances[0] < distances[1]
        assert distances[3] < distances[4]


def test_voltages_are_the_r10_series() -> None:
    """IEC 60664-1 takes its voltages from R10: steps of 10**(1/10), rounded."""
    for k, row in enumerate(load_table("iec60664_creepage.csv").rows):
        assert row.number("voltage_V") == pytest.approx(10.0 ** (1.0 + k / 10.0), rel=0.02)


def test_between_two_rows_the_higher_one_counts() -> None:
    assert creepage(54.6, 2, "III").row_voltage_V == 63.0
    assert creepage(54.6, 2, "III").distance_mm == 1.25
    assert creepage(63.0, 2, "III").distance_mm == 1.25
    assert creepage(63.1, 2, "III").distance_mm == 1.30


def test_the_strict_end_is_the_default() -> None:
    plain = creepage(47.0)
    others = [creepage(47.0, d, g) for d in (1, 2, 3) for g in MATERIAL_GROUPS]
    assert plain.distance_mm == max(other.distance_mm for other in others) == 1.9


@pytest.mark.parametrize(
    ("voltage", "degree", "group", "part"),
    [
        (0.0, 3, "III", "voltage_V = 0 is outside the table"),
        (-5.0, 3, "III", "voltage_V = -5"),
        (400.5, 3, "III", "up to 400 V); above that ask a qualified person"),
        (math.nan, 3, "III", "voltage_V = nan"),
        (47.0, 4, "III", "pollution_degree = 4 must be 1, 2 or 3"),
        (47.0, True, "III", "pollution_degree = True"),
        (47.0, 3, "IIIa", "material_group = 'IIIa'"),
    ],
)
def test_what_is_outside_is_refused(voltage: float, degree: int, group: str, part: str) -> None:
    with pytest.raises(TableError) as caught:
        creepage(voltage, degree, group)
    assert part in str(caught.value)
