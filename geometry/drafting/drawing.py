"""The neutral drawing: what DXF, PDF and SVG are all written from.

A `Drawing` is one sheet in millimetres at true size, x to the right, y up, origin in the lower
left corner. It holds three kinds of item: `Stroke` (a run of exact lines and arcs in a style
named by its purpose), `Fill` (a flat tone) and `Text` (one line of lettering). Everything else,
dimensions, frames, rulers, is made of these, so three writers cannot disagree.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal, Protocol, overload

from geometry.drafting.font import LINE_PITCH, text_reach, text_width
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Box, Line, Segment, joint_box

# Line styles by purpose, after ISO 128-2: widths and dashes in mm on the sheet.
#
# Numbers such as 04.1 are the line types of ISO 128-2 (type, then 1 narrow or 2 wide); wide to
# narrow is 2:1. Lengths of dashes in line widths d are those of ISO 128-20:1996 table 3 (from
# memory): gap 3 d, dash 12 d, long dash 24 d, dot 0.5 d. Style tells purpose, never colour:
# a copier and a black printer keep it.


@dataclass(frozen=True)
class LineStyle:
    """How a line of one purpose is drawn.

    Args:
        name: the purpose, also the name of the layer in DXF.
        number: line type of ISO 128-2.
        width: line width in mm.
        dashes: lengths of dash, gap, dash, gap ... in mm; empty for a continuous line.
        legend: the words beside a sample of the line.
        custom: drawn by the custom of the craft, where ISO 128-2 would draw it otherwise.
    """

    name: str
    number: str
    width: float
    dashes: tuple[float, ...]
    legend: str
    custom: bool = False


def _pattern(width: float, *marks: float) -> tuple[float, ...]:
    return tuple(round(width * part, 4) for mark in marks for part in (mark, 3.0))


NARROW, WIDE = 0.25, 0.5

STYLES: dict[str, LineStyle] = {
    style.name: style
    for style in (
        LineStyle("visible", "01.2", WIDE, (), "visible edge"),
        LineStyle("narrow", "01.1", NARROW, (), "dimension, leader, hatching"),
        LineStyle("hidden", "02.1", NARROW, _pattern(NARROW, 12), "hidden edge"),
        LineStyle("centre", "04.1", NARROW, _pattern(NARROW, 24, 0.5), "centre line"),
        LineStyle("adjacent", "05.1", NARROW, _pattern(NARROW, 24, 0.5, 0.5), "adjacent part"),
        # ISO 128-2 names the outline of a sheet part like any visible edge; 0.35 is the wide
        # line of the next finer group, because the knife follows its middle.
        LineStyle("cut", "01.2", 0.35, (), "cut on the middle of the line"),
        # ISO 128-2 draws bend lines continuous and narrow (01.1, from memory). A dashed fold
        # is the custom of the craft and is told from a cut at a glance (common practice).
        LineStyle("fold", "02.1", NARROW, _pattern(NARROW, 12), "fold, do not cut", True),
        # beside a cut of 0.35 a mark is told by half its width (line group 0.35)
        LineStyle("mark", "01.1", 0.18, (), "mark only, do not cut"),
        # where one sheet of paper is laid over the next: the next sheet is the adjacent part
        LineStyle("joint", "05.1", 0.18, _pattern(0.18, 24, 0.5, 0.5), "joint with the next sheet"),
        LineStyle("frame", "01.2", 0.7, (), "frame of the sheet"),  # ISO 5457
        LineStyle("flux", "01.1", 0.13, (), "line of flux"),
    )
}

Anchor = Literal["left", "centre", "right"]
Level = Literal["base", "middle", "top"]
Tone = Literal["black", "grey", "white", "sky", "sand", "mint", "blue 1", "blue 2", "blue 3", "blue 4", "blue 5", "blue 6", "blue 7", "blue 8"]  # fmt: skip

#: A scale of quantities: one hue (CIELAB 262 degrees) whose lightness L* falls from 96 in even steps
#: of 7, so that it keeps its order for the colour-blind and in grey, and black lines show on all of it.
SCALE: tuple[Tone, ...] = ("blue 1", "blue 2", "blue 3", "blue 4", "blue 5", "blue 6", "blue 7", "blue 8")  # fmt: skip

#: Red, green and blue (0 to 1) of every tone. The three light ones are the sky blue, orange and
#: bluish green of Okabe and Ito, "Color universal design" (2008), thinned with white: they stay
#: apart for colour-blind eyes, and lettering and hatching stay legible on them.
TONES: dict[str, tuple[float, float, float]] = {
    "black": (0.0, 0.0, 0.0),
    "grey": (0.85, 0.85, 0.85),
    "white": (1.0, 1.0, 1.0),
    "sky": (0.73, 0.88, 0.96),
    "sand": (0.97, 0.86, 0.64),
    "mint": (0.66, 0.87, 0.79),
    "blue 1": (0.936, 0.957, 0.984),
    "blue 2": (0.835, 0.882, 0.939),
    "blue 3": (0.734, 0.808, 0.894),
    "blue 4": (0.632, 0.735, 0.849),
    "blue 5": (0.528, 0.664, 0.804),
    "blue 6": (0.419, 0.594, 0.76),
    "blue 7": (0.299, 0.525, 0.715),
    "blue 8": (0.136, 0.459, 0.671),
}


class Frame(Protocol):
    """Where a view of the model lies on the sheet (`geometry.drafting.view.View`)."""

    @property
    def factor(self) -> float:
        """Millimetres on the sheet for one millimetre of the model."""

    @property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Stretches of x on the sheet that stand for what is left out of the view, mm."""

    def model(self, p: Point) -> Point:
        """Return the place in the model, mm, of a place on the sheet."""


@dataclass(frozen=True)
class Dimension:
    """What a group of items measures, for formats that know dimensions as such.

    Args:
        kind: "linear" from `a` to `b` along `angle`; "diameter" between opposite points;
            "radius" from the centre `a` to `b`; "ordinate" along x from the origin `a` to `b`.
        a, b: places on the sheet, mm.
        at: a place on the dimension line; of an ordinate the end of its extension line.
        text: what is written, a line each; empty for the bare measure.
        angle: direction of measuring in rad.
    """

    kind: Literal["linear", "diameter", "radius", "ordinate"]
    a: Point
    b: Point
    at: Point
    text: tuple[str, ...] = ()
    angle: float = 0.0


@dataclass(frozen=True)
class Stroke:
    """A connected run of edges, drawn in a style of `geometry.drafting.drawing.STYLES`.

    Args:
        segments: exact edges on the sheet.
        style: name of the line style.
        view: the view that it belongs to; None for what belongs to the sheet.
        dimension: what it helps to measure.

    Raises:
        GeometryError: no edge, a gap between two edges, or an unknown style.
    """

    segments: tuple[Segment, ...]
    style: str
    view: Frame | None = field(default=None, compare=False, repr=False)
    dimension: Dimension | None = field(default=None, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Refuse what could not be drawn as one pull of the pen."""
        object.__setattr__(self, "segments", tuple(self.segments))
        if not self.segments:
            raise GeometryError("a stroke needs at least one edge")
        for last, this in pairwise(self.segments):
            if last.end != this.start:
                raise GeometryError(
                    "a stroke has a gap", where=this.start, value=last.end.distance(this.start)
                )
        if self.style not in STYLES:
            raise GeometryError(
                f"unknown line style {self.style!r}", hint=f"choose one of {', '.join(STYLES)}"
            )

    @property
    def closed(self) -> bool:
        """Whether the run ends where it began."""
        return len(self.segments) > 1 and self.segments[-1].end == self.segments[0].start


@dataclass(frozen=True)
class Fill:
    """A flat tone inside closed loops (even-odd: a loop inside another is a hole).

    `view` and `dimension` as of a `Stroke`.
    """

    loops: tuple[Outline, ...]
    tone: Tone = "black"
    view: Frame | None = field(default=None, compare=False, repr=False)
    dimension: Dimension | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True)
class Text:
    """One line of lettering.

    Args:
        x, y: the anchor on the sheet in mm.
        height_mm: height of a capital letter in mm (ISO 3098-1 nominal size).
        text: the words; no line breaks.
        anchor: which end of the line lies on the anchor.
        angle: direction of reading in rad, counter-clockwise from the x axis.
        level: whether the base line, the middle or the top of the capitals lies on it.
        view, dimension: as of a `Stroke`.
    """

    x: float
    y: float
    height_mm: float
    text: str
    anchor: Anchor = "left"
    angle: float = 0.0
    level: Level = "base"
    view: Frame | None = field(default=None, compare=False, repr=False)
    dimension: Dimension | None = field(default=None, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Raise GeometryError for line breaks and sizes that cannot be."""
        if "\n" in self.text or "\r" in self.text:
            raise GeometryError("a text item is one line; make one item per line")
        if not self.height_mm > 0:
            raise GeometryError("lettering needs a height above 0 mm", value=self.height_mm)

    @property
    def width(self) -> float:
        """Advance width in mm."""
        return text_width(self.text, self.height_mm)

    @property
    def start(self) -> Point:
        """Left end of the base line on the sheet: where every writer begins."""
        along = {"left": 0.0, "centre": 0.5, "right": 1.0}[self.anchor] * self.width
        up = {"base": 0.0, "middle": 0.5, "top": 1.0}[self.level] * self.height_mm
        return Point(self.x, self.y).plus(Point(-along, -up).rotated(self.angle))

    @property
    def end(self) -> Point:
        """Right end of the base line on the sheet."""
        return self.start.plus(Point.polar(self.width, self.angle))

    def corners(self, clearance: float = 0.0) -> tuple[Point, Point, Point, Point]:
        """Return the corners of the inked box, grown by `clearance` mm all round."""
        low, high = text_reach(self.text, self.height_mm)
        left, right = -clearance, self.width + clearance
        bottom, top = low - clearance, high + clearance
        box = [Point(left, bottom), Point(right, bottom), Point(right, top), Point(left, top)]
        start = self.start
        first, second, third, fourth = (start.plus(p.rotated(self.angle)) for p in box)
        return first, second, third, fourth


Item = Stroke | Fill | Text
Items = tuple[Item, ...]


def held(items: Iterable[Item], view: Frame) -> Items:
    """Return the items as parts of a view, but those that belong to one already."""
    return tuple(item if item.view else replace(item, view=view) for item in items)


def measured(items: Iterable[Item], dimension: Dimension) -> Items:
    """Return the items that draw a dimension, with what they measure."""
    return tuple(replace(item, dimension=dimension) for item in items)


@dataclass(frozen=True)
class Drawing:
    """One sheet.

    Args:
        width_mm, height_mm: size of the paper.
        items: what is drawn, in order; later items lie on top.
        title: name of the sheet, for the file's metadata.
        print_scale: factors (x, y) by which the PDF writer stretches the sheet about its
            middle, to undo what a printer does wrong. DXF and SVG stay at true size.
    """

    width_mm: float
    height_mm: float
    items: Items
    title: str = ""
    print_scale: tuple[float, float] = (1.0, 1.0)

    def __post_init__(self) -> None:
        """Keep the items as a tuple; raise GeometryError for a sheet without size."""
        object.__setattr__(self, "items", tuple(self.items))
        sizes = (self.width_mm, self.height_mm, *self.print_scale)
        if not all(math.isfinite(s) and s > 0 for s in sizes):
            raise GeometryError("a sheet needs a finite size above 0 mm", value=min(sizes))

    @property
    def texts(self) -> tuple[Text, ...]:
        """All lettering, in order."""
        return tuple(item for item in self.items if isinstance(item, Text))

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """All strokes, in order."""
        return tuple(item for item in self.items if isinstance(item, Stroke))


class Lazy(Sequence[Drawing]):
    """Drawings that are laid out when someone first looks at them: a quick look at a part pays nothing.

    A copy that travels to another process leaves its sheets behind: there bodies are written.
    """

    def __init__(self, make: Callable[[], Sequence[Drawing]], count: int | None = None) -> None:
        """Take what lays the sheets out, and how many they will be where that is known before.

        Whatever `make` raises comes out at the first look.
        """
        self._make, self._count = make, count

    @cached_property
    def _made(self) -> tuple[Drawing, ...]:
        return tuple(self._make())

    @overload
    def __getitem__(self, k: int) -> Drawing: ...

    @overload
    def __getitem__(self, k: slice) -> Sequence[Drawing]: ...

    def __getitem__(self, k: int | slice) -> Drawing | Sequence[Drawing]:
        """Return one sheet or several."""
        return self._made[k]

    def __len__(self) -> int:
        """Return how many sheets there are; lays them out unless that was told."""
        return len(self._made) if self._count is None else self._count

    def __bool__(self) -> bool:
        """Tell whether sheets are promised; lays nothing out: who promises has at least one."""
        return self._count != 0

    def __reduce__(self) -> tuple[type[tuple[Drawing, ...]], tuple[()]]:
        """Travel without sheets."""
        return tuple, ()


def line(a: Point, b: Point, style: str = "narrow") -> Stroke:
    """Return one straight stroke from `a` to `b`."""
    return Stroke((Line(Point(*a), Point(*b)),), style)


def polyline(points: list[Point] | tuple[Point, ...], style: str = "narrow") -> Stroke:
    """Return the open run of straight edges through `points`.

    Where two points in a row are the same, as small chords become on a small scale, the pen rests.
    """
    return Stroke(tuple(Line(a, b) for a, b in pairwise(points) if a != b), style)


def box(x0: float, y0: float, x1: float, y1: float, style: str = "narrow") -> Stroke:
    """Return the rectangle between two corners in mm as one closed stroke."""
    return Stroke(Outline.polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]).segments, style)


def edges(shape: Outline | Region, style: str) -> Items:
    """Return every loop of `shape` as a closed stroke."""
    loops = shape.loops if isinstance(shape, Region) else (shape,)
    return tuple(Stroke(loop.segments, style) for loop in loops)


def extent(items: Iterable[Item]) -> Box:
    """Return the box (x min, y min, x max, y max) of strokes and lettering on the sheet, mm."""
    boxes = [s.box() for item in items if isinstance(item, Stroke) for s in item.segments]
    for text in (item for item in items if isinstance(item, Text)):
        xs, ys = zip(*text.corners(), strict=True)
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    return joint_box(boxes)


def moved(item: Item, dx: float, dy: float) -> Item:
    """Return an item of a drawing shifted by (dx, dy) mm, of no view any more."""
    item = replace(item, view=None, dimension=None)
    if isinstance(item, Stroke):
        return replace(item, segments=tuple(s.moved(dx, dy) for s in item.segments))
    if isinstance(item, Fill):
        return replace(item, loops=tuple(loop.moved(dx, dy) for loop in item.loops))
    return replace(item, x=item.x + dx, y=item.y + dy)


def text_lines(
    x: float,
    y: float,
    height_mm: float,
    lines: list[str] | tuple[str, ...],
    *,
    anchor: Anchor = "left",
    pitch: float | None = None,
) -> tuple[Text, ...]:
    """Return lines of text one below the other; `y` is the top of the first line's capitals."""
    step = LINE_PITCH * height_mm if pitch is None else pitch
    first = y - height_mm
    return tuple(
        Text(x, first - k * step, height_mm, words, anchor)
        for k, words in enumerate(lines)
        if words
    )
