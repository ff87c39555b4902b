"""The whole sheet seen from the lead side, tooth 1 up, with centre lines and bolt circles."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.sheet.drawing import Item, Items, Text
from geometry.sheet.symbol import centre_cross, centre_line
from geometry.sheet.view import View
from recipes.parts.lamination import TOOTH_1

if TYPE_CHECKING:
    from collections.abc import Iterator

    from recipes.job import Job

#: A tooth pitch narrower than this on the sheet, mm, would run into one black ring: only the teeth
#: on both sides of tooth 1 and of the detail are drawn, circles stand for the rest (ISO 128-3 on
#: repeated features, from memory).
LEAST_PITCH = 3.2

#: Teeth drawn at each place where the rest is left out.
SHOWN = 5

#: A hole narrower than this on the sheet, mm, has no room for a centre cross.
CROSSED = 3.0

#: Height of the letter of the detail, and how far it stands off the teeth, mm.
LETTER, LETTER_AWAY = 3.5, 2.5

#: Direction in which the slot of the detail is looked for, rad: to the right and up.
DETAIL_TOWARD = math.radians(38.0)


def detail_slot(job: Job) -> float:
    """Return the direction of the slot that is drawn larger, rad, tooth 1 up."""
    slots = job.design.motor.slots
    axes = [TOOTH_1 - (2 * k + 1) * math.pi / slots for k in range(slots)]
    return min(axes, key=lambda a: abs(math.remainder(a - DETAIL_TOWARD, 2 * math.pi)))


def front_view(job: Job, view: View, letter: str = "B") -> Items:
    """Return the view, with the ring and letter of the detail if `letter` is given.

    Args:
        view: places the axis of the motor (0, 0) on the sheet.
    """
    part, lam = job.parts["lamination"][0], job.design.lamination
    region = part.cut[0]
    items: list[Item] = [*teeth(job, view, bool(letter))]
    for hole in region.holes:
        items += view.edges(hole, "visible")
    items += centre_cross(view.origin, lam.outer_diameter / 2 * view.factor)
    items += _hole_centres(job, view)
    if letter:
        items += _detail_ring(job, view, letter)
    return tuple(items)


def teeth(job: Job, view: View, detail: bool) -> Items:
    """Return the outer outline: every tooth, or a few and circles where they would run together."""
    lam, slots = job.design.lamination, job.design.motor.slots
    outer = job.parts["lamination"][0].cut[0].outer
    radius = lam.outer_diameter / 2
    if 2 * math.pi * radius / slots * view.factor >= LEAST_PITCH:
        return view.edges(outer, "visible")
    pitch = 2 * math.pi / slots
    middles = [TOOTH_1, *([detail_slot(job)] if detail else [])]
    spans = [(m - (SHOWN / 2) * pitch, m + (SHOWN / 2) * pitch) for m in middles]
    items: list[Item] = []
    for low, high in spans:
        run = [s for s in outer.segments if _between(s.point_at(0.5).angle(), low, high)]
        items += [view.stroke((s,), "visible") for s in run]
    for r in (radius, radius - lam.slot_depth):
        items += view.edges(Outline.circle(ORIGIN, r), "narrow")
    return tuple(items)


def _between(angle: float, low: float, high: float) -> bool:
    return (angle - low) % (2 * math.pi) <= high - low


def _hole_centres(job: Job, view: View) -> Iterator[Item]:
    """Yield centre crosses of round holes and the circles that they stand on."""
    hub = job.design.hub
    circles = {f.circle_diameter / 2 for f in (hub.bolts, hub.windows) if f}
    for radius in sorted(circles):
        yield from view.edges(Outline.circle(ORIGIN, radius), "centre")
    for hole in job.parts["lamination"][0].cut[0].holes:
        round_hole = hole.as_circle()
        if round_hole is None or round_hole[0].length() < 1e-6:
            continue
        centre, radius = round_hole
        if 2 * radius * view.factor >= CROSSED:
            out = Point.polar(radius + 1.5 / view.factor, centre.angle())
            yield centre_line(
                view.point(centre.minus(out)), view.point(centre.plus(out)), beyond=0.0
            )


def _detail_ring(job: Job, view: View, letter: str) -> Items:
    """Return the narrow circle round one slot, and its letter outside the teeth (ISO 128-3)."""
    lam, turn = job.design.lamination, detail_slot(job)
    radius = lam.outer_diameter / 2
    middle = Point.polar(radius - lam.slot_depth / 2, turn)
    size = 0.62 * lam.slot_depth
    ring = view.edges(Outline.circle(middle, size), "narrow")
    reach = radius - lam.slot_depth / 2 + size
    spot = view.point(Point.polar(max(reach, radius), turn)).plus(
        Point.polar(LETTER_AWAY + LETTER / 2, turn)
    )
    return (*ring, Text(spot.x, spot.y, LETTER, letter, "centre", level="middle"))
