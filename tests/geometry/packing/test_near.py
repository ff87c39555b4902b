"""Plain tables and scipy's trees find the same neighbours; islands are those of scipy's labels."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import label
from scipy.spatial import cKDTree

from geometry.packing import near


@pytest.mark.parametrize(("systems", "count"), [(1, 1), (8, 3), (5, 41), (2, 97)])
def test_pairs_are_those_of_a_tree(
    systems: int, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    points = np.random.default_rng(count).random((systems, count, 2)) * 7.3
    few = near.pairs_within(points, 1.6)
    monkeypatch.setattr(near, "FEW", 0)
    assert few.tolist() == near.pairs_within(points, 1.6).tolist()


def test_nearest_is_that_of_a_tree() -> None:
    rng = np.random.default_rng(5)
    points, places = rng.random((93, 2)) * 9.1, rng.random((700, 2)) * 9.1
    expected = cKDTree(points).query(places)[0]
    assert np.allclose(near.nearest(points, places), expected, rtol=0, atol=1e-14)


@pytest.mark.parametrize("count", [2, 3, 17, 93, 640])
@pytest.mark.parametrize("wide", [0.0, 0.04, 9.1])
def test_the_least_gap_is_that_of_a_tree(count: int, wide: float) -> None:
    points = np.random.default_rng(count).random((count, 2)) * (wide, 7.3)
    expected = cKDTree(points).query(points, k=2)[0][:, 1].min()
    assert near.least_gap(points) == pytest.approx(expected, rel=1e-12)


def test_the_least_gap_may_be_that_of_points_with_another_between_them() -> None:
    zigzag = np.array([(1.1 * k, 3.2 * (k % 2)) for k in range(7)])
    assert near.least_gap(zigzag) == pytest.approx(2.2, rel=1e-12)


def test_fixed_points_find_the_same_by_either_way() -> None:
    rng = np.random.default_rng(6)
    fixed, others = near.Fixed(rng.random((77, 2)) * 8.3), rng.random((150, 2)) * 8.3
    plain = set(zip(*(k.tolist() for k in fixed.near(others, 1.37)), strict=True))
    tree = set(zip(*(k.tolist() for k in fixed._near_by_tree(others, 1.37)), strict=True))
    assert plain == tree
    for i, j in (fixed.near(others, 1.37), fixed._near_by_tree(others, 1.37)):
        assert np.hypot(*(others[i] - fixed.points[j]).T).max() <= 1.37
    assert len(plain) > 300


@pytest.mark.parametrize("share", [0.2, 0.45, 0.8, 1.1])
def test_islands_are_numbered_as_by_scipy(share: float) -> None:
    free = np.random.default_rng(7).random((31, 47)) < share
    marks, found = near.islands(free)
    expected, number = label(free, structure=np.ones((3, 3)))
    assert found == number
    assert marks.tolist() == expected.tolist()


def test_islands_of_a_large_table_are_numbered_alike() -> None:
    """More cells than are walked one by one, put together from nine copies with a gap between."""
    small = np.pad(np.random.default_rng(8).random((71, 67)) < 0.4, 1)
    marks, found = near.islands(np.tile(small, (3, 3)))
    assert small.size <= 40_000 < marks.size
    own, number = near.islands(small)
    assert found == 9 * number
    assert ((marks > 0) == np.tile(own > 0, (3, 3))).all()
    corner = marks[: small.shape[0], : small.shape[1]]
    assert len(set(zip(own[own > 0].tolist(), corner[own > 0].tolist(), strict=True))) == number
