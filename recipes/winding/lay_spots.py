"""Where a round wire rests: the spots, in closed form, that two things together hold it in.

Walls, outside corners and wires hold a wire against a pull towards the tooth. See
`recipes.winding.lay_rows` for what is made of the spots. All lengths in wire diameters, in the
frame of `geometry.packing.region.Region`. Written for speed: a coil side asks about thousands of
pairs, a few at a time, which plain numbers answer sooner than arrays.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Iterator

    from geometry.packing.region import Region

#: Slack of a contact, far below any enamel.
TOUCH = 1e-9
#: Places nearer than this are the same place, found by way of different contacts.
SAME = 1e-6

#: Square of the distance at which a wall is clear of a wire.
_CLEAR = (0.5 - TOUCH) ** 2
#: A wall further from a wire touches none that touches the wire.
_FAR = 1.5 + SAME

Spot = tuple[float, float]
#: A laid wire: centre and row.
Wire = tuple[float, float, int]
#: A wall: start, way along, way in (x and y of each), length.
Wall = tuple[float, float, float, float, float, float, float]


class Spots:
    """The walls of a room and the way off the tooth: what holds a wire, and where."""

    def __init__(self, region: Region, off: tuple[float, float]) -> None:
        """Take the room and the unit vector from the tooth into the slot."""
        self.region = region
        self.off_x, self.off_y = off
        self.corners = [(float(x), float(y), 0) for x, y in region.start[region.reflex]]
        table = np.column_stack([region.start, region.along, region.inward, region.length])
        self.walls: list[Wall] = [tuple(row) for row in table.tolist()]

    def walls_near(self, x: float, y: float) -> list[Wall]:
        """Return the walls that a wire may touch whose centre is a diameter from (x, y)."""
        found = []
        for wall in self.walls:
            sx, sy, ax, ay, nx, ny, length = wall
            dx, dy = x - sx, y - sy
            if -_FAR < dx * nx + dy * ny < _FAR and -_FAR < dx * ax + dy * ay < length + _FAR:
                found.append(wall)
        return found

    def between_walls(self) -> Iterator[Spot]:
        """Find the spots where two walls, or a wall and an outside corner, hold a wire."""
        r = self.region
        foot = r.start + 0.5 * r.inward
        i, j = np.triu_indices(len(foot), 1)
        cross = r.along[i, 0] * r.along[j, 1] - r.along[i, 1] * r.along[j, 0]
        meet = np.abs(cross) > TOUCH
        i, j, cross = i[meet], j[meet], cross[meet]
        step = foot[j] - foot[i]
        ti = (step[:, 0] * r.along[j, 1] - step[:, 1] * r.along[j, 0]) / cross
        tj = (step[:, 0] * r.along[i, 1] - step[:, 1] * r.along[i, 0]) / cross
        on = (ti >= -TOUCH) & (ti <= r.length[i] + TOUCH)
        on &= (tj >= -TOUCH) & (tj <= r.length[j] + TOUCH)
        for a, b, t in zip(i[on], j[on], ti[on], strict=True):
            if self._holds(*r.inward[a].tolist(), *r.inward[b].tolist()):
                px, py = (foot[a] + t * r.along[a]).tolist()
                yield px, py
        for cx, cy, _ in self.corners:
            yield from self.against_walls(cx, cy, 0.5, self.walls)

    def against_walls(self, x: float, y: float, reach: float, walls: list[Wall]) -> list[Spot]:
        """Find the spots `reach` from a wire or corner that touch one of these walls."""
        found = []
        for sx, sy, ax, ay, nx, ny, length in walls:
            high = 0.5 - ((x - sx) * nx + (y - sy) * ny)
            if not -reach < high < reach:
                continue
            foot, half = (x - sx) * ax + (y - sy) * ay, math.sqrt(reach**2 - high**2)
            for t in (-half, half):
                if -TOUCH <= foot + t <= length + TOUCH:
                    dx, dy = t * ax + high * nx, t * ay + high * ny
                    if self._holds(dx, dy, nx, ny):
                        found.append((x + dx, y + dy))
        return found

    def against_wires(self, x: float, y: float, near: list[Wire]) -> list[Spot]:
        """Find the spots that touch the new wire and another wire or an outside corner.

        Whether both hold it (see `_holds`) is asked in the frame of the line between them, where
        the same three figures answer for the spots on either side.
        """
        found, off_x, off_y = [], self.off_x, self.off_y
        for others, reach in ((near, 1.0), (self.corners, 0.5)):
            for ox, oy, _ in others:
                dx, dy = ox - x, oy - y
                if not (-2.0 < dx < 2.0 and -2.0 < dy < 2.0):
                    continue
                apart = math.hypot(dx, dy)
                if not TOUCH < apart < 1.0 + reach:
                    continue
                half = (apart * apart + 1.0 - reach * reach) / (2.0 * apart)
                rise = math.sqrt(max(1.0 - half * half, 0.0))
                det = rise * apart
                if det < TOUCH:
                    continue
                dx, dy = dx / apart, dy / apart
                along, across = (off_x * dx + off_y * dy) / apart, (off_y * dx - off_x * dy) / det
                new, other = across * (apart - half), across * half
                if along + new >= -SAME and other - along >= -SAME:
                    found.append((x + half * dx - rise * dy, y + half * dy + rise * dx))
                if along - new >= -SAME and -other - along >= -SAME:
                    found.append((x + half * dx + rise * dy, y + half * dy - rise * dx))
        return found

    def inside(self, spots: list[Spot]) -> list[bool]:
        """Tell of each spot whether it lies in the room."""
        found: list[bool] = shapely.contains_xy(self.region.polygon, spots).tolist()
        return found

    def inside_beside(self, wire: Spot, spots: list[Spot], walls: list[Wall]) -> list[bool]:
        """Tell of each spot whether it lies in the room; the quick way to ask.

        The wire lies in it, the spots touch the wire, and all are clear of the walls: so only a
        wall through the very point of touch could part them. Only then the polygon is asked.
        """
        if any(_passes(wire, spot, walls) for spot in spots):
            return self.inside(spots)
        return [True] * len(spots)

    def _holds(self, ax: float, ay: float, bx: float, by: float) -> bool:
        """Tell whether pushes along a and b, both at least 0, add up to a push off the tooth."""
        det = ax * by - ay * bx
        if abs(det) < TOUCH:
            return False
        share_a = (self.off_x * by - self.off_y * bx) / det
        share_b = (ax * self.off_y - ay * self.off_x) / det
        return share_a >= -SAME and share_b >= -SAME


def is_clear(x: float, y: float, walls: list[Wall]) -> bool:
    """Tell whether none of these walls is nearer to (x, y) than half a diameter; in diameters."""
    for sx, sy, ax, ay, nx, ny, length in walls:
        dx, dy = x - sx, y - sy
        if -0.5 < dx * nx + dy * ny < 0.5:
            t = dx * ax + dy * ay
            t = 0.0 if t < 0.0 else length if t > length else t
            dx, dy = dx - t * ax, dy - t * ay
            if dx * dx + dy * dy < _CLEAR:
                return False
    return True


def _passes(one: Spot, other: Spot, walls: list[Wall]) -> bool:
    """Tell whether one of these walls, or what prolongs it, passes between two places."""
    x, y = (one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0
    return any(-SAME < (x - sx) * nx + (y - sy) * ny < SAME for sx, sy, _, _, nx, ny, _ in walls)
