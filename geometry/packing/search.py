"""Search for one circle more: overfill, push apart, move the most squeezed circle to a hole.

All work is bounded by counts that depend on the number of circles alone, and all random
numbers come from one fixed seed, so the answer is the same in every process. Elastic contacts,
neighbour lists and moves to vacant places are surveyed in K. He, H. Ye, Z. Wang and J. Liu, "An
efficient quasi-physical quasi-human algorithm for packing equal circles in a circular
container", arXiv:1611.02323 (2017).
"""

from __future__ import annotations

import math

import numpy as np

from geometry.packing.lattice import lattice_fillings
from geometry.packing.near import nearest
from geometry.packing.polish import is_allowed, tighten
from geometry.packing.region import Floats, Region
from geometry.packing.relax import FREE, Herd, relax
from geometry.packing.rows import rows

SEED = 271828
#: Below this energy a linear programme may still find the room that is lacking.
PROMISING = 3e-5
#: Steps of the first descent, and of one after a circle was moved or taken away.
FIRST_STEPS, MOVED_STEPS, FEWER_STEPS = 150, 120, 60
#: Rounds of moves for one more circle, and the least energy that still deserves the next round:
#: the first number, falling to the second. Searches that succeeded (8 to 61 circles in circles
#: and squares) had less than a third of it; three of four that failed had more.
ROUNDS = 16
#: Herds that may fail one after the other before the search ends.
HERDS = 3
HOPELESS = (1e-2, 1e-4)
#: Work of the whole search, in steps times circles: for each of few circles, up to a plateau,
#: and for each of many.
WORK_FEW, WORK_PLATEAU, WORK_MANY = 60_000, 1_200_000, 3_500
#: A small arrangement that did not improve for so many rounds starts again at random.
PATIENCE = 6
#: From this many circles on every start is a regular one; random ones no longer compete.
LARGE = 100
#: From this many circles on only regular fillings with filled holes are used.
HUGE = 2500


def holes(region: Region, points: Floats, most: int, apart: float) -> tuple[Floats, Floats]:
    """Return the middles of the largest holes, (k, 2), and the diameters that fit there, (k,).

    Args:
        region, points: where circles may lie, and the centres that are taken, (n, 2), in mm.
        most: how many holes at most.
        apart: least distance of two holes, mm.
    """
    places, clear = region.grid
    room = 2.0 * clear
    if len(points):
        room = np.minimum(2.0 * nearest(points, places) - 1.0, room)
    taken: list[int] = []
    for k in np.argsort(-room, kind="stable")[: 12 * most]:
        if not taken or np.hypot(*(places[taken] - places[k]).T).min() > apart:
            taken.append(int(k))
        if len(taken) == most:
            break
    return places[taken], room[taken]


def with_holes_filled(region: Region, points: Floats) -> Floats:
    """Add circles wherever one fits without moving any other."""
    while True:
        places, room = holes(region, points, 40, 0.15)
        before = len(points)
        for place in places[room >= 1.0]:
            if not len(points) or np.hypot(*(points - place).T).min() >= 1.0:
                points = np.vstack([points, place])
        if len(points) == before:
            return points


def quick_fillings(region: Region) -> list[Floats]:
    """Return regular fillings with their holes filled, the fullest first; at least one."""
    fillings = [with_holes_filled(region, points) for points in lattice_fillings(region, 6)]
    # Rows know no parts of a region: those in other parts are left out.
    in_rows = rows(region)
    fillings.append(with_holes_filled(region, in_rows[region.rough_clearance(in_rows) > 0.0]))
    fillings.sort(key=lambda points: -len(points))
    return fillings


class Search:
    """The search for the largest number of circles in one region.

    Args:
        region: where the circles lie; it must have at least one place in its grid.
        limit: more circles than this are impossible.
    """

    def __init__(self, region: Region, limit: int) -> None:
        """Start from the regular fillings."""
        self.region = region
        self.limit = limit
        self.random = np.random.default_rng(SEED)
        self.fillings = quick_fillings(region)
        self.best = self.fillings[0]
        n = len(self.best)
        self.work_left = max(min(WORK_FEW * (n + 3), WORK_PLATEAU), WORK_MANY * n)

    def run(self) -> Floats:
        """Return the fullest allowed arrangement that was found, (n, 2) in diameters."""
        if len(self.best) >= HUGE:
            return self.best
        above = self._thinned_out()
        failed = 0
        while len(self.best) < self.limit and self.work_left > 0 and failed < HERDS:
            target = len(self.best) + 1
            if above is not None and above.count == target:
                herd = above
            elif failed < 2:
                herd = self._inserted(target)
            else:
                herd = self._relaxed(self._mixed(target), FIRST_STEPS)
            above = None
            failed = 0 if self._climb(herd) else failed + 1
        return self.best

    def _systems(self, count: int) -> int:
        return int(np.clip(640 // max(count, 1), 2 if count < 1000 else 1, 8))

    def _relaxed(self, starts: Floats, steps: int) -> Herd:
        herd = relax(self.region, starts, steps)
        self.work_left -= herd.work
        return herd

    def _scattered(self, count: int) -> Floats:
        """Return random places, each nearly allowed on its own."""
        places, _ = self.region.grid
        pick = self.random.choice(len(places), count, replace=len(places) < count)
        jitter: Floats = places[pick] + self.random.normal(0.0, 0.05, (count, 2))
        return jitter

    def _brought_to(self, points: Floats, count: int) -> Floats:
        """Take circles away at random, or put more into the largest holes, until `count`."""
        while len(points) > count:
            points = np.delete(points, self.random.integers(len(points)), axis=0)
        while len(points) < count:
            lacking = count - len(points)
            places, _ = holes(self.region, points, max(6, 2 * lacking), 0.4)
            pick = self.random.permutation(len(places))[: (lacking + 1) // 2]
            points = np.vstack([points, places[pick]])
        return points

    def _mixed(self, count: int) -> Floats:
        """Return starts: regular fillings brought to `count`, the other half scattered."""
        systems = self._systems(count)
        regular = systems // 2 if count < LARGE else systems
        n = len(self.fillings)
        starts = [self._brought_to(self.fillings[k % n], count) for k in range(regular)]
        starts += [self._scattered(count) for _ in range(systems - regular)]
        return np.stack(starts)

    def _inserted(self, count: int) -> Herd:
        """Return starts made of the best arrangement and more circles in its holes."""
        starts = self._mixed(count)
        for k in range(max(1, 3 * len(starts) // 4)):
            starts[k] = self._brought_to(self.best, count)
        return self._relaxed(starts, MOVED_STEPS)

    def _thinned_out(self) -> Herd | None:
        """Begin with too many circles and take the most squeezed away until they fit.

        Returns the last herd that did not fit, or None. The first number is a fit through the
        best known packings in circles and squares, with one circle to spare.
        """
        area, length = self.region.centre_area()
        guess = math.ceil(2.0 + 1.1547 * area + 0.36 * length)
        count = min(max(guess, len(self.best) + 1), self.limit)
        if count <= len(self.best):
            return None
        herd = self._relaxed(self._mixed(count), FIRST_STEPS)
        above: Herd | None = None
        while not self._keeps(herd):
            spare = herd.count - len(self.best) - 1
            if spare <= 0:
                return herd
            above = herd
            drop = max(1, herd.count // 50) if spare >= 10 else 1
            herd = self._relaxed(herd.without_worst(drop), FEWER_STEPS)
        return above

    def _climb(self, herd: Herd) -> bool:
        """Move squeezed circles to holes until one arrangement fits; tell whether one did."""
        stale = np.zeros(len(herd.energy), dtype=int)
        for done in range(int(np.clip(1200 // herd.count, 2, ROUNDS))):
            if self._keeps(herd):
                return True
            least = float(herd.energy.min())
            if self.work_left <= 0 or least > max(HOPELESS[0] * 0.4**done, HOPELESS[1]):
                break
            trial = np.empty_like(herd.points)
            for s in range(len(trial)):
                if stale[s] >= PATIENCE and herd.count < LARGE:
                    trial[s], herd.energy[s], stale[s] = self._scattered(herd.count), np.inf, 0
                else:
                    trial[s] = self._moved(herd.points[s], herd.each[s])
            better = herd.improve(self._relaxed(trial, MOVED_STEPS))
            stale = np.where(better, 0, stale + 1)
        return self._keeps(herd) or self._polished(herd)

    def _moved(self, points: Floats, each: Floats) -> Floats:
        """Move one of the most squeezed circles to one of the largest holes elsewhere."""
        worst = np.argsort(-each, kind="stable")
        one = worst[min(int(self.random.exponential(1.5)), len(worst) - 1)]
        places, _ = holes(self.region, np.delete(points, one, axis=0), 4, 0.5)
        far = np.hypot(*(places - points[one]).T) > 0.5
        places = places[far] if far.any() else places
        moved = points.copy()
        moved[one] = places[min(int(self.random.exponential(0.8)), len(places) - 1)]
        return moved

    def _keeps(self, herd: Herd) -> bool:
        """Keep an arrangement without overlap, if the exact check allows it; tell whether."""
        for k in np.flatnonzero(herd.energy < FREE):
            if is_allowed(self.region, herd.points[k]):
                self.best = herd.points[k].copy()
                return True
            herd.energy[k] = np.inf  # a circle slipped out of the polygon
        return False

    def _polished(self, herd: Herd) -> bool:
        """Try linear programmes on the least squeezed arrangements; tell whether one fits."""
        few = 2 if herd.count < 2 * LARGE else 1 if herd.count < 6 * LARGE else 0
        for k in np.argsort(herd.energy, kind="stable")[:few]:
            if herd.energy[k] < PROMISING:
                points, _ = tighten(self.region, herd.points[k])
                if is_allowed(self.region, points):
                    self.best = points
                    return True
        return False
