"""Lay round wires row on row against a tooth, one after the other, as a hand does it.

Knows a polygon, a diameter, the way off the tooth and the opening; nothing of motors. Each wire
takes a place where it *rests*: it touches two things (walls, wires) that together hold it against
a pull towards the tooth, as tension in the wire pulls it. Such places are found in closed form:
where two walls, moved in by half a diameter, cross; where a circle of one diameter round a wire
meets such a wall or another such circle.

Row: a wire lies one row above the highest row that carries it, and in the row of a wire that it
only touches sideways (by less than 30 degrees). A pass lays one row; the next goes the other way.

Way in: a place counts only while its wire can still reach it. While the neighbour's half is full,
a disc as wide as `Entry.passage` must slide from the opening along the far wall (the separator,
or the opposite tooth) to within half a wire of the place, past all wires laid before, and no
earlier wire may lie on top of the place. Who would lock out another free place waits until that
one is taken; so the last row fills from the deep end although the hand comes from the opening.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from geometry.packing.region import Region
from recipes.winding.lay_entry import Corridor, Entry

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from geometry.packing.region import Floats, Ints

First = Literal["root", "tip"]

#: Everything below is in wire diameters. Slack of a contact, far below any enamel.
TOUCH = 1e-9
#: Places nearer than this are the same place, found by way of different contacts.
SAME = 1e-6
#: A wire carries another if the line between them rises by more than 30 degrees off the tooth.
CARRIES = 0.5


def lay_rows(
    room: shapely.Polygon, diameter: float, off: tuple[float, float], entry: Entry,
    first: First = "root",
) -> tuple[Floats, Ints]:  # fmt: skip
    """Return all places in the order in which they are laid, and the row of each.

    Args:
        room: where wire may lie, slot frame, mm; valid, without holes.
        diameter: of the wire over its enamel, mm.
        off: unit vector from the tooth into the slot.
        entry: the opening.
        first: end of the tooth where the first row begins.

    Returns:
        Centres (n, 2) in mm and rows (n,) counted from 1 at the tooth.
    """
    region = Region(room, diameter)
    bed = _Bed(region, off, Corridor(region, entry))
    bed.fill(1 if first == "root" else -1)
    centres = np.array(bed.wires, dtype=float).reshape(-1, 2)
    return region.to_units(centres), np.array(bed.rows, dtype=np.int64)


@dataclass
class _Place:
    """Where the next wire could rest: spot, way along and off the tooth, row, what it shuts."""

    x: float
    y: float
    along: float
    off: float
    row: int
    shuts: float


class _Bed:
    """Wires laid so far, and the places where the next could rest."""

    def __init__(self, region: Region, off: tuple[float, float], corridor: Corridor) -> None:
        """Begin with the places that walls alone make."""
        self.region, self.corridor = region, corridor
        self.off_x, self.off_y = off
        turn = 1.0 if off[1] <= 0 else -1.0
        self.along_x, self.along_y = -off[1] * turn, off[0] * turn
        self.wires: list[tuple[float, float]] = []
        self.rows: list[int] = []
        self.places: list[_Place] = []
        self._cells: dict[tuple[int, int], list[int]] = {}
        self._corners = [(float(x), float(y)) for x, y in region.start[region.reflex]]
        # one wall a row: start, way along, way in, length; quicker one by one than as arrays
        table = np.column_stack([region.start, region.along, region.inward, region.length])
        self._walls: list[tuple[float, ...]] = [tuple(row) for row in table.tolist()]
        self._keep(self._between_walls(), [])

    def fill(self, way: int) -> None:
        """Lay rows, turning round after each, until no place is left."""
        row = 0
        while self._drop_unreachable():
            open_rows = [p.row for p in self.places if not self._locks(p)]
            if open_rows:
                row = max(row + 1, min(open_rows))
                self._pass(way, row)
            else:
                self._put(min(self.places, key=lambda p: p.x))
            way = -way

    def _pass(self, way: int, row: int) -> None:
        """Lay wires of one row and those below it that are still open, always ahead of the last."""
        at = -math.inf
        while self._drop_unreachable():
            ahead = [p for p in self.places if p.row <= row and way * p.along > at + TOUCH]
            ahead.sort(key=lambda p: way * p.along)
            chosen = next(
                (p for p in (_lowest(a, ahead) for a in ahead) if not self._locks(p)), None
            )
            if chosen is None:
                return
            at = way * chosen.along
            self._put(chosen)

    def _locks(self, place: _Place) -> bool:
        """Tell whether a wire at this place takes the way from another place."""
        if place.shuts <= self.corridor.reach:
            return False
        return any(
            p.x + 0.5 <= place.shuts and math.hypot(p.x - place.x, p.y - place.y) >= 1.0 - TOUCH
            for p in self.places
        )

    def _drop_unreachable(self) -> bool:
        """Forget the places that wire cannot reach any more; tell whether any is left."""
        reach = self.corridor.reach
        self.places = [p for p in self.places if p.x + 0.5 > reach]
        return bool(self.places)

    def _put(self, place: _Place) -> None:
        """Lay a wire at a place and find the places that it makes."""
        x, y = place.x, place.y
        self._cells.setdefault((math.floor(x), math.floor(y)), []).append(len(self.wires))
        self.wires.append((x, y))
        self.rows.append(place.row)
        self.corridor.reach = max(self.corridor.reach, place.shuts)
        left = []
        for p in self.places:
            apart = math.hypot(p.x - x, p.y - y)
            rise = p.off - place.off
            if apart < 1.0 - TOUCH or (rise < -CARRIES and _on_top(-rise, p.along - place.along)):
                continue
            if apart < 1.0 + SAME and rise >= -CARRIES:
                p.row = max(p.row, place.row + (rise > CARRIES))
            left.append(p)
        self.places = left
        # whatever touches a spot that touches the new wire is at most two diameters from it
        near = self._near(x, y, 2)
        self._keep([*self._against_wires(x, y, near), *self._against_walls(x, y, 1.0)], near)

    def _near(self, x: float, y: float, reach: int) -> list[int]:
        """Return the wires in the cells up to `reach` diameters away."""
        cx, cy = math.floor(x), math.floor(y)
        span = range(-reach, reach + 1)
        cells = self._cells
        return [w for i in span for j in span for w in cells.get((cx + i, cy + j), ())]

    def _against_wires(self, x: float, y: float, near: list[int]) -> Iterator[tuple[float, float]]:
        """Find the places that touch the new wire and another wire or an outside corner."""
        others = [(*self.wires[w], 1.0) for w in near]
        others += [(cx, cy, 0.5) for cx, cy in self._corners]
        for ox, oy, reach in others:
            dx, dy = ox - x, oy - y
            if not (-2.0 < dx < 2.0 and -2.0 < dy < 2.0):
                continue
            apart = math.hypot(dx, dy)
            if TOUCH < apart < 1.0 + reach:
                half = (apart * apart + 1.0 - reach * reach) / (2.0 * apart)
                rise = math.sqrt(max(1.0 - half * half, 0.0))
                dx, dy = dx / apart, dy / apart
                for side in (rise, -rise):
                    px, py = x + half * dx - side * dy, y + half * dy + side * dx
                    if self._holds(px - x, py - y, px - ox, py - oy):
                        yield px, py

    def _against_walls(self, x: float, y: float, reach: float) -> Iterator[tuple[float, float]]:
        """Find the places `reach` from a wire or corner that touch a wall."""
        for sx, sy, ax, ay, nx, ny, length in self._walls:
            high = 0.5 - ((x - sx) * nx + (y - sy) * ny)
            if not -reach < high < reach:
                continue
            foot, half = (x - sx) * ax + (y - sy) * ay, math.sqrt(reach**2 - high**2)
            for t in (-half, half):
                dx, dy = t * ax + high * nx, t * ay + high * ny
                if -TOUCH <= foot + t <= length + TOUCH and self._holds(dx, dy, nx, ny):
                    yield x + dx, y + dy

    def _between_walls(self) -> Iterator[tuple[float, float]]:
        """Find the places where two walls, or a wall and an outside corner, hold a wire."""
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
        for cx, cy in self._corners:
            yield from self._against_walls(cx, cy, 0.5)

    def _keep(self, spots: Iterable[tuple[float, float]], near: list[int]) -> None:
        """Keep the spots where nothing is in the way of a wire, each once."""
        free: list[tuple[float, float, int]] = []
        for x, y in spots:
            row = self._row_at(x, y, near)
            if row and not any(abs(x - a) + abs(y - b) < SAME for a, b, _ in free):
                free.append((x, y, row))
        free = [place for place in free if self._is_clear(place[0], place[1])]
        if not free:
            return
        inside = shapely.contains_xy(self.region.polygon, [(x, y) for x, y, _ in free])
        for (x, y, row), within in zip(free, inside.tolist(), strict=True):
            if within:
                along = x * self.along_x + y * self.along_y
                off = x * self.off_x + y * self.off_y
                self.places.append(_Place(x, y, along, off, row, self.corridor.shut_by(x, y)))

    def _is_clear(self, x: float, y: float) -> bool:
        """Tell whether no wall is nearer than half a diameter."""
        for sx, sy, ax, ay, nx, ny, length in self._walls:
            dx, dy = x - sx, y - sy
            if -0.5 < dx * nx + dy * ny < 0.5:
                t = min(max(dx * ax + dy * ay, 0.0), length)
                dx, dy = dx - t * ax, dy - t * ay
                if math.sqrt(dx * dx + dy * dy) < 0.5 - TOUCH:
                    return False
        return True

    def _row_at(self, x: float, y: float, near: list[int]) -> int:
        """Return the row of a wire at (x, y); 0 if another wire is in its way."""
        row, wires = 1, self.wires
        off_x, off_y, along_x, along_y = self.off_x, self.off_y, self.along_x, self.along_y
        for w in near:
            wx, wy = wires[w]
            dx, dy = x - wx, y - wy
            rise = dx * off_x + dy * off_y
            apart = math.hypot(dx, dy)
            if apart < 1.0 - TOUCH or (
                rise < -CARRIES and _on_top(-rise, dx * along_x + dy * along_y)
            ):
                return 0
            if apart < 1.0 + SAME and rise >= -CARRIES:
                row = max(row, self.rows[w] + (rise > CARRIES))
        return row

    def _holds(self, ax: float, ay: float, bx: float, by: float) -> bool:
        """Tell whether pushes along a and b, both at least 0, add up to a push off the tooth."""
        det = ax * by - ay * bx
        if abs(det) < TOUCH:
            return False
        share_a = (self.off_x * by - self.off_y * bx) / det
        share_b = (ax * self.off_y - ay * self.off_x) / det
        return share_a >= -SAME and share_b >= -SAME


def _on_top(rise: float, side: float) -> bool:
    """Tell whether a wire lies so squarely over a place that none gets past it."""
    return rise > CARRIES and abs(side) < 0.5 + TOUCH


def _lowest(place: _Place, ahead: list[_Place]) -> _Place:
    """Of a place and those that exclude it, return the one nearest to the tooth."""
    best = place
    for p in ahead:
        if p.off < best.off - SAME and math.hypot(p.x - place.x, p.y - place.y) < 1.0 - TOUCH:
            best = p
    return best
