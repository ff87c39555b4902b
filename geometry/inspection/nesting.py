"""Which loop lies in which: outer outlines, their holes, islands in holes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geometry.inspection.chains import Chains
from geometry.outline import Outline, Region
from geometry.point import Point

#: Sagitta (mm) of the chords that stand for arcs when a loop is looked for in another one. Loops
#: that come closer are found by `geometry.inspection.crossing` and `geometry.inspection.minimum_feature`.
_SAGITTA = 0.005


@dataclass(frozen=True)
class Nesting:
    """The loops of a drawing by what holds them.

    Args:
        depth: for each loop, how many others (loops, and open runs taken as if closed) hold it.
        parent: for each loop, the number of the smallest loop that holds it; None for an outer
            one or if that is an open run.
    """

    depth: tuple[int, ...]
    parent: tuple[int | None, ...]

    def regions(self, loops: Sequence[Outline]) -> tuple[Region, ...]:
        """Return a region for each loop of even depth, with the loops directly in it as holes."""
        holes: dict[int, list[Outline]] = {k: [] for k, d in enumerate(self.depth) if d % 2 == 0}
        for k, (depth, parent) in enumerate(zip(self.depth, self.parent, strict=True)):
            if depth % 2 and parent in holes:
                holes[parent].append(loops[k])
        return tuple(Region(loops[k], tuple(inside)) for k, inside in holes.items())


def nest(chains: Chains) -> Nesting:
    """Return how the closed loops of `chains` lie in each other.

    A run with a gap still tells inside from outside here, as if straight lines closed it; it
    becomes no outline by that.
    """

    loops = [c.outline for c in chains.loops if c.outline]
    if not loops:
        return Nesting((), ())
    rings = [loop.chords(_SAGITTA) for loop in loops]
    # a ring needs three corners, even one that runs there and back: repeat the first
    rings = [ring if len(ring) > 2 else ring + ring[:1] for ring in rings]
    rings += [ring for ring in _nearly_closed(chains) if len(set(ring)) > 2]
    polygons = np.array([shapely.Polygon(ring) for ring in rings], dtype=object)
    areas = shapely.area(polygons)
    probes = shapely.points([loop.segments[0].point_at(0.5) for loop in loops])
    holder, held = shapely.STRtree(probes).query(polygons, predicate="contains")
    other = (holder != held) & (areas[holder] >= areas[held])
    holder, held = holder[other], held[other]
    depth = np.bincount(held, minlength=len(loops))
    parent: list[int | None] = [None] * len(loops)
    for k in np.lexsort((-areas[holder], held)):  # the smallest comes last and stays
        parent[int(held[k])] = int(holder[k]) if holder[k] < len(loops) else None
    return Nesting(tuple(int(d) for d in depth), tuple(parent))


def _nearly_closed(chains: Chains) -> list[list[Point]]:
    """Return the corners of open runs, joined where their ends are each other's nearest."""
    mate = {e.where: e.nearest for e in chains.ends}
    at: dict[Point, tuple[int, bool]] = {}
    for k, run in enumerate(chains.runs):
        at[run.segments[0].start] = (k, False)
        at[run.segments[-1].end] = (k, True)
    todo = dict.fromkeys(range(len(chains.runs)))
    rings: list[list[Point]] = []
    for first in range(len(chains.runs)):
        ring: list[Point] = []
        number: int | None = first
        backward = False
        while number is not None and number in todo:
            del todo[number]
            run = chains.runs[number]
            spots = [run.segments[0].start, *(p for s in run.segments for p in s.chords(_SAGITTA))]
            ring += reversed(spots) if backward else spots
            last = spots[0] if backward else spots[-1]
            other = mate.get(last)
            number = None
            if other is not None and mate.get(other) == last and other in at:
                number, backward = at[other]
        if ring:
            rings.append(ring)
    return rings
