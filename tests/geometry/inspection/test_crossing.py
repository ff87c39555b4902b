"""Where edges cross and touch, against shapely's chords and by hand."""

from __future__ import annotations

import math
import random

import pytest
from shapely import LineString
from shapely.geometry import MultiPoint
from shapely.geometry.base import BaseGeometry

from geometry import Arc, Line, Outline, Point
from geometry.formats.dxf_read import edge_from_bulge
from geometry.inspection.chains import JOIN
from geometry.inspection.edges import Crossing, EdgeTable, crossings, near_pairs
from geometry.segment import Segment
from tests.support.shape import blob, stadium, toothed


def _crossings(*edges: Segment) -> tuple[Crossing, ...]:
    table = EdgeTable.of(edges)
    first, second, _ = near_pairs(table, JOIN)
    return crossings(table, first, second)


def _line(x0: float, y0: float, x1: float, y1: float) -> Line:
    return Line(Point(x0, y0), Point(x1, y1))


def _chords(edge: Segment) -> LineString:
    return LineString([edge.start, *edge.chords(1e-5)])


def _points(found: BaseGeometry) -> list[Point]:
    if found.is_empty:
        return []
    spots = found.geoms if isinstance(found, MultiPoint) else [found]
    return [Point(s.x, s.y) for s in spots]


@pytest.mark.parametrize("seed", range(15))
def test_random_edges_cross_where_their_chords_do(seed: int) -> None:
    dice = random.Random(seed)

    def some_edge() -> Segment:
        a, b = (Point(dice.uniform(-20, 20), dice.uniform(-20, 20)) for _ in range(2))
        return edge_from_bulge(a, b, dice.choice([0.0, dice.uniform(-0.95, 0.95)]))

    edges = [some_edge() for _ in range(12)]
    found = _crossings(*edges)
    assert all(c.kind == "cross" for c in found)
    lines = [_chords(e) for e in edges]
    expected = [
        (i, j, p)
        for i in range(12)
        for j in range(i + 1, 12)
        for p in _points(lines[i].intersection(lines[j]))
    ]
    assert len(expected) == len(found)
    for i, j, p in expected:
        near = [c.where.distance(p) for c in found if (c.first, c.second) == (i, j)]
        assert min(near) < 1e-3  # chords stray 1e-5; at a shallow crossing that runs along


def test_crossings_by_hand() -> None:
    (cross,) = _crossings(_line(0, 0, 10, 4), _line(0, 4, 10, 0))
    assert cross.where.distance(Point(5.0, 2.0)) < 1e-12
    arc = Arc(Point(5.0, 0.0), Point(-5.0, 0.0), Point(0.0, 0.0), True)
    one, two = sorted(_crossings(arc, _line(-8, 3, 8, 3)), key=lambda c: c.where.x)
    assert one.where.distance(Point(-4.0, 3.0)) < 1e-12
    assert two.where.distance(Point(4.0, 3.0)) < 1e-12
    (met,) = _crossings(arc, arc.moved(6.0, 0.0))
    assert met.where.distance(Point(3.0, 4.0)) < 1e-12


@pytest.mark.parametrize(
    "shape", [toothed(), stadium(2.9, 0.85), blob(3), Outline.circle(Point(1.0, 2.0), 3.3)]
)
def test_a_clean_outline_crosses_nothing(shape: Outline) -> None:
    assert _crossings(*shape.segments) == ()


@pytest.mark.parametrize("decimals", [3, 4, 6])
def test_rounds_printed_with_few_digits_cross_nothing(decimals: int) -> None:
    """A fillet whose centre is off by half a digit meets its line twice, a hair apart."""

    def short(p: Point) -> Point:
        return Point(round(p.x, decimals), round(p.y, decimals))

    edges: list[Segment] = []
    for e in stadium(8.123456, 2.345678).rotated(0.4321).segments:
        if isinstance(e, Line):
            edges.append(Line(short(e.start), short(e.end)))
            continue
        # as an ARC: centre, radius and two angles, each rounded
        c, r = short(e.center), round(e.radius, decimals)
        a, b = (round(math.degrees(p.minus(e.center).angle()), decimals) for p in (e.start, e.end))
        a, b = math.radians(a), math.radians(b)
        edges.append(Arc(c.plus(Point.polar(r, a)), c.plus(Point.polar(r, b)), c, True))
    gap = max(min(e.start.distance(o.end) for o in edges if o is not e) for e in edges)
    assert 0.0 < gap < JOIN * 1.5
    if gap < JOIN:
        assert _crossings(*edges) == ()


def test_an_end_on_the_inside_of_an_edge_touches_it() -> None:
    (touch,) = _crossings(_line(0, 0, 30, 0), _line(12.5, 0, 12.5, 9))
    assert (touch.kind, touch.where) == ("touch", Point(12.5, 0.0))
    (short,) = _crossings(_line(0, 0, 30, 0), _line(12.5, 0.0007, 12.5, 9))
    assert short.kind == "touch"
    assert _crossings(_line(0, 0, 30, 0), _line(12.5, 0.0013, 12.5, 9)) == ()


def test_an_end_that_grazes_an_arc_touches_it_though_their_carriers_meet_elsewhere() -> None:
    arc = Arc(Point(-4.0, 2.0), Point(4.0, 2.0), Point(0.0, 5.0), True)
    (touch,) = _crossings(arc, _line(-9.0, -0.0004, -0.05, -0.0004))
    assert touch.kind == "touch"
    assert touch.where.distance(Point(-0.05, 0.0)) < 0.001


@pytest.mark.parametrize("off", [-0.0004, 0.0, 0.0004])
def test_edges_that_graze_touch(off: float) -> None:
    ring = Outline.circle(Point(10.0, 5.0), 4.0).rotated(0.7, Point(10.0, 5.0)).segments
    found = _crossings(*ring, _line(1.0 + off, -3, 1.0 + off, 12).moved(5.0, 0.0))
    assert found
    assert all(c.where.distance(Point(6.0, 5.0)) < 0.09 for c in found)
    c = Point(18.0 + off, 5.0)
    other = Outline.circle(c, 4.0).rotated(-0.4, c).segments
    touched = _crossings(*ring, *other)
    assert touched
    assert all(c.where.distance(Point(14.0, 5.0)) < 0.09 for c in touched)


def test_edges_apart_do_not_meet() -> None:
    ring = Outline.circle(Point(10.0, 5.0), 4.0).segments
    assert _crossings(*ring, _line(5.99, -3, 5.99, 12)) == ()
    assert _crossings(*ring, *Outline.circle(Point(10.0, 5.0), 3.9).segments) == ()


def test_an_outline_that_crosses_itself() -> None:
    bow = Outline.polygon([(0, 0), (41, 33), (41, 0), (0, 33)])
    (cross,) = _crossings(*bow.segments)
    assert cross.where.distance(Point(20.5, 16.5)) < 1e-12
    assert (cross.first, cross.second) == (0, 2)
