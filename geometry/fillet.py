"""Corners of outlines: exact tangent rounds between two edges, and exact parallels round them.

    a.end == b.start
         ___________ b         the round touches both edges; the pieces share their end points:
        /                      a' . round . b'
       |  a

The centre of the round lies where both supporting curves cross after moving them by the radius towards
the inside of the corner; the touch points are the feet from that centre (line/line, line/arc
and arc/arc alike). For two lines that meet at the inner angle phi the cut-back on each is
r / tan(phi / 2) (any handbook of plane geometry).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import (
    Arc,
    Line,
    Segment,
    crossings,
    foot_on,
    fraction_on,
    supporting_curve,
    trimmed,
)
from geometry.tolerance import TANGENT_ANGLE


def corner_turn(a: Segment, b: Segment) -> float:
    """Return the signed angle in rad by which travel turns from `a` into `b` (left positive)."""
    (ax, ay), (bx, by) = a.direction(1.0), b.direction(0.0)
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _touches(a: Segment, b: Segment, radius: float) -> tuple[Point, Point, Point] | None:
    """Return (centre, touch on a, touch on b) if a round of `radius` fits, else None."""
    side = 1.0 if corner_turn(a, b) > 0 else -1.0
    best: tuple[float, tuple[Point, Point, Point]] | None = None
    for center in crossings(a, b, side * radius):
        on_a, on_b = foot_on(a, center), foot_on(b, center)
        fits = 0.0 < fraction_on(a, on_a) < 1.0 and 0.0 < fraction_on(b, on_b) < 1.0
        distance = center.distance(a.end)
        if fits and (best is None or distance < best[0]):
            best = distance, (center, on_a, on_b)
    return best[1] if best else None


def largest_radius(a: Segment, b: Segment) -> float:
    """Return the largest radius in mm (to 1e-6 relative, from below) that fits between two edges.

    Raises:
        GeometryError: the edges do not meet, or meet without a corner.
    """
    _check_corner(a, b)
    low, high = 0.0, min(a.length, b.length)
    while _touches(a, b, high) and high < 1e6:
        low, high = high, high * 2
    for _ in range(60):
        middle = (low + high) / 2
        if _touches(a, b, middle):
            low = middle
        else:
            high = middle
        if high - low <= 1e-6 * high:
            break
    return low


def _check_corner(a: Segment, b: Segment) -> None:
    if a.end != b.start:
        raise GeometryError("the two edges do not meet", where=a.end)
    if abs(corner_turn(a, b)) < TANGENT_ANGLE:
        raise GeometryError("the two edges meet smoothly: no corner to round", where=a.end)


def fillet(a: Segment, b: Segment, radius: float) -> tuple[Segment, Arc, Segment]:
    """Round the corner between two edges that share `a.end == b.start`.

    Args:
        a, b: edges in order of travel, mm.
        radius: radius of the round in mm.

    Returns:
        `a` cut back, the round, `b` cut back; neighbours share their end points.

    Raises:
        GeometryError: no corner, or no room; then `limit` is the largest radius that fits.
    """
    _check_corner(a, b)
    touch = _touches(a, b, radius) if radius > 0 else None
    if touch is None:
        limit = largest_radius(a, b)
        raise GeometryError(
            f"a round of {radius:.4g} mm does not fit the corner",
            where=a.end,
            value=radius,
            limit=limit,
            hint=f"use at most {limit:.4g} mm",
        )
    center, on_a, on_b = touch
    ccw = corner_turn(a, b) > 0
    return trimmed(a, end=on_a), Arc(on_a, on_b, center, ccw), trimmed(b, start=on_b)


def round_corners(
    run: Sequence[Segment], radii: Mapping[int, float], names: Mapping[int, str] | None = None
) -> list[Segment]:
    """Round several corners of an open run of edges.

    Args:
        run: edges in order, each starting where the last one ended.
        radii: radius in mm for corner k, the one between run[k] and run[k + 1]; 0 leaves it sharp.
        names: what to call corner k in an error.

    Raises:
        GeometryError: a round does not fit what its neighbours left of the edges; its text names
            the corner, and `limit` the largest radius that would.
    """
    done: list[Segment] = [run[0]]
    for k, after in enumerate(run[1:]):
        radius = radii.get(k, 0.0)
        if radius == 0.0:
            done.append(after)
            continue
        try:
            before, arc, rest = fillet(done[-1], after, radius)
        except GeometryError as error:
            raise GeometryError(
                f"{(names or {}).get(k, f'corner {k}')}: {error.reason}",
                where=error.where,
                value=radius,
                limit=error.limit,
                hint=error.hint,
            ) from error
        done[-1:] = [before, arc, rest]
    return done


# Exact parallel outlines: lines shift, arcs change radius, corners are rounded or trimmed.


def offset_outline(outline: Outline, distance: float) -> Outline:
    """Return the parallel outline `distance` mm outside (positive) or inside (negative).

    A corner that the parallel runs round becomes an arc of radius |distance| about it (the true
    parallel of a corner); a corner that it cuts off is trimmed to the crossing of both parallels.

    Raises:
        GeometryError: an edge vanishes; `where` is its middle and `limit` its reach where known.
    """
    if distance == 0.0:
        return outline
    left = -distance if outline.ccw else distance
    segments = outline.segments
    n = len(segments)
    for s in segments:
        if supporting_curve(s, left) is None:
            raise GeometryError(
                "a round is smaller than the offset and would vanish",
                where=s.point_at(0.5),
                value=abs(distance),
                limit=s.radius if isinstance(s, Arc) else None,
                hint="use a smaller offset or a larger round",
            )
    joints = [_joint(segments[k], segments[(k + 1) % n], left) for k in range(n)]
    result: list[Segment] = []
    for k, s in enumerate(segments):
        start, end = joints[k - 1][1], joints[k][0]
        if not _keeps_direction(s, start, end):
            raise GeometryError(
                "an edge is too short for the offset and would vanish",
                where=s.point_at(0.5),
                value=abs(distance),
                hint="use a smaller offset",
            )
        result.append(Line(start, end) if isinstance(s, Line) else Arc(start, end, s.center, s.ccw))
        if end != joints[k][1]:
            result.append(Arc(end, joints[k][1], s.end, corner_turn(s, segments[(k + 1) % n]) > 0))
    return Outline(tuple(result))


def _shifted(s: Segment, fraction: float, left: float) -> Point:
    return s.point_at(fraction).plus(s.direction(fraction).left(), left)


def _joint(a: Segment, b: Segment, left: float) -> tuple[Point, Point]:
    """Return the end of the parallel of `a` and the start of the parallel of `b`."""
    turn = corner_turn(a, b)
    if abs(turn) < TANGENT_ANGLE:
        spot = _shifted(a, 1.0, left)
        return spot, spot
    if (turn > 0) != (left > 0):  # the parallel runs round the outside of this corner
        return _shifted(a, 1.0, left), _shifted(b, 0.0, left)
    spots = crossings(a, b, left)
    if not spots:
        raise GeometryError("the parallels of two edges do not meet", where=a.end, value=left)
    spot = min(spots, key=a.end.distance)
    return spot, spot


def _keeps_direction(s: Segment, start: Point, end: Point) -> bool:
    if start == end:
        return False
    return fraction_on(s, foot_on(s, start)) < fraction_on(s, foot_on(s, end))
