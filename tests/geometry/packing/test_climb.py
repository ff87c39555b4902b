"""How an attempt spends its work: what it moves, gives up and lets settle."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.packing.attempt import Attempt
from geometry.packing.exact import is_allowed
from geometry.packing.fillings import quick_fillings
from geometry.packing.region import Region
from geometry.packing.relax import Herd, relax
from tests.support.descent import LARGE_ROOM, ROOM, WORK, attempt, herd, stand_in
from tests.support.packing import BEST, container

# -- giving up


def test_no_round_is_begun_once_the_work_is_spent(monkeypatch: pytest.MonkeyPatch) -> None:
    """Budget for three rounds and a half: the fourth is finished, no fifth begun."""
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = attempt(ROOM, 11, budget=3.5 * WORK)
    assert not one.climb(herd(one, 12, 9e-5))
    assert len(made.asked) == 4
    assert one.spent == 4 * WORK
    assert not one.climb(herd(one, 12, 9e-5))
    assert (len(made.asked), one.spent) == (4, 4 * WORK)


@pytest.mark.parametrize(
    ("energy", "rounds"),
    [(0.0101, 0), (0.0099, 1), (0.0041, 1), (0.0039, 2), (0.9e-4, 16)],
)
def test_what_stays_badly_squeezed_is_given_up_soon(
    monkeypatch: pytest.MonkeyPatch, energy: float, rounds: int
) -> None:
    """A hundredth at first, 0.4 of it after each round, never less than a ten-thousandth."""
    made = stand_in(monkeypatch, lambda _: energy)
    one = attempt(ROOM, 11)
    assert not one.climb(herd(one, 12, energy))
    assert len(made.asked) == rounds
    assert len(one.best) == 11


@pytest.mark.parametrize(
    ("region", "count", "rounds"), [(ROOM, 12, 16), (LARGE_ROOM, 110, 10), (LARGE_ROOM, 199, 6)]
)
def test_many_circles_have_fewer_rounds(
    monkeypatch: pytest.MonkeyPatch, region: Region, count: int, rounds: int
) -> None:
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = attempt(region, count - 1)
    assert not one.climb(herd(one, count, 9e-5, 2))
    assert len(made.asked) == rounds


# -- moving on


def test_a_small_arrangement_begins_again_after_six_rounds_in_vain(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One circle moves in each round; in the seventh all lie anew, and so again seven later."""
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = attempt(ROOM, 11)
    first = herd(one, 12, 9e-5)
    begun = first.points.copy()
    assert not one.climb(first)
    changed = made.rounds(begun)
    assert changed[:7] == [1] * 6 + [12]
    assert made.rounds(made.asked[6])[7:14] == [1] * 6 + [12]


def test_a_gain_gives_six_rounds_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fourth round finds less: the eleventh, not the seventh, begins again."""
    made = stand_in(monkeypatch, lambda k: 9e-5 if k < 4 else 8e-5)
    one = attempt(ROOM, 11)
    first = herd(one, 12, 9e-5)
    begun = first.points.copy()
    one.climb(first)
    assert made.rounds(begun)[:4] == [1] * 4
    assert made.rounds(made.asked[3])[4:11] == [1] * 6 + [12]


def test_a_large_arrangement_never_begins_again(monkeypatch: pytest.MonkeyPatch) -> None:
    made = stand_in(monkeypatch, lambda _: 9e-5)
    one = attempt(LARGE_ROOM, 99)
    first = herd(one, 100, 9e-5, 2)
    begun = first.points.copy()
    one.climb(first)
    assert made.rounds(begun) == [1] * 12


def test_one_of_the_most_squeezed_moves_to_a_hole_elsewhere() -> None:
    """The free quarter of a filled room is found again and again; the rest stays."""
    full = quick_fillings(ROOM)[0]
    points = full[(full[:, 0] < 0.4) | (full[:, 1] < 0.2)]
    each = np.linspace(0.1, 2.3, len(points))
    one = Attempt(ROOM, [points], points, 2, math.inf)
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


def near_fit(region: Region, steps: int) -> Herd:
    """Arrangements that a descent cut short left almost free."""
    start = quick_fillings(region)[0]
    noise = np.random.default_rng(3).normal(0.0, 0.11, (4, *start.shape))
    return relax(region, start + noise, steps)


def test_a_long_descent_finds_what_the_short_one_left() -> None:
    region = Region(container("square", 1.003 * BEST["square"][9][0] / 2), 1.0)
    one = attempt(region, 8)
    few = near_fit(region, 3)
    assert 1e-15 < few.energy.min() < 3e-5
    assert not one._keeps(few)
    assert one._settles(few)
    assert len(one.best) == 9
    assert is_allowed(region, one.best)
    assert one.spent > 0


@pytest.mark.parametrize(
    ("count", "energies", "taken"),
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
    monkeypatch: pytest.MonkeyPatch, count: int, energies: tuple[float, ...], taken: list[int]
) -> None:
    made = stand_in(monkeypatch, lambda _: 1e-6)
    one = attempt(ROOM, 11)
    some = herd(one, count, 1.0, len(energies))
    some.energy[:] = energies
    assert not one._settles(some)
    asked = [points.tobytes() for batch in made.asked for points in batch]
    assert asked == [some.points[k].tobytes() for k in taken]


def test_a_circle_that_slipped_out_is_no_fit() -> None:
    """No energy, but one centre lies outside; the second arrangement is allowed and kept."""
    one = attempt(ROOM, 11)
    good = quick_fillings(ROOM)[0][:12]
    bad = good.copy()
    bad[4] = (9.7, 0.3)
    some = Herd(np.stack([bad, good]), np.zeros(2), np.zeros((2, 12)), 0)
    assert one._keeps(some)
    assert (one.best == good).all()
    assert some.energy.tolist() == [math.inf, 0.0]
    only = Herd(np.stack([bad, bad]), np.zeros(2), np.zeros((2, 12)), 0)
    assert not one._keeps(only)
    assert (one.best == good).all()
