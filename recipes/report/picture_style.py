"""Sizes that the pictures of the build sheet share: they must be read on a telephone too."""

from __future__ import annotations

from geometry.drafting.dimension import LinearDimension, leader
from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text
from geometry.point import Point
from geometry.segment import Box
from recipes.report.book import Book
from recipes.report.model import Mark

# Part of a picture that the pack shows as well, without the words that stand beside it on the page.


def part_of(drawing: Drawing, box: Box, lettering: float = 0.0) -> Drawing:
    """Return the drawing with only those items that begin inside a box of its sheet.

    Args:
        drawing: the whole sheet.
        box: x min, y min, x max, y max, mm.
        lettering: words lower than this, mm, are left out.
    """
    kept = tuple(
        item
        for item in drawing.items
        if _inside(_start(item), box)
        and not (isinstance(item, Text) and item.height_mm < lettering)
    )
    return Drawing(drawing.width_mm, drawing.height_mm, kept, drawing.title)


def _start(item: Item) -> Point:
    if isinstance(item, Stroke):
        return item.segments[0].start
    return item.loops[0].segments[0].start if isinstance(item, Fill) else item.start


def _inside(place: Point, box: Box) -> bool:
    return box[0] <= place.x <= box[2] and box[1] <= place.y <= box[3]


#: Width of every picture and height of its lettering, mm.
WIDTH, LETTERING = 120.0, 3.2

#: Width of a picture with many small words, which takes the whole width of a page, mm.
LARGE = 170.0


def span(
    book: Book, words: str, mm: float, a: Point, b: Point, at: float, axis: str, *fields: str
) -> Mark:
    """Return a dimension between two places of the sheet.

    Args:
        book: for the unit.
        words: what it is.
        mm: its true size.
        a, b: places on the sheet.
        at: place of the dimension line; see `geometry.drafting.dimension.LinearDimension`.
        axis: "x" or "y".
        fields: dotted names.
    """
    shown = short(book, mm)
    way = "x" if axis == "x" else "y"
    items = LinearDimension(a, b, shown, at, way, LETTERING).items()  # type: ignore[arg-type]
    return Mark(f"{words} {book.said(mm)}", items, fields)


def note(words: str, shown: str, tip: Point, elbow: Point, side: int, *fields: str) -> Mark:
    """Return a leader from a place on the part to its size.

    Args:
        words: what it is.
        shown: its size as on a drawing.
        tip, elbow: where the leader begins and bends.
        side: +1 words to the right of the elbow, -1 to the left.
        fields: dotted names.
    """
    return Mark(f"{words} {shown}", leader(tip, elbow, shown, side=side, height=LETTERING), fields)


def short(book: Book, mm: float) -> str:
    """Return a size as on a drawing: mm without unit, inches with two strokes."""
    if book.motor.design.units == "in":
        return f"{mm / 25.4:.3f}″"
    return f"{mm:.4g}"
