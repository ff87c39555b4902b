"""The picture of the axle's strength: safety above the axle, bending and torque below it.

safety  |  curve, the weakest place circled
axle    |  outline with frame, forces of the bearings, weakest place circled
bending |
torque  |
words   |  what was found                       section at the slot with the force
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.drafting.dimension import arrow
from geometry.drafting.drawing import (
    Anchor,
    Drawing,
    Fill,
    Item,
    Stroke,
    Text,
    box,
    line,
    polyline,
    text_lines,
)
from geometry.drafting.font import SMALLEST_TEXT, wrap
from geometry.drafting.symbol import hatch
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from recipes.job import Job
from recipes.shaft.cross_section import slot_radius, slot_section
from recipes.shaft.load import Run
from recipes.shaft.side_view import half_height, side_view
from recipes.shaft.strength import AxleStrength
from recipes.shaft.strength_rules import LEAST_STATIC

#     Charts of the axle's strength over its length: safety, bending and torque.
#
# 50 |      ____          ____
# 10 |  ___/    \__|  ___/         logarithmic: safety by von Mises, dashed the long run
#  2 |..........................   tone: below this the design is refused
#  1 |        v spike: a notch
#    +--------------------------> z

#: Ends and marks of the scale of safety.
LOW, HIGH = 0.5, 50.0
MARKS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


@dataclass(frozen=True)
class Frame:
    """Where a chart lies on the sheet, in mm.

    Args:
        left, right, bottom, top: of the field.
        length: of the axle, which fills left to right.
    """

    left: float
    right: float
    bottom: float
    top: float
    length: float

    def x(self, z: float) -> float:
        """Return the place of a length from face A."""
        return self.left + (self.right - self.left) * z / self.length

    def y(self, safety: float) -> float:
        """Return the height of a safety factor; beyond the scale its end."""
        kept = min(max(safety, LOW), HIGH)
        share = math.log(kept / LOW) / math.log(HIGH / LOW)
        return self.bottom + (self.top - self.bottom) * share


def safety_scale(frame: Frame) -> list[Item]:
    """Return the tone below the limit, the marks and their lines."""
    limit = frame.y(LEAST_STATIC)
    corners = [
        (frame.left, frame.bottom),
        (frame.right, frame.bottom),
        (frame.right, limit),
        (frame.left, limit),
    ]
    items: list[Item] = [Fill((Outline.polygon(corners),), "grey")]
    for mark in MARKS:
        y = frame.y(mark)
        style = "frame" if mark == LEAST_STATIC else "narrow"
        items.append(line(Point(frame.left, y), Point(frame.right, y), style))
        items.append(Text(frame.left - 1.5, y, SMALLEST_TEXT, f"{mark:g}", "right", level="middle"))
    return items


def safety_curve(frame: Frame, curve: Sequence[tuple[float, float]], style: str) -> Iterator[Item]:
    """Yield the curve in runs, left out where it lies beyond the top of the scale."""
    run: list[Point] = []
    for z, factor in curve:
        spot = Point(frame.x(z), frame.y(factor))
        if run and run[-1].distance(spot) < 1e-6:
            continue
        run.append(spot)
        if factor >= HIGH and (len(run) == 1 or run[-2].y >= frame.top - 1e-9):
            if len(run) > 2:
                yield polyline(run[:-1], style)
            run = [spot]
    if len(run) > 1:
        yield polyline(run, style)


def force_chart(frame: Frame, run: Run, unit: str, divisor: float) -> list[Item]:
    """Return a quantity along the axle over its base line, its largest value written.

    Args:
        frame: the field; the base line is its bottom if the quantity never falls below 0, its top
            if it never rises above.
        run: the quantity.
        unit: behind the number.
        divisor: of the run's own unit.
    """
    most, least = max(0.0, *run.value), min(0.0, *run.value)
    span = (most - least) or 1.0
    zero = frame.bottom + (frame.top - frame.bottom) * -least / span
    scale = (frame.top - frame.bottom) / span
    points = [Point(frame.x(z), zero + scale * v) for z, v in zip(run.z, run.value, strict=True)]
    points = [Point(frame.left, zero), *points, Point(frame.right, zero)]
    apart = [p for k, p in enumerate(points) if not k or p.distance(points[k - 1]) > 1e-6]
    items: list[Item] = [line(Point(frame.left, zero), Point(frame.right, zero))]
    if run.most == 0.0:
        return [*items, _most(frame, f"0 {unit}")]
    items.append(Fill((_closed(apart),), "grey"))
    items.append(polyline(apart, "visible"))
    return [*items, _most(frame, f"{run.most / divisor:.3g} {unit}")]


def _closed(points: list[Point]) -> Outline:
    """Return the area between a run and the base line on which it starts and ends."""
    return Outline.polygon([(p.x, p.y) for p in points])


def _most(frame: Frame, words: str) -> Text:
    """Return the largest value, beside the field so that no line crosses it."""
    middle = (frame.bottom + frame.top) / 2
    return Text(frame.right + 3.0, middle, SMALLEST_TEXT, words, level="middle")


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
        Refused: an axle that cannot be judged or drawn; see `recipes.shaft.strength`.
    """
    strength, length = job.axle_strength, job.design.axle.length
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
        r = strength.outside_at(face) / 2 * view.factor
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
            r = strength.outside_at(z) / 2 * view.factor
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
    r = strength.outside_at(least.z) / 2
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
        x,
        y,
        SMALLEST_TEXT,
        f"{least.safety:.2f} {least.name}",
        "left" if right else "right",
        level="middle",
    )


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
