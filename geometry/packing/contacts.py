"""Push overlapping circles apart: the energy of soft contacts, and its relaxation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.packing.descent import Descent
from geometry.packing.region import REACH, Floats, Region

#: Pairs up to this much beyond contact are listed, so that the list serves many steps.
SKIN = 0.6
#: An arrangement with less contact energy than this is free of overlap (1e-10 of a diameter).
FREE = 1e-21
#: The descent ends when ten steps lower no energy by more than this part ...
STALL = 1e-2
#: ... and goes on while an energy below this is halved by ten steps.
NEAR = 1e-3
#: A step costs as much as so many circles, however few there are.
OVERHEAD = 200


@dataclass
class Batch:
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

    def improve(self, other: Batch) -> None:
        """Take over every arrangement that has less energy in `other`."""
        better = other.energy < self.energy
        self.points[better] = other.points[better]
        self.energy[better] = other.energy[better]
        self.each[better] = other.each[better]


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
        """Make the neighbour lists: pairs and walls that may come into contact soon."""
        from scipy.spatial import cKDTree

        region = self.region
        layer = np.repeat(10.0 * np.arange(self.systems), len(points) // self.systems)
        pairs = cKDTree(np.column_stack([points, layer])).query_pairs(
            1.0 + SKIN, output_type="ndarray"
        )
        self._first, self._second = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))].T.copy()
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
        self._corner = region.start[near.corner]
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
        k = np.flatnonzero(distance < REACH)
        i = self._corner_circle[k]
        overlap = REACH - distance[k]
        energy += _sum(i, overlap * overlap, len(x))
        pull = -2.0 * overlap / distance[k]
        gx += _sum(i, pull * dx[k], len(x))
        gy += _sum(i, pull * dy[k], len(x))


def _sum(index: np.ndarray, value: Floats, n: int) -> Floats:
    """Add values up by circle; always floating point, also when there is nothing to add."""
    return np.bincount(index, value, n).astype(float, copy=False)


def relax(region: Region, points: Floats, steps: int) -> Batch:
    """Descend towards a local minimum of the contact energy of each arrangement.

    The descent takes `steps` steps, fewer when one arrangement is free of overlap or no energy
    falls any more, and up to four times as many while one that almost fits still falls fast.

    Args:
        region: where the circles lie.
        points: shape (systems, count, 2), in diameters.
        steps: usual bound on the work, the same on every machine.
    """
    systems, count, _ = points.shape
    descent = Descent(Contacts(region, systems), points)
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
    work = done * (systems * count + OVERHEAD)
    return Batch(descent.points, descent.energy, descent.each, work)
