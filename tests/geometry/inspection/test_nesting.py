"""Which loop lies in which, against shapely, loop by loop."""

from __future__ import annotations

import random

import pytest
import shapely

from geometry import Line, Outline, Point
from geometry.inspection.chains import chain_edges, nest
from geometry.segment import Segment
from tests.support.shape import toothed


def _apart(seed: int) -> list[Outline]:
    """Return many circles and squares of which none crosses another."""
    dice = random.Random(seed)
    kept: list[tuple[Outline, shapely.Polygon]] = []
    while len(kept) < 40:
        p, r = Point(dice.uniform(0, 60), dice.uniform(0, 60)), dice.choice([1.1, 3.7, 9.3, 21.7])
        loop = Outline.circle(p, r) if dice.random() < 0.5 else Outline.rectangle(1.5 * r, r, p)
        area = shapely.Polygon(loop.chords(1e-4))
        if all(not area.exterior.dwithin(other.exterior, 0.1) for _, other in kept):
            kept.append((loop, area))
    return [loop for loop, _ in kept]


@pytest.mark.parametrize("seed", range(3))
def test_depth_and_parent_as_shapely_sees_them(seed: int) -> None:
    loops = _apart(seed)
    chains = chain_edges([s for loop in loops for s in loop.segments])
    order = [c.outline for c in chains.loops if c.outline]
    areas = [shapely.Polygon(o.chords(1e-4)) for o in order]
    nesting = nest(chains)
    for k, area in enumerate(areas):
        holders = [j for j, other in enumerate(areas) if j != k and other.contains(area)]
        assert nesting.depth[k] == len(holders)
        smallest = min(holders, key=lambda j: areas[j].area, default=None)
        assert nesting.parent[k] == smallest
    assert max(nesting.depth) >= 2
    total = sum(r.area for r in nesting.regions(order))
    signed = sum(o.area * (1 if d % 2 == 0 else -1) for o, d in zip(order, nesting.depth, strict=True))  # fmt: skip
    assert total == pytest.approx(signed, rel=1e-12)


def test_holes_in_an_outline_with_gaps_are_still_holes() -> None:
    body = toothed()
    edges: list[Segment] = [s for k, s in enumerate(body.segments) if k not in (3, 11)]
    hole = Outline.circle(Point(2.0, 3.0), 4.4)
    chains = chain_edges([*edges, *hole.segments])
    assert len(chains.runs) == 2
    assert nest(chains).depth == (1,)
    assert nest(chains).parent == (None,)


def test_a_lone_line_holds_nothing() -> None:
    hole = Outline.circle(Point(2.0, 3.0), 4.4)
    chains = chain_edges([Line(Point(-9.0, 3.0), Point(20.0, 3.5)), *hole.segments])
    assert nest(chains).depth == (0,)
