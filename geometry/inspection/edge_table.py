"""Many edges at once, as arrays: what checks over thousands of edges reckon with.

Row k of an `EdgeTable` is edge k; every method works row by row, so `table.take(rows)` pairs
edges with points or with other edges. Exact lines and arcs, no chords.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

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

        flat = [v for e in edges for p in (e.start, e.end, _center(e)) for v in p]
        places = np.array(flat, dtype=float).reshape(-1, 6)
        start, end, center = places[:, :2], places[:, 2:4], places[:, 4:]
        ccw = np.array([_sense(e) for e in edges], dtype=float)
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
        return EdgeTable(
            self.start[rows], self.end[rows], self.center[rows], self.radius[rows], self.sweep[rows]
        )

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
        """Return where on each carrier a place lies: 0 at the start of the edge, 1 at its end."""

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

    def chords(self, sagitta: float) -> tuple[Floats, Rows]:
        """Return the corners after each edge's start whose chords stray `sagitta` mm, and how many."""

        share = np.clip(1 - sagitta / np.where(self.is_arc, self.radius, 1.0), -1.0, 1.0)
        step = np.minimum(2 * np.arccos(share), np.pi / 2)
        count = np.where(self.is_arc, np.ceil(np.abs(self.sweep) / step), 1).astype(np.int64)
        count = np.maximum(count, 1)
        owner = np.repeat(np.arange(len(self)), count)
        number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
        return self.take(owner).at((number + 1) / count[owner]), count

    def boxes(self) -> Floats:
        """Return (x min, y min, x max, y max) of each edge, arcs included, (n, 4)."""

        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        for quarter in range(4):
            reach = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]][quarter])
            tip = self.center + self.radius[:, None] * reach
            f = self.fraction(tip)
            on = (self.is_arc & (f > 0.0) & (f < 1.0))[:, None]
            low, high = (
                np.where(on, np.minimum(low, tip), low),
                np.where(on, np.maximum(high, tip), high),
            )
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


def _center(edge: Segment) -> Point:
    return edge.center if isinstance(edge, Arc) else edge.start


def _sense(edge: Segment) -> float:
    """Return 1 for an arc that runs counter-clockwise, -1 clockwise, 0 for a line."""
    if not isinstance(edge, Arc):
        return 0.0
    return 1.0 if edge.ccw else -1.0


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
