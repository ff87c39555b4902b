"""Notes in a column beside a view, each led to its place on the part without crossing another.

       +----- tip                notes stand one below the other, in the order of their tips;
R0.8 --+                         a leader runs straight from its shelf to the part
R0.35 ------ tip
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from typing import Literal

from geometry.drafting.dimension import ARROW_LENGTH, OUTSIDE_TAIL, TEXT_GAP, arrow
from geometry.drafting.drawing import Items, line, text_lines
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_reach, widest, wrap
from geometry.drafting.label_row import spread
from geometry.drafting.leader import leader
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

#: Clear height between two notes, mm, and how much of it a full column may give up.
NOTE_GAP, LEAST_GAP = 2.0, 0.6

#: How often all notes may change place before the column counts as settled.
ROUNDS = 4


@dataclass(frozen=True)
class Tip:
    """A place that a note may point to, and what is drawn there if it does."""

    at: Point
    items: Items = ()


@dataclass(frozen=True)
class Note:
    """Words beside a view.

    Args:
        tips: places on the sheet that mean the same, one as good as another.
        lines: the first stands above the shelf, the others hang below it.
        end: as in `geometry.drafting.leader.leader`.
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
        items += tip.items
        items += leader(
            tip.at, Point(x, y), note.lines, side=side, end=note.end, height=note.height
        )
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
        middles = spread(wanted, [n.tall for n in notes], gap=self.gap, room=self.room)
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
        return Tip(middle, (line(a, b), arrow(a, along + math.pi), arrow(b, along)))
    tails = (
        a.plus(Point.polar(OUTSIDE_TAIL, along), -1.0),
        b.plus(Point.polar(OUTSIDE_TAIL, along)),
    )
    items = (line(*tails), arrow(a, along), arrow(b, along + math.pi))
    return Tip(max(tails, key=lambda p: side * p.x), items)


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
