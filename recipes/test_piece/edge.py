"""Straight edges of a test coupon with bites out of them: counting notches, half-rings, gaps.

A bite is drawn about its own middle: x along the edge, y into the material.

            .---.            half-round notch or half-ring: an arc bite
    -------(     )-------    edge, travelled to the right, material above
            |   |
    --------+   +--------    gap with a full-radius bottom: no sharp inside corner
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from recipes.tables.process import Process

#: A counting notch is at least this wide, so that a naked eye counts it, mm.
SEEN = 1.0

#: No piece of the coupon is smaller across or larger than this, mm: shops refuse parts under 15 to
#: 25 mm, which fall through the table; 60 mm fits any offcut (common practice).
SMALLEST, LARGEST = 16.0, 60.0


@dataclass(frozen=True)
class Mark:
    """Width of a counting notch and of the web between two, mm."""

    width: float
    web: float

    def group(self, count: int) -> float:
        """Return the width of `count` notches side by side, mm."""
        return count * self.width + max(0, count - 1) * self.web


@dataclass(frozen=True)
class Bite:
    """What is taken out of an edge: `middle` from the start of the edge in mm, `run` about it."""

    middle: float
    run: tuple[Segment, ...]


def mark_of(shop: Process, thickness: float) -> Mark:
    """Return the smallest counting notch that a process cuts cleanly in `thickness` mm of sheet."""
    least = max(SEEN, shop.slot(thickness), shop.hole(thickness), 2 * shop.least_corner_radius_mm)
    return Mark(least, max(SEEN, shop.web(thickness)))


def arc_bite(middle: float, radius: float, chord: float | None = None) -> Bite:
    """Return an arc of `radius` mm taken out of the edge; half a circle if no chord is given."""
    half = radius if chord is None else chord / 2
    center = Point(0.0, -math.sqrt(max(0.0, radius**2 - half**2)))
    return Bite(middle, (Arc(Point(-half, 0.0), Point(half, 0.0), center, False),))


def gap_bite(middle: float, width: float, depth: float) -> Bite:
    """Return a straight gap of `width` mm with a full-radius bottom, `depth` mm deep."""
    half = width / 2
    low, high = depth - half, Point(0.0, depth - half)
    a, b, c, d = Point(-half, 0.0), Point(-half, low), Point(half, low), Point(half, 0.0)
    return Bite(middle, (Line(a, b), Arc(b, c, high, False), Line(c, d)))


def counting(middle: float, count: int, mark: Mark) -> list[Bite]:
    """Return `count` half-round notches about `middle`, which number the thing beside them."""
    pitch = mark.width + mark.web
    return [arc_bite(middle + (k - (count - 1) / 2) * pitch, mark.width / 2) for k in range(count)]


def edge(start: Point, end: Point, bites: Sequence[Bite] = ()) -> list[Segment]:
    """Return the edge from `start` to `end`, material on the left, with its bites, mm."""
    angle = end.minus(start).angle()
    here = start
    segments: list[Segment] = []
    for bite in sorted(bites, key=lambda b: b.middle):
        run = [s.moved(bite.middle, 0.0).rotated(angle).moved(*start) for s in bite.run]
        segments.append(Line(here, run[0].start))
        segments += run
        here = run[-1].end
    segments.append(Line(here, end))
    return segments
