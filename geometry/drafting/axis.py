"""Chart: two axes at right angles on the sheet, their marks, and where values lie between them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from geometry.drafting.drawing import Item, Text, box, line
from geometry.point import Point

#: Length of a mark outside the frame, and from the frame to what is written at it, mm.
_MARK, _BELOW, _BESIDE, _AT_LINE = 1.5, 5.0, 2.5, 1.5


@dataclass(frozen=True)
class Axis:
    """One axis.

    Args:
        low, high: values at its ends.
        start, end: where these stand on the sheet, mm.
        logarithmic: equal ratios are equal lengths, and a value beyond an end stands at that end.
    """

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def at(self, value: float) -> float:
        """Return the place of a value, mm."""
        if self.logarithmic:
            kept = min(max(value, self.low), self.high)
            share = math.log(kept / self.low) / math.log(self.high / self.low)
            return self.start + (self.end - self.start) * share
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    def ticks(self) -> tuple[float, ...]:
        """Return round values along a linear axis: steps of 1, 2 or 5 times a power of ten."""
        raw = (self.high - self.low) / 7.0
        power = 10.0 ** math.floor(math.log10(raw))
        step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= raw * (1.0 - 1e-9))
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(k * step for k in range(first, last + 1))


@dataclass(frozen=True)
class Chart:
    """Two axes at right angles: `across` from left to right, `up` from bottom to top."""

    across: Axis
    up: Axis

    def point(self, x: float, y: float) -> Point:
        """Return the place of a pair of values on the sheet."""
        return Point(self.across.at(x), self.up.at(y))

    def frame(
        self, across: Callable[[float], str], up: Callable[[float], str], size: float
    ) -> Iterator[Item]:
        """Yield the frame with marks outside at the round values of both axes.

        Args:
            across, up: what is written at a value.
            size: height of letters, mm.
        """
        left, bottom = self.across.start, self.up.start
        yield box(left, bottom, self.across.end, self.up.end)
        for value in self.across.ticks():
            x = self.across.at(value)
            yield line(Point(x, bottom), Point(x, bottom - _MARK))
            yield Text(x, bottom - _BELOW, size, across(value), "centre")
        for value in self.up.ticks():
            y = self.up.at(value)
            yield line(Point(left, y), Point(left - _MARK, y))
            yield Text(left - _BESIDE, y, size, up(value), "right", level="middle")

    def levels(self, values: Iterable[float], size: float, thick: float) -> Iterator[Item]:
        """Yield a line across the field at each value, the value at its left, one line `thick`."""
        for value in values:
            y = self.up.at(value)
            style = "frame" if value == thick else "narrow"
            yield line(Point(self.across.start, y), Point(self.across.end, y), style)
            yield Text(self.across.start - _AT_LINE, y, size, f"{value:g}", "right", level="middle")
