"""A ring of current between saturating rings: exact, for H r is constant wherever none flows.

Ampere's law gives 2 pi r H = C + current inside r; the constant C follows from A = 0 at both
edges, between which no flux may pass. Nothing but this and the magnetising curve is needed.
"""

import itertools
import math

import numpy as np
import pytest

from geometry.field.materials import Linear
from geometry.field.mesh import mesh_cell
from geometry.field.side import make_side
from geometry.field.solve import Solution, couple, solve
from geometry.field.triangulate import Size
from tests.geometry.field.shapes import RING, SHEET, ring_piece

#: Radii in mm: inner ring, current, gap's circles, outer ring.
BORE, FIRST, SECOND, INNER, OUTER, THIRD, EDGE = 10.0, 20.0, 24.0, 25.0, 26.0, 27.0, 33.0


def inside(r: np.ndarray, current: float) -> np.ndarray:
    share = np.clip((r**2 - FIRST**2) / (SECOND**2 - FIRST**2), 0, 1)
    return current * share


def flux_density(r: np.ndarray, constant: float, current: float) -> np.ndarray:
    """B_theta at radii in mm."""
    h = (constant + inside(r, current)) / (2 * math.pi * r * 1e-3)
    b = 4e-7 * math.pi * h
    for curve, steel in ((SHEET, r < FIRST), (RING, r > THIRD)):
        fine = np.linspace(0, 4, 40001)
        b = np.where(steel, np.sign(h) * np.interp(np.abs(h), curve.evaluate(fine)[0], fine), b)
    return b


def exact(current: float) -> tuple[np.ndarray, np.ndarray]:
    """Radii (mm) and A (Wb/m), by integrating outwards over pieces with Gauss' points."""
    from scipy.optimize import brentq

    edges = [BORE, FIRST, SECOND, THIRD, EDGE]
    r = np.unique(np.concatenate([np.linspace(a, b, 1501) for a, b in itertools.pairwise(edges)]))
    x, w = np.polynomial.legendre.leggauss(6)
    low, half = r[:-1, None], np.diff(r)[:, None] / 2

    def a(constant: float) -> np.ndarray:
        b = flux_density(low + half * (1 + x), constant, current)
        return np.concatenate([[0.0], -np.cumsum((b * w * half).sum(axis=1)) * 1e-3])

    found = brentq(lambda c: a(c)[-1], -current, 0.0, xtol=1e-13 * current, rtol=1e-15)
    return r, a(found)


def solved(current: float, copies: int, cells: int, length: float) -> Solution:
    """The field with `cells` cells of `copies` in the circle."""
    end = math.pi / copies
    one = [
        ("sheet", ring_piece(BORE, FIRST, 0, end)),
        ("turns", ring_piece(FIRST, SECOND, 0, end)),
        ("air", ring_piece(SECOND, INNER, 0, end)),
    ]
    two = [("air", ring_piece(OUTER, THIRD, 0, end)), ("ring", ring_piece(THIRD, EDGE, 0, end))]
    materials = {"sheet": SHEET, "ring": RING, "turns": Linear(), "air": Linear()}
    sides = []
    for regions, radius in ((one, INNER), (two, OUTER)):
        mesh = mesh_cell(regions, Size(length).at, end, half=True).mirrored().repeated(cells)
        sides.append(make_side(mesh, materials, radius))
    amperes = {"turns": np.full(cells, current / copies)}
    return solve(couple(sides[0], sides[1]), 0.1, amperes, tolerance=1e-12)


@pytest.mark.parametrize("current", [2000.0, 60000.0])
@pytest.mark.parametrize(
    ("copies", "cells", "length", "limit"), [(36, 1, 0.3, 1e-6), (6, 6, 1.6, 1e-4)]
)
def test_potential_everywhere(
    current: float, copies: int, cells: int, length: float, limit: float
) -> None:
    solution = solved(current, copies, cells, length)
    r, want = exact(current)
    for side, x in (
        (solution.pair.inner, solution.inner), (solution.pair.outer, solution.outer)
    ):  # fmt: skip
        expected = np.interp(np.hypot(*side.mesh.nodes.T), r, want)
        assert np.abs(side.at_nodes(x) - expected).max() < limit * np.abs(want).max()
    assert abs(solution.torque) < 1e-9 * current
