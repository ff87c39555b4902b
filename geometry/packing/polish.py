"""Exact checks of an arrangement, and its last tightening by linear programmes."""

from __future__ import annotations

import numpy as np

from geometry.packing.near import least_gap, pairs_within
from geometry.packing.region import REACH, Floats, Region

#: A gap may lack this much of the diameter; rounding of coordinates costs about 1e-13.
ALLOWED = 5e-10
#: No centre moves further than this in one linear programme (diameters).
TRUST = 0.06
#: Linear programmes tried for one arrangement.
ROUNDS = 6


def tightness(region: Region, points: Floats) -> float:
    """Return the largest diameter that equal circles on these centres may have (exact check).

    1 or more means that the arrangement is allowed. No circles at all: infinity.
    """
    if not len(points):
        return float("inf")
    wall = 2.0 * float(region.clearance(points).min())
    if len(points) == 1:
        return wall
    return min(wall, least_gap(points))


def is_allowed(region: Region, points: Floats) -> bool:
    """Tell whether no circle overlaps another or a wall by more than `ALLOWED`.

    A circle that slipped into another part of the polygon is not allowed either.
    """
    here = bool((region.rough_clearance(points) > 0.0).all())
    return here and tightness(region, points) >= 1.0 - ALLOWED


def tighten(region: Region, points: Floats) -> tuple[Floats, float]:
    """Move the centres to let equal circles on them grow; return them and their tightness.

    Each linear programme maximises the common diameter with all distances replaced by their
    tangents. Distances between points are convex, so a tangent never promises too much (method
    of S. Torquato and Y. Jiao, Physical Review E 82, 061302, 2010, in a fixed container). The
    result is checked exactly after every step; it ends at diameter 1 or when it stops growing.
    """
    best, size = points, tightness(region, points)
    for _ in range(ROUNDS):
        if size >= 1.0:
            break
        moved = best + _step(region, best)
        grown = tightness(region, moved)
        lacking = 1.0 - size
        if grown > size:
            best, size = moved, grown
        if 1.0 - size > 0.6 * lacking:
            break
    return best, size


def _step(region: Region, points: Floats) -> Floats:
    """Return the best small move of all centres by one linear programme, shape (n, 2)."""
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    pairs = pairs_within(points[None], 1.0 + 3.0 * TRUST)
    first, second = pairs[:, 0], pairs[:, 1]
    near = region.contacts(points, 2.0 * TRUST)
    apart = points[first] - points[second]
    off = points[near.corner_circle] - region.start[near.corner]
    gap, far = np.hypot(apart[:, 0], apart[:, 1]), np.hypot(off[:, 0], off[:, 1])
    inward = region.inward[near.wall]
    height = ((points[near.circle] - region.start[near.wall]) * inward).sum(axis=1)

    # One row a contact: share * diameter <= room + normal . move (- normal . move of `second`).
    circle = np.concatenate([first, near.circle, near.corner_circle])
    normal = np.vstack([apart / gap[:, None], inward, off / far[:, None]])
    room = np.concatenate([gap, height, far])
    share = np.where(np.arange(len(room)) < len(pairs), 1.0, REACH)
    last = 2 * len(points)
    row = np.arange(len(room))
    rows = np.concatenate([row, row, row, row[: len(pairs)], row[: len(pairs)]])
    columns = np.concatenate(
        [2 * circle, 2 * circle + 1, np.full(len(room), last), 2 * second, 2 * second + 1]
    )
    back = normal[: len(pairs)]
    values = np.concatenate([-normal[:, 0], -normal[:, 1], share, back[:, 0], back[:, 1]])
    matrix = coo_array((values, (rows, columns)), shape=(len(room), last + 1)).tocsr()
    cost = np.zeros(last + 1)
    cost[-1] = -1.0
    answer = linprog(
        cost,
        A_ub=matrix,
        b_ub=room,
        bounds=[(-TRUST, TRUST)] * last + [(0.0, 2.0)],
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if answer.x is None:
        return np.zeros_like(points)
    move: Floats = answer.x[:-1].reshape(-1, 2)
    return move
