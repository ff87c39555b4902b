"""Leaders: a line from a place on the part to words on a horizontal shelf (ISO 128-2)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from geometry.drafting.dimension import ARROW_LENGTH, OUTSIDE_TAIL, TEXT_GAP, arrow, text_on_line
from geometry.drafting.drawing import Fill, Items, Stroke, Text, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, widest
from geometry.outline import Outline
from geometry.point import Point


def shelf(elbow: Point, lines: Sequence[str], *, side: int, height: float) -> Items:
    """Return a horizontal line from `elbow`, a text above it, further ones below; `height` in mm."""
    width = widest(lines, height) + 1.0
    start = elbow.x if side > 0 else elbow.x - width
    items: list[Stroke | Text | Fill] = [line(elbow, elbow.plus(Point(side * width, 0.0)))]
    if lines:
        items.append(text_on_line(Point(start + 0.5, elbow.y), lines[0], height, 0.0, "left"))
    top = elbow.y - TEXT_GAP - 0.2 * height
    for words in lines[1:]:
        items.append(Text(start + 0.5, top - height, height, words))
        top -= LINE_PITCH * height
    return tuple(items)


def leader(
    tip: Point,
    elbow: Point,
    lines: str | Sequence[str],
    *,
    side: int = 1,
    end: Literal["arrow", "dot", "none"] = "arrow",
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return a note: a line from `tip` to `elbow` and the text on a shelf.

    Args:
        lines: the first line stands above the shelf, the others below.
        side: +1 shelf to the right of the elbow, -1 to the left.
        end: "arrow" on an edge, "dot" on a face, "none" on a dimension line (ISO 128-2).
        height: lettering in mm.
    """
    words = (lines,) if isinstance(lines, str) else tuple(lines)
    items: Items = (line(tip, elbow),)
    if end == "arrow":
        items += (arrow(tip, tip.minus(elbow).angle()),)
    elif end == "dot":
        items += (Fill((Outline.circle(tip, 0.6),)),)
    return items + shelf(elbow, words, side=side, height=height)


# Dimensions of round things, in the manner of ISO 129-1.


def diameter(
    a: Point,
    b: Point,
    lines: str | Sequence[str],
    *,
    reach: float = 8.0,
    side: int = 1,
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return a diameter across a view: line a-b with arrows, drawn on to a shelf beyond b.

    Serves a turned part seen from the side (a, b on opposite edges) and a circle seen from its
    end (a, b opposite on it).

    Args:
        lines: such as "⌀25 h6" or ("⌀25 h6", "(24.987 / 25.000)"); the first stands above.
        reach: from b to the elbow, mm.
        side: +1 shelf to the right, -1 to the left.
    """
    words = (lines,) if isinstance(lines, str) else tuple(lines)
    along = b.minus(a).angle()
    inside = a.distance(b) >= 2 * ARROW_LENGTH + 1.0
    tail = 0.0 if inside else OUTSIDE_TAIL
    elbow = b.plus(Point.polar(reach, along))
    turn = 0.0 if inside else math.pi
    return (
        line(a.plus(Point.polar(-tail, along)), elbow),
        arrow(a, along + math.pi + turn),
        arrow(b, along + turn),
        *shelf(elbow, words, side=side, height=height),
    )
