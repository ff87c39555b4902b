"""The picture of the axle's strength: safety above the axle, bending and torque below it.

safety  |  curve, the weakest place circled
axle    |  outline with frame, forces of the bearings, weakest place circled
bending |
torque  |
words   |  what was found                       section at the slot with the force
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.sheet.dimension import arrow
from geometry.sheet.drawing import Anchor, Drawing, Item, Stroke, Text, box, line, text_lines
from geometry.sheet.font import SMALLEST_TEXT, wrap
from geometry.sheet.hatch import hatch
from geometry.sheet.view import View
from recipes.axle.cross import slot_radius, slot_section
from recipes.axle.side_view import half_height, side_view
from recipes.axle.strength import AxleStrength, axle_strength_of
from recipes.axle.strength_chart import Frame, force_chart, safety_curve, safety_scale
from recipes.axle.strength_rules import LEAST_STATIC
from recipes.job import Job

#: Size of the picture, the room left and right of the charts, and of the parts above each other.
WIDTH, HEIGHT, LEFT, RIGHT = 200.0, 205.0, 22.0, 22.0
CHART = (148.0, 192.0)
AXLE_MIDDLE, AXLE_ROOM = 117.0, 42.0
BENDING = (71.0, 86.0)
TORQUE = (56.0, 65.0)
WORDS_TOP, SECTION_RADIUS = 46.0, 13.0


def axle_strength_view(job: Job) -> Drawing:
    """Return the picture of the axle's strength.

    Raises:
        Refused: an axle that cannot be judged or drawn; see `recipes.axle.strength`.
    """
    strength, length = job.once(axle_strength_of), job.design.axle.length
    room = WIDTH - LEFT - RIGHT
    # A picture, not a drawing: the scale is what fills the sheet, in thousandths.
    scale = max(1, int(1000 * min(room / length, AXLE_ROOM / (2 * half_height(job)))))
    wide = length * scale / 1000
    left = LEFT + (room - wide) / 2
    view = View(Point(left, AXLE_MIDDLE), (scale, 1000))
    chart = Frame(left, left + wide, *CHART, length)
    items: list[Item] = [*safety_scale(chart)]
    items += safety_curve(chart, strength.long_run_curve, "hidden")
    items += safety_curve(chart, strength.curve, "visible")
    items += side_view(job, view)
    items += [*_frames(job, strength, view), *_bearings(job, strength, view)]
    items += _weakest(strength, chart, view)
    items += force_chart(
        Frame(left, left + wide, *BENDING, length), strength.load.moment, "Nm", 1e3
    )
    items += force_chart(Frame(left, left + wide, *TORQUE, length), strength.load.torque, "Nm", 1e3)
    items += [*_names(chart, strength), *_section(job), *_words(job, strength)]
    title = f"{job.design.name}: strength of the axle"
    return Drawing(WIDTH, HEIGHT, tuple(items), title)


def _names(chart: Frame, strength: AxleStrength) -> Iterator[Item]:
    least = strength.least
    heading = "safety against yielding (dashed: long run)"
    if least.safety < LEAST_STATIC:
        heading = f"safety (dashed: long run), TOO WEAK: {least.safety:.2f} at the {least.name}"
    yield Text(LEFT, chart.top + 4.0, 3.5, heading)
    x = LEFT - 20.0
    for words, (low, high) in (("bending", BENDING), ("torque", TORQUE)):
        yield Text(x, (low + high) / 2, SMALLEST_TEXT, words, level="middle")
    for words, z in (("A", 0.0), ("B", chart.length)):
        yield Text(chart.x(z), BENDING[1] + 2.5, SMALLEST_TEXT, words, "centre")


def _frames(job: Job, strength: AxleStrength, view: View) -> Iterator[Item]:
    """Yield the frame above and below the axle at each held face."""
    length = job.design.axle.length
    for z, _, _ in strength.load.frames:
        face = 0.0 if z < length / 2 else length
        r = strength.trial.body.outside_at(face) / 2 * view.factor
        near, far = sorted((view.at(face, 0.0).x, view.at(z, 0.0).x))
        near, far = (near, max(far, near + 2.0)) if face == 0.0 else (min(near, far - 2.0), far)
        for up in (1.0, -1.0):
            low, high = sorted((AXLE_MIDDLE + up * r, AXLE_MIDDLE + up * (r + 4.0)))
            block = Outline.polygon([(near, low), (far, low), (far, high), (near, high)])
            yield box(near, low, far, high, "narrow")
            yield from hatch(Region(block), spacing=1.5)


def _bearings(job: Job, strength: AxleStrength, view: View) -> Iterator[Item]:
    """Yield the force of each bearing on the axle, its number outside the axle's largest round."""
    high, weak = half_height(job) * view.factor, strength.least.z
    for z, force in strength.load.bearings:
        if force:
            r = strength.trial.body.outside_at(z) / 2 * view.factor
            near = 0.0 < (weak - z) * view.factor < 15.0  # keep off the line to the weakest place
            yield from _force(view.at(z, 0.0).x, r, high, force, "right" if near else "left")


def _force(x: float, r: float, high: float, force: float, anchor: Anchor) -> Iterator[Item]:
    side = 1.0 if force > 0 else -1.0
    tip, foot = (Point(x, AXLE_MIDDLE + side * y) for y in (r + 0.3, high + 7.0))
    yield line(foot, tip, "visible")
    yield arrow(tip, -side * math.pi / 2)
    y = AXLE_MIDDLE + side * (high + 5.0)
    words = f"{abs(force):.3g} N" if abs(force) < 1000 else f"{abs(force):.0f} N"
    beside = x + (1.5 if anchor == "left" else -1.5)
    yield Text(beside, y, SMALLEST_TEXT, words, anchor, level="middle")


def _weakest(strength: AxleStrength, chart: Frame, view: View) -> Iterator[Item]:
    """Yield circles round the weakest place on curve and axle, joined by a line, and its factor."""
    least = strength.least
    if math.isinf(least.safety):
        return
    top = Point(chart.x(least.z), chart.y(least.safety))
    r = strength.trial.body.outside_at(least.z) / 2
    foot = view.at(least.z, r)
    for spot in (top, foot):
        yield Stroke(Outline.circle(spot, 2.2).segments, "visible")
    if top.y - foot.y > 5.0:
        yield line(Point(top.x, top.y - 2.2), Point(foot.x, foot.y + 2.2), "centre")
    if least.safety < LEAST_STATIC:
        return  # the curve lies where the words would stand; the heading says it
    right = top.x < (chart.left + chart.right) / 2
    x = top.x + (3.2 if right else -3.2)
    y = (chart.y(1.0) + chart.y(LEAST_STATIC)) / 2
    yield Text(
        x, y, SMALLEST_TEXT, f"{least.safety:.2f} {least.name}",
        "left" if right else "right", level="middle",
    )  # fmt: skip


def _section(job: Job) -> Iterator[Item]:
    """Yield the section at the slot as mounted, up is up, with the force on it."""
    r, load = slot_radius(job), job.design.axle.load
    centre = Point(WIDTH - RIGHT - SECTION_RADIUS, WORDS_TOP - SECTION_RADIUS - 7.0)
    scale = max(1, int(1000 * SECTION_RADIUS / r)), 1000
    view = View(centre, scale, ORIGIN, math.radians(job.design.axle.wire_slot.angle))
    region = view.region(slot_section(job, r))
    yield from hatch(region)
    for loop in region.loops:
        yield Stroke(loop.segments, "visible")
    if load.action == "turns":
        yield Text(
            centre.x, centre.y + SECTION_RADIUS + 3.0, SMALLEST_TEXT, "force turns", "centre"
        )
        return
    way = math.radians(load.direction)
    tip = centre.plus(Point.polar(SECTION_RADIUS + 0.8, way + math.pi))
    foot = centre.plus(Point.polar(SECTION_RADIUS + 7.0, way + math.pi))
    yield line(foot, tip, "visible")
    yield arrow(tip, way)
    beside = foot.plus(Point(1.5 if math.cos(way) < 0.5 else -1.5, -1.0))
    yield Text(beside.x, beside.y, SMALLEST_TEXT, "F", "left" if math.cos(way) < 0.5 else "right")


def _words(job: Job, strength: AxleStrength) -> Iterator[Item]:
    least, worn, steel = strength.least, strength.least_long_run, strength.steel
    angle, best = strength.best_angle()
    load = job.design.axle.load
    lines = [
        f"{job.design.name}: {load.force:g} N at {strength.load.force_at:.4g} mm from face A, "
        f"{load.torque:g} Nm, held at {load.held}",
        f"{steel.name} {steel.condition}, yield {steel.yield_MPa:g} MPa, tensile {steel.tensile_MPa:g} MPa",
        f"least {least.safety:.2f} at the {least.name}, {least.z:.4g} mm from face A; without wire slot "
        f"{strength.without_slot:.2f}",
        f"at the slot {strength.at_slot.safety:.2f}; half as wide {strength.half_as_wide:.2f}, a third "
        f"shorter {strength.two_thirds_as_long:.2f}, at {angle:g}° {best:.2f}",
        f"long run (estimate) {worn.long_run:.2f} at the {worn.name}, {worn.z:.4g} mm",
        "first yield at the edge of the notch; an estimate, no proof; the slot counts as if it ran on: "
        "its closed ends hold it, so this is the safe side",
    ]
    room = WIDTH - RIGHT - 2 * SECTION_RADIUS - 20.0
    wrapped = [part for words in lines for part in wrap(words, room, SMALLEST_TEXT)]
    yield from text_lines(6.0, WORDS_TOP, SMALLEST_TEXT, wrapped)
