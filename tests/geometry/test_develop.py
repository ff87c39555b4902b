import math

import pytest

from geometry.develop import develop
from geometry.errors import GeometryError
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line

T = 0.23


def test_a_straight_wall_keeps_its_length() -> None:
    strip = develop([Line(ORIGIN, Point(7.3, 0.0)), Line(Point(7.3, 0.0), Point(9.0, 0.0))], T, 0.4)
    assert strip.length == pytest.approx(9.0)
    assert strip.bends == ()


@pytest.mark.parametrize("sign", [1, -1])
def test_arcs_count_at_mid_thickness(sign: int) -> None:
    # Neutral line of a bend at t / 2 (bend allowance of any sheet-metal handbook).
    arc = Arc(Point(5.0, 0.0), Point.polar(5.0, sign * 1.1), ORIGIN, sign > 0)
    strip = develop([arc], T, 0.4)
    assert strip.length == pytest.approx(1.1 * (5.0 - sign * T / 2))
    assert strip.bends[0].angle == pytest.approx(sign * 1.1)
    assert strip.bends[0].position == pytest.approx(strip.length / 2)


def test_sharp_inner_corner_is_shortened_by_043_radius_per_quarter_turn() -> None:
    # Common practice: rounding a square corner saves (2 - pi / 2) R = 0.43 R along the outside;
    # at mid-thickness a further pi / 2 * t / 2 goes.
    wall = [Line(Point(-8.0, 0.0), ORIGIN), Line(ORIGIN, Point(0.0, 6.0))]
    paper = 1.75 * T
    strip = develop(wall, T, paper)
    assert strip.length == pytest.approx(14.0 - (2 - math.pi / 2) * paper - math.pi / 4 * T)
    assert strip.bends[0].position == pytest.approx(8.0 + (strip.length - 14.0) / 2)


def test_sharp_outer_corner_adds_half_a_thickness_per_radian() -> None:
    wall = [Line(Point(-8.0, 0.0), ORIGIN), Line(ORIGIN, Point(0.0, -6.0))]
    assert develop(wall, T, 0.4).length == pytest.approx(14.0 + math.pi / 4 * T)


def test_a_round_tighter_than_paper_counts_as_its_sharp_corner() -> None:
    paper = 0.5
    sharp = [Line(Point(-8.0, 0.0), ORIGIN), Line(ORIGIN, Point(0.0, 6.0))]
    r = 0.2
    rounded = [
        Line(Point(-8.0, 0.0), Point(-r, 0.0)),
        Arc(Point(-r, 0.0), Point(0.0, r), Point(-r, r), True),
        Line(Point(0.0, r), Point(0.0, 6.0)),
    ]
    assert develop(rounded, T, paper).length == pytest.approx(develop(sharp, T, paper).length)
    loose = develop(rounded, T, 0.1).length
    assert loose == pytest.approx(14.0 - 2 * r + math.pi / 2 * (r - T / 2))


def test_paper_too_thick_for_its_wall_is_refused() -> None:
    wall = [Line(Point(-0.1, 0.0), ORIGIN), Line(ORIGIN, Point(0.0, 6.0))]
    with pytest.raises(GeometryError, match="too thick"):
        develop(wall, 1.0, 2.0)
