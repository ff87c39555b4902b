"""The field by hand: its closed part against the layers of a textbook, all of it against the field."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import recipes.field.magnetic_circuit as by_hand
from recipes.field.magnetic_circuit import magnetic_circuit, predicted_constant
from recipes.motor import Motor
from tests.geometry.field import closed
from tests.recipes.field.test_figures import carter
from tests.support.design import STARTERS, job
from tests.support.field import constant_of, solved


def predicted(made: Motor) -> float:
    d = made.design
    steel, stacking = d.lamination.steel, made.stack.factor
    found = predicted_constant(made.cross_section, steel, stacking, made.circuit, made.layout)
    assert found.least < found.per_min_V < found.greatest
    return found.per_min_V


@pytest.mark.parametrize("starter", STARTERS)
def test_circuit_lies_near_the_field_of_the_same_outline(starter: str) -> None:
    made, built, wave = solved(starter)
    assert predicted(made) == pytest.approx(constant_of(made, built, wave), rel=0.05)


def test_magnets_between_smooth_rings_are_the_closed_solution(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Layers of `tests.geometry.field.closed` (after Zhu & Howe 1993), rings of mu_r 1e9."""
    made = job(rotor__magnet_shape="arc", rotor__glue_line=0.0)
    section = made.cross_section
    monkeypatch.setattr(by_hand, "_carter", lambda *_: 1.0)
    p, mu_r = section.poles // 2, section.ring.magnet.recoil_permeability
    face, thick = section.ring.face, section.rotor.magnet_thickness or 0.0
    radii = [
        r / 1e3 for r in (20.0, section.stator_radius, face, face + thick, section.bore, 110.0)
    ]
    middle = math.asin((section.rotor.magnet_width or 0.0) / 2 / (face + thick / 2))
    for n, teeth, ring in by_hand._waves(section, 1.3)[:4]:
        source = closed.remanence(int(n), p, middle * 2 * p / math.pi, 1.3, "parallel")
        a = closed.potential(int(n), radii, [1e9, 1.0, mu_r, 1.0, 1e9], 2, source, radii[1:5:3])
        assert np.abs(a) * 2 == pytest.approx([abs(teeth), abs(ring)], rel=1e-5)


def test_carter_widens_the_gap() -> None:
    section = job().cross_section
    pitch = 2 * math.pi * section.stator_radius / section.slot.slots
    assert by_hand._carter(section, 5.1) == pytest.approx(carter(pitch, 3.2, 5.1))


def test_steel_takes_more_where_it_is_thinner() -> None:
    made = job()
    thin = replace(made.cross_section, ring_thickness=2.0)
    steel, stacking = made.design.lamination.steel, made.stack.factor
    one, other = (magnetic_circuit(s, steel, stacking) for s in (made.cross_section, thin))
    assert other.share < 0.97 * one.share
    assert other.tooth < 0.97 * one.tooth


def test_an_unknown_steel_is_taken_as_the_least_of_the_table() -> None:
    made = job(lamination__steel="M270-35A")
    assert predicted(job(lamination__steel="kitchen tin")) == predicted(made)


@pytest.mark.parametrize(
    "changes",
    [
        {"lamination__bore_diameter": 113.0, "hub": None},
        {
            "motor__slots": 24,
            "motor__poles": 160,
            "rotor__magnet_width": 2.0,
            "rotor__air_gap": 10.0,
        },
        {"motor__slots": 24, "motor__poles": 2, "rotor__magnet_width": 150.0},
        {"rotor__ring_thickness": 0.5, "rotor__magnet_thickness": 40.0, "rotor__magnet_width": 8.0},
    ],
)
def test_what_nobody_builds_is_a_figure_or_none(changes: dict[str, object]) -> None:
    found = job(**changes).speed_constant.predicted
    assert found is None or 0 < found.least < found.per_min_V < found.greatest < math.inf
