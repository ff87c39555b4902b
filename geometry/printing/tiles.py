"""One figure over several pages: tiles that lap, crosses in their corners, names, and a map.

        +----------------------------+     room on the page; the figure fills all of it
        |  +  - - - - - - - - - - +  |     + cross; crosses of neighbours fall on each other
        |  :  joint               :  |     : left and upper joint: cut there, lay the sheet over its
        |  :                      :  |       neighbour; right and lower joint: the edge of the
        |  +  - - - - - - - - - - +  |       neighbour comes to lie there
        +----------------------------+     what lies outside the joints is the lap

Rows are lettered from the top, columns numbered from the left. Lines and arcs are cut exactly at
the border of the room, so what two sheets show of the lap is the same.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from geometry.clip import clipped_to_box, runs_in
from geometry.drafting.drawing import Fill, Item, Items, Stroke, Text, box, extent, line, moved
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.legible import Occupied
from geometry.drafting.view import View
from geometry.outline import Region
from geometry.point import Point
from geometry.printing.page import Paper, Sheet
from geometry.segment import Box

# The map of a tiled figure: which sheet lies where, the figure small behind their names.

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
    at = Point((x0 + x1 - across * scale) / 2, (y0 + y1 - up * scale) / 2)
    view = View(at, (scale, 1.0), Point(*grid.cell(grid.rows - 1, 0)[:2]))
    shown: list[Item] = [view.stroke(i.segments, "mark") for i in items if isinstance(i, Stroke)]
    cells = []
    for name, place in used:
        left, bottom, right, top = grid.cell(*place)
        cells.append((name, (*view.at(left, bottom), *view.at(right, top))))
    shown += [box(*cell, style="joint") for _, cell in cells]
    occupied = Occupied(shown)
    for name, cell in cells:
        words = occupied.first_free(_places(name, cell))
        shown += [words] if words is not None else []
    check = (
        f"Joined, the outer crosses stand {across:.1f} mm apart across and {up:.1f} mm up: measure."
    )
    return Sheet(tuple(shown), grid.landscape, (*notes, *HOW, check), "map")


def _places(name: str, cell: Box) -> Iterator[Text]:
    """Yield places for a name in its cell: large and in the middle first."""
    x0, y0, x1, y1 = cell
    steps = [k / 10 for k in (0, 1, -1, 2, -2, 3, -3, 4, -4)]
    for size in NAME_SIZES:
        for a in steps:
            for b in steps:
                x, y = x0 + (0.5 + a) * (x1 - x0), y0 + (0.5 + b) * (y1 - y0)
                yield Text(x, y, size, name, "centre", level="middle")


#: Two neighbouring sheets show this much of the same, mm (10 to 15, common practice).
LAP = 15.0

#: Half the length of a cross's arms, mm.
CROSS = 4.0

#: So many places of the figure on its tiles are tried each way to keep joints off its lettering.
TRIES = 9

_QUARTER = math.pi / 2


@dataclass(frozen=True)
class Grid:
    """Tiles over a figure, in the figure's coordinates.

    Args:
        left, top: upper left corner of tile A1, mm.
        width, height: of one tile, laps included, mm.
        columns, rows: how many.
        landscape: pages lie on their long side.
    """

    left: float
    top: float
    width: float
    height: float
    columns: int
    rows: int
    landscape: bool

    @property
    def steps(self) -> tuple[float, float]:
        """Distance from tile to tile across and down, mm."""
        return self.width - LAP, self.height - LAP

    def window(self, row: int, column: int) -> Box:
        """Return what a tile shows."""
        x0 = self.left + column * self.steps[0]
        y1 = self.top - row * self.steps[1]
        return x0, y1 - self.height, x0 + self.width, y1

    def cell(self, row: int, column: int) -> Box:
        """Return what is left of a tile between its joints; crosses stand in the corners."""
        x0, y0, x1, y1 = self.window(row, column)
        return x0 + LAP / 2, y0 + LAP / 2, x1 - LAP / 2, y1 - LAP / 2

    @property
    def places(self) -> Iterator[tuple[int, int]]:
        """All (row, column), row by row."""
        return product(range(self.rows), range(self.columns))


def tile_name(row: int, column: int) -> str:
    """Return "B2" for the second tile of the second row."""
    return f"{chr(ord('A') + row)}{column + 1}"


def tiled(
    items: Items,
    regions: Sequence[Region],
    paper: Paper,
    name: str = "",
    notes: tuple[str, ...] = (),
) -> list[Sheet]:
    """Return the map and the tiles of one figure.

    Args:
        items: the figure at true size in its own coordinates, mm.
        regions: its material; a tile wholly outside is left away.
        paper: what is printed on.
        name: of the figure.
        notes: sentences, dealt out to the tiles: a panel has no room for all beside how to join.
    """
    grid = _grid(items, paper)
    items = _unbroken(items, grid)
    shown = {place: _shown(items, grid.window(*place)) for place in grid.places}
    used = [place for place in grid.places if _needed(grid.window(*place), shown[place], regions)]
    named = [(tile_name(*place), place) for place in used]
    sheets = [
        map_sheet(items, grid, named, paper, (f"{name[:1].upper()}{name[1:]}.",) if name else ())
    ]
    for n, place in enumerate(used):
        dealt = notes[n % len(used) :: len(used)]
        sheet = tile_name(*place)
        where = f"Sheet {sheet} of {name}: row {sheet[0]}, column {sheet[1:]} of the map."
        sheets.append(_tile(shown[place], grid, used, place, paper, (where, *dealt)))
    return sheets


def _unbroken(items: Items, grid: Grid) -> Items:
    """Return the figure with words that a joint would run through moved aside."""
    broken = [i for i in items if isinstance(i, Text) and _broken(grid, [i])]
    if not broken:
        return items
    kept = [i for i in items if i not in broken]
    occupied = Occupied(kept)
    for text in broken:
        near = _whole(text, grid)
        steps = sorted(product(range(-10, 11), repeat=2), key=lambda s: (s[0] ** 2 + s[1] ** 2, s))
        places = (replace(near, x=near.x + a, y=near.y + b) for a, b in steps)
        words = (t for t in places if not _broken(grid, [t]))
        found = occupied.first_free(words) or near
        kept.append(found)
        occupied.add((found,))
    return tuple(kept)


def _whole(text: Text, grid: Grid) -> Text:
    """Return a text shifted so that no joint runs through it."""
    corners = text.corners(1.0)
    box = [min(p.x for p in corners), max(p.x for p in corners)]
    box += [min(p.y for p in corners), max(p.y for p in corners)]
    zero = grid.left + LAP / 2, grid.top - grid.height + LAP / 2
    shift = []
    for low, high, start, step in zip(box[::2], box[1::2], zero, grid.steps, strict=True):
        edge = start + math.floor(((low + high) / 2 - start) / step) * step
        shift.append(max(0.0, edge - low) - max(0.0, high - edge - step))
    return replace(text, x=text.x + shift[0], y=text.y + shift[1])


def _grid(items: Items, paper: Paper) -> Grid:
    """Return the grid with the fewest pages, moved so that joints keep off lettering."""
    x0, y0, x1, y1 = extent(i for i in items if isinstance(i, Stroke))
    grids = []
    for landscape in (False, True):
        wide, high = paper.size(landscape)
        columns = max(1, math.ceil((x1 - x0 - LAP) / (wide - LAP) - 1e-9))
        rows = max(1, math.ceil((y1 - y0 - LAP) / (high - LAP) - 1e-9))
        grids.append(Grid(x0, y1, wide, high, columns, rows, landscape))
    best = min(grids, key=lambda g: g.columns * g.rows)
    slack_x = best.columns * best.steps[0] + LAP - (x1 - x0)
    slack_y = best.rows * best.steps[1] + LAP - (y1 - y0)
    shares = sorted((k / (TRIES - 1) for k in range(TRIES)), key=lambda s: abs(s - 0.5))
    words = [i for i in items if isinstance(i, Text)]
    places = [
        replace(best, left=x0 - a * slack_x, top=y1 + b * slack_y) for a in shares for b in shares
    ]
    return min(places if words else places[:1], key=lambda g: _broken(g, words))


def _broken(grid: Grid, words: Sequence[Text]) -> int:
    """Return how many words a joint or a border would run through."""
    return sum(all(not _holds(grid.cell(*p), w, 1.0) for p in grid.places) for w in words)


def _holds(box: Box, text: Text, clearance: float) -> bool:
    x0, y0, x1, y1 = box
    return all(x0 <= p.x <= x1 and y0 <= p.y <= y1 for p in text.corners(clearance))


def _needed(window: Box, shown: Sequence[Item], regions: Sequence[Region]) -> bool:
    """Tell whether a tile shows a line, or lies within the material."""
    if any(isinstance(i, Stroke) for i in shown):
        return True
    return any(
        clipped_to_box(r.outer, window) and not any(clipped_to_box(h, window) for h in r.holes)
        for r in regions
    )


def _tile(
    shown: Sequence[Item],
    grid: Grid,
    used: Sequence[tuple[int, int]],
    place: tuple[int, int],
    paper: Paper,
    notes: tuple[str, ...],
) -> Sheet:
    """Return one tile with its crosses and joints."""
    window, room = grid.window(*place), paper.room(grid.landscape)
    shift = Point(room[0] - window[0], room[1] - window[1])
    items = [*shown, *_crosses(grid.cell(*place))]
    occupied = Occupied(items)
    for edge in _joints(grid, used, place):
        items.append(edge.stroke)
        occupied.add((edge.stroke,))
        words = occupied.first_free(edge.words())
        if words is not None:
            items.append(words)
            occupied.add((words,))
    drawn = tuple(moved(i, *shift) for i in items)
    return Sheet(drawn, grid.landscape, notes, tile_name(*place))


def _shown(figure: Items, window: Box) -> list[Item]:
    """Return what a window shows: lines cut at its border, words that it holds whole."""
    found: list[Item] = []
    for item in figure:
        if isinstance(item, Stroke):
            found += [Stroke(run, item.style) for run in runs_in(item.segments, window)]
        elif isinstance(item, Fill):
            loops = tuple(c for loop in item.loops for c in clipped_to_box(loop, window))
            found += [Fill(loops, item.tone)] if loops else []
        elif _holds(window, item, 0.0):
            found.append(item)
    return found


def _crosses(cell: Box) -> list[Item]:
    found: list[Item] = []
    for x, y in product(cell[::2], cell[1::2]):
        for arm in (Point(CROSS, 0.0), Point(0.0, CROSS)):
            middle = Point(x, y)
            found.append(line(middle.minus(arm), middle.plus(arm), "narrow"))
    return found


@dataclass(frozen=True)
class _Joint:
    """A joint of a tile: from corner to corner, with its words in the lap beside it."""

    start: Point
    end: Point
    out: Point
    text: str

    @property
    def stroke(self) -> Stroke:
        gap = self.end.minus(self.start).unit().times(CROSS)
        return line(self.start.plus(gap), self.end.minus(gap), "joint")

    def words(self) -> Iterator[Text]:
        """Yield places for its words, the middle of the joint first."""
        turn = _QUARTER if abs(self.out.x) > 0.5 else 0.0
        run = self.end.minus(self.start)
        for k in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6):
            p = self.start.plus(run, 0.5 + 0.065 * k).plus(self.out, LAP / 4)
            yield Text(p.x, p.y, SMALLEST_TEXT, self.text, "centre", turn, "middle")


def _joints(
    grid: Grid, used: Sequence[tuple[int, int]], place: tuple[int, int]
) -> Iterator[_Joint]:
    """Yield the joints of a tile with the neighbours that there are."""
    row, column = place
    x0, y0, x1, y1 = grid.cell(*place)
    a, b, c, d = Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)
    for beside, start, end, out in (
        ((row, column - 1), a, d, Point(-1.0, 0.0)),
        ((row - 1, column), d, c, Point(0.0, 1.0)),
        ((row, column + 1), b, c, Point(1.0, 0.0)),
        ((row + 1, column), a, b, Point(0.0, -1.0)),
    ):
        if beside in used:
            name = tile_name(*beside)
            over = out.x < 0 or out.y > 0
            yield _Joint(
                start, end, out, f"cut, lay over {name}" if over else f"{name} lies on this"
            )


# Figures with lettering of their own on 1:1 pages: below each other, or alone in the middle.
#
# A figure that no page holds, upright or on its long side, is spread over tiles.

#: Clear height between two figures, mm.
BETWEEN = 7.0


@dataclass(frozen=True)
class Figure:
    """Something to print at true size.

    Args:
        items: in the figure's own coordinates, mm.
        regions: its material; empty for a table or a text.
        name: what a map of tiles calls it.
    """

    items: Items
    regions: tuple[Region, ...] = ()
    name: str = ""

    @property
    def box(self) -> Box:
        """Box of lines and lettering, mm."""
        return extent(self.items)


def on_pages(figures: Sequence[Figure], paper: Paper, notes: tuple[str, ...] = ()) -> list[Sheet]:
    """Return the pages that hold all figures in their order, a single one in the middle.

    Args:
        figures: in order.
        paper: what is printed on.
        notes: sentences for every page; tiles share them.
    """
    sheets: list[Sheet] = []
    row: list[Figure] = []
    lying = False
    for figure in figures:
        if row and _fits([*row, figure], paper, lying):
            row.append(figure)
            continue
        sheets += [_stacked(row, paper, lying, notes)] if row else []
        row = [figure]
        lying = not _fits(row, paper, False)
        if lying and not _fits(row, paper, True):
            sheets += tiled(figure.items, figure.regions, paper, figure.name, notes)
            row = []
    return [*sheets, _stacked(row, paper, lying, notes)] if row else sheets


def _height(figures: Sequence[Figure]) -> float:
    boxes = [f.box for f in figures]
    return sum(y1 - y0 for _, y0, _, y1 in boxes) + BETWEEN * (len(boxes) - 1)


def _fits(figures: Sequence[Figure], paper: Paper, landscape: bool) -> bool:
    """Tell whether a page holds figures below each other."""
    (wide, high), boxes = paper.size(landscape), [f.box for f in figures]
    widest = max(x1 - x0 for x0, _, x1, _ in boxes)
    return widest <= wide + 1e-9 and _height(figures) <= high + 1e-9


def _stacked(
    figures: Sequence[Figure], paper: Paper, landscape: bool, notes: tuple[str, ...]
) -> Sheet:
    """Return one page: figures below each other from the top, one alone in the middle."""
    x0, y0, x1, y1 = paper.room(landscape)
    spare = y1 - y0 - _height(figures)
    top = y1 - (spare / 2 if len(figures) == 1 else 0.0)
    items: list[Item] = []
    for figure in figures:
        a, b, c, d = figure.box
        shift = Point((x0 + x1 - a - c) / 2, top - d)
        items += [moved(i, *shift) for i in figure.items]
        top -= d - b + BETWEEN
    return Sheet(tuple(items), landscape, notes)
