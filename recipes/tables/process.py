"""What a way of cutting can do: least features, tolerance, kerf, spacing, by design guides."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

from geometry.finding import Confidence
from recipes.design.shop import Shop
from recipes.tables.reader import TableError, TableRow, load_table


@dataclass(frozen=True)
class Process(TableRow):
    """One way of cutting sheet.

    Lengths in mm; `_t` figures are multiples of the sheet thickness. `kerf_full_width_mm` is the
    whole width of the cut; `tolerance_mm` is plus and minus on any size; `edge_t` is the least
    distance of a hole from an edge. `source` is that of least features and tolerance.
    """

    name: str
    kerf_full_width_mm: float
    tolerance_mm: float
    least_hole_mm: float
    least_hole_t: float
    least_slot_mm: float
    least_web_mm: float
    least_web_t: float
    edge_t: float
    least_corner_radius_mm: float
    part_gap_mm: float
    sheet_margin_mm: float
    dxf_version: str
    confidence: Confidence
    source: str
    kerf_source: str
    spacing_source: str
    version_source: str

    def hole(self, thickness: float) -> float:
        """Least hole diameter in mm for a sheet of `thickness` mm."""
        return max(self.least_hole_mm, self.least_hole_t * thickness)

    def slot(self, thickness: float) -> float:
        """Least width of a slot in mm; a cutter that needs no pierced hole cuts it narrower."""
        return max(self.least_slot_mm, self.hole(thickness) if self.least_hole_t else 0.0)

    def web(self, thickness: float) -> float:
        """Least width of material between two cuts in mm."""
        return max(self.least_web_mm, self.least_web_t * thickness)

    def edge(self, thickness: float) -> float:
        """Least distance of a hole from the outer edge in mm."""
        return max(self.least_web_mm, self.edge_t * thickness)


def process(name: str) -> Process:
    """Return a process by name; TableError names the known ones."""
    known = _processes()
    if name not in known:
        raise TableError(f"process {name!r} is unknown; known: {', '.join(known)}")
    return known[name]


def gap_of(shop: Shop) -> float:
    """Return the gap between two parts on a blank, mm."""
    return shop.part_gap if shop.part_gap is not None else process(shop.process).part_gap_mm


@cache
def _processes() -> dict[str, Process]:
    table = load_table("processes.csv")
    numbers = [f.name for f in fields(Process) if f.type == "float"]
    found = (
        Process(
            name=row.text("name"),
            dxf_version=row.text("dxf_version"),
            confidence="practice",
            source=table.source(row),
            kerf_source=table.header[f"kerf {row.text('source')}"],
            spacing_source=table.header[f"spacing {row.text('source')}"],
            version_source=table.header[f"version {row.text('source')}"],
            **{name: row.number(name) for name in numbers},
        )
        for row in table.rows
    )
    return {process.name: process for process in found}
