"""Where a model or a value lies on the sheet: views at standard scales, broken views, charts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from geometry.drafting.drawing import Item, Items, Stroke, Text, box, line, polyline
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment

# Chart: two axes at right angles on the sheet, their marks, and where values lie between them.

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


Stretch = tuple[float, float]

#: Recommended scales, drawing to model, largest first (ISO 5455:1979 table 1).
SCALES: tuple[tuple[int, int], ...] = (
    *((n, 1) for n in (50, 20, 10, 5, 2, 1)),
    *((1, n) for n in (2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)),
)


def pick_scale(
    extent: tuple[float, float],
    room: tuple[float, float],
    *,
    largest: tuple[int, int] = (50, 1),
) -> tuple[int, int]:
    """Return the largest scale of ISO 5455 at which `extent` fits into `room`.

    Args:
        extent: width and height of the model in mm.
        room: width and height of the free place on the sheet in mm.
        largest: do not enlarge beyond this.

    Raises:
        GeometryError: nothing fits, or a size that is not above 0.
    """
    if min(*room, max(extent)) <= 0 or min(extent) < 0:
        raise GeometryError(
            "a view needs an extent and a room above 0 mm", value=min(*extent, *room)
        )
    slack = 1 + 1e-9  # 100 mm at 1:2 fits a room of 50 mm
    for num, den in SCALES:
        if num * largest[1] > largest[0] * den:
            continue
        if all(size * num / den <= free * slack for size, free in zip(extent, room, strict=True)):
            return num, den
    raise GeometryError(
        f"{extent[0]:.1f} x {extent[1]:.1f} mm does not fit {room[0]:.1f} x {room[1]:.1f} mm "
        "at any standard scale",
        hint="use a larger sheet",
    )


@dataclass(frozen=True)
class View:
    """A model placed on the sheet: turned, mirrored, scaled, then moved.

    Args:
        origin: where the model's point `about` comes to lie on the sheet, mm.
        scale: drawing to model, such as (1, 2).
        about: the point of the model that is pinned, mm.
        rotation: turn of the model in rad, counter-clockwise.
        mirrored: seen from behind: the model's x axis is reversed before it is turned.
    """

    origin: Point
    scale: tuple[float, float] = (1, 1)
    about: Point = ORIGIN
    rotation: float = 0.0
    mirrored: bool = False

    @property
    def factor(self) -> float:
        """Millimetres on the sheet for one millimetre of the model."""
        return self.scale[0] / self.scale[1]

    @property
    def gaps(self) -> tuple[Stretch, ...]:
        """Stretches of x on the sheet that stand for what is left out, mm."""
        return ()

    def model(self, p: Point) -> Point:
        """Return the place in the model of a place on the sheet; a turned model stays turned."""
        q = p.minus(self.origin).times(1 / self.factor)
        return q if self.rotation or self.mirrored else q.plus(self.about)

    @property
    def label(self) -> str:
        """The scale as it is written on a drawing: "1:2"."""
        return f"{self.scale[0]}:{self.scale[1]}"

    def point(self, p: Point) -> Point:
        """Return the place on the sheet of the model's point `p`."""
        (x, y), (u, v) = p, self.about
        q = Point(u - x if self.mirrored else x - u, y - v)
        return self.origin.plus(q.rotated(self.rotation), self.factor)

    def at(self, x: float, y: float) -> Point:
        """Return the place on the sheet of the model's point (x, y)."""
        return self.point(Point(x, y))

    def angle(self, direction: float) -> float:
        """Return the direction on the sheet (rad) of a direction of the model."""
        return (math.pi - direction if self.mirrored else direction) + self.rotation

    def segment(self, edge: Segment) -> Segment:
        """Return the edge on the sheet; edges that shared a point share it still."""
        start, end = self.point(edge.start), self.point(edge.end)
        if isinstance(edge, Line):
            return Line(start, end)
        return Arc(start, end, self.point(edge.center), edge.ccw != self.mirrored)

    def outline(self, loop: Outline) -> Outline:
        """Return the loop on the sheet."""
        return Outline(tuple(self.segment(s) for s in loop.segments))

    def region(self, region: Region) -> Region:
        """Return the region on the sheet."""
        return Region(self.outline(region.outer), tuple(self.outline(h) for h in region.holes))

    def stroke(self, edges: Iterable[Segment], style: str) -> Stroke:
        """Return a connected run of the model's edges as a stroke."""
        return Stroke(tuple(self.segment(s) for s in edges), style)

    def edges(self, shape: Outline | Region, style: str) -> Items:
        """Return every loop of the model's `shape` as a stroke."""
        loops = shape.loops if isinstance(shape, Region) else (shape,)
        return tuple(self.stroke(loop.segments, style) for loop in loops)

    def line(self, a: Point, b: Point, style: str) -> Stroke:
        """Return a straight stroke between two points of the model."""
        return self.stroke((Line(Point(*a), Point(*b)),), style)


# A long part shown shortened: stretches left out of the view between break lines (ISO 128-3).
#
#    a                b           model: 0 ... a ... b ... length
# ---|---~  /|/  ~----|---        sheet: what lies between a and b takes GAP mm, at whatever scale

#: Width of the gap between two break lines, how far they stand out beyond the edges, and the size of
#: their zigzag, mm (common practice).
GAP, BEYOND, ZIGZAG = 3.0, 2.0, 1.2


#: A place this near to the side of a gap, mm, lies on it.
_EDGE = 1e-6


@dataclass(frozen=True)
class ShortView(View):
    """A view whose model is cut out along its x axis; not turned, not mirrored.

    Args:
        left_out: stretches of the model's x that shrink to `GAP` mm on the sheet, rising, mm.
    """

    left_out: tuple[Stretch, ...] = ()

    def point(self, p: Point) -> Point:
        """Return the place on the sheet of the model's point `p`."""
        x = p[0]
        for a, b in self.left_out:
            inside = min(max(p[0] - a, 0.0), b - a)
            x -= inside * (1.0 - GAP / self.factor / (b - a))
        return super().point(Point(x, p[1]))

    def model(self, p: Point) -> Point:
        """Return the place in the model of a place on the sheet.

        Both sides of a gap are the middle of what is left out: edges that it cuts meet again.
        """
        found = super().model(p)
        x, wide = found.x, GAP / self.factor
        for a, b in self.left_out:
            if x < a - _EDGE:
                break
            if x <= a + wide + _EDGE:
                edge = min(abs(x - a), abs(x - a - wide)) <= _EDGE
                x = (a + b) / 2 if edge else a + (x - a) * (b - a) / wide
                break
            x += b - a - wide
        return Point(x, found.y)

    @property
    def gaps(self) -> tuple[Stretch, ...]:
        """Stretches of x on the sheet that stand for what is left out, mm."""
        return tuple((self.at(a, 0.0).x, self.at(b, 0.0).x) for a, b in self.left_out)

    def shown(self, length: float) -> float:
        """Return the length on the sheet of a model of `length` mm."""
        return self.at(length, 0.0).x - self.at(0.0, 0.0).x


def opened(items: Iterable[Item], gaps: Sequence[Stretch]) -> Items:
    """Return the items with every straight edge cut where it passes a gap; centre lines run on."""
    found: list[Item] = []
    for item in items:
        if isinstance(item, Stroke) and item.style != "centre":
            found += _cut(item, gaps)
        else:
            found.append(item)
    return tuple(found)


def _cut(stroke: Stroke, gaps: Sequence[Stretch]) -> list[Stroke]:
    """Return what the gaps leave of a stroke."""
    runs: list[list[Segment]] = [[]]
    for s in stroke.segments:
        pieces: list[Segment] = [s]
        for low, high in gaps:
            pieces = [part for piece in pieces for part in _without(piece, low, high)]
        for piece in pieces:
            if runs[-1] and runs[-1][-1].end != piece.start:
                runs.append([])
            runs[-1].append(piece)
    return [replace(stroke, segments=tuple(run)) for run in runs if run]


def _without(s: Segment, low: float, high: float) -> list[Segment]:
    """Return what lies outside a gap of an edge; only a straight edge can reach across one."""
    x0, _, x1, _ = s.box()
    if not isinstance(s, Line) or x1 <= low or x0 >= high:
        return [s]
    spots = sorted((x - s.start.x) / (s.end.x - s.start.x) for x in (low, high))
    found: list[Segment] = []
    if spots[0] > 1e-9:
        found.append(Line(s.start, s.point_at(spots[0])))
    if spots[1] < 1 - 1e-9:
        found.append(Line(s.point_at(spots[1]), s.end))
    return found


def break_lines(gap: Stretch, low: float, high: float) -> Items:
    """Return the two narrow lines with a zigzag at the sides of a gap (ISO 128-2 type 01.1).

    Args:
        low, high: y of the edges that are broken, mm on the sheet.
    """
    middle, size = (low + high) / 2, min(ZIGZAG, (high - low) / 4)
    return tuple(
        polyline(
            [
                Point(x, low - BEYOND),
                Point(x, middle - size),
                Point(x - size, middle - size / 2),
                Point(x + size, middle + size / 2),
                Point(x, middle + size),
                Point(x, high + BEYOND),
            ]
        )
        for x in gap
    )
