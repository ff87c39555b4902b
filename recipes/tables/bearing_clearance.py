"""Radial internal clearance of deep groove ball bearings before they are fitted, ISO 5753-1."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal, cast

from recipes.tables.reader import TableError, TableRow, band, finite, load_table

Group = Literal["C2", "normal", "C3", "C4"]

#: Every group that the table holds, from tight to loose.
GROUPS: Final[tuple[Group, ...]] = ("C2", "normal", "C3", "C4")


@dataclass(frozen=True)
class InternalClearance(TableRow):
    """Clearance of one group at one bore, in um across the bearing."""

    group: str
    bore_mm: float
    least_um: float
    most_um: float
    source: str


def internal_clearance(bore: float, group: Group) -> InternalClearance:
    """Return the clearance of a group.

    Args:
        bore: of the bearing, mm, above 2.5 up to and including 65.
        group: as the bearing's suffix says; "normal" without one.

    Raises:
        TableError: for a bore that the table does not hold.
    """
    table = load_table("iso5753_clearance.csv")
    cells = band(table, finite("bore", bore, "mm"), lambda row: row.text("group") == group)
    if cells is None:
        raise TableError(f"no clearance of group {group} for a bore of {bore:g} mm; 2.5 to 65 mm")
    least, most = cells.number("least_um"), cells.number("most_um")
    return InternalClearance(group, bore, least, most, table.citation)


def group_of(suffix: str) -> Group | None:
    """Return the group that a bearing's suffix names; None where it says nothing."""
    found = re.search(r"C([234])(?!\d)", suffix.upper())
    return cast("Group", f"C{found[1]}") if found else None
