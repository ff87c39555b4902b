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

#: Directions of rows tried along walls, shifts across them, and fillings checked exactly.
DIRECTIONS, EVEN_SHIFTS, CHECKED = 4, 8, 3
#: Even directions that are tried as well where time matters less, and fillings that are then kept.
EVEN_DIRECTIONS, KEPT = 6, 6
#: Walls shorter than this give no direction: chords of a round.
LEAST_WALL = 0.5
#: Rows keep this much off the wall they touch, so that rounding puts them inside, and may lack
#: twice as much, so that they fit where they fill a width exactly.
NUDGE, LACK = 5e-11, 1e-10

#: Distance of two rows and how far the second leans.
PATTERNS = ((math.sqrt(3.0) / 2.0, 0.5), (1.0, 0.0))


def rows(region: Region) -> Floats:
    """Return centres (n, 2) in rows, the fullest that were found; none if nothing fits."""
    return max(_fillings(region, _directions(region), CHECKED), key=len)


def many_rows(region: Region) -> list[Floats]:
    """Return different fillings in rows, each (n, 2), about the fullest first; at least one."""
    turns = np.pi / 3.0 * np.arange(EVEN_DIRECTIONS) / EVEN_DIRECTIONS
    even = np.column_stack([np.cos(turns), np.sin(turns)])
    return _fillings(region, [*_directions(region), *even], KEPT)


def _fillings(region: Region, directions: list[Floats], keep: int) -> list[Floats]:
    """Return the best rows of each direction and pattern, the `keep` that promise most."""
    free = shapely.buffer(region.polygon, LACK - REACH, join_style="mitre", mitre_limit=20.0)
    rings = [shapely.get_coordinates(r) for r in shapely.get_rings(shapely.get_parts(free))]
    if not rings:
        return [np.empty((0, 2))]
    start = np.vstack([r[:-1] for r in rings])
    end = np.vstack([r[1:] for r in rings])
    found = [
        _best(start, end, along, pitch, lean) for along in directions for pitch, lean in PATTERNS
    ]
    laid = [lay() for _, lay in sorted(found, key=lambda f: -f[0])[:keep]]
    # A corner that juts in is rounded, which the mitred outline does not know.
    return [p[region.clearance(p) >= REACH - LACK - 2.0 * NUDGE] for p in laid]


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
    start: Floats, end: Floats, along: Floats, pitch: float, lean: float
) -> tuple[int, Callable[[], Floats]]:
    """Return how many circles the best rows along a direction hold, and what lays them."""
    turn = np.array([[along[0], -along[1]], [along[1], along[0]]])  # columns: along, across
    start, end = start @ turn, end @ turn
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
        held = np.fmax(held, 0.0).sum(axis=1)  # nan where a line does not meet the rings
        best, column = (int(k) for k in np.unravel_index(int(held.argmax()), held.shape))
        at = float(wished[best, 0, column])
        begin = at + np.ceil(enter[best] - at - NUDGE)
    return int(held.max()), partial(_laid, begin, leave[best], shift, heights[best], turn)


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
        number = np.fmax(np.floor(leave[..., k] - begin[..., k] + NUDGE) + 1.0, 0.0)
        free = np.where(number > 0.0, begin[..., k] + number, free)
        held += number.sum(axis=1)
    return begin, held


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


def _laid(begin: Floats, leave: Floats, shift: Floats, heights: Floats, turn: Floats) -> Floats:
    """Return the centres (n, 2) of rows that begin and must end there, both (rows, k).

    Args:
        shift, heights: lean of each row and where it lies across the rows.
        turn: columns are the directions along and across the rows.
    """
    spots = [
        (x + k, y)
        for from_, to, lean, y in zip(begin, leave, shift, heights.tolist(), strict=True)
        for x, last in zip((from_ + lean).tolist(), (to + lean).tolist(), strict=True)
        if x <= last + NUDGE
        for k in range(math.floor(last - x + NUDGE) + 1)
    ]
    return np.array(spots).reshape(-1, 2) @ turn.T
