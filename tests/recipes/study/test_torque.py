"""Torque per root watt: from first principles, and what must cancel."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad
from scipy.optimize import fsolve

from recipes.motor import Motor
from recipes.study.comparison_figures import figure_or_none
from recipes.study.torque_per_heat import MagneticCircuit, TorqueFigure
from recipes.winding.circuit import LEAD_RESISTANCE
from recipes.winding.layout import winding_factors
from tests.support.design import STARTERS, job


def torque_figure(j: Motor) -> TorqueFigure:
    found = figure_or_none(j)
    assert found is not None
    return found


def volt_seconds(j: Motor) -> float:
    """Peak flux linkage change per radian of one phase, by integrating the wave over one pole."""
    lam, p = j.design.lamination, j.design.motor.poles // 2
    radius = (lam.outer_diameter + j.design.rotor.air_gap) / 2000
    wave = torque_figure(j).field_T
    flux, _ = quad(
        lambda a: wave * math.cos(p * a) * radius * j.stack.length / 1000,
        -math.pi / 2 / p,
        math.pi / 2 / p,
    )
    kw = winding_factors(j.layout, (1,))[1].winding
    return p * j.circuit.turns_in_series * kw * flux


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("connection", ["wye", "delta"])
def test_figure_is_torque_constant_over_root_of_lead_resistance(name: str, connection: str) -> None:
    """Block commutation: DC torque per ampere = peak voltage between leads per rad/s (energy)."""
    j = job(name, winding__connection=connection)
    between = math.sqrt(3) if connection == "wye" else 1.0
    lead = LEAD_RESISTANCE[connection] * j.resistance.phase_ohm  # type: ignore[index]
    expected = between * volt_seconds(j) / math.sqrt(lead)
    assert torque_figure(j).per_root_watt == pytest.approx(expected, rel=1e-9)


def test_figure_is_what_three_sine_currents_make() -> None:
    """Power balance over one turn: 3 phases, e i summed, against 3 I^2 R / 2."""
    j = job("wool-spinner")
    peak, ohm, amps = volt_seconds(j), j.resistance.phase_ohm, 2.7
    torque, _ = quad(
        lambda a: sum(peak * amps * math.cos(a - k * 2 * math.pi / 3) ** 2 for k in range(3)),
        0, 2 * math.pi,
    )  # fmt: skip
    heat = 1.5 * amps**2 * ohm
    assert torque_figure(j).per_root_watt == pytest.approx(torque / (2 * math.pi) / math.sqrt(heat))


def test_paths_cancel_but_for_their_links() -> None:
    one, two = (torque_figure(job(winding__parallel_paths=a)) for a in (1, 2))
    # a second path has ends of its own, 0.6 m of 17 m
    assert two.per_root_watt == pytest.approx(one.per_root_watt, rel=0.03)
    assert two.per_root_watt < one.per_root_watt


def test_twice_the_turns_of_half_the_wire_are_the_same_stator() -> None:
    """Same copper in the slot, four times the resistance: tails count less, turns lie the same."""
    few = torque_figure(job(winding__turns=13, winding__strands=2))
    many = torque_figure(job(winding__turns=26, winding__strands=1))
    assert many.per_root_watt == pytest.approx(few.per_root_watt, rel=0.05)


def test_copper_is_the_wire_without_its_enamel() -> None:
    """IEC 60028: 8.89 g/cm3. The mass that is bought holds enamel, some per cent, and the tails that joints cut off."""

    j = job()
    copper_kg = torque_figure(j).copper_mm3 * 8.89e-6
    assert copper_kg < j.wire_order.motor_kg < 1.16 * copper_kg


def test_an_unknown_magnet_leaves_a_field_of_one_tesla() -> None:
    unknown = torque_figure(job(rotor__magnet_width=None, rotor__magnet_thickness=None))
    known = torque_figure(job())
    assert (unknown.magnetic, unknown.field_T) == (None, 1.0)
    assert known.in_equal_field().per_root_watt == pytest.approx(unknown.per_root_watt)


def test_tooth_field_gathers_the_pole_by_hand() -> None:
    """Pole arc 0.8186 x pi 150/28 = 13.78 mm; tooth 7.6 mm wide, 94 % steel; 1.0455 T in the gap."""
    magnetic = torque_figure(job()).magnetic
    assert magnetic is not None
    assert magnetic.asked == pytest.approx(1.0455 * 13.776 / (7.6 * 0.94), rel=2e-3)


def circuit(**changes: float) -> MagneticCircuit:
    plain = {"remanence": 1.31, "thickness": 3.7, "recoil": 1.06, "gap": 0.83, "tooth": 17.3,
             "gathered": 2.07, "full": 1.71, "cover": 0.8}  # fmt: skip
    return MagneticCircuit(**{**plain, **changes})


def test_saturated_field_obeys_ampere_and_flux() -> None:
    """The two laws of the module, solved for B and H by a general solver."""
    c = circuit()
    assert c.asked > c.full

    def laws(x: list[float]) -> list[float]:
        gap_field, steel = x  # B and mu_0 H, T
        drop = (c.remanence - gap_field) * c.thickness / c.recoil - gap_field * c.gap
        return [drop - steel * c.tooth, gap_field * c.gathered - c.full - steel * c.gathered]

    solved = fsolve(laws, [0.8, 0.1])
    assert c.field == pytest.approx(solved[0], rel=1e-9)
    assert solved[1] > 0


def test_field_goes_over_without_a_step() -> None:
    edge = circuit().full / circuit().unsaturated
    below, above = circuit(gathered=edge * (1 - 1e-9)), circuit(gathered=edge * (1 + 1e-9))
    assert below.field == pytest.approx(above.field, rel=1e-8)
    assert circuit(gathered=3.0).field < circuit(gathered=2.2).field < below.field


def test_a_wider_tooth_is_not_always_worse() -> None:
    """Without saturation the narrowest tooth would win every time."""
    figures = [
        torque_figure(job(lamination__tooth_width=w, winding__turns=12)).per_root_watt
        for w in (4.1, 7.6)
    ]
    assert figures[0] < figures[1]
