"""The picture of one slot: steel, liner, wedge and every wire, looking along the axle."""

from __future__ import annotations

import math

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text, polyline, text_lines
from geometry.drafting.font import text_width, wrap
from geometry.drafting.view import View
from geometry.outline import Outline
from geometry.point import Point
from recipes.job import Job

#: Size of the picture, its margins and the foot for words, mm.
WIDTH, HEIGHT, MARGIN, FOOT = 190.0, 205.0, 8.0, 24.0


def slot_view(job: Job) -> Drawing:
    """Return the picture of a slot with its opening up, at a whole scale.

    Raises:
        Refused: the design has no slot, or no room for wire.
    """
    x0, y0, _, y1 = job.slot.outline.box
    top = job.design.lamination.outer_diameter / 2
    side = y1 + 0.3 * (y1 - y0)
    room = WIDTH - 2 * MARGIN, HEIGHT - 2 * MARGIN - FOOT
    # A picture, not a drawing: the largest whole scale, beyond the few that ISO 5455 names.
    scale = max(1, int(min(room[0] / (2 * side), room[1] / (top - x0 + 3.0)))), 1
    middle = Point(WIDTH / 2, MARGIN + FOOT + room[1] / 2)
    view = View(middle, scale, Point((x0 - 1.0 + top) / 2, 0.0), math.pi / 2)
    items: list[Item] = [*slot_paper(job, view), *slot_wires(job, view), *slot_steel(job, view)]
    return Drawing(WIDTH, HEIGHT, (*items, *_words(job, view)), f"{job.design.name}: slot")


def slot_steel(job: Job, view: View) -> list[Item]:
    """Return the two half teeth beside the slot."""
    half = [s.rotated(-job.slot.half_pitch) for s in job.slot.half]
    lower = view.stroke(half, "visible")
    upper = view.stroke([s.mirrored() for s in half], "visible")
    if job.window.sides == 1:
        return [lower, upper]
    top, floor = job.window.wedge_span[1], job.slot.outline.box[0]
    return [lower, upper, view.line(Point(floor, 0.0), Point(top, 0.0), "centre")]


def slot_paper(job: Job, view: View) -> list[Item]:
    """Return the edge of the room for wire, the wedge and the separator."""
    items: list[Item] = []
    fill = job.window
    for flip in (1.0, -1.0) if fill.sides == 2 else (1.0,):
        ring = [view.at(x, flip * y) for x, y in fill.room.exterior.coords]
        items.append(polyline(ring, "narrow"))
    outer, inner = fill.wedge_span
    if outer > inner:
        half = job.slot.opening / 2 + job.design.wedge.overlap
        corners = [(inner, -half), (outer, -half), (outer, half), (inner, half)]
        strip = Outline.polygon([view.at(*c) for c in corners])
        items += [Fill((strip,), "grey"), Stroke(strip.segments, "narrow")]
    return items


def slot_wires(job: Job, view: View, lettering: float = 2.5) -> list[Item]:
    """Return every wire asked for, copper grey in its enamel; the first turn is numbered."""
    wire, lay = job.wire, job.conductors
    items: list[Item] = []
    for number, (x, y) in enumerate(lay.laid.tolist()):
        for flip in (1.0, -1.0) if job.window.sides == 2 else (1.0,):
            spot = view.at(x, flip * y)
            copper = Outline.circle(spot, wire.bare_mm / 2 * view.factor)
            enamel = Outline.circle(spot, wire.overall_max_mm / 2 * view.factor)
            items += [Fill((copper,), "grey"), Stroke(enamel.segments, "narrow")]
            words = str(number // lay.strands + 1)
            if text_width(words, lettering) < 0.92 * wire.bare_mm * view.factor:
                items.append(Text(spot.x, spot.y, lettering, words, "centre", level="middle"))
    return items


def _words(job: Job, view: View) -> list[Item]:
    fill, wire = job.window, job.wire
    sides = "two coil sides" if fill.sides == 2 else "one coil side"
    count = f"{fill.turns} turns x {fill.strands} x {wire.label}"
    lines = [
        f"{job.design.name}: one slot seen along the axle, scale {view.label}",
        f"{sides} of {count}, {wire.overall_max_mm:.3f} mm over enamel at most; "
        f"{job.conductors.kind}, {job.conductors.turns_that_fit} turns fit",
        f"grey circles: copper to scale; line about them: inside of the liner; wires take "
        f"{100 * fill.wire_fill:.0f} % of the lined slot",
    ]
    wrapped = [part for words in lines for part in wrap(words, WIDTH - 2 * MARGIN, 2.5)]
    items: list[Item] = list(text_lines(MARGIN, MARGIN + FOOT - 4.0, 2.5, wrapped))
    mouth = view.at(job.design.lamination.outer_diameter / 2, 0.0)
    items.append(Text(mouth.x, mouth.y + 1.5, 2.5, "air gap", "centre"))
    return items
