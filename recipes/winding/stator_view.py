"""The picture of the stator: the sheet with its slots bare, lined, and wound, side by side."""

from __future__ import annotations

import math

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, polyline, text_lines
from geometry.drafting.font import wrap
from geometry.drafting.view import View
from geometry.outline import Outline
from geometry.point import Point
from recipes.job import Job
from recipes.stator.slot import TOOTH_1

#: Size of the picture, its margin and the foot for words, mm.
WIDTH, HEIGHT, MARGIN, FOOT = 180.0, 196.0, 6.0, 18.0


def stator_view(job: Job) -> Drawing:
    """Return the picture: a third of the slots bare, a third lined, a third wound.

    Raises:
        Refused: the design has no lamination, or no room for wire.
    """
    part = job.parts["lamination"][0]
    size = WIDTH - 2 * MARGIN
    diameter = job.design.lamination.outer_diameter
    # A picture, not a drawing: the scale is what fills the sheet, in hundredths.
    view = View(
        Point(WIDTH / 2, MARGIN + FOOT + size / 2), (max(1, int(100 * size / diameter)), 100)
    )
    sheet = view.region(part.cut[0])
    items: list[Item] = [Fill(sheet.loops, "grey")]
    slots = job.design.motor.slots
    for k in range(slots):
        turn = TOOTH_1 + (2 * k + 1) * math.pi / slots
        if k >= slots // 3:
            items += _lined(job, view, turn)
        if k >= 2 * slots // 3:
            items += _wound(job, view, turn)
    items += view.edges(part.cut[0], "visible")
    words = (
        f"{job.design.name}: {slots} slots, {diameter:g} mm over the tips. From the top, counter-"
        f"clockwise: slots bare, lined, and wound with {job.window.turns} turns of "
        f"{job.window.strands} x {job.wire.label}, every wire to scale."
    )
    items += text_lines(MARGIN, MARGIN + FOOT - 6.0, 3.5, wrap(words, size, 3.5))
    return Drawing(WIDTH, HEIGHT, tuple(items), f"{job.design.name}: stator")


def _flips(job: Job) -> tuple[float, ...]:
    return (1.0, -1.0) if job.window.sides == 2 else (1.0,)


def _lined(job: Job, view: View, turn: float) -> list[Item]:
    """Return the inside of the liner of one slot, both halves."""
    found: list[Item] = []
    for flip in _flips(job):
        ring = [Point(x, flip * y).rotated(turn) for x, y in job.window.room.exterior.coords]
        found.append(polyline([view.point(p) for p in ring], "narrow"))
    return found


def _wound(job: Job, view: View, turn: float) -> list[Item]:
    """Return every wire of one slot: a ring of enamel, white inside."""
    found: list[Item] = []
    radius = job.wire.bare_mm / 2 * view.factor
    for x, y in job.conductors.laid.tolist():
        for flip in _flips(job):
            spot = view.point(Point(x, flip * y).rotated(turn))
            found.append(Stroke(Outline.circle(spot, radius).segments, "narrow"))
    return found
