"""Voltage flags: 60 V DC from the battery and from the driven motor (common practice)."""

from __future__ import annotations

import math

import pytest

from recipes.rotor.voltage import voltage_results
from tests.support.design import STARTERS, job
from tests.support.rotor import back_emf, voltage_findings


def codes(**changes: object) -> list[str]:
    return [f.code for f in voltage_findings(job(**changes))]


@pytest.mark.parametrize("name", STARTERS)
def test_starters_stay_below_the_touch_limit(name: str) -> None:
    assert voltage_findings(job(name)) == []
    assert back_emf(job(name)) < 60  # type: ignore[operator] # starters know it


def test_back_emf_is_speed_over_constant() -> None:
    """SI: a speed constant of 1/min per V is 30/pi over volt-seconds per rad (any motor handbook)."""
    j = job(motor__speed_constant=17.3, motor__top_speed=431)
    volt_seconds = 30 / math.pi / 17.3
    assert back_emf(j) == pytest.approx(431 * math.pi / 30 * volt_seconds)
    assert voltage_results(j.design.motor, j.speed_constant)["back_emf_peak_V"] == pytest.approx(
        24.913, abs=1e-3
    )


def test_a_pack_called_48_v_passes_and_one_called_60_v_does_not() -> None:
    """Full charge of 13 and 16 lithium cells at 4.2 V: 54.6 and 67.2 V (common practice)."""
    assert "hazardous-voltage" not in codes(motor__supply_voltage=54.6)
    assert "hazardous-voltage" in codes(motor__supply_voltage=67.2)
    assert codes(motor__supply_voltage=60.0) == []


def test_a_driven_motor_is_flagged_without_any_battery() -> None:
    found = voltage_findings(job(motor__speed_constant=4.1, motor__supply_voltage=24.0))
    assert [(f.code, f.level) for f in found] == [
        ("hazardous-back-emf", "warn"),
        ("back-emf-above-supply", "warn"),
    ]
    assert "qualified person" in found[0].fix
    assert "73.2 V" in found[0].message
    assert "no battery" in found[0].message


def test_ac_limit_is_reached_before() -> None:
    assert codes(motor__speed_constant=6.3, motor__supply_voltage=50.0) == ["back-emf-ac"]
    # 30 V r.m.s. is 42.4 V peak
    assert codes(motor__speed_constant=300 / 42.3, motor__supply_voltage=50.0) == []


def test_an_unknown_constant_is_one_note_and_no_figure() -> None:
    j = job(motor__speed_constant=None)
    assert [(f.code, f.level) for f in voltage_findings(j)] == [("back-emf-unknown", "note")]
    assert voltage_results(j.design.motor, j.speed_constant) == {}
