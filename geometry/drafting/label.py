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
from geometry.drafting.feature_frame import CLEAR_OF_SIZE, STRIP, FeatureFrame
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_reach, text_width, widest, wrap
from geometry.drafting.symbol import FRAME_HEIGHT, datum, surface_texture
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

Range = tuple[float, float]

#: Clear distance between two blocks, and least distance between two leaders, mm.
BLOCK_GAP, LEADER_GAP = 2.5, 1.6

#: Distance of a tolerance frame from the text, mm.
FRAME_GAP = 1.4

#: From a diameter's lower edge to the frame of its datum letter; half of that frame and what keeps
#: clear of extension lines beside it, mm.
DATUM_AWAY, DATUM_ASIDE = 4.2, 2.25 + 0.5

#: Height of the sign of a surface, in sizes of lettering.
SIGN_HEIGHT = 2.8

#: From the shelf to the base line of the lowest text, mm.
FOOT = 1.3

#: Least rise of the bent part of a leader, and its slope as rise over run, mm.
LEAST_RISE, SLOPE, MOST_RISE = 5.0, 0.35, 16.0

#: Where the leader of a frame may come down besides, as shares of its stretch: that keeps off its ends.
ENDS = (0.0, 1.0)

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
        frames: tolerance frames, the lowest first; at most one for each side.
        datum: letter of the datum that the measured diameter is, "" for none; its triangle stands
            at the lower arrow (ISO 5459: in line with the dimension line it means the axis).
        passing: x of lines below, of which that letter keeps clear.
        stacked: the sign of the surface stands on top, not beside the texts: narrower, taller.
    """

    spots: tuple[Range, ...]
    top: float
    bottom: float | None
    lines: tuple[str, ...]
    texture: str = ""
    frames: tuple[FeatureFrame, ...] = ()
    datum: str = ""
    passing: tuple[float, ...] = ()
    stacked: bool = False
    height: float = SMALLEST_TEXT

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the block in mm."""
        h = self.height
        words = widest(self.lines, h) + 1.2
        sign = text_width(self.texture, h) + 7.4 * h / 2.5 if self.texture else 0.0
        wide = max([words, sign] if self.stacked else [words + sign])
        wide = max([wide, *(f.width for f in self.frames)])
        return wide + self.strip(-1) + self.strip(1), self._top + (
            SIGN_HEIGHT * h if self.texture and self.stacked else 0.0
        )

    def strip(self, side: int) -> float:
        """Return the width that the leader of a frame takes at one side of the block, mm."""
        return STRIP if any(f.side == side for f in self.frames) else 0.0

    @property
    def led(self) -> list[FeatureFrame]:
        """The frames that have a leader of their own."""
        return [f for f in self.frames if f.side]

    @property
    def _texts(self) -> float:
        """Height over the shelf of the texts, mm."""
        h = self.height
        tall = FOOT + LINE_PITCH * h * (len(self.lines) - 1) + h + 0.4
        return tall if self.stacked or not self.texture else max(tall, SIGN_HEIGHT * h)

    @property
    def _top(self) -> float:
        """Height over the shelf of texts and frames, mm."""
        return self._texts + len(self.frames) * (FRAME_GAP + FRAME_HEIGHT * SMALLEST_TEXT)

    def block(self, left: float, shelf: float) -> Items:
        """Return words and sign of the block that stands on a shelf from `left` on."""
        h, near = self.height, left + self.strip(-1)
        far = left + self.size[0] - self.strip(1)
        items: list[Stroke | Fill | Text] = [line(Point(near, shelf), Point(far, shelf))]
        for k, words in enumerate(reversed(self.lines)):
            items.append(Text(near + 0.6, shelf + FOOT + LINE_PITCH * h * k, h, words))
        if self.texture:
            beside = 0.0 if self.stacked else widest(self.lines, h) + 1.2
            foot = Point(
                near + beside + 2.9 * h / 2.5, shelf + (self._top if self.stacked else 0.0)
            )
            items += surface_texture(foot, self.texture, height=h)
        return tuple(items)

    def framed(self, left: float, shelf: float, bend: float, stands: Sequence[float]) -> Items:
        """Return the frames of the block, and the leaders of those that have one.

        Args:
            left, shelf: as of `block`.
            bend: y where leaders begin to come down upright.
            stands: x of these leaders, in the order of the frames.
        """
        items: list[Stroke | Fill | Text] = []
        standing = iter(stands)
        for k, f in enumerate(self.frames):
            pitch = FRAME_GAP + FRAME_HEIGHT * SMALLEST_TEXT
            base = shelf + self._texts + FRAME_GAP + pitch * k
            right = left + self.size[0] - self.strip(1)
            start = right - f.width if f.side > 0 else left + self.strip(-1)
            items += f.items(start, base)
            if f.side:
                foot = Point(self.foot(f, left), shelf)
                items += f.leader(start, base, foot, Point(next(standing), bend))
        return tuple(items)

    def foot(self, frame: FeatureFrame, left: float) -> float:
        """Return the x where a frame's leader leaves the block that begins at `left`, mm."""
        return left + (self.size[0] if frame.side > 0 else 0.0)

    def allows(self, own: float, stands: Sequence[float]) -> bool:
        """Tell whether its leader and those of its frames may come down at these places, mm."""
        if self.datum and any(abs(own - x) < DATUM_ASIDE for x in self.passing):
            return False
        return all(
            f.side * (x - own) >= CLEAR_OF_SIZE and not f.run(x)[0] - LEADER_GAP < own < f.run(x)[1]
            for f, x in zip(self.led, stands, strict=True)
        )

    def reach(self, own: float, stands: Sequence[float]) -> Range:
        """Return the stretch of x that these leaders take between them, mm."""
        runs = [f.run(x) for f, x in zip(self.led, stands, strict=True)]
        return min([own, *(a for a, _ in runs)]), max([own, *(b for _, b in runs)])


def tallest(labels: Sequence[Label]) -> float:
    """Return the height of the tallest block in mm."""
    return max((label.size[1] for label in labels), default=0.0)


@dataclass(frozen=True)
class Row:
    """A row of labels that was laid out.

    Args:
        labels: from left to right.
        leaders, lefts: x of their leaders, and of the left edges of their blocks.
        stands: x of the leaders of their frames.
        rise: height of the bent part of the leaders, mm.
        bent: longest horizontal run of a leader and the sum of all, rounded to 0.001 mm.
    """

    labels: tuple[Label, ...]
    leaders: tuple[float, ...]
    lefts: tuple[float, ...]
    stands: tuple[tuple[float, ...], ...]
    rise: float
    bent: tuple[float, float]

    def items(self, *, bend: float) -> Items:
        """Return all blocks and leaders; leaders bend at height `bend`, shelves stand above it."""
        shelf = bend + self.rise
        items: list[Stroke | Fill | Text] = []
        for label, x, left, stands in zip(
            self.labels, self.leaders, self.lefts, self.stands, strict=True
        ):
            foot = Point(_foot(label, x, left), shelf)
            drawn = label.block(left, shelf) + _leader(label, x, bend, foot)
            if label.bottom is not None:
                ends = Point(x, label.bottom), Point(x, label.top)
                size = Dimension("linear", *ends, ends[0], label.lines, math.pi / 2)
                drawn = measured(drawn, size)
                if label.datum:
                    items += datum(
                        ends[0], -math.pi / 2, label.datum, height=label.height, away=DATUM_AWAY
                    )
            items += drawn + label.framed(left, shelf, bend, stands)
        return tuple(items)


def _foot(label: Label, x: float, left: float) -> float:
    """Return the x where the leader that comes down at `x` leaves the block's shelf, mm."""
    return min(max(x, left + label.strip(-1)), left + label.size[0] - label.strip(1))


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
    stands: dict[int, tuple[float, ...]] = {}
    spans: list[Range] = []
    # Labels with leaders of frames choose first, then the one with the narrowest place.
    for k in sorted(
        range(len(labels)),
        key=lambda k: (-len(labels[k].led), labels[k].spots[0][1] - labels[k].spots[0][0]),
    ):
        stands[k] = _stands(labels[k], spans, avoid)
        spans.append(labels[k].reach(stands[k][0], stands[k][1:]))
    order = sorted(stands, key=lambda k: stands[k][0])
    ordered, xs = [labels[k] for k in order], tuple(stands[k][0] for k in order)
    others = tuple(stands[k][1:] for k in order)
    widths = [n.size[0] for n in ordered]
    middles = distribute_labels(xs, widths, gap=BLOCK_GAP, room=room)
    lefts = tuple(m - w / 2 for m, w in zip(middles, widths, strict=True))
    runs = []
    for label, x, left, more in zip(ordered, xs, lefts, others, strict=True):
        runs.append(abs(_foot(label, x, left) - x))
        runs += [abs(label.foot(f, left) - s) for f, s in zip(label.led, more, strict=True)]
    rise = min(max(LEAST_RISE, SLOPE * max(runs)), MOST_RISE)
    return Row(tuple(ordered), xs, lefts, others, rise, (round(max(runs), 3), round(sum(runs), 3)))


def _stands(label: Label, spans: Sequence[Range], avoid: Sequence[Range]) -> tuple[float, ...]:
    """Return the x of the label's leader and of those of its frames, clear of the spans of others."""
    tries = [_tries(label.spots, avoid), *(_tries(f.stands, avoid, ENDS) for f in label.led)]
    for own, *more in product(*tries):
        low, high = label.reach(own, more)
        runs = [f.run(x) for f, x in zip(label.led, more, strict=True)]
        if (
            label.allows(own, more)
            and all(low - b >= LEADER_GAP or a - high >= LEADER_GAP for a, b in spans)
            and not any(a < d and c < b for a, b in avoid for c, d in runs)
        ):
            return (own, *more)
    raise GeometryError(
        f"the leader of {label.lines[0]!r} has no place to stand",
        where=(label.spots[0][0], label.top),
        hint="use a larger scale",
    )


def _tries(
    spots: Sequence[Range], avoid: Sequence[Range], more: tuple[float, ...] = ()
) -> list[float]:
    """Return places in what is free of some stretches: the middle first, `more` shares last."""
    free = [part for spot in spots for part in _without(spot, avoid)]
    return [a + (b - a) * k for k in (0.5, 0.25, 0.75, 0.4, 0.6, 0.1, 0.9, *more) for a, b in free]


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
    if label.datum:  # its triangle takes the place of the lower arrow (ISO 5459)
        return polyline([bottom, *run]), arrow(top, -up)
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
