"""What can be asked of the assembled motor: who stands in whose place, who comes near whom."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from recipes.assembly.body import Body

#: Two bodies that share less than this touch, as seats and faces do by intention, mm.
TOUCH = 1e-3


@dataclass(frozen=True)
class Overlap:
    """Two bodies in one place.

    Args:
        first, second: the bodies.
        z, r: middle of what they share, mm.
        along, across: extent of what they share along the axle and along the radius, mm.
    """

    first: Body
    second: Body
    z: float
    r: float
    along: float
    across: float

    @property
    def depth(self) -> float:
        """How far one has to give way, the shorter way, mm."""
        return min(self.along, self.across)


@dataclass(frozen=True)
class Clearance:
    """The nearest places of a turning and a standing body.

    Args:
        turning, standing: the bodies.
        gap: between them, mm; 0 if they touch or overlap.
        z, r: middle between the nearest places, mm.
    """

    turning: Body
    standing: Body
    gap: float
    z: float
    r: float


def overlaps(bodies: Sequence[Body]) -> Iterator[Overlap]:
    """Yield every pair of bodies that share a place; what gives way to each other does not count."""
    import shapely

    for a, b in combinations(bodies, 2):
        if _apart(a, b) > -TOUCH or (a.gives and b.gives) or not a.shares_directions(b):
            continue
        if a.unit and a.unit == b.unit:
            continue
        for p in a.polygons:
            for q in b.polygons:
                shared = shapely.intersection(p, q)
                z0, r0, z1, r1 = shared.bounds
                # bodies that fit into each other share a bent line, wide and high but of no area
                if shared.area > TOUCH * max(z1 - z0, r1 - r0) and min(z1 - z0, r1 - r0) > TOUCH:
                    yield Overlap(a, b, (z0 + z1) / 2, (r0 + r1) / 2, z1 - z0, r1 - r0)


def clearances(bodies: Sequence[Body], nearer: float) -> Iterator[Clearance]:
    """Yield every turning and standing body of different units that come nearer than so many mm."""
    import shapely

    for a, b in combinations(bodies, 2):
        if a.turns == b.turns or (a.unit and a.unit == b.unit) or _apart(a, b) >= nearer:
            continue
        turning, standing = (a, b) if a.turns else (b, a)
        for p in turning.polygons:
            for q in standing.polygons:
                gap = float(shapely.distance(p, q))
                if gap < nearer:
                    (z0, r0), (z1, r1) = shapely.shortest_line(p, q).coords
                    yield Clearance(turning, standing, gap, (z0 + z1) / 2, (r0 + r1) / 2)


def _apart(a: Body, b: Body) -> float:
    """Return how far two boxes lie apart along z or r, the larger, mm; below 0 they overlap."""
    p, q = a.box, b.box
    return max(p[0] - q[2], q[0] - p[2], p[1] - q[3], q[1] - p[3])
