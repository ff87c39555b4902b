"""One wire a tooth, a group, a phase: lengths, joints and resistance against a count by hand.

Copper: 1/58 ohm mm2/m at 20 C (IEC 60028). Density 8.89 (IEC 60028). Arcs and tails by the rule that
the page states: the shorter way at the slot bottom, 8 mm over each cuff, 15 mm up to a joint.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from recipes.winding.circuit import parallel_paths
from recipes.winding.layout import layout
from tests.support.wire import job_of

#: Phase U by hand, from published layouts (winding_layouts.csv, common practice) or the star of slots:
#: slots, poles, sides, paths, teeth of U in order; path by path.
BY_HAND: list[tuple[int, int, str, int, list[list[int]]]] = [
    (12, 14, "every tooth", 1, [[1, 2, 7, 8]]),
    (12, 14, "every tooth", 2, [[1, 2], [7, 8]]),
    (24, 28, "every tooth", 1, [[1, 2, 7, 8, 13, 14, 19, 20]]),
    (24, 28, "every tooth", 2, [[1, 2, 13, 14], [7, 8, 19, 20]]),
    (18, 20, "every tooth", 1, [[1, 2, 3, 10, 11, 12]]),
    (36, 42, "every tooth", 1, [[1, 2, 7, 8, 13, 14, 19, 20, 25, 26, 31, 32]]),
    (36, 42, "every tooth", 3, [[1, 2, 19, 20], [7, 8, 25, 26], [13, 14, 31, 32]]),
    (24, 20, "alternate teeth", 1, [[1, 7, 13, 19]]),
    (24, 28, "alternate teeth", 2, [[1, 13], [7, 19]]),
]
COIL = 1.25


def made(slots: int, poles: int, sides: str, paths: int, run: str, **more: Any) -> Any:
    return job_of(
        "kayak-thruster", COIL, motor__slots=slots, motor__poles=poles, winding__coil_sides=sides,
        winding__parallel_paths=paths, winding__run=run, winding__connection="wye",
        winding__strands=2, winding__tail=140, lamination__outer_diameter=150,
        lamination__slot_depth=18, **more,
    )  # fmt: skip


def arc(slots: int, a: int, b: int) -> float:
    """Return the shorter way at the slot bottom, radius 75 - 18 mm, in m."""
    apart = abs(b - a)
    return min(apart, slots - apart) * 2 * math.pi / slots * 57.0 / 1000


def groups(teeth: list[int], step: int) -> list[list[int]]:
    found = [[teeth[0]]]
    for k in teeth[1:]:
        if k == found[-1][-1] + step:
            found[-1].append(k)
        else:
            found.append([k])
    return found


@pytest.mark.parametrize(("slots", "poles", "sides", "paths", "teeth"), BY_HAND)
@pytest.mark.parametrize("run", ["one wire a tooth", "one wire a group", "one wire a phase"])
def test_lengths_joints_and_resistance_by_hand(
    slots: int, poles: int, sides: str, paths: int, teeth: list[list[int]], run: str
) -> None:
    motor = made(slots, poles, sides, paths, run)
    step = 1 if sides == "every tooth" else 2
    wires: list[list[int]] = []
    for path in teeth:
        if run == "one wire a phase":
            wires.append(path)
        elif run == "one wire a group":
            wires += groups(path, step)
        else:
            wires += [[k] for k in path]
    mine = [r for r in motor.wire_runs if r.phase == "U"]
    assert [[k + 1 for k in r.teeth] for r in mine] == wires

    ends = {path[0] for path in teeth}, {path[-1] for path in teeth}
    total = 0.0
    for r, coils in zip(mine, wires, strict=True):
        over = sum(arc(slots, a, b) + 0.016 for a, b in itertools.pairwise(coils))
        tails = (0.3 if coils[0] in ends[0] else 0.14) + (0.3 if coils[-1] in ends[1] else 0.14)
        assert r.cut_m == pytest.approx(COIL * len(coils) + over + tails)
        assert r.crossovers_m == pytest.approx(over)
        assert (r.begins == "U1", r.ends == "U2") == (coils[0] in ends[0], coils[-1] in ends[1])
        total += 2 * r.cut_m
    assert motor.wire_order.phase_m == pytest.approx(total)
    assert motor.wire_order.motor_m == pytest.approx(2 * sum(r.cut_m for r in motor.wire_runs))

    # joints: from wire to wire inside a path, and each path's two ends
    joints = [j for j in motor.joints if j.soldered and j.phase == "U"]
    assert len(joints) == len(wires) - paths + 2 * paths
    # a phase: coils, soldered links of 2 x 15 mm, crossovers of 2 x 8 mm, two ends; copper 2 x 0.53 mm
    metres = 0.0
    for path in teeth:
        whole = [w for w in wires if w[0] in path]
        metres += COIL * len(path) + 0.6
        for a, b in itertools.pairwise(path):
            inside = any(a in w and b in w for w in whole)
            metres += arc(slots, a, b) + (0.016 if inside else 0.030)
    ohm = metres / paths / (58.0 * 2 * math.pi / 4 * 0.53**2) / paths
    assert motor.resistance.phase_ohm == pytest.approx(ohm, rel=1e-4)


def test_36_slots_lose_their_joints() -> None:
    """The issue's own count: 36 coils, 33 links inside the phases; one wire a phase keeps none."""
    links = {
        run: sum(j.soldered and not j.terminal for j in made(36, 42, "every tooth", 1, run).joints)
        for run in ("one wire a tooth", "one wire a group", "one wire a phase")
    }
    assert links == {"one wire a tooth": 33, "one wire a group": 15, "one wire a phase": 0}


def test_bobbin_by_hand() -> None:
    """Two strands of 4 coils, 12/14: 2 x (5 + 0.3 x 2 + crossovers) m of 0.53 mm copper."""
    motor = made(12, 14, "every tooth", 1, "one wire a phase")
    metres = 2 * (4 * COIL + 0.6 + 2 * arc(12, 1, 2) + arc(12, 2, 7) + 3 * 0.016)
    assert motor.wire_order.bobbin.length_m == pytest.approx(metres)
    copper = metres * math.pi / 4 * 0.53**2  # cm3: m x mm2
    assert motor.wire_order.bobbin.copper_cm3 == pytest.approx(copper)
    assert motor.wire_order.bobbin.mass_kg == pytest.approx(
        8.89e-3 * copper, rel=0.04
    )  # enamel on top
    assert motor.wire_order.bobbin.mass_kg > 8.89e-3 * copper
    square = metres * motor.wire.overall_max_mm**2
    assert motor.wire_order.bobbin.room_cm3 == pytest.approx(1.33 * square)


def test_legal_paths_are_said_where_a_phase_is_one_wire() -> None:
    assert parallel_paths(layout(36, 42)) == (1, 2, 3, 6)
