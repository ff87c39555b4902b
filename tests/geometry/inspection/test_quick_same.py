"""The quick comparison says yes to what really falls on itself, and no to everything else.

Held against `compare_outlines`, which looks edge by edge, and against turns known by hand.
"""

from __future__ import annotations

import math

import pytest

from geometry.inspection.compare import all_same, compare_outlines, quick_loop, same_outline
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.radial import at, groove_notch, notched_circle, round_notch
from geometry.segment import Arc
from tests.support.design import STARTERS, job

FINE = 1e-7
KEYED = notched_circle(9.3, [at(groove_notch(9.3, 3.1, 1.7), 0.4, "key")])


@pytest.mark.parametrize("name", STARTERS)
def test_every_turn_of_a_sheet_is_judged_as_by_the_slow_comparison(name: str) -> None:
    j = job(name)
    region, slots = j.parts["lamination"][0].cut[0], j.design.motor.slots
    loops = [quick_loop(loop) for loop in region.loops]
    verdicts = set()
    for k in range(slots):
        turn = 2 * math.pi * k / slots
        slow = not compare_outlines(region.loops, region.rotated(turn).loops, FINE)
        assert all_same(loops, [loop.turned(turn) for loop in loops], FINE) == slow
        verdicts.add(slow)
    assert verdicts == {True, False}


@pytest.mark.parametrize("axis", [0.0, 0.4, 1.1])
def test_a_mirror_image_is_that_of_the_outline(axis: float) -> None:
    dented = notched_circle(9.3, [at(round_notch(9.3, 0.8), a, "mark") for a in (0.2, 0.9, 2.3)])
    for loop in (KEYED, dented, Outline.polygon([(0, 0), (4.1, 0.3), (1.2, 3.7)])):
        image = quick_loop(loop).mirrored(axis)
        assert image.same(quick_loop(loop.mirrored(axis)), 1e-9)
        same = quick_loop(loop).same(image, FINE)
        assert same == same_outline(loop, loop.mirrored(axis), FINE)
        assert same == (loop is KEYED and axis == 0.4)  # the key lies on that axis


def test_a_small_fault_is_seen_wherever_it_lies() -> None:
    d = 3e-7
    moved = KEYED.moved(d, 0.0)
    assert not quick_loop(KEYED).same(quick_loop(moved), FINE)
    assert quick_loop(KEYED).same(quick_loop(moved), 1e-6)
    fatter = Outline.circle(Point(1.0, 2.0), 3.3 + d)
    assert not quick_loop(Outline.circle(Point(1.0, 2.0), 3.3)).same(quick_loop(fatter), FINE)
    # a circle has no corners: turned half arcs are the same circle
    spun = Outline.circle(Point(1.0, 2.0), 3.3).rotated(1.0, Point(1.0, 2.0))
    assert quick_loop(Outline.circle(Point(1.0, 2.0), 3.3)).same(quick_loop(spun), FINE)
    # equal corners, another bulge: only the middle tells
    k, arc = next((k, s) for k, s in enumerate(KEYED.segments) if isinstance(s, Arc))
    other_way = Arc(arc.start, arc.end, arc.center, not arc.ccw)
    bent = Outline((*KEYED.segments[:k], other_way, *KEYED.segments[k + 1 :]))
    assert not quick_loop(KEYED).same(quick_loop(bent), FINE)


def test_a_loop_too_many_or_used_twice_is_no_match() -> None:
    hole = Outline.circle(Point(2.0, 0.0), 0.7)
    other = Outline.circle(Point(-2.0, 0.0), 0.7)
    region = [quick_loop(o) for o in Region(KEYED, (hole, other)).loops]
    assert all_same(region, region[::-1], FINE)
    assert not all_same(region, [region[0], region[0], region[2]], FINE)
    assert not all_same(region, [*region, region[0]], FINE)
    assert not all_same([*region, region[0]], region, FINE)
