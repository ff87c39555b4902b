"""Hall sensors of the three starters, worked by hand: slots, angles, phase axis, states.

Electrical angle = pole pairs x mechanical angle. Three sensors give six states where they stand 120
degrees apart; the spacing 120/p mechanical degrees, times a whole number that 3 does not divide, is
common practice. A set is neutral where sensor angle less phase axis is a multiple of 60.
"""

from __future__ import annotations

import cmath
import math

import pytest

from recipes.motor import Motor
from recipes.rotor.hall_sensors import hall_truth_table
from tests.support.design import job
from tests.support.rotor import hall_results


def axis_by_hand(j: Motor) -> float:
    """Axis of phase U in electrical degrees: mean direction of its teeth, turned where wound back.

    Tooth k (0 first) stands at p x 360 k / Q; a coil wound the other way counts 180 degrees on (star
    of slots, Pyrhonen, Jokinen and Hrabovcova, Design of Rotating Electrical Machines, ch. 2).
    """
    p, q = j.design.motor.poles // 2, j.design.motor.slots
    total = sum(
        t.sense * cmath.exp(1j * math.radians(p * 360 * k / q))
        for k, t in enumerate(j.layout.teeth)
        if t.phase == "U"
    )
    return math.degrees(cmath.phase(total))


@pytest.mark.parametrize(
    ("name", "pairs", "spacing", "slots", "angles", "electrical"),
    [
        # 24 slots of 15 deg: slot 2 at 22.5; a step of 4 is 60 deg x 14 = 840 = 120
        ("potters-wheel", 14, 8.5714, (2, 6, 10), (22.5, 82.5, 142.5), 120),
        # 12 slots of 30 deg: slot 2 at 45; a step of 4 is 120 deg x 7 = 840 = 120
        ("kayak-thruster", 7, 17.1429, (2, 6, 10), (45.0, 165.0, 285.0), 120),
        # 18 slots of 20 deg: slot 3 at 50; a step of 3 is 60 deg x 10 = 600 = 240 = -120
        ("wool-spinner", 10, 12.0, (3, 6, 9), (50.0, 110.0, 170.0), 240),
    ],
)
def test_places(
    name: str,
    pairs: int,
    spacing: float,
    slots: tuple[int, ...],
    angles: tuple[float, ...],
    electrical: int,
) -> None:
    j = job(name)
    results, chosen = hall_results(j), j.hall_set
    assert chosen is not None
    assert results["hall_spacing_deg"] == pytest.approx(spacing, abs=1e-4)
    assert results["hall_slots"] == " ".join(map(str, slots))
    assert chosen.mechanical_deg == pytest.approx(angles)
    step = (angles[1] - angles[0]) * pairs
    assert step % 360 == pytest.approx(electrical)
    # neutral: electrical angle of a sensor less the phase's axis is a multiple of 60
    axis = axis_by_hand(j)
    for angle, counted in zip(angles, chosen.electrical_deg, strict=True):
        by_hand = angle * pairs - axis
        assert math.remainder(by_hand, 60) == pytest.approx(0, abs=1e-6)
        assert math.remainder(counted - by_hand, 360) == pytest.approx(0, abs=1e-6)
    assert results["hall_timing_deg"] == 0


@pytest.mark.parametrize("name", ["potters-wheel", "kayak-thruster", "wool-spinner"])
def test_states_through_one_electrical_turn(name: str) -> None:
    """A north pole, 180 electrical degrees wide, covers a sensor where it is less than 90 away."""
    j = job(name)
    chosen = j.hall_set
    assert chosen is not None
    for step in hall_truth_table(chosen):
        middle = step.from_deg + 30.0
        by_hand = tuple(
            int(abs((middle - a + 180.0) % 360.0 - 180.0) < 90.0) for a in chosen.electrical_deg
        )
        assert step.outputs == by_hand
    # H1 is on in steps 1, 2, 3; a step of +120 lets H2 follow two steps later, -120 four
    h1, h2, h3 = ("".join(str(s.outputs[n]) for s in hall_truth_table(chosen)) for n in range(3))
    first = h1.index("01") + 1 if "01" in h1 else 0
    h1, h2, h3 = (h[first:] + h[:first] for h in (h1, h2, h3))
    assert h1 == "111000"
    assert {h2, h3} == {"001110", "100011"}
    assert (h2 == "001110") == (name != "wool-spinner")


def test_shares_of_neutral_slots() -> None:
    """Common practice: 12/14 half, 18/20 a third; 24/28 repeats 12/14."""
    for name, share in (("potters-wheel", 2), ("kayak-thruster", 2), ("wool-spinner", 3)):
        plan = job(name).hall_plan
        assert plan is not None
        timing = plan.timing_by_slot
        assert sum(abs(t) < 1e-9 for t in timing) * share == len(timing)
