"""Exact checks of an arrangement."""

from __future__ import annotations

from geometry.packing.near import least_gap
from geometry.packing.region import Floats, Region

#: A gap may lack this much of the diameter; rounding of coordinates costs about 1e-13.
ALLOWED = 5e-10


def tightness(region: Region, points: Floats) -> float:
    """Return the largest diameter that equal circles on these centres may have (exact check).

    1 or more means that the arrangement is allowed. No circles at all: infinity.
    """
    if not len(points):
        return float("inf")
    wall = 2.0 * float(region.clearance(points).min())
    if len(points) == 1:
        return wall
    return min(wall, least_gap(points))


def is_allowed(region: Region, points: Floats) -> bool:
    """Tell whether no circle overlaps another or a wall by more than `ALLOWED`.

    A circle that slipped into another part of the polygon is not allowed either.
    """
    here = bool((region.rough_clearance(points) > 0.0).all())
    return here and tightness(region, points) >= 1.0 - ALLOWED
