"""Where edges cross or touch other than at shared ends: line/line, line/arc and arc/arc, exact.

Ends that lie within the join tolerance of each other are a joint and cross nothing. An end that
lies on the inside of another edge touches it, and so do two edges that graze each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from geometry.inspect.chains import JOIN
from geometry.inspect.edge_table import EdgeTable, cross, in_chunks, left, unit
from geometry.point import Point

if TYPE_CHECKING:
    from geometry.inspect.edge_table import Flags, Floats, Rows

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
            pairs that lie on each other (see `geometry.inspect.overlap`) left out.
    """
    return in_chunks(_crossings, table, (first, second), MOST)


def _crossings(table: EdgeTable, first: Rows, second: Rows) -> list[Crossing]:
    import numpy as np

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
    import numpy as np

    to_start = np.hypot(*(places - edges.start).T)
    to_end = np.hypot(*(places - edges.end).T)
    near: Flags = np.minimum(to_start, to_end) <= JOIN
    return near


def meetings(a: EdgeTable, b: EdgeTable) -> tuple[Floats, Floats]:
    """Return the two places where the carriers of each pair meet; NaN where they do not."""
    import numpy as np

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
    import numpy as np

    way = a.end - a.start
    det = cross(way, b.end - b.start)
    slant = np.abs(det) > 1e-12 * a.length * b.length
    t = cross(b.start - a.start, b.end - b.start) / np.where(slant, det, np.nan)
    met: Floats = a.start + t[:, None] * way
    return met


def _line_arc(line: EdgeTable, arc: EdgeTable) -> tuple[Floats, Floats]:
    import numpy as np

    way = unit(line.end - line.start)
    to_center = arc.center - line.start
    off = cross(way, to_center)
    foot = line.start + (to_center * way).sum(axis=1)[:, None] * way
    half = _half_chord(arc.radius, np.abs(off))[:, None] * way
    return foot - half, foot + half


def _arc_arc(a: EdgeTable, b: EdgeTable) -> tuple[Floats, Floats]:
    import numpy as np

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
    import numpy as np

    square = radius**2 - off**2
    misses = off > radius + JOIN
    half: Floats = np.where(misses, np.nan, np.sqrt(np.maximum(square, 0.0)))
    return half
