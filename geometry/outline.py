"""Outline: a closed loop of lines and arcs. Region: one outline with holes. Both exact."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Arc, Box, Line, Segment, joint_box, mirrored_run
from geometry.tolerance import SAME_PLACE


@dataclass(frozen=True)
class Outline:
    """A closed loop of edges: each edge starts at the very point where the last one ended.

    Args:
        segments: two or more `Line` / `Arc` in order of travel, mm.

    Raises:
        GeometryError: a gap, named with its place and size; nothing is bridged.
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        """Refuse a loop that does not close with gap 0."""
        object.__setattr__(self, "segments", tuple(self.segments))
        if len(self.segments) < 2:
            raise GeometryError("a closed outline needs at least two edges")
        end = self.segments[-1].end
        for this in self.segments:
            if end != this.start:
                raise GeometryError(
                    f"the outline is open: gap of {end.distance(this.start):.6g} mm",
                    where=this.start,
                    hint="let neighbours share one point",
                )
            end = this.end

    @staticmethod
    def circle(center: Point, radius: float) -> Outline:
        """Return a full circle of `radius` mm, counter-clockwise, as two half turns.

        Raises GeometryError for a radius that is not positive.
        """
        if not radius > 0:
            raise GeometryError("a circle needs a positive radius", where=center, value=radius)
        a, b = center.plus(Point(radius, 0.0)), center.plus(Point(-radius, 0.0))
        return Outline((Arc(a, b, center, True), Arc(b, a, center, True)))

    @staticmethod
    def polygon(points: Sequence[tuple[float, float]]) -> Outline:
        """Return the closed polygon through `points` (mm)."""
        spots = [Point(*p) for p in points]
        return Outline(
            tuple(Line(a, b) for a, b in zip(spots, (*spots[1:], spots[0]), strict=True))
        )

    @staticmethod
    def rectangle(width: float, height: float, center: Point | None = None) -> Outline:
        """Return a rectangle `width` x `height` mm about `center` (origin), counter-clockwise."""
        cx, cy = center if center is not None else (0.0, 0.0)
        w, h = width / 2, height / 2
        return Outline.polygon(
            [(cx - w, cy - h), (cx + w, cy - h), (cx + w, cy + h), (cx - w, cy + h)]
        )

    @cached_property
    def signed_area(self) -> float:
        """Area in mm2, positive if travelled counter-clockwise."""
        return math.fsum([s.area_term for s in self.segments])

    @property
    def area(self) -> float:
        """Enclosed area in mm2, by closed form."""
        return abs(self.signed_area)

    @cached_property
    def perimeter(self) -> float:
        """Length of the loop in mm, by closed form."""
        return math.fsum([s.length for s in self.segments])

    @cached_property
    def centroid(self) -> Point:
        """Centre of area (mm), by closed form."""
        terms = [s.moment_term() for s in self.segments]
        a = self.signed_area
        return Point(math.fsum(t[0] for t in terms) / a, math.fsum(t[1] for t in terms) / a)

    @cached_property
    def box(self) -> Box:
        """Bounding box (x min, y min, x max, y max) in mm, arcs included."""
        return joint_box(s.box() for s in self.segments)

    @property
    def ccw(self) -> bool:
        """Whether the loop is travelled counter-clockwise."""
        return self.signed_area > 0

    @property
    def points(self) -> tuple[Point, ...]:
        """The shared corner points (mm) in order."""
        return tuple(s.start for s in self.segments)

    def as_circle(self) -> tuple[Point, float] | None:
        """Return (centre, radius) if the whole loop is one circle, else None."""
        first = self.segments[0]
        if not isinstance(first, Arc):
            return None
        for s in self.segments:
            if (
                not isinstance(s, Arc)
                or s.center != first.center
                or s.ccw != first.ccw
                or abs(s.radius - first.radius) > SAME_PLACE
            ):
                return None
        whole = math.fsum(s.sweep for s in self.segments if isinstance(s, Arc))
        return (first.center, first.radius) if abs(abs(whole) - 2 * math.pi) <= 1e-9 else None

    def oriented(self, ccw: bool) -> Outline:
        """Return the loop travelled counter-clockwise or clockwise as asked."""
        return self if self.ccw == ccw else self.reversed()

    def reversed(self) -> Outline:
        """Return the same loop travelled the other way."""
        return Outline(tuple(s.reversed() for s in reversed(self.segments)))

    def rotated(self, angle: float, about: Point | None = None) -> Outline:
        """Return the loop turned by `angle` rad about `about` (origin)."""
        return Outline(tuple(s.rotated(angle, about) for s in self.segments))

    def mirrored(self, axis_angle: float = 0.0) -> Outline:
        """Return the mirror image, still travelled in the sense that the loop had."""
        return Outline(tuple(mirrored_run(self.segments, axis_angle)))

    def moved(self, dx: float, dy: float) -> Outline:
        """Return the loop shifted by (dx, dy) mm."""
        return Outline(tuple(s.moved(dx, dy) for s in self.segments))

    def chords(self, sagitta: float) -> list[Point]:
        """Return the corners of a polygon whose edges stray at most `sagitta` mm."""
        spots: list[Point] = []
        for s in self.segments:
            spots.extend(s.chords(sagitta))
        return spots


@dataclass(frozen=True)
class Region:
    """A piece of sheet: one outer outline, and holes inside it.

    The outer outline is stored counter-clockwise, holes clockwise, so that material always
    lies to the left of travel. That holes lie inside and apart is checked by the rules of the recipes.
    """

    outer: Outline
    holes: tuple[Outline, ...] = ()

    def __post_init__(self) -> None:
        """Give every loop its sense of travel."""
        object.__setattr__(self, "outer", self.outer.oriented(True))
        object.__setattr__(self, "holes", tuple(h.oriented(False) for h in self.holes))

    @property
    def loops(self) -> tuple[Outline, ...]:
        """All loops, holes first: the order in which a cutter takes them."""
        return (*self.holes, self.outer)

    @property
    def area(self) -> float:
        """Net area in mm2."""
        return math.fsum((self.outer.area, *(-h.area for h in self.holes)))

    @property
    def perimeter(self) -> float:
        """Cut length in mm: outer and holes."""
        return math.fsum(loop.perimeter for loop in self.loops)

    @property
    def centroid(self) -> Point:
        """Centre of area (mm)."""
        loops = [(self.outer, 1.0), *((h, -1.0) for h in self.holes)]
        a = self.area
        return Point(
            math.fsum(k * o.area * o.centroid.x for o, k in loops) / a,
            math.fsum(k * o.area * o.centroid.y for o, k in loops) / a,
        )

    @property
    def box(self) -> Box:
        """Bounding box (x min, y min, x max, y max) in mm."""
        return self.outer.box

    def rotated(self, angle: float, about: Point | None = None) -> Region:
        """Return the region turned by `angle` rad about `about` (origin)."""
        return self._each(lambda o: o.rotated(angle, about))

    def mirrored(self, axis_angle: float = 0.0) -> Region:
        """Return the mirror image in the line through the origin at `axis_angle` rad."""
        return self._each(lambda o: o.mirrored(axis_angle))

    def moved(self, dx: float, dy: float) -> Region:
        """Return the region shifted by (dx, dy) mm."""
        return self._each(lambda o: o.moved(dx, dy))

    def _each(self, change: Callable[[Outline], Outline]) -> Region:
        return Region(change(self.outer), tuple(change(h) for h in self.holes))
