"""Build sheets for tests, made once for each design."""

from __future__ import annotations

from functools import cache
from typing import Any

from recipes.assess import assess
from recipes.build.files import paths_by_part
from recipes.catalogue import RECIPES, Parts
from recipes.report.book import Book
from recipes.report.model import PackPath, Sheet
from recipes.report.order import order_lines
from recipes.report.sheet import build_sheet
from tests.support.design import job

FILES = (
    PackPath("design.toml"), PackPath("order.md"), PackPath("print/liner-templates.pdf", "liner"),
    PackPath("read/slot.svg"), PackPath("draw/axle.pdf", "axle"),
)  # fmt: skip


@cache
def starter_book(name: str) -> Book:
    """Return the sources of a starter's sheet."""
    return book(name)


@cache
def starter_sheet(name: str) -> Sheet:
    """Return the sheet of a starter."""
    return sheet_of(starter_book(name))


def book(starter: str = "potters-wheel", /, **changes: Any) -> Book:
    """Return the sources of a changed starter's sheet; see `tests.support.design.raw`."""
    made = job(starter, **changes)
    every = Parts(made)
    seen = assess(made, every)
    assert not [f for f in seen.findings if f.level == "stop"]
    parts = [p for r in RECIPES for p in every[r.name]]
    return Book(
        made,
        every,
        seen.results,
        seen.findings,
        order_lines(made, parts, paths_by_part(made, every)),
        FILES,
    )


def sheet_of(b: Book) -> Sheet:
    """Return the sheet that a book yields."""
    return build_sheet(b.motor, b.parts, b.results, b.findings, b.lines, b.files)
