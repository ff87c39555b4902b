"""Circles in a polygon: wires in a slot, leads in a bore.

The result is a packing that was found, not a proof that no better one exists. For circles and
squares it reaches the best known packings to within 0.5 % of the size of the container up to 20
circles and 1 % up to 61 (see the tests).

    +-----------------+
    | o o o o o o o o |     circles of one diameter, as many as can be found,
    |  o o o o o o o  |     none overlapping, none nearer to the outline than touching
    | o o o o o o o o |
    +-----------------+
"""

from __future__ import annotations

import math
from typing import Any, Literal, get_args

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.packing import search
from geometry.packing.region import Region, least_distance, parts
from geometry.packing.rows import rows

Effort = Literal["rows", "quick", "full"]

#: A result may miss contact by this part of the diameter, because coordinates are rounded.
TOLERANCE = 1e-9
#: More circles than this are refused.
MOST_CIRCLES = 20_000


def pack_circles(
    polygon: shapely.Polygon, diameter: float, *, effort: Effort = "full"
) -> NDArray[np.float64]:
    """Return the centres of as many equal circles in a polygon as can be found.

    Args:
        polygon: where the circles lie, in mm; any valid shape, with or without holes. Chords
            of a rounded corner are taken as they are.
        diameter: of every circle, in mm.
        effort: `full` searches; `quick` lays rows and fills the holes that are left (from 2500
            circles on both give the same); `rows` only lays rows, in a few milliseconds: a count
            that is proven, and seldom the largest.

    Returns:
        Centres (n, 2) in mm, sorted by x and then y; (0, 2) if not one circle fits. Every two
        centres are at least one diameter apart and every centre at least half a diameter from
        the outline, both checked to 1e-9 of the diameter. The same input gives the same bytes.

    Raises:
        GeometryError: (a ValueError) for a polygon or diameter that cannot be used; it names
            the value and the limit.
    """
    if effort not in get_args(Effort):
        raise GeometryError(
            f"effort: {effort!r} is not known", hint="use 'rows', 'quick' or 'full'"
        )
    size = _usable(polygon, diameter)
    if effort == "rows":
        whole = Region(polygon, size)
        found = [whole.to_units(rows(whole))]
    else:
        regions = [Region(part, size) for part in parts(polygon, size)]
        if effort == "quick":
            found = [r.to_units(search.regular_fillings(r)[0]) for r in regions]
        else:
            limit = _most(polygon, size)
            found = [r.to_units(search.Search(r, limit).run()) for r in regions]
    centres = np.vstack([np.empty((0, 2)), *found])
    centres = centres[np.lexsort((centres[:, 1], centres[:, 0]))]
    _verify(polygon, size, centres)
    return centres


def _usable(polygon: Any, diameter: float) -> float:
    """Return the diameter as a float, or say what is wrong with it or with the polygon."""
    if not isinstance(polygon, shapely.Polygon):
        kind = getattr(polygon, "geom_type", type(polygon).__name__)
        raise GeometryError(f"polygon: a {kind} was given", hint="give one shapely Polygon")
    size = float(diameter)
    if not (math.isfinite(size) and size > 0.0):
        raise GeometryError(
            f"diameter: {size:g} mm must be finite and above 0 mm",
            value=size,
            limit=0.0,
            hint="give the overall diameter of the circles",
        )
    if polygon.is_empty or not polygon.is_valid:
        reason = "it is empty" if polygon.is_empty else shapely.is_valid_reason(polygon)
        raise GeometryError(f"polygon: not usable, {reason}", hint="give one closed simple shape")
    far = float(np.abs(polygon.bounds).max())
    if far > 1e5 * size:
        raise GeometryError(
            f"polygon: a corner at {far:g} mm is too far from the origin for circles of"
            f" {size:g} mm (limit {1e5 * size:g} mm)",
            value=far,
            limit=1e5 * size,
            hint="move the polygon to the origin",
        )
    if _most(polygon, size) > MOST_CIRCLES:
        least = math.sqrt(polygon.area / (MOST_CIRCLES * math.sqrt(0.75)))
        raise GeometryError(
            f"diameter: {size:g} mm would give more than {MOST_CIRCLES} circles;"
            f" the limit here is about {1.1 * least:.3g} mm",
            value=size,
            limit=1.1 * least,
            hint="use larger circles or a smaller polygon",
        )
    return size


def _most(polygon: shapely.Polygon, diameter: float) -> int:
    """Return a number of circles that cannot be exceeded.

    The part of a circle's Voronoi cell within 2/sqrt(3) of its radius is never smaller than
    the hexagon around it (the step that proves that no packing is denser than pi / sqrt(12): A. Thue 1910, L. Fejes Toth 1940). All these parts lie within
    0.155 radius outside the polygon, whose area grows by no more than Steiner's formula says.
    """
    beyond = diameter * (1.0 / math.sqrt(3.0) - 0.5)
    area = float(polygon.area + polygon.length * beyond + math.pi * beyond**2)
    return math.floor(area / (math.sqrt(0.75) * diameter**2) + 1e-9)


def _verify(polygon: shapely.Polygon, diameter: float, centres: NDArray[np.float64]) -> None:
    """Check the result in mm and by other means than it was made; never repair it."""
    if not len(centres):
        return
    spots = shapely.points(centres)
    wall = float(shapely.distance(polygon.boundary, spots).min())
    inside = bool(shapely.contains_xy(polygon, centres[:, 0], centres[:, 1]).all())
    if not inside or wall < diameter * (0.5 - TOLERANCE):
        raise RuntimeError(f"packing left the polygon: clearance {wall!r} mm, inside {inside}")
    if len(centres) > 1:
        apart = least_distance(centres)
        if apart < diameter * (1.0 - TOLERANCE):
            raise RuntimeError(f"packed circles overlap: distance {apart!r} mm")
