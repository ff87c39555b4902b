"""Push overlapping circles apart: a soft-contact energy and a batched L-BFGS descent.

Several arrangements of the same number of circles are relaxed side by side in one set of
arrays, because for tens of circles the cost is in the calls and not in the arithmetic.
Method: J. Nocedal, "Updating quasi-Newton matrices with limited storage", Mathematics of
Computation 35 (1980), with one backtracking step length for each arrangement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.packing.near import pairs_within
from geometry.packing.region import REACH, Floats, Region

#: Pairs up to this much beyond contact are listed, so that the list serves many steps.
SKIN = 0.6
#: Remembered steps of the quasi-Newton descent.
MEMORY = 5
#: No circle moves more than this in one step (diameters).
LONGEST_STEP = 0.2
#: An arrangement with less contact energy than this is free of overlap (1e-10 of a diameter).
FREE = 1e-21
#: The descent ends when ten steps lower no energy by more than this part ...
STALL = 1e-2
#: ... and goes on while an energy below this is halved by ten steps.
NEAR = 1e-3
#: A step costs as much as so many circles, however few there are.
OVERHEAD = 200


@dataclass
class Herd:
    """Several arrangements of the same number of circles, relaxed side by side.

    Args:
        points: shape (systems, count, 2) in diameters.
        energy: shape (systems,).
        each: energy of each circle, shape (systems, count).
        work: what the descent cost, in steps times circles (`OVERHEAD` for each step).
    """

    points: Floats
    energy: Floats
    each: Floats
    work: int

    @property
    def count(self) -> int:
        """Circles in each arrangement."""
        return int(self.points.shape[1])

    def without_worst(self, drop: int) -> Floats:
        """Return all arrangements without their `drop` most squeezed circles."""
        kept = np.argsort(self.each, axis=1, kind="stable")[:, : self.count - drop]
        kept.sort(axis=1)
        return np.take_along_axis(self.points, kept[..., None], axis=1)

    def improve(self, other: Herd) -> NDArray[np.bool_]:
        """Take over every arrangement that has less energy in `other`; tell which."""
        better = other.energy < self.energy
        self.points[better] = other.points[better]
        self.energy[better] = other.energy[better]
        self.each[better] = other.each[better]
        return better


class Contacts:
    """Soft contacts of `systems` independent arrangements of `count` circles of diameter 1.

    A pair that overlaps by h costs h^2, a wall or corner that is too near by h costs h^2 times
    the weight of the wall.
    """

    def __init__(self, region: Region, systems: int) -> None:
        """Prepare for points of shape (systems * count, 2), one arrangement after the other."""
        self.region = region
        self.systems = systems
        self._listed: Floats | None = None

    def _list(self, points: Floats) -> None:
        """Find the pairs and walls that may come into contact soon."""
        region = self.region
        pairs = pairs_within(points.reshape(self.systems, -1, 2), 1.0 + SKIN)
        self._first, self._second = pairs[:, 0].copy(), pairs[:, 1].copy()
        near = region.contacts(points, SKIN)
        e = near.wall
        self._wall_circle, self._weight = near.circle, region.weight[e]
        self._nx, self._ny = region.inward[e, 0], region.inward[e, 1]
        self._ux, self._uy = region.along[e, 0], region.along[e, 1]
        sx, sy = region.start[e, 0], region.start[e, 1]
        self._height0 = sx * self._nx + sy * self._ny
        self._along0 = sx * self._ux + sy * self._uy
        end_reflex = region.reflex[region.following[e]]
        self._low = np.where(region.reflex[e], 0.0, -np.inf)
        self._high = np.where(end_reflex, region.length[e], np.inf)
        self._corner_circle = near.corner_circle
        c = near.corner
        self._corner = region.start[c]
        self._corner_before, self._corner_after = region.along[region.previous[c]], region.along[c]
        self._listed = points.copy()

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return the energy of each circle (n,) and the gradient (n, 2)."""
        if (
            self._listed is None
            or ((points - self._listed) ** 2).sum(axis=1).max() > (SKIN / 2.0) ** 2
        ):
            self._list(points)
        n = len(points)
        x, y = np.ascontiguousarray(points[:, 0]), np.ascontiguousarray(points[:, 1])
        dx, dy = x[self._first] - x[self._second], y[self._first] - y[self._second]
        square = dx * dx + dy * dy
        k = np.flatnonzero(square < 1.0)
        i, j = self._first[k], self._second[k]
        distance = np.sqrt(square[k]) + 1e-300
        overlap = 1.0 - distance
        pull = -2.0 * overlap / distance
        fx, fy = pull * dx[k], pull * dy[k]
        energy = _sum(i, overlap * overlap, n)
        gx = _sum(i, fx, n) - _sum(j, fx, n)
        gy = _sum(i, fy, n) - _sum(j, fy, n)
        self._add_walls(x, y, energy, gx, gy)
        if len(self._corner_circle):
            self._add_corners(x, y, energy, gx, gy)
        return energy, np.column_stack([gx, gy])

    def _add_walls(self, x: Floats, y: Floats, energy: Floats, gx: Floats, gy: Floats) -> None:
        wx, wy = x[self._wall_circle], y[self._wall_circle]
        height = wx * self._nx + wy * self._ny - self._height0
        t = wx * self._ux + wy * self._uy - self._along0
        k = np.flatnonzero((height < REACH) & (t >= self._low) & (t <= self._high))
        i = self._wall_circle[k]
        overlap = REACH - height[k]
        push = self._weight[k] * overlap
        energy += _sum(i, push * overlap, len(x))
        gx -= _sum(i, 2.0 * push * self._nx[k], len(x))
        gy -= _sum(i, 2.0 * push * self._ny[k], len(x))

    def _add_corners(self, x: Floats, y: Floats, energy: Floats, gx: Floats, gy: Floats) -> None:
        dx = x[self._corner_circle] - self._corner[:, 0]
        dy = y[self._corner_circle] - self._corner[:, 1]
        distance = np.hypot(dx, dy) + 1e-300
        past = dx * self._corner_before[:, 0] + dy * self._corner_before[:, 1] > 0.0
        ahead = dx * self._corner_after[:, 0] + dy * self._corner_after[:, 1] < 0.0
        k = np.flatnonzero((distance < REACH) & past & ahead)
        i = self._corner_circle[k]
        overlap = REACH - distance[k]
        energy += _sum(i, overlap * overlap, len(x))
        pull = -2.0 * overlap / distance[k]
        gx += _sum(i, pull * dx[k], len(x))
        gy += _sum(i, pull * dy[k], len(x))


def _sum(index: np.ndarray, value: Floats, n: int) -> Floats:
    """Add values up by circle; always floating point, also when there is nothing to add."""
    return np.bincount(index, value, n).astype(float, copy=False)


class _History:
    """The last steps of each arrangement and the quasi-Newton direction that follows."""

    def __init__(self, systems: int, size: int) -> None:
        self.step = np.zeros((MEMORY, systems, size))
        self.change = np.zeros((MEMORY, systems, size))
        self.inverse = np.zeros((MEMORY, systems))
        self.scale = np.full(systems, 0.25)
        self.used = 0

    def add(self, step: Floats, change: Floats) -> None:
        slot = self.used % MEMORY
        curve = _dot(step, change)
        size = _dot(change, change)
        good = (size > 0.0) & (curve > 1e-12 * size)
        self.step[slot], self.change[slot] = step, change
        self.inverse[slot] = np.where(good, 1.0 / np.where(good, curve, 1.0), 0.0)
        self.scale = np.where(good, curve / np.where(good, size, 1.0), self.scale)
        self.used += 1

    def direction(self, gradient: Floats) -> Floats:
        q = gradient.copy()
        order = [k % MEMORY for k in range(self.used - 1, max(-1, self.used - 1 - MEMORY), -1)]
        part = {}
        for k in order:
            part[k] = self.inverse[k] * _dot(self.step[k], q)
            q -= part[k][:, None] * self.change[k]
        q *= self.scale[:, None]
        for k in reversed(order):
            back = self.inverse[k] * _dot(self.change[k], q)
            q += (part[k] - back)[:, None] * self.step[k]
        return -q


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = np.einsum("bd,bd->b", a, b)
    return product


class _Descent:
    """The present place, slope and direction of every arrangement."""

    def __init__(self, contacts: Contacts, points: Floats) -> None:
        self.contacts = contacts
        self.shape = points.shape
        self.x: Floats = points.reshape(len(points), -1).copy()
        self.each, self.slope = self._look(self.x)
        self.energy = self.each.sum(axis=1)
        self.history = _History(*self.x.shape)
        self.direction = self.history.direction(self.slope)
        self.scale = np.ones(len(points))

    def _look(self, x: Floats) -> tuple[Floats, Floats]:
        each, slope = self.contacts(x.reshape(-1, 2))
        return each.reshape(self.shape[:2]), slope.reshape(x.shape)

    def step(self) -> None:
        """Move every arrangement along its direction, or halve its step where that fails."""
        p = self.direction
        fall = _dot(self.slope, p)
        uphill = fall >= 0.0
        if uphill.any():
            p[uphill] = -self.history.scale[uphill, None] * self.slope[uphill]
            fall = _dot(self.slope, p)
        longest = np.sqrt((p.reshape(self.shape) ** 2).sum(axis=2).max(axis=1))
        size = np.minimum(self.scale, LONGEST_STEP / np.maximum(longest, 1e-30))
        x = self.x + size[:, None] * p
        each, slope = self._look(x)
        energy = each.sum(axis=1)
        taken = energy <= self.energy + 1e-4 * size * fall
        here = taken[:, None]
        self.history.add(np.where(here, x - self.x, 0.0), np.where(here, slope - self.slope, 0.0))
        self.x, self.slope = np.where(here, x, self.x), np.where(here, slope, self.slope)
        self.each = np.where(here, each, self.each)
        self.energy = np.where(taken, energy, self.energy)
        self.direction = np.where(here, self.history.direction(self.slope), p)
        self.scale = np.where(taken, 1.0, 0.4 * size)


def relax(region: Region, points: Floats, steps: int) -> Herd:
    """Descend towards a local minimum of the contact energy of each arrangement.

    The descent takes `steps` steps, fewer when one arrangement is free of overlap or no energy
    falls any more, and up to four times as many while one that almost fits still falls fast.

    Args:
        region: where the circles lie.
        points: shape (systems, count, 2), in diameters.
        steps: usual bound on the work, the same on every machine.
    """
    systems, count, _ = points.shape
    descent = _Descent(Contacts(region, systems), points)
    earlier = descent.energy
    done = 0
    while done < 4 * steps and descent.energy.min() >= FREE:
        if done % 10 == 9:
            energy = descent.energy
            fast = (energy < 0.5 * earlier) & (energy < NEAR)
            if (earlier - energy < STALL * energy).all() or (done >= steps and not fast.any()):
                break
            earlier = energy
        descent.step()
        done += 1
    x = descent.x.reshape(points.shape)
    return Herd(x, descent.energy, descent.each, done * (systems * count + OVERHEAD))
