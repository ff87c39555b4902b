"""One side's energy, gradient and tangent are derivatives of each other; energy counts everything."""

import math

import numpy as np
import pytest

from geometry.field.materials import MU0, Linear, Magnet
from geometry.field.results import energies, flux_density
from geometry.field.side import make_side
from geometry.field.solve import solve
from tests.geometry.field.shapes import (
    INNER,
    OUTER,
    STEEL,
    UNSATURATED,
    inner_mesh,
    machine,
    outer_mesh,
)


@pytest.mark.parametrize("order", [1, 2])
@pytest.mark.parametrize("sign", [1, -1])
def test_gradient_and_tangent_are_derivatives(order: int, sign: int) -> None:
    random = np.random.default_rng(5)
    for mesh, radius in ((inner_mesh(12), INNER), (outer_mesh(14), OUTER)):
        side = make_side(mesh, STEEL, radius, sign=sign, order=order)
        # Smooth, so that steel is saturated here and there; the way to go is rough.
        nodes = mesh.nodes[np.unique(side.element)]
        x = np.zeros(side.size + 1)
        x[side.unknown[np.unique(side.element)]] = (
            0.012 * np.sin(nodes[:, 0]) * np.cos(nodes[:, 1] / 5)
        )
        x, way = x[:-1], 1e-5 * random.standard_normal(side.size)
        here, h = side.state(x), 1e-3
        ahead, behind = side.state(x + h * way), side.state(x - h * way)
        assert (ahead.value - behind.value) / (2 * h) == pytest.approx(
            here.gradient @ way, rel=1e-6
        )
        slope = (ahead.gradient - behind.gradient) / (2 * h)
        product = side.tangent(here) @ way
        assert np.abs(slope - product).max() < 1e-3 * np.abs(product).max()


def test_newton_needs_few_steps() -> None:
    solution = solve(machine(12, 14, 2), 0.02)
    assert solution.steps <= 10
    assert solve(solution.pair, 0.02, start=solution).steps <= 2


def test_energy_is_the_sum_over_sides_and_gap() -> None:
    solution = solve(machine(12, 14, 2, UNSATURATED), 0.02, tolerance=1e-12)
    total = 0.0
    for which, side in (("inner", solution.pair.inner), ("outer", solution.pair.outer)):
        b, _, area = flux_density(solution, which)  # type: ignore[arg-type]
        for k, name in enumerate(side.mesh.names):
            t, material = np.flatnonzero(side.mesh.label == k), UNSATURATED[name]
            assert isinstance(material, Linear | Magnet)
            h = b[t].copy()
            if isinstance(material, Magnet):
                axis = side.mesh.cell[t] * 2 * math.pi / 14
                strength = material.remanence * (-1.0) ** side.mesh.cell[t]
                h -= (strength * np.array([np.cos(axis), np.sin(axis)])).T[:, None, :]
            total += float(((h**2).sum(axis=2) * area[t]).sum()) * 1e-6 / (2 * MU0 * material.mu_r)
    a = solution.pair.annulus
    u1, u2 = a.harmonics(solution.inner, solution.outer, 0.02)
    x = a.orders * math.log(OUTER / INNER)
    both = (np.abs(u1) ** 2 + np.abs(u2) ** 2) / np.tanh(x)
    gap = a.orders * (both - 2 * (np.conj(u1) * u2).real / np.sinh(x))
    total += float(gap.sum()) * a.span / MU0
    assert energies(solution)[0] == pytest.approx(2 * total, rel=1e-9)
