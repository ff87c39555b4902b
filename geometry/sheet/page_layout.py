"""1:1 pieces laid out in shelves on as many pages as they need, each with its label."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.sheet.drawing import Drawing, Item, Items, Stroke
from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.page import RULER, Page, PageWords, page_room, template_page
from geometry.sheet.piece import CLEAR, LABEL_STYLES, Label, LabelStyle, Piece, place_inside

#: Least clear distance between pieces that are cut with a knife, mm (common practice 4 to 5).
LEAST_GAP = 4.0
#: A label beside a short piece may be this wide before it is wrapped, mm.
BESIDE = 40.0


@dataclass(frozen=True)
class _Cell:
    """A piece with its label in one box: where both stand from the box's lower left corner."""

    piece: Piece
    width: float
    height: float
    shift: Point
    label: LabelStyle
    label_at: Point

    def items(self, corner: Point, copy: int, revision: str) -> Items:
        """Return one copy with the lower left corner of its box at `corner`."""
        step = corner.plus(self.shift)
        drawn = (
            Stroke(tuple(s.moved(step.x, step.y) for s in stroke.segments), stroke.style)
            for stroke in self.piece.strokes
        )
        label = Label.of(self.piece, copy, revision, self.label)
        return (*drawn, *label.items(corner.plus(self.label_at)))


@dataclass
class _Shelf:
    """A row of cells on a page: what is left of its width, and where the next cell goes."""

    page: int
    bottom: float
    height: float
    next_x: float


def lay_out(
    pieces: Sequence[Piece],
    *,
    title: str,
    page: Page = "A4",
    revision: str = "",
    measured: tuple[float, float] = (RULER, RULER),
    notes: Sequence[str] = (),
) -> list[Drawing]:
    """Return the pages that hold every copy of every piece at true size.

    Pieces with a grain are turned so that all grains run the same way. The tallest go first,
    each into the first row that has room (first fit, decreasing height).

    Args:
        page: "A4", "Letter", or "both" for pages that either paper takes whole.
        measured: what the X and Y rulers of an uncorrected print measure, mm.
        notes: sentences for the panel beside the rulers.

    Raises:
        GeometryError: no piece, a gap below 4 mm, or a piece larger than the room on a page;
            names the piece, its size and the limit. It would have to be split.
    """
    if not pieces:
        raise GeometryError("there is no piece to lay out")
    gap = max(p.gap for p in pieces)
    if min(p.gap for p in pieces) < LEAST_GAP:
        raise GeometryError(
            f"pieces need {LEAST_GAP:g} mm between them for a knife",
            value=min(p.gap for p in pieces),
            limit=LEAST_GAP,
        )
    room = page_room(page, measured)
    size = (room[2] - room[0], room[3] - room[1])
    cells = _cells(pieces, size, revision)
    placed = _shelves(cells, size, gap)
    count = 1 + max(number for number, _, _, _ in placed)
    drawings = []
    for n in range(count):
        items: list[Item] = []
        for number, cell, corner, copy in placed:
            if number == n:
                at = Point(room[0] + corner.x, room[3] - corner.y - cell.height)
                items += cell.items(at, copy, revision)
        used = tuple(sorted({i.style for i in items if isinstance(i, Stroke)} - {"narrow"}))
        words = PageWords(title, revision, (n + 1, count), used, tuple(notes))
        drawings.append(template_page(page, words, measured).drawing(items))
    return drawings


def _cells(pieces: Sequence[Piece], size: tuple[float, float], revision: str) -> list[_Cell]:
    """Return a cell for each piece, with all grains the same way."""
    grains = [p.grain for p in pieces if p.grain is not None]
    last: GeometryError | None = None
    for way in (grains[0], grains[0] + math.pi / 2) if grains else (0.0,):
        try:
            return [_cell(p, way, size, revision) for p in pieces]
        except GeometryError as error:
            last = last or error
    assert last is not None
    raise last


def _cell(piece: Piece, way: float, size: tuple[float, float], revision: str) -> _Cell:
    """Return the piece as it lies on the page, label inside if it fits, else beside it."""
    turns = (way - piece.grain,) if piece.grain is not None else (0.0, math.pi / 2)
    for turn in turns:
        turned = piece.rotated(turn)
        x0, y0, x1, y1 = turned.box
        if x1 - x0 > size[0] + 1e-9 or y1 - y0 > size[1] + 1e-9:
            continue
        for cell in (_labelled_inside(turned, revision), *_labelled_beside(turned, revision)):
            if cell and cell.width <= size[0] + 1e-9 and cell.height <= size[1] + 1e-9:
                return cell
    x0, y0, x1, y1 = piece.rotated(turns[0]).box
    raise GeometryError(
        f"{piece.name}: {x1 - x0:.1f} x {y1 - y0:.1f} mm with its label is larger than the "
        f"{size[0]:.1f} x {size[1]:.1f} mm that one page holds",
        value=max(x1 - x0, y1 - y0),
        limit=max(size),
        hint="split the piece at a straight edge or use a larger page",
    )


def _labelled_inside(piece: Piece, revision: str) -> _Cell | None:
    x0, y0, x1, y1 = piece.box
    for style in LABEL_STYLES:  # the last copy has the longest number
        spot = place_inside(piece, Label.of(piece, piece.quantity, revision, style))
        if spot is not None:
            shift = Point(-x0, -y0)
            return _Cell(piece, x1 - x0, y1 - y0, shift, style, spot.plus(shift))
    return None


def _labelled_beside(piece: Piece, revision: str) -> list[_Cell]:
    """Return the piece with its label below, and at its right; the longer side first."""
    x0, y0, x1, y1 = piece.box
    wide, high = x1 - x0, y1 - y0
    level = LabelStyle(SMALLEST_TEXT, False, max(wide, BESIDE))
    upright = LabelStyle(SMALLEST_TEXT, True, max(high, BESIDE))
    (low_w, low_h), (side_w, side_h) = (
        Label.of(piece, piece.quantity, revision, style).size for style in (level, upright)
    )
    foot, tall = CLEAR + low_h, max(high, side_h)
    below = _Cell(
        piece, max(wide, low_w), high + foot, Point(-x0, foot - y0), level, Point(0.0, 0.0)
    )
    aside = _Cell(
        piece,
        wide + CLEAR + side_w,
        tall,
        Point(-x0, tall - high - y0),
        upright,
        Point(wide + CLEAR, tall - side_h),
    )
    return [below, aside] if wide >= high else [aside, below]


def _shelves(
    cells: Sequence[_Cell], size: tuple[float, float], gap: float
) -> list[tuple[int, _Cell, Point, int]]:
    """Return (page, cell, upper left corner from the top of the room, copy) for every copy."""
    shelves: list[_Shelf] = []
    placed: list[tuple[int, _Cell, Point, int]] = []
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
