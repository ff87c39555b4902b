"""What the looks at a foreign drawing say, field by field, where one number gives another away."""

from __future__ import annotations

import math

import pytest

from geometry import Arc, Line, Outline, Point, Region
from geometry.inspection.chains import Nesting, chain_edges, nest
from geometry.inspection.compare import symmetry
from geometry.inspection.edges import WITHIN, EdgeTable, doubles, near_pairs, overlaps
from geometry.segment import Segment


def test_regions_by_depth() -> None:
    """Sheet, hole, island, hole in the island, and a second sheet: three pieces."""
    loops = [Outline.circle(Point(0.0, 0.0), r) for r in (9.0, 7.1, 5.3, 2.2)]
    loops.append(Outline.rectangle(3.1, 2.3, Point(20.0, 0.0)))
    found = Nesting((0, 1, 2, 3, 0), (None, 0, 1, 2, None)).regions(loops)
    assert [len(r.holes) for r in found] == [1, 1, 0]
    assert [r.area for r in found] == pytest.approx(
        [math.pi * (81.0 - 7.1**2), math.pi * (5.3**2 - 2.2**2), 7.13]
    )
    # A hole whose holder is an open run belongs to no piece.
    (only,) = Nesting((1, 0), (None, None)).regions(loops[:2])
    assert only.area == loops[1].area
    assert only.holes == ()


def _frame(*gaps: int) -> list[Segment]:
    """An L of six sides, each shortened at its end by 0.3 mm where it is in `gaps`."""
    spots = [(0.0, 0.0), (30.0, 0.0), (30.0, 8.0), (9.0, 8.0), (9.0, 25.0), (0.0, 25.0)]
    loop = Outline.polygon(spots)
    return [
        Line(s.start, s.end.plus(s.direction(), -0.3)) if k in gaps else s
        for k, s in enumerate(loop.segments)
    ]


@pytest.mark.parametrize("turned", [(), (0, 1), (2, 3, 4), (0, 1, 2, 3, 4, 5)])
def test_runs_with_gaps_hold_what_lies_in_the_loop_they_would_make(turned: tuple[int, ...]) -> None:
    """Whichever way each run was drawn: three runs, and holes in both arms but not in the corner."""
    sides = [s.reversed() if k in turned else s for k, s in enumerate(_frame(1, 4, 5))]
    holes = [Outline.circle(Point(x, y), 1.7) for x, y in ((26.0, 4.0), (4.0, 21.0), (20.0, 18.0))]
    inner = Outline.circle(Point(26.0, 4.0), 0.6)
    edges = [*sides, *(s for h in (*holes, inner) for s in h.segments)]
    chains = chain_edges(edges)
    assert len(chains.runs) == 3
    place = {
        c.outline.centroid.x + c.outline.area: k for k, c in enumerate(chains.loops) if c.outline
    }
    found = nest(chains)
    wide = math.pi * 1.7**2
    order = [place[next(v for v in place if v == pytest.approx(w))] for w in
             (26.0 + wide, 4.0 + wide, 20.0 + wide, 26.0 + math.pi * 0.36)]  # fmt: skip
    assert [found.depth[k] for k in order] == [1, 1, 0, 2]
    assert [found.parent[k] for k in order] == [None, None, None, order[0]]


def test_chains_name_their_largest_gap_and_open_ends_their_nearest() -> None:
    """Two joints with a gap below the tolerance, the second larger; the others are exact."""
    a, b, c, d = Point(0.0, 0.0), Point(7.0, 0.0), Point(7.0, 5.0), Point(0.0, 5.0)
    edges = [Line(a, b), Line(Point(7.0, 0.0003), c), Line(Point(6.9993, 5.0), d), Line(d, a)]
    (chain,) = chain_edges(edges).loops
    assert chain.gap == pytest.approx(0.0007)
    assert chain.where.distance(c) < 0.001
    assert sorted(chain.edges) == [0, 1, 2, 3]
    found = chain_edges([Line(a, b), Line(Point(7.2, 0.0), c)])
    assert len(found.runs) == 2
    ends = {(e.where.x, e.where.y): e for e in found.ends}
    assert ends[7.0, 0.0].gap == pytest.approx(0.2)
    assert ends[7.0, 0.0].nearest == Point(7.2, 0.0)
    assert ends[7.0, 0.0].edge == 0
    assert ends[7.2, 0.0].nearest == b
    assert ends[7.2, 0.0].edge == 1
    (junction,) = chain_edges([Line(a, b), Line(b, c), Line(d, b)]).junctions
    assert junction.where.distance(b) < 1e-9
    assert sorted(junction.edges) == [0, 1, 2]


def test_a_shared_stretch_is_named_by_both_edges_its_middle_and_length() -> None:
    far = Line(Point(-50.0, 40.0), Point(-45.0, 40.0))
    one = Line(Point(2.0, 1.0), Point(14.0, 1.0))
    two = Line(Point(21.0, 1.0), Point(9.0, 1.0))
    inside = Line(Point(3.0, 1.0), Point(5.5, 1.0))
    table = EdgeTable.of([far, one, two, inside])
    first, second, _ = near_pairs(table, WITHIN)
    found = {(o.first, o.second): o for o in overlaps(table, first, second)}
    assert set(found) == {(1, 2), (1, 3)}
    assert found[1, 2].length == pytest.approx(5.0)
    assert found[1, 2].where == pytest.approx((11.5, 1.0))
    assert found[1, 3].length == pytest.approx(2.5)
    assert found[1, 3].where == pytest.approx((4.25, 1.0))
    assert not found[1, 3].whole  # all of one, but not of the other


def test_a_double_says_where_and_how_long() -> None:
    arc = Arc(Point(5.0, 0.0), Point(0.0, 5.0), Point(0.0, 0.0), True)
    line = Line(Point(1.0, 7.0), Point(4.0, 11.0))
    rows, found = doubles(EdgeTable.of([line, arc, arc.reversed(), line]))
    assert rows.tolist() == [0, 1]
    assert [(o.first, o.second) for o in found] == [(1, 2), (0, 3)]
    assert [o.length for o in found] == pytest.approx([2.5 * math.pi, 5.0])
    assert found[0].where == pytest.approx(Point.polar(5.0, math.pi / 4))
    assert found[1].where == pytest.approx((2.5, 9.0))
    # An upright line drawn both ways: the ends are told apart by y.
    up = Line(Point(3.0, 1.0), Point(3.0, 6.0))
    assert len(doubles(EdgeTable.of([up.reversed(), up]))[1]) == 1


def test_the_common_centre_weighs_by_area_and_no_hole_moves_it() -> None:
    big = Region(
        Outline.rectangle(6.0, 4.0, Point(10.0, 3.0)), (Outline.circle(Point(11.0, 3.5), 0.7),)
    )
    small = Region(Outline.rectangle(2.0, 3.0, Point(-5.0, 8.0)))
    found = symmetry([big, small])
    assert found.center == pytest.approx(((240.0 - 30.0) / 30.0, (72.0 + 48.0) / 30.0))
    assert (found.order, found.mirrored) == (1, False)


def test_rings_turn_at_will_and_a_hole_beside_the_middle_ends_that() -> None:
    ring = Region(Outline.circle(Point(3.0, 4.0), 9.0), (Outline.circle(Point(3.0, 4.0), 5.0),))
    found = symmetry([ring])
    assert (found.order, found.outer_order, found.mirrored, found.breaker) == (0, 0, True, None)
    hole = Outline.circle(Point(3.0, 4.0).plus(Point.polar(7.0, 0.8)), 0.6)
    found = symmetry([Region(ring.outer, (*ring.holes, hole))])
    assert (found.order, found.outer_order, found.mirrored) == (1, 0, True)
    assert found.breaker is not None
    assert found.breaker.distance(hole.centroid) < 1e-9


def test_the_smallest_of_the_fewest_breaks_the_turning() -> None:
    """A square plate with two equal holes across and a third, smaller one that has no fellow."""
    plate = Outline.rectangle(30.0, 30.0)
    pair = [Outline.circle(Point(sign * 11.0, sign * 2.0), 2.0) for sign in (1.0, -1.0)]
    found = symmetry([Region(plate, tuple(pair))])
    assert (found.order, found.outer_order) == (2, 4)
    odd = Outline.circle(Point(4.0, -9.0), 1.2)
    found = symmetry([Region(plate, (*pair, odd))])
    assert (found.order, found.outer_order) == (1, 4)
    assert found.breaker is not None
    assert found.breaker.distance(odd.centroid) < 1e-9
    slot = Outline.rectangle(3.0, 1.0, Point(4.0, -9.0))
    found = symmetry([Region(plate, (*pair, slot))])
    assert found.breaker is not None
    assert found.breaker.distance(slot.centroid) < 2.0
