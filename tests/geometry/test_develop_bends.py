"""Every field of every bend of an unfolded strip, and what an error about one says."""

import math

import pytest

from geometry.develop import develop
from geometry.errors import GeometryError
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line

T = 0.31


def test_a_bend_says_its_angle_its_own_radius_and_that_of_the_wall() -> None:
    """At mid-thickness the strip lies t / 2 off the wall (bend allowance, sheet-metal handbooks)."""
    away = Arc(Point(4.3, 0.0), Point.polar(4.3, -0.9), ORIGIN, False)
    along = Arc(Point(4.3, 0.0), Point.polar(4.3, 0.7), ORIGIN, True)
    (bend,) = develop([away], T, 0.4).bends
    assert (bend.angle, bend.radius, bend.wall_radius) == pytest.approx((-0.9, 4.455, 4.3))
    (bend,) = develop([along], T, 0.4).bends
    assert (bend.angle, bend.radius, bend.wall_radius) == pytest.approx((0.7, 4.145, 4.3))


def test_bends_at_corners_lie_in_order_along_the_strip() -> None:
    """Two right angles to the left, one to the right: each takes half of its change on both sides."""
    paper = 0.57
    wall = [
        Line(Point(0.0, 0.0), Point(7.0, 0.0)),
        Line(Point(7.0, 0.0), Point(7.0, 5.0)),
        Line(Point(7.0, 5.0), Point(3.0, 5.0)),
        Line(Point(3.0, 5.0), Point(3.0, 11.0)),
    ]
    strip = develop(wall, T, paper)
    inner = math.pi / 2 * (paper - T / 2) - 2 * paper  # R49: both tangent lengths go, the arc comes
    outer = math.pi / 2 * T / 2
    assert strip.length == pytest.approx(22.0 + 2 * inner + outer)
    first, second, third = strip.bends
    assert first.position == pytest.approx(7.0 + inner / 2)
    assert second.position == pytest.approx(12.0 + inner * 1.5)
    assert third.position == pytest.approx(16.0 + inner * 2 + outer / 2)
    assert [b.angle for b in strip.bends] == pytest.approx([math.pi / 2, math.pi / 2, -math.pi / 2])
    assert [b.radius for b in strip.bends] == pytest.approx([0.415, 0.415, 0.155])
    assert [b.wall_radius for b in strip.bends] == [0.0, 0.0, 0.0]


def test_where_the_wall_is_tighter_the_bend_has_the_radius_of_the_paper() -> None:
    r, paper, turn = 0.2, 0.5, 1.2
    arc = Arc(Point(r, 0.0), Point.polar(r, turn), ORIGIN, True)
    run_in = Line(Point(r, -6.0), Point(r, 0.0))
    strip = develop([run_in, arc], T, paper)
    (bend,) = strip.bends
    change = turn * (paper - T / 2) - 2 * (paper - r) * math.tan(turn / 2)
    assert strip.length == pytest.approx(6.0 + change)
    assert bend.position == pytest.approx(6.0 + change / 2)
    assert (bend.angle, bend.radius, bend.wall_radius) == pytest.approx((turn, paper - T / 2, r))


@pytest.mark.parametrize("lead", [0, 1])
def test_a_strip_that_is_too_thick_names_edge_thickness_and_way_out(lead: int) -> None:
    """The corner eats more than lies before it; with a short edge in front it is the second."""
    wall = [Line(Point(-0.1, 0.0), ORIGIN), Line(ORIGIN, Point(0.0, 6.0))]
    if lead:
        wall = [Line(Point(-0.13, -0.02), Point(-0.1, 0.0)), *wall]
    with pytest.raises(GeometryError, match="too thick") as caught:
        develop(wall, 1.1, 2.3)
    assert caught.value.value == 1.1
    assert caught.value.where == wall[lead].start
    assert caught.value.hint
