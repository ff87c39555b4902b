"""Line and Arc: the two kinds of edge, and the curves that support them; all frozen.

Glossary: `start` and `end` are stored, never computed, so neighbours share the same point and
a chain closes with gap 0. `sweep` is the signed angle of an arc in rad, positive
counter-clockwise, 0 < |sweep| < 2 pi; a full circle is two arcs (see `Outline.circle`).
`bulge` = tan(sweep / 4) (DXF reference, group code 42).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.tolerance import ARC_RADIUS

Box = tuple[float, float, float, float]


def joint_box(boxes: Iterable[Box]) -> Box:
    """Return the smallest box (x min, y min, x max, y max) in mm that holds all `boxes`."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight edge from `start` to `end` (mm)."""

    start: Point
    end: Point

    def __post_init__(self) -> None:
        """Raise GeometryError for an edge without length or a coordinate that is not a number."""
        if self.start == self.end or not math.isfinite(self.start.distance(self.end)):
            raise GeometryError("a line needs two different, finite ends", where=self.start)

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.start.distance(self.end)

    @property
    def area_term(self) -> float:
        """Signed area between the edge and the origin in mm2 (Green's theorem)."""
        (ax, ay), (bx, by) = self.start, self.end
        return (ax * by - ay * bx) / 2

    @property
    def bulge(self) -> float:
        """Zero: a straight edge."""
        return 0.0

    def point_at(self, fraction: float) -> Point:
        """Return the point at `fraction` (0..1) of the length."""
        return self.start.plus(self.end.minus(self.start), fraction)

    def direction(self, fraction: float = 0.0) -> Point:  # noqa: ARG002 - same call as Arc
        """Return the unit vector of travel."""
        (ax, ay), (bx, by) = self.start, self.end
        x, y = bx - ax, by - ay
        size = math.hypot(x, y)
        return Point(x / size, y / size)

    def moment_term(self) -> tuple[float, float]:
        """Return the first moments (int x dA, int y dA) of the triangle to the origin in mm3."""
        a = self.area_term
        return (
            a * (self.start.x + self.end.x) / 3,
            a * (self.start.y + self.end.y) / 3,
        )

    def box(self) -> Box:
        """Return (x min, y min, x max, y max) in mm."""
        (a, b), (c, d) = self.start, self.end
        return min(a, c), min(b, d), max(a, c), max(b, d)

    def reversed(self) -> Line:
        """Return the same edge travelled the other way."""
        return Line(self.end, self.start)

    def rotated(self, angle: float, about: Point | None = None) -> Line:
        """Return the edge turned by `angle` rad about `about` (origin)."""
        return Line(self.start.rotated(angle, about), self.end.rotated(angle, about))

    def mirrored(self, axis_angle: float = 0.0) -> Line:
        """Return the mirror image in the line through the origin at `axis_angle` rad."""
        return Line(self.start.mirrored(axis_angle), self.end.mirrored(axis_angle))

    def moved(self, dx: float, dy: float) -> Line:
        """Return the edge shifted by (dx, dy) mm."""
        step = Point(dx, dy)
        return Line(self.start.plus(step), self.end.plus(step))

    def chords(self, sagitta: float) -> list[Point]:  # noqa: ARG002 - same call as Arc
        """Return the points after `start` that replace the edge by chords: just the end."""
        return [self.end]


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular edge from `start` to `end` about `center` (mm), counter-clockwise if `ccw`."""

    start: Point
    end: Point
    center: Point
    ccw: bool

    def __post_init__(self) -> None:
        """Raise GeometryError unless both ends lie on one circle about the centre."""
        r0, r1 = self.start.distance(self.center), self.end.distance(self.center)
        if self.start == self.end or not math.isfinite(r0 + r1) or r0 == 0.0:
            raise GeometryError("an arc needs two different ends off its centre", where=self.start)
        if abs(r0 - r1) > ARC_RADIUS:
            raise GeometryError(
                "the ends of an arc lie at different distances from its centre",
                where=self.start,
                value=r0,
                limit=r1,
            )

    @property
    def radius(self) -> float:
        """Radius in mm."""
        (ax, ay), (cx, cy) = self.start, self.center
        return math.hypot(ax - cx, ay - cy)

    @property
    def sweep(self) -> float:
        """Signed angle in rad: positive counter-clockwise, 0 < |sweep| < 2 pi."""
        # Written out: of all figures this one is asked for most often.
        (ax, ay), (bx, by), (cx, cy) = self.start, self.end, self.center
        ax, ay, bx, by = ax - cx, ay - cy, bx - cx, by - cy
        turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        if self.ccw:
            return turn if turn > 0 else turn + 2 * math.pi
        return turn if turn < 0 else turn - 2 * math.pi

    @property
    def bulge(self) -> float:
        """tan(sweep / 4), signed (DXF group code 42)."""
        return math.tan(self.sweep / 4)

    @property
    def length(self) -> float:
        """Length along the arc in mm."""
        return abs(self.sweep) * self.radius

    @property
    def area_term(self) -> float:
        """Signed area between the edge and the origin in mm2 (Green's theorem)."""
        # Written out: asked for by every area and sense of travel.
        (ax, ay), (bx, by), (cx, cy) = self.start, self.end, self.center
        triangle = (ax * by - ay * bx) / 2
        s, r = self.sweep, math.hypot(ax - cx, ay - cy)
        return triangle + r * r * (s - math.sin(s)) / 2

    def point_at(self, fraction: float) -> Point:
        """Return the point at `fraction` (0..1) of the length."""
        if fraction == 0.0:
            return self.start
        if fraction == 1.0:
            return self.end
        return self.start.rotated(self.sweep * fraction, self.center)

    def direction(self, fraction: float = 0.0) -> Point:
        """Return the unit vector of travel at `fraction` (0..1) of the length."""
        (x, y), (cx, cy) = self.point_at(fraction), self.center
        x, y = x - cx, y - cy
        size = math.hypot(x, y)
        return Point(-y / size, x / size) if self.ccw else Point(y / size, -x / size)

    def moment_term(self) -> tuple[float, float]:
        """Return the first moments (int x dA, int y dA) of the piece to the origin in mm3.

        Triangle to the origin plus circular segment; the segment's centroid lies at
        4 r sin^3(s/2) / (3 (s - sin s)) from the centre (any handbook of plane figures).
        """
        (ax, ay), (bx, by), (cx, cy) = self.start, self.end, self.center
        tri = (ax * by - ay * bx) / 2
        s, r = self.sweep, self.radius
        seg = r * r * (s - math.sin(s)) / 2
        out = 2 * r**3 * math.sin(abs(s) / 2) ** 3 / 3 * (1 if s > 0 else -1)
        toward = self.point_at(0.5).minus(self.center).unit()
        return (
            tri * (ax + bx) / 3 + seg * cx + out * toward.x,
            tri * (ay + by) / 3 + seg * cy + out * toward.y,
        )

    def covers(self, angle: float) -> bool:
        """Tell whether the arc passes the direction `angle` (rad) seen from its centre."""
        a0 = self.start.minus(self.center).angle()
        turn = (angle - a0) % (2 * math.pi) if self.ccw else (a0 - angle) % (2 * math.pi)
        return turn <= abs(self.sweep)

    def box(self) -> Box:
        """Return (x min, y min, x max, y max) in mm."""
        (ax, ay), (bx, by), (cx, cy), r = self.start, self.end, self.center, self.radius
        return (
            min(ax, bx, cx - r if self.covers(math.pi) else ax),
            min(ay, by, cy - r if self.covers(-math.pi / 2) else ay),
            max(ax, bx, cx + r if self.covers(0.0) else ax),
            max(ay, by, cy + r if self.covers(math.pi / 2) else ay),
        )

    def reversed(self) -> Arc:
        """Return the same edge travelled the other way."""
        return Arc(self.end, self.start, self.center, not self.ccw)

    def rotated(self, angle: float, about: Point | None = None) -> Arc:
        """Return the edge turned by `angle` rad about `about` (origin)."""
        return Arc(
            self.start.rotated(angle, about),
            self.end.rotated(angle, about),
            self.center.rotated(angle, about),
            self.ccw,
        )

    def mirrored(self, axis_angle: float = 0.0) -> Arc:
        """Return the mirror image in the line through the origin at `axis_angle` rad."""
        return Arc(
            self.start.mirrored(axis_angle),
            self.end.mirrored(axis_angle),
            self.center.mirrored(axis_angle),
            not self.ccw,
        )

    def moved(self, dx: float, dy: float) -> Arc:
        """Return the edge shifted by (dx, dy) mm."""
        step = Point(dx, dy)
        return Arc(self.start.plus(step), self.end.plus(step), self.center.plus(step), self.ccw)

    def chords(self, sagitta: float) -> list[Point]:
        """Return points after `start` on the arc whose chords stray at most `sagitta` mm."""
        r, s = self.radius, self.sweep
        step = 2 * math.acos(max(-1.0, 1 - sagitta / r)) if sagitta < r else math.pi / 2
        n = max(1, math.ceil(abs(s) / min(step, math.pi / 2)))
        return [*(self.start.rotated(s * k / n, self.center) for k in range(1, n)), self.end]


Segment = Line | Arc


# The whole lines and whole circles that edges lie on, and where these cross.

#: A supporting curve is (point, unit direction) for a line, (centre, radius) for a circle.
WholeLine = tuple[Point, Point]
WholeCircle = tuple[Point, float]


def line_line(a: WholeLine, b: WholeLine) -> list[Point]:
    """Return the crossing of two whole lines; none if they run parallel."""
    det = a[1].cross(b[1])
    if abs(det) < 1e-14:
        return []
    t = b[0].minus(a[0]).cross(b[1]) / det
    return [a[0].plus(a[1], t)]


def line_circle(line: WholeLine, circle: WholeCircle) -> list[Point]:
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


def circle_circle(a: WholeCircle, b: WholeCircle) -> list[Point]:
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


def supporting_curve(segment: Segment, shift_left: float = 0.0) -> WholeLine | WholeCircle | None:
    """Return the supporting curve of an edge moved `shift_left` mm to the left of travel.

    A circle that would shrink through its centre has no such curve: None.
    """
    if isinstance(segment, Line):
        way = segment.direction()
        return segment.start.plus(way.left(), shift_left), way
    radius = segment.radius - shift_left if segment.ccw else segment.radius + shift_left
    return (segment.center, radius) if radius > 0 else None


def crossings(a: Segment, b: Segment, shift_left: float = 0.0) -> list[Point]:
    """Return where the supporting curves of two edges cross, both moved `shift_left` mm left of travel."""
    ca, cb = supporting_curve(a, shift_left), supporting_curve(b, shift_left)
    if ca is None or cb is None:
        return []
    if isinstance(ca[1], Point):
        return line_line(ca, cb) if isinstance(cb[1], Point) else line_circle(ca, cb)
    return line_circle(cb, ca) if isinstance(cb[1], Point) else circle_circle(ca, cb)


def foot_on(segment: Segment, point: Point) -> Point:
    """Return the nearest point to `point` on the supporting curve of `segment`."""
    if isinstance(segment, Line):
        way = segment.direction()
        return segment.start.plus(way, point.minus(segment.start).dot(way))
    return segment.center.plus(point.minus(segment.center).unit(), segment.radius)


def fraction_on(segment: Segment, point: Point) -> float:
    """Return where on the edge a point of its supporting curve lies: 0 at the start, 1 at the end.

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
    """Return the edge with a new start or end on the same supporting curve."""
    a = segment.start if start is None else start
    b = segment.end if end is None else end
    return Line(a, b) if isinstance(segment, Line) else Arc(a, b, segment.center, segment.ccw)


def mirrored_run(run: Sequence[Segment], axis_angle: float = 0.0) -> list[Segment]:
    """Return the mirror image of a run in the line through the origin at `axis_angle` rad.

    It is travelled from the image of the run's end to that of its start, so it can follow the run.
    """
    return [edge.mirrored(axis_angle).reversed() for edge in reversed(run)]


def chord_points(run: Sequence[Segment], sagitta: float) -> list[Point]:
    """Return the points of a chain of chords that strays at most `sagitta` mm from a connected run."""
    return [run[0].start, *(p for edge in run for p in edge.chords(sagitta))]


def halves(arc: Arc) -> tuple[Arc, Arc]:
    """Return the arc in two pieces that meet in its middle."""
    middle = arc.point_at(0.5)
    return (
        Arc(arc.start, middle, arc.center, arc.ccw),
        Arc(middle, arc.end, arc.center, arc.ccw),
    )


def half_turns(run: Iterable[Segment], longest: float = math.pi * (1 + 1e-6)) -> list[Segment]:
    """Return the same run with every arc of more than `longest` rad (half a turn) in two pieces.

    A bulge above 1 is sound DXF, but GDAL 3.12 loses part of some such arcs, as random designs showed.
    """
    pieces: list[Segment] = []
    for edge in run:
        pieces += halves(edge) if isinstance(edge, Arc) and abs(edge.sweep) > longest else [edge]
    return pieces
