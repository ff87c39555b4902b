"""The steps to a small hole: even starts, a hole that a falling pressure closes, circles parted."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from geometry.packing.descent import Floats
from geometry.packing.unequal import STARTS, _apart, _hole, _pressed, _starts

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
def test_two_of_circles_parted_touch(name: str) -> None:
    radii = MIXES[name]
    starts = _starts(radii)
    for points, start in zip(_apart(starts, radii), starts, strict=True):
        assert -1e-9 < overlap(points, radii) / radii[0] < 1e-9
        assert points / np.hypot(*points[0]) == pytest.approx(start / np.hypot(*start[0]))


@pytest.mark.parametrize("name", MIXES)
def test_a_hole_closes_as_the_pressure_falls(name: str) -> None:
    """What overlaps is less each time; parted at the end, at least two thirds of a hole is filled."""
    radii = MIXES[name] / MIXES[name].max()
    found, deepest = _starts(radii)[:6], math.inf
    for pressure in (1.0, 0.1, 1e-2, 1e-3, 1e-5, 1e-7):
        found = _pressed(found, radii, pressure, 200)
        deep = max(overlap(points, radii) for points in found)
        assert 0.0 < deep < min(deepest, 20.0 * pressure)
        deepest = deep
    filling = [(radii**2).sum() / _hole(points, radii) ** 2 for points in _apart(found, radii)]
    assert max(filling) > 0.66


def test_forces_on_two_circles_under_a_pressure_by_hand() -> None:
    """Energy p R + pair^2 + two walls^2, all in line: walls share p alike, the pair takes one's.

    2 wall * 2 = p, so a wall overlaps by p / 4; a circle is pushed by its wall and by the other
    circle alike, so the pair overlaps by p / 4 too. R = r1 + r2 less p / 8 and p / 4.
    """
    radii, pressure = np.array([1.0, 0.4]), 0.08
    (found,) = _pressed(np.array([[[-0.5, 0.1], [0.9, -0.1]]]), radii, pressure, 400)
    assert math.dist(*found) == pytest.approx(1.4 - pressure / 4, abs=1e-4)
    hole = 1.4 - pressure / 8 - pressure / 4
    assert np.hypot(*found.T) + radii == pytest.approx([hole + pressure / 4] * 2, abs=1e-4)
