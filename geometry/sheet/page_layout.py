"""1:1 pieces laid out in shelves on as many pages as they need, each with its label.

A piece goes on an upright page if it fits, else on one that lies on its long side; else it is
parted across where it may be (`geometry.sheet.split`), and only what is left is spread over tiles
(`geometry.sheet.tiles`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.sheet.cell import CAPTION, Cell, caption_band, captions, cell_of
from geometry.sheet.drawing import Drawing, Item, Text
from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.page import RULER, Page
from geometry.sheet.paper import Paper, Sheet, bound
from geometry.sheet.piece import Piece

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
        from geometry.sheet.split import parted
        from geometry.sheet.tiles import tiled_piece

        rooms = (self.paper.size(), self.paper.size(True))
        lengths: list[Piece] = []
        for piece in left:
            parts = parted(piece, rooms)
            lengths += parts
            if parts:
                self.parted[piece.name] = len(parts)
            else:
                self.tiled.append(piece.name)
                found += tiled_piece(piece, self.paper, self.notes)
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
