"""Rotor ring and voltages of the three starters, worked by hand, each step by its formula.

Br of a grade as in the product's table (checked against two makers in test_rotor_ring.py): the greatest
for flux. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from recipes.rotor.voltage import voltage_results
from tests.support.design import job
from tests.support.rotor import back_emf


@dataclass(frozen=True)
class Hand:
    """One starter: mm, T, 1/min."""

    name: str
    poles: int
    radius: float
    gap: float
    width: float
    thick: float
    length: float
    remanence: float
    ring: float
    speed: float
    sheet: float  # cut edge, mm: laser 0.1, wire 0.02 (process table)


HANDS = [
    Hand("potters-wheel", 28, 75.0, 1.0, 14.0, 4.0, 20.0, 1.32, 6.0, 240.0, 0.1),
    Hand("kayak-thruster", 14, 31.0, 0.7, 12.0, 3.0, 30.0, 1.37, 5.0, 2800.0, 0.02),
    Hand("wool-spinner", 20, 44.45, 0.762, 11.0, 3.0, 15.24, 1.28, 5.08, 750.0, 0.1),
]
BY_NAME = pytest.mark.parametrize("h", HANDS, ids=lambda h: h.name)


@BY_NAME
def test_places_and_coverage(h: Hand) -> None:
    """Pythagoras: the corners of a flat block touch the ring; angles of its face: atan."""
    ring, rotor = job(h.name).rotor_ring, job(h.name).design.rotor
    assert ring is not None
    face = h.radius + h.gap
    assert ring.bore == pytest.approx(math.hypot(face + h.thick + rotor.glue_line, h.width / 2))
    assert ring.coverage == pytest.approx(h.poles * math.atan(h.width / 2 / face) / math.pi)
    # worst case: everything that may close the gap, summed (stack-up); likely: root of squares
    errors = (0.05, rotor.glue_line, rotor.ring_bore_tolerance / 2, h.sheet, rotor.off_centre)
    assert ring.gap_least == pytest.approx(h.gap - sum(errors))
    assert ring.gap_likely == pytest.approx(h.gap - math.sqrt(sum(e * e for e in errors)))


@BY_NAME
def test_flux_and_ring(h: Hand) -> None:
    """B = Br t / (t + mu_r g) (load line of a magnet across a gap); half a pole's flux each way."""
    ring = job(h.name).rotor_ring
    assert ring is not None
    field = h.remanence * h.thick / (h.thick + 1.05 * h.gap)
    assert ring.field == pytest.approx(field, rel=1e-6)
    assert ring.ring_field == pytest.approx(field * h.width / (2 * h.ring), rel=1e-6)
    assert ring.thickness == pytest.approx(field * h.width / (2 * 1.5), rel=1e-6)


@BY_NAME
def test_pulls_and_burst(h: Hand) -> None:
    """Maxwell: B2 / (2 mu0) a unit of area; m w2 r; thin rotating ring rho v2 + p r / h."""
    ring = job(h.name).rotor_ring
    assert ring is not None
    field = h.remanence * h.thick / (h.thick + 1.05 * h.gap)
    area = h.width * h.length
    assert ring.pull_in == pytest.approx(field**2 / (8e-7 * math.pi) * area / 1e6, rel=1e-6)
    mass = 7500 * area * h.thick * 1e-9
    omega = 2 * math.pi * h.speed / 60
    middle = (h.radius + h.gap + h.thick / 2) / 1000
    assert ring.pull_out == pytest.approx(mass * omega**2 * middle, rel=1e-6)
    assert ring.glue_stress == pytest.approx(max(ring.pull_in, ring.pull_out) / area)
    pressure = h.poles * ring.pull_out / (2 * math.pi * ring.bore * h.length)
    own = 7850 * (omega * (ring.bore + h.ring / 2) / 1000) ** 2 / 1e6
    assert ring.hoop == pytest.approx(own + pressure * ring.bore / h.ring, rel=1e-6)


def test_the_figures_themselves() -> None:
    """The same as plain numbers, so that a slip in the formulas above would show."""
    bores = [2 * (r.bore if (r := job(h.name).rotor_ring) else 0.0) for h in HANDS]
    assert bores == pytest.approx([160.711, 70.528, 97.149], abs=1e-3)
    pulls = [r.pull_in if (r := job(h.name).rotor_ring) else 0.0 for h in HANDS]
    assert pulls == pytest.approx([121.8, 173.4, 68.1], abs=0.05)


@pytest.mark.parametrize(
    ("name", "volts"),
    # 240 / 14, 2800 / 165, 750 / 142 without magnets: speed over the typed speed constant
    [("potters-wheel", 17.143), ("kayak-thruster", 16.970), ("wool-spinner", 5.282)],
)
def test_voltage(name: str, volts: float) -> None:
    typed = {"potters-wheel": 14.0, "kayak-thruster": 165.0, "wool-spinner": 142.0}[name]
    bare = {"rotor__magnet_width": None, "rotor__magnet_thickness": None}
    j = job(name, motor__speed_constant=typed, **bare)
    assert back_emf(j) == pytest.approx(volts, abs=5e-4)
    assert voltage_results(j.design.motor, j.speed_constant)["back_emf_peak_V"] == pytest.approx(
        volts, abs=5e-4
    )
    assert volts < j.design.motor.supply_voltage < 60.0
