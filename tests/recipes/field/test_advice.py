"""Widths that the flux asks for, and what they cost."""

import math

import pytest

from recipes.field.advice import advice_findings
from tests.support.design import job

FULL = {
    "tooth_flux_density_loaded_T": 1.7,
    "yoke_flux_density_loaded_T": 1.5,
    "ring_flux_density_loaded_T": 1.6,
}


def said(**changed: float) -> dict[str, tuple[float, float, str]]:
    made = job("kayak-thruster")
    found = advice_findings(made.cross_section, FULL | changed, 30.0, 0.95)
    return {f.field: (float(f.value or 0), float(f.limit or 0), f.fix) for f in found}


def test_steel_that_carries_what_is_usual_is_not_spoken_of() -> None:
    assert said() == {}
    assert said(tooth_flux_density_loaded_T=1.6, ring_flux_density_loaded_T=1.75) == {}


def test_a_ring_with_half_the_flux_may_be_half_as_thick() -> None:
    section = job("kayak-thruster").cross_section
    found = said(ring_flux_density_loaded_T=0.8)
    assert list(found) == ["rotor.ring_thickness"]
    width, asked, fix = found["rotor.ring_thickness"]
    assert (width, asked) == (5.0, pytest.approx(2.5))
    # Steel of 7850 kg/m3 between two cylinders.
    area = math.pi * ((section.bore + 5) ** 2 - (section.bore + 2.5) ** 2)
    assert f"{area * 30 * 7.85e-3:.0f} g less" in fix


def test_a_full_yoke_asks_for_steel_and_a_wide_tooth_costs_heat() -> None:
    found = said(yoke_flux_density_loaded_T=1.9, tooth_flux_density_loaded_T=1.2)
    width, asked, fix = found["hub.yoke_thickness"]
    assert asked == pytest.approx(width * 1.9 / 1.5, abs=1e-3)
    assert "g more" in fix
    width, asked, fix = found["lamination.tooth_width"]
    assert (width, asked) == (pytest.approx(6.0, abs=1e-3), pytest.approx(6 * 1.2 / 1.7, abs=1e-3))
    assert "less heat" in fix
    slot = job("kayak-thruster").cross_section.slot
    share = float(fix.split(" % less")[0].split()[-1]) / 100
    # As much as the slot grows at most: its flanks are shorter than it is deep.
    assert 0 < share < (width - asked) * 13.5 / abs(slot.outline.area)


def test_a_full_tooth_asks_for_width_at_the_cost_of_heat() -> None:
    (only,) = said(tooth_flux_density_loaded_T=2.1).values()
    assert only[1] > only[0]
    assert "more heat" in only[2]
