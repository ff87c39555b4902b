"""What is printed on, and sheets bound into numbered 1:1 pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.segment import Box
from geometry.sheet.drawing import Drawing, Items, Stroke
from geometry.sheet.page import RULER, Page, PageWords, page_room, template_page

#: Styles that a legend leaves out: rules of tables, crosses.
NOT_TOLD = {"narrow", "visible"}


@dataclass(frozen=True)
class Sheet:
    """What is drawn on one page besides its furniture, whose styles the legend tells.

    Args:
        items: on the page, mm.
        landscape: the page lies on its long side.
        notes: sentences for the panel, the most serious first.
        name: of this page among those of one title.
    """

    items: Items
    landscape: bool = False
    notes: tuple[str, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class Paper:
    """What is printed on.

    Args:
        page: "A4", "Letter", or "both" for pages that either paper takes whole.
        measured: what the X and Y rulers of an uncorrected print measure, mm.
    """

    page: Page = "A4"
    measured: tuple[float, float] = (RULER, RULER)

    def room(self, landscape: bool = False) -> Box:
        """Return the box for pieces, mm."""
        return page_room(self.page, self.measured, landscape)

    def size(self, landscape: bool = False) -> tuple[float, float]:
        """Return width and height of the room for pieces, mm."""
        x0, y0, x1, y1 = self.room(landscape)
        return x1 - x0, y1 - y0


def bound(sheets: Sequence[Sheet], paper: Paper, title: str, revision: str) -> list[Drawing]:
    """Return the sheets as numbered pages with rulers, box and legend."""
    drawings = []
    for n, sheet in enumerate(sheets, start=1):
        used = {i.style for i in sheet.items if isinstance(i, Stroke)} - NOT_TOLD
        words = PageWords(
            f"{title}, {sheet.name}" if sheet.name else title, revision, (n, len(sheets)), tuple(sorted(used)), sheet.notes,
            sheet.landscape,
        )  # fmt: skip
        drawings.append(template_page(paper.page, words, paper.measured).drawing(sheet.items))
    return drawings
