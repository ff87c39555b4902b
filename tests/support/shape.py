"""Shapes for the tests of the shape layer: uneven, unround, some of them seeded at random."""

from __future__ import annotations

import math
import random

from geometry import Arc, Line, Outline, Part, Point, Region
from geometry.formats.dxf_read import edge_from_bulge
from geometry.part import Path
from geometry.segment import Segment

O = Point(0.0, 0.0)  # noqa: E741 - the origin of every drawing


def toothed(
    teeth: int = 7, outer: float = 33.7, inner: float = 21.4, width: float = 4.3
) -> Outline:
    """Return a wheel with parallel-sided teeth: lines, convex and root arcs, sharp corners."""
    at_root, at_face = math.asin(width / 2 / inner), math.asin(width / 2 / outer)
    corners = []
    for k in range(teeth):
        a = 2 * math.pi * k / teeth + 0.137
        corners.append(
            (
                Point.polar(inner, a - at_root),
                Point.polar(outer, a - at_face),
                Point.polar(outer, a + at_face),
                Point.polar(inner, a + at_root),
            )
        )
    edges: list[Segment] = []
    for k, (p, q, r, s) in enumerate(corners):
        after = corners[(k + 1) % teeth][0]
        edges += [Line(p, q), Arc(q, r, O, True), Line(r, s), Arc(s, after, O, True)]
    return Outline(tuple(edges))


def stadium(length: float, radius: float) -> Outline:
    """Return a slot: two lines of `length`, two half turns of `radius`, about the origin."""
    h = length / 2
    a, b = Point(-h, -radius), Point(h, -radius)
    c, d = Point(h, radius), Point(-h, radius)
    return Outline(
        (Line(a, b), Arc(b, c, Point(h, 0.0), True), Line(c, d), Arc(d, a, Point(-h, 0.0), True))
    )


def blob(seed: int, corners: int = 9) -> Outline:
    """Return a star-shaped outline of lines and arcs that bulge both ways; same seed, same blob."""
    dice = random.Random(seed)
    step = 2 * math.pi / corners
    spots = [
        Point.polar(dice.uniform(11.3, 19.9), k * step + dice.uniform(0.0, 0.4 * step))
        for k in range(corners)
    ]
    off = Point(dice.uniform(-60.0, 60.0), dice.uniform(-60.0, 60.0))
    spots = [p.plus(off) for p in spots]
    bulges = [
        dice.choice([0.0, dice.uniform(0.02, 0.22), -dice.uniform(0.02, 0.16)]) for _ in spots
    ]
    return Outline(
        tuple(
            edge_from_bulge(a, b, bulge)
            for a, b, bulge in zip(spots, (*spots[1:], spots[0]), bulges, strict=True)
        )
    )


def sheet_part() -> Part:
    """Return a flat part with round and other holes, folds, a mark and a reference line."""
    holes = (
        Outline.circle(Point(0.6, -0.4), 11.3),
        Outline.circle(Point.polar(16.4, 1.1), 1.65).rotated(0.77),
        stadium(2.9, 0.85).rotated(0.4).moved(-14.2, 8.3),
    )
    return Part(
        name="washer",
        cut=(Region(toothed(), holes),),
        material="presspaper",
        thickness=0.18,
        quantity=5,
        fold=(Path((Line(Point(-20.1, -3.3), Point(20.7, -3.1)),)),),
        mark=(
            Path((Line(Point(1.0, 2.0), Point(4.0, 2.2)), Line(Point(4.0, 2.2), Point(3.1, 2.9)))),
        ),
        reference=(
            Path(
                (
                    Line(Point(-41.0, 5.0), Point(36.0, 5.0)),
                    Arc(Point(36.0, 5.0), Point(42.0, 11.0), Point(36.0, 11.0), True),
                    Line(Point(7.0, -36.5), Point(9.0, -36.0)),
                )
            ),
        ),
    )
