"""Where the copper settles: layers by hand, balance by iteration, measured bundles."""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.heat.limits import heat_findings
from recipes.heat.steady import (
    BETWEEN_WIRES,
    bundle_conductivity_W_per_mK,
    settles_at_C,
    steady_heat_results,
)
from tests.support.wire import STARTERS, job_of


def layers_of(name: str, **changes: object) -> dict[str, tuple[float, float]]:
    found = job_of(name, 1.613, **changes).thermal_layers
    return {la.name: (la.best_K_per_W, la.worst_K_per_W) for la in found}


def test_varnished_bundles_conduct_as_measured() -> None:
    """About 0.5 to 1 W/mK across bundles of 50 % wire, 0.670 or 0.925 mm with 0.037 mm of film.

    J. Thermal Sci. Eng. Appl., "Anisotropic Thermal Response of Packed Copper Wire" (seen: abstract
    at ornl.gov/publication/anisotropic-thermal-response-packed-copper-wire).
    """
    for bare in (0.670, 0.925):
        copper = 0.5 * (bare / (bare + 2 * 0.037)) ** 2
        assert 0.5 <= bundle_conductivity_W_per_mK(copper, BETWEEN_WIRES[0]) <= 1.0


def test_bundle_formula_at_its_ends() -> None:
    # no copper: the filler; 1/3 copper: twice the filler, (1 + 1/3)/(1 - 1/3)
    assert bundle_conductivity_W_per_mK(0.0, 0.17) == pytest.approx(0.17)
    assert bundle_conductivity_W_per_mK(1 / 3, 0.17) == pytest.approx(0.34)


def test_more_copper_than_a_bundle_can_hold_does_not_turn_heat_round() -> None:
    """Such a design is refused elsewhere; found by a random design of 1755 turns."""
    job = job_of("kayak-thruster", winding__turns=1755)
    layers = job.thermal_layers
    assert all(0.0 < layer.best_K_per_W <= layer.worst_K_per_W for layer in layers)
    assert job.steady_heat  # a square root of something below 0, before


def test_paper_against_air_as_the_thermal_line_has_it() -> None:
    """Common practice: on 0.01 m2, 0.25 mm aramid about 0.18 K/W, 0.13 mm 0.11, 0.1 mm air 0.39.

    Paper of 0.25 mm thus resists less than half of what a gap of 0.1 mm does.
    """
    job = job_of("potters-wheel", 1.613, liner__thickness=0.25)
    wall = sum(e.length for e in job.slot.wall) * job.stack.length * 24 / 1e6
    found = {la.name: la for la in job.thermal_layers}
    per = wall / 0.01
    assert found["liner"].best_K_per_W * per == pytest.approx(0.18, abs=0.015)
    assert found["liner"].worst_K_per_W * per == pytest.approx(0.21, abs=0.005)
    assert found["gap"].worst_K_per_W * per == pytest.approx(0.385, abs=0.005)
    assert found["liner"].worst_K_per_W < 0.6 * found["gap"].worst_K_per_W


def test_surroundings_by_hand() -> None:
    """Kayak: 62 mm, bore 18, 30 mm high; worst 10 W/m2K, best 25 and a stainless axle, 15 W/mK."""
    job = job_of("kayak-thruster", 0.813)
    height = job.stack.length
    surface = (math.pi * 62 * height + 2 * math.pi / 4 * (62**2 - 18**2)) / 1e6
    best, worst = layers_of("kayak-thruster")["surroundings"]
    assert worst == pytest.approx(1 / (10 * surface))
    metal = math.pi / 4 * (18**2 - 9**2)
    axle = 15 * metal / 1000 * (1 / 50 + 1 / (120 - 50 - 32))
    assert best == pytest.approx(1 / (25 * surface + axle))
    steel = layers_of("kayak-thruster", axle__material="C45")["surroundings"][0]
    assert steel == pytest.approx(1 / (25 * surface + axle * 50 / 15))
    still = layers_of("kayak-thruster", motor__duty="stalled")["surroundings"]
    assert still[1] == pytest.approx(worst)
    assert still[0] == pytest.approx(1 / (15 * surface + axle))


def test_wire_bundle_by_hand() -> None:
    job = job_of("wool-spinner", 2.317)
    low, _, high, _ = job.window.polygon.bounds
    depth, side = (high - low) / 1000, job.window.polygon.area / (high - low) / 1000
    share = 42 * job.wire.copper_area_mm2 / job.window.polygon.area
    k = 0.05 * (1 + share) / (1 - share)
    flanks = 2 * 18 * depth * job.stack.length / 1000
    assert layers_of("wool-spinner")["wire bundle"][1] == pytest.approx(side / (2 * k * flanks))


@pytest.mark.parametrize(("rise", "ambient"), [(17.3, -5.0), (83.0, 22.0), (111.0, 31.0)])
def test_balance_by_iteration(rise: float, ambient: float) -> None:
    temp = ambient
    for _ in range(2000):
        temp = ambient + rise * (234.5 + temp) / 254.5
    assert settles_at_C(rise, ambient) == pytest.approx(temp, rel=1e-9)


def test_runaway_is_said_and_not_hidden_behind_a_number() -> None:
    assert settles_at_C(254.4, 20.0) is None  # thousands of degrees: no sense
    assert settles_at_C(254.5, 20.0) is None  # resistance rises as fast as heat leaves
    assert settles_at_C(900.0, 20.0) is None  # the bare formula would say below zero
    # 300 C is the last temperature at which copper is taken as a straight line
    edge = (300.0 - 20.0) * 254.5 / 534.5
    assert settles_at_C(edge - 1e-6, 20.0) == pytest.approx(300.0, abs=1e-3)
    assert settles_at_C(edge + 1e-6, 20.0) is None


@pytest.mark.parametrize("duty", ["moving", "stalled"])
@pytest.mark.parametrize("name", STARTERS)
def test_the_continuous_current_settles_at_the_class(name: str, duty: str) -> None:
    job = job_of(name, 1.613, motor__duty=duty, winding__enamel_class=180)
    steady = job.steady_heat
    assert 0.0 < steady.least_A < steady.most_A
    for amperes, which in ((steady.least_A, "worst_C"), (steady.most_A, "best_C")):
        at = job_of(
            name, 1.613, motor__duty=duty, winding__enamel_class=180, motor__phase_current=amperes
        )
        assert getattr(at.steady_heat, which) == pytest.approx(180.0, rel=1e-9)


def test_loss_by_hand() -> None:
    job = job_of("potters-wheel", 1.613)
    ohm = job.phase_ohms[1]
    assert job.steady_heat.loss_20C_W == pytest.approx(2 * 81.0 * ohm)
    moving = job_of("potters-wheel", 1.613, motor__duty="moving")
    assert moving.steady_heat.loss_20C_W == pytest.approx(3 * 81.0 * ohm)


def test_one_standing_pair_is_hotter_in_itself_than_three_sharing_phases() -> None:
    """Standing wye: own loss through a third of the inner layers, 2/3 of the loss outside."""
    job = job_of("potters-wheel", 1.613, motor__phase_current=4.1)
    inner = 3 * sum(la.best_K_per_W for la in job.thermal_layers[:-1])
    outer = job.thermal_layers[-1].best_K_per_W
    rise = 4.1**2 * job.phase_ohms[1] * (inner + 2 * outer)
    assert job.steady_heat.best_C == pytest.approx(settles_at_C(rise, 20.0))


def found(current: float, **changes: object) -> Finding | None:
    job = job_of("potters-wheel", 1.613, motor__phase_current=current, **changes)
    return {f.code: f for f in heat_findings(job.design.motor, job.heating, job.steady_heat)}.get(
        "not-for-long"
    )


def test_findings_tell_never_from_perhaps() -> None:
    limits = job_of("potters-wheel", 1.613).steady_heat
    assert found(0.99 * limits.least_A) is None
    perhaps, never = found(1.01 * limits.least_A), found(1.01 * limits.most_A)
    assert perhaps is not None
    assert never is not None
    assert (perhaps.level, never.level) == ("note", "warn")
    assert "may not be held in still air" in perhaps.message
    assert "cannot be held in still air" in never.message
    assert "no steady state" in never.message
    assert f"{limits.most_A:.2g} A (varnished)" in never.fix


def test_results_say_runaway_in_words() -> None:
    out = steady_heat_results(job_of("potters-wheel", 1.613).steady_heat)
    assert out["steady_copper_worst_C"] == "none below 300 C"
    assert 60.0 < float(out["steady_copper_best_C"]) < 155.0


@pytest.mark.parametrize("name", STARTERS)
def test_starters_can_be_cooled_one_way_or_another(name: str) -> None:
    """Judged with their own turn lengths: bursts at the design current, no stop, a sane band."""
    job = job_of(name)
    steady = job.steady_heat
    amperes = job.design.motor.phase_current
    assert 0.2 * amperes < steady.least_A < steady.most_A < 5.0 * amperes
    assert all(
        f.level != "stop" for f in heat_findings(job.design.motor, job.heating, job.steady_heat)
    )
    # stators of 60 to 150 mm take tens of watts (common practice)
    assert 5.0 < steady.loss_20C_W < 200.0
