"""What the search begins with: regular fillings, scattered circles, too many thinned out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.packing.contacts import Batch
from geometry.packing.region import Floats, Region
from geometry.packing.search import Search, regular_fillings
from tests.support.descent import LARGE_ROOM, ROOM, search, stand_in
from tests.support.packing import BEST, container

# -- what it begins with


def test_starts_are_half_regular_and_half_scattered_while_they_are_few() -> None:
    one = search(ROOM, 11)
    found = one._mixed(11)
    assert found.shape == (8, 11, 2)
    same = [bool((start == one.best).all()) for start in found]
    assert same == [True] * 4 + [False] * 4
    assert len({start.tobytes() for start in found}) == 5


@pytest.mark.parametrize(("count", "systems"), [(99, 6), (100, 6), (199, 3)])
def test_many_circles_have_fewer_starts_and_only_regular_ones(count: int, systems: int) -> None:
    one = search(LARGE_ROOM, count)
    regular = [bool((start == one.best).all()) for start in one._mixed(count)]
    assert regular == [k < systems / 2 or count >= 100 for k in range(systems)]


@pytest.mark.parametrize(("count", "systems"), [(999, 2), (1000, 1)])
def test_a_thousand_circles_have_one_start(count: int, systems: int) -> None:
    one = search(ROOM, 11)
    one.fillings = [np.zeros((count, 2))]
    assert one._mixed(count).shape == (systems, count, 2)


def test_every_regular_filling_has_its_turn() -> None:
    fillings = regular_fillings(ROOM)[:3]
    count = min(map(len, fillings)) - 1
    cut = [points[:count] for points in fillings]
    one = search(ROOM, count)
    one.fillings = cut
    found = one._mixed(count)[:4]
    assert [start.tobytes() for start in found] == [cut[k].tobytes() for k in (0, 1, 2, 0)]


def test_one_more_is_put_into_holes_of_the_best_in_three_of_four_starts() -> None:
    one = search(ROOM, 27)
    starts = one._inserted()
    assert starts.shape == (8, 28, 2)
    assert [bool((s[:27] == one.best).all()) for s in starts] == [True] * 6 + [False] * 2
    for start in starts[:6]:
        near = np.hypot(*(start[:27] - start[27]).T).min()
        assert min(2 * near - 1, 2 * ROOM.clearance(start[27:])[0]) > 0.3  # not upon another


def test_regular_fillings_are_brought_to_a_number_by_leaving_out_or_filling_holes() -> None:
    one = search(ROOM, 27)
    fewer, more = one._brought_to(one.best, 19), one._brought_to(one.best, 41)
    assert (len(fewer), len(more)) == (19, 41)
    assert {tuple(p) for p in fewer.tolist()} < {tuple(p) for p in one.best.tolist()}
    assert (more[:27] == one.best).all()
    assert len({tuple(p) for p in more.tolist()}) == 41
    assert ROOM.clearance(more).min() > 0.35


@pytest.mark.parametrize("count", [9, 30])
def test_scattered_starts_lie_all_over_the_room_and_differ(count: int) -> None:
    """No two circles lie on one place; a search that is made again draws the same."""
    one = search(ROOM, 11)
    spots, others = one._scattered(count), one._scattered(count)
    assert spots.tobytes() == search(ROOM, 11)._scattered(count).tobytes()
    assert spots.tobytes() != others.tobytes()
    assert min(math.dist(p, q) for i, p in enumerate(spots) for q in spots[:i]) > 1e-6
    quarters = (spots[:, 0] > 0).astype(int) + 2 * (spots[:, 1] > 0)
    assert np.bincount(quarters, minlength=4).min() >= count // 15
    assert ROOM.clearance(spots).min() > 0.05


# -- thinning out


def nothing_left(one: Search, starts: Floats) -> Batch:
    """Nothing fits, and nothing is left to take away."""
    one.best = starts[0]
    return Batch(starts, np.ones(1), np.ones(starts.shape[:2]), 0)


@pytest.mark.parametrize(("kind", "least"), [("square", -2), ("circle", 0)])
def test_thinning_begins_near_the_best_known_number(
    kind: str, least: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables of best known packings (tests/reference), 3 to 61: at most five too many."""
    begun: list[int] = []

    def mixed(_: Search, count: int) -> Floats:
        begun.append(count)
        return np.full((1, count, 2), math.nan)

    monkeypatch.setattr(Search, "_mixed", mixed)
    monkeypatch.setattr(Search, "_relaxed", lambda one, starts, _: nothing_left(one, starts))
    sizes = range(3, 62)
    for n in sizes:
        one = Search(Region(container(kind, BEST[kind][n][0]), 2.0), 99)
        one.best = one.best[:0]
        one.thin_out()
    over = [count - n for count, n in zip(begun, sizes, strict=True)]
    assert min(over) >= least
    assert max(over) <= 5
    assert sum(k >= 0 for k in over) > 0.85 * len(over)


def test_too_many_go_by_fiftieths_and_then_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each time those that are squeezed most go; what did not fit last has one circle too many."""
    made = stand_in(monkeypatch, lambda _: 1.0)
    one = search(LARGE_ROOM, 180)
    one.limit = 231
    above = one.thin_out()
    counts = [points.shape[1] for points in made.asked]
    assert counts[0] == 231
    assert counts == [231, 227, 223, 219, 215, 211, 207, 203, 199, 196, 193, *range(190, 180, -1)]
    assert above is not None
    assert above.count == 181
    for before, after in zip(made.asked, made.asked[1:], strict=False):
        assert (after == before[:, : after.shape[1]]).all()  # the last are squeezed most here
    assert len(one.best) == 180
