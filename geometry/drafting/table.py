"""Tables on a sheet: ruled cells with wrapped lettering."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Items, Stroke, Text, box, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, widest, wrap
from geometry.errors import GeometryError
from geometry.point import Point

PAD = 1.2


@dataclass(frozen=True)
class Table:
    """A table that was laid out: its items and the box it takes, in mm."""

    items: Items
    width: float
    height: float


def table(
    x: float,
    top: float,
    rows: Sequence[Sequence[str]],
    *,
    widths: Sequence[float] | None = None,
    header: bool = True,
    height: float = SMALLEST_TEXT,
) -> Table:
    """Return a ruled table whose upper left corner is (x, top).

    Args:
        rows: texts by row; every row has as many cells as the first. A text is wrapped at spaces
            and at line breaks.
        widths: column widths in mm; None makes every column as wide as its longest line.
        header: rule the first row off with a wide line.
        height: lettering in mm.

    Raises:
        GeometryError: rows of different length, or a word wider than its column.
    """
    if not rows or any(len(row) != len(rows[0]) for row in rows):
        raise GeometryError("a table needs rows of equal length", value=len(rows))
    if widths is None:
        columns = [
            max(widest(row[k].split("\n"), height) for row in rows) + 2 * PAD
            for k in range(len(rows[0]))
        ]
    else:
        columns = list(widths)
    items: list[Stroke | Text] = []
    y = top
    for row in rows:
        cells = [
            wrap(text, width - 2 * PAD + 1e-6, height)
            for text, width in zip(row, columns, strict=True)
        ]
        for k, lines in enumerate(cells):
            _check(lines, columns[k] - 2 * PAD, height)
            items += _cell(x + sum(columns[:k]) + PAD, y - PAD, lines, height)
        y -= 2 * PAD + height + (max(len(c) for c in cells) - 1) * LINE_PITCH * height + 0.6
        if row is not rows[-1]:
            style = "visible" if header and row is rows[0] else "narrow"
            items.append(line(Point(x, y), Point(x + sum(columns), y), style))
    for k in range(1, len(columns)):
        edge = x + sum(columns[:k])
        items.append(line(Point(edge, y), Point(edge, top)))
    items.append(box(x, y, x + sum(columns), top, "visible"))
    return Table(tuple(items), sum(columns), top - y)


def _cell(x: float, top: float, lines: list[str], height: float) -> list[Stroke | Text]:
    return [
        Text(x, top - height - k * LINE_PITCH * height, height, words)
        for k, words in enumerate(lines)
        if words
    ]


def _check(lines: list[str], room: float, height: float) -> None:
    for words in lines:
        if text_width(words, height) > room + 1e-3:
            raise GeometryError(
                f"{words!r} is too wide for its table column",
                value=round(text_width(words, height), 1),
                limit=round(room, 1),
                hint="widen the column or shorten the text",
            )
