"""Step: the test coupon, cut first, measured, and typed in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.page.model import Amount, Blank, Caution, Do, Figure, Step
from recipes.shop.kerf import HOLE, SQUARE, kerf_of
from recipes.tables.process import process
from recipes.units import format_number

if TYPE_CHECKING:
    from recipes.page.book import Book

_SOURCE = "drawn size; what comes out tells how this shop cuts"


def coupon_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "coupon",
        "Coupon",
        "Done when its sizes are typed in and the pack is built again: the stack is cut only then.",
        (
            Do("Order the coupon alone, from the sheet and with the settings that the stack will get."),
            Caution("Cut sheet is razor-sharp and its burr splinters: gloves, and eye protection while filing."),
            Do("File tabs off at the corners before anything is measured."),
            Do("Measure the square and its hole, onto the side with the notch and across it."),
            Do("Lay the half-rings over the turned seat; count notches: one is the bore as drawn, each "
               "more is 0.05 mm larger."),
            Do("Fold a trial strip of the paper into the slot of the tooth piece, and pass the wire through "
               "its opening."),
            Do("Line the comb's gaps with two strips of paper; take the narrowest that lets the wire pass."),
            Do("Type what you found into [shop.measured] of the design and build again."),
        ),
        figures=(*_sizes(book), *_steps(book), _kerf(book)),
    )  # fmt: skip


def _sizes(book: Book) -> tuple[Figure, ...]:
    rows = (
        ("square, onto the notch", SQUARE, "outer_x"), ("square, across", SQUARE, "outer_y"),
        ("hole, onto the notch", HOLE, "hole_x"), ("hole, across", HOLE, "hole_y"),
    )  # fmt: skip
    return tuple(
        book.figure(
            words, Amount(format_number(size, 2), size), "mm", sure="practice", source=_SOURCE,
            fields=(f"shop.measured.{name}", "shop.kerf_full_width"),
            blanks=(Blank(name, words, "mm", f"shop.measured.{name}"),),
        )
        for words, size, name in rows
    )  # fmt: skip


def _steps(book: Book) -> tuple[Figure, ...]:
    rows = (
        ("half-ring that goes over the seat without play", "0, one notch", "bore_step"),
        ("narrowest gap that lets the wire pass", "0, three notches", "opening_step"),
    )
    return tuple(
        book.figure(
            words, shown, source="as drawn, if the shop cuts true",
            fields=(f"shop.measured.{name}",),
            blanks=(Blank(name, words, "mm", f"shop.measured.{name}"),),
        )
        for words, shown, name in rows
    )  # fmt: skip


def _kerf(book: Book) -> Figure:
    found, row = kerf_of(book.job), process(book.job.design.shop.process)
    return book.figure(
        f"full kerf width of {row.name}, before the coupon tells",
        book.amount("kerf_full_width_mm", 2), "mm",
        sure=found.confidence, source=found.source, fields=("shop.process", "shop.kerf_full_width"),
    )  # fmt: skip
