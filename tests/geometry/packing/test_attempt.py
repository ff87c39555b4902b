"""Exact checks, holes, and one attempt at one circle more: by hand, and against best packings."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator

import numpy as np
import pytest
from shapely import box

from geometry.packing.attempt import Attempt
from geometry.packing.exact import is_allowed, tightness
from geometry.packing.fillings import holes, quick_fillings, with_holes_filled
from geometry.packing.region import REACH, Region
from geometry.packing.search import ATTEMPTS, Found, Search
from tests.support.packing import BEST, DUMBBELL, HOLED, container

D = 1.7
ROOM = Region(box(0.0, 0.0, 5.3 * D, 3.1 * D), D)


def allowed(region: Region, points: np.ndarray) -> bool:
    """No overlap by plain arithmetic."""
    apart = [math.dist(p, q) for i, p in enumerate(points) for q in points[:i]]
    return min(apart, default=1.0) > 1 - 1e-9 and region.clearance(points).min() > REACH - 1e-9


# -- exact checks


@pytest.mark.parametrize(
    ("spots", "most"),
    [
        ([(0.0, 0.0), (0.97, 0.0)], 0.97),  # two centres so far apart
        ([(0.0, 0.0), (2.19, 0.0)], 0.92),  # 0.46 from the wall at 2.65
        ([(0.0, 0.0), (1.3, 1.11)], 0.88),  # 0.44 from the wall at 1.55
        ([(0.4, 0.3)], 2.5),  # alone, 1.25 from the wall above
    ],
)
def test_tightness_by_hand(spots: list[tuple[float, float]], most: float) -> None:
    assert tightness(ROOM, np.array(spots)) == pytest.approx(most)


def test_no_circles_are_as_large_as_one_likes() -> None:
    assert tightness(ROOM, np.empty((0, 2))) == math.inf


def test_half_a_billionth_is_allowed_and_no_more() -> None:
    for lack, fine in ((4e-10, True), (6e-10, False)):
        assert is_allowed(ROOM, np.array([(0.0, 0.0), (1.0 - lack, 0.0)])) == fine
    assert not is_allowed(ROOM, np.array([(0.0, 0.0), (7.0, 0.0)]))  # outside


def test_a_circle_in_another_part_is_not_allowed() -> None:
    region = Region(DUMBBELL, 3.0)
    one, other = region.parts()
    spots = [part.grid[0][part.grid[1].argmax()] for part in (one, other)]
    assert is_allowed(one, np.array(spots[:1]))
    assert is_allowed(other, np.array(spots[1:]))
    assert not is_allowed(one, np.array(spots))


# -- holes


def test_holes_are_the_widest_places_apart_from_each_other() -> None:
    taken = np.array([(-1.1, 0.2), (0.4, -0.6)])
    places, room = holes(ROOM, taken, 5, 0.55)
    assert len(places) == len(room) == 5
    wall = ROOM.clearance(places)
    near = np.array([min(math.dist(p, t) for t in taken) for p in places])
    assert room == pytest.approx(np.minimum(2 * near - 1, 2 * wall), abs=1e-9)
    assert (np.diff(room) <= 0).all()
    assert min(math.dist(p, q) for i, p in enumerate(places) for q in places[:i]) > 0.55
    # the widest of all, by a fine walk: a grid of 0.2 misses it by 0.15 at most
    x, y = np.meshgrid(np.linspace(-2.1, 2.1, 421), np.linspace(-1.0, 1.0, 201))
    walk = np.column_stack([x.ravel(), y.ravel()])
    gap = 2 * np.min([np.hypot(*(walk - t).T) for t in taken], axis=0) - 1
    widest = float(np.minimum(gap, 2 * ROOM.clearance(walk)).max())
    assert widest - 2 * 0.15 <= room[0] <= widest + 1e-6
    assert len(holes(ROOM, taken, 2, 0.1)[0]) == 2


def test_an_empty_room_is_one_hole() -> None:
    """3.1 d high: a circle of 3.1 d touches both long walls, anywhere along the middle."""
    places, room = holes(ROOM, np.empty((0, 2)), 1, 0.3)
    assert room[0] == pytest.approx(3.1, abs=0.2)
    assert abs(places[0, 1]) < 0.11


def test_holes_are_filled_around_what_lies_there() -> None:
    taken = np.array([(-2.0, -0.9), (0.13, 0.4)])
    found = with_holes_filled(ROOM, taken)
    assert (found[:2] == taken).all()
    assert len(found) > 5
    assert allowed(ROOM, found)
    assert holes(ROOM, found, 1, 0.1)[1][0] < 1.0


@pytest.mark.parametrize("shape", [ROOM, Region(HOLED, D)])
def test_quick_fillings_are_full_and_sorted(shape: Region) -> None:
    found = quick_fillings(shape)
    assert all(allowed(shape, points) for points in found)
    assert [len(f) for f in found] == sorted((len(f) for f in found), reverse=True)
    assert all(holes(shape, points, 1, 0.1)[1][0] < 1.0 for points in found)


# -- attempts


def square(n: int, factor: float) -> Region:
    """A square that is `factor` times the one that `n` circles of diameter 1 are known to need."""
    return Region(container("square", factor * BEST["square"][n][0] / 2), 1.0)


@pytest.mark.parametrize("n", [5, 7, 13])
def test_one_circle_more_is_found_where_it_is_known_to_fit(n: int) -> None:
    """Table of best packings in a square (tests/reference); too small a square takes none."""
    region = square(n, 1.02)
    start = quick_fillings(region)[0][: n - 1]
    for way in range(ATTEMPTS):
        one = Attempt(region, [start], start, way, 1e7)
        assert (one.insert() if way < 2 else one.start_afresh()) or way
        if len(one.best) == n:
            assert allowed(region, one.best)
        assert one.spent > 0
    tight = square(n, 0.99)
    fit = quick_fillings(tight)[0][: n - 1]
    none = Attempt(tight, [fit], fit, 0, 1e7)
    assert not none.insert()
    assert none.best is fit


@pytest.mark.parametrize("n", [10, 13])
def test_thinning_out_goes_down_to_one_more_than_there_is(n: int) -> None:
    region = square(n, 1.02)
    start = quick_fillings(region)[0][: n - 1]
    one = Attempt(region, [start], start, 7, 1e7)
    one.thin_out(30)
    assert len(one.best) == n
    assert allowed(region, one.best)


@pytest.mark.parametrize("limit", [6, 9])
def test_thinning_out_stops_at_the_limit(limit: int) -> None:
    region = square(9, 1.01)
    few = quick_fillings(region)[0][:4]
    one = Attempt(region, [few], few, 7, 1e7)
    above = one.thin_out(limit)
    assert len(one.best) == limit
    assert above is None or above.count > limit
    assert allowed(region, one.best)
    full = Attempt(region, [few], few, 7, 1e7)
    assert full.thin_out(4) is None
    assert (full.best is few, full.spent) == (True, 0)


def test_thinning_out_says_what_did_not_fit() -> None:
    """Fourteen are too many (best known); they are what was left before thirteen fitted."""
    region = square(13, 1.01)
    few = quick_fillings(region)[0][:4]
    one = Attempt(region, [few], few, 7, 1e7)
    above = one.thin_out(30)
    assert len(one.best) == 13
    assert above is not None
    assert above.count == 14


def test_the_search_asks_every_attempt_before_it_ends() -> None:
    region = square(5, 1.01)
    asked: list[list[int]] = []

    def attempts(make: Callable[[int], Found], numbers: Iterable[int]) -> Iterator[Found]:
        asked.append([])
        for number in numbers:
            asked[-1].append(number)
            yield make(number)

    found = Search(region, 9, attempts).run()
    assert len(found) == 5
    assert allowed(region, found)
    assert asked[-1] == list(range(ATTEMPTS))  # six do not fit (proven)
    asked.clear()
    assert len(Search(region, 5, attempts).run()) == 5
    assert all(len(numbers) < ATTEMPTS for numbers in asked)  # the limit: nothing more to look for


@pytest.mark.parametrize("way", range(3))
def test_scattered_starts_lie_all_over_the_room_and_differ(way: int) -> None:
    """No two of thirty lie on one place; every quarter of an even room has its share."""
    start = np.empty((0, 2))
    one, other = (Attempt(ROOM, [start], start, k, 1e6) for k in (way, way + 1))
    spots = one._scattered(30)
    assert spots.shape == (30, 2)
    assert min(math.dist(p, q) for i, p in enumerate(spots) for q in spots[:i]) > 1e-6
    quarters = (spots[:, 0] > 0).astype(int) + 2 * (spots[:, 1] > 0)
    assert np.bincount(quarters, minlength=4).min() >= 2
    assert ROOM.clearance(spots).min() > 0.05
    assert not np.array_equal(spots, other._scattered(30))


def test_what_was_left_above_is_moved_on_before_anything_is_begun_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ten fit, eleven of the thinning are left: attempt 0 climbs them, attempt 1 inserts."""
    begun: list[str] = []
    for name in ("insert", "start_afresh"):
        own = getattr(Attempt, name)
        monkeypatch.setattr(Attempt, name, lambda one, own=own, n=name: begun.append(n) or own(one))
    found = Search(square(10, 1.02), 30).run()
    assert len(found) == 10
    assert begun == ["insert", "start_afresh"]
