import itertools
import math

import pytest

from geometry.errors import GeometryError
from geometry.fillet import corner_turn, fillet, largest_radius, round_corners
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line


def corner(inner_degrees: float, length: float = 40.0) -> tuple[Line, Line]:
    """Return two lines that meet at (0, 0) and enclose `inner_degrees`."""
    a = Line(Point(length, 0.0), ORIGIN)
    return a, Line(ORIGIN, Point.polar(length, math.radians(inner_degrees)))


# Tangent length, removed area, arc length, corner-to-arc distance for r = 1: elementary plane
# geometry, r / tan(phi / 2) and r^2 (1 / tan(phi / 2) - (pi - phi) / 2); the printed digits are
# those of tests/reference/fillet_identities.csv.
IDENTITIES = {60: (1.732051, 0.684853), 90: (1.0, 0.214602), 120: (0.577350, 0.053751), 150: (0.267949, 0.006150)}  # fmt: skip


@pytest.mark.parametrize("degrees", IDENTITIES)
@pytest.mark.parametrize("radius", [1.0, 3.7])
def test_line_line_round_obeys_the_tangent_identities(degrees: int, radius: float) -> None:
    a, b = corner(degrees)
    before, arc, after = fillet(a, b, radius)
    tangent, removed = IDENTITIES[degrees]
    assert before.end.distance(ORIGIN) == pytest.approx(tangent * radius, abs=2e-6 * radius)
    assert after.start.distance(ORIGIN) == pytest.approx(tangent * radius, abs=2e-6 * radius)
    assert arc.length == pytest.approx(radius * (math.pi - math.radians(degrees)))
    cut_off = Outline((Line(arc.start, ORIGIN), Line(ORIGIN, arc.end), arc.reversed()))
    assert cut_off.area == pytest.approx(removed * radius**2, abs=2e-6 * radius**2)
    phi = math.radians(degrees)
    assert ORIGIN.distance(arc.point_at(0.5)) == pytest.approx(radius / math.sin(phi / 2) - radius)


def smooth(a, b) -> bool:
    return a.end == b.start and abs(corner_turn(a, b)) < 1e-7


@pytest.mark.parametrize("radius", [0.21, 0.8, 1.9])
@pytest.mark.parametrize("turned", [0.0, 1.1, 4.0])
def test_line_arc_round_is_tangent_to_both(radius: float, turned: float) -> None:
    # A tooth flank that runs into a slot bottom of 23 mm about the centre.
    meet = Point(math.sqrt(23.0**2 - 2.5**2), 2.5)
    flank = Line(Point(34.0, 2.5), meet).rotated(turned)
    floor = Arc(meet, Point.polar(23.0, 0.4), ORIGIN, True).rotated(turned)
    before, arc, after = fillet(flank, floor, radius)
    assert smooth(before, arc)
    assert smooth(arc, after)
    assert arc.radius == pytest.approx(radius, abs=1e-9)
    assert arc.center.distance(ORIGIN) == pytest.approx(23.0 + radius, abs=1e-9)


@pytest.mark.parametrize("radius", [0.3, 1.7])
def test_arc_arc_round_is_tangent_to_both(radius: float) -> None:
    big = Arc(Point.polar(10.0, 0.2), Point.polar(10.0, 1.3), ORIGIN, True)
    center = Point(13.0, 9.0)
    spoke = big.end.minus(center)
    small = Arc(big.end, center.plus(spoke.rotated(-0.9)), center, False)
    before, arc, after = fillet(big, small, radius)
    assert smooth(before, arc)
    assert smooth(arc, after)
    assert arc.radius == pytest.approx(radius, abs=1e-9)


def test_a_round_that_does_not_fit_names_the_largest_that_does() -> None:
    a, b = corner(70.0, length=6.3)
    limit = 6.3 * math.tan(math.radians(35.0))
    with pytest.raises(GeometryError, match="at most") as caught:
        fillet(a, b, 5.0)
    assert caught.value.limit == pytest.approx(limit, rel=2e-6)
    assert caught.value.limit < limit
    fillet(a, b, caught.value.limit)
    assert largest_radius(a, b) == pytest.approx(limit, rel=2e-6)


@pytest.mark.parametrize("radius", [-1.0, 0.0])
def test_a_round_needs_a_radius(radius: float) -> None:
    with pytest.raises(GeometryError):
        fillet(*corner(80.0), radius)


def test_a_smooth_joint_and_a_gap_are_refused() -> None:
    straight = Line(Point(-3.0, 0.0), ORIGIN), Line(ORIGIN, Point(4.0, 0.0))
    with pytest.raises(GeometryError, match="no corner"):
        fillet(*straight, 0.5)
    with pytest.raises(GeometryError, match="do not meet"):
        fillet(Line(Point(-3.0, 0.0), ORIGIN), Line(Point(0.0, 1.0), Point(4.0, 0.0)), 0.5)


def test_rounding_many_corners_keeps_shared_points_and_names_the_one_that_fails() -> None:
    spots = [Point(0, 0), Point(9, 0), Point(9, 5), Point(2, 7), Point(2, 11)]
    run = [Line(a, b) for a, b in itertools.pairwise(spots)]
    done = round_corners(run, {0: 1.3, 2: 0.7})
    assert [type(s).__name__ for s in done] == ["Line", "Arc", "Line", "Line", "Arc", "Line"]
    assert all(a.end == b.start for a, b in itertools.pairwise(done))
    with pytest.raises(GeometryError, match="the neck") as caught:
        round_corners(run, {0: 1.3, 1: 30.0}, {1: "the neck"})
    assert caught.value.value == 30.0
