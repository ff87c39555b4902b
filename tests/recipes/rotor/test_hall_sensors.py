"""Hall sensors: slot spacings, timing, truth tables; voltages are followed through a whole turn.

Outside values: spacing 120/p mechanical degrees and whole slots for common pairs, common practice.
"""

import math
from collections import Counter
from dataclasses import replace

import pytest

from recipes.rotor.hall_sensors import (
    for_60_degree_controller,
    hall_positions,
    hall_spacings,
    hall_truth_table,
)
from recipes.winding.layout import layout
from tests.support.winding import all_windings, threes


@pytest.mark.parametrize(
    ("slots", "poles", "spacings"),
    [
        (12, 14, (4,)),
        (12, 10, (4,)),
        (9, 8, (3,)),
        (18, 16, (3, 6)),
        (18, 20, (3, 6)),
        (24, 22, (8,)),
        (24, 28, (4, 8)),
        (27, 30, (3, 6, 12)),
        (36, 30, (4, 8, 16)),
        (36, 42, (4, 8, 16)),
        (36, 40, (3, 6, 12, 15)),
        (12, 6, ()),
        (12, 12, ()),
    ],
)
def test_spacing_anchors(slots, poles, spacings):
    assert hall_spacings(slots, poles) == spacings
    assert hall_positions(slots, poles).spacings == spacings


def test_spacings_over_the_whole_range_and_exist_exactly_where_a_winding_does():
    for slots in range(3, 121):
        for poles in range(2, 161, 2):
            expected = tuple(
                k
                for k in range(1, slots)
                if 2 * k < slots and abs(math.cos(math.pi * poles * k / slots) + 0.5) < 1e-9
            )
            assert hall_spacings(slots, poles) == expected, (slots, poles)
            assert bool(expected) is (threes(slots) > threes(poles // 2)), (slots, poles)


def test_pair_without_winding_keeps_only_the_mechanical_spacing():
    plan = hall_positions(12, 6)
    assert plan.mechanical_spacing_deg == 40.0
    assert (plan.spacings, plan.sets, plan.close_sets, plan.timing_by_slot) == ((), (), (), ())
    assert plan.reason.startswith("motor.poles = 6 with motor.slots = 12: ")
    with pytest.raises(ValueError, match=r"motor\.poles = 13: must be even"):
        hall_positions(12, 13)


@pytest.mark.parametrize(
    ("slots", "poles", "degrees"), [(12, 10, 24), (12, 14, 17.142857), (24, 22, 10.909091)]
)
def test_mechanical_spacing(slots, poles, degrees):
    assert hall_positions(slots, poles).mechanical_spacing_deg == pytest.approx(degrees, abs=1e-6)


@pytest.mark.parametrize(
    ("slots", "poles", "shares"),
    [
        (12, 14, {0: 1 / 2, 30: 1 / 2}),
        (12, 10, {0: 1 / 2, 30: 1 / 2}),
        (24, 20, {0: 1 / 2, 30: 1 / 2}),
        (36, 42, {0: 1 / 2, 30: 1 / 2}),
        (18, 20, {0: 1 / 3, 20: 1 / 3, -20: 1 / 3}),
        (27, 30, {0: 1 / 3, 20: 1 / 3, -20: 1 / 3}),
        (36, 40, {0: 1 / 3, 20: 1 / 3, -20: 1 / 3}),
        (9, 8, {0: 1 / 3, 20: 1 / 3, -20: 1 / 3}),
        (24, 22, {0: 1 / 4, 15: 1 / 4, -15: 1 / 4, 30: 1 / 4}),
    ],
)
def test_timing_classes(slots, poles, shares):
    """Derived by hand from the coil angles: which part of the slots has which timing."""
    found = Counter(round(t, 9) for t in hall_positions(slots, poles).timing_by_slot)
    assert {t: n / slots for t, n in found.items()} == pytest.approx(shares)


def test_neutral_slots_of_twelve_fourteen_lie_between_two_phases():
    plan = hall_positions(12, 14)
    teeth = layout(12, 14).teeth
    for k, timing in enumerate(plan.timing_by_slot):
        between_phases = teeth[k].phase != teeth[(k + 1) % 12].phase
        assert (timing == 0.0) is between_phases


def voltages(winding, north_deg: float) -> list[float]:
    """Open-lead phase voltages with a north pole's middle at an electrical angle from tooth 1.

    A coil that shows north outwards when current enters links the flux -cos(north - tooth); its
    voltage, rising angle, is then +sin. Written without the module's axis or table.
    """
    sums = dict.fromkeys("UVW", 0.0)
    for k, tooth in enumerate(winding.teeth):
        if tooth.phase:
            angle = math.radians(north_deg - 180.0 * winding.poles * k / winding.slots)
            sums[tooth.phase] += tooth.sense * math.sin(angle)
    return list(sums.values())


def lead_and_lag(winding, north_deg: float) -> tuple[int, int]:
    """Phases with the highest and the lowest voltage: the pair that should carry the current."""
    now = voltages(winding, north_deg)
    return now.index(max(now)), now.index(min(now))


def sensor_states(winding, hall_set, north_deg: float) -> tuple[int, ...]:
    """A sensor says 1 while a north pole, 90 degrees to each side, covers its slot."""
    return tuple(
        int(
            (
                math.cos(
                    math.radians(north_deg - 180.0 * winding.poles * (k + 0.5) / winding.slots)
                )
                > 0
            )
            != turned
        )
        for k, turned in zip(hall_set.slots, hall_set.inverted, strict=True)
    )


def delay(winding, hall_set) -> float:
    """Degrees from the change of the best phase pair to the nearest sensor edge, -30 to 30."""
    fine = [i / 8 + 0.01 for i in range(8 * 360)]
    pairs = [lead_and_lag(winding, a) for a in fine]
    states = [sensor_states(winding, hall_set, a) for a in fine]
    natural = next(a for i, a in enumerate(fine) if i and pairs[i] != pairs[i - 1])
    edges = [a for i, a in enumerate(fine) if i and states[i] != states[i - 1]]
    assert len(edges) in (5, 6)
    return min(((e - natural + 180) % 360 - 180 for e in edges), key=abs)


@pytest.mark.parametrize(
    ("slots", "poles", "sides"),
    [
        (12, 14, "every tooth"),
        (12, 10, "every tooth"),
        (9, 8, "every tooth"),
        (24, 22, "every tooth"),
        (15, 16, "every tooth"),
        (12, 14, "alternate teeth"),
        (18, 16, "alternate teeth"),
    ],
)
def test_timing_is_the_delay_from_the_best_moment_found_by_turning_the_rotor(slots, poles, sides):
    winding = layout(slots, poles, sides)
    plan = hall_positions(slots, poles, sides)
    for hall_set in (*plan.sets[:: max(1, len(plan.sets) // 7)], *plan.close_sets[:3]):
        late = delay(winding, hall_set)
        wrapped = (late - hall_set.timing_deg + 30) % 60 - 30
        assert abs(wrapped) < 0.3, (hall_set, late)


def test_truth_table_follows_the_turning_rotor():
    for slots, poles in ((12, 14), (9, 10), (24, 28), (18, 16)):
        winding = layout(slots, poles)
        plan = hall_positions(slots, poles)
        axis = next(a / 4 for a in range(1440) if lead_and_lag(winding, a / 4 + 0.01)[0] == 0
                    and lead_and_lag(winding, a / 4 - 0.24)[0] != 0) - 30.0  # fmt: skip
        first_turned = replace(plan.sets[0], inverted=(True, False, False))
        turned = for_60_degree_controller(plan.sets[0])
        for hall_set in (plan.sets[0], plan.sets[-1], turned, first_turned):
            table = hall_truth_table(hall_set)
            assert len(table) == 6
            assert 0 <= table[0].from_deg < 60
            for step, after in zip(table, table[1:] + table[:1], strict=True):
                assert after.from_deg == pytest.approx(step.to_deg % 360, abs=1e-9)
                assert (step.to_deg - step.from_deg) % 360 == pytest.approx(60)
                middle = step.from_deg + 30.0
                for offset in (-29.0, 0.0, 29.0):
                    assert sensor_states(winding, hall_set, axis + middle + offset) == step.outputs
                now = voltages(winding, axis + middle)
                peak = abs(sum(v * v for v in now) * 2 / 3) ** 0.5
                assert [v / peak for v in now] == pytest.approx(step.phase_voltages, abs=0.01)


def test_in_a_neutral_set_one_phase_pair_is_best_through_each_step():
    for slots, poles in ((12, 14), (9, 8), (24, 28)):
        steps = hall_truth_table(hall_positions(slots, poles).sets[0])
        for step in steps:
            assert sorted(step.phase_voltages) == pytest.approx([-0.8660254, 0, 0.8660254])
        assert len({step.outputs for step in steps}) == 6


def test_states_of_120_and_60_degree_sensors():
    """Six of the eight states: a 120 degree set never gives 000 or 111, a 60 degree set gives both
    but never 010 or 101 (common practice, as controllers check it)."""
    states_120 = {(1, 0, 1), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 1, 1), (0, 0, 1)}
    states_60 = {(1, 1, 1), (1, 1, 0), (1, 0, 0), (0, 0, 0), (0, 0, 1), (0, 1, 1)}
    for slots, poles in ((12, 14), (24, 22), (18, 20), (27, 22)):
        plan = hall_positions(slots, poles)
        for hall_set in (*plan.sets, *plan.close_sets):
            assert {step.outputs for step in hall_truth_table(hall_set)} == states_120
            other = for_60_degree_controller(hall_set)
            assert other.inverted[1] is not hall_set.inverted[1]
            assert {step.outputs for step in hall_truth_table(other)} == states_60
            assert for_60_degree_controller(other) == hall_set


def test_every_set_is_listed_once_neutral_first():
    plan = hall_positions(24, 28)
    assert len(plan.sets) == 24 + 8  # steps of 4, and of 8 = 24/3
    assert [abs(s.timing_deg) for s in plan.sets] == sorted(abs(s.timing_deg) for s in plan.sets)
    best = plan.sets[0]
    assert (best.timing_deg, best.spacing_slots, best.slots) == (0.0, 4, (1, 5, 9))
    assert best.mechanical_deg == pytest.approx((22.5, 82.5, 142.5))
    assert [s.slots[1] - s.slots[0] for s in hall_positions(12, 14).close_sets[:1]] == [2]


def test_no_set_is_listed_twice():
    for winding in all_windings()[::29]:
        plan = hall_positions(winding.slots, winding.poles, winding.coil_sides)
        for sets in (plan.sets, plan.close_sets):
            assert len({frozenset(s.slots) for s in sets}) == len(sets)


def test_all_three_sensors_of_every_set_share_their_timing():
    for winding in all_windings()[::29]:
        plan = hall_positions(winding.slots, winding.poles, winding.coil_sides)
        assert plan.sets
        for hall_set in plan.sets[::17]:
            timings = [plan.timing_by_slot[k] for k in hall_set.slots]
            assert timings == pytest.approx([hall_set.timing_deg] * 3)
            apart = (hall_set.electrical_deg[1] - hall_set.electrical_deg[0]) % 360
            assert min(abs(apart - 120), abs(apart - 240)) < 1e-9
