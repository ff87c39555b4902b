"""The way in: how deep a wire still gets along the far wall of its half slot while it is filled.

A disc somewhat wider than the wire comes through the opening and slides inwards, always as far
from the tooth as the slot allows: along the separator, because the neighbour's half is full, or
along the opposite tooth if the slot has one coil side. A wire that leaves it no room shuts the
way at that depth. Testing this one path is on the safe side: another may be open.

All lengths in wire diameters, in the frame of `geometry.packing.region.Region`.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from geometry.packing.region import Floats, Region

#: Spacing of the columns in which the way in is tested.
COLUMN = 0.125


@dataclass(frozen=True)
class Entry:
    """Where wire comes in, slot frame (the slot opens along +x), mm.

    Args:
        x: inner end of the opening: the wedge's inner face.
        y: of the disc's centre as it passes there.
        passage: diameter of the disc that must get through.
    """

    x: float
    y: float
    passage: float


class Corridor:
    """How deep the way in reaches. Columns run across the slot axis."""

    def __init__(self, region: Region, entry: Entry) -> None:
        """Find the far wall in every column between slot bottom and opening."""
        x_in, y_in = (np.array([entry.x, entry.y]) - region.origin) / region.diameter
        radius = entry.passage / region.diameter / 2.0
        self.blocks = 0.5 + radius
        free = shapely.buffer(region.polygon, -radius)
        if free.geom_type == "MultiPolygon":
            free = max(free.geoms, key=lambda part: (part.bounds[2], part.area))
        #: Deepest abscissa to which the way is open.
        self.reach, self.top = math.inf, -math.inf
        self.x: list[float] = []
        self.floor: list[float] = []
        if not free.is_empty:
            self.reach, _, high, _ = free.bounds
            x = np.arange(self.reach, x_in, COLUMN) + 1e-9
            ring = np.asarray(free.exterior.coords)
            floor = np.where(x < high, _lower(ring, x), y_in)
            self.x, self.floor = x.tolist(), floor.tolist()
            self.top = float(floor.max(initial=y_in))

    def shut_by(self, x: float, y: float) -> float:
        """Return the outermost abscissa at which a wire at (x, y) alone shuts the way."""
        if y - self.blocks > self.top:
            return -math.inf
        # Few columns, and the outermost one that is shut is enough: quicker one by one.
        first, last = bisect_left(self.x, x - self.blocks), bisect_left(self.x, x + self.blocks)
        lowest, square = y - self.blocks - 1e-9, self.blocks**2
        for k in range(last - 1, first - 1, -1):
            if self.floor[k] > lowest:  # else far below the wire, whatever the column
                across = self.x[k] - x
                if self.floor[k] > y - math.sqrt(max(square - across * across, 0.0)):
                    return self.x[k]
        return -math.inf


def _lower(ring: Floats, x: Floats) -> Floats:
    """Return the lowest ordinate of a closed ring at each abscissa."""
    x0, y0, x1, y1 = ring[:-1, 0], ring[:-1, 1], ring[1:, 0], ring[1:, 1]
    span = np.where(x1 == x0, 1.0, x1 - x0)
    t = (x[:, None] - x0) / span
    y = np.where((t >= 0.0) & (t <= 1.0) & (x1 != x0), y0 + t * (y1 - y0), np.inf)
    lowest: Floats = y.min(axis=1)
    return lowest
