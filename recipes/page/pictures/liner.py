"""The slot liner, unfolded, with its folds and sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.point import Point
from geometry.sheet.drawing import Drawing, Fill, Text
from geometry.sheet.view import View
from recipes.page.model import Layer, Mark, Picture
from recipes.page.pictures.style import LETTERING, WIDTH, span
from recipes.parts.liner import flat_liner, liner_size

if TYPE_CHECKING:
    from recipes.page.book import Book
    from recipes.parts.liner import LinerSize

#: Room for the liner, its left edge and its foot, mm on the sheet.
ROOM, LEFT, FOOT = (74.0, 74.0), 27.0, 13.0


def liner_picture(book: Book) -> Picture:
    """Return the flat pattern of the liner, slot across, axle upward.

    Raises:
        Refused: the paper does not fit the slot's corners.
    """
    job = book.job
    size, paper = liner_size(job), job.design.liner
    region, folds = flat_liner(size, paper.cuff)
    scale = min(ROOM[0] / size.width, ROOM[1] / size.length)
    left = LEFT + (ROOM[0] - size.width * scale) / 2
    view = View(Point(left, FOOT), (round(1e6 * scale), 1_000_000))
    ink = [*view.edges(region, "cut"), *(view.stroke(f.segments, "fold") for f in folds)]
    middle = view.at(size.width / 2, size.length / 2)
    words = Text(middle.x, middle.y, LETTERING, "stack", "centre", level="middle")
    height = FOOT + size.length * scale + 14.0
    return Picture(
        "liner",
        "Liner, unfolded",
        "The slot liner laid flat: a rectangle with bevelled corners; a fold line near either end "
        "for the cuffs and long folds between them for the corners of the slot.",
        Drawing(WIDTH, height, (*ink, words), "liner"),
        (
            "Full line: cut. Dashed: fold. The cuffs fold outwards first, then the long folds over "
            "the former. True size to cut round is in the printed template.",
        ),
        _marks(book, view, size),
        (
            book.exact("pieces, spare ones included", book.amount("liner_count"), fields=("liner.spare", "motor.slots")),
        ),
        (Layer("paper", (Fill(tuple(view.region(region).loops), "sand"),)),),
        next(iter(book.paths("liner", folder="print/")), ""),
    )  # fmt: skip


def _marks(book: Book, view: View, size: LinerSize) -> tuple[Mark, ...]:
    paper = book.job.design.liner
    w, h, cuff = size.width, size.length, paper.cuff
    low, high = view.at(0.0, 0.0), view.at(w, h)
    fold = cuff + size.cuff_fold / 2
    body = fold + size.cuff_fold / 2
    wide = ("liner.mouth_gap", "lamination.slot_depth", "liner.thickness")
    tall = ("lamination.stack_length", "liner.overhang", "liner.cuff")
    marks = [
        span(book, "liner, across the slot", w, low, view.at(w, 0.0), 4.0, "x", *wide),
        span(book, "liner, along the axle", h, view.at(w, 0.0), high, high.x + 9.0, "y", *tall),
    ]
    if cuff:
        marks.append(span(book, "cuff", cuff, view.at(0.0, h - cuff), view.at(0.0, h), low.x - 7.0, "y", "liner.cuff"))  # fmt: skip
    if paper.overhang:
        a, b = view.at(0.0, body), view.at(0.0, body + paper.overhang)
        marks.append(span(book, "overhang out of the stack", paper.overhang, a, b, low.x - 7.0, "y", "liner.overhang"))  # fmt: skip
    return tuple(marks)
