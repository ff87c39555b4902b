"""Charts of the axle's strength over its length: safety, bending and torque.

50 |      ____          ____
10 |  ___/    \\__|  ___/         logarithmic: safety by von Mises, dashed the long run
 2 |..........................   tone: below this the design is refused
 1 |        v spike: a notch
   +--------------------------> z
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.outline import Outline
from geometry.point import Point
from geometry.sheet.drawing import Fill, Item, Text, line, polyline
from geometry.sheet.font import SMALLEST_TEXT
from recipes.axle.load import Run
from recipes.axle.strength_rules import LEAST_STATIC

#: Ends and marks of the scale of safety.
LOW, HIGH = 0.5, 50.0
MARKS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


@dataclass(frozen=True)
class Frame:
    """Where a chart lies on the sheet, in mm.

    Args:
        left, right, bottom, top: of the field.
        length: of the axle, which fills left to right.
    """

    left: float
    right: float
    bottom: float
    top: float
    length: float

    def x(self, z: float) -> float:
        """Return the place of a length from face A."""
        return self.left + (self.right - self.left) * z / self.length

    def y(self, safety: float) -> float:
        """Return the height of a safety factor; beyond the scale its end."""
        kept = min(max(safety, LOW), HIGH)
        share = math.log(kept / LOW) / math.log(HIGH / LOW)
        return self.bottom + (self.top - self.bottom) * share


def safety_scale(frame: Frame) -> list[Item]:
    """Return the tone below the limit, the marks and their lines."""
    limit = frame.y(LEAST_STATIC)
    corners = [
        (frame.left, frame.bottom), (frame.right, frame.bottom),
        (frame.right, limit), (frame.left, limit),
    ]  # fmt: skip
    items: list[Item] = [Fill((Outline.polygon(corners),), "grey")]
    for mark in MARKS:
        y = frame.y(mark)
        style = "frame" if mark == LEAST_STATIC else "narrow"
        items.append(line(Point(frame.left, y), Point(frame.right, y), style))
        items.append(Text(frame.left - 1.5, y, SMALLEST_TEXT, f"{mark:g}", "right", level="middle"))
    return items


def safety_curve(frame: Frame, curve: Sequence[tuple[float, float]], style: str) -> Iterator[Item]:
    """Yield the curve in runs, left out where it lies beyond the top of the scale."""
    run: list[Point] = []
    for z, factor in curve:
        spot = Point(frame.x(z), frame.y(factor))
        if run and run[-1].distance(spot) < 1e-6:
            continue
        run.append(spot)
        if factor >= HIGH and (len(run) == 1 or run[-2].y >= frame.top - 1e-9):
            if len(run) > 2:
                yield polyline(run[:-1], style)
            run = [spot]
    if len(run) > 1:
        yield polyline(run, style)


def force_chart(frame: Frame, run: Run, unit: str, divisor: float) -> list[Item]:
    """Return a quantity along the axle over its base line, its largest value written.

    Args:
        frame: the field; the base line is its bottom if the quantity never falls below 0, its top
            if it never rises above.
        run: the quantity.
        unit: behind the number.
        divisor: of the run's own unit.
    """
    most, least = max(0.0, *run.value), min(0.0, *run.value)
    span = (most - least) or 1.0
    zero = frame.bottom + (frame.top - frame.bottom) * -least / span
    scale = (frame.top - frame.bottom) / span
    points = [Point(frame.x(z), zero + scale * v) for z, v in zip(run.z, run.value, strict=True)]
    points = [Point(frame.left, zero), *points, Point(frame.right, zero)]
    apart = [p for k, p in enumerate(points) if not k or p.distance(points[k - 1]) > 1e-6]
    items: list[Item] = [line(Point(frame.left, zero), Point(frame.right, zero))]
    if run.most == 0.0:
        return [*items, _most(frame, f"0 {unit}")]
    items.append(Fill((_closed(apart),), "grey"))
    items.append(polyline(apart, "visible"))
    return [*items, _most(frame, f"{run.most / divisor:.3g} {unit}")]


def _closed(points: list[Point]) -> Outline:
    """Return the area between a run and the base line on which it starts and ends."""
    return Outline.polygon([(p.x, p.y) for p in points])


def _most(frame: Frame, words: str) -> Text:
    """Return the largest value, beside the field so that no line crosses it."""
    middle = (frame.bottom + frame.top) / 2
    return Text(frame.right + 3.0, middle, SMALLEST_TEXT, words, level="middle")
