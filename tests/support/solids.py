"""Sample solids for the tests: a lamination, a stepped hollow axle, a bar with arcs."""

from __future__ import annotations

import math
from typing import Any

from geometry.fillet import round_corners
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from geometry.solids import BlindSlot, Body, Cut, Flat, Machined, RadialSlot, Revolved
from geometry.solids.kernel import build
from tests.bench import plain_cadquery as plain

STEPPED = (
    (0.0, 3.1),
    (171.3, 3.1),
    (171.3, 6.05),
    (150.2, 6.05),
    (150.2, 8.45),
    (60.7, 8.45),
    (60.7, 10.3),
    (52.4, 10.3),
    (52.4, 8.45),
    (21.4, 8.45),
    (21.4, 6.05),
    (0.0, 6.05),
)
SLOT = RadialSlot(90.3, 104.6, 5.2, 0.7)
KEY = BlindSlot(118.1, 135.9, 4.3, 2.6, 6.1)
FLATS = tuple(Flat(0.0, 13.3, 4.9, -0.4 + k * math.pi) for k in (0, 1))


def lamination(slots: int) -> Region:
    """The yardstick's lamination, its corners rounded by exact tangency."""
    every = [[Point(*p) for p in slot] for slot in plain.corners(slots)]
    run: list[Segment] = []
    radii: dict[int, float] = {}
    rounds = {
        **dict.fromkeys((0, 7), plain.TIP_RADIUS),
        **dict.fromkeys((2, 5), plain.SHOE_RADIUS),
        **dict.fromkeys((3, 4), plain.ROOT_RADIUS),
    }
    for k, slot in enumerate(every):
        for j, start in enumerate(slot):
            end = slot[j + 1] if j < 7 else every[(k + 1) % slots][0]
            run.append(Arc(start, end, ORIGIN, True) if j in (3, 7) else Line(start, end))
            if j in rounds:
                radii[8 * k + j - 2] = rounds[j]  # corner k lies between run[k] and run[k + 1]
    run.append(run.pop(0))  # start in a corner that stays sharp
    radii[8 * slots - 2] = radii.pop(-2)
    return Region(Outline(tuple(round_corners(run, radii))), (Outline.circle(ORIGIN, plain.BORE),))


def axle(*cuts: Cut) -> Machined:
    return Machined(Revolved(Outline.polygon(STEPPED)), cuts)


def kernel_volume(body: Body) -> float:
    return shape_volume(build(body))


def shape_volume(shape: Any) -> float:
    """Volume in mm3 of a sound shape by an adaptive rule, unlike that of gmsh or cadquery."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    assert shape.isValid()
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape.wrapped, properties, 1e-10)
    return float(properties.Mass())


def revolved_with_arcs() -> Revolved:
    """A bar on the axis: a flat end, a cone, a cylinder, a rounded shoulder, a ball end."""
    points = [Point(0, 0), Point(31.7, 0), Point(26.6, 5.1), Point(22.5, 5.1)]
    points += [Point(18.4, 9.2), Point(7.3, 9.2), Point(0, 6.4)]
    a, b, c, d, e, f, g = points
    shoulder = Arc(d, e, Point(18.4, 5.1), True)
    ball = Arc(b, c, Point(26.6, 0), True)
    return Revolved(
        Outline((Line(a, b), ball, Line(c, d), shoulder, Line(e, f), Line(f, g), Line(g, a)))
    )
