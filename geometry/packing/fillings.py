"""Regular fillings of a region, and circles put into the holes that are left."""

from __future__ import annotations

import numpy as np

from geometry.packing.lattice import lattice_fillings
from geometry.packing.near import nearest
from geometry.packing.region import Floats, Region
from geometry.packing.rows import rows


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
