"""Half-rings of the test coupon: which bore goes over the turned seat without play?

One piece, up to two half-rings wide; notches on the side nearest to a half-ring count its step:

    +---.         .---+---.         .---+
    |    \\_______/    |    \\_______/    |    arm: what is left beside a half-ring
    <  1     bridge                      >
    <                                    >  2
    |       .---.                       |
    +------'     '----------------------+

A bore too large for 60 mm becomes arcs of the same radius with a shorter chord: they only show
light under them, which tells 0.05 mm on ground or wire-cut edges and not on others.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.outline import Outline, Region
from geometry.pattern import joined
from geometry.point import Point
from recipes.tables.process import Process
from recipes.test_piece.edge import (
    LARGEST,
    SMALLEST,
    Bite,
    Mark,
    arc_bite,
    counting,
    edge,
    mark_of,
)

#: Steps of the bore's diameter, mm: number 1 is the bore as designed (common practice).
STEPS = (0.0, 0.05, 0.10, 0.15, 0.20)

#: Sheet beside a half-ring, so that it does not spread in the hand, and behind it, mm.
ARM, BRIDGE = 5.0, 6.0


@dataclass(frozen=True)
class HalfRing:
    """One gauge: its number, its diameter and the width of its mouth, mm."""

    number: int
    diameter: float
    chord: float

    @property
    def depth(self) -> float:
        """How deep it reaches into the piece, mm."""
        radius = self.diameter / 2
        return radius - math.sqrt(max(0.0, radius**2 - (self.chord / 2) ** 2))


@dataclass(frozen=True)
class Frame:
    """Measures that all pieces share, mm; `columns` half-rings stand side by side."""

    mark: Mark
    arm: float
    web: float
    columns: int


def bore_pieces(
    bore: float, thickness: float, shop: Process
) -> list[tuple[Region, tuple[HalfRing, ...]]]:
    """Return the pieces with half-rings for a bore, and which half-rings each holds.

    Args:
        bore: diameter as designed, mm.
        thickness: of the sheet, mm.
        shop: process that cuts it.

    Returns:
        One to three pieces of at most 60 x 60 mm; none for a bore too small to be cut.
    """
    if bore < shop.hole(thickness):
        return []
    mark, web = mark_of(shop, thickness), shop.web(thickness)
    arm = max(ARM, mark.width / 2 + 2 * web)
    rings = [_ring(k, bore + step, LARGEST - 2 * arm) for k, step in enumerate(STEPS, start=1)]
    widest = max(r.chord for r in rings)
    columns = 2 if 2 * widest + 3 * arm <= LARGEST else 1
    frame = Frame(mark, arm, web, columns)
    per_piece = [rings[:3], rings[3:]] if columns == 2 else [rings[:2], rings[2:4], rings[4:]]
    return [(_piece(group, frame), tuple(group)) for group in per_piece]


def _ring(number: int, diameter: float, most: float) -> HalfRing:
    return HalfRing(number, diameter, min(diameter, most))


def _piece(rings: Sequence[HalfRing], frame: Frame) -> Region:
    """Return one piece, lower left corner at the origin: the first rings open up, the others down."""
    up, down = rings[: frame.columns], rings[frame.columns :]
    widest, deepest = max(r.chord for r in rings), max(r.depth for r in rings)
    columns = min(frame.columns, len(rings))
    width = max(SMALLEST, columns * widest + (columns + 1) * frame.arm)
    room = max(frame.mark.group(r.number) for r in rings) + 2 * frame.web + frame.mark.width
    rows = 2 if down else 1
    bridge = max(BRIDGE, 3 * frame.web, rows * (room - deepest))
    height = max(SMALLEST, rows * deepest + bridge)
    pitch = widest + frame.arm
    low, right = Point(0.0, 0.0), Point(width, 0.0)
    top, left = Point(width, height), Point(0.0, height)
    sides = _numbers(up, down, height, frame)
    return Region(
        Outline(
            tuple(
                joined(
                    [
                        edge(low, right, _row(down, frame.arm, pitch, widest, 0.0)),
                        edge(right, top, sides[1]),
                        edge(top, left, _row(up, frame.arm, pitch, widest, width)),
                        edge(left, low, sides[0]),
                    ],
                    closed=True,
                )
            )
        )
    )


def _row(
    rings: Sequence[HalfRing], arm: float, pitch: float, widest: float, width: float
) -> list[Bite]:
    """Return the half-rings of one edge; the upper edge, of `width` mm, is travelled to the left."""
    middles = [arm + widest / 2 + k * pitch for k in range(len(rings))]
    return [
        arc_bite(width - x if width else x, r.diameter / 2, r.chord)
        for x, r in zip(middles, rings, strict=True)
    ]


def _numbers(
    up: Sequence[HalfRing], down: Sequence[HalfRing], height: float, frame: Frame
) -> tuple[list[Bite], list[Bite]]:
    """Return the counting notches of the left and the right side, beside the half-ring they number."""
    left: list[Bite] = []
    right: list[Bite] = []
    for rings, y in ((up, 0.75 * height if down else height / 2), (down, 0.25 * height)):
        for column, ring in enumerate(rings):
            if frame.columns == 2 and column == 0:  # the left side is travelled downwards
                left += counting(height - y, ring.number, frame.mark)
            else:
                right += counting(y, ring.number, frame.mark)
    return left, right
