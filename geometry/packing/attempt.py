"""One attempt at fuller arrangements: overfill, push apart, move squeezed circles to holes.

All work is bounded by counts that depend on the number of circles alone, and all random numbers
come from one fixed seed and the number of the attempt, so the answer is the same in every
process. Elastic contacts, neighbour lists and moves to vacant places are surveyed in K. He,
H. Ye, Z. Wang and J. Liu, "An efficient quasi-physical quasi-human algorithm for packing equal
circles in a circular container", arXiv:1611.02323 (2017).
"""

from __future__ import annotations

import math

import numpy as np

from geometry.packing.exact import is_allowed
from geometry.packing.fillings import holes
from geometry.packing.region import Floats, Region
from geometry.packing.relax import FREE, Herd, relax

SEED = 271828
#: Below this energy a longer descent may still find the room that is lacking.
PROMISING = 3e-5
#: Steps of the first descent, of one after a circle was moved or taken away, and of the last.
FIRST_STEPS, MOVED_STEPS, FEWER_STEPS, LAST_STEPS = 150, 120, 60, 500
#: Rounds of moves for one more circle, and the least energy that still deserves the next round:
#: the first number, falling to the second. Searches that succeeded (8 to 61 circles in circles
#: and squares) had less than a third of it; three of four that failed had more.
ROUNDS = 16
HOPELESS = (1e-2, 1e-4)
#: A small arrangement that did not improve for so many rounds starts again at random.
PATIENCE = 6
#: From this many circles on every start is a regular one; random ones no longer compete.
LARGE = 100


class Attempt:
    """A way to look for more circles than an arrangement has.

    Args:
        region: where the circles lie; it must have at least one place in its grid.
        fillings: regular ones to start from, each (n, 2) in diameters.
        best: the fullest allowed arrangement so far, (n, 2); replaced by a fuller one if found.
        way: number of the attempt; each draws its own random numbers.
        budget: work, in steps times circles, after which it gives up.
    """

    def __init__(
        self, region: Region, fillings: list[Floats], best: Floats, way: int, budget: float
    ) -> None:
        """Prepare; nothing is searched yet."""
        self.region, self.fillings, self.best = region, fillings, best
        self.random = np.random.default_rng((SEED, len(best), way))
        self.budget = budget
        self.spent = 0

    def thin_out(self, limit: int) -> Herd | None:
        """Begin with too many circles, at most `limit`, and take the most squeezed away.

        Returns the last herd that did not fit, or None. The first number is a fit through the
        best known packings in circles and squares, with one circle to spare.
        """
        area, length = self.region.centre_area()
        guess = math.ceil(2.0 + 1.1547 * area + 0.36 * length)
        count = min(max(guess, len(self.best) + 1), limit)
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

    def insert(self) -> bool:
        """Try one circle more in the holes of the best arrangement; tell whether it fits."""
        starts = self._mixed(len(self.best) + 1)
        for k in range(max(1, 3 * len(starts) // 4)):
            starts[k] = self._brought_to(self.best, len(self.best) + 1)
        return self.climb(self._relaxed(starts, MOVED_STEPS))

    def start_afresh(self) -> bool:
        """Try one circle more from regular and scattered starts; tell whether it fits."""
        return self.climb(self._relaxed(self._mixed(len(self.best) + 1), FIRST_STEPS))

    def climb(self, herd: Herd) -> bool:
        """Move squeezed circles to holes until one arrangement fits; tell whether one did."""
        stale = np.zeros(len(herd.energy), dtype=int)
        for done in range(int(np.clip(1200 // herd.count, 2, ROUNDS))):
            if self._keeps(herd):
                return True
            least = float(herd.energy.min())
            hopeless = least > max(HOPELESS[0] * 0.4**done, HOPELESS[1])
            if self.spent >= self.budget or hopeless:
                break
            trial = np.empty_like(herd.points)
            for s in range(len(trial)):
                if stale[s] >= PATIENCE and herd.count < LARGE:
                    trial[s], herd.energy[s], stale[s] = self._scattered(herd.count), np.inf, 0
                else:
                    trial[s] = self._moved(herd.points[s], herd.each[s])
            better = herd.improve(self._relaxed(trial, MOVED_STEPS))
            stale = np.where(better, 0, stale + 1)
        return self._keeps(herd) or self._settles(herd)

    def _relaxed(self, starts: Floats, steps: int) -> Herd:
        herd = relax(self.region, starts, steps)
        self.spent += herd.work
        return herd

    def _systems(self, count: int) -> int:
        return int(np.clip(640 // max(count, 1), 2 if count < 1000 else 1, 8))

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

    def _settles(self, herd: Herd) -> bool:
        """Let the least squeezed arrangements go down to the end; tell whether one then fits."""
        few = 2 if herd.count < 2 * LARGE else 1 if herd.count < 6 * LARGE else 0
        least = np.argsort(herd.energy, kind="stable")[:few]
        least = least[herd.energy[least] < PROMISING]
        return len(least) > 0 and self._keeps(self._relaxed(herd.points[least], LAST_STEPS))
