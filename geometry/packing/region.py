"""Where circle centres may lie in a polygon: clearances, neighbour lists, exact checks.

Everything here is measured in circle diameters and from the middle of the polygon's bounding
box, so that a wire of 0.3 mm and a lead of 3 mm see the same numbers.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

#: A centre stays this far from every wall: half a diameter.
REACH = 0.5
#: Beyond an inside corner a wall still counts for this much of its straight continuation. The
#: corner is then felt smoothly and no allowed place is lost, because there the neighbouring
#: wall is nearer.
OVERRUN = 0.5
#: Spacing of the grid of places.
GRID_STEP = 0.2
#: A place is never further than this from a point of the grid, which may lack so much.
BLUR = 0.15
#: A gap may lack this much of the diameter; rounding of coordinates costs about 1e-13.
ALLOWED = 5e-10
#: Points handled at once, so that points x walls stays a few megabytes.
CHUNK = 1024


class WallContacts(NamedTuple):
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
        scaled = shapely.remove_repeated_points(scaled, 1e-12 * max(1.0, *np.abs(scaled.bounds)))
        self.polygon = shapely.geometry.polygon.orient(scaled)
        shapely.prepare(self.polygon)
        rings = [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(self.polygon)]
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

    def contacts(self, points: Floats, drift: float) -> WallContacts:
        """Return the walls and corners that circles may touch after a move of up to `drift`.

        A wall seen from behind by a point that is inside is left out: another wall lies between.
        """
        inside = shapely.contains_xy(self.polygon, points[:, 0], points[:, 1])
        end_reflex = self.reflex[self.following]
        t = points @ self.along.T - (self.start * self.along).sum(axis=1)
        height = points @ self.inward.T - (self.start * self.inward).sum(axis=1)
        near = (np.abs(height) < REACH + drift) & ((height > -1e-9) | ~inside[:, None])
        near &= t > np.where(self.reflex, -drift, -OVERRUN)
        near &= t < self.length + np.where(end_reflex, drift, OVERRUN)
        i, e = np.nonzero(near)
        # On the straight continuation of a wall a circle must be in front of the next wall too.
        before, after = t[i, e] < 0.0, t[i, e] > self.length[e]
        other = np.where(before, self.previous[e], self.following[e])
        front = ((points[i] - self.start[other]) * self.inward[other]).sum(axis=1)
        beyond = (before & ~self.reflex[e]) | (after & ~end_reflex[e])
        keep = ~(inside[i] & beyond & (front < -1e-9))
        corners = np.flatnonzero(self.reflex)
        away = points[:, None, :] - self.start[corners]
        ci, c = np.nonzero(np.hypot(away[..., 0], away[..., 1]) <= REACH + drift)
        return WallContacts(i[keep], e[keep], ci, corners[c])

    def holes(self, points: Floats, most: int, apart: float) -> tuple[Floats, Floats]:
        """Return the middles of the largest holes, (k, 2), and the diameters that fit there, (k,).

        Args:
            points: centres of the circles that lie there, (n, 2).
            most: how many holes at most.
            apart: least distance of two holes.
        """
        from scipy.spatial import cKDTree

        places, clear = self.grid
        size = 2.0 * clear
        if len(points):
            size = np.minimum(2.0 * cKDTree(points).query(places)[0] - 1.0, size)
        chosen: list[int] = []
        for k in np.argsort(-size, kind="stable")[: 12 * most]:
            if not chosen or np.hypot(*(places[chosen] - places[k]).T).min() > apart:
                chosen.append(int(k))
            if len(chosen) == most:
                break
        return places[chosen], size[chosen]

    def is_allowed(self, points: Floats) -> bool:
        """Tell whether no circle overlaps another or a wall by more than `ALLOWED`."""
        if not len(points):
            return True
        gap = min(2.0 * float(self.clearance(points).min()), least_distance(points))
        return gap >= 1.0 - ALLOWED

    @cached_property
    def grid(self) -> tuple[Floats, Floats]:
        """Return grid points that are nearly allowed as centres, (g, 2), and their clearance."""
        low_x, low_y, high_x, high_y = self.polygon.bounds
        gx, gy = np.meshgrid(_ticks(low_x, high_x), _ticks(low_y, high_y), indexing="ij")
        places = np.column_stack([gx.ravel(), gy.ravel()])
        clear = self.clearance(places)
        keep = clear > REACH - BLUR
        return places[keep], clear[keep]


def _ticks(low: float, high: float) -> Floats:
    """Return evenly spaced values that begin and end half a step inside the range."""
    count = max(1, math.ceil((high - low) / GRID_STEP))
    half = (high - low) / (2.0 * count)
    return np.linspace(low + half, high - half, count, dtype=np.float64)


def least_distance(points: Floats) -> float:
    """Return the least distance of two of the points; infinity for fewer than two.

    Points are taken from left to right, each with the next, then with the next but one, until all
    of those are further to the right than the least distance so far.
    """
    x, y = points[np.argsort(points[:, 0], kind="stable")].T
    least = math.inf
    for k in range(1, len(x)):
        dx = x[k:] - x[:-k]
        if dx.min() > least:
            break
        least = min(least, float(np.hypot(dx, y[k:] - y[:-k]).min()))
    return least


def parts(polygon: shapely.Polygon, diameter: float) -> list[shapely.Polygon]:
    """Return a polygon for each part whose circles cannot touch those of any other part.

    A part reaches further into the slits between them than any circle does. Parts whose circles may
    touch are one; a polygon of one part comes back as it is.
    """
    near = shapely.buffer(polygon, (BLUR - REACH) * diameter)
    groups = shapely.get_parts(shapely.buffer(near, 0.65 * diameter))
    if len(groups) == 1:
        return [polygon]
    found: list[shapely.Polygon] = []
    for group in groups:
        wide = shapely.intersection(polygon, shapely.buffer(group, 0.3 * diameter))
        places = shapely.intersection(near, group)
        found += [p for p in shapely.get_parts(wide) if shapely.intersection(p, places).area > 0.0]
    return found
