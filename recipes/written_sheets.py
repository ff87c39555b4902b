"""Sheets that fill from top to bottom: headings, sentences, tick boxes, cautions, tables.

All places in mm on the sheet. A block that does not fit in what is left of a sheet goes to the next.
"""

from __future__ import annotations

from collections.abc import Callable

from geometry.drafting.drawing import Drawing, Item, Items, Stroke, Text, box, line, text_lines
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, wrap
from geometry.outline import Outline
from geometry.point import Point
from geometry.printing.page import SHEETS, live_box
from geometry.segment import Box
from recipes.drawing_conventions import Imprint, fitted

#: Room that the heading of a sheet takes.
HEADING = 10.0

#: Side of a tick box.
TICK = 3.0

#: Lettering of steps.
READING = 3.5


class Flow:
    """Items of several sheets, and the height `y` down to which the last one is filled."""

    def __init__(self, room: Box, say: Callable[[str], str]) -> None:
        """Start with one empty sheet.

        Args:
            room: the box that may be drawn on.
            say: writes a sentence in the unit of the design.
        """
        self.say = say
        self.left, self.bottom, self.right, top = room
        self.top = top - HEADING
        self.sheets: list[list[Item]] = []
        self.y = self.top
        self.new_sheet()

    @property
    def width(self) -> float:
        """Width of the room."""
        return self.right - self.left

    @property
    def left_over(self) -> float:
        """Height that is left on the last sheet."""
        return self.y - self.bottom

    def new_sheet(self) -> None:
        """Begin another sheet."""
        self.sheets.append([])
        self.y = self.top

    def need(self, height: float) -> None:
        """Begin another sheet unless `height` is left, or the sheet is still empty."""
        if self.left_over < height and self.y < self.top:
            self.new_sheet()

    def add(self, items: Items | list[Item], height: float) -> None:
        """Put items on the sheet that take `height` from `y` down."""
        self.sheets[-1] += items
        self.y -= height

    def title(self, words: str, beside: str = "", keep: float = 20.0) -> None:
        """Write a heading; it stays on one sheet with `keep` mm of what follows."""
        self.need(8.5 + keep)
        if self.y < self.top:
            self.y -= 3.5
        items: list[Item] = [Text(self.left, self.y - READING, READING, words)]
        if beside:
            x = self.left + text_width(words, READING) + 3.0
            items.append(Text(x, self.y - READING, SMALLEST_TEXT, beside))
        self.add(items, 6.0)

    def sentence(self, words: str, size: float = SMALLEST_TEXT) -> None:
        """Write a paragraph."""
        lines = wrap(self.say(words), self.width, size)
        height = size * (1.0 + LINE_PITCH * (len(lines) - 1)) + 0.75 * size
        self.need(height)
        self.add(text_lines(self.left, self.y, size, lines), height)

    def step(self, words: str, size: float = READING) -> None:
        """Write a sentence with a tick box in front."""
        lines = wrap(self.say(words), self.width - TICK - 2.5, size)
        height = size * (1.0 + LINE_PITCH * (len(lines) - 1)) + 0.75 * size
        self.need(height)
        self.sheets[-1].append(tick_box(self.left, self.y - size / 2))
        self.add(text_lines(self.left + TICK + 2.5, self.y, size, lines), height)

    def caution(self, words: str) -> None:
        """Write a caution: a triangle with an exclamation mark in front, a line at the side."""
        lines = wrap(self.say(words), self.width - 9.5, READING)
        high = READING * (1.0 + LINE_PITCH * (len(lines) - 1))
        height = max(high, 6.0) + 0.75 * READING
        self.need(height)
        down = (max(high, 6.0) - high) / 2
        self.sheets[-1] += warning_sign(Point(self.left + 3.6, self.y - max(high, 6.0) / 2))
        self.add(text_lines(self.left + 9.5, self.y - down, READING, lines), height)


def tick_box(x: float, middle: float, side: float = TICK) -> Stroke:
    """Return a square to tick, its left edge at x; all in mm."""
    return box(x, middle - side / 2, x + side, middle + side / 2)


def warning_sign(middle: Point, size: float = 6.6) -> Items:
    """Return a triangle with an exclamation mark (in the manner of ISO 7010 W001)."""
    low, high = middle.y - 0.42 * size, middle.y + 0.42 * size
    left, right = middle.x - size / 2, middle.x + size / 2
    corners = [(left, low), (right, low), (middle.x, high)]
    return (
        Stroke(Outline.polygon(corners).segments, "visible"),
        Text(middle.x, low + 0.15 * size, SMALLEST_TEXT, "!", "centre"),
    )


def numbered_sheets(sheets: list[list[Item]], title: str, imprint: Imprint) -> tuple[Drawing, ...]:
    """Return the drawings of a part that is printed, each with its heading.

    Args:
        sheets: what stands on each sheet, mm.
        title: of all of them.
        imprint: of the design.
    """
    page, count = imprint.printer.page, len(sheets)
    room = live_box(page)
    return tuple(
        Drawing(
            *SHEETS[page],
            (*sheet_heading(room, title, (number, count), imprint.revision), *items),
            f"{title}, sheet {number} of {count}",
        )
        for number, items in enumerate(sheets, start=1)
    )


def sheet_heading(room: Box, title: str, number: tuple[int, int], revision: str) -> Items:
    """Return the heading of a sheet: title, number of the sheet, revision, and a line below."""
    left, _, right, top = room
    facts = f"sheet {number[0]} of {number[1]}, revision {revision}"
    title = fitted(title, right - left - text_width(facts, SMALLEST_TEXT) - 6.0, 5.0)
    return (
        Text(left, top - 5.6, 5.0, title),
        Text(right, top - 5.6, SMALLEST_TEXT, facts, "right"),
        line(Point(left, top - 7.6), Point(right, top - 7.6), "visible"),
    )
