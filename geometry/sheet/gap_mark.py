"""A size between two edges whose words stand in a column: line and arrows, and where to lead from."""

from __future__ import annotations

import math

from geometry.point import Point
from geometry.sheet.dimension import ARROW_LENGTH, OUTSIDE_TAIL, arrow
from geometry.sheet.drawing import line
from geometry.sheet.note_column import Tip


def gap_mark(a: Point, b: Point, side: int) -> Tip:
    """Return the dimension line between two edges, mm on the sheet.

    Arrows stand between the edges if there is room, else outside; the leader starts from the
    middle, or from the tail that is nearer to the column.

    Args:
        side: +1 if the words stand at the right, -1 at the left.
    """
    along = b.minus(a).angle()
    if a.distance(b) >= 2 * ARROW_LENGTH + 1.0:
        middle = Point((a.x + b.x) / 2, (a.y + b.y) / 2)
        return Tip(middle, (line(a, b), arrow(a, along + math.pi), arrow(b, along)))
    tails = (
        a.plus(Point.polar(OUTSIDE_TAIL, along), -1.0),
        b.plus(Point.polar(OUTSIDE_TAIL, along)),
    )
    items = (line(*tails), arrow(a, along), arrow(b, along + math.pi))
    return Tip(max(tails, key=lambda p: side * p.x), items)
