"""Dimensions of round things, in the manner of ISO 129-1."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geometry.point import Point
from geometry.sheet.dimension import (
    ARROW_LENGTH,
    OUTSIDE_TAIL,
    arrow,
)
from geometry.sheet.drawing import Items, line
from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.leader import shelf


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
