"""Every kind of outline that a file can ask for, and random ones: solved, settled, kT = kE.

In steel that does not saturate the mean torque of a sine current in step with the voltage is 3/2 p flux
current, both peaks: three-phase circuit theory, and no part of the solver knows it. In real steel
saturation takes torque away and gives next to none. EVERY_FIELD=200 asks so many random designs.
"""

from __future__ import annotations

import math
import os
from itertools import count, islice
from typing import Any

import numpy as np
import pytest

from recipes.field.figures import loaded, waves
from recipes.motor import Motor
from tests.bench.circuit import sound
from tests.support.design import job
from tests.support.field import UNSATURATED, constant_of, machine_of

OUTLINES: dict[str, dict[str, Any]] = {
    "parallel slots": {
        "lamination__slot_shape": "parallel slots",
        "lamination__tooth_width": None,
        "lamination__slot_width": 7.0,
    },
    "wide open slots": {"lamination__slot_opening": 6.0},
    "nearly closed slots": {"lamination__slot_opening": 0.6},
    "flat slot bottom": {"lamination__slot_bottom": "flat"},
    "square tip corners": {"lamination__tip_radius": 0.0},
    "arcs": {"rotor__magnet_shape": "arc"},
    "three magnets a pole": {"rotor__magnets_per_pole": 3, "rotor__magnet_width": 3.9},
    "ferrite": {"rotor__magnet_grade": "Y30"},
    "ring thicker than asked": {"rotor__ring_thickness": 9.0},
    "ring thinner than asked": {"rotor__ring_thickness": 1.5},
    "magnets longer than the stack": {"rotor__magnet_length": 34.0},
    "narrow teeth": {"lamination__tooth_width": 3.5},
    "nine slots, eight poles": {"motor__slots": 9, "motor__poles": 8},
    "alternate teeth": {"winding__coil_sides": "alternate teeth"},
}


def constants_agree(made: Motor, rel: float) -> None:
    """Solve in steel that never saturates; hold torque against flux."""
    built = machine_of(made, UNSATURATED, order=1)
    wave, amperes = waves(built), made.circuit.phase_current_A
    torque = built.metres * np.mean([s.torque for s in loaded(built, wave, amperes)])
    expected = 1.5 * built.pairs * abs(wave.flux[0, 0]) * math.sqrt(2) * amperes
    assert torque == pytest.approx(expected, rel=rel)


@pytest.mark.parametrize("name", OUTLINES)
def test_torque_constant_is_voltage_constant(name: str) -> None:
    constants_agree(job("kayak-thruster", **OUTLINES[name]), 1e-3)


@pytest.mark.parametrize(
    "name", ["parallel slots", "nearly closed slots", "ring thinner than asked"]
)
def test_real_steel_settles_and_orders_of_elements_agree(name: str) -> None:
    made = job("kayak-thruster", **OUTLINES[name])
    first, second = (machine_of(made, order=k) for k in (1, 2))
    wave = waves(first)
    rough, good = constant_of(made, first, wave), constant_of(made, second, waves(second))
    assert rough == pytest.approx(good, rel=5e-3)
    torque = first.metres * np.mean([s.torque for s in loaded(first, wave, 14.0)])
    straight = 1.5 * first.pairs * abs(wave.flux[0, 0]) * math.sqrt(2) * 14.0
    assert 0.7 * straight < torque < 1.01 * straight


def test_magnets_longer_than_the_stack_count_only_over_the_stack() -> None:
    """The field is plane: what overhangs helps at the ends, which are not counted."""
    plain, longer = job("kayak-thruster"), job("kayak-thruster", rotor__magnet_length=34.0)
    assert plain.cross_section.length == longer.cross_section.length


def test_random_designs_solve_and_their_constants_agree() -> None:
    """Twenty whose sector is small; magnets of every kind, currents from milliamperes up."""
    most = int(os.environ.get("EVERY_FIELD", "20"))
    small = (m for s in count() if (m := sound(s)) is not None and m.design.motor.slots <= 18)
    for made in islice(small, most):
        constants_agree(made, 3e-3)
