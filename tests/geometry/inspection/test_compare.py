"""The judge of every read-back: blind to start, sense and order, and to nothing else."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry import Arc, Line, Outline, Point
from geometry.inspection.compare import compare_outlines, same_outline
from tests.support.shape import O, blob, sheet_part, stadium, toothed

TOLERANCE = 1e-6


def _started_at(loop: Outline, k: int) -> Outline:
    return Outline(loop.segments[k:] + loop.segments[:k])


def _with_corner_moved(loop: Outline, k: int, dx: float, dy: float) -> Outline:
    """Return the polygon `loop` with corner k moved."""
    spots = [tuple(p) for p in loop.points]
    spots[k] = (spots[k][0] + dx, spots[k][1] + dy)
    return Outline.polygon([(x, y) for x, y in spots])


@given(st.integers(0, 40), st.integers(0, 8), st.booleans())
def test_start_and_sense_do_not_matter(seed: int, start: int, back: bool) -> None:
    loop = blob(seed)
    other = _started_at(loop, start)
    other = other.reversed() if back else other
    assert same_outline(loop, other, TOLERANCE)
    assert same_outline(other, loop, TOLERANCE)


def test_order_of_loops_does_not_matter() -> None:
    loops = list(sheet_part().loops)
    assert compare_outlines(loops, loops[::-1], TOLERANCE) == []
    assert compare_outlines([], [], TOLERANCE) == []


@pytest.mark.parametrize("step", [3.1e-6, -3.1e-6])
@pytest.mark.parametrize("corner", range(5))
def test_a_corner_off_by_three_tolerances_is_seen_and_half_a_one_is_not(
    corner: int, step: float
) -> None:
    loop = Outline.polygon([(0.0, 0.0), (7.3, -1.1), (9.9, 4.2), (5.1, 8.8), (-2.0, 5.7)])
    assert not same_outline(loop, _with_corner_moved(loop, corner, step, 0.0), TOLERANCE)
    assert not same_outline(loop, _with_corner_moved(loop, corner, 0.0, step), TOLERANCE)
    assert same_outline(loop, _with_corner_moved(loop, corner, step / 6, 0.0), TOLERANCE)


def test_the_edge_named_is_the_one_that_is_wrong_wherever_the_loop_starts() -> None:
    loop = Outline.polygon([(0.0, 0.0), (7.3, -1.1), (9.9, 4.2), (5.1, 8.8), (-2.0, 5.7)])
    wrong = _started_at(_with_corner_moved(loop, 3, 0.03, 0.04), 2).reversed()
    texts = compare_outlines([loop], [wrong], TOLERANCE)
    assert "edge 3 of 5, line from (9.9000, 4.2000) to (5.1000, 8.8000), ends 0.050000" in texts[-1]


def test_an_arc_replaced_by_its_chord_is_seen_with_its_place() -> None:
    wheel = toothed()
    first = wheel.segments[1]
    assert isinstance(first, Arc)
    edges = (wheel.segments[0], Line(first.start, first.end), *wheel.segments[2:])
    (text, *more) = compare_outlines([wheel], [Outline(edges)], TOLERANCE)
    assert "area is" in text
    edge = more[-1]
    assert "edge 2 of 28, arc of radius 33.7000 from" in edge
    sagitta = 33.7 - math.sqrt(33.7**2 - 2.15**2)
    assert f"passes its middle {sagitta:.6f} mm off; found line from" in edge
    assert "loop about (0.000, 0.000) of" in edge


def test_an_arc_that_bulges_the_other_way_is_seen() -> None:
    slot = stadium(7.3, 1.45)
    arc = slot.segments[1]
    assert isinstance(arc, Arc)
    edges = (slot.segments[0], Arc(arc.start, arc.end, arc.center, False), *slot.segments[2:])
    texts = compare_outlines([slot], [Outline(edges)], TOLERANCE)
    assert any("box is" in t for t in texts)
    assert any("passes its middle 2.900000 mm off" in t for t in texts)
    assert not any("perimeter" in t for t in texts)


def test_circles_are_compared_by_centre_and_radius_not_by_their_cut() -> None:
    circle = Outline.circle(Point(4.4, -2.7), 3.35)
    assert same_outline(circle, circle.rotated(0.83, Point(4.4, -2.7)), TOLERANCE)
    third = circle.segments[0]
    assert isinstance(third, Arc)
    cut = third.point_at(0.4)
    thirds = Outline(
        (
            Arc(third.start, cut, third.center, True),
            Arc(cut, third.end, third.center, True),
            circle.segments[1],
        )
    )
    assert same_outline(circle, thirds, TOLERANCE)
    assert not same_outline(circle, Outline.circle(Point(4.4, -2.7), 3.350003), TOLERANCE)
    (text,) = [
        t
        for t in compare_outlines([circle], [circle.moved(0.003, 0.004)], TOLERANCE)
        if "circle" in t
    ]
    assert "its centre is 0.005000 mm off" in text
    assert not same_outline(circle, stadium(0.4, 3.35).moved(4.4, -2.7), TOLERANCE)


def test_a_missing_and_a_surplus_loop_are_named_by_place_and_size() -> None:
    loops = list(sheet_part().loops)
    texts = compare_outlines(loops, loops[1:], TOLERANCE)
    assert texts == [
        "3 loops found, 4 expected",
        f"loop about (0.600, -0.400) of {math.pi * 11.3**2:.3f} mm2 is missing",
    ]
    extra = Outline.rectangle(1.7, 2.3, Point(50.0, 60.0))
    assert compare_outlines(loops, [*loops, extra], TOLERANCE) == [
        "5 loops found, 4 expected",
        "loop about (50.000, 60.000) of 3.910 mm2 is not expected",
    ]


def test_twice_the_same_loop_does_not_stand_for_two() -> None:
    small, large = Outline.circle(O, 2.0), Outline.circle(O, 3.0)
    texts = compare_outlines([small, large], [small, small], TOLERANCE)
    assert any("circle of radius 2.000000 mm, expected 3.000000" in t for t in texts)


def test_another_number_of_edges_is_seen() -> None:
    square = Outline.rectangle(4.0, 3.0)
    a, b, c, d = square.points
    split = Outline.polygon([a, (0.0, -1.5), b, c, d])
    texts = compare_outlines([square], [split], TOLERANCE)
    assert texts == ["loop about (0.000, 0.000) of 12.000 mm2: 5 edges, expected 4"]


def test_inches_taken_for_millimetres_are_seen() -> None:
    loop = Outline.rectangle(25.4, 50.8)
    texts = compare_outlines([loop], [Outline.rectangle(1.0, 2.0)], TOLERANCE)
    assert any("perimeter is 6.000000 mm, expected 152.400000" in t for t in texts)
