"""Path of the leads in the picture: from the controller through loop and bore out of the slot.

Sheet coordinates in mm. The path is a run of lines and arcs that meet without a kink; the bundle
is drawn as the two parallels of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Stroke


@dataclass(frozen=True)
class Pen:
    """Where a path has come to, and what was drawn so far.

    Args:
        at: its end.
        heading: direction there, rad.
        run: lines and arcs.
    """

    at: Point
    heading: float
    run: tuple[Segment, ...] = ()

    def ahead(self, length: float) -> Pen:
        """Return the path with a straight piece."""
        end = self.at.plus(Point.polar(length, self.heading))
        return replace(self, at=end, run=(*self.run, Line(self.at, end)))

    def turn(self, angle: float, radius: float) -> Pen:
        """Return the path with an arc; a positive angle (rad) turns left."""
        side = math.copysign(math.pi / 2, angle)
        centre = self.at.plus(Point.polar(radius, self.heading + side))
        end = self.at.rotated(angle, centre)
        arc = Arc(self.at, end, centre, angle > 0)
        return Pen(end, self.heading + angle, (*self.run, arc))


def band(run: tuple[Segment, ...], half: float, style: str) -> list[Stroke]:
    """Return both parallels of a smooth run at `half` mm, each edge a stroke of its own."""
    return [Stroke((_beside(edge, side * half),), style) for edge in run for side in (1.0, -1.0)]


def _beside(edge: Segment, offset: float) -> Segment:
    """Return the parallel of one edge, to the left for a positive offset."""
    if isinstance(edge, Line):
        step = edge.end.minus(edge.start).unit().left().times(offset)
        return Line(edge.start.plus(step), edge.end.plus(step))
    inward = offset if edge.ccw else -offset
    radius = edge.start.distance(edge.center)
    share = (radius - inward) / radius
    start, end = (edge.center.plus(p.minus(edge.center), share) for p in (edge.start, edge.end))
    return Arc(start, end, edge.center, edge.ccw)
