"""The search for the largest number of circles: one circle more, again and again.

    regular fillings -> thin out a crowd -> one circle more: attempt 0, attempt 1, attempt 2
                                                  ^                         |
                                                  +---- the first that fits +---> none: the end

The attempts at one number of circles know nothing of each other, so that they can be made one
after the other or side by side: what they find is the same (see `geometry.packing.attempt`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from geometry.packing.attempt import Attempt
from geometry.packing.fillings import quick_fillings
from geometry.packing.region import Floats, Region
from geometry.packing.relax import Herd

#: Attempts that may fail at one number of circles before the search ends.
ATTEMPTS = 3
#: Work of the whole search, in steps times circles: for each of few circles, up to a plateau,
#: and for each of many.
WORK_FEW, WORK_PLATEAU, WORK_MANY = 60_000, 1_200_000, 3_500
#: One attempt may take this part of what is left, so that the next one has its share.
SHARE = 0.5
#: From this many circles on only regular fillings with filled holes are used.
HUGE = 2500

#: What an attempt found, None if nothing, and the work it took.
Found = tuple[Floats | None, int]


#: Makes attempts: calls the first argument with each number and yields the answers in order. `map`
#: makes each when it is asked for; one that makes several side by side must stop those that are
#: no longer wanted when it is closed.
Attempts = Callable[[Callable[[int], Found], Iterable[int]], Iterator[Found]]


class Search:
    """The search for the largest number of circles in one region.

    Args:
        region: where the circles lie; it must have at least one place in its grid.
        limit: more circles than this are impossible.
        attempts: makes the attempts, side by side or one after the other.
    """

    def __init__(self, region: Region, limit: int, attempts: Attempts = map) -> None:
        """Start from the regular fillings."""
        self.region, self.limit, self.attempts = region, limit, attempts
        self.fillings = quick_fillings(region)
        self.best = self.fillings[0]
        n = len(self.best)
        self.work_left = max(min(WORK_FEW * (n + 3), WORK_PLATEAU), WORK_MANY * n)

    def run(self) -> Floats:
        """Return the fullest allowed arrangement that was found, (n, 2) in diameters."""
        if len(self.best) >= HUGE:
            return self.best
        first = Attempt(self.region, self.fillings, self.best, ATTEMPTS, self.work_left)
        above = first.thin_out(self.limit)
        self.best, self.work_left = first.best, self.work_left - first.spent
        while len(self.best) < self.limit and self.work_left > 0 and self._one_more(above):
            above = None
        return self.best

    def _one_more(self, above: Herd | None) -> bool:
        """Look for one circle more than the best has; tell whether it was found."""
        share = SHARE * self.work_left

        def attempt(way: int) -> Found:
            one = Attempt(self.region, self.fillings, self.best, way, share)
            if way == 0 and above is not None and above.count == len(self.best) + 1:
                found = one.climb(above)
            else:
                found = one.insert() if way < ATTEMPTS - 1 else one.start_afresh()
            return one.best if found else None, one.spent

        for points, work in self.attempts(attempt, range(ATTEMPTS)):
            self.work_left -= work
            if points is not None:
                self.best = points
                return True
            if self.work_left <= 0:
                break
        return False
