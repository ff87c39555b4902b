"""Dimensions of round things and of angles, in the manner of ISO 129-1."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geometry.point import Point
from geometry.segment import Arc
from geometry.sheet.dimension import (
    ARROW_LENGTH,
    EXTENSION_BEYOND,
    EXTENSION_GAP,
    OUTSIDE_TAIL,
    TEXT_GAP,
    arrow,
)
from geometry.sheet.drawing import Fill, Items, Stroke, Text, line
from geometry.sheet.font import SMALLEST_TEXT, text_reach, text_width
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


def radius(
    center: Point,
    size: float,
    angle: float,
    lines: str | Sequence[str],
    *,
    reach: float = 8.0,
    inside: bool = True,
    side: int | None = None,
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return a radius leader: "R4" on a shelf, the arrow on the arc.

    Args:
        center, size: centre and radius of the arc on the sheet, mm.
        angle: direction from the centre to the arrow's tip, rad.
        reach: from the arc to the elbow, mm.
        inside: the arc is seen from its hollow side and the line runs through it; otherwise the
            line stays outside and the arrow looks toward the centre.
    """
    words = (lines,) if isinstance(lines, str) else tuple(lines)
    tip = center.plus(Point.polar(size, angle))
    elbow = center.plus(Point.polar(size + reach, angle))
    toward = (1 if math.cos(angle) >= 0 else -1) if side is None else side
    if inside and size >= ARROW_LENGTH + 1.0:
        stem: Items = (line(center, elbow), arrow(tip, angle))
    else:
        stem = (line(tip, elbow), arrow(tip, angle + math.pi))
    return stem + shelf(elbow, words, side=toward, height=height)


def angle_between(
    vertex: Point,
    size: float,
    start: float,
    end: float,
    text: str,
    *,
    legs: float = 0.0,
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return an angle: an arc of radius `size` mm from `start` to `end` rad, counter-clockwise.

    Args:
        legs: where the drawn legs of the angle end, mm from the vertex: extension lines run from
            there to the arc. 0 when the drawn edges reach the arc.
    """
    sweep = (end - start) % (2 * math.pi)
    spots = [vertex.plus(Point.polar(size, start + sweep * k)) for k in (0.0, 1.0)]
    items: list[Stroke | Fill | Text] = []
    if 0.0 < legs < size - EXTENSION_GAP:
        for turn in (start, end):
            inner, outer = legs + EXTENSION_GAP, size + EXTENSION_BEYOND
            items.append(
                line(vertex.plus(Point.polar(inner, turn)), vertex.plus(Point.polar(outer, turn)))
            )
    bend = ARROW_LENGTH / size / 2  # an arrow on an arc follows its own chord
    fits = sweep * size >= 2 * ARROW_LENGTH + 1.0
    grow = 0.0 if fits else OUTSIDE_TAIL / size
    wide = Arc(
        vertex.plus(Point.polar(size, start - grow)),
        vertex.plus(Point.polar(size, start + sweep + grow)),
        vertex,
        True,
    )
    items.append(Stroke((wide,), "narrow"))
    turn = 1 if fits else -1
    items.append(arrow(spots[0], start - turn * (math.pi / 2 - bend)))
    items.append(arrow(spots[1], start + sweep + turn * (math.pi / 2 - bend)))
    wider = text_width(text, height) + 1.0 > sweep * size  # than the gap between the legs
    clear = size + (EXTENSION_BEYOND if wider else 0.0)
    items.append(_angle_text(vertex, clear, start + sweep / 2, text, height))
    return tuple(items)


def _angle_text(vertex: Point, size: float, middle: float, text: str, height: float) -> Text:
    """Return the text of an angle, level, outside the arc at its middle."""
    width = text_width(text, height)
    low, high = text_reach(text, height)
    out = Point.polar(1.0, middle)
    # The nearest corner of the text box keeps TEXT_GAP from the arc whatever the direction.
    half = abs(out.x) * width / 2 + abs(out.y) * (high - low) / 2
    centre = vertex.plus(out, size + TEXT_GAP + half)
    return Text(centre.x - width / 2, centre.y - (low + high) / 2, height, text)
