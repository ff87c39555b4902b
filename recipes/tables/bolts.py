"""Metric bolts with coarse thread: clearance holes, heads, nuts, lengths that are sold."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from typing import Final, Literal

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, load_table

Hole = Literal["fine", "medium", "coarse"]
Head = Literal["socket", "hexagon"]

#: Lengths of bolts in mm (ISO 888; from memory, 20 to 150 also in Mechanical Engineer's Data
#: Handbook table 8.2.4).
BOLT_LENGTHS: Final = (
    *(6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0),
    *(80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0),
)


@dataclass(frozen=True)
class Bolt(TableRow):
    """One size of bolt, mm; `fine_mm`, `medium_mm`, `coarse_mm` are its clearance holes."""

    thread: str
    nominal_mm: float
    pitch_mm: float
    fine_mm: float
    medium_mm: float
    coarse_mm: float
    socket_head_mm: float
    socket_high_mm: float
    flats_mm: float
    hexagon_high_mm: float
    nut_high_mm: float
    washer_high_mm: float
    confidence: Confidence
    source: str

    def hole(self, kind: Hole) -> float:
        """Return the diameter of a clearance hole, mm (ISO 273)."""
        return {"fine": self.fine_mm, "medium": self.medium_mm, "coarse": self.coarse_mm}[kind]

    def head(self, kind: Head) -> tuple[float, float]:
        """Return the diameter (across corners) and the height of a head, mm."""
        if kind == "socket":
            return self.socket_head_mm, self.socket_high_mm
        return round(self.flats_mm * 2 / 3**0.5, 2), self.hexagon_high_mm

    @property
    def tap_drill_mm(self) -> float:
        """Drill for the thread: nominal less pitch (common practice)."""
        return round(self.nominal_mm - self.pitch_mm, 2)


def bolt(thread: str) -> Bolt:
    """Return a bolt by its thread, such as "M5"; TableError names the known ones."""
    known = _bolts()
    if thread not in known:
        raise TableError(f"thread {thread!r} is not in the table; known: {', '.join(known)}")
    return known[thread]


def bolt_length(least: float, most: float) -> float | None:
    """Return the shortest length sold between two limits in mm; None if there is none."""
    return next((length for length in BOLT_LENGTHS if least <= length <= most), None)


@cache
def _bolts() -> dict[str, Bolt]:
    table = load_table("bolts.csv")
    numbers = [f.name for f in fields(Bolt) if f.type == "float"]
    return {
        row.text("thread"): Bolt(
            thread=row.text("thread"),
            confidence="standard",
            source=table.source(row),
            **{name: row.number(name) for name in numbers},
        )
        for row in table.rows
    }
