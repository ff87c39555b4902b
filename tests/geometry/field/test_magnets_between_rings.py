"""Magnets between smooth rings of iron against the closed solution of their layers."""

import math
from typing import Literal

import numpy as np
import pytest

from geometry.field.materials import Linear, Magnet
from geometry.field.mesh import mesh_cell
from geometry.field.results import potential
from geometry.field.side import make_side
from geometry.field.solve import Solution, couple, solve
from geometry.field.triangulate import Size
from geometry.point import Point
from tests.geometry.field import closed
from tests.geometry.field.shapes import ring_piece

PAIRS, COVER, BR = 4, 0.8, 1.2
RADII = [20.0, 30.0, 31.0, 32.0, 33.0, 36.0, 42.0]
MU_R = [500.0, 1.0, 1.0, 1.0, 1.05, 800.0]

Pattern = Literal["parallel", "radial"]


def solved(pattern: Pattern, length: float, order: int = 2) -> Solution:
    end = math.pi / (2 * PAIRS)
    edge = COVER * end
    inside = [("iron", ring_piece(20, 30, 0, end)), ("air", ring_piece(30, 31, 0, end))]
    outside = [
        ("air", ring_piece(32, 33, 0, end)),
        ("magnet", ring_piece(33, 36, 0, edge)),
        ("between", ring_piece(33, 36, edge, end)),
        ("ring", ring_piece(36, 42, 0, end)),
    ]
    materials = {
        "iron": Linear(500), "air": Linear(), "between": Linear(1.05), "ring": Linear(800),
        "magnet": Magnet(BR, 1.05, pattern),
    }  # fmt: skip
    sides = []
    for regions, radius in ((inside, 31.0), (outside, 32.0)):
        size = Size(length)
        mesh = mesh_cell(regions, size.at, end, half=True).mirrored()
        sides.append(make_side(mesh, materials, radius, sign=-1, order=order))
    return solve(couple(sides[0], sides[1]), 0.0)


def exact(n: int, pattern: Pattern, where: list[float]) -> np.ndarray:
    source = closed.remanence(n, PAIRS, COVER, BR, pattern)
    metres = [[r * 1e-3 for r in radii] for radii in (RADII, where)]
    return closed.potential(n, metres[0], MU_R, 4, source, metres[1])


def errors(pattern: Pattern, length: float, order: int = 2) -> tuple[float, float, float]:
    """Relative errors in the gap: of the fundamental, of eight harmonics, and of all."""
    solution = solved(pattern, length, order)
    orders = [round(n) for n in solution.pair.annulus.orders]
    found = np.stack(solution.pair.annulus.harmonics(solution.inner, solution.outer, 0.0))
    want = np.stack([exact(n, pattern, [31.0, 32.0]) for n in orders], axis=1)

    def off(count: int) -> float:
        off = np.linalg.norm((found - want)[:, :count])
        return float(off / np.linalg.norm(want[:, :count]))

    return off(1), off(8), off(len(orders))


@pytest.mark.parametrize("pattern", ["radial", "parallel"])
def test_fundamental_in_the_gap(pattern: Pattern) -> None:
    assert errors(pattern, 1.2)[0] < 1e-5


@pytest.mark.parametrize("pattern", ["radial", "parallel"])
def test_potential_in_iron_magnet_and_ring(pattern: Pattern) -> None:
    where = [25.0, 34.5, 39.0]
    solution = solved(pattern, 0.6)
    theta = np.linspace(-0.99, 0.99, 41) * math.pi / (2 * PAIRS)
    every = [(n, exact(n, pattern, where)) for n in range(PAIRS, 1000 * PAIRS, 2 * PAIRS)]
    for k, radius in enumerate(where):
        found = potential(solution, [Point.polar(radius, t) for t in theta])
        want = sum(2 * (u[k] * np.exp(1j * n * theta)).real for n, u in every)
        assert np.abs(found - want).max() < 1e-4 * np.abs(want).max()


def test_observed_orders() -> None:
    """Of all harmonics the magnets' corners limit the order, where the field is singular."""
    coarse, fine = errors("parallel", 1.2), errors("parallel", 0.6)
    assert math.log2(coarse[1] / fine[1]) > 3.5
    assert math.log2(coarse[2] / fine[2]) > 2
    rough, better = errors("parallel", 1.2, order=1), errors("parallel", 0.6, order=1)
    assert math.log2(rough[1] / better[1]) > 1.7
