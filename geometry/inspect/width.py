"""The widths between pairs of edges: where two edges face each other, and how far apart.

Row by row over arrays of pairs. A width runs from a place on one edge to the nearest place on
the other: from an end, or between the two places where a common normal meets both (a line and
an arc, two arcs), or across the middle of sides that are parallel. It counts if the sides
slant against each other by at most `SLANT`; a corner that points at the other edge, so that
both its own edges fall back, counts as square.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.inspect.edge_table import EdgeTable, cross, left, unit

if TYPE_CHECKING:
    from geometry.inspect.edge_table import Flags, Floats, Rows
    from geometry.inspect.facing import Ground

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
        return Widths(
            self.size[rows],
            self.a[rows],
            self.b[rows],
            self.first[rows],
            self.second[rows],
            self.side[rows],
        )


def widths_of_pairs(ground: Ground, first: Rows, second: Rows) -> Widths:
    """Return every width between the edges of each pair, narrowest first.

    Args:
        ground: edges in closed loops, material on the left, and their order.
        first, second: rows of the pairs.
    """
    import numpy as np

    parts = [_across(ground, first, second)]
    parts += [_common_normal(ground, first, second, sign) for sign in ((1, -1), (1, 1), (-1, -1))]
    for x, y in ((first, second), (second, first)):
        for end in (0.0, 1.0):
            parts.append(_from_place(ground, x, np.full(len(x), end), y))
    joined = Widths(
        np.concatenate([w.size for w in parts]),
        np.concatenate([w.a for w in parts]),
        np.concatenate([w.b for w in parts]),
        np.concatenate([w.first for w in parts]),
        np.concatenate([w.second for w in parts]),
        np.concatenate([w.side for w in parts]),
    )
    # Stable, so that of equal widths the one across the middle of parallel sides comes first.
    return joined.take(np.argsort(np.round(joined.size, 7), kind="stable"))


def _side(ground: Ground, rows: Rows, fraction: Floats, to: Floats) -> tuple[Rows, Floats]:
    """Return on which side of edge `rows` a width leaves (+1 left, -1 right), and its slant (rad)."""
    import numpy as np

    edges = ground.table.take(rows)
    square = (to * left(edges.way(fraction))).sum(axis=1)
    side = np.sign(square)
    slant = np.arccos(np.clip(np.abs(square), 0.0, 1.0))
    at_start, at_end = fraction <= 0.0, fraction >= 1.0
    arriving = np.where(at_start, ground.before[rows], rows)
    leaving = np.where(at_end, ground.after[rows], rows)
    way_in = ground.table.take(arriving).way(1.0)
    way_out = ground.table.take(leaving).way(0.0)
    falls_back = ((to * way_in).sum(axis=1) >= -_PARALLEL) & (
        (to * way_out).sum(axis=1) <= _PARALLEL
    )
    corner = (at_start | at_end) & falls_back
    side = np.where(corner, np.sign(cross(way_in, to) + cross(way_out, to)), side)
    return side.astype(np.int64), np.where(corner, 0.0, slant)


def _judged(
    ground: Ground, x: Rows, fx: Floats, y: Rows, fy: Floats, p: Floats, q: Floats
) -> Widths:
    """Return the rows whose width counts at both ends, on the same side."""
    import numpy as np

    size = np.hypot(*(q - p).T)
    rows = np.flatnonzero(np.isfinite(size) & (size > _NOTHING))
    x, y, fx, fy, p, q, size = x[rows], y[rows], fx[rows], fy[rows], p[rows], q[rows], size[rows]
    to = unit(q - p)
    (side, slant), (other, second) = _side(ground, x, fx, to), _side(ground, y, fy, -to)
    keep = (side == other) & (side != 0) & (slant + second <= SLANT)
    return Widths(size, p, q, x, y, side).take(keep)


def _from_place(ground: Ground, x: Rows, fx: Floats, y: Rows) -> Widths:
    """Return the widths from a place on each edge `x` to the nearest place on edge `y`."""
    p = ground.table.take(x).at(fx)
    other = ground.table.take(y)
    _, fy = other.nearest(p)
    return _judged(ground, x, fx, y, fy, p, other.at(fy))


def _across(ground: Ground, first: Rows, second: Rows) -> Widths:
    """Return the widths across the middle of parallel lines and of concentric arcs."""
    import numpy as np

    a, b = ground.table.take(first), ground.table.take(second)
    turn = np.abs(cross(unit(a.end - a.start), unit(b.end - b.start)))
    parallel = ~a.is_arc & ~b.is_arc & (turn < _PARALLEL)
    apart = np.hypot(*(a.center - b.center).T)
    concentric = a.is_arc & b.is_arc & (apart < _PARALLEL)
    one, two = a.fraction(b.start), a.fraction(b.end)
    low = np.maximum(np.minimum(one, two), 0.0)
    high = np.minimum(np.maximum(one, two), 1.0)
    rows = np.flatnonzero((parallel | concentric) & (high > low))
    middle = (low[rows] + high[rows]) / 2
    return _from_place(ground, first[rows], middle, second[rows])


def _common_normal(ground: Ground, first: Rows, second: Rows, sign: tuple[int, int]) -> Widths:
    """Return the widths along the common normal of a line and an arc, or of two arcs.

    The normal of a line and an arc runs through the centre; that of two arcs through both.
    `sign` tells on which side of each centre, seen along the way to the other one, the places
    lie: (1, -1) between two arcs that bulge towards each other, (1, 1) and (-1, -1) where one
    holds the other.
    """
    import numpy as np

    a, b = ground.table.take(first), ground.table.take(second)
    foot_a, foot_b = _foot(a, b.center), _foot(b, a.center)
    to = unit(np.where(b.is_arc[:, None], b.center, foot_b) - np.where(a.is_arc[:, None], a.center, foot_a))  # fmt: skip
    p = np.where(a.is_arc[:, None], a.center + sign[0] * a.radius[:, None] * to, foot_a)
    q = np.where(b.is_arc[:, None], b.center + sign[1] * b.radius[:, None] * to, foot_b)
    fa, fb = a.fraction(p), b.fraction(q)
    inside = (fa > 0.0) & (fa < 1.0) & (fb > 0.0) & (fb < 1.0) & (a.is_arc | b.is_arc)
    rows = np.flatnonzero(inside)
    return _judged(ground, first[rows], fa[rows], second[rows], fb[rows], p[rows], q[rows])


def _foot(line: EdgeTable, places: Floats) -> Floats:
    """Return the foot of each place on the carrier of each line."""
    way = unit(line.end - line.start)
    along = ((places - line.start) * way).sum(axis=1)
    foot: Floats = line.start + along[:, None] * way
    return foot
