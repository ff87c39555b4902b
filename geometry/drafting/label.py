"""Labels and notes with leaders that cross no other: in a row, in a column, numbered.

Labels in a row above a turned part, each led to its diameter or edge without crossing another.

+-----------+    +-----+
| ⌀25 h6    |    | ⌀30 |         blocks stand side by side on one level, in the order of
+-----------+    +-----+         their leaders; a leader rises straight through the part,
     \\              |            then bends to its block
      |              |
   ===|==============|===        arrows on both edges of a diameter, on one of a note
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, islice, pairwise, product
from typing import Literal

from geometry.drafting.dimension import (
    ARROW_LENGTH,
    OUTSIDE_TAIL,
    TEXT_GAP,
    arrow,
    distribute_labels,
    leader,
)
from geometry.drafting.drawing import (
    Dimension,
    Fill,
    Items,
    Stroke,
    Text,
    line,
    measured,
    polyline,
    text_lines,
)
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_reach, text_width, widest, wrap
from geometry.drafting.symbol import (
    FRAME_HEIGHT,
    datum,
    frame_cells,
    surface_texture,
    tolerance_frame,
)
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

Range = tuple[float, float]

#: Clear distance between two blocks, and least distance between two leaders, mm.
BLOCK_GAP, LEADER_GAP = 2.5, 1.6

#: Distance of a tolerance frame from the text, mm.
FRAME_GAP = 1.4

#: Height of the sign of a surface, in sizes of lettering.
SIGN_HEIGHT = 2.8

#: From the shelf to the base line of the lowest text, mm.
FOOT = 1.3

#: Least rise of the bent part of a leader, and its slope as rise over run, mm.
LEAST_RISE, SLOPE, MOST_RISE = 5.0, 0.35, 16.0

#: Combinations of places that are tried at most.
MOST_TRIES = 64


@dataclass(frozen=True)
class Label:
    """One block of words and signs, and where its leader may stand.

    Args:
        spots: stretches of x on the sheet where the leader may stand, one as good as another.
        top: y of the upper arrow.
        bottom: y of the lower arrow of a diameter; None for a note.
        lines: texts, top to bottom.
        texture: demand on the surface, such as "Ra 0.8", "" for none.
        frame: cells of a tolerance frame after the sign of circular run-out, () for none.
        datum: letter of a datum that the frame names, "" for none.
        stacked: the sign of the surface stands on top, not beside the texts: narrower, taller.
    """

    spots: tuple[Range, ...]
    top: float
    bottom: float | None
    lines: tuple[str, ...]
    texture: str = ""
    frame: tuple[str, ...] = ()
    datum: str = ""
    stacked: bool = False
    height: float = SMALLEST_TEXT

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the block in mm."""
        h = self.height
        words = widest(self.lines, h) + 1.2
        sign = text_width(self.texture, h) + 7.4 * h / 2.5 if self.texture else 0.0
        frame = sum(self._cells()) + (6.4 + 1.8 * h if self.datum else 0.0)
        wide = max(words, sign) if self.stacked else words + sign
        return max(wide, frame), self._top + (
            SIGN_HEIGHT * h if self.texture and self.stacked else 0.0
        )

    @property
    def _top(self) -> float:
        """Height over the shelf of texts and frame, mm."""
        h = self.height
        tall = FOOT + LINE_PITCH * h * (len(self.lines) - 1) + h + 0.4
        if self.texture and not self.stacked:
            tall = max(tall, SIGN_HEIGHT * h)
        return tall + (FRAME_GAP + FRAME_HEIGHT * h if self.frame else 0.0)

    def _cells(self) -> tuple[float, ...]:
        return frame_cells(self.frame, self.height) if self.frame else ()

    def block(self, left: float, shelf: float) -> Items:
        """Return the block that stands on a shelf from `left` on."""
        h, width = self.height, self.size[0]
        items: list[Stroke | Fill | Text] = [line(Point(left, shelf), Point(left + width, shelf))]
        for k, words in enumerate(reversed(self.lines)):
            items.append(Text(left + 0.6, shelf + FOOT + LINE_PITCH * h * k, h, words))
        if self.texture:
            beside = 0.0 if self.stacked else widest(self.lines, h) + 1.2
            foot = Point(
                left + beside + 2.9 * h / 2.5, shelf + (self._top if self.stacked else 0.0)
            )
            items += surface_texture(foot, self.texture, height=h)
        if self.frame:
            items += self._frame(left, shelf + self._top - FRAME_HEIGHT * h)
        return tuple(items)

    def _frame(self, left: float, base: float) -> Items:
        h = self.height
        items = tolerance_frame(left, base, "run-out", self.frame, height=h)
        if self.datum:
            right = Point(left + sum(self._cells()), base + FRAME_HEIGHT * h / 2)
            items += datum(right, 0.0, self.datum, height=h)
        return items


def tallest(labels: Sequence[Label]) -> float:
    """Return the height of the tallest block in mm."""
    return max((label.size[1] for label in labels), default=0.0)


@dataclass(frozen=True)
class Row:
    """A row of labels that was laid out.

    Args:
        labels: from left to right.
        leaders, lefts: x of their leaders, and of the left edges of their blocks.
        rise: height of the bent part of the leaders, mm.
        bent: longest horizontal run of a leader and the sum of all, rounded to 0.001 mm.
    """

    labels: tuple[Label, ...]
    leaders: tuple[float, ...]
    lefts: tuple[float, ...]
    rise: float
    bent: tuple[float, float]

    def items(self, *, bend: float) -> Items:
        """Return all blocks and leaders; leaders bend at height `bend`, shelves stand above it."""
        shelf = bend + self.rise
        items: list[Stroke | Fill | Text] = []
        for label, x, left in zip(self.labels, self.leaders, self.lefts, strict=True):
            foot = Point(min(max(x, left), left + label.size[0]), shelf)
            drawn = label.block(left, shelf) + _leader(label, x, bend, foot)
            if label.bottom is not None:
                ends = Point(x, label.bottom), Point(x, label.top)
                size = Dimension("linear", *ends, ends[0], label.lines, math.pi / 2)
                drawn = measured(drawn, size)
            items += drawn
        return tuple(items)


def label_row(labels: Sequence[Label], *, room: Range, avoid: Sequence[Range] = ()) -> Row:
    """Return the row.

    Args:
        room: least and greatest x of a block.
        avoid: stretches of x that no leader may enter.

    Raises:
        GeometryError: the blocks are wider than the room, or a leader has no place to stand.
    """
    best: Row | None = None
    fault: GeometryError | None = None
    choices = product(*(range(len(n.spots)) for n in labels))
    for choice in islice(choices, MOST_TRIES):
        picked = [replace(n, spots=(n.spots[k],)) for n, k in zip(labels, choice, strict=True)]
        try:
            row = _placed(picked, room, avoid)
        except GeometryError as error:
            fault = error
            continue
        if best is None or row.bent < best.bent:
            best = row
    if best is None:
        raise fault or GeometryError("a row needs at least one label")
    return best


def _placed(labels: Sequence[Label], room: Range, avoid: Sequence[Range]) -> Row:
    """Return the row for labels with one spot each."""
    stands: dict[int, float] = {}
    # The label with the narrowest place chooses first.
    for k in sorted(
        range(len(labels)), key=lambda k: labels[k].spots[0][1] - labels[k].spots[0][0]
    ):
        stands[k] = _stand(labels[k], tuple(stands.values()), avoid)
    order = sorted(stands, key=lambda k: stands[k])
    ordered, xs = [labels[k] for k in order], tuple(stands[k] for k in order)
    widths = [n.size[0] for n in ordered]
    middles = distribute_labels(xs, widths, gap=BLOCK_GAP, room=room)
    lefts = tuple(m - w / 2 for m, w in zip(middles, widths, strict=True))
    runs = [max(a - x, x - a - w, 0.0) for x, a, w in zip(xs, lefts, widths, strict=True)]
    rise = min(max(LEAST_RISE, SLOPE * max(runs)), MOST_RISE)
    return Row(tuple(ordered), xs, lefts, rise, (round(max(runs), 3), round(sum(runs), 3)))


def _stand(label: Label, occupied: Sequence[float], avoid: Sequence[Range]) -> float:
    """Return the x of a leader: the middle of a free stretch, else a place clear of the others."""
    free = [part for spot in label.spots for part in _without(spot, avoid)]
    tries = [a + (b - a) * k for k in (0.5, 0.25, 0.75, 0.1, 0.9) for a, b in free]
    for x in tries:
        if all(abs(x - t) >= LEADER_GAP for t in occupied):
            return x
    raise GeometryError(
        f"the leader of {label.lines[0]!r} has no place to stand",
        where=(label.spots[0][0], label.top),
        hint="use a larger scale",
    )


def _without(spot: Range, avoid: Sequence[Range]) -> list[Range]:
    """Return what is left of a stretch, longest piece first."""
    pieces = [spot]
    for low, high in avoid:
        pieces = [
            part
            for a, b in pieces
            for part in ((a, min(b, low)), (max(a, high), b))
            if part[1] - part[0] > 1e-6
        ]
    return sorted(pieces, key=lambda p: p[0] - p[1])


def _leader(label: Label, x: float, bend: float, foot: Point) -> Items:
    top, up = Point(x, label.top), math.pi / 2
    run = [Point(x, bend), foot] if abs(foot.x - x) > 1e-6 else [foot]
    if label.bottom is None:
        return polyline([top, *run]), arrow(top, -up)
    bottom = Point(x, label.bottom)
    if top.y - bottom.y >= 2 * ARROW_LENGTH + 1.0:
        return polyline([bottom, *run]), arrow(top, up), arrow(bottom, -up)
    tail = Point(x, bottom.y - 2 * ARROW_LENGTH)
    return polyline([tail, *run]), arrow(top, -up), arrow(bottom, up)


# Notes in a column beside a view, each led to its place on the part without crossing another.
#
#        +----- tip                notes stand one below the other, in the order of their tips;
# R0.8 --+                         a leader runs straight from its shelf to the part
# R0.35 ------ tip

#: Clear height between two notes, mm, and how much of it a full column may give up.
NOTE_GAP, LEAST_GAP = 2.0, 0.6

#: How often all notes may change place before the column counts as settled.
ROUNDS = 4


@dataclass(frozen=True)
class Tip:
    """A place that a note may point to, and what is drawn there if it does.

    Args:
        at: the place on the sheet.
        items: what is drawn.
        span: what the note measures there: both ends of a width, opposite points of a circle,
            or centre and point of an arc, on the sheet; None for a note that measures nothing.
        kind: of that dimension.
    """

    at: Point
    items: Items = ()
    span: tuple[Point, Point] | None = None
    kind: Literal["linear", "diameter", "radius"] = "linear"

    def measured(self, drawn: Items, words: Sequence[str]) -> Items:
        """Return what draws the note as a dimension, where it is one."""
        if self.span is None:
            return drawn
        a, b = self.span
        size = Dimension(self.kind, a, b, a, tuple(words), b.minus(a).angle())
        return measured(drawn, size)


@dataclass(frozen=True)
class Note:
    """Words beside a view.

    Args:
        tips: places on the sheet that mean the same, one as good as another.
        lines: the first stands above the shelf, the others hang below it.
        end: as in `geometry.drafting.dimension.leader`.
    """

    tips: tuple[Tip, ...]
    lines: tuple[str, ...]
    end: Literal["arrow", "dot", "none"] = "arrow"
    height: float = SMALLEST_TEXT

    @cached_property
    def above(self) -> float:
        """Height over the shelf, mm."""
        low, high = text_reach(self.lines[0], self.height)
        return TEXT_GAP - low + high

    @cached_property
    def below(self) -> float:
        """Depth under the shelf, mm."""
        hanging = len(self.lines) - 1
        if not hanging:
            return 0.0
        first = TEXT_GAP + 1.2 * self.height
        low = text_reach(self.lines[-1], self.height)[0]
        return first + LINE_PITCH * self.height * (hanging - 1) - low

    @property
    def tall(self) -> float:
        """Height of the block, mm."""
        return self.above + self.below

    @property
    def wide(self) -> float:
        """Width of the block, mm."""
        return widest(self.lines, self.height) + 1.0


def column_height(notes: Sequence[Note], gap: float = LEAST_GAP) -> float:
    """Return the least height of a column of these notes, mm."""
    return sum(n.tall for n in notes) + gap * max(0, len(notes) - 1)


def column_width(notes: Sequence[Note]) -> float:
    """Return the width of the widest note, mm."""
    return max((n.wide for n in notes), default=0.0)


def note_column(notes: Sequence[Note], *, x: float, side: int, room: tuple[float, float]) -> Items:
    """Return the notes with their leaders.

    Args:
        x: where the shelves begin, mm.
        side: +1 for a column right of the view, -1 for one at its left.
        room: least and greatest y that a note may take.

    Raises:
        GeometryError: the notes are taller than the room, or two leaders must cross.
    """
    if not notes:
        return ()
    column = _Column(notes, x, room)
    tips, heights = column.settled()
    items: Items = ()
    for note, tip, y in zip(notes, tips, heights, strict=True):
        drawn = leader(tip.at, Point(x, y), note.lines, side=side, end=note.end, height=note.height)
        items += tip.measured(tip.items + drawn, note.lines)
    return items


class _Column:
    """Search for an order of notes and a choice of tips without crossings."""

    def __init__(self, notes: Sequence[Note], x: float, room: tuple[float, float]) -> None:
        self.notes, self.x, self.room = notes, x, room
        free = room[1] - room[0] - column_height(notes, 0.0)
        self.gap = min(NOTE_GAP, free / max(1, len(notes) - 1) - 1e-6)
        if (self.gap < LEAST_GAP and len(notes) > 1) or free < 0:
            raise GeometryError(
                "the notes are taller than their column", value=column_height(notes),
                limit=room[1] - room[0], hint="use a larger sheet",
            )  # fmt: skip

    def settled(self) -> tuple[list[Tip], list[float]]:
        """Return the tip and the height of the shelf of every note."""
        choice = [0] * len(self.notes)
        order = self._by_height(choice)
        best = self._cost(choice, order)
        for _ in range(ROUNDS):
            before = best
            for k, note in enumerate(self.notes):
                for t in range(len(note.tips)):
                    trial = [*choice[:k], t, *choice[k + 1 :]]
                    turned = self._by_height(trial)
                    if (cost := self._cost(trial, turned)) < best:
                        best, choice, order = cost, trial, turned
            best, order = self._swapped(choice, order, best)
            if best == before or best[0] == before[0] == 0:
                break
        if best[0]:
            raise GeometryError("leaders of notes cross", hint="use a larger scale")
        tips = [n.tips[t] for n, t in zip(self.notes, choice, strict=True)]
        return tips, self._heights(choice, order)

    def _by_height(self, choice: list[int]) -> list[int]:
        """Return the notes from the lowest tip to the highest."""
        return sorted(range(len(choice)), key=lambda k: (self.notes[k].tips[choice[k]].at.y, k))

    def _heights(self, choice: list[int], order: list[int]) -> list[float]:
        """Return the height of every shelf, in the order of the notes."""
        notes = [self.notes[k] for k in order]
        wanted = [
            n.tips[choice[k]].at.y + (n.above - n.below) / 2
            for n, k in zip(notes, order, strict=True)
        ]
        middles = distribute_labels(wanted, [n.tall for n in notes], gap=self.gap, room=self.room)
        found = [0.0] * len(notes)
        for n, k, middle in zip(notes, order, middles, strict=True):
            found[k] = middle - (n.above - n.below) / 2
        return found

    def _cost(self, choice: list[int], order: list[int]) -> tuple[int, float]:
        """Return how many leaders cross, and how far they climb in all."""
        heights = self._heights(choice, order)
        runs = [
            (n.tips[t].at, Point(self.x, y))
            for n, t, y in zip(self.notes, choice, heights, strict=True)
        ]
        crossed = sum(_cross(*a, *b) for a, b in combinations(runs, 2))
        return crossed, round(sum(abs(a.y - b.y) for a, b in runs), 6)

    def _swapped(
        self, choice: list[int], order: list[int], best: tuple[int, float]
    ) -> tuple[tuple[int, float], list[int]]:
        """Return the order with neighbours changed wherever that takes a crossing away."""
        for k, _ in enumerate(pairwise(order)):
            trial = [*order[:k], order[k + 1], order[k], *order[k + 2 :]]
            if (cost := self._cost(choice, trial)) < best:
                best, order = cost, trial
        return best, order


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Tell whether two stretches cross or touch inside each other."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


# A size between two edges whose words stand in a column: line and arrows, and where to lead from.


def gap_mark(a: Point, b: Point, side: int) -> Tip:
    """Return the dimension line between two edges, mm on the sheet.

    Arrows stand between the edges if there is room, else outside; the leader starts from the
    middle, or from the tail that is nearer to the column.

    Args:
        side: +1 if the words stand at the right, -1 at the left.
    """
    along = b.minus(a).angle()
    if a.distance(b) >= 2 * ARROW_LENGTH + 1.0:
        middle = Point((a.x + b.x) / 2, (a.y + b.y) / 2)
        drawn = line(a, b), arrow(a, along + math.pi), arrow(b, along)
        return Tip(middle, drawn, (a, b))
    tails = (
        a.plus(Point.polar(OUTSIDE_TAIL, along), -1.0),
        b.plus(Point.polar(OUTSIDE_TAIL, along)),
    )
    items = (line(*tails), arrow(a, along), arrow(b, along + math.pi))
    return Tip(max(tails, key=lambda p: side * p.x), items, (a, b))


# Numbered notes in a box of the sheet.

#: Least distance of two base lines, in sizes of lettering: ascenders and descenders stay apart.
LEAST_PITCH = 1.38


def numbered_notes(notes: Sequence[str], room: Box, *, height: float = SMALLEST_TEXT) -> Items:
    """Return the notes one below the other from the top of `room`, wrapped to its width; all in mm.

    Raises:
        GeometryError: they need more height than the room has.
    """
    lines: list[str] = []
    for k, note in enumerate(notes, 1):
        first, *rest = wrap(note, room[2] - room[0] - 4.0, height)
        lines += [f"{k}  {first}", *(f"    {words}" for words in rest)]
    pitch = min(LINE_PITCH * height, (room[3] - room[1] - height) / max(1, len(lines) - 1))
    if pitch < LEAST_PITCH * height:
        raise GeometryError(
            f"{len(lines)} lines of notes do not fit their box", value=len(lines),
            hint="shorten them or use a larger sheet",
        )  # fmt: skip
    return text_lines(room[0], room[3], height, lines, pitch=pitch)
