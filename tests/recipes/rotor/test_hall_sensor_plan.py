"""The sensors of a design: slots, timing, states, pockets."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shapely.geometry import LineString
from shapely.geometry import Polygon as Shape

from recipes.catalogue import Parts
from tests.support.design import STARTERS, job
from tests.support.rotor import hall_findings, hall_results


def codes(**changes: object) -> list[str]:
    return [f.code for f in hall_findings(job(**changes))]


@pytest.mark.parametrize(
    ("name", "spacing", "step"),
    [("potters-wheel", 120 / 14, 4), ("kayak-thruster", 17.143, 4), ("wool-spinner", 12.0, 3)],
)
def test_slots_stand_the_published_steps_apart(name: str, spacing: float, step: int) -> None:
    """120/p mechanical degrees, and steps in slots: 12/14 4; 18/20 3 (common practice)."""
    results = hall_results(job(name))
    assert results["hall_spacing_deg"] == pytest.approx(spacing, abs=0.001)
    slots = [int(v) for v in str(results["hall_slots"]).split()]
    assert [b - a for a, b in pairwise(slots)] == [step, step]
    assert results["hall_timing_deg"] == 0
    pitch = 360 / job(name).design.motor.slots
    angles = [float(v) for v in str(results["hall_angles_deg"]).split()]
    assert angles == pytest.approx([(k - 0.5) * pitch for k in slots], rel=1e-3)
    assert hall_findings(job(name)) == [] or {f.level for f in hall_findings(job(name))} == {"note"}


def test_half_or_a_third_of_the_sets_are_neutral() -> None:
    """Common practice: half of the slots of 12/14, a third of those of 18/20."""
    for name, share in (("kayak-thruster", 1 / 2), ("wool-spinner", 1 / 3)):
        found = [s for s in job(name).hall_sets if not any(s.inverted)]
        neutral = sum(s.timing_deg == 0 for s in found)
        assert neutral / len(found) == pytest.approx(share)


def test_states_of_both_controllers() -> None:
    """120 degrees: never 000 or 111; 60 degrees: both, never 010 or 101 (common practice)."""
    states = str(hall_results(job())["hall_states"]).split()
    assert sorted(states) == ["001", "010", "011", "100", "101", "110"]
    changed = [sum(a != b for a, b in zip(x, y, strict=True))
               for x, y in zip(states, states[1:] + states[:1], strict=True)]  # fmt: skip
    assert changed == [1] * 6
    for name in STARTERS:
        sixty = job(name, hall__arrangement=60)
        found = str(hall_results(sixty)["hall_states"]).split()
        assert {"000", "111"} < set(found)
        assert not {"010", "101"} & set(found)
        assert len(set(found)) == 6
        assert all(s.timing_deg == 0 for s in sixty.hall_sets[:1])


def test_a_turned_sensor_is_named_by_its_place_in_the_row() -> None:
    chosen = job(hall__arrangement=60).hall_set
    assert chosen is not None
    named = str(hall_results(job(hall__arrangement=60))["hall_turned_face_about"])
    assert named == ("2" if chosen.inverted[1] else "none")
    assert hall_results(job())["hall_turned_face_about"] == "none"
    assert any(s.inverted == (False, True, False) for s in job(hall__arrangement=60).hall_sets)


def test_without_sensors_nothing_is_said() -> None:
    j = job(hall__sensors=False, axle__leads=[])
    assert (hall_findings(j), hall_results(j), j.hall_set) == ([], {}, None)


def test_a_pair_without_winding_still_has_its_mechanical_spacing() -> None:
    j = job(motor__poles=24)
    assert [f.code for f in hall_findings(j)] == ["hall-no-slots"]
    assert "10.000 degrees" in hall_findings(j)[0].fix
    assert list(hall_results(j)) == ["hall_spacing_deg"]


@pytest.mark.parametrize("name", STARTERS)
def test_pocket_is_measured_on_the_steel_itself(name: str) -> None:
    """Mouth and tip along the circle of the tooth faces, cut out of the real outline by shapely."""
    j = job(name)
    pocket, radius = j.hall_pocket, j.design.lamination.outer_diameter / 2
    assert pocket is not None
    sheet = Shape(Parts(j)["lamination"][0].cut[0].outer.chords(0.0005))
    inner = radius - 0.5 * j.design.lamination.tip_thickness
    ring = [(inner * math.cos(a), inner * math.sin(a))
            for a in (2 * math.pi * k / 7200 for k in range(7201))]  # fmt: skip
    steel = sheet.intersection(LineString(ring)).length / j.design.motor.slots
    mouth = 2 * math.pi * inner / j.design.motor.slots - steel
    assert 2 * inner * math.sin(mouth / inner / 2) == pytest.approx(pocket.opening, abs=0.004)
    assert pocket.tip == pytest.approx(
        2 * math.pi * radius / j.design.motor.slots - mouth, abs=0.02
    )
    assert pocket.notch == pytest.approx((4.2 - pocket.opening) / 2)


def test_pockets_are_judged() -> None:
    assert codes(hall__body_width=2.9) == []  # 3.1 in a mouth of 3.2
    assert codes(hall__body_width=3.1) == ["hall-notch"]
    assert codes(hall__body_width=14.9) == ["hall-pocket"]
    assert codes(hall__body_width=2.9, hall__stand_back=0.45) == ["hall-stand-back"]
    assert codes(hall__body_width=2.9, axle__leads=[]) == ["hall-leads"]


def test_a_pair_without_neutral_slots_is_told() -> None:
    """Coils of one tooth each, 12/28: every slot lies 30 electrical degrees beside the moment."""
    j = job(motor__slots=12, hall__body_width=2.9)
    assert [f.code for f in hall_findings(j)] == ["hall-timing"]
    assert abs(float(hall_results(j)["hall_timing_deg"])) == pytest.approx(30)
    assert "30.00 electrical degrees" in hall_findings(j)[0].message
