"""Three lead resistances: limits, verdicts, and which phase or pair is at fault.

Outside values: resistors in series and parallel (Kirchhoff, any book of circuits), 0.00393 per K at
20 C (IEC 60028), 2 % between leads (ANSI/EASA AR100).
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from recipes.assess import readings
from recipes.bench.leads import odd_phase, phases_of
from recipes.bench.reading import Reading
from recipes.motor import Motor
from tests.support.design import job

KEYS = ("lead_u_v", "lead_v_w", "lead_w_u")


def read(starter: str, shares: tuple[float, ...], **more: Any) -> Motor:
    """A motor whose three pairs show these shares of what the design expects at 20 C."""
    lead = job(starter).resistance.lead_ohm
    pairs = {key: share * lead for key, share in zip(KEYS, shares, strict=False)}
    return job(starter, measured={"room_temperature": 20, **pairs, **more})


def row(j: Motor, name: str) -> Reading:
    (found,) = [b for b in readings(j) if b.field == f"measured.{name}"]
    return found


def wheel(*phases: float) -> tuple[float, ...]:
    """Shares of the pairs U-V, V-W, W-U of a wye whose phases are so many times the design's own."""
    u, v, w = phases
    return (u + v) / 2, (v + w) / 2, (w + u) / 2


# --- limits --------------------------------------------------------------------------------------


def test_limits_are_those_of_the_wire_wider_by_the_meter_and_warmer_by_the_room() -> None:
    r = job().resistance
    warm = 1 + 11 * 0.00393
    found = row(read("potters-wheel", (), meter_accuracy=2.3, room_temperature=31), "lead_v_w")
    assert found.low == pytest.approx(r.lead_ohm * warm * r.least * 0.977, rel=1e-5)
    assert found.high == pytest.approx(r.lead_ohm * warm * r.greatest * 1.023, rel=1e-5)
    assert (found.verdict, found.measured, found.unit) == ("open", None, "ohm")
    assert "2.3 % of the meter" in found.tolerance
    assert "31 °C" in found.tolerance
    assert (found.confidence, "IEC 60317" in found.source) == ("standard", True)


def test_the_bench_is_as_warm_as_the_room_of_the_design_if_nothing_else_is_said() -> None:
    j = job(winding__room_temperature=27, measured={"lead_u_v": 0.4})
    assert row(j, "lead_u_v").expected == pytest.approx(
        job().resistance.lead_ohm * (1 + 7 * 0.00393), rel=1e-5
    )


@pytest.mark.parametrize(
    ("beyond", "verdict"), [(-0.001, "good"), (0.001, "look"), (0.099, "look"), (0.101, "off")]
)
def test_a_tenth_beyond_the_limit_is_far(beyond: float, verdict: str) -> None:
    plain = row(read("potters-wheel", ()), "lead_w_u")
    assert plain.low
    assert plain.high
    assert plain.expected
    for limit, way in ((plain.low, -1), (plain.high, 1)):
        reading = limit + way * beyond * plain.expected
        found = row(job(measured={"room_temperature": 20, "lead_w_u": reading}), "lead_w_u")
        assert (found.verdict, found.measured) == (verdict, reading)
        two_more = "measure all three pairs" in found.meaning
        assert two_more == (verdict != "good")


# --- all alike or one of three -------------------------------------------------------------------


def test_a_reading_off_is_told_by_what_the_other_two_say() -> None:
    def said(*shares: float) -> str:
        return row(read("potters-wheel", shares), "lead_u_v").meaning

    assert said(1.01, 1.02, 1.0) == ""
    assert said(1.2, 1.0, 1.1) == "see the balance of the three"
    assert said(2.4, 2.4, 2.4).startswith("all three alike; no single slip")
    # 2 % apart is the limit: deviations 1.9 and 2.1 % of the mean of the three
    assert said(1.5 * 1.019, 1.5, 1.5 * 0.981).startswith("all three alike")
    assert said(1.5 * 1.021, 1.5, 1.5 * 0.979) == "see the balance of the three"


@pytest.mark.parametrize(
    ("percent", "verdict"), [(1.9, "good"), (2.1, "look"), (4.9, "look"), (5.1, "off")]
)
def test_balance_by_ansi_easa_ar100(percent: float, verdict: str) -> None:
    """2 % of the mean of three is good, from 5 % on there is a cause (common practice)."""
    off = percent / 100
    found = row(read("potters-wheel", (1 - off, 1 + 0.3 * off, 1 + 0.7 * off)), "leads")
    assert found.measured == pytest.approx(percent)
    assert (found.verdict, found.low, found.high, found.unit) == (verdict, None, 2.0, "%")
    assert (found.expected, "AR100" in found.source) == (0.0, True)


@pytest.mark.parametrize(
    ("starter", "percent", "seen"),
    # turns in series of one phase: 8 coils of 24, and 4 of 10
    [("potters-wheel", 100 / 192, False), ("kayak-thruster", 100 / 40, True)],
)
def test_one_turn_that_balance_cannot_see_is_told(starter: str, percent: float, seen: bool) -> None:
    meaning = row(read(starter, (1.0, 1.0, 1.0)), "leads").meaning
    assert f"would be {percent:.2g} % of it" in meaning
    assert ("too little to see" in meaning) == (not seen)


@pytest.mark.parametrize("phase", range(3))
@pytest.mark.parametrize(("share", "words"), [(0.875, "12.5 % below"), (1.3, "30.0 % above")])
def test_the_phase_its_share_and_its_ohms_by_hand(phase: int, share: float, words: str) -> None:
    phases = [1.0, 1.0, 1.0]
    phases[phase] = share
    meaning = row(read("potters-wheel", wheel(*phases)), "leads").meaning
    ohm = job().resistance.phase_ohm * abs(share - 1)
    way = "too much" if share > 1 else "too little"
    assert f"phase {'UVW'[phase]} is {words} the other two ({1000 * ohm:.4g} mOhm {way})" in meaning
    assert ("or a poor joint" in meaning) == (share > 1)
    assert ("one coil left out" in meaning) == (share < 1)


@pytest.mark.parametrize("pair", range(3))
def test_a_probe_is_suspected_only_where_the_other_two_are_right(pair: int) -> None:
    names = ("U and V", "V and W", "W and U")

    def said(*shares: float) -> str:
        turned = tuple(shares[(k - pair) % 3] for k in range(3))
        return row(read("potters-wheel", turned), "leads").meaning

    lead = 1000 * job().resistance.lead_ohm
    high, others = 1.14, (1.012 + 0.998) / 2
    assert said(high, 1.012, 0.998).startswith(f"only {names[pair]} is off, by {lead * (high - others):.4g} mOhm")  # fmt: skip
    # the other two more than 2 % apart: no probe does that
    assert "only" not in said(1.14, 1.021, 0.998)
    # two pairs low and one right: the phase that lies in both of the low ones has lost turns
    assert f"phase {'WUV'[pair]} is" in said(1.0, 0.85, 0.85)
    # one pair too low: a probe adds, it never takes away
    assert "only" not in said(0.86, 1.0, 1.0)


def test_in_delta_one_pair_alone_is_a_phase() -> None:
    meaning = row(read("kayak-thruster", (1.14, 1.0, 1.0)), "leads").meaning
    assert meaning.startswith("phase U is")


# --- phases --------------------------------------------------------------------------------------


@pytest.mark.parametrize("connection", ["wye", "delta"])
def test_a_phase_without_resistance_is_none(connection: Any) -> None:
    """In a wye U of 0, V 0.625, W 0.375 ohm shows 0.625, 1 and 0.375 (binary fractions)."""
    assert phases_of((0.625, 1.0, 0.375), connection) is None
    assert phases_of((0.626, 1.0, 0.375), connection) is not None


@pytest.mark.parametrize("odd", range(3))
def test_the_odd_one_of_three(odd: int) -> None:
    phases = [0.241, 0.2403, 0.241]
    phases[odd] = 0.265
    two = math.fsum(phases) - 0.265
    rest = (phases[0], phases[1], phases[2])
    assert odd_phase(rest) == ("UVW"[odd], pytest.approx(0.53 / two), pytest.approx(two / 2))


@pytest.mark.parametrize("missing", range(3))
def test_two_readings_are_not_yet_three(missing: int) -> None:
    lead = job().resistance.lead_ohm
    two = {key: 1.3 * lead for k, key in enumerate(KEYS) if k != missing}
    j = job(measured={"room_temperature": 20, **two})
    (read_, other) = (b for b in readings(j) if b.field[9:] in two)
    assert read_.meaning == other.meaning
    assert read_.meaning.startswith("measure all three pairs")
    assert (row(j, "leads").verdict, row(j, "leads").meaning) == ("open", "")


def test_advice_is_a_sentence_with_nothing_before_or_behind() -> None:
    """1.1 times one phase fits no slip; a bridged coil of 8 does; balance of 4 coils of 10 shows."""
    phase = 1000 * job().resistance.phase_ohm
    poor = row(read("potters-wheel", wheel(1.1, 1, 1)), "leads").meaning
    assert poor.startswith(
        f"phase U is 10.0 % above the other two ({phase / 10:.4g} mOhm too much), or"
    )
    bridged = row(read("potters-wheel", wheel(1, 0.875, 1)), "leads").meaning
    assert bridged.endswith("; usually one coil left out or bridged at its joint")
    seen = row(read("kayak-thruster", (1.0, 1.0, 1.0)), "leads").meaning
    assert seen == "balanced; one turn too few in a phase would be 2.5 % of it"


def test_four_wires_are_asked_for_below_one_ohm() -> None:
    """A two-wire meter's own leads have 0.1 to 0.3 ohm (common practice)."""
    for turns, strands, asked in ((24, 2, True), (60, 1, True), (450, 1, False)):
        j = job(winding__turns=turns, winding__strands=strands)
        assert (j.resistance.coil_ohm < 1.0) == asked  # one coil is measured too
        words = row(j, "lead_u_v").tolerance
        assert words.endswith(f"% of the meter{', four wires' if asked else ''}, copper at 20 °C")
