"""Linear programmes, by HiGHS itself: scipy's way to the same solver takes far longer to load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

#: By how much a row may be broken.
TOLERANCE = 1e-10


@dataclass(frozen=True)
class Rows:
    """Rows of `sum of value * variable <= most`, one entry after the other.

    Args:
        row, column, value: of every entry, shape (entries,); none twice.
        most: upper bound of every row, shape (rows,).
    """

    row: Ints
    column: Ints
    value: Floats
    most: Floats


def minimum(cost: Floats, rows: Rows, low: Floats, high: Floats) -> Floats | None:
    """Return the variables of least cost, None if there are none or the solver gives up.

    Args:
        cost: of one of each variable, shape (variables,).
        rows: what they must keep.
        low, high: bounds of each variable, shape (variables,); infinity for none.
    """
    from highspy import Highs, HighsLp, HighsModelStatus, MatrixFormat

    problem = HighsLp()
    problem.num_col_, problem.num_row_ = len(cost), len(rows.most)
    problem.col_cost_, problem.col_lower_, problem.col_upper_ = cost, low, high
    problem.row_lower_, problem.row_upper_ = np.full(len(rows.most), -np.inf), rows.most
    order = np.lexsort((rows.column, rows.row))
    entries = np.bincount(rows.row, minlength=len(rows.most))
    matrix = problem.a_matrix_
    matrix.format_ = MatrixFormat.kRowwise
    matrix.start_ = np.concatenate([[0], np.cumsum(entries)])
    matrix.index_, matrix.value_ = rows.column[order], rows.value[order]

    class Quiet(Highs):
        def __init__(self) -> None:
            super(Highs, self).__init__()  # its own beginning prints a banner, in some versions

    solver = Quiet()
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("primal_feasibility_tolerance", TOLERANCE),
        ("dual_feasibility_tolerance", TOLERANCE),
    ):
        solver.setOptionValue(option, value)
    solver.passModel(problem)
    solver.run()
    if solver.getModelStatus() != HighsModelStatus.kOptimal:
        return None
    return np.array(solver.getSolution().col_value, dtype=np.float64)
