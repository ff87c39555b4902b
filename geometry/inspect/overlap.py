"""Edges that lie on each other: doubled ones, and partial overlaps of lines and of arcs.

Two edges overlap where a stretch of one, longer than `SHORTEST`, stays within `WITHIN` of the
other: equal or collinear lines, equal or concentric arcs, a flat arc on a line. The stretch
begins and ends at an end of one of the edges, which is exact for edges on one carrier.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.inspect.edge_table import EdgeTable, in_chunks
from geometry.point import Point

if TYPE_CHECKING:
    from geometry.inspect.edge_table import Flags, Floats, Rows

#: Edges that stay this close are cut as one (design guides of cutting shops), mm.
WITHIN = 0.01
_MICRON = 0.001
#: After so many the file is known to be scribble; the rest is not listed.
MOST = 50_000
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
    import numpy as np

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
        for k in again[:MOST]
    )
    return np.sort(first), found


def overlaps(table: EdgeTable, first: Rows, second: Rows) -> tuple[Overlap, ...]:
    """Return the overlaps among pairs of edges.

    Args:
        table: edges of at most half a turn.
        first, second: rows of the pairs to look at, from `near_pairs(table, WITHIN)`.
    """
    return in_chunks(_overlaps, table, (first, second), MOST)


def _overlaps(table: EdgeTable, first: Rows, second: Rows) -> list[Overlap]:
    import numpy as np

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
    import numpy as np

    low, high = np.full(len(a), 2.0), np.full(len(a), -2.0)
    for places, fixed in ((a.start, 0.0), (a.end, 1.0)):
        near = b.nearest(places)[0] <= WITHIN
        low, high = _widened(low, high, near, np.full(len(a), fixed))
    for places in (b.start, b.end):
        distance, fraction = a.nearest(places)
        low, high = _widened(low, high, distance <= WITHIN, fraction)
    return low, high


def _widened(low: Floats, high: Floats, on: Flags, at: Floats) -> tuple[Floats, Floats]:
    import numpy as np

    return np.where(on, np.minimum(low, at), low), np.where(on, np.maximum(high, at), high)


def _stays_close(a: EdgeTable, b: EdgeTable, low: Floats, high: Floats) -> Flags:
    """Tell for which rows `a` stays on `b` all along the stretch; arcs and lines need few probes."""
    import numpy as np

    close = np.ones(len(a), dtype=bool)
    for part in (0.25, 0.5, 0.75):
        close &= b.nearest(a.at(low + part * (high - low)))[0] <= WITHIN
    return close
