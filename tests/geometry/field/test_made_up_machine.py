"""A machine of invented proportions: torque, cogging, symmetry and mesh, one against another."""

import math

import numpy as np
import pytest

from geometry.field.results import energies, linkage, sweep
from geometry.field.solve import Pair, Solution, solve
from tests.geometry.field.shapes import UNSATURATED, machine

AMPERES = 250.0


def sine(pair: Pair, poles: int, angle: float) -> dict[str, np.ndarray]:
    """Currents of a winding that turns with the field: each tooth by its place in the wave."""
    cells = pair.inner.mesh.cells
    pitch = pair.inner.mesh.span / cells
    phase = poles / 2 * (np.arange(cells) * pitch - angle)
    wave = AMPERES * np.cos(phase - 0.3)
    return {"left": wave, "right": -wave}


def tooth_flux(solution: Solution) -> np.ndarray:
    return linkage(solution, "left") - linkage(solution, "right")


@pytest.fixture(scope="module")
def half_machine() -> Pair:
    return machine(12, 14, 2)


@pytest.fixture(scope="module")
def loaded(half_machine: Pair) -> Solution:
    return solve(half_machine, 0.03, sine(half_machine, 14, 0.03), tolerance=1e-12)


def test_torque_is_virtual_work(half_machine: Pair, loaded: Solution) -> None:
    """Two of the coenergy's differences, of steps h and 2 h, extrapolated to order 4."""
    work = {}
    for step in (-2, -1, 1, 2):
        near = solve(half_machine, 0.03 + step * 4e-4, loaded.currents, loaded, tolerance=1e-12)
        work[step] = energies(near)[1]
    slope = (8 * (work[1] - work[-1]) - (work[2] - work[-2])) / (12 * 4e-4)
    assert abs(loaded.torque) > 20
    assert loaded.torque == pytest.approx(slope, rel=1e-6)


def test_energies_add_up(loaded: Solution) -> None:
    energy, coenergy = energies(loaded)
    linked = sum(float(i @ linkage(loaded, n)) for n, i in loaded.currents.items())
    assert energy > 0
    assert energy + coenergy == pytest.approx(2 * linked, rel=1e-9)


def test_torque_constant_is_voltage_constant_in_linear_steel() -> None:
    """What reverses with the current is torque of magnets and current: I dPsi/da."""
    pair = machine(12, 14, 2, UNSATURATED)
    currents = sine(pair, 14, 0.02)
    ahead, behind, here = (solve(pair, 0.02 + d, tolerance=1e-12) for d in (2e-4, -2e-4, 0.0))
    there = [
        solve(pair, 0.02, {n: k * i for n, i in currents.items()}, here, tolerance=1e-12)
        for k in (1, -1)
    ]
    odd = (there[0].torque - there[1].torque) / 2
    slope = sum(
        float(i @ (linkage(ahead, n) - linkage(behind, n))) / 4e-4 for n, i in currents.items()
    )
    assert odd == pytest.approx(2 * slope, rel=5e-4)


@pytest.mark.parametrize("load", [0, 1])
def test_sector_is_whole_circle(load: int) -> None:
    whole = machine(12, 14, 1, order=1)
    half = machine(12, 14, 2, order=1)
    found = [
        solve(p, 0.013, sine(p, 14, 0.0) if load else None, tolerance=1e-12) for p in (whole, half)
    ]
    rated = 40.0
    assert found[0].torque == pytest.approx(found[1].torque, abs=1e-6 * rated)
    teeth = tooth_flux(found[0])
    np.testing.assert_allclose(teeth[:6], tooth_flux(found[1]), rtol=1e-6, atol=1e-9)
    np.testing.assert_allclose(teeth[6:], -teeth[:6], rtol=1e-6, atol=1e-9)


@pytest.mark.parametrize(("teeth", "poles", "sectors"), [(12, 14, 2), (9, 8, 1)])
def test_cogging_is_odd_and_of_its_period(teeth: int, poles: int, sectors: int) -> None:
    pair = machine(teeth, poles, sectors, order=2 if sectors > 1 else 1)
    period = 2 * math.pi / math.lcm(teeth, poles)
    at = [0.0, 0.2, 0.5, 0.8, 1.2]
    found = sweep(pair, [period * k for k in at])
    none, first, middle, last, again = (s.torque for s in found)
    rated = 40.0
    assert max(abs(first), abs(last)) > 0.005 * rated
    assert abs(none) < 1e-4 * rated
    assert abs(middle) < 1e-4 * rated
    assert first == pytest.approx(-last, abs=1e-4 * rated)
    assert first == pytest.approx(again, abs=1e-4 * rated)


def test_loaded_torque_repeats_after_a_sixth_of_the_period(half_machine: Pair) -> None:
    angles = [0.01, 0.01 + math.pi / 3 / 7]
    found = sweep(half_machine, angles, [sine(half_machine, 14, a) for a in angles])
    assert found[0].torque == pytest.approx(found[1].torque, rel=1e-4)


def test_standard_mesh_is_fine_enough(half_machine: Pair) -> None:
    """Flux linked and mean torque of two positions in a period; cogging at a quarter of its own."""
    angles = [math.pi / 3 / 7 * k / 2 for k in range(2)]
    found = []
    for pair in (half_machine, machine(12, 14, 2, fine=0.6)):
        way = sweep(pair, angles, [sine(pair, 14, a) for a in angles])
        none = solve(pair, 2 * math.pi / 84 / 4, start=way[0])
        found.append((float(np.mean([s.torque for s in way])), tooth_flux(none), none.torque))
    (torque, flux, cogging), (better, fine, least) = found
    assert torque == pytest.approx(better, rel=5e-4)
    np.testing.assert_allclose(flux[:2], fine[:2], rtol=5e-4)
    assert cogging == pytest.approx(least, rel=0.2, abs=1e-3 * better)


def test_first_order_is_near(loaded: Solution) -> None:
    rough = solve(machine(12, 14, 2, order=1), 0.03, loaded.currents)
    assert loaded.torque == pytest.approx(rough.torque, rel=0.01)


def test_the_start_does_not_matter(half_machine: Pair, loaded: Solution) -> None:
    way = sweep(half_machine, [0.0, 0.03], [None, loaded.currents])
    assert way[1].torque == pytest.approx(loaded.torque, rel=1e-5)
    np.testing.assert_allclose(tooth_flux(way[1]), tooth_flux(loaded), rtol=1e-5, atol=1e-8)
