"""Where dimension lines go so that no text meets another: stacks of lengths.

`stack` puts the shortest length nearest to the part and every length that spans another
farther out, as ISO 129-1 asks, and slides a text aside where an extension line would cross it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from geometry.drafting.dimension import ARROW_LENGTH, EXTENSION_GAP, LinearDimension, arrow
from geometry.drafting.drawing import Fill, Items, Stroke, Text, edges, line, polyline
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.label_row import spread
from geometry.outline import Outline
from geometry.point import Point

#     Running dimensions: many lengths from one face on one line (ISO 129-1).
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
    places = spread([s.at.x for s in stations], [wide] * len(stations), gap=0.0, room=room)
    items: list[Stroke | Fill | Text] = []
    for s, x in zip(stations, places, strict=True):
        foot = Point(s.at.x, at - BEFORE_BEND)
        run = [Point(s.at.x, s.at.y - EXTENSION_GAP), foot]
        if abs(x - s.at.x) > 1e-6:
            run.append(Point(x, foot.y - BEND))
        else:
            run.append(Point(s.at.x, foot.y - BEND))
        items.append(polyline(run))
        items.append(
            Text(x, foot.y - BEND - TEXT_AWAY, height, s.text, "right", math.pi / 2, "middle")
        )
    origin = stations[0].at.x
    items += edges(Outline.circle(Point(origin, at), ORIGIN_RADIUS), "narrow")
    if len(stations) > 1:
        items.append(line(Point(origin + ORIGIN_RADIUS, at), Point(stations[-1].at.x, at)))
    for before, this in pairwise(stations):
        tip = Point(this.at.x, at)
        if this.at.x - before.at.x < ARROW_LENGTH + ORIGIN_RADIUS:
            items.append(Fill((Outline.circle(tip, 0.5),)))  # no room for an arrow (ISO 129-1)
        else:
            items.append(arrow(tip, 0.0))
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
