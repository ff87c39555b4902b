"""Many edges at once, as arrays: which come near, lie on, cross or touch each other.

Row k of an `EdgeTable` is edge k; every method works row by row, so `table.take(rows)` pairs
edges with points or with other edges. Exact lines and arcs, no chords.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.inspection.chains import JOIN
from geometry.point import Point
from geometry.segment import Arc, Segment

Floats = NDArray[np.float64]

Rows = NDArray[np.int64]

Flags = NDArray[np.bool_]

T = TypeVar("T")

#: An edge is cut into at most so many pieces when boxes are compared.
MOST_PIECES = 64
#: Pieces are no longer than this share of the drawing.
_FINE = 40
#: Pairs of edges that are compared at most; a file with more is all scribble.
MOST_PAIRS = 1_500_000
#: Pairs that are examined in one go, to bound the memory.
CHUNK = 200_000
#: Edges whose neighbours are looked up in one go.
_BATCH = 256


@dataclass(frozen=True)
class EdgeTable:
    """Edges as arrays of n rows; lengths in mm.

    Args:
        start, end: (n, 2) places.
        center: (n, 2) centre of an arc; of a line any point.
        radius: (n,) radius of an arc; 0 for a line.
        sweep: (n,) signed angle of an arc in rad; 0 for a line.
    """

    start: Floats
    end: Floats
    center: Floats
    radius: Floats
    sweep: Floats

    @staticmethod
    def of(edges: Sequence[Segment]) -> EdgeTable:
        """Return the table of `edges`, in order."""
        flat = [
            v
            for e in edges
            for p in (e.start, e.end, e.center if isinstance(e, Arc) else e.start)
            for v in p
        ]
        places = np.array(flat, dtype=float).reshape(-1, 6)
        start, end, center = places[:, :2], places[:, 2:4], places[:, 4:]
        # 1 for an arc that runs counter-clockwise, -1 clockwise, 0 for a line
        ccw = np.array([2.0 * e.ccw - 1.0 if isinstance(e, Arc) else 0.0 for e in edges])
        a, b = start - center, end - center
        turn = np.arctan2(cross(a, b), (a * b).sum(axis=1))
        turn = np.where(turn * ccw > 0, turn, turn + 2 * np.pi * ccw)  # as Arc.sweep
        radius = np.where(ccw != 0, np.hypot(a[:, 0], a[:, 1]), 0.0)
        return EdgeTable(start, end, center, radius, np.where(ccw != 0, turn, 0.0))

    def __len__(self) -> int:
        """Return the number of edges."""
        return len(self.radius)

    def take(self, rows: Rows | Flags) -> EdgeTable:
        """Return the table of the given rows (indices or a mask)."""
        return EdgeTable(*(array[rows] for array in vars(self).values()))

    @property
    def is_arc(self) -> Flags:
        """Which rows are arcs."""
        return self.radius > 0

    @property
    def length(self) -> Floats:
        """Length of every edge in mm."""
        chord = np.hypot(*(self.end - self.start).T)
        return np.where(self.is_arc, abs(self.sweep) * self.radius, chord)

    def at(self, fraction: Floats | float) -> Floats:
        """Return the place at a fraction (0..1) of each edge, (n, 2)."""
        f = np.broadcast_to(np.asarray(fraction, dtype=float), self.radius.shape)[:, None]
        straight = self.start + f * (self.end - self.start)
        spoke = turned(self.start - self.center, self.sweep * f[:, 0])
        return np.where(self.is_arc[:, None], self.center + spoke, straight)

    def way(self, fraction: Floats | float) -> Floats:
        """Return the unit vector of travel at a fraction of each edge, (n, 2)."""
        f = np.broadcast_to(np.asarray(fraction, dtype=float), self.radius.shape)
        spoke = turned(self.start - self.center, self.sweep * f)
        tangent = left(spoke) * np.sign(self.sweep)[:, None]
        return unit(np.where(self.is_arc[:, None], tangent, self.end - self.start))

    def fraction(self, places: Floats) -> Floats:
        """Return where on each supporting curve a place lies: 0 at the start of the edge, 1 at its end."""
        run = self.end - self.start
        square = np.maximum((run**2).sum(axis=1), 1e-300)
        straight = ((places - self.start) * run).sum(axis=1) / square
        middle = turned(self.start - self.center, self.sweep / 2)
        spoke = places - self.center
        turn = np.arctan2(cross(middle, spoke), (middle * spoke).sum(axis=1))
        bent = 0.5 + turn / np.where(self.is_arc, self.sweep, 1.0)
        where: Floats = np.where(self.is_arc, bent, straight)
        return where

    def nearest(self, places: Floats) -> tuple[Floats, Floats]:
        """Return (distance, fraction 0..1) of the point of each edge next to each place."""
        f = self.fraction(places)
        inside = (f > 0.0) & (f < 1.0)
        to_start = np.hypot(*(places - self.start).T)
        to_end = np.hypot(*(places - self.end).T)
        f = np.where(inside, f, np.where(to_start <= to_end, 0.0, 1.0))
        foot = np.where(
            inside[:, None],
            self.at(f),
            np.where((to_start <= to_end)[:, None], self.start, self.end),
        )
        return np.hypot(*(places - foot).T), f

    def boxes(self) -> Floats:
        """Return (x min, y min, x max, y max) of each edge, arcs included, (n, 4)."""
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        for reach in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)):
            tip = self.center + self.radius[:, None] * np.array(reach)
            f = self.fraction(tip)
            on = (self.is_arc & (f > 0.0) & (f < 1.0))[:, None]
            low = np.where(on, np.minimum(low, tip), low)
            high = np.where(on, np.maximum(high, tip), high)
        return np.hstack([low, high])


def near_pairs(table: EdgeTable, reach: float) -> tuple[Rows, Rows, bool]:
    """Return rows (i, j), i < j, of all edges that may come within `reach` mm of each other.

    Long edges are compared piece by piece, so that a long slanted line does not meet everything
    in its box. The third value is False if the file has more than `MOST_PAIRS` such pairs; then
    the first ones are returned.
    """
    owner, boxes = pieces(table, 4 * reach)
    boxes = boxes + np.array([-reach, -reach, reach, reach]) / 2
    tree = shapely.STRtree(shapely.box(*boxes.T))
    first = np.searchsorted(owner, np.arange(0, len(table) + _BATCH, _BATCH))
    found: list[Rows] = []
    total = 0
    for a, b in pairwise(first):
        mine, other = tree.query(shapely.box(*boxes[a:b].T))
        i, j = owner[a + mine], owner[other]
        keys = np.unique((i * len(table) + j)[i < j])
        found.append(keys)
        total += len(keys)
        if total > MOST_PAIRS:
            break
    keys = np.concatenate(found)[:MOST_PAIRS] if found else np.zeros(0, dtype=np.int64)
    return keys // len(table), keys % len(table), total <= MOST_PAIRS


def in_chunks(
    look: Callable[[EdgeTable, Rows, Rows], list[T]],
    table: EdgeTable,
    pairs: tuple[Rows, Rows],
    most: int,
) -> tuple[T, ...]:
    """Return what `look` finds among pairs of edges, `CHUNK` pairs at a time.

    Args:
        look: takes the table and two rows of edge numbers.
        table: the edges.
        pairs: numbers of the first and of the second edge of each pair.
        most: after so many the rest is not looked at.
    """
    first, second = pairs
    found: list[T] = []
    for k in range(0, len(first), CHUNK):
        found += look(table, first[k : k + CHUNK], second[k : k + CHUNK])
        if len(found) > most:
            break
    return tuple(found)


def pieces(table: EdgeTable, least: float = 1e-9) -> tuple[Rows, Floats]:
    """Return edge and box of every piece; an edge that is short beside the others is one piece.

    Pieces shorter than `least` mm would not tell more.
    """
    length = table.length
    reach = np.ptp(np.concatenate([table.start, table.end]), axis=0).max() if len(table) else 1.0
    step = max(min(2 * float(length.mean()), reach / _FINE), least) if len(table) else 1.0
    count = np.clip(np.ceil(length / step), 1, MOST_PIECES).astype(np.int64)
    owner = np.repeat(np.arange(len(table)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    whole = table.take(owner)
    a, b = whole.at(number / count[owner]), whole.at((number + 1) / count[owner])
    part = EdgeTable(a, b, whole.center, whole.radius, whole.sweep / count[owner])
    return owner, part.boxes()


def cross(a: Floats, b: Floats) -> Floats:
    """Return the z part of the vector product row by row."""
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


def left(a: Floats) -> Floats:
    """Return each vector turned a quarter turn counter-clockwise."""
    return np.column_stack([-a[:, 1], a[:, 0]])


def unit(a: Floats) -> Floats:
    """Return each vector at length 1; (0, 0) stays."""
    size = np.hypot(a[:, 0], a[:, 1])
    return a / np.where(size > 0, size, 1.0)[:, None]


def turned(a: Floats, angle: Floats) -> Floats:
    """Return each vector turned counter-clockwise by its angle in rad."""
    c, s = np.cos(angle), np.sin(angle)
    return np.column_stack([c * a[:, 0] - s * a[:, 1], s * a[:, 0] + c * a[:, 1]])


# Where edges cross or touch other than at shared ends: line/line, line/arc and arc/arc, exact.
#
# Ends that lie within the join tolerance of each other are a joint and cross nothing. An end that
# lies on the inside of another edge touches it, and so do two edges that graze each other.

# Edges that lie on each other: doubled ones, and partial overlaps of lines and of arcs.
#
# Two edges overlap where a stretch of one, longer than `SHORTEST`, stays within `WITHIN` of the
# other: equal or collinear lines, equal or concentric arcs, a flat arc on a line. The stretch
# begins and ends at an end of one of the edges, which is exact for edges on one supporting curve.

#: Edges that stay this close are cut as one (design guides of cutting shops), mm.
WITHIN = 0.01
_MICRON = 0.001
#: After so many the file is known to be scribble; the rest is not listed.
MOST_OVERLAPS = 50_000
#: A shared stretch shorter than twice that is an end that overshoots, mm.
SHORTEST = 0.02


@dataclass(frozen=True)
class Overlap:
    """Two edges on each other: their numbers, the middle of the shared stretch, its length in mm.

    `whole` tells that both edges are shared from end to end: one of them is a double.
    """

    first: int
    second: int
    where: Point
    length: float
    whole: bool


def doubles(table: EdgeTable) -> tuple[Rows, tuple[Overlap, ...]]:
    """Return the rows of all different edges, and an overlap for each that repeats one of them.

    Equal are edges whose ends (in either order) and middle round to the same micrometre; what
    is nearly equal is found by `overlaps`.
    """
    ends = np.round(np.hstack([table.start, table.end]) / _MICRON)
    flip = (ends[:, 0] > ends[:, 2]) | ((ends[:, 0] == ends[:, 2]) & (ends[:, 1] > ends[:, 3]))
    ends = np.where(flip[:, None], ends[:, [2, 3, 0, 1]], ends)
    middle = table.at(0.5)
    rows = np.hstack([ends, np.round(middle / _MICRON)])
    _, first, which = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    original = first[which.reshape(-1)]
    again = np.flatnonzero(original != np.arange(len(table)))
    length = table.length
    again = again[length[again] > 5 * _MICRON]  # the halves of a speck round to each other
    found = tuple(
        Overlap(int(original[k]), int(k), Point(*map(float, middle[k])), float(length[k]), True)
        for k in again  # all of them: one left in would be chained and nested with all others
    )
    return np.sort(first), found


def overlaps(table: EdgeTable, first: Rows, second: Rows) -> tuple[Overlap, ...]:
    """Return the overlaps among pairs of edges.

    Args:
        table: edges of at most half a turn.
        first, second: rows of the pairs to look at, from `near_pairs(table, WITHIN)`.
    """
    return in_chunks(_overlaps, table, (first, second), MOST_OVERLAPS)


def _overlaps(table: EdgeTable, first: Rows, second: Rows) -> list[Overlap]:
    a, b = table.take(first), table.take(second)
    low, high = _stretch(a, b)
    length = (high - low) * a.length
    rows = np.flatnonzero(length >= SHORTEST)
    rows = rows[_stays_close(a.take(rows), b.take(rows), low[rows], high[rows])]
    middle = a.take(rows).at((low[rows] + high[rows]) / 2)
    slack = 2 * WITHIN
    whole = (length[rows] >= a.length[rows] - slack) & (length[rows] >= b.length[rows] - slack)
    return [
        Overlap(int(i), int(j), Point(float(x), float(y)), float(size), bool(w))
        for i, j, (x, y), size, w in zip(
            first[rows], second[rows], middle, length[rows], whole, strict=True
        )
    ]


def _stretch(a: EdgeTable, b: EdgeTable) -> tuple[Floats, Floats]:
    """Return the fractions of `a` between which ends of one edge lie on the other; low > high: none."""
    low, high = np.full(len(a), 2.0), np.full(len(a), -2.0)
    for places, fixed in ((a.start, 0.0), (a.end, 1.0)):
        near = b.nearest(places)[0] <= WITHIN
        low, high = _widened(low, high, near, np.full(len(a), fixed))
    for places in (b.start, b.end):
        distance, fraction = a.nearest(places)
        low, high = _widened(low, high, distance <= WITHIN, fraction)
    return low, high


def _widened(low: Floats, high: Floats, on: Flags, at: Floats) -> tuple[Floats, Floats]:
    return np.where(on, np.minimum(low, at), low), np.where(on, np.maximum(high, at), high)


def _stays_close(a: EdgeTable, b: EdgeTable, low: Floats, high: Floats) -> Flags:
    """Tell for which rows `a` stays on `b` all along the stretch; arcs and lines need few probes."""
    close = np.ones(len(a), dtype=bool)
    for part in (0.25, 0.5, 0.75):
        close &= b.nearest(a.at(low + part * (high - low)))[0] <= WITHIN
    return close


Kind = Literal["cross", "touch"]

#: After so many the file is known to be scribble; the rest is not listed.
MOST = 10_000


@dataclass(frozen=True)
class Crossing:
    """Two edges, by their numbers, that cross or touch at a place (mm)."""

    first: int
    second: int
    where: Point
    kind: Kind


def crossings(table: EdgeTable, first: Rows, second: Rows) -> tuple[Crossing, ...]:
    """Return every crossing and touch among pairs of edges, in order of the pairs (`MOST` or more at most).

    Args:
        table: edges of at most half a turn.
        first, second: rows of the pairs to look at, from `near_pairs(table, JOIN)` or more;
            pairs that lie on each other (see `geometry.inspection.edges`) left out.
    """
    return in_chunks(_crossings, table, (first, second), MOST)


def _crossings(table: EdgeTable, first: Rows, second: Rows) -> list[Crossing]:
    a, b = table.take(first), table.take(second)
    found: dict[tuple[int, int, int], tuple[int, Floats, bool]] = {}
    for places in (*meetings(a, b), b.start, b.end, a.start, a.end):
        on = (a.nearest(places)[0] <= JOIN) & (b.nearest(places)[0] <= JOIN)
        rows = np.flatnonzero(on)
        at_a, at_b = (_near_an_end(t.take(rows), places[rows]) for t in (a, b))
        keep = ~(at_a & at_b)
        rows, touch = rows[keep], (at_a | at_b)[keep]
        for row, touches in zip(rows[:MOST], touch[:MOST], strict=True):
            x, y = (round(float(v) / (4 * JOIN)) for v in places[row])
            key = (int(row), x, y)
            if not _known(found, key):
                found[key] = (int(row), places[row], bool(touches))
    return [
        Crossing(
            int(first[row]),
            int(second[row]),
            Point(float(spot[0]), float(spot[1])),
            "touch" if touches else "cross",
        )
        for row, spot, touches in sorted(found.values(), key=lambda f: f[0])
    ]


def _known(found: dict[tuple[int, int, int], tuple[int, Floats, bool]], key: tuple[int, int, int]) -> bool:  # fmt: skip
    row, x, y = key
    return any((row, x + dx, y + dy) in found for dx in (-1, 0, 1) for dy in (-1, 0, 1))


def _near_an_end(edges: EdgeTable, places: Floats) -> Flags:
    to_start = np.hypot(*(places - edges.start).T)
    to_end = np.hypot(*(places - edges.end).T)
    near: Flags = np.minimum(to_start, to_end) <= JOIN
    return near


def meetings(a: EdgeTable, b: EdgeTable) -> tuple[Floats, Floats]:
    """Return the two places where the supporting curves of each pair meet; NaN where they do not."""
    one = np.full((len(a), 2), np.nan)
    two = one.copy()
    straight = ~a.is_arc & ~b.is_arc
    one[straight] = _line_line(a.take(straight), b.take(straight))
    for lines, arcs in ((a, b), (b, a)):
        rows = ~lines.is_arc & arcs.is_arc
        one[rows], two[rows] = _line_arc(lines.take(rows), arcs.take(rows))
    bent = a.is_arc & b.is_arc
    one[bent], two[bent] = _arc_arc(a.take(bent), b.take(bent))
    return np.nan_to_num(one, nan=1e18), np.nan_to_num(two, nan=1e18)


def _line_line(a: EdgeTable, b: EdgeTable) -> Floats:
    way = a.end - a.start
    det = cross(way, b.end - b.start)
    slant = np.abs(det) > 1e-12 * a.length * b.length
    t = cross(b.start - a.start, b.end - b.start) / np.where(slant, det, np.nan)
    met: Floats = a.start + t[:, None] * way
    return met


def _line_arc(line: EdgeTable, arc: EdgeTable) -> tuple[Floats, Floats]:
    way = unit(line.end - line.start)
    to_center = arc.center - line.start
    off = cross(way, to_center)
    foot = line.start + (to_center * way).sum(axis=1)[:, None] * way
    half = _half_chord(arc.radius, np.abs(off))[:, None] * way
    return foot - half, foot + half


def _arc_arc(a: EdgeTable, b: EdgeTable) -> tuple[Floats, Floats]:
    between = b.center - a.center
    d = np.hypot(*between.T)
    d = np.where(d > 1e-9, d, np.nan)  # concentric circles meet nowhere or everywhere
    x = (d * d + a.radius**2 - b.radius**2) / (2 * d)
    # Grazing circles: the place between them, whichever way rounding went.
    x = np.where(np.abs(np.abs(x) - a.radius) <= JOIN, np.sign(x) * np.minimum(np.abs(x), a.radius), x)  # fmt: skip
    foot = a.center + x[:, None] * between / d[:, None]
    half = _half_chord(a.radius, np.abs(x))[:, None] * left(between) / d[:, None]
    return foot - half, foot + half


def _half_chord(radius: Floats, off: Floats) -> Floats:
    """Return half the chord at distance `off` from the centre: 0 if it grazes, NaN if it misses."""
    square = radius**2 - off**2
    misses = off > radius + JOIN
    half: Floats = np.where(misses, np.nan, np.sqrt(np.maximum(square, 0.0)))
    return half
