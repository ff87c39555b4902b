"""How a sheet falls on itself when it is turned or flipped."""

from __future__ import annotations

import math

import pytest

from geometry import Arc, Outline, Point, Region
from geometry.inspect.symmetry import SAME, symmetry, whole_edges
from geometry.segment import Segment
from recipes.hub import rotation_step
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


@pytest.mark.parametrize("name", STARTERS)
def test_our_laminations_turn_by_their_step_and_show_a_flip(name: str) -> None:
    made = job(name)
    slots = made.design.motor.slots
    found = symmetry(made.parts["lamination"][0].cut)
    assert found.order == slots // rotation_step(made.design)
    assert found.outer_order == slots
    assert not found.mirrored
