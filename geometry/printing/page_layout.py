"""1:1 pieces laid out in shelves on as many pages as they need, each with its label.

A piece goes on an upright page if it fits, else on one that lies on its long side; else it is
parted across where it may be, and only what is left is spread over tiles (`geometry.printing.tiles`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from geometry.clip import clipped_to_box, runs_in
from geometry.drafting.drawing import Drawing, Item, Items, Text, moved
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, wrap
from geometry.errors import GeometryError
from geometry.outline import Region
from geometry.part import Path
from geometry.point import Point
from geometry.printing.page import RULER, Page, Paper, Sheet, bound
from geometry.printing.piece import (
    CLEAR,
    LABEL_STYLES,
    Label,
    LabelStyle,
    Parting,
    Piece,
    place_inside,
)
from geometry.printing.tiles import tiled
from geometry.segment import Box, Line

# A piece and its label in one box, ready to be put on a page.
#
# The whole label stands inside the piece if it has room there. Beside a piece stands its name and
# number alone, because the knife takes off what is beside; what is said of all copies then stands
# once on the page, as a caption.

#: Height of a line of a caption with the gap below it, mm.
CAPTION = LINE_PITCH * SMALLEST_TEXT


@dataclass(frozen=True)
class Cell:
    """A piece with its label in one box: where both stand from the box's lower left corner.

    Args:
        piece: turned as it lies on the page.
        width, height: of the box, mm.
        shift: from the piece's own coordinates to the box.
        label, label_at: how the label is set, and where.
        brief: the label has the name alone; a caption has to tell the rest.
        revision: for the whole label.
    """

    piece: Piece
    width: float
    height: float
    shift: Point
    label: LabelStyle
    label_at: Point
    brief: bool
    revision: str

    def items(self, corner: Point, copy: int) -> Items:
        """Return one copy with the lower left corner of its box at `corner`."""
        step = corner.plus(self.shift)
        drawn = (moved(stroke, *step) for stroke in self.piece.strokes)
        label = Label.of(self.piece, copy, self.revision, self.label, self.brief)
        return (*drawn, *label.items(corner.plus(self.label_at)))


def captions(pieces: Sequence[Piece], width: float) -> list[str]:
    """Return in lines of `width` mm what is said of all copies, once for pieces of one kind."""
    said = dict.fromkeys(p.facts for p in pieces)
    return [words for facts in said for words in wrap(facts, width, SMALLEST_TEXT)]


def caption_band(pieces: Sequence[Piece], width: float) -> float:
    """Return the height in mm that captions of these pieces take, clear of what lies below."""
    lines = len(captions(pieces, width))
    return CAPTION * lines + CLEAR if lines else 0.0


def cell_of(piece: Piece, way: float, size: tuple[float, float], revision: str) -> Cell | None:
    """Return the piece as it lies on the page, label inside if it fits, else beside it.

    Args:
        piece: in its own coordinates.
        way: direction that its grain takes on the page, rad.
        size: width and height of the room on the page, mm.
        revision: for the label.

    Returns:
        None if the page does not hold it.
    """
    turns = (way - piece.grain,) if piece.grain is not None else (0.0, math.pi / 2)
    for turn in turns:
        turned = piece.rotated(turn)
        x0, y0, x1, y1 = turned.box
        if x1 - x0 > size[0] + 1e-9 or y1 - y0 > size[1] + 1e-9:
            continue
        for cell in (_labelled_inside(turned, revision), *_labelled_beside(turned, revision)):
            if cell and cell.width <= size[0] + 1e-9 and cell.height <= size[1] + 1e-9:
                return cell
    return None


def _labelled_inside(piece: Piece, revision: str) -> Cell | None:
    x0, y0, x1, y1 = piece.box
    # the last copy has the longest number
    labels = [Label.of(piece, piece.quantity, revision, style) for style in LABEL_STYLES]
    found = place_inside(piece, labels)
    if found is None:
        return None
    shift = Point(-x0, -y0)
    at = found[1].plus(shift)
    style = LABEL_STYLES[found[0]]
    return Cell(piece, x1 - x0, y1 - y0, shift, style, at, False, revision)


def _labelled_beside(piece: Piece, revision: str) -> list[Cell]:
    """Return the piece with its name below, and at its right; the longer side first."""
    x0, y0, x1, y1 = piece.box
    wide, high = x1 - x0, y1 - y0
    level, upright = (LabelStyle(SMALLEST_TEXT, turned) for turned in (False, True))
    (low_w, low_h), (side_w, side_h) = (
        Label.of(piece, piece.quantity, revision, style, True).size for style in (level, upright)
    )
    foot, tall = CLEAR + low_h, max(high, side_h)
    below = Cell(
        piece, max(wide, low_w), high + foot, Point(-x0, foot - y0), level, Point(0.0, 0.0),
        True, revision,
    )  # fmt: skip
    aside = Cell(
        piece, wide + CLEAR + side_w, tall, Point(-x0, tall - high - y0), upright,
        Point(wide + CLEAR, tall - side_h), True, revision,
    )  # fmt: skip
    return [below, aside] if wide >= high else [aside, below]


# A piece that no page holds, cut into equal lengths that lap or butt.
#
# +-------------:---+                 : where the edge of the neighbour comes to lie
# |  part A     :   |
# +-------------:---+
#           +---:-------------+
#           |   :    part B   |       a straight cut right across, so that nothing has to be
#           +---:-------------+       matched but two straight edges

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


#: Least clear distance between pieces that are cut with a knife, mm (common practice 4 to 5).
LEAST_GAP = 4.0

#: More pages than this of one layout are not for scissors but for going round a template.
MOST_PAGES = 40


#: Page, cell, upper left corner from the upper left corner of the room below captions, copy.
Placed = tuple[int, Cell, Point, int]


@dataclass(frozen=True)
class Layout:
    """The pages of some pieces, and what became of pieces that are too large or too many.

    Args:
        pages: in order.
        parted: names of pieces that were cut into lengths, and how many lengths.
        tiled: names of pieces that are spread over tiles.
        single: names of pieces that are printed once for all copies.
    """

    pages: tuple[Drawing, ...]
    parted: dict[str, int]
    tiled: tuple[str, ...]
    single: tuple[str, ...]


def lay_out(
    pieces: Sequence[Piece],
    *,
    title: str,
    page: Page = "A4",
    revision: str = "",
    measured: tuple[float, float] = (RULER, RULER),
    notes: Sequence[str] = (),
) -> Layout:
    """Return the pages that hold every copy of every piece at true size.

    Pieces with a grain are turned so that on a page all grains run the same way. The tallest go
    first, each into the first row that has room (first fit, decreasing height). Copies that would
    take more than `MOST_PAGES` are printed once, as a template to go round.

    Args:
        page: "A4", "Letter", or "both" for pages that either paper takes whole.
        measured: what the X and Y rulers of an uncorrected print measure, mm.
        notes: sentences for the panel beside the rulers, the most serious first.

    Raises:
        GeometryError: no piece, a gap below 4 mm, or a ruler out of range.
    """
    if not pieces:
        raise GeometryError("there is no piece to lay out")
    if min(p.gap for p in pieces) < LEAST_GAP:
        raise GeometryError(
            f"pieces need {LEAST_GAP:g} mm between them for a knife",
            value=min(p.gap for p in pieces),
            limit=LEAST_GAP,
        )
    work = _Work(Paper(page, measured), revision, tuple(notes))
    pages = bound(work.sheets(list(pieces)), work.paper, title, revision)
    return Layout(tuple(pages), work.parted, tuple(work.tiled), tuple(work.single))


@dataclass
class _Work:
    """Laying out, with a record of what had to be done."""

    paper: Paper
    revision: str
    notes: tuple[str, ...]
    parted: dict[str, int] = field(default_factory=dict)
    tiled: list[str] = field(default_factory=list)
    single: list[str] = field(default_factory=list)

    def sheets(self, pieces: list[Piece]) -> list[Sheet]:
        """Return upright pages, pages on their side, then what had to be parted, then tiles."""
        found: list[Sheet] = []
        left = pieces
        for landscape in (False, True):
            if not left:
                return found
            cells, rest = self._fitting(left, landscape)
            if cells and _pages(self._placed(cells, landscape)) > MOST_PAGES:
                self.single += [c.piece.name for c in cells if c.piece.quantity > 1]
                cells, more = self._fitting([c.piece.once() for c in cells], landscape)
                rest += more
            left = rest
            found += self._laid(cells, landscape) if cells else []

        rooms = (self.paper.size(), self.paper.size(True))
        lengths: list[Piece] = []
        for piece in left:
            parts = parted(piece, rooms)
            lengths += parts
            if parts:
                self.parted[piece.name] = len(parts)
            else:
                self.tiled.append(piece.name)
                said = (f"{piece.once().facts}.", *self.notes)
                found += tiled(piece.strokes, piece.regions, self.paper, piece.name, said)
        return [*self.sheets(lengths), *found] if lengths else found

    def _fitting(self, pieces: list[Piece], landscape: bool) -> tuple[list[Cell], list[Piece]]:
        """Return cells of what a page holds below the captions that are needed, and the rest."""
        wide, high = self.paper.size(landscape)
        cells, rest = _fitting(pieces, (wide, high), self.revision)
        if any(c.height > high - self._band(cells, wide) for c in cells):
            size = wide, high - caption_band(pieces, wide)
            cells, rest = _fitting(pieces, size, self.revision)
        return cells, rest

    def _band(self, cells: list[Cell], wide: float) -> float:
        return caption_band([c.piece for c in cells if c.brief], wide)

    def _placed(self, cells: list[Cell], landscape: bool) -> list[Placed]:
        wide, high = self.paper.size(landscape)
        return _shelves(cells, (wide, high - self._band(cells, wide)))

    def _laid(self, cells: list[Cell], landscape: bool) -> list[Sheet]:
        """Return the pages that hold all copies of the cells."""
        x0, _, x1, y1 = self.paper.room(landscape)
        band, placed = self._band(cells, x1 - x0), self._placed(cells, landscape)
        sheets = []
        for n in range(_pages(placed)):
            here = [(cell, corner, copy) for page, cell, corner, copy in placed if page == n]
            told = captions([c.piece for c, _, _ in here if c.brief], x1 - x0)
            items: list[Item] = [
                Text(x0, y1 - (k + 0.2) * CAPTION, SMALLEST_TEXT, words, level="top")
                for k, words in enumerate(told)
            ]
            for cell, corner, copy in here:
                at = Point(x0 + corner.x, y1 - band - corner.y - cell.height)
                items += cell.items(at, copy)
            sheets.append(Sheet(tuple(items), landscape, self.notes))
        return sheets


def _fitting(
    pieces: Sequence[Piece], size: tuple[float, float], revision: str
) -> tuple[list[Cell], list[Piece]]:
    """Return cells of the pieces that fit, all grains the same way, and the pieces that do not."""
    grains = [p.grain for p in pieces if p.grain is not None]
    best: tuple[list[Cell], list[Piece]] | None = None
    for way in (grains[0], grains[0] + math.pi / 2) if grains else (0.0,):
        cells, left = [], []
        for piece in pieces:
            cell = cell_of(piece, way, size, revision)
            if cell is None:
                left.append(piece)
            else:
                cells.append(cell)
        if best is None or len(left) < len(best[1]):
            best = cells, left
        if not left:
            break
    assert best is not None
    return best


@dataclass
class _Shelf:
    """A row of cells on a page: what is left of its width, and where the next cell goes."""

    page: int
    bottom: float
    height: float
    next_x: float


def _pages(placed: Sequence[Placed]) -> int:
    return 1 + max(page for page, _, _, _ in placed)


def _shelves(cells: Sequence[Cell], size: tuple[float, float]) -> list[Placed]:
    """Return the place of every copy."""
    gap = max(c.piece.gap for c in cells)
    shelves: list[_Shelf] = []
    placed: list[Placed] = []
    for cell in sorted(cells, key=lambda c: -c.height):  # stable: equal heights keep their order
        for copy in range(1, cell.piece.quantity + 1):
            shelf = next(
                (
                    s
                    for s in shelves
                    if s.next_x + cell.width <= size[0] + 1e-9 and cell.height <= s.height + 1e-9
                ),
                None,
            )
            if shelf is None:
                shelf = _new_shelf(shelves, cell.height, size[1], gap)
                shelves.append(shelf)
            placed.append((shelf.page, cell, Point(shelf.next_x, shelf.bottom), copy))
            shelf.next_x += cell.width + gap
    return placed


def _new_shelf(shelves: Sequence[_Shelf], height: float, room: float, gap: float) -> _Shelf:
    if shelves:
        last = shelves[-1]
        top = last.bottom + last.height + gap
        if top + height <= room + 1e-9:
            return _Shelf(last.page, top, height, 0.0)
        return _Shelf(last.page + 1, 0.0, height, 0.0)
    return _Shelf(0, 0.0, height, 0.0)
