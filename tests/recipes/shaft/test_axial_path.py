"""A force along the axle: each link of its way by hand, and what it does to the axle's strength.

The kayak thruster: bearings 6002 (15 x 32 x 9 mm, chamfer 0.3 mm; ISO 15) at 18 and 95 mm, seats of
11 mm, lands of 18 mm between them, steel 1.4301 of 190 MPa; held at face A, grip 14 mm.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from recipes.assess import assess
from recipes.shaft.ball_rating import ball_rating
from recipes.tables.bearings import bearing
from tests.support.design import job

LOAD = {"force": 60, "overhang": 140, "torque": 4, "held": "face A", "grip": 14, "action": "turns"}


def kayak(axial: float = 300.0, way: str = "both ways", **changes: Any) -> Any:
    load = {**LOAD, "axial": axial, "axial_way": way}
    return assess(job("kayak-thruster", axle__load=load, **changes), whole=False)


def told(seen: Any) -> dict[str, tuple]:
    return {
        f.code: (f.level, f.field, f.value, f.limit)
        for f in seen.findings
        if f.code.startswith(("axial", "bearing-life", "axle-held-along"))
    }


def test_without_a_force_nothing_is_said() -> None:
    seen = kayak(0.0)
    assert told(seen) == {}
    assert not [k for k in seen.results if k.startswith("axial")]


def test_shoulders_stop_both_ways_and_the_bearing_is_the_weakest() -> None:
    """Red before: `load.axial` was no field. Shoulder: pi/4 (18^2 - 15.6^2) x yield."""
    seen = kayak()
    results = seen.results
    area = math.pi / 4 * (18**2 - (15 + 2 * 0.3) ** 2)
    for face in "AB":
        assert results[f"axial_toward_{face}_stopped_by"] == "shoulder of 18 mm"
        assert results[f"axial_toward_{face}_stop_holds_N"] == pytest.approx(
            area * results["axle_yield_MPa"], rel=1e-6
        )
        assert results[f"axial_toward_{face}_weakest_link"] == "bearing 6002"
    assert results["bearing_axial_most_N"] == pytest.approx(
        0.25 * ball_rating(bearing("6002")).static
    )
    assert set(told(seen)) == {"axle-held-along"}


def test_the_weakest_link_is_named_and_judged() -> None:
    seen = kayak(900.0, axle__bearing_static_rating=2850)
    assert told(seen)["axial-link-weak"] == ("stop", "axle.bearing", 900.0, 712.5)
    assert kayak(700.0, axle__bearing_static_rating=2850).results[
        "axial_toward_A_safety"
    ] == pytest.approx(712.5 / 700)


def test_a_ring_stops_where_no_shoulder_does() -> None:
    """Ends and lands of 15 mm: ring 15 beyond bearing 2. Groove: FN 2.66 kN x yield / 200, ring FRg 2.4."""
    plain = {"axle__land_diameter": 15.0, "axle__end_diameter": 15.0}
    bare = kayak(300.0, "toward face B", **plain)
    compound = math.pi * 15 * 9 * 2.0
    assert told(bare)["axial-not-stopped"] == (
        "warn",
        "axle.grooves",
        300.0,
        pytest.approx(compound, abs=1e-3),
    )
    ringed = kayak(300.0, "toward face B", **plain, axle__grooves=[{"from_face": 106, "ring": 15}])
    assert "axial-not-stopped" not in told(ringed)
    assert ringed.results["axial_toward_B_stopped_by"] == "retaining ring DIN 471 - 15x1"
    holds = min(2660 * ringed.results["axle_yield_MPa"] / 200, 2400)
    assert ringed.results["axial_toward_B_stop_holds_N"] == pytest.approx(holds)
    strong = kayak(
        1300.0, "toward face B", **plain,
        axle__grooves=[{"from_face": 106, "ring": 15}], axle__bearing_static_rating=9000,
    )  # fmt: skip
    assert told(strong)["axial-link-weak"] == (
        "warn", "axle.grooves[1].ring", 1300.0, pytest.approx(holds / 2),
    )  # fmt: skip


def test_a_nut_holds_the_axle_in_its_frame() -> None:
    """Pushed away from face A; M14x1.5 with a bore of 9: (125 - 63.6) mm2 x yield."""
    threads = [{"face": "face A", "thread": "M14x1.5", "length": 13}]
    seen = kayak(axle__threads=threads)
    assert "axle-held-along" not in told(seen)
    area = math.pi / 4 * ((13.0257 + 12.1596) / 2) ** 2 - math.pi / 4 * 81
    assert seen.results["thread_1_yields_N"] == pytest.approx(
        area * seen.results["axle_yield_MPa"], rel=1e-4
    )


def test_life_of_the_bearing_by_hand() -> None:
    """L10 = (C / P)^3 x 10^6 / (60 n): C0 2850, C 5850 N, f0 of 6002 as estimated, n the top speed."""
    seen = kayak(600.0, axle__bearing_static_rating=2850, axle__bearing_dynamic_rating=5850)
    made = job("kayak-thruster", axle__load=LOAD)
    across = max(abs(f) for _, f in made.axle_strength.load.bearings)
    load = ball_rating(bearing("6002"), 2850, 5850).equivalent(across, 600)
    assert seen.results["bearing_life_at_top_speed_h"] == pytest.approx(
        1e6 * (5850 / load) ** 3 / (60 * made.design.motor.top_speed)
    )
    assert "bearing-life-short" in told(kayak(600.0, axle__bearing_dynamic_rating=4000))


def test_static_safety_by_hand() -> None:
    """P0 = 0.6 Fr + 0.5 Fa (ISO 76): about 90.8 N across and 600 N along, C0 2850 and 300 N."""
    got = kayak(600.0, axle__bearing_static_rating=2850)
    p0 = 0.6 * 90.779 + 300
    assert got.results["bearing_static_safety"] == pytest.approx(2850 / p0, rel=1e-3)
    low = {f.code: f for f in kayak(600.0, axle__bearing_static_rating=300).findings}
    assert low["bearing-dented"].value == pytest.approx(300 / p0, rel=1e-3)


def test_the_force_along_raises_the_stress_by_hand() -> None:
    """Alone: F / A on the plain tube times Kt of the place; nothing beyond the farther bearing."""
    load = {**LOAD, "force": 0, "torque": 0, "axial": 1000.0}
    made = job("kayak-thruster", axle__load=load)
    assert {p.forces.axial for p in made.axle_strength.places if 14.1 < p.z < 100} == {1000.0}
    assert {p.forces.axial for p in made.axle_strength.places if p.z > 100.6} == {0.0}
    place = next(p for p in made.axle_strength.spikes if p.name == "step beside bearing seat 1")
    area = math.pi / 4 * (15**2 - 9**2)
    assert place.stress.static == pytest.approx(1000 / area * place.notch.bending, rel=1e-6)
    slot = made.axle_strength.at_slot
    assert slot.stress.static >= 1000 / (math.pi / 4 * (18**2 - 9**2)) * slot.notch.bending * 0.99


def test_the_starter_thrusts() -> None:
    seen = assess(job("kayak-thruster"), whole=False)
    assert seen.results["axial_load_N"] == 90
    assert not [f for f in seen.findings if f.code == "axial-link-weak"]
