"""Outline or region -> shapely polygon, for checks and pictures; never for a cut file.

Arcs become chords that stray at most `sagitta`. With `side` the polygon is made to lie wholly
inside the shape (what surely fits in this polygon fits in the shape), or wholly around it.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import shapely

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.tolerance import SAGITTA

Side = Literal["inside", "outside", "between"]


def to_polygon(
    shape: Outline | Region, sagitta: float = SAGITTA, side: Side = "between"
) -> shapely.Polygon:
    """Return the shape as a polygon in mm.

    Args:
        shape: an outline (its interior) or a region with holes.
        sagitta: greatest distance (mm) between an arc and what replaces it.
        side: "between": corners lie on the arcs. "inside": no point of the polygon leaves the
            shape; arcs that bulge into it are replaced by tangents. "outside": the polygon
            holds the whole shape; arcs that bulge out of it are replaced by tangents.

    Raises:
        GeometryError: a sagitta that is not positive, or a shape whose polygon crosses itself
            (names the place); nothing is repaired.
    """
    if not sagitta > 0:
        raise GeometryError("chords need a positive sagitta", value=sagitta)
    region = shape if isinstance(shape, Region) else Region(shape)
    polygon = shapely.Polygon(
        np.array(_ring(region.outer, sagitta, side)),
        [np.array(_ring(h, sagitta, side)) for h in region.holes],
    )
    if not polygon.is_valid:
        raise GeometryError(
            f"the outline is no simple polygon: {shapely.is_valid_reason(polygon)}",
            hint="its edges cross or touch each other, or a hole leaves the outer outline",
        )
    return polygon


def _ring(loop: Outline, sagitta: float, side: Side) -> list[Point]:
    """Return the corners of one loop that has its material on the left of travel."""
    return [spot for edge in loop.segments for spot in _corners(edge, sagitta, side)]


def _corners(edge: Segment, sagitta: float, side: Side) -> list[Point]:
    """Return the points after the start of an edge; left of it lies the material.

    A counter-clockwise arc bulges out of the material: its chords lie inside, its tangents
    outside. For a clockwise arc it is the other way round.
    """
    wants_tangents = {"between": None, "inside": False, "outside": True}[side]
    if isinstance(edge, Arc) and wants_tangents is edge.ccw:
        return _tangents(edge, sagitta)
    return edge.chords(sagitta)


def _tangents(arc: Arc, sagitta: float) -> list[Point]:
    """Return the corners of the tangents at both ends and between, then the end.

    With n tangent corners, each spans 2 h and stands r (1 / cos h - 1) off the arc.
    """
    radius, sweep = arc.radius, arc.sweep
    half = min(math.acos(radius / (radius + sagitta)), math.pi / 4)
    n = max(1, math.ceil(abs(sweep) / (2 * half)))
    stretch = 1 / math.cos(sweep / (2 * n))
    corners = (arc.point_at((2 * k + 1) / (2 * n)) for k in range(n))
    return [
        *(arc.center.plus(p.minus(arc.center), stretch) for p in corners),
        arc.end,
    ]
