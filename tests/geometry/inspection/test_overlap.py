"""Edges that lie on each other, with place and shared length."""

from __future__ import annotations

import math
import random

import pytest
from shapely import LineString

from geometry import Arc, Line, Outline, Point
from geometry.inspection.edges import WITHIN, EdgeTable, Overlap, doubles, near_pairs, overlaps
from geometry.segment import Segment
from tests.support.shape import stadium, toothed


def _overlaps(*edges: Segment) -> tuple[Overlap, ...]:
    table = EdgeTable.of(edges)
    first, second, complete = near_pairs(table, WITHIN)
    assert complete
    return overlaps(table, first, second)


def _line(x0: float, y0: float, x1: float, y1: float) -> Line:
    return Line(Point(x0, y0), Point(x1, y1))


def _arc(start: float, end: float, radius: float = 17.25, x: float = 1.5) -> Arc:
    """Return a counter-clockwise arc between two directions in degrees."""
    c = Point(x, -2.5)
    a, b = (c.plus(Point.polar(radius, math.radians(d))) for d in (start, end))
    return Arc(a, b, c, True)


@pytest.mark.parametrize("flip", [False, True])
def test_a_line_drawn_twice(flip: bool) -> None:
    line = _line(1.1, 2.2, 31.3, 17.9)
    (found,) = _overlaps(line, line.reversed() if flip else line)
    assert found.whole
    assert found.length == pytest.approx(line.length, abs=1e-9)
    assert found.where.distance(line.point_at(0.5)) < 1e-9


@pytest.mark.parametrize("seed", range(12))
def test_collinear_lines_share_what_shapely_says(seed: int) -> None:
    dice = random.Random(seed)
    a, way = Point(dice.uniform(-50, 50), dice.uniform(-50, 50)), Point.polar(1.0, dice.uniform(0, 6.3))  # fmt: skip
    s = [dice.uniform(-40, 40) for _ in range(4)]
    one = Line(a.plus(way, s[0]), a.plus(way, s[1]))
    two = Line(a.plus(way, s[2]), a.plus(way, s[3]))
    low, high = max(min(s[:2]), min(s[2:])), min(max(s[:2]), max(s[2:]))
    found = _overlaps(one, two)
    if high - low < 0.02:
        assert found == ()
        return
    strip = LineString([two.start, two.end]).buffer(1e-6)
    assert found[0].length == pytest.approx(LineString([one.start, one.end]).intersection(strip).length, abs=1e-5)  # fmt: skip
    assert found[0].where.distance(a.plus(way, (low + high) / 2)) < 1e-9


@pytest.mark.parametrize(
    ("one", "two", "shared"),
    [
        ((10.0, 105.0), (65.0, 170.0), 40.0),
        ((10.0, 105.0), (30.0, 70.0), 40.0),
        ((200.0, 370.0), (-170.0, -120.0), 40.0),
        ((10.0, 105.0), (106.0, 170.0), 0.0),
    ],
)
def test_arcs_of_one_circle(
    one: tuple[float, float], two: tuple[float, float], shared: float
) -> None:
    found = _overlaps(_arc(*one), _arc(*two).reversed())
    lengths = [f.length for f in found]
    expected = math.radians(shared) * 17.25
    assert lengths == pytest.approx([expected] if shared else [], abs=1e-9)
    assert not any(f.whole for f in found)


def test_both_halves_of_a_doubled_circle() -> None:
    circle = Outline.circle(Point(3.3, 4.4), 2.75)
    found = _overlaps(*circle.segments, *circle.rotated(0.0).segments)
    assert [f.whole for f in found] == [True, True]
    turned = circle.rotated(0.7, Point(3.3, 4.4))
    parts = _overlaps(*circle.segments, *turned.segments)
    assert sum(f.length for f in parts) == pytest.approx(circle.perimeter, abs=1e-9)


@pytest.mark.parametrize(("apart", "count"), [(0.004, 1), (0.0099, 1), (0.012, 0), (0.5, 0)])
def test_within_a_hundredth(apart: float, count: int) -> None:
    assert len(_overlaps(_line(0, 0, 30, 0), _line(12, apart, 44, apart))) == count
    assert len(_overlaps(_arc(10, 105), _arc(20, 110, 17.25 + apart))) == count


def test_a_flat_arc_on_a_line() -> None:
    chord, rise = 20.0, 0.006
    radius = chord**2 / (8 * rise)
    arc = Arc(Point(-10.0, 0.0), Point(10.0, 0.0), Point(0.0, math.sqrt(radius**2 - 100)), True)
    (found,) = _overlaps(arc, _line(-30, 0, 5, 0))
    assert found.length == pytest.approx(15.0, abs=1e-3)


@pytest.mark.parametrize("shape", [toothed(), stadium(2.9, 0.85), Outline.rectangle(30.0, 7.0)])
def test_a_clean_outline_has_none(shape: Outline) -> None:
    assert _overlaps(*shape.segments) == ()


@pytest.mark.parametrize(
    "edges",
    [
        (_line(0, 0, 30, 20), _line(0, 20, 30, 0)),  # they cross
        (_line(0, 0, 30, 0), _line(30, 0, 55, 0)),  # they follow each other
        (_line(0, 0, 30, 0), _line(29.995, 0, 55, 0)),  # and overshoot by less than a kerf sees
        (_line(0, 0, 30, 0), _line(0, 0, 30, 2)),  # a narrow wedge
    ],
)
def test_meeting_is_no_overlap(edges: tuple[Segment, ...]) -> None:
    assert _overlaps(*edges) == ()


def test_pairs_of_long_slanted_edges_are_found_piece_by_piece() -> None:
    dice = random.Random(5)
    short = [
        Line(p, p.plus(Point.polar(0.8, dice.uniform(0, 6.3))))
        for p in (Point(dice.uniform(0, 100), dice.uniform(0, 100)) for _ in range(400))
    ]
    table = EdgeTable.of([*short, _line(0, 0, 100, 100)])
    first, second, _ = near_pairs(table, WITHIN)
    near = {int(i) for i, j in zip(first, second, strict=True) if j == 400}
    diagonal = LineString([(0, 0), (100, 100)])
    must = {k for k, s in enumerate(short) if LineString([s.start, s.end]).distance(diagonal) < WITHIN}  # fmt: skip
    assert must <= near
    assert len(near) < 60  # not all 400 in its box


def test_exact_doubles_are_found_without_comparing_pairs() -> None:
    one, arc = _line(1.1, 2.2, 31.3, 17.9), _arc(10.0, 105.0)
    bulged = Arc(one.start, one.end, one.point_at(0.5), True)  # the same ends, another middle
    edges: list[Segment] = [
        one,
        arc,
        one.reversed(),
        bulged,
        arc.reversed(),
        one,
        _line(1.1, 2.2, 31.3, 17.898),
    ]
    rows, found = doubles(EdgeTable.of(edges))
    assert rows.tolist() == [0, 1, 3, 6]
    assert [(o.first, o.second) for o in found] == [(0, 2), (1, 4), (0, 5)]
    assert all(o.whole for o in found)
    speck = Outline.circle(Point(5.0, 5.0), 1e-7)
    assert doubles(EdgeTable.of(speck.segments))[1] == ()


def test_too_many_pairs_are_cut_short_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    table = EdgeTable.of([_line(0, k / 500, 50, k / 500) for k in range(200)])
    assert near_pairs(table, WITHIN)[2]
    monkeypatch.setattr("geometry.inspection.edges.MOST_PAIRS", 300)
    first, second, complete = near_pairs(table, WITHIN)
    assert not complete
    assert len(first) == len(second) == 300
