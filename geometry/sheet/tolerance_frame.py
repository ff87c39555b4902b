"""Tolerance frames of ISO 1101: a sign, a value, datums; with a leader to the surface."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from geometry.point import Point
from geometry.sheet.dimension import arrow
from geometry.sheet.drawing import Fill, Items, Stroke, Text, box, line
from geometry.sheet.font import SMALLEST_TEXT, text_width

#: Height of a frame in sizes of lettering (ISO 1101).
FRAME_HEIGHT = 2.0

Sign = Literal["run-out", "square"]


def frame_cells(words: Sequence[str], height: float = SMALLEST_TEXT) -> tuple[float, ...]:
    """Return the widths in mm of the cells: the sign's, then one for each text."""
    return (FRAME_HEIGHT * height, *(text_width(t, height) + 2.0 for t in words))


def tolerance_frame(
    left: float,
    base: float,
    sign: Sign,
    words: Sequence[str],
    *,
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return a frame whose lower left corner is (left, base).

    Args:
        sign: circular run-out, or perpendicularity.
        words: value and datums, such as ("0.2", "A").
    """
    cells, top = frame_cells(words, height), base + FRAME_HEIGHT * height
    items: list[Stroke | Fill | Text] = [box(left, base, left + sum(cells), top)]
    items += _sign(sign, left, base, cells[0])
    x = left + cells[0]
    for text, width in zip(words, cells[1:], strict=True):
        items.append(line(Point(x, base), Point(x, top)))
        items.append(Text(x + width / 2, (base + top) / 2, height, text, "centre", level="middle"))
        x += width
    return tuple(items)


def _sign(sign: Sign, left: float, base: float, cell: float) -> Items:
    if sign == "square":
        foot, middle = base + 0.22 * cell, left + cell / 2
        return (
            line(Point(left + 0.2 * cell, foot), Point(left + 0.8 * cell, foot)),
            line(Point(middle, foot), Point(middle, base + 0.8 * cell)),
        )
    a = Point(left + 0.25 * cell, base + 0.2 * cell)
    b = Point(left + 0.8 * cell, base + 0.85 * cell)
    return line(a, b), arrow(b, b.minus(a).angle())
