"""One sign for card, connection table, Hall table, measured voltage and field room.

Outside: the law of Biot and Savart (`tests.support.biot_savart`) applied to the printed card, the
right-hand rule, and IEC 60034-8 (leads in alphabetical order: clockwise seen on the drive end).
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from geometry.field.results import potential
from recipes.field.figures import waves
from recipes.rotor.hall_plan import step_cells
from recipes.rotor.hall_sensors import hall_positions, hall_truth_table, legal_sets
from recipes.winding import sense
from recipes.winding.card_tables import tooth_rows
from recipes.winding.circuit import joint_list, parallel_paths
from recipes.winding.layout import CoilSides, layout
from tests.support.biot_savart import COIL, coil, field, torque, wave
from tests.support.design import STARTERS, job
from tests.support.field import UNSATURATED, machine_of

WINDINGS: list[tuple[int, int, CoilSides]] = [
    (12, 14, "every tooth"),
    (24, 28, "every tooth"),
    (18, 20, "every tooth"),
    (36, 42, "every tooth"),
    (9, 8, "every tooth"),
    (12, 10, "alternate teeth"),
    (24, 22, "alternate teeth"),
]
SIGNS = {"+": 1.0, "0": 0.0, "−": -1.0}


@pytest.mark.parametrize(("slots", "poles", "sides"), WINDINGS)
def test_a_plus_coil_of_the_card_shows_north_when_current_enters_its_start(
    slots: int, poles: int, sides: CoilSides
) -> None:
    """North: the field leaves the tooth's face into the gap. By Biot and Savart, in air."""
    made = layout(slots, poles, sides)
    for row in tooth_rows(made, joint_list(made)):
        if row.coil == "bare":
            continue
        axis = 2 * math.pi * (int(row.number) - 1) / slots
        out = np.array([math.cos(axis), math.sin(axis), 0.0])
        outward = float(field(coil(row, slots), 1.02 * COIL * out[None, :])[0] @ out)
        assert (outward > 0) == row.coil.endswith("+")
        assert sense.POLE.startswith(
            "A + tooth shows a north pole when current enters its coil at the start"
        )
        # who looks inward sees clockwise wire as the hands of a clock: area about his line of sight
        path = coil(row, slots)
        area = 0.5 * sum(np.cross(a, b) for a, b in itertools.pairwise(path))
        assert ("↺" in row.sense) == (float(area @ out) > 0)
        assert ("counter-clockwise" in row.sense) == ("↺" in row.sense)


@pytest.mark.parametrize(("slots", "poles", "sides"), WINDINGS)
@pytest.mark.parametrize("arrangement", [120, 60])
def test_every_state_of_the_hall_table_pulls_the_rotor_on(
    slots: int, poles: int, sides: CoilSides, arrangement: int
) -> None:
    """The current of each state into the phases whose voltage it calls "+", out of those with "−"."""
    made, pairs = layout(slots, poles, sides), poles // 2
    rows = tooth_rows(made, joint_list(made))
    plan = hall_positions(slots, poles, sides)
    best = legal_sets(plan, arrangement)[0]  # type: ignore[arg-type]
    for step in hall_truth_table(best):
        h, signs = step_cells(step)[:3], step_cells(step)[3:]
        found = wave(rows, dict(zip("UVW", (SIGNS[s] for s in signs), strict=True)), pairs)
        for late in (1.0, 15.0, 30.0, 45.0, 59.0):
            north = math.radians(plan.zero_deg) + math.radians(step.from_deg + late) / pairs
            assert torque(found, north, pairs) > 0
            for place, turned, said in zip(best.mechanical_deg, best.inverted, h, strict=True):
                covered = math.cos(pairs * (math.radians(place) - north)) > 0
                assert said == str(int(covered != turned))


@pytest.mark.parametrize(("slots", "poles", "sides"), WINDINGS)
def test_leads_in_alphabetical_order_turn_as_iec_60034_8_says(
    slots: int, poles: int, sides: CoilSides
) -> None:
    """Counter-clockwise to the reader on the lead side is clockwise on the far side, the drive end."""
    made, pairs = layout(slots, poles, sides), poles // 2
    rows = tooth_rows(made, joint_list(made))
    angles = []
    for t in (0.0, 0.1):
        now = {p: math.cos(t - 2 * math.pi / 3 * n) for n, p in enumerate("UVW")}
        angles.append(-np.angle(wave(rows, now, pairs)) / pairs)
    assert angles[1] - angles[0] == pytest.approx(0.1 / pairs, rel=0.02)
    assert "counter-clockwise seen from the lead side" in sense.DIRECTION
    assert ", clockwise seen from the drive end, the one away from the leads" in sense.DIRECTION


@pytest.mark.parametrize(("slots", "poles", "sides"), WINDINGS)
def test_the_rotor_comes_to_rest_where_the_pages_say(
    slots: int, poles: int, sides: CoilSides
) -> None:
    """In at lead U, out at V and W: by Kirchhoff in wye 1, -1/2, -1/2; in delta U forward, W back."""
    made, pairs = layout(slots, poles, sides), poles // 2
    rows, zero = tooth_rows(made, joint_list(made)), hall_positions(slots, poles, sides).zero_deg
    for connection, now in (("wye", (1.0, -0.5, -0.5)), ("delta", (1.0, 0.0, -1.0))):
        found = wave(rows, dict(zip("UVW", now, strict=True)), pairs)
        rest = sense.rests_at(connection)
        pulls = [
            torque(found, math.radians(zero) + math.radians(rest + off) / pairs, pairs)
            for off in (-60.0, -2.0, 2.0, 60.0)
        ]
        assert pulls[0] > 0
        assert pulls[1] > 0 > pulls[2]
        assert pulls[3] < 0


@pytest.mark.parametrize("name", STARTERS)
def test_the_field_room_has_the_same_signs(name: str) -> None:
    """Voltage U1 against U2 of the solved field, for a north pole where the sensors' table has it."""
    made = job(name)
    built = machine_of(made, UNSATURATED, order=1)
    found = waves(built)
    still, middle = found.found[0], sum(built.section.circles) / 2
    # B outwards = dA/d(angle) / r on the axis of pole 0
    two = [still.angle - 1e-3, still.angle + 1e-3]
    a = potential(still, np.array([[middle * math.cos(t), middle * math.sin(t)] for t in two]))
    assert a[1] > a[0]  # outwards: it shows the stator a south pole
    zero, pairs = made.hall_plan.zero_deg, built.pairs  # type: ignore[union-attr]
    for step in hall_truth_table(made.hall_set):  # type: ignore[arg-type]
        north = math.radians(zero) + math.radians(step.from_deg + 30.0) / pairs
        pole_0 = north + math.pi / pairs  # the south pole beside it
        volts = (1j * found.flux[:, 0] * np.exp(1j * pairs * pole_0)).real
        assert volts / np.abs(found.flux[:, 0]) == pytest.approx(step.phase_voltages, abs=0.02)


def test_every_winding_starts_its_phases_at_a_start() -> None:
    """U1 is the start of a coil: current into U1 enters every coil of the phase at its start."""
    for slots, poles, sides in WINDINGS:
        made = layout(slots, poles, sides)
        for paths in parallel_paths(made):
            for join in joint_list(made, paths):
                assert join.to_end in ("start", "U2", "V2", "W2")
                assert join.from_end in ("finish", "U1", "V1", "W1")
