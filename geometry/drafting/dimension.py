"""Dimensions and leaders as plain lines, arrows and texts, in the manner of ISO 129-1.

All places are sheet millimetres (map model points with a `View` first); the text is the true
size of the model, written by the caller. ISO 129-1 sets the manner (text above an unbroken
line, read from below or from the right) but few lengths; the lengths below are common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from geometry.drafting.drawing import (
    Dimension,
    Fill,
    Items,
    Stroke,
    Text,
    edges,
    line,
    measured,
    polyline,
)
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_reach, text_width, widest
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
        drawn: Items = (
            *extensions,
            line(*ends),
            arrow(first, along + math.pi + turn),
            arrow(second, along + turn),
            text_on_line(
                first.plus(Point.polar(self.text_middle, along)), self.text, self.height, along
            ),
        )
        words = (self.text,) if self.text else ()
        return measured(drawn, Dimension("linear", self.a, self.b, first, words, along))


# Leaders: a line from a place on the part to words on a horizontal shelf (ISO 128-2).


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
    drawn = (
        line(a.plus(Point.polar(-tail, along)), elbow),
        arrow(a, along + math.pi + turn),
        arrow(b, along + turn),
        *shelf(elbow, words, side=side, height=height),
    )
    return measured(drawn, Dimension("linear", a, b, a, words, along))


# Where dimension lines go so that no text meets another: stacks of lengths.
#
# `stack` puts the shortest length nearest to the part and every length that spans another
# farther out, as ISO 129-1 asks, and slides a text aside where an extension line would cross it.

# Labels in a row: as near to their places as they can be without touching each other.


def distribute_labels(
    middles: Sequence[float],
    widths: Sequence[float],
    *,
    gap: float,
    room: tuple[float, float],
) -> tuple[float, ...]:
    """Return the middles of boxes in a row, in the order given.

    The sum of the squared moves from `middles` is the least possible (pool adjacent violators,
    isotonic regression); then the row is kept inside `room`.

    Args:
        middles: wanted middles in mm, rising or not; the order stays.
        widths: widths of the boxes in mm.
        gap: clear distance between neighbours, mm.
        room: least and greatest coordinate that a box may touch.

    Raises:
        GeometryError: together they are wider than the room.
    """
    if not middles:
        return ()
    total = sum(widths) + gap * (len(widths) - 1)
    if total > room[1] - room[0] + 1e-9:
        raise GeometryError(
            f"{total:.1f} mm of labels do not fit into {room[1] - room[0]:.1f} mm",
            value=total,
            limit=room[1] - room[0],
            hint="use a larger sheet",
        )
    # Offsets turn "neighbours must not touch" into "values must not fall".
    offsets = [0.0]
    for a, b in pairwise(widths):
        offsets.append(offsets[-1] + (a + b) / 2 + gap)
    blocks: list[tuple[float, int]] = []
    for wanted, offset in zip(middles, offsets, strict=True):
        value, count = wanted - offset, 1
        while blocks and blocks[-1][0] > value:
            other, n = blocks.pop()
            value, count = (other * n + value * count) / (n + count), n + count
        blocks.append((value, count))
    level = [value for value, count in blocks for _ in range(count)]
    low = room[0] + widths[0] / 2
    high = room[1] - widths[-1] / 2 - offsets[-1]
    return tuple(min(max(v, low), high) + o for v, o in zip(level, offsets, strict=True))


# Running dimensions: many lengths from one face on one line (ISO 129-1).
#
# |    |       |   |           |        extension lines
# o--->|------>|-->|---------->|        one line, a circle at its origin
# |    |        \   \          |        bent aside where the texts would touch
# 0    22      43  47         150       texts read from the right

#: From the line to the bend of an extension line, height of the bend, then the gap to the text.
BEFORE_BEND, BEND, TEXT_AWAY = 2.0, 4.0, 0.8

#: Clear width between two texts that stand side by side.
ASIDE = 1.3

ORIGIN_RADIUS = 1.0


@dataclass(frozen=True)
class Station:
    """One length: the point on the part that it goes to, on the sheet, and its text."""

    at: Point
    text: str


def running_depth(stations: Sequence[Station], height: float = SMALLEST_TEXT) -> float:
    """Return how far the texts reach below the dimension line, mm."""
    longest = max((text_width(s.text, height) for s in stations), default=0.0)
    return BEFORE_BEND + BEND + TEXT_AWAY + longest


def running_lengths(
    stations: Sequence[Station],
    *,
    at: float,
    room: tuple[float, float],
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return the running dimensions below a part.

    Args:
        stations: the origin first, then points to its right, rising in x.
        at: y of the dimension line, below all points.
        room: least and greatest x of the texts.

    Raises:
        GeometryError: the texts need more room.
    """
    wide = height + ASIDE
    places = distribute_labels(
        [s.at.x for s in stations], [wide] * len(stations), gap=0.0, room=room
    )
    origin = stations[0].at
    items: list[Stroke | Fill | Text] = []
    for k, (s, x) in enumerate(zip(stations, places, strict=True)):
        foot = Point(s.at.x, at - BEFORE_BEND)
        run = [Point(s.at.x, s.at.y - EXTENSION_GAP), foot]
        bend = x if abs(x - s.at.x) > 1e-6 else s.at.x
        drawn: list[Stroke | Fill | Text] = [
            polyline([*run, Point(bend, foot.y - BEND)]),
            Text(x, foot.y - BEND - TEXT_AWAY, height, s.text, "right", math.pi / 2, "middle"),
        ]
        if not k:
            items += drawn
            continue
        tip = Point(s.at.x, at)
        if s.at.x - stations[k - 1].at.x < ARROW_LENGTH + ORIGIN_RADIUS:
            drawn.append(Fill((Outline.circle(tip, 0.5),)))  # no room for an arrow (ISO 129-1)
        else:
            drawn.append(arrow(tip, 0.0))
        end = Point(bend, foot.y - BEND)
        items += measured(drawn, Dimension("ordinate", origin, s.at, end, (s.text,)))
    items += edges(Outline.circle(Point(origin.x, at), ORIGIN_RADIUS), "narrow")
    if len(stations) > 1:
        items.append(line(Point(origin.x + ORIGIN_RADIUS, at), Point(stations[-1].at.x, at)))
    return tuple(items)


#: First dimension line from the part, and the next from the last, in mm (common practice).
FIRST_LINE, NEXT_LINE = 10.0, 8.0


@dataclass(frozen=True)
class Span:
    """One length to be stacked: its two points on the sheet and its text."""

    a: Point
    b: Point
    text: str


def stack(
    spans: Sequence[Span],
    *,
    base: float,
    direction: int,
    axis: Literal["x", "y"] = "x",
    first: float = FIRST_LINE,
    spacing: float = NEXT_LINE,
    height: float = SMALLEST_TEXT,
) -> tuple[LinearDimension, ...]:
    """Return the dimensions, each on a row of its own where it would touch another.

    Args:
        base: edge of the part on the sheet: its y for axis "x", its x for axis "y".
        direction: +1 away to larger values, -1 to smaller.
        axis: "x" for horizontal lengths above or below, "y" for vertical ones at a side.
        first, spacing: distances in mm; 8 to 10 suits lettering of 2.5 and 3.5.
    """
    plain = [
        LinearDimension(s.a, s.b, s.text, base, axis, height)
        for s in sorted(spans, key=lambda s: _width(s, axis))
    ]
    rows: list[int] = []
    for k, dim in enumerate(plain):
        rows.append(1 + max((rows[j] for j in range(k) if _meet(dim, plain[j])), default=-1))
    moved = plain
    for _ in plain:  # a text with no clear place goes to a new outermost row, where none passes
        moved, stuck = _cleared(plain, rows)
        if stuck is None:
            break
        rows[stuck] = max(rows) + 1
    return tuple(
        replace(dim, at=base + direction * (first + spacing * row))
        for dim, row in zip(moved, rows, strict=True)
    )


def _place(dim: LinearDimension) -> float:
    foot = dim.feet[0]
    return foot.x if dim.axis == "x" else foot.y


def _width(span: Span, axis: str) -> float:
    return abs(span.a.x - span.b.x) if axis == "x" else abs(span.a.y - span.b.y)


def _meet(one: LinearDimension, two: LinearDimension) -> bool:
    """Tell whether two dimensions would overlap if they shared a line."""
    (a, b), (c, d) = (
        (_place(dim) + dim.reach[0], _place(dim) + dim.reach[1]) for dim in (one, two)
    )
    return a < d - 1e-9 and c < b - 1e-9


def _cleared(
    plain: Sequence[LinearDimension], rows: Sequence[int]
) -> tuple[list[LinearDimension], int | None]:
    """Return the dimensions with their texts off all lines that pass, and the first that fails."""
    moved = list(plain)
    for k in range(len(moved)):
        clear = _clear(k, moved, rows)
        if clear is None:
            return moved, k
        moved[k] = clear
    return moved, None


def _clear(k: int, dims: Sequence[LinearDimension], rows: Sequence[int]) -> LinearDimension | None:
    """Return dimension k with its text clear of the extension lines that pass its row."""
    dim = dims[k]
    start, half = _place(dim), dim.text_width / 2 + 0.5
    passing = sorted(
        end - start
        for other, row in zip(dims, rows, strict=True)
        if row > rows[k]
        for end in (_place(other), _place(other) + other.length)
    )
    neighbours = [d for j, d in enumerate(dims) if rows[j] == rows[k] and j != k]

    def good(place: float | None) -> bool:
        moved = replace(dim, text_at=place)
        middle = moved.text_middle
        return not any(middle - half < p < middle + half for p in passing) and not any(
            _meet(moved, d) for d in neighbours
        )

    places = (None, *_places(dim, passing, half))
    return next((replace(dim, text_at=t) for t in places if good(t)), None)


def _places(dim: LinearDimension, passing: list[float], half: float) -> Iterator[float]:
    """Yield other places for the text: between the feet first, then beyond either foot."""
    edges = [p + s * half for p in passing for s in (-1.0, 1.0)]
    inside = [t for t in edges if half <= t <= dim.length - half]
    yield from sorted(inside, key=lambda t: (abs(t - dim.length / 2), t))
    tail = half + 1.0 + (0.0 if dim.arrows_inside else ARROW_LENGTH)
    yield from (dim.length + tail, -tail)
    beyond = [t for t in edges if not -tail < t < dim.length + tail]
    yield from sorted(beyond, key=lambda t: (abs(t - dim.length / 2), t))
