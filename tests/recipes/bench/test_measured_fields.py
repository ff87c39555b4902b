"""Rows, causes and findings of measurements, number by number."""

from __future__ import annotations

from typing import Any

import pytest

from recipes.assess import readings
from recipes.bench.leads import all_alike, one_phase
from recipes.bench.reading import Reading, judged, measured_findings, said
from recipes.motor import Motor
from tests.support.design import job


def row(field: str, **changes: Any) -> Reading:
    (found,) = [b for b in readings(job(**changes)) if b.field == field]
    return found


def alike(j: Motor, measured: float, expected: float) -> list[str]:
    return all_alike(j.design.winding, j.circuit, j.layout, j.wire, measured, expected)


def test_verdicts_at_the_limits() -> None:
    assert judged(None, 1.0, 2.0) == "open"
    assert judged(1.5, None, None) == "known"
    assert [judged(v, 1.25, 2.5, far=0.5) for v in (0.7, 0.75, 1.0, 1.25, 2.5, 2.75, 3.0, 3.1)] == [
        "off", "look", "look", "good", "good", "look", "look", "off",
    ]  # fmt: skip
    assert judged(9.0, 1.25, 2.5) == "look"
    assert [judged(v, None, 2.5) for v in (-9.0, 2.6)] == ["good", "look"]
    assert [judged(v, 1.25, None) for v in (9.0, 1.2)] == ["good", "look"]


def test_readings_as_a_meter_shows_them() -> None:
    assert said(0.047123, "ohm") == "47.12 mOhm"
    assert said(1.0, "ohm") == "1 ohm"
    assert said(1.23456, "ohm") == "1.235 ohm"
    assert said(-0.5, "ohm") == "-500 mOhm"
    assert said(21.256, "degC") == "21.26 °C"
    assert said(123456.7, "1/min") == "123457 1/min"
    assert said(7.5, "") == "7.5"


def test_no_load_takes_the_drop_over_the_copper_off() -> None:
    bench = {"no_load_voltage": 24.6, "no_load_speed": 331.0}
    assert job(measured=bench).speed_constant.measured == pytest.approx(331.0 / 24.6)
    leads = {"lead_u_v": 0.47, "lead_v_w": 0.46, "lead_w_u": 0.45}
    drop = job(measured={**bench, "no_load_current": 0.9, **leads})
    assert drop.speed_constant.measured == pytest.approx(331.0 / (24.6 - 0.9 * 0.46))
    # No legal number of paths: no resistance is known, so none is taken off.
    bare = job(measured={**bench, "no_load_current": 0.9}, winding__parallel_paths=5)
    assert bare.speed_constant.measured == pytest.approx(331.0 / 24.6)
    short = job(measured={**bench, "no_load_current": 90.0, **leads})
    assert short.speed_constant.measured is None
    assert job(measured={"no_load_speed": 331.0}).speed_constant.measured is None


def test_driven_voltages_by_the_speed_constant() -> None:
    """Peak to r.m.s. by the square root of two; 5 % to both sides; three leads, three rows."""
    bench = {"driven_u_v": 11.5, "driven_speed": 233.0}
    found = row("measured.driven_u_v", measured=bench, motor__speed_constant=13.7)
    expected = 233.0 / (2**0.5 * 13.7)
    assert (found.expected, found.low, found.high) == pytest.approx(
        (expected, 0.95 * expected, 1.05 * expected)
    )
    assert (found.measured, found.unit, found.verdict) == (11.5, "V", "good")
    other = row("measured.driven_w_u", measured=bench, motor__speed_constant=13.7)
    assert (other.measured, other.verdict) == (None, "open")
    uneven = {"driven_u_v": 11.0, "driven_v_w": 12.0, "driven_w_u": 12.1, "driven_speed": 233.0}
    found = row("measured.driven", measured=uneven)
    assert found.measured == pytest.approx(100.0 * (11.7 - 11.0) / 11.7)
    assert (found.low, found.high, found.verdict) == (None, pytest.approx(3.0), "look")
    far = row("measured.driven", measured={**uneven, "driven_u_v": 10.0})
    assert far.verdict == "off"


def test_heights_by_sheets_and_burr() -> None:
    pile = "shop.measured.pile_of_20"
    found = row(pile, shop__measured={"pile_of_20": 9.1})
    assert (found.low, found.high) == pytest.approx((9.2, 10.0 / 0.97 + 0.4))
    assert found.verdict == "look"
    assert "a sheet too few" in found.meaning
    assert "steel is 110 %" in found.meaning
    assert row(pile, shop__measured={"pile_of_20": 10.3}).meaning == "steel is 97.1 % of the height"
    assert row(pile, shop__measured={"pile_of_20": 11.2}).verdict == "look"
    assert row(pile, shop__measured={"pile_of_20": 11.4}).verdict == "off"
    plain = job()
    one, tall = plain.stack.sheet_height, plain.stack.length
    for off, verdict in ((0.9, "good"), (1.1, "look"), (2.9, "look"), (3.1, "off")):
        for sign in (1, -1):
            found = row("measured.stack_height", measured={"stack_height": tall + sign * off * one})
            assert found.verdict == verdict
            if verdict != "good":
                assert f"{off} sheets too {'high' if sign > 0 else 'low'}" in found.meaning
            else:
                assert found.meaning == ""
    assert (found.low, found.high, found.expected) == pytest.approx((tall - one, tall + one, tall))


def test_a_miscounted_turn_is_found_by_its_share() -> None:
    """8 coils in series of 24 turns each: three turns are 3 / 192 of a phase, four are not named."""
    j = job("potters-wheel")
    turns = j.circuit.turns_in_series
    assert j.circuit.turn_share == pytest.approx(1.0 / turns)
    for n, words in ((1, "one turn too"), (2, "two turns too"), (3, "three turns too")):
        assert any(words in w for w in one_phase(j.circuit, 1.0 + n / turns))
        assert any(words in w and "few" in w for w in one_phase(j.circuit, 1.0 - n / turns))
    assert not any("four turns" in w for w in one_phase(j.circuit, 1.0 + 4 / turns))
    many = alike(j, 1.0 + 1.0 / 24.0, 1.0)
    assert any("one turn too many on every tooth" in w for w in many)
    few = alike(j, 1.0 - 2.0 / 24.0, 1.0)
    assert any("two turns too few on every tooth" in w for w in few)


def test_copper_that_is_warmer_than_noted() -> None:
    """IEC 60028: 1 + 10 / (234.5 + 20) is 10 K."""
    j = job("potters-wheel", winding__room_temperature=20.0)
    share = 10.0 / 254.5
    assert any("copper 10 K warmer than noted" in w for w in alike(j, 5.0 * (1 + share), 5.0))
    assert any("copper 10 K colder than noted" in w for w in alike(j, 5.0 * (1 - share), 5.0))
    assert not any("K warmer" in w for w in alike(j, 5.0 * (1 + 2.6 * share), 5.0))


def test_a_finding_names_reading_and_the_limit_on_its_side() -> None:
    plain = job()
    one, tall = plain.stack.sheet_height, plain.stack.length
    for sign in (1, -1):
        (said_,) = measured_findings(
            readings(job(measured={"stack_height": tall + sign * 2.4 * one}))
        )
        assert (said_.code, said_.field) == ("measured-stack-height", "measured.stack_height")
        assert said_.level == "warn"
        assert said_.value == pytest.approx(tall + sign * 2.4 * one, rel=1e-4)
        assert said_.limit == pytest.approx(tall + sign * one, rel=1e-4)
        assert said_.confidence == "practice"
        assert "2.4 sheets" in said_.fix
