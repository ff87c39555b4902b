"""Rows of the sensors' plan against the plan itself and against plain geometry of the slots."""

from __future__ import annotations

import pytest

from recipes.rotor.hall_plan import chosen_rows, set_rows, state_rows, timing_rows, timing_words
from recipes.rotor.hall_sensors import hall_truth_table
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_rows_of_the_chosen_set(name: str) -> None:
    j = job(name)
    chosen = j.hall_set
    assert chosen is not None
    slots = j.design.motor.slots
    for n, row in enumerate(chosen_rows(chosen, slots)):
        slot = chosen.slots[n] + 1
        assert row[:3] == (f"H{n + 1}", str(slot), f"{slot} and {slot % slots + 1}")
        assert row[3] == f"{chosen.mechanical_deg[n]:.2f}°"
        assert row[4] == ("turned about" if chosen.inverted[n] else "to the magnets")


@pytest.mark.parametrize("name", STARTERS)
def test_six_states_share_one_electrical_turn(name: str) -> None:
    j = job(name)
    pairs = j.design.motor.poles // 2
    chosen = j.hall_set
    assert chosen is not None
    rows = state_rows(chosen, j.design.motor.poles)
    # neutral sensors switch 30 degrees off the axes
    assert [r[0] for r in rows] == ["30 to 90°", "90 to 150°", "150 to 210°", "210 to 270°",
                                    "270 to 330°", "330 to 390°"]  # fmt: skip
    assert rows[2][1] == f"{150 / pairs:.2f} to {210 / pairs:.2f}°"
    for row, step in zip(rows, hall_truth_table(chosen), strict=True):
        assert row[2:5] == tuple(str(v) for v in step.outputs)
        signs = {"+": 1, "−": -1, "0": 0}
        assert all(signs[s] * v >= 0 for s, v in zip(row[5:8], step.phase_voltages, strict=True))
        assert sum(signs[s] for s in row[5:8]) in (-1, 0, 1)
        assert any(s != "0" for s in row[5:8])


@pytest.mark.parametrize("name", STARTERS)
def test_every_set_and_every_slot_is_listed_once(name: str) -> None:
    j = job(name)
    firsts = [f for row in set_rows(j.hall_sets) for f in row[3].split(", ")]
    assert sorted(firsts) == sorted(str(s.slots[0] + 1) for s in j.hall_sets)
    assert len({row[:3] for row in set_rows(j.hall_sets)}) == len(set_rows(j.hall_sets))
    plan = j.hall_plan
    assert plan is not None
    timing, rows = plan.timing_by_slot, timing_rows(plan)
    assert sorted(int(s) for _, slots in rows for s in slots.split(", ")) == list(
        range(1, len(timing) + 1)
    )
    for words, slots in rows:
        assert {timing_words(round(timing[int(s) - 1], 6)) for s in slots.split(", ")} == {words}
    sizes = [abs(timing[int(slots.split(", ")[0]) - 1]) for _, slots in rows]
    assert sizes == sorted(sizes)


def test_timing_in_words() -> None:
    assert timing_words(0.0) == "neutral"
    assert timing_words(2.5) == "2.5° late"
    assert timing_words(-7.5) == "7.5° early"
