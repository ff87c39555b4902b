"""The room for wire in a lined slot, as few numbers: told to another process before shapely loads.

.---------------------------.
|  liner  ..............    |       bare slot, less the liner along its wall, less everything
|        |   room       |====       from the wedge outwards, less half the separator; of a coil
|--------'--------------'---- axis  on every tooth the upper half
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from geometry.outline import Outline
from geometry.polygon import to_polygon

if TYPE_CHECKING:
    import shapely

    from geometry.packing.search import Attempts


@dataclass(frozen=True)
class Room:
    """What shapes the room of one coil side, slot frame, mm.

    Args:
        outline: of the bare slot.
        mouth: x where the opening begins.
        opening: its clear width.
        liner: thickness of the paper.
        low: least y: half the separator, or below the whole slot where a slot has one side.
        inner: x of the wedge's inner face.
    """

    outline: Outline
    mouth: float
    opening: float
    liner: float
    low: float
    inner: float

    def polygon(self) -> shapely.Polygon:
        """Return the room; empty if there is none."""
        import shapely

        x0, _, x1, y1 = self.outline.box
        half, t = self.opening / 2, self.liner
        bare = to_polygon(self.outline, side="inside")
        # The liner lines the wall, not the opening: prolong the slot outwards before shrinking it.
        beyond = shapely.box(self.mouth - 1e-6, -half, x1 + 4 * t + 1.0, half)
        lined = shapely.union(bare, beyond).buffer(-t, quad_segs=64)
        part = shapely.intersection(lined, shapely.box(x0 - 1.0, self.low, self.inner, y1 + 1.0))
        if part.geom_type == "MultiPolygon":
            part = max(part.geoms, key=lambda p: p.area)
        return part


def pack_room(room: Room, diameter: float, attempts: Attempts = map) -> Any:
    """Return centres of circles in the room; see `geometry.packing.pack_circles`."""
    from geometry.packing import pack_circles

    return pack_circles(room.polygon(), diameter, attempts=attempts)
