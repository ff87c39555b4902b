"""Lay round wires row on row against a tooth, one after the other, as a hand does it.

Knows a polygon, a diameter, the way off the tooth and the opening; nothing of motors. Each wire
takes a place where it *rests*: it touches two things (walls, wires) that together hold it against
a pull towards the tooth, as tension in the wire pulls it. Such places are found in closed form:
where two walls, moved in by half a diameter, cross; where a circle of one diameter round a wire
meets such a wall or another such circle.

Row: a wire lies one row above the highest row that carries it, and in the row of a wire that it
only touches sideways (by less than 30 degrees). A pass lays one row; the next goes the other way.

Insertion path: a place counts only while its wire can still reach it. While the neighbour's half
is full, a disc as wide as `Entrance.passage` must slide from the opening along the far wall (the
separator, or the opposite tooth) to within half a wire of the place, past all wires laid before,
and no earlier wire may lie on top of the place. Who would lock out another free place waits until
that one is taken; so the last row fills from the deep end although the hand comes from the opening.

Lengths are in wire diameters, in the frame of `geometry.packing.region.Region`, unless they are
said to be in mm.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from operator import attrgetter

import numpy as np
import shapely

from geometry.packing.region import Floats, Ints, Region

#: A wire still gets in where a disc of this many overall diameters does (1.15 D, common practice).
PASSAGE = 1.15

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
    """Where a round wire rests: the spots, in closed form, that two things together hold it in.

    Walls, outside corners and wires hold a wire against a pull towards the tooth. Written for
    speed: a coil side asks about thousands of pairs, a few at a time, which plain numbers answer
    sooner than arrays.
    """

    def __init__(self, region: Region, off: tuple[float, float]) -> None:
        """Take the winding window and the unit vector from the tooth into the slot."""
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
        """Tell of each spot whether it lies in the window."""
        found: list[bool] = shapely.contains_xy(self.region.polygon, spots).tolist()
        return found

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


#: Spacing of the columns in which the insertion path is tested.
COLUMN = 0.125


@dataclass(frozen=True)
class Entrance:
    """Where wire comes in, slot frame (the slot opens along +x), mm.

    Args:
        x: inner end of the opening: the wedge's inner face.
        y: of the disc's centre as it passes there.
        passage: diameter of the disc that must get through.
    """

    x: float
    y: float
    passage: float


class InsertionPath:
    """How deep a wire still gets along the far wall of its winding window while that is filled.

    A disc somewhat wider than the wire comes through the opening and slides inwards, always as far
    from the tooth as the slot allows: along the separator, because the neighbour's half is full, or
    along the opposite tooth if the slot has one coil side. A wire that leaves it no room shuts the
    path at that depth. Testing this one path is on the safe side: another may be open.

    Columns run across the slot axis.
    """

    def __init__(self, region: Region, entrance: Entrance) -> None:
        """Find the far wall in every column between slot bottom and opening."""
        x_in, y_in = (np.array([entrance.x, entrance.y]) - region.origin) / region.diameter
        radius = entrance.passage / region.diameter / 2.0
        self.blocks = 0.5 + radius
        free = shapely.buffer(region.polygon, -radius)
        if free.geom_type == "MultiPolygon":
            free = max(free.geoms, key=lambda part: (part.bounds[2], part.area))
        #: Deepest abscissa to which the path is open.
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


#: A wire carries another if the line between them rises by more than 30 degrees off the tooth.
CARRIES = 0.5
#: How far beside a place a wire over it must lie for another to get past, in wire diameters.
_BESIDE = 0.5 + TOUCH
#: Squares of distances, since no root is taken where thousands are compared: apart; touching.
_APART, _TOUCHES = (1.0 - TOUCH) ** 2, (1.0 + SAME) ** 2

#: Cells are numbered (a number is found sooner than a pair), a column after the other, each longer
#: than any slot; the cells up to two diameters away.
_COLUMN = 1 << 20
_AROUND = tuple(_COLUMN * i + j for i in range(-2, 3) for j in range(-2, 3))


def place_in_rows(
    window: shapely.Polygon,
    diameter: float,
    off: tuple[float, float],
    entrance: Entrance,
) -> tuple[Floats, Ints]:
    """Return all places in the order in which they are laid, and the row of each.

    Args:
        window: where wire may lie, slot frame, mm; valid, without holes.
        diameter: of the wire over its enamel, mm.
        off: unit vector from the tooth into the slot.
        entrance: the opening.

    Returns:
        Centres (n, 2) in mm and rows (n,) counted from 1 at the tooth.
    """
    region = Region(window, diameter)
    bed = _Bed(region, off, InsertionPath(region, entrance))
    bed.fill()
    centres = np.array(bed.wires, dtype=float).reshape(-1, 2)
    return region.to_units(centres), np.array(bed.rows, dtype=np.int64)


@dataclass(slots=True)
class _Place:
    """Where the next wire could rest: spot, way along and off the tooth, row, what it shuts."""

    x: float
    y: float
    along: float
    off: float
    row: int
    shuts: float


_ALONG = attrgetter("along")


class _Bed:
    """Wires laid so far, and the places where the next could rest."""

    def __init__(self, region: Region, off: tuple[float, float], path: InsertionPath) -> None:
        """Begin with the places that walls alone make."""
        self.spots, self.path = Spots(region, off), path
        self.off_x, self.off_y = off
        turn = 1.0 if off[1] <= 0 else -1.0
        self.along_x, self.along_y = -off[1] * turn, off[0] * turn
        self.wires: list[Spot] = []
        self.rows: list[int] = []
        self.places: list[_Place] = []
        self._cells: dict[int, list[Wire]] = {}
        first = self._free(self.spots.between_walls(), [], self.spots.walls)
        self._keep(first)

    def fill(self) -> None:
        """Lay rows, the first from the root, turning round after each, until no place is left.

        Where no pass finds a wire to lay, in either direction, the innermost place comes next: one
        that takes the way from no other, if there is one.
        """
        row, idle, way = 0, 0, 1
        while self._drop_unreachable():
            open_places = [p for p in self.places if not self._locks(p)]
            laid = len(self.wires)
            if open_places and idle < 2:
                row = max(row + 1, min(p.row for p in open_places))
                self._pass(way, row)
            else:
                self._put(min(open_places or self.places, key=lambda p: p.x))
            idle = 0 if len(self.wires) > laid else idle + 1
            way = -way

    def _pass(self, way: int, row: int) -> None:
        """Lay wires of one row and those below it that are still open, always ahead of the last."""
        at = -math.inf
        while self._drop_unreachable():
            ahead = [p for p in self.places if p.row <= row and way * p.along > at + TOUCH]
            ahead.sort(key=_ALONG, reverse=way < 0)
            for first in ahead:
                chosen = _lowest(first, ahead)
                if not self._locks(chosen):
                    break
            else:
                return
            at = way * chosen.along
            self._put(chosen)

    def _locks(self, place: _Place) -> bool:
        """Tell whether a wire at this place takes the way from another place."""
        if place.shuts <= self.path.reach:
            return False
        return any(
            p.x + 0.5 <= place.shuts and math.hypot(p.x - place.x, p.y - place.y) >= 1.0 - TOUCH
            for p in self.places
        )

    def _drop_unreachable(self) -> bool:
        """Forget the places that wire cannot reach any more; tell whether any is left."""
        reach = self.path.reach
        self.places = [p for p in self.places if p.x + 0.5 > reach]
        return bool(self.places)

    def _put(self, place: _Place) -> None:
        """Lay a wire at a place and find the places that it makes."""
        x, y = place.x, place.y
        self._cells.setdefault(_cell(x, y), []).append((x, y, place.row))
        self.wires.append((x, y))
        self.rows.append(place.row)
        self.path.reach = max(self.path.reach, place.shuts)
        left = []
        for p in self.places:
            dx, dy, rise = p.x - x, p.y - y, p.off - place.off
            apart = dx * dx + dy * dy
            if apart < _APART or (rise < -CARRIES and abs(p.along - place.along) < _BESIDE):
                continue
            if apart < _TOUCHES and rise >= -CARRIES:
                p.row = max(p.row, place.row + (rise > CARRIES))
            left.append(p)
        self.places = left
        # whatever touches a spot that touches the new wire is at most two diameters from it
        near, walls = self._near(x, y), self.spots.walls_near(x, y)
        spots = self.spots.against_wires(x, y, near)
        spots += self.spots.against_walls(x, y, 1.0, walls)
        free = self._free(spots, near, walls)
        self._keep(free)

    def _near(self, x: float, y: float) -> list[Wire]:
        """Return the wires in the cells up to two diameters away."""
        at, cells = _cell(x, y), self._cells
        return [w for step in _AROUND if at + step in cells for w in cells[at + step]]

    def _free(self, spots: Iterable[Spot], near: list[Wire], walls: list[Wall]) -> list[Wire]:
        """Return the spots where nothing is in the way of a wire, each once, with its row."""
        free: list[Wire] = []
        for x, y in spots:
            for a, b, _ in free:
                if abs(x - a) + abs(y - b) < SAME:
                    break
            else:
                row = self._row_at(x, y, near)
                if row:
                    free.append((x, y, row))
        return [spot for spot in free if is_clear(spot[0], spot[1], walls)]

    def _keep(self, free: list[Wire]) -> None:
        """Keep the free spots that lie in the window."""
        if not free:
            return
        inside = self.spots.inside([(x, y) for x, y, _ in free])
        for (x, y, row), within in zip(free, inside, strict=True):
            if within:
                along = x * self.along_x + y * self.along_y
                off = x * self.off_x + y * self.off_y
                self.places.append(_Place(x, y, along, off, row, self.path.shut_by(x, y)))

    def _row_at(self, x: float, y: float, near: list[Wire]) -> int:
        """Return the row of a wire at (x, y); 0 if another wire is in its way."""
        row = 1
        off_x, off_y, along_x, along_y = self.off_x, self.off_y, self.along_x, self.along_y
        for wx, wy, its_row in near:
            dx, dy = x - wx, y - wy
            apart = dx * dx + dy * dy
            if apart < _APART:
                return 0
            rise = dx * off_x + dy * off_y
            if rise < -CARRIES:  # so squarely over the place that none gets past it?
                if abs(dx * along_x + dy * along_y) < _BESIDE:
                    return 0
            elif apart < _TOUCHES and row < its_row + (rise > CARRIES):
                row = its_row + (rise > CARRIES)
        return row


def _cell(x: float, y: float) -> int:
    """Return the number of the cell, a diameter wide, in which a place in diameters lies."""
    return _COLUMN * math.floor(x) + math.floor(y)


def _lowest(place: _Place, ahead: list[_Place]) -> _Place:
    """Of a place and those that exclude it, return the one nearest to the tooth."""
    best = place
    for p in ahead:
        if p.off < best.off - SAME:
            dx, dy = p.x - place.x, p.y - place.y
            if dx * dx + dy * dy < _APART:
                best = p
    return best
