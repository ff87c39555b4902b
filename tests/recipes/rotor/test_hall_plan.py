"""The plan of the Hall sensors on paper."""

from __future__ import annotations

import math

import pytest

from recipes.catalogue import Parts
from recipes.rotor.hall_plan import SIXTY_WORDS, TRY, chosen_rows, set_rows, state_rows, timing_rows
from recipes.rotor.hall_sensors import hall_positions
from tests.support.design import STARTERS, job
from tests.support.sheets import assert_read_on_paper

LARGE = {
    "motor__slots": 72, "motor__poles": 80, "lamination__outer_diameter": 320,
    "lamination__tooth_width": 6,
}  # fmt: skip


def by_hand(steps_deg: tuple[float, ...], angle: float) -> str:
    """One sensor through a turn: 1 while a north pole, half a turn wide, lies over it."""
    return "".join(str(int(math.cos(math.radians(s - angle)) > 0)) for s in steps_deg)


@pytest.mark.parametrize("name", [*STARTERS, "large"])
@pytest.mark.parametrize("arrangement", [120, 60])
def test_sheets_can_be_read_and_hold_every_set(name: str, arrangement: int) -> None:
    changes = {"hall__arrangement": arrangement}
    j = job(**LARGE, **changes) if name == "large" else job(name, **changes)
    (part,) = Parts(j)["hall_plan"]
    assert part.drawings
    for sheet in part.drawings:
        assert_read_on_paper(sheet, j.design.print.page)
    said = " ".join(t.text for d in part.drawings for t in d.texts)
    plan, chosen = j.hall_plan, j.hall_set
    assert plan is not None
    assert chosen is not None
    rows = chosen_rows(chosen, plan.slots), state_rows(chosen, plan.poles), set_rows(j.hall_sets)
    for row in (*(r for table in rows for r in table), *timing_rows(plan)):
        for cell in row:
            assert cell in said
    assert sum(len(r[-1].split(", ")) for r in set_rows(j.hall_sets)) == len(j.hall_sets)
    for sentence in (*TRY, SIXTY_WORDS[j.design.hall.arrangement]):
        assert sentence in said


def test_rows_of_sets_count_out_to_the_sets() -> None:
    """Each row unrolled, first slot and twice `apart` further, gives back every legal set, once."""
    j = job("wool-spinner")
    found = []
    for apart, _, turned, first in set_rows(j.hall_sets):
        for start in first.split(", "):
            slots = [(int(start) - 1 + k * int(apart)) % 18 for k in range(3)]
            found.append((*slots, turned))
    legal = [
        (*s.slots, " ".join(f"H{n}" for n, i in enumerate(s.inverted, 1) if i) or "none")
        for s in j.hall_sets
    ]
    assert sorted(found) == sorted(legal)
    assert len(set(found)) == len(found)


def test_potters_wheel_by_hand() -> None:
    """14 pole pairs: one electrical turn is 25.71 degrees; slots 2, 6, 10 are 4 x 15 x 14 = 120 modulo
    360 electrical degrees apart; each sensor is 1 for half a turn, 120 degrees after the one before.
    Zero is a north pole over the axis of U: the mean of tooth 1 (0 degrees) and tooth 2, wound the
    other way (210 - 180 = 30), at 15 electrical degrees. H1 between teeth 2 and 3, at 22.5 x 14 = 315,
    has a north pole over it at 300."""
    chosen = job().hall_set
    assert chosen is not None
    rows, places = state_rows(chosen, 28), chosen_rows(chosen, 24)
    assert rows[-1][:2] == ("330 to 390°", "23.57 to 27.86°")
    assert [r[1] for r in places] == ["2", "6", "10"]
    assert [r[3] for r in places] == ["22.50°", "82.50°", "142.50°"]
    middles = (60, 120, 180, 240, 300, 360)
    # A step of 4 slots is 840 = 120 electrical degrees.
    for sensor, angle in ((2, 300), (3, 60), (4, 180)):
        assert "".join(r[sensor] for r in rows) == by_hand(middles, angle)
    assert [sum(v == "+" for v in r[5:8]) for r in rows] == [1] * 6


def test_timing_of_every_slot_is_counted_once() -> None:
    for slots, poles in ((12, 14), (18, 20), (24, 28)):
        j = job(motor__slots=slots, motor__poles=poles)
        plan = j.hall_plan
        assert plan is not None
        listed = [int(k) for _, row in timing_rows(plan) for k in row.split(", ")]
        assert sorted(listed) == list(range(1, slots + 1))
        neutral = dict(timing_rows(plan))["neutral"].split(", ")
        assert plan == hall_positions(slots, poles)
        assert [int(k) - 1 for k in neutral] == [
            k for k, t in enumerate(plan.timing_by_slot) if abs(t) < 1e-9
        ]


def test_plan_and_jig_speak_of_the_same_slots() -> None:
    j = job("kayak-thruster")
    assert Parts(j)["hall_plan"][0].settings["slots"] == Parts(j)["hall_jig"][0].settings["slots"]


def test_without_sensors_there_is_no_plan() -> None:
    assert Parts(job(hall__sensors=False))["hall_plan"] == ()
    assert job(motor__poles=24).hall_set is None
    assert Parts(job(motor__poles=24))["hall_plan"] == ()
