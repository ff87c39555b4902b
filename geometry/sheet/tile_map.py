"""The map of a tiled figure: which sheet lies where, the figure small behind their names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from geometry.point import Point
from geometry.segment import Arc, Box, Line, Segment
from geometry.sheet.drawing import Item, Items, Stroke, Text, box
from geometry.sheet.paper import Paper, Sheet
from geometry.sheet.taken import Taken

if TYPE_CHECKING:
    from geometry.sheet.tiles import Grid

#: Sizes of a sheet's name that are tried, mm.
NAME_SIZES = (10.0, 7.0, 5.0, 3.5, 2.5)

#: A map is at most this much of the figure.
LARGEST = 0.5

HOW = (
    "Do not cut this sheet. Rows A, B, ... from the top, columns 1, 2, ... from the left.",
    "Cut each sheet at its left and upper joint, lay it over its neighbours, cross on cross; tape. "
    "Begin at the lower right.",
)


def map_sheet(
    items: Items,
    grid: Grid,
    used: Sequence[tuple[str, tuple[int, int]]],
    paper: Paper,
    notes: tuple[str, ...],
) -> Sheet:
    """Return the map.

    Args:
        items: the figure at true size.
        grid: its tiles.
        used: names and places (row, column) of the tiles that are printed.
        paper: what is printed on.
        notes: sentences before those on how to join.
    """
    across, up = grid.columns * grid.steps[0], grid.rows * grid.steps[1]
    wide, high = paper.size(grid.landscape)
    scale = min(LARGEST, (wide - 1.0) / across, (high - 1.0) / up)
    x0, y0, x1, y1 = paper.room(grid.landscape)
    corner = grid.cell(grid.rows - 1, 0)
    to = _View(scale, Point((x0 + x1 - across * scale) / 2, (y0 + y1 - up * scale) / 2),
               Point(corner[0], corner[1]))  # fmt: skip
    shown: list[Item] = [
        Stroke(tuple(to.edge(s) for s in i.segments), "mark")
        for i in items
        if isinstance(i, Stroke)
    ]
    cells = [(name, to.box(grid.cell(*place))) for name, place in used]
    shown += [box(*cell, style="joint") for _, cell in cells]
    taken = Taken(shown)
    for name, cell in cells:
        words = taken.first_free(_places(name, cell))
        shown += [words] if words is not None else []
    check = (
        f"Joined, the outer crosses stand {across:.1f} mm apart across and {up:.1f} mm up: measure."
    )
    return Sheet(tuple(shown), grid.landscape, (*notes, *HOW, check), "map")


class _View:
    """From the figure to the map."""

    def __init__(self, scale: float, at: Point, zero: Point) -> None:
        self.scale, self.at, self.zero = scale, at, zero

    def point(self, p: Point) -> Point:
        return self.at.plus(p.minus(self.zero), self.scale)

    def edge(self, s: Segment) -> Segment:
        a, b = self.point(s.start), self.point(s.end)
        return Line(a, b) if isinstance(s, Line) else Arc(a, b, self.point(s.center), s.ccw)

    def box(self, b: Box) -> Box:
        (x0, y0), (x1, y1) = self.point(Point(b[0], b[1])), self.point(Point(b[2], b[3]))
        return x0, y0, x1, y1


def _places(name: str, cell: Box) -> Iterator[Text]:
    """Yield places for a name in its cell: large and in the middle first."""
    x0, y0, x1, y1 = cell
    steps = [k / 10 for k in (0, 1, -1, 2, -2, 3, -3, 4, -4)]
    for size in NAME_SIZES:
        for a in steps:
            for b in steps:
                x, y = x0 + (0.5 + a) * (x1 - x0), y0 + (0.5 + b) * (y1 - y0)
                yield Text(x, y, size, name, "centre", level="middle")
