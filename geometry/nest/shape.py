"""What a piece takes up on a blank: its outline grown by half the gap, in each way it may lie.

Two grown shapes may touch; then the pieces themselves are one gap apart. Growing errs outwards,
so gaps come out at least as wide as asked. Holes are not used: a piece that lies in the hole of
another is lost when the slug drops before it is cut (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Arc
from geometry.tolerance import READ_BACK

if TYPE_CHECKING:
    import shapely

#: A shape whose hull fills this much of the circle round it is laid as a circle.
ROUND_SHARE = 0.95

#: A hollow shape is taken as filled out if that adds no more than this share.
_HOLLOW = 0.03

#: Corners of the polygons that stand for shapes; more cost time and gain hundredths of a mm.
_CORNERS = 40

#: Corners of the polygon round a circle.
_CIRCLE_CORNERS = 64

#: Sagitta of arcs in the polygons that are placed, mm; the exact outline is checked at the end.
_SAGITTA = 0.02

_QUARTERS = tuple(k * math.pi / 2 for k in range(4))


@dataclass(frozen=True, eq=False)
class Pose:
    """A piece turned by `angle`, grown, and moved so that its box has a corner at the origin.

    Args:
        angle: in rad.
        shift: what is added to the corner's place to get the place of the piece's own origin.
        polygon: grown outline.
        width, height: of its box.
    """

    angle: float
    shift: Point
    polygon: shapely.Polygon
    width: float
    height: float

    @cached_property
    def area(self) -> float:
        """Area of the grown outline."""
        return float(self.polygon.area)

    @cached_property
    def middle(self) -> Point:
        """Centre of area."""
        spot = self.polygon.centroid
        return Point(spot.x, spot.y)


@dataclass(frozen=True, eq=False)
class Shape:
    """All ways in which a piece may lie.

    Args:
        poses: those that differ in outline, at least one.
        diameter: of the circle round the piece, grown.
        round: whether it is laid as a circle; then its only pose is that circle.
    """

    poses: tuple[Pose, ...]
    diameter: float
    round: bool

    @property
    def is_box(self) -> bool:
        """Whether the grown outline fills its box."""
        first = self.poses[0]
        return not self.round and first.area > (1 - 1e-9) * first.width * first.height


def shape_of(region: Region, angles: Sequence[float] | None, gap: float) -> Shape:
    """Return the shape of a piece.

    Args:
        region: the piece, mm.
        angles: in rad, the turns that it allows; None for any.
        gap: least clear distance to others, mm.
    """
    grow = grown_by(gap)
    centre, radius = enclosing_circle(region.outer)
    grown = radius + grow
    turns = tuple(angles) if angles is not None else _QUARTERS
    around = to_polygon(region.outer, _SAGITTA, "outside")
    if around.convex_hull.area >= ROUND_SHARE * math.pi * radius**2:
        return Shape((_circle_pose(turns[0], centre, grown),), 2 * grown, True)
    polygon = _simple(around, grow)
    if angles is None:
        tilt = _best_tilt(polygon)
        turns = (*_QUARTERS, *(tilt + q for q in _QUARTERS)) if tilt else _QUARTERS
    poses: list[Pose] = []
    for angle in turns:
        pose = _pose(polygon, angle)
        if not any(_same(pose, other) for other in poses):
            poses.append(pose)
    return Shape(tuple(poses), 2 * grown, False)


def grown_by(gap: float) -> float:
    """Return by how many mm outlines grow for a gap: the last digit must not decide what fits."""
    return max(0.0, gap - READ_BACK) / 2


def enclosing_circle(outline: Outline) -> tuple[Point, float]:
    """Return centre and radius of a circle round an outline, exact for what is round itself.

    The centre is that of the smallest circle round its chords, or the centroid if that is better.
    """
    import shapely

    found = outline.as_circle()
    if found:
        return found
    ring = shapely.MultiPoint([tuple(p) for p in outline.chords(_SAGITTA)])
    middle = shapely.minimum_bounding_circle(ring).centroid
    centres = (outline.centroid, Point(middle.x, middle.y))
    return min(((c, _reach(outline, c)) for c in centres), key=lambda found: found[1])


def _reach(outline: Outline, centre: Point) -> float:
    """Return the greatest distance of an outline from a point."""
    far = max(p.distance(centre) for p in outline.points)
    for edge in outline.segments:
        if isinstance(edge, Arc):
            way = edge.center.minus(centre)
            if way.dot(way) < 1e-18:
                far = max(far, edge.radius)
                continue
            spot = edge.center.plus(way.unit(), edge.radius)
            turn = _turn(edge, spot)
            if turn is not None and turn < abs(edge.sweep):
                far = max(far, spot.distance(centre))
    return far


def _turn(arc: Arc, spot: Point) -> float | None:
    """Return the angle from the start of an arc to a spot on its circle, the way it runs."""
    a, b = arc.start.minus(arc.center), spot.minus(arc.center)
    turn = math.atan2(a.cross(b), a.dot(b))
    return (turn if arc.ccw else -turn) % (2 * math.pi)


def _circle_pose(angle: float, centre: Point, radius: float) -> Pose:
    import shapely

    reach = radius / math.cos(math.pi / _CIRCLE_CORNERS)
    turns = [2 * math.pi * (k + 0.5) / _CIRCLE_CORNERS for k in range(_CIRCLE_CORNERS)]
    corners = [(radius + reach * math.cos(t), radius + reach * math.sin(t)) for t in turns]
    at = centre.rotated(angle)
    shift = Point(radius - at.x, radius - at.y)
    return Pose(angle, shift, shapely.Polygon(corners), 2 * radius, 2 * radius)


def _pose(polygon: Any, angle: float) -> Pose:
    import shapely

    turned = shapely.affinity.rotate(polygon, angle, origin=(0.0, 0.0), use_radians=True)
    x0, y0, x1, y1 = turned.bounds
    corner = shapely.affinity.translate(turned, -x0, -y0)
    return Pose(angle, Point(-x0, -y0), corner, x1 - x0, y1 - y0)


def _same(one: Pose, other: Pose) -> bool:
    """Return whether two poses take up the same room, which half a turn of a box does."""
    near = abs(one.width - other.width) + abs(one.height - other.height) < READ_BACK
    return near and float(one.polygon.symmetric_difference(other.polygon).area) < 1e-6 * one.area


def _best_tilt(polygon: Any) -> float:
    """Return the turn in rad that makes the box smallest; 0 if lying as drawn is as good."""
    x0, y0, x1, y1 = polygon.bounds
    least = polygon.minimum_rotated_rectangle
    if least.area > 0.999 * (x1 - x0) * (y1 - y0):
        return 0.0
    (ax, ay), (bx, by) = least.exterior.coords[:2]
    return -math.atan2(by - ay, bx - ax)


def _simple(polygon: Any, grow: float) -> Any:
    """Return a polygon grown by `grow` that has few corners and leaves nothing out."""
    grown = polygon.buffer(grow, join_style="mitre", mitre_limit=2.0)
    hull = grown.convex_hull
    if hull.area <= (1 + _HOLLOW) * grown.area:
        return hull
    grown = type(polygon)(grown.exterior)
    loose, coarse = grown, 0.01
    while len(loose.exterior.coords) > _CORNERS:
        even = grown.simplify(coarse)
        loose = even.buffer(coarse, join_style="mitre", mitre_limit=2.0)
        loose = type(polygon)(loose.exterior)
        coarse *= 2
    return loose if loose.area < hull.area else hull
