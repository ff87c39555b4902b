"""Torque per root watt: from first principles, and what must cancel."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from recipes.motor import Motor
from recipes.study.comparison_figures import figure_or_none
from recipes.study.torque_per_heat import TorqueFigure
from recipes.winding.circuit import LEAD_RESISTANCE
from recipes.winding.layout import winding_factors
from tests.support.design import STARTERS, job


def torque_figure(j: Motor) -> TorqueFigure:
    found = figure_or_none(j)
    assert found is not None
    return found


def volt_seconds(j: Motor) -> float:
    """Peak flux linkage change per radian of one phase, by integrating the wave over one pole."""
    p = j.design.motor.poles // 2
    radius, wave = j.design.lamination.outer_diameter / 2000, torque_figure(j).field_T
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


def test_a_wider_tooth_is_not_always_worse() -> None:
    """Without saturation the narrowest tooth would win every time."""
    figures = [
        torque_figure(job(lamination__tooth_width=w, winding__turns=12)).per_root_watt
        for w in (4.1, 7.6)
    ]
    assert figures[0] < figures[1]
