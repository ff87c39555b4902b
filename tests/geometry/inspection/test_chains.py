"""Loose edges become outlines, and what does not close is told with its place and size."""

from __future__ import annotations

import math
import random

import pytest
from ezdxf import edgeminer
from ezdxf.math import Vec3

from geometry import Arc, Line, Outline, Point
from geometry.inspection.chains import JOIN, chain_edges
from geometry.inspection.compare import compare_outlines
from geometry.segment import Segment
from tests.support.shape import blob, stadium, toothed


def _loose(loops: list[Outline], seed: int) -> list[Segment]:
    """Return all edges of the loops in any order and direction."""
    dice = random.Random(seed)
    edges = [e.reversed() if dice.random() < 0.5 else e for loop in loops for e in loop.segments]
    dice.shuffle(edges)
    return edges


@pytest.mark.parametrize("seed", range(8))
def test_edges_in_any_order_and_direction_give_the_outlines_back(seed: int) -> None:
    loops = [toothed(), stadium(2.9, 0.85).moved(1.3, 90.0), blob(seed).moved(200.0, 0.0)]
    found = chain_edges(_loose(loops, seed))
    assert not found.runs
    assert not found.ends
    assert not found.junctions
    outlines = [c.outline for c in found.loops if c.outline]
    assert compare_outlines(loops, outlines, 1e-9) == []
    assert sorted(k for c in found.loops for k in c.edges) == list(
        range(sum(len(loop.segments) for loop in loops))
    )
    assert max(c.gap for c in found.loops) == 0.0


def _square_with_gap(gap: float) -> list[Segment]:
    return [
        Line(Point(0.0, 0.0), Point(30.7, 0.0)),
        Line(Point(30.7, 20.3), Point(30.7, 0.0)),
        Line(Point(30.7, 20.3), Point(0.0, 20.3)),
        Line(Point(0.0, gap), Point(0.0, 20.3)),
    ]


@pytest.mark.parametrize("gap", [3e-7, 0.0009])
def test_a_gap_within_the_tolerance_closes_and_is_told(gap: float) -> None:
    (loop,) = chain_edges(_square_with_gap(gap)).loops
    assert loop.outline is not None
    assert loop.gap == pytest.approx(gap, rel=1e-9)
    assert loop.where.distance(Point(0.0, 0.0)) <= gap
    assert loop.outline.area == pytest.approx(30.7 * 20.3, abs=31 * gap)


@pytest.mark.parametrize("gap", [0.0011, 0.35, 7.0])
def test_a_larger_gap_stays_open_with_place_size_and_partner(gap: float) -> None:
    found = chain_edges(_square_with_gap(gap))
    assert not found.loops
    (run,) = found.runs
    assert len(run.edges) == 4
    assert {e.where for e in found.ends} == {Point(0.0, 0.0), Point(0.0, gap)}
    for end in found.ends:
        assert end.gap == pytest.approx(gap, rel=1e-12)
        assert end.nearest == Point(0.0, gap - end.where.y)


def test_the_tolerance_is_an_argument() -> None:
    assert chain_edges(_square_with_gap(0.35), tolerance=0.4).loops
    assert not chain_edges(_square_with_gap(0.35), tolerance=0.3).loops


@pytest.mark.parametrize("seed", range(6))
def test_arcs_whose_ends_are_off_by_less_than_the_tolerance_hardly_move(seed: int) -> None:
    dice = random.Random(seed)

    def off(p: Point) -> Point:
        return p.plus(Point.polar(dice.uniform(0.0, 0.45 * JOIN), dice.uniform(0.0, 6.28)))

    shape = toothed()
    edges: list[Segment] = []
    for e in shape.segments:  # a controller's rounding: ends and centre off by a little
        shift = off(Point(0.0, 0.0))
        edges.append(e.moved(*shift))
    (loop,) = chain_edges(edges).loops
    assert loop.outline is not None
    assert 0.0 < loop.gap < JOIN
    for new, old in zip(loop.segments, shape.segments, strict=True):
        for k in range(9):
            assert new.point_at(k / 8).distance(old.point_at(k / 8)) < 2 * JOIN
        if isinstance(old, Arc):
            assert isinstance(new, Arc)
            assert new.radius == pytest.approx(old.radius, rel=0.02)


def test_an_arc_of_almost_a_whole_turn_is_a_circle() -> None:
    c, r = Point(3.1, -2.2), 14.7
    almost = Arc(c.plus(Point.polar(r, 0.00002)), c.plus(Point.polar(r, -0.00003)), c, True)
    (loop,) = chain_edges([almost]).loops
    assert loop.outline is not None
    assert loop.gap == pytest.approx(r * 0.00005, rel=1e-6)
    assert loop.outline.area == pytest.approx(math.pi * r * r, rel=1e-4)


def test_three_ways_meet() -> None:
    edges = [*_square_with_gap(0.0), Line(Point(0.0, 0.0), Point(30.7, 20.3))]
    found = chain_edges(edges)
    assert {j.where for j in found.junctions} == {Point(0.0, 0.0), Point(30.7, 20.3)}
    assert all(len(j.edges) == 3 and 4 in j.edges for j in found.junctions)
    assert not found.loops
    assert not found.ends
    assert sorted(len(r.edges) for r in found.runs) == [1, 2, 2]


def test_a_loop_closed_by_its_own_entity_survives_a_line_that_ends_on_its_corner() -> None:
    edges = [*_square_with_gap(0.0)]
    edges = [edges[0], edges[1].reversed(), edges[2], edges[3].reversed()]
    stray = Line(Point(30.7, 20.3), Point(44.0, 29.0))
    found = chain_edges([*edges, stray], closed=[(0, 4)])
    (loop,) = found.loops
    assert loop.outline is not None
    assert [j.where for j in found.junctions] == [Point(30.7, 20.3)]
    assert [e.where for e in found.ends] == [Point(44.0, 29.0)]
    assert found.ends[0].nearest is None


def test_edges_left_out_are_passed_over() -> None:
    double = Line(Point(30.7, 0.0), Point(0.0, 0.0))
    edges = [*_square_with_gap(0.0), double]
    assert chain_edges(edges).junctions
    found = chain_edges(edges, leave_out=frozenset({4}))
    assert len(found.loops) == 1
    assert not found.junctions


def test_nothing_gives_nothing() -> None:
    found = chain_edges([])
    assert (found.loops, found.runs, found.ends, found.junctions) == ((), (), (), ())


@pytest.mark.parametrize("seed", range(5))
def test_open_runs_agree_with_the_edge_miner_of_ezdxf(seed: int) -> None:
    dice = random.Random(seed)
    loops = [blob(seed, 14), toothed(9), stadium(8.0, 1.1).moved(70.0, 70.0)]
    edges = [e for e in _loose(loops, seed) if dice.random() < 0.8]
    found = chain_edges(edges)
    theirs = edgeminer.Deposit(
        [edgeminer.make_edge(Vec3(*e.start), Vec3(*e.end), e.length) for e in edges], gap_tol=JOIN
    )
    chains = edgeminer.find_all_simple_chains(theirs)
    ours = sorted((len(c.edges), round(sum(s.length for s in c.segments), 6)) for c in (*found.loops, *found.runs))  # fmt: skip
    assert ours == sorted((len(c), round(sum(e.length for e in c), 6)) for c in chains)
    assert len(found.ends) == 2 * len(found.runs)
