"""The criterion at one place of the axle, by hand from Shigley, Mechanical Engineering Design, chapter 6.

Endurance 0.5 Rm (at most 700 MPa), surface 4.51 Rm^-0.265 (machined), size 1.24 d^-0.107 to 51 mm
and 1.51 d^-0.157 above, a standing load counting 0.37 d, reliability 0.814 for 99 %.
"""

from __future__ import annotations

import dataclasses
import math

import pytest

from recipes.shaft.notch_factor import Notch, hole_bending, hole_torsion, sensitivity, slot_stretch
from recipes.shaft.stress import Criterion, Forces, Nominal, Stress
from recipes.shaft.tube_section import TubeSection, Unit
from recipes.tables.axle_steel import axle_steel_of
from tests.support.design import job

STEEL = axle_steel_of(job().design.axle)


def criterion(turns: bool, tensile: float = 750.0, direction: float = 0.0) -> Criterion:
    steel = dataclasses.replace(STEEL, tensile_MPa=tensile, yield_MPa=410.0)
    return Criterion(steel, direction, turns)


@pytest.mark.parametrize(
    ("turns", "tensile", "diameter", "bears"),
    [
        (True, 750.0, 30.0, 205.27),  # 0.814 x 0.78036 x 0.86173 x 375
        (False, 750.0, 30.0, 228.31),  # d counts 11.1 mm: 0.95846
        (True, 750.0, 80.0, 180.78),  # above 51 mm: 0.75891
        (True, 750.0, 2.0, 264.66),  # no less than 2.79 mm: 1.11107
        (True, 1600.0, 30.0, 313.45),  # at most 700 MPa; surface 0.63839
        (True, 280.0, 30.0, 98.20),  # a surface is never better than polished
    ],
)
def test_endurance(turns: bool, tensile: float, diameter: float, bears: float) -> None:
    assert criterion(turns, tensile).endurance(diameter) == pytest.approx(bears, rel=1e-4)


def test_goodman_and_yield() -> None:
    """1 / n = amplitude / endurance + mean / Rm; 410 / 164 = 2.5."""
    stress = Stress(164.0, 51.0, 37.0, 30.0)
    assert criterion(True).safety(stress) == pytest.approx(2.5)
    assert criterion(True).long_run(stress) == pytest.approx(
        1.0 / (51.0 / 205.27 + 37.0 / 750.0), rel=1e-4
    )
    assert criterion(True).long_run(Stress(0.0, 0.0, 0.0, 30.0)) == math.inf
    assert criterion(True).safety(Stress(0.0, 0.0, 0.0, 30.0)) == math.inf


def test_the_worst_spot_and_how_it_swings() -> None:
    """Bending turns over fully, torque comes and goes; a standing force starts and stops both."""
    nominal = Nominal((Unit(2e-3, 1e-3), Unit(1e-3, 3e-3)), 0.01, 30.0)
    at = Forces(40_000.0, 9_000.0, 700.0)
    root3 = math.sqrt(3.0)
    # 80 and 15.59 MPa against 40 and 46.77 MPa: the first spot is the worse.
    turning, standing = criterion(True).section(nominal, at), criterion(False).section(nominal, at)
    assert turning.static == pytest.approx(math.hypot(80.0, 9.0 * root3))
    assert turning.amplitude == pytest.approx(math.hypot(80.0, 4.5 * root3))
    assert turning.mean == pytest.approx(4.5 * root3)
    assert standing.amplitude == standing.mean == pytest.approx(math.hypot(80.0, 9.0 * root3) / 2)
    assert turning.diameter == 30.0
    # More torque, and the second is the worse.
    more = criterion(True).section(nominal, Forces(40_000.0, -30_000.0, 700.0))
    assert more.amplitude == pytest.approx(math.hypot(40.0, 45.0 * root3))
    # Shear alone: root 3 times the stress of the force across.
    across = criterion(True).section(nominal, Forces(0.0, 0.0, 700.0))
    assert across.static == pytest.approx(root3 * 7.0)


def test_a_notch_counts_in_full_at_once_and_by_its_sensitivity_in_the_long_run() -> None:
    nominal = Nominal((Unit(2e-3, 1e-3),), 0.0, 30.0)
    notch, at = Notch(2.3, 1.7, 0.8), Forces(40_000.0, 9_000.0, 0.0)
    kb = 1.0 + sensitivity(750.0, 0.8) * 1.3
    kt = 1.0 + sensitivity(750.0, 0.8, True) * 0.7
    found = criterion(False).section(nominal, at, notch)
    assert found.static == pytest.approx(math.hypot(2.3 * 80.0, 1.7 * 9.0 * math.sqrt(3.0)))
    assert found.amplitude == pytest.approx(math.hypot(kb * 80.0, kt * 9.0 * math.sqrt(3.0)) / 2)


BIG, BORE, WIDTH, LENGTH = 24.0, 11.0, 5.2, 31.0
#: Bending and torsion of a plain tube, any handbook: 32 D / (pi (D^4 - d^4)), half for torsion.
BENDS = 32 * BIG / (math.pi * (BIG**4 - BORE**4))


def slot_end(turns: bool, moment: float, torque: float, facing: float = 0.0) -> Stress:
    tube = TubeSection(BIG, BORE, WIDTH)
    return criterion(turns).slot_end(tube, LENGTH, facing, Forces(moment, torque, 0.0))[0]


def test_bending_at_the_end_of_a_slot() -> None:
    even = 60_000.0 * BENDS
    full = hole_bending(WIDTH / BIG, BORE / BIG)
    worn = 1.0 + sensitivity(750.0, WIDTH / 2) * (full - 1.0)
    standing, turning = slot_end(False, 60_000.0, 0.0), slot_end(True, 60_000.0, 0.0)
    assert standing.static == pytest.approx(full * even)
    # A little beside the slot's middle the sum of both ways is greater by a trace.
    assert turning.static == pytest.approx(full * even, rel=3e-3)
    assert turning.static >= standing.static
    assert standing.amplitude == standing.mean == pytest.approx(worn * even / 2)
    assert (turning.amplitude, turning.mean) == pytest.approx((worn * even, 0.0), rel=6e-3)
    assert standing.diameter == BIG
    # A force across the slot bends its edges less than one along it.
    assert slot_end(False, 60_000.0, 0.0, facing=90.0).static < 0.6 * standing.static


def test_torque_at_the_end_of_a_slot() -> None:
    twist = 80_000.0 * BENDS / 2
    full = hole_torsion(WIDTH / BIG, BORE / BIG) * slot_stretch(LENGTH, WIDTH)
    worn = 1.0 + sensitivity(750.0, WIDTH / 2, True) * (full - 1.0)
    for turns in (False, True):
        found = slot_end(turns, 0.0, 80_000.0)
        assert found.static == pytest.approx(full * twist, rel=1e-3)
        assert found.amplitude == found.mean == pytest.approx(worn * twist / 2, rel=1e-3)
