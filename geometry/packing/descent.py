"""A batched L-BFGS descent: several arrangements of the same number of points side by side.

One set of arrays for all of them, because for tens of points the cost is in the calls and not in
the arithmetic. Method: J. Nocedal, "Updating quasi-Newton matrices with limited storage",
Mathematics of Computation 35 (1980), with one backtracking step length for each arrangement.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: Remembered steps.
MEMORY = 5
#: No point moves more than this in one step.
LONGEST_STEP = 0.2


class Descent:
    """The present points, energy and gradient of every arrangement.

    Args:
        energy: takes all points, (systems * count, 2), one arrangement after the other; returns
            the energy of each point, (systems * count,), and the gradient of the sum of all.
        points: to start from, (systems, count, 2).
    """

    def __init__(self, energy: Callable[[Floats], tuple[Floats, Floats]], points: Floats) -> None:
        """Look at the start; no step is made yet."""
        self._energy_of, self._shape = energy, points.shape
        systems = len(points)
        self._x: Floats = points.reshape(systems, -1).copy()
        self.each, self.gradient = self._look(self._x)
        self.energy = self.each.sum(axis=1)
        self._length = np.ones(systems)
        # What the last steps taught: moves, changes of the gradient, 1 / (their product).
        self._moves = np.zeros((MEMORY, *self._x.shape))
        self._changes = np.zeros((MEMORY, *self._x.shape))
        self._inverse = np.zeros((MEMORY, systems))
        self._scale = np.full(systems, 0.25)
        self._steps = 0
        self._direction = self._quasi_newton()

    @property
    def points(self) -> Floats:
        """The present points, (systems, count, 2)."""
        return self._x.reshape(self._shape)

    def step(self) -> None:
        """Move every arrangement along its direction, or shorten its step where that fails."""
        p = self._direction
        fall = _dot(self.gradient, p)
        uphill = fall >= 0.0
        if uphill.any():
            p[uphill] = -self._scale[uphill, None] * self.gradient[uphill]
            fall = _dot(self.gradient, p)
        longest = np.sqrt((p.reshape(self._shape) ** 2).sum(axis=2).max(axis=1))
        length = np.minimum(self._length, LONGEST_STEP / np.maximum(longest, 1e-30))
        x = self._x + length[:, None] * p
        each, gradient = self._look(x)
        energy = each.sum(axis=1)
        lower = energy <= self.energy + 1e-4 * length * fall
        here = lower[:, None]
        self._learn(np.where(here, x - self._x, 0.0), np.where(here, gradient - self.gradient, 0.0))
        self._x, self.gradient = np.where(here, x, self._x), np.where(here, gradient, self.gradient)
        self.each = np.where(here, each, self.each)
        self.energy = np.where(lower, energy, self.energy)
        self._direction = np.where(here, self._quasi_newton(), p)
        self._length = np.where(lower, 1.0, 0.4 * length)

    def _look(self, x: Floats) -> tuple[Floats, Floats]:
        each, gradient = self._energy_of(x.reshape(-1, 2))
        return each.reshape(self._shape[:2]), gradient.reshape(x.shape)

    def _learn(self, move: Floats, change: Floats) -> None:
        slot = self._steps % MEMORY
        curve, size = _dot(move, change), _dot(change, change)
        good = (size > 0.0) & (curve > 1e-12 * size)
        self._moves[slot], self._changes[slot] = move, change
        self._inverse[slot] = np.where(good, 1.0 / np.where(good, curve, 1.0), 0.0)
        self._scale = np.where(good, curve / np.where(good, size, 1.0), self._scale)
        self._steps += 1

    def _quasi_newton(self) -> Floats:
        """Return the direction that the gradient and the last steps suggest."""
        q = self.gradient.copy()
        slots = [k % MEMORY for k in range(max(0, self._steps - MEMORY), self._steps)]
        part = {}
        for k in reversed(slots):
            part[k] = self._inverse[k] * _dot(self._moves[k], q)
            q -= part[k][:, None] * self._changes[k]
        q *= self._scale[:, None]
        for k in slots:
            back = self._inverse[k] * _dot(self._changes[k], q)
            q += (part[k] - back)[:, None] * self._moves[k]
        return -q


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = np.einsum("bd,bd->b", a, b)
    return product
