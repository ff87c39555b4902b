"""How long the field takes, as ratios to one sparse solve: python -m tests.bench.field

Processor seconds of one thread for the standard answer about machines of invented proportions:
eight positions without current over a period of cogging, six with current over a sixth of the
electrical period. The yardstick is one sparse factorisation and solve with as many unknowns as
both sides have, in the same run. Then the starters: waves, torque and cogging, everything, and what
`range` solves first. Nothing here is a test: a slow machine is no fault.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable

import numpy as np

from geometry.field.results import linkage, sweep
from geometry.field.solve import Pair, Solution, one_thread
from recipes.kept_field import field_answer, ranking_figures, solved_field
from recipes.motor import Motor
from tests.geometry.field.shapes import STEEL, machine
from tests.support.design import STARTERS, job
from tests.support.field import machine_of

#: Teeth, poles, sectors that the circle has.
MACHINES = ((12, 14, 2), (36, 42, 6), (9, 12, 3), (9, 8, 1))
AMPERES = 150.0
RUNS = 3


def seconds(work: Callable[[], object]) -> float:
    """Return the processor seconds of one call."""
    start = time.process_time()
    work()
    return time.process_time() - start


def answer(teeth: int, poles: int, sectors: int, order: int) -> tuple[Pair, tuple[Solution, ...]]:
    """Return waves, torque and cogging, from outlines to figures."""
    pair = machine(teeth, poles, sectors, STEEL, order=order)
    period = 2 * math.pi / math.lcm(teeth, poles)
    none = sweep(pair, [period * k / 8 for k in range(8)])
    pitch, angles = 2 * math.pi / teeth, [math.pi / 3 / 6 * k / (poles / 2) for k in range(6)]
    cells = np.arange(pair.inner.mesh.cells)
    waves = [AMPERES * np.cos(poles / 2 * (cells * pitch - a)) for a in angles]
    driven = sweep(pair, angles, [{"left": w, "right": -w} for w in waves], none[0])
    for solution in (*none, *driven):
        linkage(solution, "left")
    return pair, (*none, *driven)


def yardstick(unknowns: int) -> Callable[[], object]:
    """Return a sparse solve with so many unknowns: Laplace's equation on a square, five points."""
    from scipy.sparse import diags_array, eye_array, kron
    from scipy.sparse.linalg import splu

    n = math.isqrt(unknowns)
    line = diags_array([-np.ones(n - 1), 2 * np.ones(n), -np.ones(n - 1)], offsets=[-1, 0, 1])
    matrix = (kron(line, eye_array(n)) + kron(eye_array(n), line)).tocsc()
    return lambda: splu(matrix, permc_spec="MMD_AT_PLUS_A").solve(np.ones(n * n))


def main() -> int:
    """Print a line for each machine and order."""
    print("teeth poles order unknowns  seconds  sparse solve  ratio  steps")
    answer(12, 14, 2, 1)  # loads the libraries
    with one_thread():
        for teeth, poles, sectors in MACHINES:
            for order in (1, 2):
                took, floor = [], []
                for _ in range(RUNS):
                    begin = time.process_time()
                    pair, found = answer(teeth, poles, sectors, order)
                    took.append(time.process_time() - begin)
                    floor.append(seconds(yardstick(pair.inner.size + pair.outer.size)))
                mine, one = statistics.median(took), statistics.median(floor)
                print(
                    f"{teeth:5d} {poles:5d} {order:5d} {pair.inner.size + pair.outer.size:8d}"
                    f" {mine:8.2f} {one:13.3f} {mine / one:6.0f}  {sum(s.steps for s in found)}",
                    flush=True,
                )
        starters()
    return 0


def starters() -> None:
    """Print a line for each starter: seconds and, in brackets, the ratio to one sparse solve."""
    print("starter            unknowns  sparse solve  first order  standard  everything")
    for name in STARTERS:
        made = job(name)
        built = machine_of(made)
        size = built.pair.inner.size + built.pair.outer.size
        one = statistics.median(seconds(yardstick(size)) for _ in range(RUNS))

        def standard(made: Motor = made) -> None:
            solved_field(made, fine=False, tell=lambda _: None)

        def everything(made: Motor = made) -> None:
            solved = solved_field(made, fine=False, tell=lambda _: None)
            field_answer(made, solved, fine=False, tell=lambda _: None)

        def first(made: Motor = made) -> None:
            ranking_figures(made, 1)

        took = [seconds(work) for work in (first, standard, everything)]
        told = "  ".join(f"{t:5.2f} ({t / one:3.0f})" for t in took)
        print(f"{name:18} {size:8d} {one:13.3f}  {told}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
