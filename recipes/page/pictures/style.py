"""Sizes that the pictures of the build sheet share: they must be read on a telephone too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.sheet.dimension import LinearDimension
from geometry.sheet.leader import leader
from recipes.page.model import Mark

if TYPE_CHECKING:
    from geometry.point import Point
    from recipes.page.book import Book

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
        at: place of the dimension line; see `geometry.sheet.dimension.LinearDimension`.
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
    if book.job.design.units == "in":
        return f"{mm / 25.4:.3f}″"
    return f"{mm:.4g}"
