"""Voltage flags: 60 V DC from the battery and from the driven motor (common practice)."""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.rotor.voltage import speed_constant_findings, voltage_results
from tests.support.design import STARTERS, job
from tests.support.rotor import back_emf, voltage_findings

#: Without magnets only the typed constant is known.
BARE = {"rotor__magnet_width": None, "rotor__magnet_thickness": None}


def codes(**changes: object) -> list[str]:
    return [f.code for f in voltage_findings(job(**BARE, **changes))]


@pytest.mark.parametrize("name", STARTERS)
def test_starters_stay_below_the_touch_limit(name: str) -> None:
    assert voltage_findings(job(name)) == []
    assert back_emf(job(name)) < 60  # type: ignore[operator] # starters know it


def test_back_emf_is_speed_over_constant() -> None:
    """SI: a speed constant of 1/min per V is 30/pi over volt-seconds per rad (any motor handbook)."""
    j = job(motor__speed_constant=17.3, motor__top_speed=431, **BARE)
    volt_seconds = 30 / math.pi / 17.3
    assert back_emf(j) == pytest.approx(431 * math.pi / 30 * volt_seconds)
    assert voltage_results(j.design.motor, j.speed_constant)["back_emf_peak_V"] == pytest.approx(
        24.913, abs=1e-3
    )


def test_a_pack_called_48_v_passes_and_one_called_60_v_does_not() -> None:
    """Full charge of 13 and 16 lithium cells at 4.2 V: 54.6 and 67.2 V (common practice)."""
    assert "hazardous-voltage" not in codes(motor__supply_voltage=54.6)
    assert "hazardous-voltage" in codes(motor__supply_voltage=67.2)
    assert codes(motor__supply_voltage=60.0) == ["back-emf-unknown"]


def test_a_driven_motor_is_flagged_without_any_battery() -> None:
    found = voltage_findings(
        job(motor__speed_constant=4.1, motor__supply_voltage=24.0, motor__top_speed=300, **BARE)
    )
    assert [(f.code, f.level) for f in found] == [
        ("hazardous-back-emf", "warn"),
        ("back-emf-above-supply", "warn"),
    ]
    assert "qualified person" in found[0].fix
    assert "73.2 V" in found[0].message
    assert "no battery" in found[0].message


def test_ac_limit_is_reached_before() -> None:
    assert codes(motor__speed_constant=6.3, motor__supply_voltage=50.0, motor__top_speed=300) == [
        "back-emf-ac"
    ]
    # 30 V r.m.s. is 42.4 V peak
    assert codes(motor__speed_constant=240 / 42.3, motor__supply_voltage=50.0) == []


def test_an_unknown_constant_is_one_note_and_no_figure() -> None:
    j = job(motor__speed_constant=None, **BARE)
    assert [(f.code, f.level) for f in voltage_findings(j)] == [("back-emf-unknown", "note")]
    assert voltage_results(j.design.motor, j.speed_constant) == {}


def judged(**changes: object) -> list[Finding]:
    return speed_constant_findings(job(**changes).speed_constant)


@pytest.mark.parametrize("name", STARTERS)
def test_starters_type_no_constant_and_turn_within_their_battery(name: str) -> None:
    """The outline tells the constant; top speed is what it reaches with a tenth of the volts to spare."""
    j = job(name)
    assert j.design.motor.speed_constant is None
    volts = back_emf(j) or 0.0
    assert 0.75 < volts / j.design.motor.supply_voltage < 0.95


def test_a_typed_constant_unlike_the_outline_is_told_with_both_figures() -> None:
    """Three starters once typed 14, 165, 142 where two field solutions give 9.65, 129.9, 15.5."""
    (found,) = judged(motor__speed_constant=14.0)
    assert (found.level, found.field) == ("warn", "motor.speed_constant")
    assert "14.0 1/min per V" in found.message
    assert "9.29 (" in found.message
    assert judged(motor__speed_constant=9.65) == []
    (wrong,) = judged(motor__speed_constant=88.0)
    assert wrong.level == "stop"
    assert judged(motor__speed_constant=4.1)[0].level == "stop"
    assert judged(motor__speed_constant=None) == []


def test_a_measured_constant_never_stops() -> None:
    bench = {"driven_speed": 500, "driven_u_v": 12.0}
    (found,) = judged(measured=bench)
    assert (found.level, found.field) == ("warn", "measured.speed_constant")
    assert judged(measured={"driven_speed": 500, "driven_u_v": 500 / 9.6 / 2**0.5}) == []


def test_the_higher_voltage_of_two_counts_until_one_is_measured() -> None:
    high, low = job(motor__speed_constant=14.0), job(motor__speed_constant=7.0)
    bare = job()
    assert back_emf(high) == back_emf(bare)
    assert back_emf(low) == pytest.approx(240 / 7.0)
    measured = job(
        motor__speed_constant=7.0, measured={"driven_speed": 300, "driven_u_v": 300 / 12 / 2**0.5}
    )
    assert back_emf(measured) == pytest.approx(240 / 12.0)
    assert [j.speed_constant.by for j in (high, low, bare, measured)] == [
        "magnetic circuit", "designed", "magnetic circuit", "driven",
    ]  # fmt: skip
