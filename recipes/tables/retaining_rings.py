"""Retaining rings for shafts to DIN 471, normal type: ring, groove and what both bear along the axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, finite, load_table

#: Yield of the shaft for which DIN 471 gives the load of the groove, MPa.
GROOVE_YIELD: Final = 200.0

#: H13 of a groove's width in mm, by the greatest width that it holds for (ISO 286-2).
H13: Final = ((3.0, 0.14), (6.0, 0.18))


@dataclass(frozen=True)
class RetainingRing(TableRow):
    """A ring by its shaft: sizes in mm, loads in kN without safety.

    The groove is `groove_mm` across, or up to `groove_under_mm` less, at least `width_mm` wide and
    `edge_mm` from an edge. `groove_load_kN` holds for a shaft of 200 MPa yield, `ring_load_kN` for a
    part with a sharp edge, `chamfer_load_kN` for one with a chamfer of `chamfer_mm`.
    """

    shaft_mm: float
    thickness_mm: float
    groove_mm: float
    groove_under_mm: float
    width_mm: float
    width_over_mm: float
    depth_mm: float
    edge_mm: float
    groove_load_kN: float
    ring_load_kN: float
    chamfer_mm: float
    chamfer_load_kN: float
    confidence: Confidence
    source: str

    @property
    def designation(self) -> str:
        """Name for an order, such as "DIN 471 - 25x1.2"."""
        return f"DIN 471 - {self.shaft_mm:g}x{self.thickness_mm:g}"


def retaining_ring(shaft_mm: float) -> RetainingRing:
    """Return the ring for a shaft of this diameter in mm.

    Raises:
        TableError: no such ring; names the nearest.
    """
    size = finite("shaft_mm", shaft_mm, "mm")
    table = load_table("din471_rings.csv")
    cells = min(table.rows, key=lambda r: abs(r.number("shaft_mm") - size))
    if abs(cells.number("shaft_mm") - size) > 1e-6:
        near = sorted(table.rows, key=lambda r: abs(r.number("shaft_mm") - size))[:2]
        names = " and ".join(r.text("shaft_mm") for r in near)
        raise TableError(f"no ring of DIN 471 is for {size:g} mm; the nearest are {names} mm")
    width = cells.number("width_mm")
    return RetainingRing(
        shaft_mm=cells.number("shaft_mm"),
        thickness_mm=cells.number("thickness_mm"),
        groove_mm=cells.number("groove_mm"),
        groove_under_mm=cells.number("groove_under_mm"),
        width_mm=width,
        width_over_mm=next(over for most, over in H13 if width <= most),
        depth_mm=cells.number("depth_mm"),
        edge_mm=cells.number("edge_mm"),
        groove_load_kN=cells.number("groove_load_kN"),
        ring_load_kN=cells.number("ring_load_kN"),
        chamfer_mm=cells.number("chamfer_mm"),
        chamfer_load_kN=cells.number("chamfer_load_kN"),
        confidence="standard",
        source=table.source(cells),
    )
