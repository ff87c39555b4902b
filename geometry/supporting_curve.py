"""Crossings of whole lines and whole circles, the carriers of edges."""

from __future__ import annotations

import math
from collections.abc import Iterable

from geometry.point import Point
from geometry.segment import Arc, Line, Segment

#: A carrier is (point, unit direction) for a line, (centre, radius) for a circle.
LineCarrier = tuple[Point, Point]
CircleCarrier = tuple[Point, float]


def line_line(a: LineCarrier, b: LineCarrier) -> list[Point]:
    """Return the crossing of two whole lines; none if they run parallel."""
    det = a[1].cross(b[1])
    if abs(det) < 1e-14:
        return []
    t = b[0].minus(a[0]).cross(b[1]) / det
    return [a[0].plus(a[1], t)]


def line_circle(line: LineCarrier, circle: CircleCarrier) -> list[Point]:
    """Return the 0, 1 or 2 crossings of a whole line and a circle."""
    to_center = circle[0].minus(line[0])
    along, off = to_center.dot(line[1]), line[1].cross(to_center)
    half_sq = circle[1] ** 2 - off**2
    if half_sq < -1e-12 * circle[1] ** 2:
        return []
    half = math.sqrt(max(0.0, half_sq))
    if half == 0.0:
        return [line[0].plus(line[1], along)]
    return [line[0].plus(line[1], along - half), line[0].plus(line[1], along + half)]


def circle_circle(a: CircleCarrier, b: CircleCarrier) -> list[Point]:
    """Return the 0, 1 or 2 crossings of two circles; none if they share their centre."""
    between = b[0].minus(a[0])
    d = between.length()
    if d == 0.0:
        return []
    x = (d * d + a[1] ** 2 - b[1] ** 2) / (2 * d)
    half_sq = a[1] ** 2 - x * x
    if half_sq < -1e-12 * a[1] ** 2:
        return []
    foot = a[0].plus(between, x / d)
    rise = between.left().times(math.sqrt(max(0.0, half_sq)) / d)
    return [foot.plus(rise), foot.minus(rise)]


def carrier(segment: Segment, shift_left: float = 0.0) -> LineCarrier | CircleCarrier | None:
    """Return the carrier of an edge moved `shift_left` mm to the left of travel.

    A circle that would shrink through its centre has no such carrier: None.
    """
    if isinstance(segment, Line):
        way = segment.direction()
        return segment.start.plus(way.left(), shift_left), way
    radius = segment.radius - shift_left if segment.ccw else segment.radius + shift_left
    return (segment.center, radius) if radius > 0 else None


def crossings(a: Segment, b: Segment, shift_left: float = 0.0) -> list[Point]:
    """Return where the carriers of two edges cross, both moved `shift_left` mm left of travel."""
    ca, cb = carrier(a, shift_left), carrier(b, shift_left)
    if ca is None or cb is None:
        return []
    if isinstance(ca[1], Point):
        return line_line(ca, cb) if isinstance(cb[1], Point) else line_circle(ca, cb)
    return line_circle(cb, ca) if isinstance(cb[1], Point) else circle_circle(ca, cb)


def foot_on(segment: Segment, point: Point) -> Point:
    """Return the nearest point to `point` on the carrier of `segment`."""
    if isinstance(segment, Line):
        way = segment.direction()
        return segment.start.plus(way, point.minus(segment.start).dot(way))
    return segment.center.plus(point.minus(segment.center).unit(), segment.radius)


def fraction_on(segment: Segment, point: Point) -> float:
    """Return where on the edge a point of its carrier lies: 0 at the start, 1 at the end.

    Points before the start give negative values, up to half of the missing turn on an arc.
    """
    if isinstance(segment, Line):
        run = segment.end.minus(segment.start)
        return point.minus(segment.start).dot(run) / run.dot(run)
    middle = segment.point_at(0.5).minus(segment.center)
    spoke = point.minus(segment.center)
    turn = math.atan2(middle.cross(spoke), middle.dot(spoke))
    return 0.5 + turn / segment.sweep


def trimmed(segment: Segment, start: Point | None = None, end: Point | None = None) -> Segment:
    """Return the edge with a new start or end on the same carrier."""
    a = segment.start if start is None else start
    b = segment.end if end is None else end
    return Line(a, b) if isinstance(segment, Line) else Arc(a, b, segment.center, segment.ccw)


def half_turns(run: Iterable[Segment]) -> list[Segment]:
    """Return the same run with every arc of more than half a turn in two pieces.

    A bulge above 1 is sound DXF, but GDAL 3.12 loses part of some such arcs, as random designs showed.
    """
    pieces: list[Segment] = []
    for edge in run:
        if isinstance(edge, Arc) and abs(edge.sweep) > math.pi * (1 + 1e-6):
            middle = edge.point_at(0.5)
            pieces += [trimmed(edge, end=middle), trimmed(edge, start=middle)]
        else:
            pieces.append(edge)
    return pieces
