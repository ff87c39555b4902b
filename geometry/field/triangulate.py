"""Triangles of regions that share exact edges: Delaunay refinement, batch by batch.

Ruppert's algorithm (Journal of Algorithms 18, 1995, 548-585) with the off-centres of Ungor
(Computational Geometry 42, 2009, 109-118) and a wanted size at every place, on the Delaunay
triangulation of scipy (qhull). Every round adds points that are far enough from each other all
at once. The result depends on nothing but the input.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.planar import TOUCH, Planar
from geometry.point import Point
from geometry.segment import Arc

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Circumradius over shortest edge that a triangle may have: smallest angle 24.6 degrees.
RATIO = 1.2
#: Circumradius over wanted size that a triangle may have; an equilateral one has 0.577.
COARSE = 0.8
#: No edge is divided for its angles' sake below this share of the wanted size: acute corners.
FLOOR = 0.1
ROUNDS = 200


@dataclass(frozen=True)
class Size:
    """Wanted length of the triangles' edges in mm, growing with the distance from fine places.

    Args:
        largest: mm, anywhere.
        growth: mm of length per mm of distance.
        points: (place, length there in mm): corners where the field is singular.
        circles: (radius about the origin, length there), mm: the gap.
    """

    largest: float
    growth: float = 0.4
    points: tuple[tuple[Point, float], ...] = ()
    circles: tuple[tuple[float, float], ...] = ()

    def at(self, spots: Array) -> Array:
        """Return the wanted length (mm) at each of the (k, 2) places."""
        wanted = np.full(len(spots), self.largest)
        if self.points:
            places = np.array([p for p, _ in self.points])
            away = np.hypot(*(spots[:, None, :] - places).transpose(2, 0, 1))
            fine = np.array([s for _, s in self.points]) + self.growth * away
            wanted = np.minimum(wanted, fine.min(axis=1))
        for radius, length in self.circles:
            away = np.abs(np.hypot(spots[:, 0], spots[:, 1]) - radius)
            wanted = np.minimum(wanted, length + self.growth * away)
        return np.asarray(wanted)


@dataclass(frozen=True)
class Triangles:
    """Straight triangles and what is needed to bend those on arcs.

    Args:
        points: (n, 2) corners, mm.
        corners: (t, 3) counter-clockwise.
        region: (t,) number of the region that holds the triangle.
        pieces: (m, 2) corners of each piece of an edge that is an arc.
        middles: (m, 2) the place half-way on that arc, mm.
    """

    points: Array
    corners: Index
    region: Index
    pieces: Index
    middles: Array


def refine(graph: Planar, size: Callable[[Array], Array]) -> Triangles:
    """Return triangles of all regions, at most as large as `size` says.

    Args:
        graph: regions and their edges.
        size: (k, 2) places in mm -> (k,) wanted lengths in mm.

    Raises:
        GeometryError: regions that overlap, or edges that cross.
    """
    mesher = _Mesher(graph, size)
    for _ in range(ROUNDS):
        if not mesher.round():
            return mesher.finished()
    raise GeometryError(
        "the regions could not be divided into triangles",
        hint="edges may cross each other; they must meet only at their ends",
    )


class _Mesher:
    """Points on edges (fractions of their length) and inside; one round adds to both."""

    def __init__(self, graph: Planar, size: Callable[[Array], Array]) -> None:
        self.graph, self.size = graph, size
        self.fractions = [self._divided(e) for e in graph.twins]
        self.inside = np.empty((0, 2))
        box = np.array([s.box() for _, _, s in graph.edges])
        low, high = box[:, :2].min(axis=0), box[:, 2:].max(axis=0)
        self.middle, reach = (low + high) / 2, 4 * (high - low).max()
        self.far = self.middle + reach * np.array(
            [[-1.0, -1.1], [1.0, -0.9], [1.1, 1.0], [-0.9, 1.05]]
        )

    def _divided(self, edge: int) -> Array:
        """Return inner fractions that divide an edge as finely as wanted, alike from both ends."""
        fine = np.linspace(0, 1, 65)
        density = self.graph.edges[edge][2].length / self.size(self.graph.points_on(edge, fine))
        count = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2) / 64])
        pieces = max(1, int(np.ceil(count[-1] - 0.15)))
        if isinstance(arc := self.graph.edges[edge][2], Arc):
            pieces = max(pieces, int(np.ceil(abs(arc.sweep) / 0.6)))
        return np.asarray(np.interp(np.arange(1, pieces) / pieces * count[-1], count, fine))

    def _lay(self) -> None:
        """Number all points and the pieces of the edges between them."""
        parts = [np.array(self.graph.vertices, float)]
        self.chains: list[Index] = []
        where, begin, count = [], [], len(parts[0])
        for e, (a, b, _) in enumerate(self.graph.edges):
            inner = self.graph.points_on(e, self.fractions[e])
            parts.append(inner)
            chain = np.concatenate([[a], count + np.arange(len(inner)), [b]])
            self.chains.append(chain.astype(np.intp))
            where.append(np.full(len(chain) - 1, e))
            begin.append(np.arange(len(chain) - 1))
            count += len(inner)
        self.fixed = count
        self.points = np.concatenate([*parts, self.inside])
        self.pieces = np.concatenate([np.stack([c[:-1], c[1:]], axis=1) for c in self.chains])
        self.edge_of, self.place_of = np.concatenate(where), np.concatenate(begin)

    def _triangles(self) -> tuple[Index, Index]:
        """Return the Delaunay triangles inside any region, and the region of each."""
        import shapely
        from scipy.spatial import Delaunay

        # Shifted, as qhull lifts the points to a paraboloid and so squares their coordinates.
        every = np.concatenate([self.points, self.far]) - self.middle
        corners = Delaunay(every).simplices.astype(np.intp)
        corners = corners[(corners < len(self.points)).all(axis=1)]
        x, y = self.points[corners].mean(axis=1).T
        region = np.full(len(corners), -1)
        for k, (_, loops) in enumerate(self.graph.loops):
            rings = [self.points[self._ring(loop)] for loop in loops]
            shape = shapely.Polygon(rings[-1], rings[:-1])
            shapely.prepare(shape)
            region[shapely.contains_xy(shape, x, y)] = k
        return corners[region >= 0], region[region >= 0]

    def _ring(self, loop: tuple[tuple[int, bool], ...]) -> Index:
        """Return the numbers of the points around a loop."""
        return np.concatenate(
            [self.chains[e][:-1] if f else self.chains[e][:0:-1] for e, f in loop]
        )

    def round(self) -> bool:
        """Divide pieces that are missing or encroached, else split bad triangles; False if good.

        Raises GeometryError where no division helps.
        """
        self._lay()
        self.corners, self.region = self._triangles()
        n = len(self.points)
        a, b = self.corners[:, [1, 2, 0]], self.corners[:, [2, 0, 1]]
        keys = np.minimum(a, b) * n + np.maximum(a, b)
        to_a, to_b = (
            self.points[a] - self.points[self.corners],
            self.points[b] - self.points[self.corners],
        )
        obtuse = keys[
            np.einsum("tkx,tkx->tk", to_a, to_b) < -1e-9 * np.abs(to_a * to_b).sum(axis=2)
        ]
        mine = self.pieces.min(axis=1) * n + self.pieces.max(axis=1)
        ends = self.points[self.pieces]
        length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
        wanted = self.size(ends.mean(axis=1))
        missing = ~np.isin(mine, keys)
        self.divisible = length > 2 * FLOOR * wanted
        split = missing | (np.isin(mine, obtuse) & self.divisible)
        if (length[missing] < 10 * TOUCH).any():
            x, y = ends[missing][length[missing].argmin()].mean(axis=0)
            raise GeometryError("two edges cross or nearly touch", where=(x, y))
        if split.any():
            self._divide(split)
            return True
        return self._insert(length)

    def _divide(self, split: NDArray[np.bool_]) -> None:
        """Halve pieces of edges, on both rays alike."""
        for e in np.unique(self.edge_of[split]):
            stops = np.concatenate([[0.0], self.fractions[e], [1.0]])
            k = self.place_of[split & (self.edge_of == e)]
            halved = np.sort(np.concatenate([self.fractions[e], (stops[k] + stops[k + 1]) / 2]))
            self.fractions[e] = halved
            twin = self.graph.twins[e]
            for other in {twin, *(i for i, t in enumerate(self.graph.twins) if t == twin)}:
                self.fractions[other] = halved

    def _insert(self, length: Array) -> bool:
        """Add points inside bad triangles; where such a point encroaches on a piece, halve that."""
        spots, rank = self._candidates()
        if not len(spots):
            return False
        ends = self.points[self.pieces]
        middle, radius = ends.mean(axis=1), length / 2
        away = np.hypot(*(spots[:, None, :] - middle).transpose(2, 0, 1))
        close = away < radius * (1 - 1e-9)
        split = (close & self.divisible).any(axis=0)
        free = ~close.any(axis=1)
        apart = 0.7 * self.size(spots)
        chosen: list[int] = []
        blocked = np.zeros(len(spots), bool)
        for k in rank:
            if free[k] and not blocked[k]:
                chosen.append(k)
                d = spots - spots[k]
                blocked |= d[:, 0] ** 2 + d[:, 1] ** 2 < np.minimum(apart, apart[k]) ** 2
        if split.any():
            self._divide(split)
        self.inside = np.concatenate([self.inside, spots[chosen]])
        return bool(chosen) or bool(split.any())

    def _candidates(self) -> tuple[Array, Index]:
        """Return the places that would mend the bad triangles, and their order: coarsest first."""
        p = self.points[self.corners]
        sides = p[:, [2, 0, 1]] - p[:, [1, 2, 0]]
        lengths = np.hypot(sides[..., 0], sides[..., 1])
        area = (sides[:, 0, 0] * sides[:, 1, 1] - sides[:, 0, 1] * sides[:, 1, 0]) / 2
        radius = lengths.prod(axis=1) / (4 * area)
        wanted = self.size(p.mean(axis=1))
        short = lengths.min(axis=1)
        coarse = radius > COARSE * wanted
        skinny = (radius > RATIO * short) & (short > FLOOR * wanted)
        bad = np.flatnonzero(coarse | skinny)
        k = lengths[bad].argmin(axis=1)
        first, along = p[bad, (k + 1) % 3], sides[bad, k]
        span = lengths[bad, k]
        normal = np.stack([-along[:, 1], along[:, 0]], axis=1) / span[:, None]
        apex = p[bad, k] - first
        height = np.sqrt(np.maximum(radius[bad] ** 2 - span**2 / 4, 0))
        third = np.einsum("tx,tx->t", apex, normal)
        # The circumcentre lies on the apex' side of the shortest edge, which faces the
        # smallest angle; an off-centre is nearer, where the new triangle is just good enough.
        reach = np.minimum(
            height,
            np.maximum(span, 0.8 * wanted[bad]) * 1.05 * (RATIO + np.sqrt(RATIO**2 - 0.25)) * 0.75,
        )
        reach = np.where(third > 0, reach, -reach)
        spots = first + along / 2 + normal * reach[:, None]
        return spots, np.argsort(-radius[bad] / wanted[bad], kind="stable")

    def finished(self) -> Triangles:
        """Return the triangles of the last round; raises GeometryError if regions overlap."""
        p = self.points[self.corners]
        u, v = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
        areas = (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
        for k, (name, loops) in enumerate(self.graph.loops):
            want = 0.0
            for loop in loops:
                x, y = self.points[self._ring(loop)].T
                want += float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
            got = float(areas[self.region == k].sum())
            if abs(got - want) > 1e-9 * max(want, 1.0):
                raise GeometryError(
                    f"region {name} overlaps another, or its edges cross (mm2 left, mm2 wanted)",
                    value=got,
                    limit=want,
                )
        bent, middles = [], []
        for e, (_, _, segment) in enumerate(self.graph.edges):
            if isinstance(segment, Arc):
                stops = np.concatenate([[0.0], self.fractions[e], [1.0]])
                middles.append(self.graph.points_on(e, (stops[:-1] + stops[1:]) / 2))
                bent.append(np.stack([self.chains[e][:-1], self.chains[e][1:]], axis=1))
        none, nowhere = np.empty((0, 2), np.intp), np.empty((0, 2))
        return Triangles(
            self.points,
            self.corners,
            self.region,
            np.concatenate([none, *bent]),
            np.concatenate([nowhere, *middles]),
        )
