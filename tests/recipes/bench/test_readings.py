"""Measured beside expected: resistances, voltages, warming, heights, and what deviations mean."""

from __future__ import annotations

import math
from typing import Any

import pytest

from recipes.assess import assess, readings
from recipes.bench.leads import lead_results, odd_phase, phases_of
from recipes.bench.reading import Reading, measured_findings
from recipes.bench.speed import speed_results, torque_constant
from recipes.bench.stack import least_insulation_Mohm
from recipes.bench.warming import temp_by_resistance_C, warming_results
from recipes.motor import Motor
from tests.support.design import STARTERS, job
from tests.support.rotor import back_emf, voltage_findings


def bench(starter: str = "potters-wheel", /, **readings: Any) -> Motor:
    return job(starter, measured=readings)


def row(j: Motor, field: str) -> Reading:
    (found,) = [b for b in readings(j) if b.field == field]
    return found


def leads(starter: str, u: float, v: float, w: float, **more: Any) -> Motor:
    """A motor whose phases are so many times the design's own, read by a perfect meter at 20 C."""
    plain = job(starter)
    r = plain.resistance
    a, b, c = (k * r.phase_ohm for k in (u, v, w))
    if r.connection == "wye":
        pairs = a + b, b + c, c + a
    else:  # one phase in parallel with the other two in series
        pairs = tuple(x * (a + b + c - x) / (a + b + c) for x in (a, b, c))
    keys = ("lead_u_v", "lead_v_w", "lead_w_u")
    return bench(starter, **dict(zip(keys, pairs, strict=True)), room_temperature=20, **more)


@pytest.mark.parametrize("name", STARTERS)
def test_nothing_measured_says_nothing_and_shows_every_line_open(name: str) -> None:
    j = job(name)
    rows = readings(j)
    assert {b.verdict for b in rows} == {"open"}
    assert {f"measured.lead_{p}" for p in ("u_v", "v_w", "w_u")} <= {b.field for b in rows}
    assert measured_findings(readings(j)) == []
    assert (lead_results(j.measured_leads), warming_results(j.warming)) == ({}, {})
    assert speed_results(j.speed_constant, j.measured_leads) == {}


@pytest.mark.parametrize("name", STARTERS)
def test_a_motor_as_designed_is_as_expected(name: str) -> None:
    j = leads(name, 1.0, 1.0, 1.0)
    assert measured_findings(readings(j)) == []
    got = lead_results(j.measured_leads)["lead_resistance_20C_measured_ohm"]
    assert got == pytest.approx(j.resistance.lead_ohm, rel=1e-12)
    assert row(j, "measured.leads").verdict == "good"


def test_a_warm_room_is_taken_out_by_the_coefficient_of_iec_60028() -> None:
    """IEC 60028: 0.00393 per K at 20 C. At 31 C a winding shows 1 + 11 x 0.00393 of its 20 C value."""
    r = job().resistance.lead_ohm
    shown = r * (1 + 11 * 0.00393)
    j = bench(lead_u_v=shown, lead_v_w=shown, lead_w_u=shown, room_temperature=31)
    assert row(j, "measured.lead_v_w").expected == pytest.approx(shown, rel=1e-5)
    assert lead_results(j.measured_leads)["lead_resistance_20C_measured_ohm"] == pytest.approx(
        r, rel=1e-5
    )


def test_temperature_by_resistance_is_that_of_iec_60028() -> None:
    """0.00393 per K at 20 C: 100 K more is 1.393 times the resistance."""
    assert temp_by_resistance_C(0.3171, 20.0, 0.3171 * 1.393) == pytest.approx(120.0, abs=0.02)


@pytest.mark.parametrize("connection", ["wye", "delta"])
def test_phases_come_back_from_the_leads_they_make(connection: Any) -> None:
    """Series and parallel resistors, any book of circuits; unequal on purpose."""
    u, v, w = 0.231, 0.247, 0.302
    if connection == "wye":
        pairs = (u + v, v + w, w + u)
    else:
        pairs = tuple(1 / (1 / x + 1 / (u + v + w - x)) for x in (u, v, w))
    assert phases_of(pairs, connection) == pytest.approx((u, v, w), rel=1e-12)


def test_leads_that_no_winding_shows_are_told() -> None:
    assert phases_of((1.0, 0.4, 0.3), "wye") is None
    j = bench(lead_u_v=1.0, lead_v_w=0.4, lead_w_u=0.3)
    assert "read them again" in row(j, "measured.leads").meaning


def test_one_pair_alone_is_a_probe_that_touches_badly() -> None:
    """Kirchhoff: a phase of a wye lies in two pairs; 0.06 ohm of contact lies in one."""
    r = job().resistance.lead_ohm
    j = bench(lead_u_v=r, lead_v_w=1.003 * r, lead_w_u=r + 0.06, room_temperature=20)
    meaning = row(j, "measured.leads").meaning
    assert "only W and U is off" in meaning
    assert "read it again" in meaning


def test_the_odd_phase_is_the_one_whose_fellows_agree() -> None:
    name, ratio, others = odd_phase((0.241, 0.2403, 0.265))
    assert (name, round(others, 5)) == ("W", 0.24065)
    assert ratio == pytest.approx(0.265 / 0.24065)


@pytest.mark.parametrize(
    ("starter", "factors", "phase", "cause"),
    [
        # 8 coils of 24 turns in series, 2 strands: one coil is 1/8 = 12.5 % of the phase
        ("potters-wheel", (1, 1, 0.875), "W", "one coil left out"),
        # a strand open in one coil doubles that coil: + 1/8
        ("potters-wheel", (1.125, 1, 1), "U", "one strand open in one coil"),
        ("potters-wheel", (1, 2, 1), "V", "one strand open from end to end"),
    ],
)
def test_one_phase_off_names_phase_and_cause(
    starter: str, factors: tuple[float, float, float], phase: str, cause: str
) -> None:
    j = leads(starter, *factors)
    found = row(j, "measured.leads")
    assert found.verdict in ("look", "off")
    assert f"phase {phase} is" in found.meaning
    assert cause in found.meaning
    (finding,) = [f for f in measured_findings(readings(j)) if f.code == "measured-leads"]
    assert finding.level == "warn"
    assert finding.fix == found.meaning


@pytest.mark.parametrize(
    ("factor", "cause"),
    [
        (1 / 3, "joined in delta"),  # star-delta: R between leads 2 R against 2/3 R
        (1 / 4, "joined in 2 parallel paths"),
        (2.0, "one strand in hand"),
        (0.892, "0.90 mm"),  # IEC 60317: (0.85/0.90)^2 = 0.892
    ],
)
def test_all_alike_names_the_slip(factor: float, cause: str) -> None:
    j = leads("potters-wheel", factor, factor, factor)
    assert cause in row(j, "measured.lead_u_v").meaning


def test_one_cause_is_one_finding() -> None:
    """All three leads half of what they should be, and all driven voltages as much too high."""
    j = leads("potters-wheel", 0.5, 0.5, 0.5)
    assert [f.code for f in measured_findings(readings(j))] == ["measured-lead-u-v"]
    fast = bench(driven_u_v=20, driven_v_w=20.1, driven_w_u=20.2, driven_speed=200)
    assert [f.code for f in measured_findings(readings(fast))] == ["measured-speed-constant"]


def test_two_wires_of_a_meter_show_as_such() -> None:
    r = job().resistance.lead_ohm + 0.2
    j = bench(lead_u_v=r, lead_v_w=r + 0.001, lead_w_u=r - 0.001, room_temperature=20)
    assert "the meter's own leads (200 mOhm)" in row(j, "measured.lead_w_u").meaning


def test_a_better_meter_narrows_the_limits() -> None:
    wide, narrow = (
        row(bench(meter_accuracy=a, lead_u_v=0.4), "measured.lead_u_v") for a in (1.5, 0.1)
    )
    assert wide.low is not None
    assert narrow.low is not None
    assert wide.low < narrow.low
    assert wide.high > narrow.high  # type: ignore[operator] # both have limits


def test_speed_constants_by_hand() -> None:
    """SI: the driven peak is omega times volt-seconds; no load adds the drop over the copper."""
    j = bench(driven_u_v=11.9, driven_v_w=12.2, driven_w_u=12.0, driven_speed=233)
    assert j.speed_constant.measured == pytest.approx(233 / (12.2 * 2**0.5))
    j = bench(
        no_load_voltage=24.6, no_load_speed=331, no_load_current=0.9, lead_u_v=0.47, lead_v_w=0.46,
        lead_w_u=0.465,
    )  # fmt: skip
    assert j.speed_constant.measured == pytest.approx(331 / (24.6 - 0.9 * 0.465))
    # one volt at one rad/s is one newton metre for one ampere
    assert torque_constant(30 / math.pi) == pytest.approx(1.0)


def test_the_voltage_flags_use_the_measured_constant() -> None:
    """240 1/min over 3.28 1/min per V is 73 V, whatever the design reckoned."""
    j = bench(no_load_voltage=25, no_load_speed=82)
    assert back_emf(j) == pytest.approx(240 / 3.28)
    assert [f.field for f in voltage_findings(j) if f.code == "hazardous-back-emf"] == [
        "measured.speed_constant"
    ]
    assert voltage_findings(job()) == []
    unknown = job(
        motor__speed_constant=None, measured={"no_load_voltage": 20, "no_load_speed": 300}
    )
    assert "back-emf-unknown" not in [f.code for f in voltage_findings(unknown)]


def test_driven_voltages_out_of_balance() -> None:
    j = bench(driven_u_v=11.0, driven_v_w=12.2, driven_w_u=11.1, driven_speed=230)
    found = row(j, "measured.driven")
    assert found.measured == pytest.approx(100 * (12.2 - 34.3 / 3) / (34.3 / 3))
    assert found.verdict == "off"
    assert "wrong way round" in found.meaning


def test_warming_follows_iec_60364() -> None:
    """IEC 60364-5-54 table A.54.2: copper from 30 to 160 C has k = 143 A s^0.5/mm2, rounded: 0.7 % of k^2."""
    area = 2 * math.pi / 4 * 0.85**2  # two strands of 0.85 mm, wye, one path
    j = bench(warm_current=31, warm_start=30, warm_end=160, warm_seconds=20)
    found = row(j, "measured.warm_seconds")
    assert found.expected == pytest.approx((143 * area / 31) ** 2, rel=7e-3)
    assert found.verdict == "look"
    assert "strand open" in found.meaning
    usual = row(bench(warm_current=31, warm_start=30, warm_end=160, warm_seconds=29), found.field)
    assert usual.verdict == "good"
    assert usual.meaning.endswith(": the copper is there")
    slow = row(bench(warm_current=31, warm_start=30, warm_end=160, warm_seconds=90), found.field)
    assert "shorter time" in slow.meaning


def test_a_delta_sends_two_thirds_through_one_phase() -> None:
    readings = {"warm_current": 30, "warm_start": 20, "warm_end": 60, "warm_seconds": 30}
    star = job("potters-wheel", measured=readings)
    delta = job("potters-wheel", measured=readings, winding__connection="delta")
    a, b = (row(j, "measured.warm_seconds").expected for j in (star, delta))
    assert b == pytest.approx(a * 9 / 4)  # type: ignore[operator] # both are measured


def test_insulation_is_held_against_5_Mohm_at_40_C() -> None:
    """IEEE 43: 5 Mohm at 40 C; halving for every 10 K makes it 20 Mohm at 20 C."""
    assert least_insulation_Mohm(40.0) == 5.0
    assert least_insulation_Mohm(20.0) == pytest.approx(20.0)
    good, bad = (bench(insulation=m, room_temperature=20) for m in (20.5, 19.5))
    assert measured_findings(readings(good)) == []
    (finding,) = measured_findings(readings(bad))
    assert "do not connect it" in finding.fix


def test_heights_speak_of_burr_and_sheets() -> None:
    """20 sheets of 0.5 mm with 0.97 steel (EN 10106) are 10.31 mm; 0.03 mm more each is 10.91."""
    found = row(job(shop__measured={"pile_of_20": 10.91}), "shop.measured.pile_of_20")
    assert found.expected == pytest.approx(10 / 0.97)
    assert "30 µm too much a sheet" in found.meaning
    plain = job()
    one = plain.stack.length / plain.stack.sheets
    j = bench(stack_height=plain.stack.length - 2.4 * one)
    assert "2.4 sheets too low" in row(j, "measured.stack_height").meaning


def test_a_measurement_is_no_change_of_design() -> None:
    plain, seen = job(), bench(lead_u_v=0.47, stack_height=20.3)
    assert plain.revision == seen.revision
    assert job(lamination__slot_depth=18.1).revision != plain.revision
    # the pile counts sheets: that one is a change
    assert job(shop__measured={"pile_of_20": 10.9}).revision != plain.revision


def test_a_refused_design_still_shows_the_rest() -> None:
    j = job(winding__parallel_paths=5, measured={"lead_u_v": 0.4, "stack_height": 19.9})
    assert "measured.stack_height" in {b.field for b in readings(j)}
    assert any(f.level == "stop" for f in assess(j, whole=False).findings)
