"""Rows of circles in a polygon, in a millisecond or two: a count that is proven, not the largest.

    leaning rows, 0.866 apart           rows that do not nest, 1 apart
     ( )( )( )( )                        ( )( )( )( )
      ( )( )( )( )                          ( )( )( )
     ( )( )( )                           ( )( )( )( )( )

Rows run along the longest walls. Where a row enters and leaves the places that a centre may take is
found in closed form, so the best shift along the rows is exact: some circle then touches a wall.
Across the rows a few shifts are tried: against each parallel wall, and an even grid.
Lengths in diameters, as in `geometry.packing.region`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import numpy as np
import shapely

from geometry.packing.region import REACH, Floats, Region

#: Directions of rows tried, shifts across them, and fillings checked exactly.
DIRECTIONS, EVEN_SHIFTS, CHECKED = 4, 8, 3
#: Walls shorter than this give no direction: chords of a round.
LEAST_WALL = 0.5
#: Rows keep this much off the wall they touch, so that rounding puts them inside.
NUDGE = 1e-10

#: Distance of two rows and how far the second leans.
PATTERNS = ((math.sqrt(3.0) / 2.0, 0.5), (1.0, 0.0))


def rows(region: Region) -> Floats:
    """Return centres (n, 2) in rows, the fullest that were found; none if nothing fits."""
    free = shapely.buffer(region.polygon, -REACH, join_style="mitre", mitre_limit=20.0)
    rings = [np.asarray(r.coords) for part in shapely.get_parts(free) for r in _rings(part)]
    if not rings:
        return np.empty((0, 2))
    start = np.vstack([r[:-1] for r in rings])
    end = np.vstack([r[1:] for r in rings])
    found: list[tuple[int, int, Callable[[], Floats]]] = []
    for along in _directions(region):
        turn = np.array([[along[0], -along[1]], [along[1], along[0]]])  # columns: along, across
        for pitch, lean in PATTERNS:
            count, lay = _best(start @ turn, end @ turn, pitch, lean)
            found.append((-count, len(found), partial(_turned_back, lay, turn)))
    found.sort(key=lambda f: f[:2])
    # A corner that juts in is rounded, which the mitred outline does not know.
    best = np.empty((0, 2))
    for count, _, points in found[:CHECKED]:
        if -count > len(best):
            laid = points()
            laid = laid[region.clearance(laid) >= REACH - 1e-12]
            best = laid if len(laid) > len(best) else best
    return best


def _turned_back(lay: Callable[[], Floats], turn: Floats) -> Floats:
    """Return the centres of rows along the first axis, turned back to where they belong."""
    return lay() @ turn.T


def _rings(part: shapely.Polygon) -> list[shapely.LinearRing]:
    return [] if part.is_empty else [part.exterior, *part.interiors]


def _directions(region: Region) -> list[Floats]:
    """Return unit vectors along the longest walls, each direction once."""
    chosen: list[Floats] = []
    for e in np.argsort(-region.length, kind="stable"):
        if len(chosen) == DIRECTIONS or (chosen and region.length[e] < LEAST_WALL):
            break
        x, y = region.along[e]
        if all(abs(x * c[1] - y * c[0]) > 1e-6 for c in chosen):
            chosen.append(region.along[e])
    return chosen


def _best(
    start: Floats, end: Floats, pitch: float, lean: float
) -> tuple[int, Callable[[], Floats]]:
    """Return how many circles the best rows along the first axis hold, and what lays them."""
    low, high = float(start[:, 1].min()), float(start[:, 1].max())
    flat = start[np.abs(start[:, 1] - end[:, 1]) < 1e-9, 1]
    period = 2.0 * pitch if lean else pitch
    first = np.concatenate(
        [low + NUDGE + period * np.arange(EVEN_SHIFTS) / EVEN_SHIFTS,
         flat + NUDGE, flat - NUDGE, flat + NUDGE + pitch, flat - NUDGE + pitch]
    )  # fmt: skip
    first = low + np.array(sorted(set(((first - low) % period).tolist())))
    number = math.ceil((high - low) / pitch) + 2
    heights = first[:, None] + pitch * (np.arange(number) - 2)
    enter, leave = _crossings(start, end, heights.ravel())
    shape = (len(first), number, enter.shape[1])
    enter, leave = enter.reshape(shape), leave.reshape(shape)
    shift = np.where(np.arange(number) % 2 == 1, lean, 0.0)[:, None]
    enter, leave = enter - shift, leave - shift
    if not lean:
        starts, held = _one_after_another(enter, leave)
        best = int(held.argmax())
        begin = starts[best]
    else:
        wished = np.concatenate([enter, leave], axis=1).reshape(len(first), 1, -1) % 1.0
        wished = np.where(np.isfinite(wished), wished, 0.0)
        a, b = enter.reshape(len(first), -1, 1), leave.reshape(len(first), -1, 1)
        held = np.floor(b - wished + NUDGE) - np.ceil(a - wished - NUDGE) + 1.0
        held = _none_if_nan(held).sum(axis=1)
        best, column = (int(k) for k in np.unravel_index(int(held.argmax()), held.shape))
        at = float(wished[best, 0, column])
        begin = at + np.ceil(enter[best] - at - NUDGE)
    return int(held.max()), partial(_laid, begin, leave[best], shift, heights[best])


def _one_after_another(enter: Floats, leave: Floats) -> tuple[Floats, Floats]:
    """Return where circles begin in each stretch of a row, and how many all rows hold.

    What parts two stretches of a row may be narrower than a circle: the later one then begins
    where the last circle before it leaves off.

    Args:
        enter, leave: (shifts, rows, stretches); nan for none.
    """
    begin, held = enter.copy(), np.zeros(len(enter))
    free = np.full(enter.shape[:2], -np.inf)
    for k in range(enter.shape[2]):
        begin[..., k] = np.maximum(enter[..., k], free)
        number = _none_if_nan(np.floor(leave[..., k] - begin[..., k] + NUDGE) + 1.0)
        free = np.where(number > 0.0, begin[..., k] + number, free)
        held += number.sum(axis=1)
    return begin, held


def _none_if_nan(held: Floats) -> Floats:
    """Return counts, 0 where a line does not meet the rings or too little is left."""
    return np.where(held > 0.0, held, 0.0)


def _crossings(start: Floats, end: Floats, heights: Floats) -> tuple[Floats, Floats]:
    """Return where level lines enter and leave the rings, (rows, k) each; nan where they do not."""
    (u0, v0), (u1, v1) = start.T, end.T
    level = heights[:, None]
    over = (v0 <= level) != (v1 <= level)
    slope = (u1 - u0) / np.where(v1 == v0, 1.0, v1 - v0)
    at = np.where(over, u0 + (level - v0) * slope, np.inf)
    most = int(over.sum(axis=1).max(initial=0))
    at = np.sort(at, axis=1)[:, : most + most % 2]
    at = np.where(np.isfinite(at), at, np.nan)
    return at[:, 0::2], at[:, 1::2]


def _laid(begin: Floats, leave: Floats, shift: Floats, heights: Floats) -> Floats:
    """Return the centres (n, 2) of rows that begin and must end there, both (rows, k)."""
    spots = [
        (x + k, y)
        for from_, to, lean, y in zip(begin, leave, shift, heights.tolist(), strict=True)
        for x, last in zip((from_ + lean).tolist(), (to + lean).tolist(), strict=True)
        if x <= last + NUDGE
        for k in range(math.floor(last - x + NUDGE) + 1)
    ]
    return np.array(spots).reshape(-1, 2)
