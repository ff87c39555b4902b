import math

import pytest

from geometry.point import ORIGIN, Point
from geometry.segment import (
    Arc,
    Line,
    circle_circle,
    crossings,
    foot_on,
    fraction_on,
    half_turns,
    line_circle,
    line_line,
    supporting_curve,
    trimmed,
)


def near(spots: list[Point]) -> list[tuple[float, float]]:
    return [(pytest.approx(p.x, abs=1e-12), pytest.approx(p.y, abs=1e-12)) for p in spots]


def test_lines_cross_as_by_cramer() -> None:
    # y = 3/4 x - 1/2 and y = 6 - 4/3 x: 25/12 x = 6.5.
    spots = line_line((Point(2.0, 1.0), Point(0.8, 0.6)), (Point(0.0, 6.0), Point(0.6, -0.8)))
    assert near(spots) == [(3.12, 1.84)]
    assert line_line((ORIGIN, Point(0.8, 0.6)), (Point(0.0, 1.0), Point(0.8, 0.6))) == []


def test_line_and_circle_cross_by_pythagoras() -> None:
    """A line 3 off the centre of a circle of 5 cuts a chord of 8 (the 3-4-5 triangle)."""
    line = (Point(-20.0, 5.0), Point(1.0, 0.0))
    assert near(line_circle(line, (Point(1.5, 2.0), 5.0))) == [(-2.5, 5.0), (5.5, 5.0)]
    assert line_circle(line, (Point(1.5, -1.0), 5.0)) == []
    assert near(line_circle(line, (Point(1.5, 0.0), 5.0))) == [(1.5, 5.0)]
    # Rounding noise of a tangent is no miss.
    assert len(line_circle(line, (Point(1.5, -1e-13), 5.0))) == 1


def test_circles_cross_by_pythagoras() -> None:
    """Centres 14 apart, radii 13 and 15: the 5-12-13 and 9-12-15 triangles share the height 12."""
    a, b = (Point(2.0, 3.0), 13.0), (Point(16.0, 3.0), 15.0)
    assert near(circle_circle(a, b)) == [(7.0, 15.0), (7.0, -9.0)]
    assert near(circle_circle(b, a)) == [(7.0, -9.0), (7.0, 15.0)]
    assert circle_circle(a, (Point(2.0, 3.0), 15.0)) == []
    assert circle_circle(a, (Point(31.0, 3.0), 15.0)) == []
    assert near(circle_circle(a, (Point(30.0, 3.0), 15.0)))[0] == (15.0, 3.0)


def test_a_supporting_curve_moves_to_the_left_of_travel() -> None:
    line = Line(Point(1.0, 2.0), Point(1.0, 9.0))
    assert supporting_curve(line, 0.4) == (Point(0.6, 2.0), Point(0.0, 1.0))
    arc = Arc(Point(5.0, 0.0), Point(0.0, 5.0), ORIGIN, True)
    assert supporting_curve(arc, 0.4) == (ORIGIN, 4.6)
    assert supporting_curve(arc.reversed(), 0.4) == (ORIGIN, 5.4)
    assert supporting_curve(arc) == (ORIGIN, 5.0)
    assert supporting_curve(arc, 5.0) is None
    assert supporting_curve(arc.reversed(), -5.5) is None


def test_crossings_of_each_pair_of_kinds() -> None:
    upright = Line(Point(4.0, -6.0), Point(4.0, 6.0))
    level = Line(Point(-1.0, 3.0), Point(9.0, 3.0))
    arc = Arc(Point(5.0, 0.0), Point(0.0, 5.0), ORIGIN, True)
    other = Arc(Point(14.0, 3.0), Point(4.0, 3.0), Point(9.0, 3.0), True)
    assert near(crossings(upright, level)) == [(4.0, 3.0)]
    assert near(crossings(upright, level, 0.5)) == [(3.5, 3.5)]
    assert near(crossings(upright, arc)) == [(4.0, -3.0), (4.0, 3.0)]
    assert near(crossings(arc, upright)) == [(4.0, -3.0), (4.0, 3.0)]
    for spot in crossings(arc, other, 0.2):
        assert spot.length() == pytest.approx(4.8)
        assert spot.distance(other.center) == pytest.approx(4.8)
    assert len(crossings(arc, other, 0.2)) == 2  # their centres lie 9.49 apart
    assert crossings(arc, upright, 5.1) == []
    assert crossings(upright, arc, 5.1) == []


def test_foot_and_fraction() -> None:
    line = Line(Point(1.0, 1.0), Point(7.0, 9.0))
    foot = foot_on(line, Point(0.0, 8.0))
    assert (foot.x, foot.y) == pytest.approx((4.0, 5.0))
    assert fraction_on(line, foot) == pytest.approx(0.5)
    assert fraction_on(line, Point(2.2, 2.6)) == pytest.approx(0.2)
    for ccw, sweep in ((True, 2.0), (False, -2.0)):
        arc = Arc(Point(1.0, 4.0), Point(1.0, 1.0).plus(Point(3.0, 0.0).rotated(math.pi / 2 + sweep)),
                  Point(1.0, 1.0), ccw)  # fmt: skip
        for at in (-0.3, 0.0, 0.25, 1.0, 1.4):
            angle = math.pi / 2 + at * sweep
            spot = foot_on(arc, arc.center.plus(Point.polar(8.5, angle)))
            assert spot.distance(arc.center) == pytest.approx(3.0)
            assert fraction_on(arc, spot) == pytest.approx(at)


def test_trimmed_keeps_what_it_is_not_told() -> None:
    arc = Arc(Point(5.0, 0.0), Point(0.0, 5.0), ORIGIN, True)
    spot = Point.polar(5.0, 0.6)
    assert trimmed(arc, start=spot) == Arc(spot, arc.end, ORIGIN, True)
    assert trimmed(arc, end=spot) == Arc(arc.start, spot, ORIGIN, True)
    assert trimmed(arc.reversed(), end=spot) == Arc(arc.end, spot, ORIGIN, False)
    line = Line(Point(1.0, 1.0), Point(7.0, 9.0))
    assert trimmed(line, start=Point(4.0, 5.0)) == Line(Point(4.0, 5.0), line.end)


def test_only_arcs_beyond_half_a_turn_are_parted() -> None:
    line = Line(Point(1.0, 1.0), Point(5.0, 0.0))
    half = Arc(Point(5.0, 0.0), Point(-5.0, 0.0), ORIGIN, True)
    long = Arc(Point(5.0, 0.0), Point.polar(5.0, 4.0), ORIGIN, True)
    assert half_turns([line, half]) == [line, half]
    first, second = half_turns([long])
    assert first.length == pytest.approx(10.0)
    assert second.length == pytest.approx(10.0)
    assert (first.start, second.end) == (long.start, long.end)
    assert first.end is second.start
    assert len(half_turns([long.reversed()])) == 2
