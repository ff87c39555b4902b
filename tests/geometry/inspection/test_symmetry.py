"""How a sheet falls on itself when it is turned or flipped."""

from __future__ import annotations

import math

import pytest

from geometry import Arc, Outline, Point, Region
from geometry.inspection.compare import SAME, symmetry, whole_edges
from geometry.segment import Segment
from recipes.catalogue import Parts
from recipes.stator.hub import rotation_step
from tests.support.design import STARTERS, job
from tests.support.shape import blob, stadium, toothed

C = Point(17.3, -41.9)


def _holes(count: int, radius: float, circle: float, start: float = 0.3) -> list[Outline]:
    step = 2 * math.pi / count
    return [Outline.circle(Point.polar(circle, start + k * step), radius) for k in range(count)]


@pytest.mark.parametrize(
    ("outer", "holes", "order", "mirrored"),
    [
        (toothed(7), [], 7, True),
        (toothed(12), _holes(4, 1.3, 12.0), 4, False),
        (toothed(12), _holes(4, 1.3, 12.0, 0.137), 4, True),
        (toothed(12), _holes(8, 1.3, 12.0, 0.137), 4, True),
        (toothed(12), _holes(5, 1.3, 12.0), 1, False),
        (toothed(12), [Outline.circle(Point(0.0, 0.0), 9.9)], 12, True),
        (Outline.rectangle(30.3, 30.3), [], 4, True),
        (Outline.rectangle(30.3, 22.2), [], 2, True),
        (stadium(8.1, 3.3), [], 2, True),
        (Outline.circle(Point(0.0, 0.0), 25.0), _holes(5, 1.3, 12.0), 5, True),
        (Outline.circle(Point(0.0, 0.0), 25.0), [], 0, True),
        (blob(4), [], 1, False),
    ],
)
def test_order_and_flip(outer: Outline, holes: list[Outline], order: int, mirrored: bool) -> None:
    region = Region(outer, tuple(holes)).rotated(1.234).moved(*C)
    found = symmetry([region])
    assert (found.order, found.mirrored) == (order, mirrored)
    assert found.center.distance(region.outer.centroid) < 1e-9
    mirror = symmetry([region.mirrored(0.4)])
    assert (mirror.order, mirror.mirrored) == (order, mirrored)


def test_edges_cut_anywhere_are_the_same_edges() -> None:
    shape = toothed(7)
    parts: list[Segment] = []
    for k, s in enumerate(shape.segments):
        if isinstance(s, Arc) and k % 5 == 1:
            middle = s.point_at(0.37)
            parts += [Arc(s.start, middle, s.center, s.ccw), Arc(middle, s.end, s.center, s.ccw)]
        else:
            parts.append(s)
    cut = Outline(tuple(parts))
    assert len(cut.segments) > len(shape.segments)
    merged = whole_edges(cut)
    assert isinstance(merged, list)
    assert len(merged) == len(shape.segments)
    assert symmetry([Region(cut)]).order == 7


def _marked(off: float) -> Region:
    """Return a toothed sheet with a small hole beside the middle of every tooth."""
    holes = [Outline.circle(Point(29.0, off), 0.5).rotated(0.137 + 2 * math.pi * k / 7) for k in range(7)]  # fmt: skip
    return Region(toothed(7), tuple(holes))


def test_a_mark_beside_the_middle_shows_a_flip_and_lets_the_stack_turn() -> None:
    assert symmetry([_marked(0.8)]).mirrored is False
    assert symmetry([_marked(0.8)]).order == 7
    assert symmetry([_marked(0.0)]).mirrored is True


def test_the_tolerance_is_a_hundredth() -> None:
    assert symmetry([_marked(0.4 * SAME)]).mirrored is True
    assert symmetry([_marked(2.0 * SAME)]).mirrored is False


def test_what_breaks_the_turning_is_named() -> None:
    odd = Outline.circle(Point(4.1, 12.2), 1.1)
    found = symmetry([Region(toothed(9), (*_holes(3, 2.0, 10.0), odd))])
    assert (found.order, found.outer_order) == (1, 9)
    assert found.breaker is not None
    assert found.breaker.distance(Point(4.1, 12.2)) < 1e-9


def _breaker(outer: Outline, holes: list[Outline]) -> tuple[Point, int]:
    """Return what breaks the turning of a sheet that lies askew off the origin, turned back."""
    found = symmetry([Region(outer, tuple(holes)).rotated(1.234).moved(*C)])
    assert found.breaker is not None
    return found.breaker.minus(C).rotated(-1.234), found.order


@pytest.mark.parametrize("swap", [False, True])
def test_the_smallest_of_two_odd_holes_is_named(swap: bool) -> None:
    odd = [Outline.circle(Point(4.1, 12.2), 1.1), Outline.circle(Point(-7.3, 9.4), 0.7)]
    spot, order = _breaker(toothed(12), [*_holes(12, 0.5, 5.0), *(odd[::-1] if swap else odd)])
    assert order == 1
    assert spot.distance(Point(-7.3, 9.4)) < 1e-9


@pytest.mark.parametrize("outer", [toothed(12), Outline.circle(Point(0.0, 0.0), 25.0)])
def test_what_the_fewest_things_break_goes_before_what_is_smallest(outer: Outline) -> None:
    """Four small holes hinder a turn by a third, but only the large one a turn by a quarter."""
    odd = Outline.circle(Point(4.1, 12.2), 2.9)
    spot, order = _breaker(outer, [*_holes(4, 0.6, 7.0), odd])
    assert order == 1
    assert spot.distance(Point(4.1, 12.2)) < 1e-9


def test_higher_orders_are_multiples_of_the_one_that_is_left() -> None:
    """14 holes and 7 larger ones fall on themselves by sevenths; the seven hinder fourteenths."""
    disc = Outline.circle(Point(0.0, 0.0), 25.0)
    spot, order = _breaker(disc, [*_holes(14, 0.6, 7.0), *_holes(7, 1.7, 15.5, 0.05)])
    assert order == 7
    assert spot.length() == pytest.approx(15.5)
    assert math.remainder(math.atan2(spot.y, spot.x) - 0.05, 2 * math.pi / 7) == pytest.approx(0)


def test_a_window_that_breaks_the_turning_is_named_by_its_shortest_edge() -> None:
    middle = Point(4.1, 12.2)
    window = Outline.rectangle(4.3, 1.7, middle).rotated(0.37, middle)
    spot, order = _breaker(toothed(9), [*_holes(9, 0.5, 5.0), window])
    assert order == 1
    side = Point.polar(4.3 / 2, 0.37)
    assert min(spot.distance(middle.plus(side, k)) for k in (1.0, -1.0)) < 1e-9


def test_a_hole_smaller_than_an_edge_goes_before_it() -> None:
    """The hole counts by its radius: 0.9 is less than the 1.7 of the window's edge, 2.1 more."""
    middle = Point(4.1, 12.2)
    window = Outline.rectangle(4.3, 1.7, middle)
    for radius, aside in ((0.9, 0.0), (2.1, 4.3 / 2)):
        odd = Outline.circle(Point(-9.3, 6.4), radius)
        spot, _ = _breaker(toothed(9), [*_holes(9, 0.5, 4.0), window, odd])
        assert spot.distance(middle if aside else Point(-9.3, 6.4)) == pytest.approx(aside)


def test_windows_that_fall_on_each_other_hinder_nothing() -> None:
    """Nine windows with sides of 0.9 mm go round with the teeth; the hole of 2.1 mm does not."""
    window = Outline.rectangle(2.3, 0.9, Point(16.1, 2.7))
    windows = [window.rotated(2 * math.pi * k / 9) for k in range(9)]
    spot, order = _breaker(toothed(9), [*windows, Outline.circle(Point(4.1, 5.2), 2.1)])
    assert order == 1
    assert spot.distance(Point(4.1, 5.2)) < 1e-9


def test_several_sheets_have_one_centre_weighed_by_area() -> None:
    """Two discs of 5 and 3 mm: areas as 25 to 9 (centre of gravity, any textbook)."""
    one, two = Point(17.3, -41.9), Point(41.2, -30.5)
    found = symmetry([Region(Outline.circle(p, r)) for p, r in ((one, 5.0), (two, 3.0))])
    assert found.center.distance(one.plus(two.minus(one), 9 / 34)) < 1e-9
    assert (found.order, found.mirrored, found.breaker) == (1, True, None)
    even = [Region(Outline.circle(Point.polar(31.7, 0.4 + 2 * math.pi * k / 5).plus(C), 5.0)) for k in range(5)]  # fmt: skip
    found = symmetry(even)
    assert (found.order, found.outer_order, found.mirrored) == (5, 5, True)
    assert found.center.distance(C) < 1e-9


@pytest.mark.parametrize("name", STARTERS)
def test_our_laminations_turn_by_their_step_and_show_a_flip(name: str) -> None:
    made = job(name)
    slots = made.design.motor.slots
    found = symmetry(Parts(made)["lamination"][0].cut)
    assert found.order == slots // rotation_step(
        made.design.hub, made.design.lamination, made.design.motor.slots
    )
    assert found.outer_order == slots
    assert not found.mirrored
