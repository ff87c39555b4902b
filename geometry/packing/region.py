"""Where circle centres may lie in a polygon: exact clearances, walls near a circle, holes.

Everything here is measured in circle diameters and from the middle of the polygon's bounding
box, so that a wire of 0.3 mm and a lead of 3 mm see the same numbers.
"""

from __future__ import annotations

import copy
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.packing.near import Fixed, islands, nearest

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

#: A centre stays this far from every wall: half a diameter.
REACH = 0.5
#: Beyond an inside corner a wall still counts for this much of its straight continuation. The
#: corner is then felt smoothly and no allowed place is lost, because there the neighbouring
#: wall is nearer.
OVERRUN = 0.5
#: Spacing of the points at which clearances are tabulated.
GRID_STEP = 0.2
#: A place is never further than this from a point of the grid, which may lack so much room.
BLUR = 0.15
#: Points handled at once, so that points x walls stays a few megabytes.
CHUNK = 1024


@dataclass(frozen=True)
class WallContacts:
    """Which circles are near which straight walls and which outside (reflex) corners."""

    circle: Ints
    wall: Ints
    corner_circle: Ints
    corner: Ints


class Region:
    """A polygon scaled to circle diameters, with its walls as arrays.

    Args:
        polygon: valid, not empty; any orientation; holes allowed.
        diameter: of the circles, in the units of the polygon.
    """

    def __init__(self, polygon: shapely.Polygon, diameter: float) -> None:
        """Scale the polygon and list its walls with the material on their left."""
        low_x, low_y, high_x, high_y = polygon.bounds
        self.diameter = diameter
        self.origin = np.array([(low_x + high_x) / 2.0, (low_y + high_y) / 2.0])
        scaled = shapely.transform(polygon, lambda xy: (xy - self.origin) / diameter)
        self.polygon = shapely.geometry.polygon.orient(scaled)
        shapely.prepare(self.polygon)
        rings = [_ring(ring) for ring in (self.polygon.exterior, *self.polygon.interiors)]
        sizes = [len(ring) for ring in rings]
        first = np.concatenate([[0], np.cumsum(sizes)[:-1]])
        self.start: Floats = np.vstack(rings)
        self.following: Ints = np.concatenate(
            [f + np.roll(np.arange(k), -1) for f, k in zip(first, sizes, strict=True)]
        )
        self.previous: Ints = np.argsort(self.following, kind="stable")
        edge = self.start[self.following] - self.start
        self.length: Floats = np.hypot(edge[:, 0], edge[:, 1])
        self.along: Floats = edge / self.length[:, None]
        self.inward: Floats = np.column_stack([-self.along[:, 1], self.along[:, 0]])
        before = self.along[self.previous]
        turn = before[:, 0] * self.along[:, 1] - before[:, 1] * self.along[:, 0]
        self.reflex: NDArray[np.bool_] = turn < 0.0
        # Many short chords of a round would push many times as hard as one long wall.
        self.weight: Floats = np.clip(self.length / 0.5, 0.08, 1.0)

    def to_units(self, points: Floats) -> Floats:
        """Return points in the units of the polygon."""
        moved: Floats = self.origin + self.diameter * points
        return moved

    def clearance(self, points: Floats) -> Floats:
        """Return the distance of each point to the nearest wall, negative outside; shape (n,)."""
        near = np.empty(len(points))
        for k in range(0, len(points), CHUNK):
            to = points[k : k + CHUNK, None, :] - self.start
            x, y = to[..., 0], to[..., 1]
            t = np.clip(x * self.along[:, 0] + y * self.along[:, 1], 0.0, self.length)
            x = x - t * self.along[:, 0]
            y = y - t * self.along[:, 1]
            near[k : k + CHUNK] = np.sqrt((x * x + y * y).min(axis=1))
        inside = shapely.contains_xy(self.polygon, points[:, 0], points[:, 1])
        return np.where(inside, near, -near)

    @cached_property
    def _middles(self) -> tuple[Fixed, Ints]:
        """Return points on the walls, 0.5 apart, and the wall of each."""
        count = np.maximum(1, np.ceil(self.length / 0.5)).astype(np.int64)
        wall = np.repeat(np.arange(len(count)), count)
        step = np.arange(len(wall)) - np.repeat(np.cumsum(count) - count, count)
        t = (step + 0.5) / count[wall] * self.length[wall]
        return Fixed(self.start[wall] + t[:, None] * self.along[wall]), wall

    @cached_property
    def _corners(self) -> tuple[Fixed, Ints] | None:
        reflex = np.flatnonzero(self.reflex)
        return (Fixed(self.start[reflex]), reflex) if len(reflex) else None

    def contacts(self, points: Floats, drift: float) -> WallContacts:
        """Return the walls and corners that circles may touch after a move of up to `drift`.

        A wall seen from behind by a point that is inside is left out: another wall lies between.
        """
        reach = REACH + drift
        middles, owner = self._middles
        i, j = middles.near(points, math.hypot(reach, OVERRUN) + 0.25)
        code = np.sort(i * len(self.start) + owner[j])
        code = code[np.diff(code, prepend=-1) > 0]
        i, e = np.divmod(code, len(self.start))
        keep = self._faces(points, i, e, drift)
        none = np.empty(0, dtype=np.int64)
        if self._corners is None:
            return WallContacts(i[keep], e[keep], none, none)
        corners, reflex = self._corners
        ci, c = corners.near(points, reach)
        code = np.sort(ci * len(reflex) + c)
        ci, c = np.divmod(code, len(reflex))
        return WallContacts(i[keep], e[keep], ci, reflex[c])

    def _faces(self, points: Floats, i: Ints, e: Ints, drift: float) -> NDArray[np.bool_]:
        """Tell which (point, wall) pairs really face each other."""
        to = points[i] - self.start[e]
        t = (to * self.along[e]).sum(axis=1)
        height = (to * self.inward[e]).sum(axis=1)
        end_reflex = self.reflex[self.following[e]]
        low = np.where(self.reflex[e], -drift, -OVERRUN)
        high = self.length[e] + np.where(end_reflex, drift, OVERRUN)
        some = i[np.diff(i, prepend=-1) > 0]
        inside = np.ones(len(points), dtype=bool)
        inside[some] = shapely.contains_xy(self.polygon, points[some, 0], points[some, 1])
        keep: NDArray[np.bool_] = (np.abs(height) < REACH + drift) & (t > low) & (t < high)
        keep &= (height > -1e-9) | ~inside[i]
        over = ((t < 0.0) & ~self.reflex[e]) | ((t > self.length[e]) & ~end_reflex)
        k = np.flatnonzero(keep & inside[i] & over)
        other = np.where(t[k] < 0.0, self.previous[e[k]], self.following[e[k]])
        front = ((points[i[k]] - self.start[other]) * self.inward[other]).sum(axis=1)
        keep[k[front < -1e-9]] = False
        return keep

    def rough_clearance(self, points: Floats) -> Floats:
        """Return clearances interpolated in the table, (n,); negative in another part.

        Beside straight walls they are exact. Off the table (clearance below 0.1) it is -1.
        """
        xs, ys, table = self.table
        if len(xs) < 2 or len(ys) < 2:
            return self.clearance(points)
        u = (points[:, 0] - xs[0]) / _step(xs)
        v = (points[:, 1] - ys[0]) / _step(ys)
        on = (u >= 0.0) & (v >= 0.0) & (u <= len(xs) - 1) & (v <= len(ys) - 1)
        u, v = u[on], v[on]
        i = np.minimum(u.astype(np.int64), len(xs) - 2)
        j = np.minimum(v.astype(np.int64), len(ys) - 2)
        a, b = u - i, v - j
        found = (1 - a) * ((1 - b) * table[i, j] + b * table[i, j + 1])
        found += a * ((1 - b) * table[i + 1, j] + b * table[i + 1, j + 1])
        result = np.full(len(points), -1.0)
        result[on] = found
        return result

    def parts(self) -> list[Region]:
        """Return one view for each part of the allowed places that cannot touch the others.

        A view shares all walls; only its table and grid leave the other parts out. Parts count
        as separate when more than a diameter and the blur of the table lie between them.
        """
        x, y, table = self.table
        marks, found = islands(table > REACH - BLUR)
        group = _grouped(x, y, marks, found)
        views = []
        for k in sorted(set(group[1:])):
            other = (marks > 0) & (np.array(group)[marks] != k)
            view = copy.copy(self)
            vars(view).pop("grid", None)
            vars(view)["table"] = (x, y, np.where(other, -1.0, table))
            views.append(view)
        return views

    def centre_area(self) -> tuple[float, float]:
        """Return area and boundary length of the allowed centres, measured on the table."""
        x, y, table = self.table
        cell = _step(x) * _step(y)
        inner = cell * float(np.count_nonzero(table >= REACH))
        band = np.count_nonzero((table >= REACH) & (table < REACH + GRID_STEP))
        return inner, cell * float(band) / GRID_STEP

    @cached_property
    def grid(self) -> tuple[Floats, Floats]:
        """Return grid points that are nearly allowed as centres, (g, 2), and their clearance."""
        x, y, table = self.table
        gx, gy = np.meshgrid(x, y, indexing="ij")
        keep = table > REACH - BLUR
        return np.column_stack([gx[keep], gy[keep]]), table[keep]

    @cached_property
    def table(self) -> tuple[Floats, Floats, Floats]:
        """Return grid abscissae, ordinates and the clearance table (nx, ny)."""
        low_x, low_y, high_x, high_y = self.polygon.bounds
        x = _ticks(low_x, high_x)
        y = _ticks(low_y, high_y)
        gx, gy = np.meshgrid(x, y, indexing="ij")
        clear = self.clearance(np.column_stack([gx.ravel(), gy.ravel()]))
        return x, y, clear.reshape(gx.shape)


def _ticks(low: float, high: float) -> Floats:
    """Return evenly spaced values that begin and end half a step inside the range."""
    count = max(1, math.ceil((high - low) / GRID_STEP))
    half = (high - low) / (2.0 * count)
    return np.linspace(low + half, high - half, count, dtype=np.float64)


def _grouped(x: Floats, y: Floats, marks: Ints, found: int) -> list[int]:
    """Return for every mark 0, 1 ... the smallest mark of all those that lie close to it."""
    group = list(range(found + 1))
    spots = [np.nonzero(marks == k) for k in range(1, found + 1)]
    places = [np.column_stack([x[i], y[j]]) for i, j in spots]
    for a in range(1, found + 1):
        for b in range(a + 1, found + 1):
            if nearest(places[a - 1], places[b - 1]).min() <= 1.0 + 2.0 * BLUR:
                low, high = sorted((group[a], group[b]))
                group = [low if g == high else g for g in group]
    return group


def _step(ticks: Floats) -> float:
    return float(ticks[1] - ticks[0]) if len(ticks) > 1 else GRID_STEP


def _ring(ring: shapely.LinearRing) -> Floats:
    """Return the corners of a ring once each, without repeated points."""
    points: Floats = np.asarray(ring.coords, dtype=np.float64)[:-1, :2]
    edge = np.roll(points, -1, axis=0) - points
    gap = np.hypot(edge[:, 0], edge[:, 1])
    return points[gap > 1e-12 * max(1.0, float(np.abs(points).max()))]
