"""Running dimensions: many lengths from one face on one line (ISO 129-1).

|    |       |   |           |        extension lines
o--->|------>|-->|---------->|        one line, a circle at its origin
|    |        \\   \\          |        bent aside where the texts would touch
0    22      43  47         150       texts read from the right
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geometry.outline import Outline
from geometry.point import Point
from geometry.sheet.dimension import ARROW_LENGTH, EXTENSION_GAP, arrow
from geometry.sheet.drawing import Fill, Items, Stroke, Text, edges, line, polyline
from geometry.sheet.font import SMALLEST_TEXT, text_width
from geometry.sheet.spread import spread

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
