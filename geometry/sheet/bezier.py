"""Arcs as cubic Bezier curves, for page formats that know no arc.

One cubic over 36 degrees strays 1.1e-6 of the radius from the arc (a cubic over 90 degrees:
2.7e-4); at a radius of 90 mm that is 0.1 micrometre.
"""

from __future__ import annotations

import math

from geometry.point import Point
from geometry.segment import Arc

#: Greatest angle in rad that one cubic may span.
SPAN = math.radians(36.0)

Cubic = tuple[Point, Point, Point]


def cubics(arc: Arc) -> list[Cubic]:
    """Return (control, control, end) of the cubics that replace `arc`, in order of travel.

    Control points lie on the tangents at 4/3 tan(span/4) of the radius, the usual choice that
    makes the middle of the curve lie on the arc. The last end is the arc's own end.
    """
    count = max(1, math.ceil(abs(arc.sweep) / SPAN - 1e-9))
    step = arc.sweep / count
    reach = 4.0 / 3.0 * math.tan(abs(step) / 4.0) * arc.radius
    curves = []
    for k in range(count):
        a, b = arc.point_at(k / count), arc.point_at((k + 1) / count)
        curves.append(
            (
                a.plus(arc.direction(k / count), reach),
                b.plus(arc.direction((k + 1) / count), -reach),
                b,
            )
        )
    return curves
