"""The search for the largest number of circles: one circle more, again and again.

    rows with filled holes -> thin out too many -> one circle more: up to three attempts
                                                      ^                      |
                                                      +--- one that fits ----+---> none: the end

All work is bounded by counts that depend on the number of circles alone, and all random numbers
come from one fixed seed, so the answer is the same in every process.

Elastic contacts, neighbour lists and moves to vacant places are surveyed in K. He, H. Ye, Z. Wang
and J. Liu, "An efficient quasi-physical quasi-human algorithm for packing equal circles in a
circular container", arXiv:1611.02323 (2017).
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from geometry.packing.contacts import FREE, Batch, relax
from geometry.packing.region import REACH, Floats, Region
from geometry.packing.rows import many_rows

#: Attempts that may fail at one number of circles before the search ends.
ATTEMPTS = 3
#: Work of the whole search, in steps times circles: for each of few circles, up to a plateau,
#: and for each of many.
WORK_FEW, WORK_PLATEAU, WORK_MANY = 90_000, 1_800_000, 5_000
#: Each attempt at one number may take this part of what was left before them.
SHARE = 0.5
#: From this many circles on only regular fillings with filled holes are used.
HUGE = 2500
#: Of all random numbers.
SEED = 7
#: Below this energy a longer descent may still find the room that is lacking.
PROMISING = 3e-5
#: Steps of the first descent, of one after a circle was moved or taken away, and of the last.
FIRST_STEPS, MOVED_STEPS, FEWER_STEPS, LAST_STEPS = 150, 120, 60, 500
#: Rounds of moves for one more circle, and the least energy that still deserves the next round:
#: the first number, falling to the second. Searches that succeeded (8 to 61 circles in circles
#: and squares) had less than a third of it; three of four that failed had more.
ROUNDS = 16
HOPELESS = (1e-2, 1e-4)
#: From this many circles on every start is a regular one; random ones no longer compete.
LARGE = 100


def regular_fillings(region: Region) -> list[Floats]:
    """Return rows of circles with their holes filled, the fullest first; at least one filling."""
    fillings = [_with_holes_filled(region, points) for points in many_rows(region)]
    return sorted(fillings, key=lambda points: -len(points))


def _with_holes_filled(region: Region, points: Floats) -> Floats:
    """Add circles wherever one fits without moving any other."""
    while True:
        places, size = region.holes(points, 40, 0.15)
        before = len(points)
        for place in places[size >= 1.0]:
            if not len(points) or np.hypot(*(points - place).T).min() >= 1.0:
                points = np.vstack([points, place])
        if len(points) == before:
            return points


class Search:
    """The search for the largest number of circles in one region.

    Args:
        region: where the circles lie.
        limit: more circles than this are impossible.
    """

    def __init__(self, region: Region, limit: int) -> None:
        """Start from the regular fillings."""
        self.region, self.limit = region, limit
        self.fillings = regular_fillings(region)
        #: The fullest allowed arrangement so far, (n, 2) in diameters.
        self.best = self.fillings[0]
        n = len(self.best)
        #: What is left of the work, in steps times circles.
        self.work_left = max(min(WORK_FEW * (n + 3), WORK_PLATEAU), WORK_MANY * n)
        self.random = np.random.default_rng(SEED)

    def run(self) -> Floats:
        """Return the fullest allowed arrangement that was found, (n, 2) in diameters."""
        if len(self.best) < HUGE and len(self.region.grid[0]):
            above = self.thin_out()
            while len(self.best) < self.limit and self.one_more(above):
                above = None
        return self.best

    def thin_out(self) -> Batch | None:
        """Begin with too many circles and take the most squeezed away until they fit.

        Returns the last batch that did not fit, or None. The first number is a fit through the
        best known packings in circles and squares, with one circle to spare.
        """
        centres = shapely.buffer(self.region.polygon, -REACH)
        guess = math.ceil(2.0 + 1.1547 * centres.area + 0.36 * centres.length)
        count = min(max(guess, len(self.best) + 1), self.limit)
        if count <= len(self.best):
            return None
        batch = self._relaxed(self._mixed(count), FIRST_STEPS)
        above: Batch | None = None
        while not self._keeps(batch):
            spare = batch.count - len(self.best) - 1
            if spare <= 0:
                return batch
            above = batch
            drop = max(1, batch.count // 50) if spare >= 10 else 1
            batch = self._relaxed(batch.without_worst(drop), FEWER_STEPS)
        return above

    def one_more(self, above: Batch | None) -> bool:
        """Look for one circle more than the best has; tell whether it was found.

        Args:
            above: a batch that did not fit; the first attempt goes on with it if it has one more.
        """
        share = SHARE * self.work_left
        for attempt in range(ATTEMPTS):
            if self.work_left <= 0:
                break
            reserve = self.work_left - share
            if attempt or above is None or above.count != len(self.best) + 1:
                above = self._relaxed(self._inserted(), MOVED_STEPS)
            if self.climb(above, reserve):
                return True
        return False

    def climb(self, batch: Batch, reserve: float = 0.0) -> bool:
        """Move squeezed circles to holes until one arrangement fits; tell whether one did.

        Args:
            batch: arrangements, improved in place.
            reserve: of the work; no round is begun once no more than this is left.
        """
        for done in range(int(np.clip(1200 // batch.count, 2, ROUNDS))):
            if self._keeps(batch):
                return True
            least = float(batch.energy.min())
            hopeless = least > max(HOPELESS[0] * 0.4**done, HOPELESS[1])
            if self.work_left <= reserve or hopeless:
                break
            moved = np.stack(
                [self._moved(*one) for one in zip(batch.points, batch.each, strict=True)]
            )
            batch.improve(self._relaxed(moved, MOVED_STEPS))
        return self._keeps(batch) or self._settles(batch)

    def _relaxed(self, starts: Floats, steps: int) -> Batch:
        batch = relax(self.region, starts, steps)
        self.work_left -= batch.work
        return batch

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
            places, _ = self.region.holes(points, max(6, 2 * lacking), 0.4)
            pick = self.random.permutation(len(places))[: (lacking + 1) // 2]
            points = np.vstack([points, places[pick]])
        return points

    def _mixed(self, count: int) -> Floats:
        """Return starts: regular fillings brought to `count`, the other half scattered."""
        systems = int(np.clip(640 // max(count, 1), 2 if count < 1000 else 1, 8))
        regular = systems // 2 if count < LARGE else systems
        n = len(self.fillings)
        starts = [self._brought_to(self.fillings[k % n], count) for k in range(regular)]
        starts += [self._scattered(count) for _ in range(systems - regular)]
        return np.stack(starts)

    def _inserted(self) -> Floats:
        """Return starts with one circle more, in three of four put into a hole of the best."""
        starts = self._mixed(len(self.best) + 1)
        for k in range(max(1, 3 * len(starts) // 4)):
            starts[k] = self._brought_to(self.best, len(self.best) + 1)
        return starts

    def _moved(self, points: Floats, each: Floats) -> Floats:
        """Move one of the most squeezed circles to one of the largest holes elsewhere."""
        worst = np.argsort(-each, kind="stable")
        one = worst[min(int(self.random.exponential(1.5)), len(worst) - 1)]
        places, _ = self.region.holes(np.delete(points, one, axis=0), 4, 0.5)
        far = np.hypot(*(places - points[one]).T) > 0.5
        places = places[far] if far.any() else places
        moved = points.copy()
        moved[one] = places[min(int(self.random.exponential(0.8)), len(places) - 1)]
        return moved

    def _keeps(self, batch: Batch) -> bool:
        """Keep an arrangement without overlap, if the exact check allows it; tell whether."""
        for k in np.flatnonzero(batch.energy < FREE):
            if self.region.is_allowed(batch.points[k]):
                self.best = batch.points[k].copy()
                return True
            batch.energy[k] = np.inf  # a circle slipped out of the polygon
        return False

    def _settles(self, batch: Batch) -> bool:
        """Let the least squeezed arrangements go down to the end; tell whether one then fits."""
        few = 2 if batch.count < 2 * LARGE else 1 if batch.count < 6 * LARGE else 0
        least = np.argsort(batch.energy, kind="stable")[:few]
        least = least[batch.energy[least] < PROMISING]
        return len(least) > 0 and self._keeps(self._relaxed(batch.points[least], LAST_STEPS))
