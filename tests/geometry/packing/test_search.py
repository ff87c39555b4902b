"""The search as a whole: exact checks, holes, one circle more, and when it ends."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import box

from geometry.packing import _most
from geometry.packing.contacts import Batch
from geometry.packing.region import REACH, Region
from geometry.packing.search import ATTEMPTS, Search, _with_holes_filled, regular_fillings
from tests.support.packing import BEST, HOLED, container

D = 1.7
ROOM = Region(box(0.0, 0.0, 5.3 * D, 3.1 * D), D)


def allowed(region: Region, points: np.ndarray) -> bool:
    """No overlap by plain arithmetic."""
    apart = [math.dist(p, q) for i, p in enumerate(points) for q in points[:i]]
    return min(apart, default=1.0) > 1 - 1e-9 and region.clearance(points).min() > REACH - 1e-9


# -- exact checks


@pytest.mark.parametrize("lack", [4e-10, 6e-10])
def test_half_a_billionth_is_allowed_and_no_more(lack: float) -> None:
    """Of the distance of two centres, and half as much of that to a wall (2.65 and 1.55 off)."""
    fine = lack < 5e-10
    assert ROOM.is_allowed(np.array([(0.0, 0.0), (1.0 - lack, 0.0)])) == fine
    assert ROOM.is_allowed(np.array([(0.0, 0.0), (2.15 + lack / 2, 0.0)])) == fine
    assert ROOM.is_allowed(np.array([(0.0, 0.0), (1.3, -1.05 - lack / 2)])) == fine


def test_none_is_allowed_and_one_outside_is_not() -> None:
    assert ROOM.is_allowed(np.empty((0, 2)))
    assert not ROOM.is_allowed(np.array([(0.0, 0.0), (7.0, 0.0)]))


# -- holes


def test_holes_are_the_widest_places_apart_from_each_other() -> None:
    lying = np.array([(-1.1, 0.2), (0.4, -0.6)])
    places, size = ROOM.holes(lying, 5, 0.55)
    assert len(places) == len(size) == 5
    wall = ROOM.clearance(places)
    near = np.array([min(math.dist(p, t) for t in lying) for p in places])
    assert size == pytest.approx(np.minimum(2 * near - 1, 2 * wall), abs=1e-9)
    assert (np.diff(size) <= 0).all()
    assert min(math.dist(p, q) for i, p in enumerate(places) for q in places[:i]) > 0.55
    # the widest of all, by a fine walk: a grid of 0.2 misses it by 0.15 at most
    x, y = np.meshgrid(np.linspace(-2.1, 2.1, 421), np.linspace(-1.0, 1.0, 201))
    walk = np.column_stack([x.ravel(), y.ravel()])
    gap = 2 * np.min([np.hypot(*(walk - t).T) for t in lying], axis=0) - 1
    widest = float(np.minimum(gap, 2 * ROOM.clearance(walk)).max())
    assert widest - 2 * 0.15 <= size[0] <= widest + 1e-6
    assert len(ROOM.holes(lying, 2, 0.1)[0]) == 2


def test_an_empty_room_is_one_hole() -> None:
    """3.1 d high: a circle of 3.1 d touches both long walls, anywhere along the middle."""
    places, size = ROOM.holes(np.empty((0, 2)), 1, 0.3)
    assert size[0] == pytest.approx(3.1, abs=0.2)
    assert abs(places[0, 1]) < 0.11


def test_holes_are_filled_around_what_lies_there() -> None:
    lying = np.array([(-2.0, -0.9), (0.13, 0.4)])
    found = _with_holes_filled(ROOM, lying)
    assert (found[:2] == lying).all()
    assert len(found) > 5
    assert allowed(ROOM, found)
    assert ROOM.holes(found, 1, 0.1)[1][0] < 1.0


@pytest.mark.parametrize("shape", [ROOM, Region(HOLED, D)])
def test_regular_fillings_are_full_and_sorted(shape: Region) -> None:
    found = regular_fillings(shape)
    assert all(allowed(shape, points) for points in found)
    assert [len(f) for f in found] == sorted((len(f) for f in found), reverse=True)
    assert all(shape.holes(points, 1, 0.1)[1][0] < 1.0 for points in found)


# -- one circle more


def square(n: int, factor: float) -> Region:
    """A square that is `factor` times the one that `n` circles of diameter 1 are known to need."""
    return Region(container("square", factor * BEST["square"][n][0] / 2), 1.0)


def begun(region: Region, count: int, limit: int = 30) -> Search:
    """A search that has found `count` circles."""
    one = Search(region, limit)
    one.best = one.best[:count]
    one.fillings = [one.best]
    return one


@pytest.mark.parametrize("n", [5, 7, 13])
def test_one_circle_more_is_found_where_it_is_known_to_fit(n: int) -> None:
    """Table of best packings in a square (tests/reference); too small a square takes none."""
    one = begun(square(n, 1.02), n - 1)
    assert one.one_more(None)
    assert len(one.best) == n
    assert allowed(one.region, one.best)
    none = begun(square(n, 0.99), n - 1)
    before = none.best
    assert not none.one_more(None)
    assert none.best is before


@pytest.mark.parametrize("n", [10, 13])
def test_thinning_out_goes_down_to_one_more_than_there_is(n: int) -> None:
    one = begun(square(n, 1.02), n - 1)
    one.thin_out()
    assert len(one.best) == n
    assert allowed(one.region, one.best)


@pytest.mark.parametrize("limit", [6, 9])
def test_thinning_out_stops_at_the_limit(limit: int) -> None:
    one = begun(square(9, 1.01), 4, limit)
    above = one.thin_out()
    assert len(one.best) == limit
    assert above is None or above.count > limit
    assert allowed(one.region, one.best)
    full = begun(square(9, 1.01), 4, 4)
    before, work = full.best, full.work_left
    assert full.thin_out() is None
    assert (full.best is before, full.work_left) == (True, work)


def test_thinning_out_says_what_did_not_fit() -> None:
    """Fourteen are too many (best known); they are what was left before thirteen fitted."""
    one = begun(square(13, 1.02), 4)
    above = one.thin_out()
    assert len(one.best) == 13
    assert above is not None
    assert above.count == 14


# -- when it ends


class Told(Search):
    """A search whose attempts find what they are told, with the work they take."""

    def tell(self, finds: set[int], share: float, limit: int = 99) -> None:
        """Attempt number k finds if it is in `finds`; each takes that share of the work."""
        self.finds, self.limit, self.inserted = finds, limit, 0
        self.work, self.reserves = int(share * self.work_left), list[float]()

    def thin_out(self) -> Batch | None:
        """Leave nothing to go on with."""
        return None

    def _inserted(self) -> np.ndarray:
        self.inserted += 1
        return np.empty((1, len(self.best) + 1, 2))

    def _relaxed(self, starts: np.ndarray, _: int) -> Batch:
        return Batch(starts, np.ones(1), np.ones(starts.shape[:2]), 0)

    def climb(self, batch: Batch, reserve: float = 0.0) -> bool:
        """Find or not."""
        self.reserves.append(self.work_left - reserve)
        self.work_left -= self.work
        found = len(self.reserves) in self.finds
        if found:
            self.best = np.zeros((batch.count, 2))
        return found


@pytest.mark.parametrize(("share", "asked"), [(0.01, 3), (0.49, 3), (0.51, 2), (1.01, 1)])
def test_no_attempt_is_made_once_the_work_is_spent(share: float, asked: int) -> None:
    """Three in vain end the search; two of more than half of the work leave none for the third."""
    one = Told(ROOM, 99)
    one.tell(set(), share)
    half, before = one.work_left / 2, one.best
    assert one.run() is before
    assert one.inserted == asked
    assert one.reserves == [half] * asked  # each may take half of what there was


def test_a_circle_found_begins_the_count_of_attempts_again() -> None:
    one = Told(ROOM, 99)
    one.tell({2, 3}, 0.01)
    n = len(one.best)
    assert len(one.run()) == n + 2
    assert len(one.reserves) == 2 + 1 + ATTEMPTS


def test_what_is_found_with_the_last_of_the_work_counts() -> None:
    one = Told(ROOM, 99)
    one.tell({1, 2}, 1.01)
    n = len(one.best)
    assert len(one.run()) == n + 1


def test_no_more_than_possible_is_looked_for() -> None:
    one = Told(ROOM, 99)
    n = len(one.best)
    one.tell({1, 2, 3}, 0.01, n + 2)
    assert len(one.run()) == n + 2
    assert len(one.reserves) == 2


def test_the_first_attempt_goes_on_with_what_did_not_fit() -> None:
    """A batch of one circle more; one of two more is of no use."""
    for more, inserted in ((1, ATTEMPTS - 1), (2, ATTEMPTS)):
        one = Told(ROOM, 99)
        one.tell(set(), 0.01)
        starts = np.empty((1, len(one.best) + more, 2))
        assert not one.one_more(Batch(starts, np.ones(1), np.ones(starts.shape[:2]), 0))
        assert one.inserted == inserted


@pytest.mark.parametrize(
    ("region", "work"),
    [
        (Region(box(0, 0, 2.3, 1.2), 1.0), 5 * 90_000),  # two circles and three to spare
        (Region(box(0, 0, 17.5, 9.2), 1.0), 1_800_000),  # the plateau
        (Region(box(0, 0, 31.3, 20.1), 1.0), None),  # each of many brings its own
    ],
)
def test_work_grows_with_the_circles(region: Region, work: int | None) -> None:
    search = Search(region, 9999)
    assert search.best is search.fillings[0]
    assert search.work_left == (work or 5000 * len(search.best))


@pytest.mark.parametrize(("count", "thinned"), [(2500, False), (2499, True)])
def test_from_2500_circles_on_regular_fillings_are_the_answer(
    count: int, thinned: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    monkeypatch.setattr(Search, "thin_out", lambda one: asked.append(len(one.best)))
    search = Search(ROOM, 2499)
    search.best = np.zeros((count, 2))
    assert len(search.run()) == count
    assert asked == [count] * thinned


@pytest.mark.parametrize("kind", ["square", "circle"])
def test_the_number_that_cannot_be_exceeded_is_near_the_best_known(kind: str) -> None:
    """Tables of best known packings (tests/reference), 1 to 70: never below, little above."""
    for n, (size, _) in BEST[kind].items():
        most = _most(container(kind, size), 2.0)
        assert n <= most <= 1.2 * n + 2
