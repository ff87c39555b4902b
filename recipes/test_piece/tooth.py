"""Tooth of the test coupon: one whole tooth between two whole slots, cut out of the very sheet.

The neighbours are cut along their axes; a strip of yoke holds all together:

          /|  .-----.  |\\        half tooth | slot | tooth | slot | half tooth
         / |  '-. .-'  | \\
         \\ |    | |    | /       where that is wider than 60 mm: half slot | tooth | half slot
          \\|____| |____|/
           \\___________/

Here the paper is folded into a slot and the wire passed through an opening of true width.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from geometry.outline import Outline, Region
from geometry.pattern import joined, mirrored_run
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.parts.lamination import TOOTH_1

if TYPE_CHECKING:
    from recipes.slot.shape import SlotShape

#: Yoke left under the slots, mm; never more than half of the way to the centre.
YOKE = 5.0


def tooth_piece(
    slot: SlotShape, web: float, largest: float
) -> tuple[Region, Literal["whole slots", "half slots"]]:
    """Return the piece with tooth 1 upward, and whether its slots are whole.

    Args:
        slot: the exact tooth and slot of the design.
        web: least width of material that the process leaves, mm.
        largest: side of the square that the piece should fit into, mm. A tooth that is longer
            by itself is drawn all the same, with whole slots if they add little to that.
    """
    alone, whole = Region(_alone(slot, web)).rotated(TOOTH_1), _with_neighbours(slot, web)
    if whole is not None:
        piece = Region(whole).rotated(TOOTH_1)
        if _side(piece) <= max(largest, 1.1 * _side(alone)):
            return piece, "whole slots"
    return alone, "half slots"


def _side(piece: Region) -> float:
    x0, y0, x1, y1 = piece.box
    return max(x1 - x0, y1 - y0)


def _with_neighbours(slot: SlotShape, web: float) -> Outline | None:
    """Return tooth, two slots and the near halves of both neighbours; None without room for them."""
    pitch, side = 2 * slot.half_pitch, list(slot.half[1:-1])
    corner, root = slot.half[0].end, side[-1].end
    reach = pitch + _beyond_axis(side, web, _floor_radius(slot))
    if reach >= min(pitch + corner.angle(), math.pi / 2):
        return None
    first, last = (Point.polar(corner.length(), a) for a in (-reach, reach))
    after = root.mirrored().rotated(pitch)
    floor: Segment = (
        Arc(root, after, ORIGIN, True) if isinstance(slot.half[-1], Arc) else Line(root, after)
    )
    up = mirrored_run(side, 0.0)
    runs: list[list[Segment]] = [
        [Arc(first, corner.rotated(-pitch), ORIGIN, True)],
        [s.rotated(-pitch) for s in (*side, floor)],
        [*up, Arc(corner.mirrored(), corner, ORIGIN, True), *side, floor],
        [s.rotated(pitch) for s in up],
        [Arc(corner.mirrored().rotated(pitch), last, ORIGIN, True)],
        _back(last, first, _inner_radius(slot, web)),
    ]
    return Outline(tuple(joined(runs, closed=True)))


def _beyond_axis(side: list[Segment], web: float, radius: float) -> float:
    """Return the angle (rad) from a tooth's axis to the cut that leaves `web` mm of its near half.

    Along the axis itself where half a tooth is wide enough. Turned by the angle, `side` must keep
    `web` above the axis; a turn lifts what lies at `radius` or beyond by so much, or more.
    """
    angle = 0.0
    while angle < math.pi / 2:
        lacking = web - min(s.rotated(angle).box()[1] for s in side)
        if lacking <= 1e-9:
            break
        angle += lacking / radius
    return angle


def _alone(slot: SlotShape, web: float) -> Outline:
    """Return tooth and the near halves of its two slots."""
    half, corner = list(slot.half[1:]), slot.half[0].end
    face = Arc(corner.mirrored(), corner, ORIGIN, True)
    back = _back(half[-1].end, half[-1].end.mirrored(), _inner_radius(slot, web))
    return Outline(tuple(joined([mirrored_run(half, 0.0), [face], half, back], closed=True)))


def _back(last: Point, first: Point, radius: float) -> list[Segment]:
    """Return the way from `last` straight inwards, along the strip of yoke, and out to `first`."""
    a, b = Point.polar(radius, last.angle()), Point.polar(radius, first.angle())
    return [Line(last, a), Arc(a, b, ORIGIN, False), Line(b, first)]


def _floor_radius(slot: SlotShape) -> float:
    return min(slot.half[-1].start.length(), slot.half[-1].end.length())


def _inner_radius(slot: SlotShape, web: float) -> float:
    floor = _floor_radius(slot)
    return max(floor / 2, floor - max(YOKE, 3 * web))
