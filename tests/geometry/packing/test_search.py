"""How the search shares its work among attempts, and when it ends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest
from shapely import box

from geometry.packing import _most
from geometry.packing import search as module
from geometry.packing.attempt import Attempt
from geometry.packing.fillings import quick_fillings
from geometry.packing.region import Region
from geometry.packing.search import ATTEMPTS, Found, Search
from tests.support.packing import BEST, container

ROOM = Region(box(0.0, 0.0, 5.3, 4.7), 1.0)


@dataclass
class Ledger:
    """Budget of each attempt as it is made, and what each spent."""

    budgets: list[tuple[int, float]] = field(default_factory=list)
    made: list[Attempt] = field(default_factory=list)


@pytest.fixture
def ledger(monkeypatch: pytest.MonkeyPatch) -> Ledger:
    """A real search whose attempts are written down."""
    kept = Ledger()

    class Noted(Attempt):
        def __init__(self, region: Region, fillings: Any, best: Any, way: int, budget: float) -> None:  # fmt: skip
            super().__init__(region, fillings, best, way, budget)
            kept.budgets.append((way, budget))
            kept.made.append(self)

    monkeypatch.setattr(module, "Attempt", Noted)
    return kept


def test_an_attempt_may_take_half_of_what_is_left(ledger: Ledger) -> None:
    """All attempts at one number of circles the same half, so that their order says nothing."""
    search = Search(ROOM, 40)
    whole = search.work_left
    search.run()
    (first, budget), *others = ledger.budgets
    assert (first, budget) == (ATTEMPTS, whole)
    left = whole - ledger.made[0].spent
    half = left / 2
    for (way, budget), one in zip(others, ledger.made[1:], strict=True):
        if way == 0:
            half = left / 2
        assert budget == pytest.approx(half)
        assert one.spent > 0
        left -= one.spent
    assert [way for way, _ in others][-ATTEMPTS:] == list(range(ATTEMPTS))
    assert search.work_left == pytest.approx(left)


@pytest.mark.parametrize(
    ("region", "work"),
    [
        (Region(box(0, 0, 2.3, 1.2), 1.0), 5 * 60_000),  # two circles and three to spare
        (Region(box(0, 0, 17.5, 9.2), 1.0), 1_200_000),  # the plateau
        (Region(box(0, 0, 31.3, 20.1), 1.0), None),  # each of many brings its own
    ],
)
def test_work_grows_with_the_circles(region: Region, work: int | None) -> None:
    search = Search(region, 9999)
    assert search.best is search.fillings[0]
    assert search.work_left == (work or 3500 * len(search.best))


@dataclass
class Told:
    """Attempts that find what they are told, with the work they take."""

    finds: Callable[[int], bool]
    work: int
    asked: list[int] = field(default_factory=list)
    best: int = 0

    def __call__(self, _: Callable[[int], Found], numbers: Iterable[int]) -> Iterator[Found]:
        """Stand in for `map`."""
        for number in numbers:
            self.asked.append(number)
            found = self.finds(len(self.asked))
            self.best += found
            yield (np.zeros((self.best, 2)) if found else None), self.work


def told(finds: Callable[[int], bool], work: float, limit: int = 99) -> tuple[Told, Search]:
    """A search from the fullest filling of the room; `work` as a share of what is there."""
    attempts = Told(finds, 0)
    search = Search(ROOM, limit, attempts)
    attempts.work, attempts.best = int(work * search.work_left), len(search.best)
    return attempts, search


@pytest.fixture
def no_crowd(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Attempt, "thin_out", lambda *_: None)


@pytest.mark.usefixtures("no_crowd")
@pytest.mark.parametrize(
    ("share", "asked"), [(0.01, [0, 1, 2]), (0.49, [0, 1, 2]), (0.51, [0, 1]), (1.01, [0])]
)
def test_no_attempt_is_made_once_the_work_is_spent(share: float, asked: list[int]) -> None:
    """Three in vain end the search; two of more than half of the work leave none for the third."""
    attempts, search = told(lambda _: False, share)
    begun = search.best
    assert search.run() is begun
    assert attempts.asked == asked


@pytest.mark.usefixtures("no_crowd")
def test_a_circle_found_begins_the_count_of_attempts_again() -> None:
    attempts, search = told(lambda k: k in (2, 3), 0.01)
    begun = len(search.best)
    assert len(search.run()) == begun + 2
    assert attempts.asked == [0, 1, 0, 0, 1, 2]


@pytest.mark.usefixtures("no_crowd")
def test_what_is_found_with_the_last_of_the_work_counts() -> None:
    attempts, search = told(lambda _: True, 1.01)
    begun = len(search.best)
    assert len(search.run()) == begun + 1
    assert attempts.asked == [0]


@pytest.mark.usefixtures("no_crowd")
def test_no_more_than_possible_is_looked_for() -> None:
    begun = len(quick_fillings(ROOM)[0])
    attempts, search = told(lambda _: True, 0.01, begun + 2)
    assert len(search.run()) == begun + 2
    assert attempts.asked == [0, 0]


def test_from_2500_circles_on_regular_fillings_are_the_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    crowds: list[int] = []
    monkeypatch.setattr(Attempt, "thin_out", lambda one, _: crowds.append(len(one.best)))
    for count in (2500, 2499):
        search = Search(ROOM, 2499, lambda *_: iter(()))
        search.best = np.zeros((count, 2))
        assert len(search.run()) == count
    assert crowds == [2499]


def test_attempts_side_by_side_find_the_same() -> None:
    """All three made before the first is looked at, the last first: the same bytes."""

    def together(make: Callable[[int], Found], numbers: Iterable[int]) -> Iterator[Found]:
        found = {number: make(number) for number in reversed(list(numbers))}
        return iter([found[number] for number in sorted(found)])

    for n in (7, 13):
        region = Region(container("square", 1.004 * BEST["square"][n][0] / 2), 1.0)
        one, other = Search(region, n).run(), Search(region, n, together).run()
        assert len(one) == n
        assert one.tobytes() == other.tobytes()


@pytest.mark.parametrize("kind", ["square", "circle"])
def test_the_number_that_cannot_be_exceeded_is_near_the_best_known(kind: str) -> None:
    """Tables of best known packings (tests/reference), 1 to 70: never below, little above."""
    for n, (size, _) in BEST[kind].items():
        most = _most(container(kind, size), 2.0)
        assert n <= most <= 1.2 * n + 2
