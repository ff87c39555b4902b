"""The least features of a sheet: narrowest web and slot, smallest hole, tightest inside corner.

A `width` is the shortest line between two edges that face each other; in material it is a web,
in the void a slot. That finds the throat between two holes, between a hole and the rim, the
sides of a tooth and the thin end of a tip. It passes over the round or chamfer of a corner, whose
sides slant by more than 40 degrees, and over notches and bumps, which are wider than deep.

Which edges face each other is told by the Delaunay triangles of points sampled on all edges; the
width of each such pair then follows from closed forms on the exact lines and arcs, so a width
that is found is exact to rounding (1e-9 mm).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from geometry.inspection.edge_table import Rows
from geometry.inspection.width import Ground, Widths, facing_pairs, widths_of_pairs
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Segment

Kind = Literal["web", "slot"]
Circle = tuple[Point, float]

#: Widths whose middles lie this close (mm) are one.
_SAME_SPOT = 0.05
#: Widths of neighbouring edges that differ by less (mm) are one slot or web.
_SAME_SIZE = 1e-6
#: Widths that are examined in one go, narrowest first.
_BATCH = 512
#: A loop that encloses less (mm2) has no inside.
_NOTHING = 1e-6
#: A corner that turns less than this (rad) is a chord of a curve or smooth.
CORNER = math.radians(20.0)


@dataclass(frozen=True)
class Width:
    """A web or slot: its width in mm, both ends, and the numbers of the loops that it lies between."""

    kind: Kind
    size: float
    a: Point
    b: Point
    loops: tuple[int, int]

    @property
    def where(self) -> Point:
        """The middle."""
        return self.a.plus(self.b).times(0.5)


@dataclass(frozen=True)
class Corner:
    """An inside corner: its radius in mm (0 if sharp), its place, the number of its loop."""

    radius: float
    where: Point
    loop: int


def widths(loops: Sequence[Outline], below: float = 0.0) -> list[Width]:
    """Return the narrowest web, the narrowest slot, and all others below a limit.

    Args:
        loops: closed loops with the material on the left of travel, mm.
        below: also list every width below this (mm).

    Returns:
        Widths, narrowest first; one for each pair of edges.
    """
    circles = [loop.as_circle() for loop in loops]
    found = _discs(loops, circles)
    edges = [s for loop in loops for s in loop.segments]
    if not edges:
        return []
    ground = Ground.of(loops)
    candidates = widths_of_pairs(ground, *facing_pairs(ground, _circles(loops, circles)))
    kinds: tuple[tuple[Kind, int], ...] = (("web", 1), ("slot", -1))
    for kind, side in kinds:
        rows = candidates.take(candidates.side == side)
        known = min((w.size for w in found if w.kind == kind), default=math.inf)
        for k in _narrowest(ground, rows, known, below):
            i, j = int(rows.first[k]), int(rows.second[k])
            a, b = Point(*map(float, rows.a[k])), Point(*map(float, rows.b[k]))
            between = (int(ground.loop_of[i]), int(ground.loop_of[j]))
            found.append(Width(kind, float(rows.size[k]), a, b, between))
    return sorted(found, key=lambda w: w.size)


def _narrowest(ground: Ground, rows: Widths, known: float, below: float) -> list[int]:
    """Return the first row that is a width, and all others below a limit, one a place."""

    chosen: list[int] = []
    places: set[tuple[int, int]] = set()
    pairs: dict[tuple[int, int], float] = {}
    start, batch = 0, _BATCH
    while start < len(rows.size) and rows.size[start] < max(below, known):
        part = rows.take(slice(start, start + batch))
        for k in np.flatnonzero(ground.is_free(part) & ground.is_long(part)):
            size = float(part.size[k])
            x, y = (part.a[k] + part.b[k]) / 2
            place = (round(float(x) / _SAME_SPOT), round(float(y) / _SAME_SPOT))
            i, j = int(part.first[k]), int(part.second[k])
            if size >= max(below, known) or place in places or _is_told(ground, pairs, i, j, size):
                continue
            chosen.append(start + int(k))
            places.add(place)
            pairs[i, j] = pairs[j, i] = size
            known = min(known, size)
        start, batch = start + batch, batch * 2
    return chosen


def _is_told(
    ground: Ground, pairs: dict[tuple[int, int], float], i: int, j: int, size: float
) -> bool:
    """Tell whether a pair of edges is listed, or one beside it that is as wide: one slot's mouth."""
    if (i, j) in pairs:
        return True
    around = [(ground.before[k], k, ground.after[k]) for k in (i, j)]
    return any(
        abs(pairs.get((int(a), int(b)), math.inf) - size) < _SAME_SIZE
        for a in around[0]
        for b in around[1]
    )


def _circles(loops: Sequence[Outline], circles: Sequence[Circle | None]) -> Rows:
    """Return for each edge a number that two edges share if they belong to one circle, else its own."""

    numbers: list[int] = []
    for loop, circle in zip(loops, circles, strict=True):
        first, count = len(numbers), len(loop.segments)
        numbers += [first] * count if circle else range(first, first + count)
    return np.array(numbers, dtype=np.int64)


def _discs(loops: Sequence[Outline], circles: Sequence[Circle | None]) -> list[Width]:
    """Return the diameters of round parts, which have no two edges that face each other."""
    found: list[Width] = []
    for number, (loop, circle) in enumerate(zip(loops, circles, strict=True)):
        if circle and loop.ccw:
            (x, y), r = circle
            found.append(Width("web", 2 * r, Point(x - r, y), Point(x + r, y), (number, number)))
    return found


def corners(loops: Sequence[Outline]) -> list[Corner]:
    """Return every inside corner, sharp ones (radius 0) first, then by radius.

    Whole circles are holes, not corners.

    Args:
        loops: closed loops with the material on the left of travel, mm.
    """
    found: list[Corner] = []
    for number, loop in enumerate(loops):
        if loop.as_circle() or loop.area < _NOTHING:
            continue
        before: Segment = loop.segments[-1]
        for edge in loop.segments:
            a, b = before.direction(1.0), edge.direction(0.0)
            if math.atan2(a.cross(b), a.dot(b)) < -CORNER:
                found.append(Corner(0.0, edge.start, number))
            if isinstance(edge, Arc) and not edge.ccw:
                found.append(Corner(edge.radius, edge.point_at(0.5), number))
            before = edge
    return sorted(found, key=lambda c: c.radius)


def hole_size(loop: Outline) -> tuple[float, Point]:
    """Return the diameter (mm) and centre of a round hole, or of the largest circle in another.

    The circle in a hole that is not round is found to 0.001 mm.
    """
    circle = loop.as_circle()
    if circle:
        return 2 * circle[1], circle[0]

    polygon = shapely.Polygon(loop.chords(0.002))
    line = shapely.maximum_inscribed_circle(polygon, tolerance=0.001)
    (x0, y0), (x1, y1) = line.coords
    return 2 * math.hypot(x1 - x0, y1 - y0), Point(x0, y0)
