"""Cutting lines and arcs at straight edges, compared with shapely on chords."""

from __future__ import annotations

import math
import random

import pytest
import shapely

from geometry.clip import clipped, clipped_to_box, runs_in
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line
from recipes.catalogue import Parts
from tests.support.design import job

CIRCLE = Outline.circle(Point(3.1, 2.2), 41.7)
LAMINATION = Parts(job())["lamination"][0].cut[0].outer
BAR = Outline.polygon([(-31.3, -4.1), (47.7, -4.1), (47.7, 6.9), (-31.3, 6.9)])


def shape(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.chords(0.00005))


def boxes() -> list[tuple[float, float, float, float]]:
    chance = random.Random(20)
    found = []
    for _ in range(25):
        x, y = chance.uniform(-80, 60), chance.uniform(-80, 60)
        found.append((x, y, x + chance.uniform(5, 120), y + chance.uniform(5, 120)))
    return found


@pytest.mark.parametrize("outline", [CIRCLE, LAMINATION, BAR], ids=["circle", "lamination", "bar"])
def test_runs_and_loops_are_those_of_shapely(outline: Outline) -> None:
    whole = shape(outline)
    seen = 0.0
    for box in boxes():
        frame = shapely.box(*box)
        length = sum(s.length for run in runs_in(outline.segments, box) for s in run)
        assert length == pytest.approx(whole.exterior.intersection(frame).length, abs=0.02)
        loops = clipped_to_box(outline, box)
        area = sum(loop.area for loop in loops)
        assert area == pytest.approx(whole.intersection(frame).area, abs=0.02)
        assert all(loop.ccw == outline.ccw for loop in loops)
        seen += area
    assert seen > 500.0


def test_new_ends_lie_on_the_old_carriers_and_runs_hang_together() -> None:
    for box in boxes():
        for run in runs_in(CIRCLE.segments, box):
            for s in run:
                assert isinstance(s, Arc)
                assert s.center == Point(3.1, 2.2)
                assert s.radius == pytest.approx(41.7, abs=1e-9)
            assert all(a.end == b.start for a, b in zip(run, run[1:], strict=False))  # noqa: RUF007


def test_a_closed_run_inside_comes_whole_and_one_outside_not_at_all() -> None:
    (run,) = runs_in(CIRCLE.segments, (-60.0, -60.0, 60.0, 60.0))
    assert run == CIRCLE.segments
    assert runs_in(CIRCLE.segments, (-20.0, -20.0, 20.0, 20.0)) == []
    assert clipped_to_box(CIRCLE, (-20.0, -20.0, 20.0, 20.0))[0].area == pytest.approx(1600.0)
    assert clipped_to_box(CIRCLE, (90.0, 90.0, 120.0, 120.0)) == []


def test_a_run_that_was_cut_open_at_its_start_is_one_run() -> None:
    """The first edge begins inside: what lies before and after it is one run, not two."""
    (run,) = runs_in(BAR.segments, (-40.0, -10.0, 10.0, 10.0))
    assert sum(s.length for s in run) == pytest.approx(2 * 41.3 + 11.0)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_an_edge_along_the_border_keeps_or_loses_the_outline_whole(sign: float) -> None:
    side = Point(0.0, sign), sign * 6.9
    loops = clipped(BAR, side)
    assert [loop.area for loop in loops] == ([pytest.approx(BAR.area)] if sign > 0 else [])


def test_one_cut_through_two_arms_leaves_two_loops() -> None:
    fork = Outline.polygon([(0, 0), (30, 0), (30, 20), (22, 20), (22, 7), (9, 7), (9, 20), (0, 20)])
    loops = clipped(fork, (Point(0.0, -1.0), -11.0))
    assert sorted(loop.area for loop in loops) == pytest.approx([8 * 9.0, 9 * 9.0])
    assert sum(loop.area for loop in clipped(fork, (Point(0.0, 1.0), 11.0))) == pytest.approx(
        fork.area - 153.0
    )


def test_a_slanted_border_cuts_a_circle_to_the_segment_of_the_formula() -> None:
    """Circular segment: r^2 (a - sin a) / 2 (any handbook of plane figures)."""
    normal = Point.polar(1.0, 0.7)
    offset = Point(3.1, 2.2).dot(normal) + 17.3
    (loop,) = clipped(CIRCLE, (normal, offset))
    angle = 2 * math.acos(17.3 / 41.7)
    segment = 41.7**2 * (angle - math.sin(angle)) / 2
    assert loop.area == pytest.approx(CIRCLE.area - segment, rel=1e-12)
    assert sum(isinstance(s, Line) for s in loop.segments) == 1


def test_a_clockwise_loop_is_parted_into_the_same_pieces() -> None:
    """A comb with three teeth of unequal width, cut through the teeth: three pieces and the back."""
    comb = Outline.polygon(
        [(0.0, 0.0), (11.0, 0.0), (11.0, 5.0), (8.0, 5.0), (8.0, 2.0), (6.0, 2.0), (6.0, 5.0),
         (4.0, 5.0), (4.0, 2.0), (1.0, 2.0), (1.0, 5.0), (0.0, 5.0)]
    )  # fmt: skip
    for loop in (comb, comb.reversed()):
        above = clipped(loop, (Point(0.0, -1.0), -3.1))
        assert sorted(p.area for p in above) == pytest.approx([1.9, 3.8, 5.7])
        assert all(p.ccw is loop.ccw for p in above)
        (below,) = clipped(loop, (Point(0.0, 1.0), 3.1))
        assert below.area == pytest.approx(22.0 + 6.0 * 1.1)
        assert below.perimeter == pytest.approx(2 * 11.0 + 2 * 3.1 + 4 * 1.1)
        assert below.ccw is loop.ccw
