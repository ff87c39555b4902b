"""The bench sheet: every limit, step and caution on paper, legible, nothing left over."""

from __future__ import annotations

import re

import pytest

from recipes.job import Job
from recipes.shaft.seat_steps import (
    COMPOUND,
    FILING,
    LATHE,
    key_steps,
    seat_steps,
    seat_table,
    steps_by_seat,
    warm_steps,
)
from recipes.shaft.seat_steps import seat_steps_steps as steps_of
from recipes.shaft.shrink_fit import CAUTION
from tests.support.design import STARTERS, job, raw
from tests.support.sheets import assert_read_on_paper


def words(j: Job) -> str:
    (part,) = seat_steps(j)
    return " ".join(t.text for d in part.drawings for t in d.texts)


def spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


@pytest.mark.parametrize("name", STARTERS)
def test_everything_is_said_and_can_be_read(name: str) -> None:
    j = job(name)
    (part,) = seat_steps(j)
    assert part.drawings
    for sheet in part.drawings:
        assert_read_on_paper(sheet, j.design.print.page)
    said = spaced(words(j))
    for steps in steps_of(j):
        for step in steps:
            assert spaced(step) in said
    for sentence in (FILING, COMPOUND, LATHE, CAUTION, *warm_steps(j), *key_steps(j)):
        assert spaced(sentence) in said, sentence
    for row in seat_table(j):
        assert f"{row.largest:.3f} and {row.smallest:.3f}" in said
    assert ("[" in said) == (j.design.units == "in")


def test_table_of_the_potters_wheel_by_hand() -> None:
    """25 h6 0/-13, bore 0/-10: 13 loose to 10 tight; 47 N7 -8/-33, outside 0/-11: 3 loose to 33 tight
    (ISO 286-2 and ISO 492 Normal)."""
    first, second, stator, hub = seat_table(job())
    assert (first.play, second.play) == ("13 µm loose to 10 µm tight",) * 2
    assert (hub.fit, hub.largest, hub.smallest) == ("N7", 46.992, 46.967)
    assert hub.play == "3 µm loose to 33 µm tight"
    assert hub.mate == "outside of 6005, 47.000 to 46.989"
    assert stator.play == "as measured"


def test_seats_of_one_class_share_their_steps() -> None:
    assert [len(heads) for heads, _ in steps_by_seat(job())] == [2]
    assert [len(heads) for heads, _ in steps_by_seat(job("kayak-thruster"))] == [1, 1]  # h6, g6


def test_heat_is_said_for_each_kind_of_seat() -> None:
    both, hub = warm_steps(job())
    assert both.startswith("Seats 1 and 2: at worst 10 µm tight. Warm the bearing to 93°C")
    # 47 N7 is up to 33 um tight: (33 + 10) / (10.9e-6 x 47) = 83.9 K above 20 C
    assert "to 104°C" in hub
    assert "Before any magnet" in hub
    cold, warm, _ = warm_steps(job("kayak-thruster"))
    assert "freezer at -18°C, bearing at 92°C" in cold
    assert "2 µm tight" in warm
    tight = [dict(s, fit="k6") for s in raw()["axle"]["seats"]]
    refused, _ = warm_steps(job(axle__seats=tight, axle__grease_limit=80))
    assert "No allowed temperature" in refused


def test_keys_are_on_the_sheet_where_there_are_keys() -> None:
    assert "6.000 to 5.970 mm wide (N9)" in key_steps(job())[0]
    assert "stands 2.50 mm out" in key_steps(job())[1]
    assert key_steps(job("wool-spinner")) == ()
    assert "Keys of the stack" not in words(job("wool-spinner"))


def test_a_measured_bar_is_answered_with_what_it_turns_to() -> None:
    asked = steps_of(job())[0][1]
    assert "axle.stock_least" in asked
    assert "above 36 mm" in asked  # the collar
    assert "turns clean to 37.18 mm" in steps_of(
        job(axle__stock_least=37.6, axle__stock_runout=0.42)
    )[0][1]  # fmt: skip
