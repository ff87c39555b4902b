"""The minimum features of a sheet: narrowest web and slot, smallest hole, tightest inside corner.

A `width` is the shortest line between two edges that face each other; in material it is a web,
in the void a slot. That finds the throat between two holes, between a hole and the rim, the
sides of a tooth and the thin end of a tip. It passes over the round or chamfer of a corner, whose
sides slant by more than 40 degrees, and over notches and bumps, which are wider than deep.

Which edges face each other is told by the Delaunay triangles of points sampled on all edges; the
width of each such pair then follows from closed forms on the exact lines and arcs, row by row over
arrays of pairs, so a width that is found is exact to rounding (1e-9 mm). It runs from a place on one
edge to the nearest place on the other: from an end, or between the two places where a common normal
meets both (a line and an arc, two arcs), or across the middle of sides that are parallel. It counts
if the sides slant against each other by at most `SLANT`; a corner that points at the other edge, so
that both its own edges fall back, counts as square.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import STRtree

from geometry.inspection.edges import (
    EdgeTable,
    Flags,
    Floats,
    Rows,
    cross,
    left,
    meetings,
    pieces,
    unit,
)
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.tolerance import SAME_PLACE

#: How far two sides may slant against each other (rad); the sides of a rounded corner do more.
SLANT = math.radians(40.0)
#: Widths below this are joints (mm).
_NOTHING = 1e-6
#: Sides are parallel, arcs concentric, within this (rad, mm).
_PARALLEL = 1e-9


@dataclass(frozen=True)
class Widths:
    """Rows of widths: size in mm, both ends, the two edges, and +1 for a web, -1 for a slot."""

    size: Floats
    a: Floats
    b: Floats
    first: Rows
    second: Rows
    side: Rows

    def take(self, rows: Rows | Flags | slice) -> Widths:
        """Return some of the rows."""
        return Widths(*(array[rows] for array in vars(self).values()))


def widths_of_pairs(graph: EdgeGraph, first: Rows, second: Rows) -> Widths:
    """Return every width between the edges of each pair, narrowest first.

    Args:
        graph: edges in closed loops, material on the left, and their order.
        first, second: rows of the pairs.
    """
    parts = [_across(graph, first, second)]
    parts += [_common_normal(graph, first, second, sign) for sign in ((1, -1), (1, 1), (-1, -1))]
    for x, y in ((first, second), (second, first)):
        for end in (0.0, 1.0):
            parts.append(_from_place(graph, x, np.full(len(x), end), y))
    joined = Widths(*map(np.concatenate, zip(*(vars(w).values() for w in parts), strict=True)))
    # Stable, so that of equal widths the one across the middle of parallel sides comes first.
    return joined.take(np.argsort(np.round(joined.size, 7), kind="stable"))


def _side(graph: EdgeGraph, rows: Rows, fraction: Floats, to: Floats) -> tuple[Rows, Floats]:
    """Return on which side of edge `rows` a width leaves (+1 left, -1 right), and its slant (rad)."""
    edges = graph.table.take(rows)
    square = (to * left(edges.way(fraction))).sum(axis=1)
    side = np.sign(square)
    slant = np.arccos(np.clip(np.abs(square), 0.0, 1.0))
    at_start, at_end = fraction <= 0.0, fraction >= 1.0
    arriving = np.where(at_start, graph.before[rows], rows)
    leaving = np.where(at_end, graph.after[rows], rows)
    way_in = graph.table.take(arriving).way(1.0)
    way_out = graph.table.take(leaving).way(0.0)
    falls_back = ((to * way_in).sum(axis=1) >= -_PARALLEL) & (
        (to * way_out).sum(axis=1) <= _PARALLEL
    )
    corner = (at_start | at_end) & falls_back
    side = np.where(corner, np.sign(cross(way_in, to) + cross(way_out, to)), side)
    return side.astype(np.int64), np.where(corner, 0.0, slant)


def _judged(
    graph: EdgeGraph, x: Rows, fx: Floats, y: Rows, fy: Floats, p: Floats, q: Floats
) -> Widths:
    """Return the rows whose width counts at both ends, on the same side."""
    size = np.hypot(*(q - p).T)
    rows = np.flatnonzero(np.isfinite(size) & (size > _NOTHING))
    x, y, fx, fy, p, q, size = x[rows], y[rows], fx[rows], fy[rows], p[rows], q[rows], size[rows]
    to = unit(q - p)
    (side, slant), (other, second) = _side(graph, x, fx, to), _side(graph, y, fy, -to)
    keep = (side == other) & (side != 0) & (slant + second <= SLANT)
    return Widths(size, p, q, x, y, side).take(keep)


def _from_place(graph: EdgeGraph, x: Rows, fx: Floats, y: Rows) -> Widths:
    """Return the widths from a place on each edge `x` to the nearest place on edge `y`."""
    p = graph.table.take(x).at(fx)
    other = graph.table.take(y)
    _, fy = other.nearest(p)
    return _judged(graph, x, fx, y, fy, p, other.at(fy))


def _across(graph: EdgeGraph, first: Rows, second: Rows) -> Widths:
    """Return the widths across the middle of parallel lines and of concentric arcs."""
    a, b = graph.table.take(first), graph.table.take(second)
    turn = np.abs(cross(unit(a.end - a.start), unit(b.end - b.start)))
    parallel = ~a.is_arc & ~b.is_arc & (turn < _PARALLEL)
    apart = np.hypot(*(a.center - b.center).T)
    concentric = a.is_arc & b.is_arc & (apart < _PARALLEL)
    one, two = a.fraction(b.start), a.fraction(b.end)
    low = np.maximum(np.minimum(one, two), 0.0)
    high = np.minimum(np.maximum(one, two), 1.0)
    rows = np.flatnonzero((parallel | concentric) & (high > low))
    middle = (low[rows] + high[rows]) / 2
    return _from_place(graph, first[rows], middle, second[rows])


def _common_normal(graph: EdgeGraph, first: Rows, second: Rows, sign: tuple[int, int]) -> Widths:
    """Return the widths along the common normal of a line and an arc, or of two arcs.

    The normal of a line and an arc runs through the centre; that of two arcs through both.
    `sign` tells on which side of each centre, seen along the way to the other one, the places
    lie: (1, -1) between two arcs that bulge towards each other, (1, 1) and (-1, -1) where one
    holds the other.
    """
    a, b = graph.table.take(first), graph.table.take(second)
    foot_a, foot_b = _foot(a, b.center), _foot(b, a.center)
    to = unit(np.where(b.is_arc[:, None], b.center, foot_b) - np.where(a.is_arc[:, None], a.center, foot_a))  # fmt: skip
    p = np.where(a.is_arc[:, None], a.center + sign[0] * a.radius[:, None] * to, foot_a)
    q = np.where(b.is_arc[:, None], b.center + sign[1] * b.radius[:, None] * to, foot_b)
    fa, fb = a.fraction(p), b.fraction(q)
    inside = (fa > 0.0) & (fa < 1.0) & (fb > 0.0) & (fb < 1.0) & (a.is_arc | b.is_arc)
    rows = np.flatnonzero(inside)
    return _judged(graph, first[rows], fa[rows], second[rows], fb[rows], p[rows], q[rows])


def _foot(line: EdgeTable, places: Floats) -> Floats:
    """Return the foot of each place on the carrier of each line."""
    way = unit(line.end - line.start)
    along = ((places - line.start) * way).sum(axis=1)
    foot: Floats = line.start + along[:, None] * way
    return foot


# Which edges of a sheet face each other, and whether what lies between is free and long.

#: Points sampled on all edges together, beside three on every edge.
SAMPLES = 12_000
#: How often they are made denser, how much at a time, and how many they may become.
_ROUNDS = 4
_GROWTH = 8
#: Samples need not lie closer than this (mm): between two rows of them all pairs are found.
_FINEST = 0.3
MOST_SAMPLES = 120_000
#: How far they are put aside, in distances between neighbours, and by which uneven shares.
_ASIDE = 0.2
_UNEVEN = (0.6180339887, 0.7548776662)
_HAIR = 1e-3
#: Boxes that are looked up in one go, to bound the memory.
_PORTION = 4096
#: A width belongs to a slot or web if, one width further along, the sides are still this near
#: (in widths) to the middle ...
_STILL_NEAR = 0.75
#: ... or if the way round from one end to the other is this long (in widths): a pocket.
_POCKET = 4.0


@dataclass(frozen=True)
class EdgeGraph:
    """The edges of all loops: their table, the order in their loops, and an index of places.

    `loop_of` is the loop of each edge, `run` the length of its loop before it, `whole` the
    length of its loop (mm); `tree` indexes pieces of the edges `tree_edges`.
    """

    table: EdgeTable
    before: Rows
    after: Rows
    loop_of: Rows
    run: Floats
    whole: Floats
    tree: STRtree
    tree_edges: Rows

    @staticmethod
    def of(loops: Sequence[Outline]) -> EdgeGraph:
        """Return the graph of `loops`, whose material lies on the left of travel."""
        table = EdgeTable.of([s for loop in loops for s in loop.segments])
        counts = np.array([len(loop.segments) for loop in loops])
        loop_of = np.repeat(np.arange(len(loops)), counts)
        first = np.cumsum(counts) - counts
        after = np.arange(1, len(table) + 1)
        after[np.cumsum(counts) - 1] = first
        owner, boxes = pieces(table)
        before = np.empty_like(after)
        before[after] = np.arange(len(table))
        length = table.length
        sums = np.cumsum(length) - length
        return EdgeGraph(
            table,
            before,
            after,
            loop_of,
            sums - sums[first][loop_of],
            np.add.reduceat(length, first)[loop_of],
            shapely.STRtree(shapely.box(*boxes.T)),
            owner,
        )

    def is_free(self, widths: Widths) -> Flags:
        """Tell which widths no edge crosses between their ends."""
        inset = _inset(widths.a, widths.b)
        return self._open(widths.a + inset, widths.b - inset)

    def is_long(self, widths: Widths) -> Flags:
        """Tell which widths lie across a slot or web rather than a notch or bump.

        A notch is not deeper than wide: one width further on, to either side, its sides are gone.
        """
        i, j = widths.first, widths.second
        place = [
            self.run[k] + self.table.take(k).fraction(p) * self.table.length[k]
            for k, p in ((i, widths.a), (j, widths.b))
        ]
        round_way = np.abs(place[0] - place[1])
        round_way = np.minimum(round_way, self.whole[i] - round_way)
        long: Flags = (self.loop_of[i] != self.loop_of[j]) | (round_way >= _POCKET * widths.size)
        middle = (widths.a + widths.b) / 2
        for way in (1.0, -1.0):
            rows = np.flatnonzero(~long)
            span = (widths.b - widths.a)[rows]
            probe = middle[rows] + way * left(span)
            near = self._near(probe, _STILL_NEAR * widths.size[rows])
            rows, probe = rows[near], probe[near]
            # A hair off the middle: the end of a tooth or slot lies on the line itself.
            long[rows] = self._open(middle[rows] + _HAIR * (probe - middle[rows]), probe)
        return long

    def _near(self, places: Floats, reach: Floats) -> Flags:
        """Tell which places have an edge within their reach."""
        near = np.zeros(len(places), dtype=bool)
        boxes = np.hstack([places - reach[:, None], places + reach[:, None]])
        for spot, edge in self._hits(boxes):
            distance, _ = self.table.take(edge).nearest(places[spot])
            near[spot[distance <= reach[spot]]] = True
        return near

    def _open(self, a: Floats, b: Floats) -> Flags:
        """Tell between which places no edge lies."""
        none = np.zeros(len(a))
        bars = EdgeTable(a, b, np.zeros_like(a), none, none)
        is_open = np.ones(len(bars), dtype=bool)
        for bar, edge in self._hits(bars.boxes()):
            lines, edges = bars.take(bar), self.table.take(edge)
            for spots in meetings(lines, edges):
                on_line, on_edge = lines.nearest(spots)[0], edges.nearest(spots)[0]
                is_open[bar[(on_line < SAME_PLACE) & (on_edge < SAME_PLACE)]] = False
        return is_open

    def _hits(self, boxes: Floats) -> Iterator[tuple[Rows, Rows]]:
        """Yield (box, edge) of every edge that may reach into a box, in portions."""
        for k in range(0, len(boxes), _PORTION):
            box, piece = self.tree.query(shapely.box(*boxes[k : k + _PORTION].T))
            yield box + k, self.tree_edges[piece]


def facing_pairs(graph: EdgeGraph, circle: Rows) -> tuple[Rows, Rows]:
    """Return pairs of edges that have nothing between them at some place.

    Edges are sampled more densely where another edge is near, until the samples on an edge lie
    no further apart than the next edge is away.

    Args:
        graph: the edges.
        circle: a number for each edge; edges with the same one are not paired.
    """
    table, n = graph.table, len(graph.table)
    length = table.length
    step = max(float(length.sum()) / SAMPLES, 1e-6)
    count = np.clip(np.ceil(length / step), 3, max(3, SAMPLES)).astype(np.int64)
    known = np.zeros(0, dtype=np.int64)
    for _ in range(_ROUNDS):
        i, j, apart = _neighbours(table, count)
        keep = (i != j) & (circle[i] != circle[j])
        i, j, apart = i[keep], j[keep], apart[keep]
        known = np.union1d(known, i * n + j)
        far = (graph.after[i] != j) & (graph.after[j] != i)
        near = np.full(n, np.inf)
        for k in (i, j):
            np.minimum.at(near, k[far], apart[far])
        wanted = np.ceil(length / np.maximum(near, _FINEST)).astype(np.int64)
        wanted = np.minimum(np.maximum(wanted, count), _GROWTH * count)
        if wanted.sum() > MOST_SAMPLES or (wanted == count).all():
            break
        count = wanted
    return known // n, known % n


def _neighbours(table: EdgeTable, count: Rows) -> tuple[Rows, Rows, Floats]:
    """Return edges i <= j that share a side of a triangle of their samples, and its length."""
    from scipy.spatial import Delaunay, QhullError

    owner = np.repeat(np.arange(len(table)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    spots = table.take(owner).at((number + 0.5) / count[owner])
    # Thousands of points on one line or circle make the triangulation slow: put each aside a bit.
    shares = np.outer(np.arange(len(spots)), _UNEVEN) % 1.0 - 0.5
    aside = spots + _ASIDE * (table.length / count)[owner][:, None] * shares
    try:
        corners = Delaunay(aside).simplices
    except QhullError:  # all points on one line: nothing faces anything
        corners = np.zeros((0, 3), dtype=np.int64)
    ends = np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]])
    apart = np.hypot(*(spots[ends[:, 0]] - spots[ends[:, 1]]).T)
    edges = np.sort(owner[ends], axis=1)
    return edges[:, 0], edges[:, 1], apart


def _inset(a: Floats, b: Floats) -> Floats:
    """Return a small step from `a` towards `b`: off the edges that a width ends on."""
    size = np.hypot(*(b - a).T)
    step: Floats = np.minimum(1e-3 * size, 1e-6)[:, None] * unit(b - a)
    return step


Kind = Literal["web", "slot"]
Circle = tuple[Point, float]

#: Widths whose middles lie this close (mm) are one.
_SAME_SPOT = 0.05
#: Widths of neighbouring edges that differ by less (mm) are one slot or web.
_SAME_SIZE = 1e-6
#: Widths that are examined in one go, narrowest first.
_BATCH = 512
#: A loop that encloses less (mm2) has no inside.
_NO_AREA = 1e-6
#: A corner that turns less than this (rad) is a chord of a curve or smooth.
CORNER = math.radians(20.0)


@dataclass(frozen=True)
class Width:
    """A web or slot: its width in mm, both ends, and the numbers of the loops that it lies between."""

    kind: Kind
    size: float
    a: Point
    b: Point
    loops: tuple[int, int]

    @property
    def where(self) -> Point:
        """The middle."""
        return self.a.plus(self.b).times(0.5)


@dataclass(frozen=True)
class Corner:
    """An inside corner: its radius in mm (0 if sharp), its place, the number of its loop."""

    radius: float
    where: Point
    loop: int


def widths(loops: Sequence[Outline], below: float = 0.0) -> list[Width]:
    """Return the narrowest web, the narrowest slot, and all others below a limit.

    Args:
        loops: closed loops with the material on the left of travel, mm.
        below: also list every width below this (mm).

    Returns:
        Widths, narrowest first; one for each pair of edges.
    """
    circles = [loop.as_circle() for loop in loops]
    found = _discs(loops, circles)
    edges = [s for loop in loops for s in loop.segments]
    if not edges:
        return []
    graph = EdgeGraph.of(loops)
    candidates = widths_of_pairs(graph, *facing_pairs(graph, _circles(loops, circles)))
    kinds: tuple[tuple[Kind, int], ...] = (("web", 1), ("slot", -1))
    for kind, side in kinds:
        rows = candidates.take(candidates.side == side)
        known = min((w.size for w in found if w.kind == kind), default=math.inf)
        for k in _narrowest(graph, rows, known, below):
            i, j = int(rows.first[k]), int(rows.second[k])
            a, b = Point(*map(float, rows.a[k])), Point(*map(float, rows.b[k]))
            between = (int(graph.loop_of[i]), int(graph.loop_of[j]))
            found.append(Width(kind, float(rows.size[k]), a, b, between))
    return sorted(found, key=lambda w: w.size)


def _narrowest(graph: EdgeGraph, rows: Widths, known: float, below: float) -> list[int]:
    """Return the first row that is a width, and all others below a limit, one a place."""
    chosen: list[int] = []
    places: set[tuple[int, int]] = set()
    pairs: dict[tuple[int, int], float] = {}
    start, batch = 0, _BATCH
    while start < len(rows.size) and rows.size[start] < max(below, known):
        part = rows.take(slice(start, start + batch))
        for k in np.flatnonzero(graph.is_free(part) & graph.is_long(part)):
            size = float(part.size[k])
            x, y = (part.a[k] + part.b[k]) / 2
            place = (round(float(x) / _SAME_SPOT), round(float(y) / _SAME_SPOT))
            i, j = int(part.first[k]), int(part.second[k])
            if size >= max(below, known) or place in places or _is_told(graph, pairs, i, j, size):
                continue
            chosen.append(start + int(k))
            places.add(place)
            pairs[i, j] = pairs[j, i] = size
            known = min(known, size)
        start, batch = start + batch, batch * 2
    return chosen


def _is_told(
    graph: EdgeGraph, pairs: dict[tuple[int, int], float], i: int, j: int, size: float
) -> bool:
    """Tell whether a pair of edges is listed, or one beside it that is as wide: one slot's mouth."""
    if (i, j) in pairs:
        return True
    around = [(graph.before[k], k, graph.after[k]) for k in (i, j)]
    return any(
        abs(pairs.get((int(a), int(b)), math.inf) - size) < _SAME_SIZE
        for a in around[0]
        for b in around[1]
    )


def _circles(loops: Sequence[Outline], circles: Sequence[Circle | None]) -> Rows:
    """Return for each edge a number that two edges share if they belong to one circle, else its own."""
    numbers: list[int] = []
    for loop, circle in zip(loops, circles, strict=True):
        first, count = len(numbers), len(loop.segments)
        numbers += [first] * count if circle else range(first, first + count)
    return np.array(numbers, dtype=np.int64)


def _discs(loops: Sequence[Outline], circles: Sequence[Circle | None]) -> list[Width]:
    """Return the diameters of round parts, which have no two edges that face each other."""
    found: list[Width] = []
    for number, (loop, circle) in enumerate(zip(loops, circles, strict=True)):
        if circle and loop.ccw:
            (x, y), r = circle
            found.append(Width("web", 2 * r, Point(x - r, y), Point(x + r, y), (number, number)))
    return found


def corners(loops: Sequence[Outline]) -> list[Corner]:
    """Return every inside corner, sharp ones (radius 0) first, then by radius.

    Whole circles are holes, not corners.

    Args:
        loops: closed loops with the material on the left of travel, mm.
    """
    found: list[Corner] = []
    for number, loop in enumerate(loops):
        if loop.as_circle() or loop.area < _NO_AREA:
            continue
        before: Segment = loop.segments[-1]
        for edge in loop.segments:
            a, b = before.direction(1.0), edge.direction(0.0)
            if math.atan2(a.cross(b), a.dot(b)) < -CORNER:
                found.append(Corner(0.0, edge.start, number))
            if isinstance(edge, Arc) and not edge.ccw:
                found.append(Corner(edge.radius, edge.point_at(0.5), number))
            before = edge
    return sorted(found, key=lambda c: c.radius)


def hole_size(loop: Outline) -> tuple[float, Point]:
    """Return the diameter (mm) and centre of a round hole, or of the largest circle in another.

    The circle in a hole that is not round is found to 0.001 mm.
    """
    circle = loop.as_circle()
    if circle:
        return 2 * circle[1], circle[0]

    polygon = shapely.Polygon(loop.chords(0.002))
    line = shapely.maximum_inscribed_circle(polygon, tolerance=0.001)
    (x0, y0), (x1, y1) = line.coords
    return 2 * math.hypot(x1 - x0, y1 - y0), Point(x0, y0)
