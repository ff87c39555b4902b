"""Linear programmes against scipy's own way to a solver, and by hand."""

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import coo_array

from geometry.packing.linear import Rows, minimum
from tests.support.alone import alone


def some(seed: int) -> tuple[np.ndarray, Rows, np.ndarray, np.ndarray]:
    """Five variables, seven rows of which one is empty, in no order."""
    rng = np.random.default_rng(seed)
    full = rng.normal(0.0, 1.0, (7, 5)) * (rng.random((7, 5)) < 0.6)
    full[4] = 0.0
    entry = rng.permutation(int((full != 0.0).sum()))
    row, column = (k[entry] for k in np.nonzero(full))
    rows = Rows(row, column, full[row, column], rng.random(7) + 0.1)
    return rng.normal(0.0, 1.0, 5), rows, -0.3 - rng.random(5), rng.random(5) + 0.7


@pytest.mark.parametrize("seed", range(12))
def test_the_least_cost_is_that_of_scipy(seed: int) -> None:
    cost, rows, low, high = some(seed)
    found = minimum(cost, rows, low, high)
    matrix = coo_array((rows.value, (rows.row, rows.column)), shape=(7, 5)).tocsr()
    expected = linprog(cost, matrix, rows.most, bounds=list(zip(low, high, strict=True)))
    assert found is not None
    assert cost @ found == pytest.approx(expected.fun, abs=1e-9)
    assert (matrix @ found <= rows.most + 1e-9).all()
    assert (found >= low - 1e-9).all()
    assert (found <= high + 1e-9).all()


def test_by_hand() -> None:
    # Least -3x - 2y with x + y <= 4, x + 3y <= 6, 0 <= x <= 3.5: the corner (3.5, 0.5).
    rows = Rows(np.array([0, 1, 0, 1]), np.array([0, 1, 1, 0]), np.array([1.0, 3.0, 1.0, 1.0]), np.array([4.0, 6.0]))  # fmt: skip
    found = minimum(np.array([-3.0, -2.0]), rows, np.zeros(2), np.array([3.5, np.inf]))
    assert found is not None
    assert found.tolist() == pytest.approx([3.5, 0.5])


def test_what_cannot_be_kept_has_no_answer() -> None:
    rows = Rows(np.array([0, 1]), np.array([0, 0]), np.array([1.0, -1.0]), np.array([1.0, -2.0]))
    assert minimum(np.array([1.0]), rows, np.zeros(1), np.full(1, np.inf)) is None


def test_the_solver_says_nothing_on_screen() -> None:
    code = (
        "from geometry.packing.mixed import pack_mixed\npack_mixed((2.9, 3.7, 1.3))\nprint('done')"
    )
    assert alone(code) == "done"
