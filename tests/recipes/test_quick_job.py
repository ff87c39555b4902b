"""A quick job says the same as a full one, but for how many circles could be packed at most."""

from __future__ import annotations

from typing import Any

import pytest

from geometry.packing import pack_circles
from recipes.assess import assess
from recipes.design.load import validate
from recipes.job import Job
from tests.bench.check_many import designs
from tests.support.design import STARTERS, design

#: Turns from few to far too many, thin walls, no coil beside, wires that no opening passes.
ODD: tuple[tuple[str, dict[str, Any]], ...] = (
    *((name, {"winding__turns": n}) for name in STARTERS for n in (3, 17, 33, 61)),
    ("potters-wheel", {"winding__turns": 34, "separator__thickness": 0}),
    ("potters-wheel", {"winding__wire": "1.25 mm", "winding__strands": 1, "winding__turns": 22}),
    ("kayak-thruster", {"liner__thickness": 0.31, "winding__turns": 14}),
    ("wool-spinner", {"winding__coil_sides": "alternate teeth", "winding__turns": 119}),
    ("wool-spinner", {"wedge__thickness": 0, "winding__turns": 58}),
)


def judged(job: Job) -> tuple[list[tuple[str, str, str]], dict[str, float | int | str]]:
    """Level, code and field of every finding in order, and the results."""
    seen = assess(job, whole=False)
    return [(f.level, f.code, f.field) for f in seen.findings], dict(seen.results)


def assert_alike(quick: Job, full: Job) -> None:
    (said, figures), (expected, whole) = judged(quick), judged(full)
    assert said == expected
    least, most = figures.pop("turns_possible_at_least"), whole.pop("turns_possible")
    assert isinstance(least, int)
    assert isinstance(most, int)
    assert 0.8 * most - 1 <= least <= most
    assert figures == whole


@pytest.mark.parametrize("k", range(36))
def test_quick_and_full_never_disagree_on_varied_designs(k: int) -> None:
    made = validate(list(designs(120))[k * 3 + k % 3])
    assert_alike(Job(made, quick=True), _cheaper(Job(made)))


@pytest.mark.parametrize(("name", "changes"), ODD)
def test_quick_and_full_never_disagree_on_odd_designs(name: str, changes: dict[str, Any]) -> None:
    made = design(name, **changes)
    assert_alike(Job(made, quick=True), _cheaper(Job(made)))


def _cheaper(job: Job) -> Job:
    """Give a full job the regular packing with its holes filled; the search only ever adds to it."""
    if job.design.winding.lay == "layered":
        job.__dict__["pack"] = lambda room, d: pack_circles(room, d, effort="quick")
    return job


@pytest.mark.parametrize("name", STARTERS)
def test_a_quick_count_is_a_bound_that_the_search_keeps(name: str) -> None:
    made = design(name)
    quick, full = Job(made, quick=True).window, Job(made).window
    assert not quick.searched
    assert full.searched
    assert full.turns_at_least == full.turns_possible >= quick.turns_at_least


def test_a_random_lay_is_always_searched() -> None:
    # Its turns, lengths and heat follow from where the circles lie.
    turns = {"winding__lay": "random", "winding__turns": 33}
    quick, full = Job(design(**turns), quick=True), Job(design(**turns))
    assert judged(quick) == judged(full)
    assert "turns_possible" in judged(quick)[1]


def test_a_stop_says_how_sure_its_count_is() -> None:
    made = design("wool-spinner", winding__turns=77)
    (stop,) = [f for f in assess(Job(made, quick=True), False).findings if f.code == "turns-do-not-fit"]  # fmt: skip
    assert "at least 81 turns could be packed" in stop.message
