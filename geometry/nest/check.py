"""Look at a nest as a person with a rule would: every gap and margin, by the true outlines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from geometry.outline import Region
from geometry.polygon import to_polygon
from geometry.tolerance import READ_BACK

if TYPE_CHECKING:
    from geometry.nest.blank import Placement


class NestFault(RuntimeError):
    """A nest that breaks its own gaps: a fault of ours."""


def verify(
    sheets: Iterable[Sequence[Placement]],
    regions: dict[str, Region],
    size: tuple[float, float],
    part_gap: float,
    sheet_margin: float,
) -> None:
    """Check every blank; lengths in mm.

    Raises:
        NestFault: two pieces are nearer than `part_gap`, or one is nearer to an edge than
            `sheet_margin`; names them.
    """
    import shapely

    outlines = {name: to_polygon(region.outer) for name, region in regions.items()}
    for number, sheet in enumerate(sheets, start=1):
        laid = [
            shapely.affinity.affine_transform(outlines[p.name], _matrix(p.angle, p.x, p.y))
            for p in sheet
        ]
        for p in sheet:
            x0, y0, x1, y1 = p.place(Region(regions[p.name].outer)).box
            edge = min(x0, y0, size[0] - x1, size[1] - y1)
            if edge < sheet_margin - 2 * READ_BACK:
                raise NestFault(f"{p.name} on blank {number} is {edge:.6f} mm from the edge")
        near = part_gap - 2 * READ_BACK
        one, other = shapely.STRtree(laid).query(laid, predicate="dwithin", distance=max(near, 0.0))
        for i, j in zip(one.tolist(), other.tolist(), strict=True):
            if i < j and (near > 0 or _overlap(laid[i], laid[j])):
                gap = shapely.distance(laid[i], laid[j])
                raise NestFault(
                    f"{sheet[i].name} and {sheet[j].name} on blank {number} are {gap:.6f} mm apart"
                )


def _overlap(one: Any, other: Any) -> bool:
    """Return whether two polygons share more than the edge they touch with."""
    shared = one.intersection(other)
    return bool(shared.area > READ_BACK * shared.length)


def _matrix(angle: float, x: float, y: float) -> list[float]:
    c, s = math.cos(angle), math.sin(angle)
    return [c, -s, s, c, x, y]
