"""Electrical steel sheet for laminations: guaranteed values of EN 10106.

A grade reads "M" + 100 x loss in W/kg (1.5 T, 50 Hz) + "-" + 100 x thickness in mm + "A".
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, load_table, nearest_names


@dataclass(frozen=True)
class Steel(TableRow):
    """One grade of fully processed, non-oriented sheet.

    Losses are the greatest allowed, polarizations (at 2500, 5000 and 10000 A/m) and stacking factor
    the least. The stacking factor is that of pressed, coated mill stock: a hand-glued stack reaches
    0.90 to 0.95 (common practice).
    """

    name: str
    thickness_mm: float
    loss_w_per_kg_1T5_50Hz: float
    loss_w_per_kg_1T0_50Hz: float
    polarization_2500_T: float
    polarization_5000_T: float
    polarization_10000_T: float
    density_kg_per_m3: float
    min_stacking_factor: float
    confidence: Confidence
    source: str


def steel_grade(name: str) -> Steel:
    """Return an EN 10106 grade by its ``name``, such as "M330-35A" (blanks and case do not matter).

    Raises TableError for an unknown name; the nearest ones are named.
    Source: EN 10106:1995 Table 2.
    """
    asked = "".join(name.split()).upper() if isinstance(name, str) else ""
    grades = _grades()
    if asked not in grades:
        near = ", ".join(nearest_names(asked, tuple(grades)))
        raise TableError(f"steel {name!r} is not an EN 10106 grade; nearest: {near}")
    return grades[asked]


@cache
def _grades() -> dict[str, Steel]:
    table = load_table("en10106_grades.csv")
    return {
        cells.text("grade"): Steel(
            name=cells.text("grade"),
            thickness_mm=cells.number("thickness_mm"),
            loss_w_per_kg_1T5_50Hz=cells.number("loss_1T5_50Hz_w_per_kg"),
            loss_w_per_kg_1T0_50Hz=cells.number("loss_1T0_50Hz_w_per_kg"),
            polarization_2500_T=cells.number("j2500_T"),
            polarization_5000_T=cells.number("j5000_T"),
            polarization_10000_T=cells.number("j10000_T"),
            density_kg_per_m3=cells.number("density_kg_per_m3"),
            min_stacking_factor=cells.number("min_stacking_factor"),
            confidence="standard",
            source=table.source(cells),
        )
        for cells in table.rows
    }
