"""What insulation has to hold: creepage distance (IEC 60664-1)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, finite, load_table

MATERIAL_GROUPS: Final = ("I", "II", "III")
"""By comparative tracking index: I from 600, II from 400, III from 100 (IEC 60664-1)."""

POLLUTION_DEGREES: Final = (1, 2, 3)
"""1 sealed, 2 dry dust that may sweat now and then, 3 conductive or often wet (IEC 60664-1)."""


@dataclass(frozen=True)
class Creepage(TableRow):
    """Least distance along a surface; ``row_voltage_V`` is the table row that was used."""

    voltage_V: float
    row_voltage_V: float
    pollution_degree: int
    material_group: str
    distance_mm: float
    confidence: Confidence
    source: str


def creepage(voltage_V: float, pollution_degree: int = 3, material_group: str = "III") -> Creepage:
    """Return the least creepage distance against tracking.

    Args:
        voltage_V: working voltage, r.m.s. or DC, above 0 up to 400 V. Between two rows the next
            higher one counts.
        pollution_degree: 1, 2 or 3 (default, the strict end).
        material_group: "I", "II" or "III" (default, the strict end); no matter in degree 1.

    Raises:
        TableError: for a value outside these ranges.

    Source: IEC 60664-1:2007 Table F.4. It says nothing of clearance in air or of safety: above
    60 V DC follow local rules and ask a qualified person.
    """
    voltage = finite("voltage_V", voltage_V, "V")
    if pollution_degree not in POLLUTION_DEGREES or isinstance(pollution_degree, bool):
        raise TableError(f"pollution_degree = {pollution_degree!r} must be 1, 2 or 3")
    if material_group not in MATERIAL_GROUPS:
        raise TableError(f"material_group = {material_group!r} must be 'I', 'II' or 'III'")
    table = load_table("iec60664_creepage.csv")
    cells = next((row for row in table.rows if row.number("voltage_V") >= voltage), None)
    if cells is None or voltage <= 0.0:
        raise TableError(
            f"voltage_V = {voltage:g} is outside the table (above 0 up to "
            f"{table.rows[-1].text('voltage_V')} V); above that ask a qualified person"
        )
    column = "pd1" if pollution_degree == 1 else f"pd{pollution_degree}_{material_group}"
    return Creepage(
        voltage_V=voltage,
        row_voltage_V=cells.number("voltage_V"),
        pollution_degree=pollution_degree,
        material_group=material_group,
        distance_mm=cells.number(column),
        confidence="standard",
        source=f"{table.citation} Table F.4",
    )
