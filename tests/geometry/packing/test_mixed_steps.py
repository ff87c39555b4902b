"""The steps to a small hole: spread starts, a hole that closes, linear programmes that shrink it."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from geometry.packing.mixed import STARTS, _closed, _hole, _spread, _starts, _step, _tighten
from geometry.packing.region import Floats

MIXES = {
    "equal": np.full(9, 0.7),
    "two sizes": np.array([1.9] * 3 + [0.6] * 6),
    "one large": np.array([5.2] + [0.55] * 8),
    "falling": np.linspace(2.3, 0.4, 17),
}


def overlap(points: Floats, radii: Floats) -> float:
    """Largest overlap of two circles by plain arithmetic."""
    return max(
        radii[i] + radii[k] - math.dist(points[i], points[k])
        for i, k in combinations(range(len(radii)), 2)
    )


@pytest.mark.parametrize("name", MIXES)
def test_starts_differ_and_spread_all_round(name: str) -> None:
    """Each within a disc of 60 % filling; half begin with large circles outside, half inside."""
    radii = MIXES[name]
    starts = _starts(radii)
    assert starts.shape == (STARTS, len(radii), 2)
    away = np.hypot(starts[..., 0], starts[..., 1])
    assert away.max() <= math.sqrt((radii**2).sum() / 0.6) * (1 + 1e-12)
    assert len({np.round(s, 9).tobytes() for s in starts}) == STARTS
    middle = starts.mean(axis=(0, 1))
    assert np.hypot(*middle) < 0.1 * away.max()
    quarters = (starts[..., 0] > 0).astype(int) + 2 * (starts[..., 1] > 0)
    assert np.bincount(quarters.ravel()).min() > 0.2 * quarters.size
    outward = (away[:, 0] > away[:, -1]).sum()
    assert STARTS / 4 < outward < 3 * STARTS / 4


@pytest.mark.parametrize("count", [61, 90, 150])
def test_of_many_circles_fewer_starts_are_tried(count: int) -> None:
    """Their number falls with the square of the circles, as each takes their square."""
    assert len(_starts(np.ones(count))) == math.ceil(STARTS * 3600 / count**2)
    assert len(_starts(np.ones(60))) == STARTS


@pytest.mark.parametrize("name", MIXES)
def test_a_closed_hole_has_pushed_the_circles_apart(name: str) -> None:
    """The starts, blown up until nothing overlaps, come to half of the filling at least."""
    radii = MIXES[name]
    closed = _closed(_starts(radii), radii)
    least = max(math.sqrt((radii**2).sum() / 0.88), radii[0] + radii[1])
    for points in closed:
        assert _hole(points, radii) <= least * (1 + 1e-9)
    spread = [_spread(points, radii) for points in closed]
    for points in spread:
        assert -1e-9 < overlap(points, radii) / radii[0] < 1e-9  # two touch
    filling = sorted((radii**2).sum() / _hole(points, radii) ** 2 for points in spread)
    assert filling[-1] > 0.55
    assert filling[STARTS // 2] > 0.45


@pytest.mark.parametrize("radii", [(3.1, 2.9, 0.3), (4.7, 1.2, 0.2, 0.1)])
def test_no_hole_closes_further_than_the_two_largest_need(radii: tuple[float, ...]) -> None:
    """Side by side they need the sum of both: nothing is pressed together then."""
    sizes = np.array(radii)
    for points in _closed(_starts(sizes), sizes):
        assert _hole(points, sizes) == pytest.approx(sizes[0] + sizes[1], rel=0.02)
        assert math.dist(points[0], points[1]) > 0.97 * (sizes[0] + sizes[1])


@pytest.mark.parametrize("name", MIXES)
def test_a_step_keeps_apart_what_it_moves_and_promises_no_too_large_hole(name: str) -> None:
    radii = MIXES[name]
    for points in (_spread(p, radii) for p in _closed(_starts(radii), radii)[:5]):
        for trust in (0.4, 0.05, 0.003):
            move, promised = _step(points, radii, trust)
            assert np.abs(move).max() <= trust + 1e-9
            assert overlap(points + move, radii) < 1e-8
            before, after = _hole(points, radii), _hole(points + move, radii)
            assert promised <= before + 1e-9
            assert promised <= after + 1e-9
            # tangents are off by the square of what moves across them
            assert after - promised < 2 * (2 * trust) ** 2 / radii.min()


@pytest.mark.parametrize("name", MIXES)
def test_tightening_ends_where_no_small_move_helps(name: str) -> None:
    radii = MIXES[name]
    start = _spread(_closed(_starts(radii), radii)[4], radii)
    tight = _tighten(start, radii)
    assert overlap(tight, radii) < 1e-8
    assert _hole(tight, radii) <= _hole(start, radii)
    _, promised = _step(tight, radii, 1e-3 * radii.min())
    assert promised > _hole(tight, radii) * (1 - 1e-6)
