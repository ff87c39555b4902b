"""Exact parallel outlines: lines shift, arcs change radius, corners are rounded or trimmed."""

from __future__ import annotations

from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.supporting_curve import carrier, crossings, foot_on, fraction_on
from geometry.tolerance import TANGENT_ANGLE


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
        if carrier(s, left) is None:
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
