"""Sample outlines whose edges are rounded in the tests."""

from __future__ import annotations

from geometry.fillet import round_corners
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line


def plate(width: float, height: float, *radii: float) -> Outline:
    """A plate with rounded corners; edges start in the middle of one side."""
    a, b, c, d = Outline.rectangle(width, height).segments
    run = [Line(a.point_at(0.4), a.end), b, c, d, Line(a.start, a.point_at(0.4))]
    return Outline(tuple(round_corners(run, dict(enumerate(radii)))))


#: Half a disc with a neck: a full arc, a hollow one, corners that stand out and one that does not.
NECK = Outline(
    (
        Arc(Point(0, -5.3), Point(0, 5.3), ORIGIN, True),
        Line(Point(0, 5.3), Point(-9.4, 5.3)),
        Arc(Point(-9.4, 5.3), Point(-13.1, 9.0), Point(-9.4, 9.0), False),
        Line(Point(-13.1, 9.0), Point(-13.1, 12.2)),
        Line(Point(-13.1, 12.2), Point(-19.7, 12.2)),
        Line(Point(-19.7, 12.2), Point(-19.7, -5.3)),
        Line(Point(-19.7, -5.3), Point(0, -5.3)),
    )
)
