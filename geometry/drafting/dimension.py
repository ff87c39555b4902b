"""Dimensions as plain lines, arrows and texts, in the manner of ISO 129-1.

All places are sheet millimetres (map model points with a `View` first); the text is the true
size of the model, written by the caller. ISO 129-1 sets the manner (text above an unbroken
line, read from below or from the right) but few lengths; the lengths below are common practice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geometry.drafting.drawing import Fill, Items, Text, line, polyline
from geometry.drafting.font import SMALLEST_TEXT, text_reach, text_width
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point

ARROW_LENGTH = 2.5
ARROW_WIDTH = 0.9
#: Between an outline and the start of its extension line.
EXTENSION_GAP = 0.8
#: Extension line beyond the dimension line (8 line widths).
EXTENSION_BEYOND = 2.0
#: Between a dimension line and the deepest ink of the text above it.
TEXT_GAP = 0.8
#: Length of an arrow that had to move outside, with its tail.
OUTSIDE_TAIL = 6.0

Axis = Literal["x", "y", "aligned"]


def arrow(tip: Point, direction: float) -> Fill:
    """Return a filled arrowhead whose point lies at `tip` and looks in `direction` rad."""
    back = tip.plus(Point.polar(ARROW_LENGTH, direction), -1.0)
    side = Point.polar(ARROW_WIDTH / 2, direction + math.pi / 2)
    return Fill((Outline.polygon([tip, back.plus(side), back.plus(side, -1.0)]),))


def upright(angle: float) -> float:
    """Return the direction of reading along a line at `angle` rad: from below or from the right."""
    turned = math.remainder(angle, 2 * math.pi)
    if turned > math.pi / 2 + 1e-9:
        return turned - math.pi
    if turned <= -math.pi / 2 + 1e-9:
        return turned + math.pi
    return turned


def text_on_line(
    at: Point,
    words: str,
    height: float,
    angle: float,
    anchor: Literal["left", "centre", "right"] = "centre",
) -> Text:
    """Return text that stands clear above a line through `at` with direction `angle` rad."""
    lift = TEXT_GAP - text_reach(words, height)[0]
    foot = at.plus(Point.polar(lift, angle + math.pi / 2))
    return Text(foot.x, foot.y, height, words, anchor, angle)


@dataclass(frozen=True)
class LinearDimension:
    """The distance between two points, along an axis.

    Args:
        a, b: the points on the sheet, mm.
        text: the size of the model in words: "48.5", "60 ±0.3".
        at: place of the dimension line: its y for axis "x", its x for axis "y", its distance to
            the left of a -> b for "aligned".
        axis: "x" horizontal, "y" vertical, "aligned" along a -> b.
        height: lettering in mm.
        text_at: middle of the text along the line, in mm from the first foot; None places it in
            the middle, or beyond the second foot if it is too wide.
    """

    a: Point
    b: Point
    text: str
    at: float
    axis: Axis = "x"
    height: float = SMALLEST_TEXT
    text_at: float | None = None

    def __post_init__(self) -> None:
        """Raise GeometryError for a distance of zero."""
        if self.length <= 1e-9:
            raise GeometryError(f"the dimension {self.text!r} spans nothing", where=self.a)

    @property
    def feet(self) -> tuple[Point, Point]:
        """Both ends of the dimension line, in the sense of reading its text."""
        if self.axis == "x":
            feet = Point(self.a.x, self.at), Point(self.b.x, self.at)
        elif self.axis == "y":
            feet = Point(self.at, self.a.y), Point(self.at, self.b.y)
        else:
            side = self.b.minus(self.a).unit().left()
            feet = self.a.plus(side, self.at), self.b.plus(side, self.at)
        along = feet[1].minus(feet[0]).angle()
        if abs(math.remainder(along - upright(along), 2 * math.pi)) < 1e-6:
            return feet
        return feet[1], feet[0]

    @property
    def length(self) -> float:
        """Length of the dimension line on the sheet in mm."""
        return self.feet[0].distance(self.feet[1])

    @property
    def text_width(self) -> float:
        """Width of the text in mm."""
        return text_width(self.text, self.height)

    @property
    def text_middle(self) -> float:
        """Where the middle of the text lies along the line, in mm from the first foot."""
        if self.text_at is not None:
            return self.text_at
        if self.text_width + 1.0 <= self.length:
            return self.length / 2
        tail = 0.0 if self.arrows_inside else ARROW_LENGTH
        return self.length + tail + 1.5 + self.text_width / 2

    @property
    def arrows_inside(self) -> bool:
        """Whether both arrowheads find room between the extension lines."""
        return self.length >= 2 * ARROW_LENGTH + 1.0

    @property
    def reach(self) -> tuple[float, float]:
        """Occupied stretch of the line and its text, in mm from the first foot."""
        tail = 0.0 if self.arrows_inside else OUTSIDE_TAIL
        half = self.text_width / 2 + 0.5
        return (
            min(-tail, self.text_middle - half),
            max(self.length + tail, self.text_middle + half),
        )

    def items(self) -> Items:
        """Return extension lines, dimension line, arrows and text."""
        first, second = self.feet
        along = second.minus(first).angle()
        extensions = [
            polyline([p.plus(u, EXTENSION_GAP), foot.plus(u, EXTENSION_BEYOND)])
            for p in (self.a, self.b)
            for foot in (min((first, second), key=p.distance),)
            if p.distance(foot) > EXTENSION_GAP
            for u in (foot.minus(p).unit(),)
        ]
        low, high = self.reach
        ends = (
            first.plus(Point.polar(min(0.0, low), along)),
            first.plus(Point.polar(max(self.length, high), along)),
        )
        turn = 0.0 if self.arrows_inside else math.pi
        return (
            *extensions,
            line(*ends),
            arrow(first, along + math.pi + turn),
            arrow(second, along + turn),
            text_on_line(
                first.plus(Point.polar(self.text_middle, along)), self.text, self.height, along
            ),
        )


def linear(
    a: Point, b: Point, text: str, *, at: float, axis: Axis = "x", height: float = SMALLEST_TEXT
) -> Items:
    """Return a linear dimension, all in mm; see `LinearDimension`."""
    return LinearDimension(a, b, text, at, axis, height).items()
