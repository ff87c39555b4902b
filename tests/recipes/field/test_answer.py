"""What the whole answer says beyond `figures`: saturation, magnets, waves kept for losses."""

from __future__ import annotations

import math

import numpy as np
import pytest

from recipes.field import answer
from recipes.field.figures import loaded, waves
from recipes.tables.magnet import magnet_grade
from tests.support.design import job
from tests.support.field import machine_of, solved


def test_saturation_bends_torque_below_its_straight_line() -> None:
    _, built, wave = solved("kayak-thruster")
    driven = loaded(built, wave, 14.0)
    found = answer._torque_curve(built, wave, 14.0, driven)
    current, torque = found["current_A"], found["torque_at_current_Nm"]
    assert current.tolist() == [0.0, 14.0, 28.0, 42.0]
    per_ampere = torque[1:] / current[1:]
    assert per_ampere[0] > per_ampere[1] > per_ampere[2] > 0.7 * per_ampere[0]
    flux = abs(wave.flux[0, 0])
    assert per_ampere[0] == pytest.approx(1.5 * built.pairs * flux * math.sqrt(2), rel=0.03)


def test_iron_waves_add_up_to_the_flux_densities_of_the_teeth() -> None:
    _, built, wave = solved("kayak-thruster")
    found = answer._iron_waves(built, wave)
    assert found["iron_orders"][:3].tolist() == [1.0, 3.0, 5.0]
    peak = max(float(np.abs(answer.steel_flux_densities(built, s)[0]).max()) for s in wave.found)
    assert found["tooth_wave_T"][0] == pytest.approx(peak, rel=0.1)
    assert found["tooth_wave_T"][0] > 5 * found["tooth_wave_T"][1]


def test_a_current_against_the_magnets_weakens_them_in_proportion() -> None:
    """At the demagnetising current the magnets' least field is the knee, by linear recoil."""
    made, built, wave = solved("kayak-thruster")
    one, two = (answer._magnet_figures(built, wave, a, 20.0) for a in (14.0, 28.0))
    assert one["magnet_knee_T"] < two["magnet_least_field_T"] < one["magnet_least_field_T"]
    slope = (one["magnet_least_field_T"] - two["magnet_least_field_T"]) / 14.0
    reached = 14.0 + (one["magnet_least_field_T"] - one["magnet_knee_T"]) / slope
    assert one["demagnetisation_current_A"] == pytest.approx(reached, rel=0.1)
    assert one["magnet_judged_at_C"] == made.cross_section.ring.magnet.hottest_C == 120.0


def test_ferrite_is_judged_cold_and_neodymium_hot() -> None:
    built = machine_of(job(rotor__magnet_grade="Y30"), order=1)
    found = answer._magnet_figures(built, waves(built), 9.0, -5.0)
    assert found["magnet_judged_at_C"] == -5.0


def test_letters_for_heat_move_the_knee() -> None:
    """N42 at 80 C, 0.9 of 955 kA/m less 36 %: 1.188 - 1.05 mu0 550e3 = 0.462 T; at 20 C far lower."""
    share, knee = magnet_grade("N42").weakened(80.0)
    assert (share, knee) == pytest.approx((0.928, 0.462), abs=1e-3)
    assert magnet_grade("N42").weakened(20.0)[1] == pytest.approx(0.146, abs=1e-3)
    assert magnet_grade("N42SH").weakened(80.0)[1] < 0.0
    assert magnet_grade("Y30").weakened(-20.0)[1] > magnet_grade("Y30").weakened(40.0)[1]
