"""Diameters and notes led out to one side of a long part, in steps, so that none cross.

A callout is a vertical leader with a horizontal shelf that reaches left or right. Two rules keep
them apart: shelves that would overlap stand in different rows, and a shelf that passes over the
foot of another leader stands farther out than that one. All ways to turn the shelves are tried
and the one with the fewest rows is taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.sheet.dimension import arrow
from geometry.sheet.drawing import Items, line
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, widest
from geometry.sheet.leader import shelf

#: Clear width in mm between a shelf and a leader that passes its end.
ASIDE = 0.8

#: With more notes than this the shelves all reach outward instead of trying every way.
TRIED = 10


@dataclass(frozen=True)
class Callout:
    """A note or a diameter to be led out.

    Args:
        tip: where the arrow points, on the side toward the text.
        lines: the first line stands on the shelf, the others hang below it.
        opposite: the far point of a diameter; None for a plain note.
    """

    tip: Point
    lines: tuple[str, ...]
    opposite: Point | None = None


def callouts(
    notes: Sequence[Callout],
    *,
    base: float,
    direction: int = 1,
    first: float = 8.0,
    gap: float = 2.0,
    height: float = SMALLEST_TEXT,
    room: tuple[float, float] | None = None,
) -> Items:
    """Return the leaders, arrows, shelves and texts of `notes`.

    Args:
        base: y from which the rows are counted, beyond the part.
        direction: +1 above the part, -1 below.
        first: clear height in mm from `base` to the nearest text.
        gap: clear height in mm between two rows.
        room: least and greatest x that a shelf may reach.

    Raises:
        GeometryError: two leaders at one place, or a text that fits the room on neither side.
    """
    if not notes:
        return ()
    sides = _sides(notes, height, room)
    rows = _rows(notes, sides, height)
    if rows is None:
        raise GeometryError(
            "notes at one place cannot be led out without crossing",
            where=notes[0].tip,
            hint="move a tip or join their texts",
        )
    hanging = max(len(n.lines) for n in notes) - 1
    below, above = (LINE_PITCH * height * hanging + 1.2 if hanging else 0.5), 1.6 * height
    nearest = first + (below if direction > 0 else above)
    pitch = below + above + gap - 0.5
    return tuple(
        item
        for note, side, row in zip(notes, sides, rows, strict=True)
        for item in _led_out(note, base + direction * (nearest + pitch * row), side, height)
    )


def _sides(
    notes: Sequence[Callout], height: float, room: tuple[float, float] | None
) -> tuple[int, ...]:
    """Return +1 (right) or -1 (left) for every shelf: the fewest rows, then the lowest."""
    middle = (min(n.tip.x for n in notes) + max(n.tip.x for n in notes)) / 2
    choices = []
    for note in notes:
        outward = 1 if note.tip.x >= middle else -1
        fitting = [s for s in (outward, -outward) if _fits(note, s, height, room)]
        if not fitting:
            raise GeometryError(
                f"the note {note.lines[0]!r} is wider than its room",
                where=note.tip,
                value=widest(note.lines, height),
                hint="break it into two lines or use a larger sheet",
            )
        choices.append(fitting)
    if len(notes) > TRIED:
        return tuple(c[0] for c in choices)

    def cost(sides: tuple[int, ...]) -> tuple[float, float]:
        rows = _rows(notes, sides, height)
        return (max(rows), sum(rows)) if rows is not None else (math.inf, math.inf)

    return min(product(*choices), key=cost)


def _fits(note: Callout, side: int, height: float, room: tuple[float, float] | None) -> bool:
    end = note.tip.x + side * (widest(note.lines, height) + 1.0)
    return room is None or room[0] <= end <= room[1]


def _rows(notes: Sequence[Callout], sides: Sequence[int], height: float) -> list[int] | None:
    """Return the row of every note, 0 nearest to the part, or None if leaders must cross."""
    spans = []
    for note, side in zip(notes, sides, strict=True):
        end = note.tip.x + side * (widest(note.lines, height) + 1.0)
        spans.append((min(note.tip.x, end) - ASIDE, max(note.tip.x, end) + ASIDE))
    count = range(len(notes))
    over = [[j for j in count if j != i and _passes(spans[i], notes[j].tip.x)] for i in count]
    meet = [[j for j in count if j != i and _touch(spans[i], spans[j])] for i in count]
    rows: list[int | None] = [None] * len(notes)
    waiting = list(count)
    while waiting:
        ready = [i for i in waiting if all(rows[j] is not None for j in over[i])]
        if not ready:
            return None
        i = ready[0]
        rows[i] = 1 + max((r for j in meet[i] if (r := rows[j]) is not None), default=-1)
        waiting.remove(i)
    return [r for r in rows if r is not None]


def _passes(span: tuple[float, float], x: float) -> bool:
    return span[0] < x < span[1]


def _touch(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return one[0] < two[1] and two[0] < one[1]


def _led_out(note: Callout, y: float, side: int, height: float) -> Items:
    elbow = Point(note.tip.x, y)
    up = elbow.minus(note.tip).angle()
    words = shelf(elbow, note.lines, side=side, height=height)
    if note.opposite is None:
        return (line(note.tip, elbow), arrow(note.tip, up + math.pi), *words)
    return (
        line(note.opposite, elbow),
        arrow(note.tip, up),
        arrow(note.opposite, up + math.pi),
        *words,
    )
