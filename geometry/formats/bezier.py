"""Arcs as cubic Bezier curves, for page formats that know no arc.

A cubic over 90 degrees strays 2.73e-4 of the radius from the arc, and that falls with the sixth
power of the angle: 36 degrees on a radius of 90 mm stray 0.1 micrometre, 90 degrees on a wire of
0.7 mm (radius 0.35 mm) too. So small circles, of which a sheet holds the most, need few curves.
"""

from __future__ import annotations

import math

from geometry.point import Point
from geometry.segment import Arc

#: How far a curve may stray from its arc, mm.
STRAY = 1e-4
#: How far a cubic over a quarter turn strays, in radii.
QUARTER_STRAY = 2.73e-4

Cubic = tuple[Point, Point, Point]


def span(radius: float) -> float:
    """Return the greatest angle in rad that one cubic may span on an arc of `radius` mm."""
    return math.pi / 2 * min(1.0, math.pow(STRAY / (QUARTER_STRAY * radius), 1 / 6))


def cubics(arc: Arc) -> list[Cubic]:
    """Return (control, control, end) of the cubics that replace `arc`, in order of travel.

    Control points lie on the tangents at 4/3 tan(span/4) of the radius, the usual choice that
    makes the middle of the curve lie on the arc. The last end is the arc's own end.
    """
    sweep, (cx, cy), (x, y), stop = arc.sweep, arc.center, arc.start, arc.end
    ax, ay = x - cx, y - cy  # the spoke to the start
    count = max(1, math.ceil(abs(sweep) / span(math.hypot(ax, ay)) - 1e-9))
    step = sweep / count
    reach = 4.0 / 3.0 * math.tan(step / 4.0)
    curves = []
    for k in range(1, count + 1):
        if k < count:
            c, s = math.cos(k * step), math.sin(k * step)
            end = Point(cx + c * ax - s * ay, cy + s * ax + c * ay)
        else:
            end = stop
        ex, ey = end
        one = Point(x - reach * (y - cy), y + reach * (x - cx))
        two = Point(ex + reach * (ey - cy), ey - reach * (ex - cx))
        curves.append((one, two, end))
        x, y = ex, ey
    return curves
