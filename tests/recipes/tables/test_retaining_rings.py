"""Retaining rings against a maker's sheet of grooves and against the arithmetic of DIN 471 itself."""

from __future__ import annotations

import csv
import math

import pytest

from recipes.tables.reader import TableError, load_table
from recipes.tables.retaining_rings import GROOVE_YIELD, RetainingRing, retaining_ring
from tests.places import ROOT


def rings() -> list[RetainingRing]:
    rows = load_table("din471_rings.csv").rows
    return [retaining_ring(row.number("shaft_mm")) for row in rows]


def maker() -> list[dict[str, str]]:
    text = (ROOT / "tests" / "reference" / "din471_groove_load.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.mark.parametrize("row", maker(), ids=lambda r: r["shaft"])
def test_grooves_equal_a_makers_sheet(row: dict[str, str]) -> None:
    """Diameters alike; the sheet's loads have one factor to the standard's, 1.46 to 1.54."""
    ring = retaining_ring(float(row["shaft"]))
    assert ring.groove_mm == float(row["groove"])
    assert 1.45 < float(row["load_kgf"]) * 9.80665e-3 / ring.groove_load_kN < 1.55


@pytest.mark.parametrize("ring", rings(), ids=lambda r: f"{r.shaft_mm:g}")
def test_columns_of_one_row_agree(ring: RetainingRing) -> None:
    """Depth t = (d1 - d2) / 2; FN = yield x ring area / 1.2 (DIN 471 section 7: edge n = 3 t)."""
    assert ring.depth_mm == pytest.approx((ring.shaft_mm - ring.groove_mm) / 2, abs=1e-9)
    area = math.pi / 4 * (ring.shaft_mm**2 - ring.groove_mm**2)
    share = 0.05 if ring.shaft_mm > 9 else 0.25  # kN in two digits
    assert ring.groove_load_kN == pytest.approx(GROOVE_YIELD * area / 1.2e3, rel=share)
    assert ring.edge_mm == pytest.approx(3 * ring.depth_mm, abs=0.06)
    assert 0.1 - 1e-9 <= ring.width_mm - ring.thickness_mm <= 0.15 + 1e-9
    assert ring.chamfer_load_kN < ring.ring_load_kN


def test_groove_tolerance_is_h10_to_9_h11_to_22_h12_above() -> None:
    """IT by ISO 286-1: h10 of 3 to 6 mm 48 um, h11 of 10 to 18 110, 18 to 30 130, h12 210, 250."""
    under = {r.shaft_mm: r.groove_under_mm for r in rings()}
    assert [under[d] for d in (6, 9, 12, 20, 25, 40, 60, 100)] == [
        0.048, 0.06, 0.11, 0.13, 0.21, 0.25, 0.3, 0.35,
    ]  # fmt: skip


def test_words_and_what_is_not_a_ring() -> None:
    assert retaining_ring(25).designation == "DIN 471 - 25x1.2"
    with pytest.raises(TableError, match="nearest are 22 and 24 mm"):
        retaining_ring(22.9)
