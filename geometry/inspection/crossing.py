"""Where edges cross or touch other than at shared ends: line/line, line/arc and arc/arc, exact.

Ends that lie within the join tolerance of each other are a joint and cross nothing. An end that
lies on the inside of another edge touches it, and so do two edges that graze each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from geometry.inspection.chains import JOIN
from geometry.inspection.edge_table import (
    EdgeTable,
    Flags,
    Floats,
    Rows,
    cross,
    in_chunks,
    left,
    unit,
)
from geometry.point import Point

#     Edges that lie on each other: doubled ones, and partial overlaps of lines and of arcs.
#
# Two edges overlap where a stretch of one, longer than `SHORTEST`, stays within `WITHIN` of the
# other: equal or collinear lines, equal or concentric arcs, a flat arc on a line. The stretch
# begins and ends at an end of one of the edges, which is exact for edges on one carrier.

#: Edges that stay this close are cut as one (design guides of cutting shops), mm.
WITHIN = 0.01
_MICRON = 0.001
#: After so many the file is known to be scribble; the rest is not listed.
MOST_OVERLAP = 50_000
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
        for k in again[:MOST_OVERLAP]
    )
    return np.sort(first), found


def overlaps(table: EdgeTable, first: Rows, second: Rows) -> tuple[Overlap, ...]:
    """Return the overlaps among pairs of edges.

    Args:
        table: edges of at most half a turn.
        first, second: rows of the pairs to look at, from `near_pairs(table, WITHIN)`.
    """
    return in_chunks(_overlaps, table, (first, second), MOST_OVERLAP)


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
            pairs that lie on each other (see `geometry.inspection.crossing`) left out.
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
    """Return the two places where the carriers of each pair meet; NaN where they do not."""

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
