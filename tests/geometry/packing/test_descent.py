"""The batched descent, against scipy's L-BFGS-B and by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize, rosen, rosen_der

from geometry.packing.descent import LONGEST_STEP, Descent, Floats

STARTS = np.array([[[-1.2, 1.0]], [[0.3, -0.7]], [[1.9, 2.4]]])


def valley(points: Floats) -> tuple[Floats, Floats]:
    """Rosenbrock's valley (Computer Journal 3, 1960) for every point on its own, by scipy."""
    return np.array([rosen(p) for p in points]), np.array([rosen_der(p) for p in points])


def test_every_arrangement_reaches_the_bottom_of_the_valley() -> None:
    descent = Descent(valley, STARTS)
    for _ in range(150):
        before = descent.energy
        descent.step()
        assert (descent.energy <= before).all()
    for start, found in zip(STARTS, descent.points, strict=True):
        known = minimize(rosen, start[0], jac=rosen_der, method="L-BFGS-B", tol=1e-12).x
        assert found[0] == pytest.approx(known, abs=1e-5)
    assert descent.energy == pytest.approx([0, 0, 0], abs=1e-12)
    assert np.abs(descent.gradient).max() < 1e-4


def test_arrangements_know_nothing_of_each_other() -> None:
    together, alone = Descent(valley, STARTS), Descent(valley, STARTS[1:2])
    for _ in range(30):
        together.step()
        alone.step()
    assert together.points[1] == pytest.approx(alone.points[0], abs=1e-12)


def test_no_point_makes_a_long_step() -> None:
    descent = Descent(valley, STARTS)
    for _ in range(60):
        before = descent.points.copy()
        descent.step()
        moved = np.hypot(*(descent.points - before).reshape(-1, 2).T)
        assert moved.max() <= LONGEST_STEP * (1 + 1e-12)
