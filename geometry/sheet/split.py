"""A piece that no page holds, cut into equal lengths that lap or butt.

+-------------:---+                 : where the edge of the neighbour comes to lie
|  part A     :   |
+-------------:---+
          +---:-------------+
          |   :    part B   |       a straight cut right across, so that nothing has to be
          +---:-------------+       matched but two straight edges
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from geometry.clip import clipped_to_box, runs_in
from geometry.outline import Region
from geometry.part import Path
from geometry.point import Point
from geometry.segment import Box, Line
from geometry.sheet.cell import caption_band, cell_of
from geometry.sheet.piece import Parting, Piece

#: More lengths than this would be a strip of joints.
MOST_PARTS = 6


def parted(piece: Piece, rooms: Sequence[tuple[float, float]]) -> tuple[Piece, ...]:
    """Return the fewest equal lengths of `piece` of which a page holds each; none if none do.

    Args:
        piece: has to be larger than every room, and of one region.
        rooms: width and height of the rooms on pages, mm.
    """
    if piece.parting is None or len(piece.regions) != 1 or piece.regions[0].holes:
        return ()
    for count in range(2, MOST_PARTS + 1):
        parts = tuple(_length(piece, piece.parting, k, count) for k in range(count))
        if all(any(_held(part, room, count) for room in rooms) for part in parts):
            return parts
    return ()


def _held(part: Piece, room: tuple[float, float], count: int) -> bool:
    """Tell whether a page with this room holds the part under captions for all parts."""
    free = room[0], room[1] - count * caption_band([part], room[0])
    ways = (0.0, math.pi / 2)
    return any(cell_of(part, way, free, "0" * 8) is not None for way in ways)


def _length(piece: Piece, parting: Parting, k: int, count: int) -> Piece:
    """Return the k-th (from 0) of `count` lengths."""
    lap, along_x = parting.lap, parting.axis == "x"
    x0, y0, x1, y1 = piece.box
    low, high = (x0, x1) if along_x else (y0, y1)
    each = (high - low + (count - 1) * lap) / count
    start = low + k * (each - lap)
    stop = start + each
    first, last = k == 0, k == count - 1
    window = _window(
        piece.box, along_x, low - 1.0 if first else start, high + 1.0 if last else stop
    )
    (outer,) = clipped_to_box(piece.regions[0].outer, window)
    edges = [
        at for at, there in ((start + lap, not first), (stop - lap, not last)) if there and lap
    ]
    lines = (
        Line(Point(at, y0), Point(at, y1)) if along_x else Line(Point(x0, at), Point(x1, at))
        for at in edges
    )
    letter = chr(ord("A") + k)
    how = f"that lap {lap:g} mm" if lap else "that butt"
    return replace(
        piece,
        regions=(Region(outer),),
        name=f"{piece.name} part {letter}",
        kind=f"{piece.kind or piece.name}, part {letter} of {count} {how}",
        fold=_within(piece.fold, window),
        mark=_within(piece.mark, window),
        reference=(*_within(piece.reference, window), *(Path((e,)) for e in lines)),
        parting=None,
    )


def _window(box: Box, along_x: bool, low: float, high: float) -> Box:
    x0, y0, x1, y1 = box
    return (low, y0 - 1.0, high, y1 + 1.0) if along_x else (x0 - 1.0, low, x1 + 1.0, high)


def _within(paths: Sequence[Path], window: Box) -> tuple[Path, ...]:
    return tuple(Path(run) for path in paths for run in runs_in(path.segments, window))
