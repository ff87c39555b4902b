"""Resistance of coil, phase and leads, against NEMA and IEC tables and by hand."""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.winding.circuit import LEAD_RESISTANCE
from recipes.winding.resistance import (
    links_of,
    winding_resistance_findings,
    winding_resistance_results,
)
from tests.support.wire import STARTERS, job_of, read_reference

KFT_M = 304.8
TAILS_M = 0.300


@pytest.mark.parametrize(
    "row",
    [r for r in read_reference("nema_mw1000_round.csv") if int(r["awg"]) in (19, 24, 27, 30)],
    ids=lambda r: r["awg"],
)
def test_a_coil_of_1000_feet_has_the_resistance_of_nema(row: dict[str, str]) -> None:
    """NEMA MW 1000: ohm per 1000 ft, nominal, least and greatest, at 20 C."""
    wire = f"{row['awg']} AWG"
    job = job_of("wool-spinner", KFT_M - TAILS_M, winding__wire=wire)
    r = job.resistance
    # NEMA names the bare diameter with three digits, hence 0.2 %
    assert r.coil_ohm == pytest.approx(float(row["ohm_per_kft_nom"]), rel=2.5e-3)
    least, greatest = float(row["ohm_per_kft_min_20C"]), float(row["ohm_per_kft_max"])
    assert r.coil_ohm * r.least == pytest.approx(least / 1.04, rel=1e-4)
    assert r.coil_ohm * r.greatest == pytest.approx(greatest * 1.04, rel=1e-4)


def test_24_awg_agrees_with_the_general_table() -> None:
    # hyperphysics wire gauge table: 24 AWG 84.2 ohm/km; six in hand share it
    job = job_of("wool-spinner", 1000.0 - TAILS_M, winding__strands=6)
    assert job.resistance.coil_ohm == pytest.approx(84.2 / 6, rel=2.5e-3)


@pytest.mark.parametrize(("wire", "tolerance"), [("0.75 mm", 0.008), ("0.53 mm", 0.006)])
def test_iec_band_and_nominal(wire: str, tolerance: float) -> None:
    """IEC 60317-0-1: 59, 58.5, 58 S m/mm2 with largest, nominal, smallest conductor.

    Tolerances are those of 0.800 and 0.560 mm, the next larger R20 sizes (iec60317_round.csv).
    """
    d = float(wire.split()[0])
    job = job_of("potters-wheel", 13.7 - TAILS_M, winding__wire=wire, winding__strands=1)
    r = job.resistance
    assert r.coil_ohm * r.least * 1.04 == pytest.approx(
        13.7 / (59.0 * math.pi / 4 * (d + tolerance) ** 2)
    )
    assert r.coil_ohm * r.greatest / 1.04 == pytest.approx(
        13.7 / (58.0 * math.pi / 4 * (d - tolerance) ** 2)
    )
    iec_nominal = job.wire.resistance_iec_nominal_ohm_per_m * 13.7
    assert iec_nominal / r.coil_ohm == pytest.approx(58.0 / 58.5)  # 0.86 % lower, as stated


def test_potters_wheel_by_hand() -> None:
    """24 teeth, 28 poles: U sits on two neighbours in every six teeth, 8 coils in series.

    Slot bottom at 75 - 18 = 57 mm radius: links of one tooth 2 pi 57/24 + 30 = 44.92 mm (four),
    of five teeth 104.61 mm (three); two phase ends of 300 mm. 2 x 0.75 mm: 0.88357 mm2.
    """
    job = job_of("potters-wheel", 1.613)
    metres = 8 * 1.613 + (4 * 44.9226 + 3 * 104.6128) / 1000 + 0.6
    assert job.phase_ohms[1] == pytest.approx(0.0172414 * metres / 0.883573, rel=1e-5)
    r = job.resistance
    assert r.lead_ohm == pytest.approx(2 * r.phase_ohm)
    assert r.lead_ohm == pytest.approx(0.54627, abs=1e-5)
    # in four paths of two neighbours: no long links left, a quarter of a quarter of the coils
    four = 0.0172414 / 0.883573 / 4 * (2 * 1.613 + 0.0449226 + 0.6)
    assert job.phase_ohms[4] == pytest.approx(four, rel=1e-5)


def test_delta_leads_see_two_thirds_of_a_phase() -> None:
    # phase R beside two phases in series, 2 R: R 2R / 3R
    r = job_of("kayak-thruster", 0.813).resistance
    assert r.lead_ohm == pytest.approx(1 / (1 / r.phase_ohm + 1 / (2 * r.phase_ohm)))
    assert LEAD_RESISTANCE["wye"] == 2.0


def test_bench_and_hot_resistance() -> None:
    job = job_of("kayak-thruster", 0.813, winding__room_temperature=27.5, winding__enamel_class=180)
    r = job.resistance
    out = winding_resistance_results(r)
    assert out["lead_resistance_room_ohm"] == pytest.approx(r.lead_ohm * (234.5 + 27.5) / 254.5)
    assert out["lead_resistance_hot_ohm"] == pytest.approx(r.lead_ohm * (234.5 + 180) / 254.5)


@pytest.mark.parametrize("name", STARTERS)
def test_links_go_round_the_shorter_way(name: str) -> None:
    job = job_of(name, 1.613)
    lam, slots = job.design.lamination, job.design.motor.slots
    half = math.pi * (lam.outer_diameter / 2 - lam.slot_depth) + 30.0
    assert len(links_of(job.joints, job.layout.slots, job.root_radius)) == slots - 3
    assert all(
        30.0 < link.length_mm <= half
        for link in links_of(job.joints, job.layout.slots, job.root_radius)
    )


def test_a_link_goes_back_where_that_is_shorter() -> None:
    # 9/14: one phase has two coils five teeth apart; back over the top it is four
    job = job_of("wool-spinner", 2.317, motor__slots=9, motor__poles=14)
    radius = (3.5 / 2 - 0.55) * 25.4
    four = 4 * 2 * math.pi / 9 * radius + 30
    assert max(
        link.length_mm for link in links_of(job.joints, job.layout.slots, job.root_radius)
    ) == pytest.approx(four)


def codes(name: str, coil: float, **changes: object) -> dict[str, Finding]:
    job = job_of(name, coil, **changes)
    found = winding_resistance_findings(
        job.resistance,
        job.design.winding.tail,
        links_of(job.joints, job.layout.slots, job.root_radius),
    )
    return {f.code: f for f in found}


def test_short_tails_are_named_with_their_teeth() -> None:
    # longest link of the potter's wheel 104.6 mm: each tail needs 52.3 + 20 mm
    found = codes("potters-wheel", 1.613, winding__tail=72)["tail-too-short"]
    assert found.limit == pytest.approx(72.306, abs=1e-3)
    assert found.level == "warn"
    assert "tooth 2 to tooth 7" in found.message
    assert "at least 80 mm" in found.fix
    assert "tail-too-short" not in codes("potters-wheel", 1.613, winding__tail=73)


def test_low_resistance_asks_for_four_wires() -> None:
    assert "four-wire" in codes("potters-wheel", 1.613)
    # 24 AWG, 12.1 m a coil: 1.04 ohm, six of them in series 6 ohm
    assert "four-wire" not in codes("wool-spinner", 12.1)
    assert "four-wire" in codes("wool-spinner", 11.1)
