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
from geometry.drafting.view import Axis, Chart, View
from geometry.outline import Outline, Region
from geometry.point import Point
from recipes.design.axle import Axle
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.cross_section import mounted_section
from recipes.shaft.load import Run
from recipes.shaft.side_view import side_view
from recipes.shaft.strength import AxleStrength, Place
from recipes.shaft.strength_rules import LEAST_STATIC

# Charts over the length of the axle: safety, bending and torque.
#
# 50 |      ____          ____
# 10 |  ___/    \__|  ___/         logarithmic: safety by von Mises, dashed the long run
#  2 |..........................   tone: below this the design is refused
#  1 |        v spike: a notch
#    +--------------------------> z

#: Ends and marks of the scale of safety.
LOW, HIGH = 0.5, 50.0
MARKS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


def safety_chart(
    across: Axis, bottom: float, top: float, marks: Sequence[float], size: float
) -> tuple[Chart, list[Item]]:
    """Return a chart of safety over the axle, and its tone below the limit with marks and lines.

    Args:
        across: length from face A.
        bottom, top: of the field on the sheet, mm.
        marks: values that get a line and a number.
        size: height of letters, mm.
    """
    chart = Chart(across, Axis(LOW, HIGH, bottom, top, logarithmic=True))
    left, right, limit = across.start, across.end, chart.up.at(LEAST_STATIC)
    below = Outline.polygon([(left, bottom), (right, bottom), (right, limit), (left, limit)])
    return chart, [Fill((below,), "grey"), *chart.levels(marks, size, LEAST_STATIC)]


def safety_curve(chart: Chart, curve: Sequence[tuple[float, float]], style: str) -> Iterator[Item]:
    """Yield the curve in runs, left out where it lies beyond the top of the scale."""
    run: list[Point] = []
    for z, factor in curve:
        spot = chart.point(z, factor)
        if run and run[-1].distance(spot) < 1e-6:
            continue
        run.append(spot)
        if factor >= HIGH and (len(run) == 1 or run[-2].y >= chart.up.end - 1e-9):
            if len(run) > 2:
                yield polyline(run[:-1], style)
            run = [spot]
    if len(run) > 1:
        yield polyline(run, style)


def weakest_place(
    strength: AxleStrength, chart: Chart, view: View, radius: float
) -> Iterator[Stroke]:
    """Yield circles of `radius` mm round the weakest place on curve and axle, joined by a line.

    Args:
        strength: of the axle.
        chart: of its safety, above the axle.
        view: of the axle, below.
        radius: as said.
    """
    least = strength.least
    if math.isinf(least.safety):
        return
    top = chart.point(least.z, least.safety)
    foot = view.at(least.z, strength.outside_at(least.z) / 2)
    for spot in (top, foot):
        yield Stroke(Outline.circle(spot, radius).segments, "visible")
    yield line(Point(top.x, top.y - radius), Point(foot.x, foot.y + radius), "centre")


def weakest_words(
    least: Place, chart: Chart, away: float, words: str, size: float
) -> Iterator[Text]:
    """Yield words of `size` mm, `away` mm beside the weakest place on the curve.

    None where its factor is below the limit: there the curve lies.
    """
    if math.isinf(least.safety) or least.safety < LEAST_STATIC:
        return
    top, up = chart.point(least.z, least.safety), chart.up
    right = top.x < (chart.across.start + chart.across.end) / 2
    x = top.x + (away if right else -away)
    level = (up.at(1.0) + up.at(LEAST_STATIC)) / 2
    yield Text(x, level, size, words, "left" if right else "right", level="middle")


def force_chart(
    across: Axis, bottom: float, top: float, run: Run, unit: str, divisor: float
) -> Iterator[Item]:
    """Yield a quantity along the axle over its base line, its largest value beside the field.

    Args:
        across: length from face A.
        bottom, top: of the field, mm; the base line is its bottom if the quantity never falls
            below 0, its top if it never rises above.
        run: the quantity.
        unit: behind the number.
        divisor: of the run's own unit.
    """
    low, high = min(0.0, *run.value), max(0.0, *run.value)
    chart = Chart(across, Axis(low, high if high > low else low + 1.0, bottom, top))
    ends = chart.point(0.0, 0.0), chart.point(across.high, 0.0)
    spots = [ends[0], *(chart.point(*v) for v in zip(run.z, run.value, strict=True)), ends[1]]
    apart = [p for k, p in enumerate(spots) if not k or p.distance(spots[k - 1]) > 1e-6]
    yield line(*ends)
    if run.most != 0.0:
        yield Fill((Outline.polygon([(p.x, p.y) for p in apart]),), "grey")
        yield polyline(apart, "visible")
    words = f"{run.most / divisor:.3g} {unit}" if run.most != 0.0 else f"0 {unit}"
    yield Text(across.end + 3.0, (bottom + top) / 2, SMALLEST_TEXT, words, level="middle")


#: Size of the picture, the room left and right of the charts, and of the parts above each other.
WIDTH, HEIGHT, LEFT, RIGHT = 200.0, 205.0, 22.0, 22.0
CHART = (148.0, 192.0)
AXLE_MIDDLE, AXLE_ROOM = 117.0, 42.0
BENDING = (71.0, 86.0)
TORQUE = (56.0, 65.0)
WORDS_TOP, SECTION_RADIUS = 46.0, 13.0


def axle_strength_view(shape: AxleShape, strength: AxleStrength, name: str) -> Drawing:
    """Return the picture of the strength of an axle; `name` of the design."""
    length = shape.axle.length
    room = WIDTH - LEFT - RIGHT
    # A picture, not a drawing: the scale is what fills the sheet, in thousandths.
    scale = max(1, int(1000 * min(room / length, AXLE_ROOM / (2 * shape.half_height))))
    wide = length * scale / 1000
    left = LEFT + (room - wide) / 2
    view = View(Point(left, AXLE_MIDDLE), (scale, 1000))
    across = Axis(0.0, length, left, left + wide)
    chart, items = safety_chart(across, *CHART, MARKS, SMALLEST_TEXT)
    items += safety_curve(chart, strength.long_run_curve, "hidden")
    items += safety_curve(chart, strength.curve, "visible")
    items += side_view(shape, view)
    items += _frames(length, strength, view)
    items += _bearings(shape.half_height * view.factor, strength, view)
    said = f"{strength.least.safety:.2f} {strength.least.name}"
    items += weakest_place(strength, chart, view, 2.2)
    items += weakest_words(strength.least, chart, 3.2, said, SMALLEST_TEXT)
    items += force_chart(across, *BENDING, strength.load.moment, "Nm", 1e3)
    items += force_chart(across, *TORQUE, strength.load.torque, "Nm", 1e3)
    items += _names(across, strength)
    items += _section(shape.axle, shape.slot_radius)
    items += _words(shape.axle, strength, name)
    return Drawing(WIDTH, HEIGHT, tuple(items), f"{name}: strength of the axle")


def _names(across: Axis, strength: AxleStrength) -> Iterator[Item]:
    least = strength.least
    heading = "safety against yielding (dashed: long run)"
    if least.safety < LEAST_STATIC:
        heading = f"safety (dashed: long run), TOO WEAK: {least.safety:.2f} at the {least.name}"
    yield Text(LEFT, CHART[1] + 4.0, 3.5, heading)
    for words, (low, high) in (("bending", BENDING), ("torque", TORQUE)):
        yield Text(LEFT - 20.0, (low + high) / 2, SMALLEST_TEXT, words, level="middle")
    for words, x in (("A", across.start), ("B", across.end)):
        yield Text(x, BENDING[1] + 2.5, SMALLEST_TEXT, words, "centre")


def _frames(length: float, strength: AxleStrength, view: View) -> Iterator[Item]:
    """Yield the frame above and below the axle of `length` mm at each held face."""
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


def _bearings(high: float, strength: AxleStrength, view: View) -> Iterator[Item]:
    """Yield the force of each bearing on the axle, its number `high` mm off the axis or more."""
    weak = strength.least.z
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


def _section(axle: Axle, r: float) -> Iterator[Item]:
    """Yield the section at the slot as mounted, up is up, with the force on it."""
    load = axle.load
    centre = Point(WIDTH - RIGHT - SECTION_RADIUS, WORDS_TOP - SECTION_RADIUS - 7.0)
    yield from mounted_section(axle, r, centre, SECTION_RADIUS)
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


def _words(axle: Axle, strength: AxleStrength, name: str) -> Iterator[Item]:
    least, worn, steel = strength.least, strength.least_long_run, strength.steel
    angle, best = strength.best_angle()
    load = axle.load
    lines = [
        f"{name}: {load.force:g} N at {strength.load.force_at:.4g} mm from face A, "
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
