"""How the search spends its work: what it moves, gives up and lets settle."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.packing.contacts import Batch, relax
from geometry.packing.region import Region
from geometry.packing.search import regular_fillings
from tests.support.descent import LARGE_ROOM, ROOM, WORK, batch, search, stand_in
from tests.support.packing import BEST, container

# -- giving up


def test_no_round_is_begun_once_the_work_is_spent(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three rounds and a half above the reserve: the fourth is finished, no fifth begun."""
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = search(ROOM, 11, 9.5 * WORK)
    assert not one.climb(batch(one, 12, 9e-5), 6 * WORK)
    assert len(made.asked) == 4
    assert one.work_left == 5.5 * WORK
    assert not one.climb(batch(one, 12, 9e-5), 6 * WORK)
    assert (len(made.asked), one.work_left) == (4, 5.5 * WORK)


@pytest.mark.parametrize(
    ("energy", "rounds"),
    [(0.0101, 0), (0.0099, 1), (0.0041, 1), (0.0039, 2), (0.9e-4, 16)],
)
def test_what_stays_badly_squeezed_is_given_up_soon(
    monkeypatch: pytest.MonkeyPatch, energy: float, rounds: int
) -> None:
    """A hundredth at first, 0.4 of it after each round, never less than a ten-thousandth."""
    made = stand_in(monkeypatch, lambda _: energy)
    one = search(ROOM, 11)
    assert not one.climb(batch(one, 12, energy))
    assert len(made.asked) == rounds
    assert len(one.best) == 11


@pytest.mark.parametrize(
    ("region", "count", "rounds"), [(ROOM, 12, 16), (LARGE_ROOM, 110, 10), (LARGE_ROOM, 199, 6)]
)
def test_many_circles_have_fewer_rounds(
    monkeypatch: pytest.MonkeyPatch, region: Region, count: int, rounds: int
) -> None:
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = search(region, count - 1)
    assert not one.climb(batch(one, count, 9e-5, 2))
    assert len(made.asked) == rounds


# -- moving on


def test_one_circle_moves_in_each_round(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is squeezed no less after it is forgotten: the next round moves another from there."""
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = search(ROOM, 11)
    first = batch(one, 12, 9e-5)
    begun = first.points.copy()
    assert not one.climb(first)
    assert made.rounds(begun) == [1] * 16


def test_the_next_round_goes_on_from_what_is_squeezed_less(monkeypatch: pytest.MonkeyPatch) -> None:
    made = stand_in(monkeypatch, lambda k: 9e-5 if k < 4 else 8e-5)
    one = search(ROOM, 11)
    first = batch(one, 12, 9e-5)
    begun = first.points.copy()
    one.climb(first)
    assert made.rounds(begun)[:4] == [1] * 4
    assert made.rounds(made.asked[3])[4:] == [1] * 12


def test_one_of_the_most_squeezed_moves_to_a_hole_elsewhere() -> None:
    """The free quarter of a filled room is found again and again; the rest stays."""
    full = regular_fillings(ROOM)[0]
    points = full[(full[:, 0] < 0.4) | (full[:, 1] < 0.2)]
    each = np.linspace(0.1, 2.3, len(points))
    one = search(ROOM, 11)
    left = []
    for _ in range(60):
        moved = one._moved(points, each)
        (k,) = np.flatnonzero((moved != points).any(axis=1))
        assert math.dist(moved[k], points[k]) > 0.5
        others = np.delete(points, k, axis=0)
        assert np.hypot(*(others - moved[k]).T).min() > 0.8
        assert ROOM.clearance(moved[k : k + 1])[0] > 0.35
        left.append(len(points) - 1 - int(k))  # 0: the most squeezed
    assert 15 < left.count(0) < 45
    assert max(left) < len(points) / 2


# -- settling


def near_fit(region: Region, steps: int) -> Batch:
    """Arrangements that a descent cut short left almost free."""
    start = regular_fillings(region)[0]
    noise = np.random.default_rng(3).normal(0.0, 0.11, (4, *start.shape))
    return relax(region, start + noise, steps)


def test_a_long_descent_finds_what_the_short_one_left() -> None:
    region = Region(container("square", 1.003 * BEST["square"][9][0] / 2), 1.0)
    one = search(region, 8, 1e9)
    few = near_fit(region, 3)
    assert 1e-15 < few.energy.min() < 3e-5
    assert not one._keeps(few)
    assert one._settles(few)
    assert len(one.best) == 9
    assert region.is_allowed(one.best)
    assert one.work_left < 1e9


@pytest.mark.parametrize(
    ("count", "energies", "chosen"),
    [
        (12, (2e-5, 9e-6, 4e-5, 1e-6), [3, 1]),  # the least squeezed two
        (12, (3.1e-5, 4e-5, 9e-6), [2]),  # none that has no prospect
        (12, (3.1e-5, 4e-5), []),
        (199, (9e-6, 2e-6), [1, 0]),
        (200, (9e-6, 2e-6), [1]),  # of many circles one
        (600, (9e-6, 2e-6), []),
    ],
)
def test_only_what_has_prospects_is_let_settle(
    monkeypatch: pytest.MonkeyPatch, count: int, energies: tuple[float, ...], chosen: list[int]
) -> None:
    made = stand_in(monkeypatch, lambda _: 1e-6)
    one = search(ROOM, 11)
    some = batch(one, count, 1.0, len(energies))
    some.energy[:] = energies
    assert not one._settles(some)
    asked = [points.tobytes() for starts in made.asked for points in starts]
    assert asked == [some.points[k].tobytes() for k in chosen]


def test_a_circle_that_slipped_out_is_no_fit() -> None:
    """No energy, but one centre lies outside; the second arrangement is allowed and kept."""
    one = search(ROOM, 11)
    good = regular_fillings(ROOM)[0][:12]
    bad = good.copy()
    bad[4] = (9.7, 0.3)
    some = Batch(np.stack([bad, good]), np.zeros(2), np.zeros((2, 12)), 0)
    assert one._keeps(some)
    assert (one.best == good).all()
    assert some.energy.tolist() == [math.inf, 0.0]
    only = Batch(np.stack([bad, bad]), np.zeros(2), np.zeros((2, 12)), 0)
    assert not one._keeps(only)
    assert (one.best == good).all()
