"""A flat piece to be printed at true scale, and the label that goes on or beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from shapely import MultiLineString, Polygon, box, contains, prepare, unary_union

from geometry.drafting.drawing import Item, Items, Stroke, Text, extent
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, widest
from geometry.drafting.symbol import direction_arrow
from geometry.outline import Region
from geometry.part import Part, Path
from geometry.point import Point
from geometry.segment import Box, chord_points

#: Clear width in mm between lettering and a line.
CLEAR = 1.0
#: Length of the grain arrow in mm.
GRAIN_ARROW = 9.0


@dataclass(frozen=True)
class Parting:
    """Leave to cut a piece into lengths by straight cuts.

    Args:
        axis: the lengths follow each other along it, in the piece's own coordinates.
        lap: they cover each other by this much, mm; 0 butts them.
    """

    axis: Literal["x", "y"]
    lap: float


@dataclass(frozen=True)
class Piece:
    """One shape to print `quantity` times.

    Args:
        regions: what is cut out, mm, in the piece's own coordinates.
        name, material, thickness: for the label; thickness in mm, 0 for none.
        fold, mark, reference: open runs drawn by purpose.
        grain: direction of the grain in rad in the piece's own coordinates; None if it has none.
        face: which way up it lies.
        gap: least clear distance to its neighbours, mm.
        times: how often this one is used as a template; then `quantity` is 1.
        kind: what a caption calls it; the name if left out.
        parting: how it may be cut into lengths where no page holds it whole; None: it may not.
    """

    regions: tuple[Region, ...]
    name: str
    quantity: int = 1
    material: str = ""
    thickness: float = 0.0
    fold: tuple[Path, ...] = ()
    mark: tuple[Path, ...] = ()
    reference: tuple[Path, ...] = ()
    grain: float | None = None
    face: str = "this side up"
    gap: float = 4.0
    times: int = 1
    kind: str = ""
    parting: Parting | None = None

    @staticmethod
    def of(part: Part, *, grain: float | None = None, gap: float = 4.0) -> Piece:
        """Return the piece that shows `part`."""
        return Piece(
            part.cut, part.name, part.quantity, part.material, part.thickness,
            part.fold, part.mark, part.reference, grain, gap=gap,
        )  # fmt: skip

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The strokes of one copy, cut lines last so that they lie on top."""
        runs = ((self.reference, "adjacent"), (self.mark, "mark"), (self.fold, "fold"))
        loops = (loop for region in self.regions for loop in region.loops)
        return (
            *(Stroke(p.segments, style) for paths, style in runs for p in paths),
            *(Stroke(loop.segments, "cut") for loop in loops),
        )

    @property
    def box(self) -> Box:
        """Bounding box of everything drawn, mm."""
        return extent(self.strokes)

    def rotated(self, angle: float) -> Piece:
        """Return the piece turned by `angle` rad; no turn returns it untouched."""
        if abs(math.remainder(angle, 2 * math.pi)) < 1e-12:
            return self

        def turn(paths: tuple[Path, ...]) -> tuple[Path, ...]:
            return tuple(Path(tuple(s.rotated(angle) for s in p.segments)) for p in paths)

        return replace(
            self,
            regions=tuple(r.rotated(angle) for r in self.regions),
            fold=turn(self.fold),
            mark=turn(self.mark),
            reference=turn(self.reference),
            grain=None if self.grain is None else self.grain + angle,
        )

    @property
    def stock(self) -> str:
        """Material and thickness; "" without either."""
        return f"{self.material} {self.thickness:.3g}\u00a0mm" if self.thickness else self.material

    @property
    def grain_words(self) -> str:
        """What the arrow means; "" without a grain."""
        return "grain along arrow" if self.grain is not None else ""

    @property
    def facts(self) -> str:
        """What is said of all copies."""
        many = f"{self.quantity} pieces" if self.quantity > 1 else self.template_words
        said = ", ".join(f for f in (self.stock, many, self.face, self.grain_words) if f)
        return f"{self.kind or self.name}: {said}"

    @property
    def template_words(self) -> str:
        """How often it is used, if it is a template for several copies."""
        return f"use as a template for {self.times} pieces" if self.times > 1 else ""

    def once(self) -> Piece:
        """Return the piece as a template for all copies."""
        return replace(self, quantity=1, times=self.quantity) if self.quantity > 1 else self

    def numbered(self, copy: int) -> str:
        """Return the name of the `copy`-th piece (from 1)."""
        return f"{self.name} {copy} of {self.quantity}" if self.quantity > 1 else self.name

    def words(self, copy: int, revision: str) -> list[str]:
        """Return the facts on the label of the `copy`-th piece (from 1), one phrase each."""
        rev = f"rev {revision}" if revision else ""
        facts = (
            self.numbered(copy), self.stock, self.template_words, self.face, self.grain_words, rev
        )  # fmt: skip
        return [words for words in facts if words]


@dataclass(frozen=True)
class LabelStyle:
    """How a label is set.

    Args:
        height: lettering in mm.
        turned: read from the right instead of from below.
    """

    height: float
    turned: bool


@dataclass(frozen=True)
class Label:
    """Lettering and grain arrow in a box of its own, lower left corner at the origin, mm."""

    lines: tuple[str, ...]
    style: LabelStyle
    grain: float | None

    @staticmethod
    def of(piece: Piece, copy: int, revision: str, style: LabelStyle, brief: bool = False) -> Label:
        """Return the label of the `copy`-th piece (from 1): all facts, or `brief` its name."""
        facts = (piece.numbered(copy),) if brief else piece.words(copy, revision)
        return Label(tuple(f.replace("\u00a0", " ") for f in facts), style, piece.grain)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height as it lies on the page, mm."""
        wide, high = self._level_size()
        return (high, wide) if self.style.turned else (wide, high)

    def items(self, at: Point) -> Items:
        """Return the label with the lower left corner of its box at `at`."""
        size, (along, across), high = self.style.height, self._arrow(), self._level_size()[1]
        beside = self._beside()  # the arrow stands left of the text, else it lies below it
        turn = math.pi / 2 if self.style.turned else 0.0
        corner = at.plus(Point(high, 0.0)) if self.style.turned else at
        found: list[Item] = []
        for k, words in enumerate(self.lines):
            low = (
                (high - size) / 2 if len(self.lines) == 1 else high - (1.05 + k * LINE_PITCH) * size
            )
            spot = Point(along + 0.5 if beside else 0.0, low)
            p = corner.plus(spot.rotated(turn))
            found.append(Text(p.x, p.y, size, words, "left", turn))
        if self.grain is not None:
            middle = Point(along / 2, high / 2 if beside else across / 2)
            found += direction_arrow(corner.plus(middle.rotated(turn)), self.grain, GRAIN_ARROW)
        return tuple(found)

    def _arrow(self) -> tuple[float, float]:
        """Return the room that the grain arrow takes along and across the reading, mm."""
        if self.grain is None:
            return 0.0, 0.0
        reading = self.grain - (math.pi / 2 if self.style.turned else 0.0)
        return (
            max(3.0, GRAIN_ARROW * abs(math.cos(reading))),
            max(3.0, GRAIN_ARROW * abs(math.sin(reading))),
        )

    def _beside(self) -> bool:
        """Tell whether the arrow stands beside the words."""
        along, across = self._arrow()
        return across > along or len(self.lines) == 1

    def _level_size(self) -> tuple[float, float]:
        size = self.style.height
        wide = widest(self.lines, size)
        high = size * (1.35 + LINE_PITCH * (len(self.lines) - 1))
        along, across = self._arrow()
        if self._beside():
            return wide + along + 0.5, max(high, across)
        return max(wide, along), high + across


#: Labels from the roomiest to the tightest.
LABEL_STYLES = tuple(
    LabelStyle(height, turned) for height in (3.5, SMALLEST_TEXT) for turned in (False, True)
)


def place_inside(piece: Piece, labels: Sequence[Label]) -> tuple[int, Point] | None:
    """Return the first of `labels` that has room inside the piece, by index, and its place.

    The label's box keeps `CLEAR` from every line; of all places of its lower left corner on a fine
    grid the one nearest to the middle of the piece is taken. None if no label has room.
    """
    regions = ([loop.chords(0.02) for loop in (r.outer, *r.holes)] for r in piece.regions)
    material = unary_union([Polygon(outer, holes) for outer, *holes in regions])
    lines = MultiLineString([chord_points(s.segments, 0.02) for s in piece.strokes])
    free = material.difference(lines.buffer(CLEAR))
    prepare(free)
    x0, y0, x1, y1 = piece.box
    step = max(0.5, min(x1 - x0, y1 - y0) / 40)
    for number, label in enumerate(labels):
        wide, high = label.size
        if wide > x1 - x0 or high > y1 - y0:
            continue
        middle = Point((x0 + x1 - wide) / 2, (y0 + y1 - high) / 2)
        across, up = int((x1 - x0 - wide) / 2 / step), int((y1 - y0 - high) / 2 / step)
        grid = np.mgrid[-across : across + 1, -up : up + 1]
        i, j = grid[0].ravel(), grid[1].ravel()
        nearest = np.lexsort((j, i, i * i + j * j))
        x, y = middle.x + i[nearest] * step, middle.y + j[nearest] * step
        inside = np.flatnonzero(contains(free, box(x, y, x + wide, y + high)))
        if inside.size:
            k = int(inside[0])
            return number, Point(float(x[k]), float(y[k]))
    return None
