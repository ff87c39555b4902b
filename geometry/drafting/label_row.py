"""Labels in a row above a turned part, each led to its diameter or edge without crossing another.

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
from itertools import islice, pairwise, product

from geometry.drafting.dimension import ARROW_LENGTH, arrow
from geometry.drafting.drawing import Fill, Items, Stroke, Text, line, polyline
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, widest
from geometry.drafting.symbol import (
    FRAME_HEIGHT,
    datum,
    frame_cells,
    surface_texture,
    tolerance_frame,
)
from geometry.errors import GeometryError
from geometry.point import Point

# Labels in a row: as near to their places as they can be without touching each other.


def spread(
    middles: Sequence[float],
    widths: Sequence[float],
    *,
    gap: float,
    room: tuple[float, float],
) -> tuple[float, ...]:
    """Return the middles of boxes in a row, in the order given.

    The sum of the squared moves from `middles` is the least possible (pool adjacent violators,
    isotonic regression); then the row is kept inside `room`.

    Args:
        middles: wanted middles in mm, rising or not; the order stays.
        widths: widths of the boxes in mm.
        gap: clear distance between neighbours, mm.
        room: least and greatest coordinate that a box may touch.

    Raises:
        GeometryError: together they are wider than the room.
    """
    if not middles:
        return ()
    total = sum(widths) + gap * (len(widths) - 1)
    if total > room[1] - room[0] + 1e-9:
        raise GeometryError(
            f"{total:.1f} mm of labels do not fit into {room[1] - room[0]:.1f} mm",
            value=total,
            limit=room[1] - room[0],
            hint="use a larger sheet",
        )
    # Offsets turn "neighbours must not touch" into "values must not fall".
    offsets = [0.0]
    for a, b in pairwise(widths):
        offsets.append(offsets[-1] + (a + b) / 2 + gap)
    blocks: list[tuple[float, int]] = []
    for wanted, offset in zip(middles, offsets, strict=True):
        value, count = wanted - offset, 1
        while blocks and blocks[-1][0] > value:
            other, n = blocks.pop()
            value, count = (other * n + value * count) / (n + count), n + count
        blocks.append((value, count))
    level = [value for value, count in blocks for _ in range(count)]
    low = room[0] + widths[0] / 2
    high = room[1] - widths[-1] / 2 - offsets[-1]
    return tuple(min(max(v, low), high) + o for v, o in zip(level, offsets, strict=True))


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
            items += label.block(left, shelf)
            items += _leader(label, x, bend, foot)
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
    middles = spread(xs, widths, gap=BLOCK_GAP, room=room)
    lefts = tuple(m - w / 2 for m, w in zip(middles, widths, strict=True))
    runs = [max(a - x, x - a - w, 0.0) for x, a, w in zip(xs, lefts, widths, strict=True)]
    rise = min(max(LEAST_RISE, SLOPE * max(runs)), MOST_RISE)
    return Row(tuple(ordered), xs, lefts, rise, (round(max(runs), 3), round(sum(runs), 3)))


def _stand(label: Label, taken: Sequence[float], avoid: Sequence[Range]) -> float:
    """Return the x of a leader: the middle of a free stretch, else a place clear of the others."""
    free = [part for spot in label.spots for part in _without(spot, avoid)]
    tries = [a + (b - a) * k for k in (0.5, 0.25, 0.75, 0.1, 0.9) for a, b in free]
    for x in tries:
        if all(abs(x - t) >= LEADER_GAP for t in taken):
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
