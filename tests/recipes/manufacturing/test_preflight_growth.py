"""The work of a preflight grows with the number of entities and no faster: steps are counted, not seconds."""

from __future__ import annotations

import sys
from types import FrameType

import pytest

from geometry.inspection import edges
from recipes.manufacturing.preflight import preflight
from tests.bench.preflight import circles, same_circles, squares


def steps(data: bytes) -> int:
    """Return how many functions of Python a preflight calls."""
    count = 0

    def note(_: FrameType, event: str, __: object) -> None:
        nonlocal count
        count += event == "call"

    sys.setprofile(note)
    try:
        preflight(data)
    finally:
        sys.setprofile(None)
    return count


@pytest.mark.parametrize("drawing", [circles, squares, same_circles])
def test_four_times_the_entities_are_four_times_the_steps(drawing) -> None:  # type: ignore[no-untyped-def] # a function of the bench
    preflight(drawing(100))  # what is loaded and remembered once
    assert steps(drawing(1600)) < 1.1 * 4 * steps(drawing(400))


def test_a_round_hole_needs_few_steps() -> None:
    """Chords of a hole that holds nothing would be 150 more."""
    few, many = steps(circles(400)), steps(circles(1600))
    assert (many - few) / 1200 < 350


def test_every_double_is_left_out_however_many_there_are(monkeypatch: pytest.MonkeyPatch) -> None:
    """One that stayed in would be chained and nested with all others: 60,000 took minutes."""
    monkeypatch.setattr(edges, "MOST_OVERLAPS", 10)
    assert preflight(same_circles(40)).measures["holes"] == 1
