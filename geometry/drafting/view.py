"""View: where a model lies on the sheet, and at which standard scale."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from geometry.drafting.drawing import Items, Stroke
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment

#: Recommended scales, drawing to model, largest first (ISO 5455:1979 table 1).
SCALES: tuple[tuple[int, int], ...] = (
    *((n, 1) for n in (50, 20, 10, 5, 2, 1)),
    *((1, n) for n in (2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)),
)


def pick_scale(
    extent: tuple[float, float],
    room: tuple[float, float],
    *,
    largest: tuple[int, int] = (50, 1),
) -> tuple[int, int]:
    """Return the largest scale of ISO 5455 at which `extent` fits into `room`.

    Args:
        extent: width and height of the model in mm.
        room: width and height of the free place on the sheet in mm.
        largest: do not enlarge beyond this.

    Raises:
        GeometryError: nothing fits, or a size that is not above 0.
    """
    if min(*room, max(extent)) <= 0 or min(extent) < 0:
        raise GeometryError(
            "a view needs an extent and a room above 0 mm", value=min(*extent, *room)
        )
    slack = 1 + 1e-9  # 100 mm at 1:2 fits a room of 50 mm
    for num, den in SCALES:
        if num * largest[1] > largest[0] * den:
            continue
        if all(size * num / den <= free * slack for size, free in zip(extent, room, strict=True)):
            return num, den
    raise GeometryError(
        f"{extent[0]:.1f} x {extent[1]:.1f} mm does not fit {room[0]:.1f} x {room[1]:.1f} mm "
        "at any standard scale",
        hint="use a larger sheet",
    )


@dataclass(frozen=True)
class View:
    """A model placed on the sheet: turned, mirrored, scaled, then moved.

    Args:
        origin: where the model's point `about` comes to lie on the sheet, mm.
        scale: drawing to model, such as (1, 2).
        about: the point of the model that is pinned, mm.
        rotation: turn of the model in rad, counter-clockwise.
        mirrored: seen from behind: the model's x axis is reversed before it is turned.
    """

    origin: Point
    scale: tuple[int, int] = (1, 1)
    about: Point = ORIGIN
    rotation: float = 0.0
    mirrored: bool = False

    @property
    def factor(self) -> float:
        """Millimetres on the sheet for one millimetre of the model."""
        return self.scale[0] / self.scale[1]

    @property
    def label(self) -> str:
        """The scale as it is written on a drawing: "1:2"."""
        return f"{self.scale[0]}:{self.scale[1]}"

    def point(self, p: Point) -> Point:
        """Return the place on the sheet of the model's point `p`."""
        (x, y), (u, v) = p, self.about
        q = Point(u - x if self.mirrored else x - u, y - v)
        return self.origin.plus(q.rotated(self.rotation), self.factor)

    def at(self, x: float, y: float) -> Point:
        """Return the place on the sheet of the model's point (x, y)."""
        return self.point(Point(x, y))

    def angle(self, direction: float) -> float:
        """Return the direction on the sheet (rad) of a direction of the model."""
        return (math.pi - direction if self.mirrored else direction) + self.rotation

    def segment(self, edge: Segment) -> Segment:
        """Return the edge on the sheet; edges that shared a point share it still."""
        start, end = self.point(edge.start), self.point(edge.end)
        if isinstance(edge, Line):
            return Line(start, end)
        return Arc(start, end, self.point(edge.center), edge.ccw != self.mirrored)

    def outline(self, loop: Outline) -> Outline:
        """Return the loop on the sheet."""
        return Outline(tuple(self.segment(s) for s in loop.segments))

    def region(self, region: Region) -> Region:
        """Return the region on the sheet."""
        return Region(self.outline(region.outer), tuple(self.outline(h) for h in region.holes))

    def stroke(self, edges: Iterable[Segment], style: str) -> Stroke:
        """Return a connected run of the model's edges as a stroke."""
        return Stroke(tuple(self.segment(s) for s in edges), style)

    def edges(self, shape: Outline | Region, style: str) -> Items:
        """Return every loop of the model's `shape` as a stroke."""
        loops = shape.loops if isinstance(shape, Region) else (shape,)
        return tuple(self.stroke(loop.segments, style) for loop in loops)

    def line(self, a: Point, b: Point, style: str) -> Stroke:
        """Return a straight stroke between two points of the model."""
        return self.stroke((Line(Point(*a), Point(*b)),), style)
