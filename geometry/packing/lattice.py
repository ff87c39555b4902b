"""Regular first fillings: hexagonal and square rows laid against walls and into corners."""

from __future__ import annotations

import math

import numpy as np

from geometry.packing.region import REACH, Floats, Ints, Region

#: Directions of rows tried for each of the two row patterns: the longest walls, then even steps.
WALLS_USED = 6
EVEN_STEPS = 6
#: Shifts tried along and across the rows.
SHIFTS = 6
#: How much a centre may lack in the coarse count; the exact check decides afterwards.
COARSE = 1e-6

_ROW = {"hexagonal": math.sqrt(3.0) / 2.0, "square": 1.0}
_REPEAT = {"hexagonal": math.pi / 3.0, "square": math.pi / 2.0}


def lattice_fillings(region: Region, keep: int) -> list[Floats]:
    """Return up to `keep` different regular fillings, the fullest first, each (n, 2).

    Every returned centre has a clearance of at least 0.5 - 1e-12 (exact check).
    """
    ranked: list[tuple[int, int, Floats]] = []
    for pattern in ("hexagonal", "square"):
        for angle in _angles(region, _REPEAT[pattern]):
            points = _rows(region, pattern, angle)
            shifts = _shifts(region, pattern, angle)
            counts = _coarse_counts(region, points, shifts)
            for k in np.argsort(-counts, kind="stable")[:2]:
                ranked.append((int(counts[k]), len(ranked), points + shifts[k]))
    ranked.sort(key=lambda item: (-item[0], item[1]))
    fillings: dict[bytes, Floats] = {}
    for _, _, points in ranked[: 2 * keep]:
        near = points[region.rough_clearance(points) >= REACH - 0.1]
        filling = near[region.clearance(near) >= REACH - 1e-12]
        # Shifts by whole circles along a wall, and turns of a regular polygon, come out alike.
        places = np.round(filling, 6) + 0.0
        fillings.setdefault(places[np.lexsort(places.T)].tobytes(), filling)
    return sorted(fillings.values(), key=lambda points: -len(points))[:keep]


def _angles(region: Region, repeat: float) -> list[float]:
    """Return row directions: along the longest walls first, each once within the symmetry."""
    longest = np.argsort(-region.length, kind="stable")[: 4 * WALLS_USED]
    wished = [math.atan2(region.along[e, 1], region.along[e, 0]) for e in longest]
    chosen: list[float] = []
    for angle in wished:
        if len(chosen) < WALLS_USED and _is_new(angle, chosen, repeat, 1e-9):
            chosen.append(angle)
    for step in range(EVEN_STEPS):
        angle = repeat * step / EVEN_STEPS
        if _is_new(angle, chosen, repeat, 0.02):
            chosen.append(angle)
    return chosen


def _is_new(angle: float, others: list[float], repeat: float, least: float) -> bool:
    return all(abs((angle - o + repeat / 2.0) % repeat - repeat / 2.0) > least for o in others)


def _rows(region: Region, pattern: str, angle: float) -> Floats:
    """Return the lattice through the origin over the bounding box with one cell to spare."""
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    low_u, high_u = np.min(region.start @ along), np.max(region.start @ along)
    low_v, high_v = np.min(region.start @ across), np.max(region.start @ across)
    height = _ROW[pattern]
    rows: Ints = np.arange(math.floor(low_v / height) - 1, math.ceil(high_v / height) + 2)
    columns: Ints = np.arange(math.floor(low_u) - 1, math.ceil(high_u) + 2)
    lean = 0.5 * (rows % 2) if pattern == "hexagonal" else 0.0 * rows
    u = columns[None, :] + lean[:, None]
    v = np.repeat(height * rows[:, None], len(columns), axis=1)
    points: Floats = u.reshape(-1, 1) * along + v.reshape(-1, 1) * across
    return points


def _shifts(region: Region, pattern: str, angle: float) -> Floats:
    """Return shifts of the lattice: into corners of the polygon, then an even grid."""
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    steps = np.arange(SHIFTS) / SHIFTS
    height = _ROW[pattern]
    # Row 1 leans by half a circle, so one period across the rows is two rows high.
    even = [a * along + 2.0 * height * b * across for a in steps for b in steps]
    corner = _corner_places(region)
    # A row that touches a wall parallel to it may still slide along that wall.
    parallel = np.abs(region.along @ across) < 1e-9
    touching = region.start[parallel] + REACH * region.inward[parallel]
    touching = touching[np.argsort(-region.length[parallel], kind="stable")[:4]]
    sliding = [t + a * along for t in touching for a in steps]
    wished = np.vstack([corner, *sliding, *even])
    # Whole periods off, so that the shifted lattice still covers the polygon.
    v = wished @ across
    u = wished @ along - (0.5 * v / height if pattern == "hexagonal" else 0.0)
    whole_u, whole_v = np.round(u), np.round(v / height)
    back = whole_u + 0.5 * whole_v if pattern == "hexagonal" else whole_u
    shifts: Floats = wished - back[:, None] * along - (height * whole_v)[:, None] * across
    return shifts


def _corner_places(region: Region) -> Floats:
    """Return where a circle touches both walls of a convex corner, longest walls first."""
    before, after = region.previous, np.arange(len(region.start))
    turn = (
        region.along[before, 0] * region.along[after, 1]
        - region.along[before, 1] * region.along[after, 0]
    )
    shorter = np.minimum(region.length[before], region.length[after])
    sharp = np.flatnonzero(turn > 0.05)
    sharp = sharp[np.argsort(-shorter[sharp], kind="stable")[:8]]
    cosine = (region.along[before[sharp]] * region.along[after[sharp]]).sum(axis=1)
    back = REACH * (1.0 - cosine) / turn[sharp]
    foot = region.start[sharp] + REACH * region.inward[sharp]
    places: Floats = foot + back[:, None] * region.along[sharp]
    return places


def _coarse_counts(region: Region, points: Floats, shifts: Floats) -> Ints:
    """Count the points of each shifted lattice that have room, from the clearance table."""
    counts = np.empty(len(shifts), dtype=np.int64)
    for k, shift in enumerate(shifts):
        counts[k] = np.count_nonzero(region.rough_clearance(points + shift) >= REACH - COARSE)
    return counts
