"""The picture of the leads: packed in the bore, and on their way from coils to controller.

across, at the slot          along, slot up (schematic bends, true axle)
 .--------.                                      / to the coils
/  o O o   \\___      strain relief  _____________|  |______
|  O o O    ___        __|__        |  sleeve  __/  R mouth
 \\________ /       __/      ========|==========            - bore
                   \\_/ drip loop    |______________________
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from geometry.drafting.dimension import leader
from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text, box, line, text_lines
from geometry.drafting.font import SMALLEST_TEXT, text_width, wrap
from geometry.drafting.symbol import centre_line, hatch
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from recipes.design.axle import Axle
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.cross_section import mounted_section
from recipes.shaft.lead_bundle import SLEEVE, LeadBundle

# Path of the leads in the picture: from the controller through loop and bore out of the slot.
#
# Sheet coordinates in mm. The path is a run of lines and arcs that meet without a kink; the bundle
# is drawn as the two parallels of it.


@dataclass(frozen=True)
class Pen:
    """Where a path has come to, and what was drawn so far.

    Args:
        at: its end.
        heading: direction there, rad.
        run: lines and arcs.
    """

    at: Point
    heading: float
    run: tuple[Segment, ...] = ()

    def ahead(self, length: float) -> Pen:
        """Return the path with a straight piece."""
        end = self.at.plus(Point.polar(length, self.heading))
        return replace(self, at=end, run=(*self.run, Line(self.at, end)))

    def turn(self, angle: float, radius: float) -> Pen:
        """Return the path with an arc; a positive angle (rad) turns left."""
        side = math.copysign(math.pi / 2, angle)
        centre = self.at.plus(Point.polar(radius, self.heading + side))
        end = self.at.rotated(angle, centre)
        arc = Arc(self.at, end, centre, angle > 0)
        return Pen(end, self.heading + angle, (*self.run, arc))


def band(run: tuple[Segment, ...], half: float, style: str) -> list[Stroke]:
    """Return both parallels of a smooth run at `half` mm, each edge a stroke of its own."""
    return [Stroke((_beside(edge, side * half),), style) for edge in run for side in (1.0, -1.0)]


def _beside(edge: Segment, offset: float) -> Segment:
    """Return the parallel of one edge, to the left for a positive offset."""
    if isinstance(edge, Line):
        step = edge.end.minus(edge.start).unit().left().times(offset)
        return Line(edge.start.plus(step), edge.end.plus(step))
    inward = offset if edge.ccw else -offset
    radius = edge.start.distance(edge.center)
    share = (radius - inward) / radius
    start, end = (edge.center.plus(p.minus(edge.center), share) for p in (edge.start, edge.end))
    return Arc(start, end, edge.center, edge.ccw)


# The axle cut along its wire slot, with the leads from the coils to the controller.
#
# Axle and slot are to scale, the slot turned up; loop, clamp and bends are drawn for reading.

#: Face A and the right end on the sheet, the axis, and the most that axle and bundle may take.
FACE, RIGHT, AXIS, REACH, HALF = 74.0, 158.0, 50.0, 22.0, 8.0

#: Room on the sheet that the leads have between face A and the loop, for the clamp.
CLAMP_ROOM, CLAMP = 20.0, 6.0

#: Wall of the sleeve on the sheet, mm.
SLEEVE_SHOWN = 0.9


@dataclass(frozen=True)
class Along:
    """What the view is drawn from.

    Args:
        shape: the axle.
        view: places (z, height above the axis) on the sheet.
        end: where the axle is broken off, mm from face A.
        half: half the bundle on the sheet, mm.
    """

    shape: AxleShape
    view: View
    end: float
    half: float

    @property
    def bore(self) -> float:
        """Radius of the bore on the sheet, mm."""
        return self.shape.axle.bore_diameter / 2 * self.view.factor


def leads_along(shape: AxleShape, bundle: LeadBundle) -> Iterator[Item]:
    """Yield the view along the axle with its notes."""
    span = shape.slot
    end = min(span.end + 0.4 * (span.end - span.start) + 2.0, shape.axle.length)
    reach = max(p.diameter for p in shape.pieces if p.start < end) / 2
    wide = min(bundle.hand_diameter, bundle.bore)
    k = min((RIGHT - FACE) / end, REACH / reach, 2 * HALF / wide)
    view = View(Point(FACE, AXIS), (max(1, int(1000 * k)), 1000))
    on = Along(shape, view, end, wide / 2 * view.factor)
    yield from _walls(on)
    yield centre_line(view.at(0.0, 0.0), view.at(end, 0.0))
    before, inside, out = _path(on)
    for run in (before, inside, out):
        yield from band(run, on.half, "visible")
    last = out[-1]
    most = Line(last.start, last.start.plus(last.end.minus(last.start), 0.75))
    yield from band((most,), on.half + SLEEVE_SHOWN, "hidden")
    at_face = Line(Point(FACE - 6.0, AXIS), Point(FACE + 8.0, AXIS))
    yield from band((at_face,), on.half + SLEEVE_SHOWN, "hidden")
    yield from _clamp(on)
    yield from _notes(on, before, out)


def _walls(on: Along) -> Iterator[Item]:
    """Yield the cut faces beside the bore, hatched; the upper one has the slot in it."""
    span, bore, top = on.shape.slot, on.shape.axle.bore_diameter / 2, on.shape.slot_radius
    edge, mouth = on.shape.axle.wire_slot.mouth_radius, on.shape.mouth_radius
    corners = [
        p
        for piece in on.shape.pieces
        if piece.start < on.end
        for p in (Point(z, piece.diameter / 2) for z in (piece.start, min(piece.end, on.end)))
    ]
    inner = [Point(mouth, bore), Point(0.0, bore + mouth)]
    a, b = Point(span.start - edge, top), Point(span.start, top - edge)
    c, d = Point(span.end, top - edge), Point(span.end + edge, top)
    left = [inner[1], *(p for p in corners if p.x < a.x), a, b, Point(span.start, bore), inner[0]]
    right = [c, d, *(p for p in corners if p.x > d.x), Point(on.end, bore), Point(span.end, bore)]
    below = [inner[1], *corners, Point(on.end, bore), inner[0]]
    round_mouth = (inner[0], inner[1], Point(mouth, bore + mouth))
    for ring, rounds, flip in (
        (left, (round_mouth, (a, b, Point(a.x, b.y))), False),
        (right, ((c, d, Point(d.x, c.y)),), False),
        (below, (round_mouth,), True),
    ):
        edges = _ring(ring, rounds)
        if flip:
            edges = [s.mirrored() for s in edges]
        loop = on.view.outline(Outline(tuple(edges)).oriented(True))
        yield from hatch(Region(loop))
        yield Stroke(loop.segments, "visible")


Round = tuple[Point, Point, Point]


def _ring(corners: list[Point], rounds: tuple[Round, ...]) -> list[Segment]:
    """Return a closed run of lines; between the two points of a round an arc about its centre."""
    edges: list[Segment] = []
    for p, q in pairwise([*corners, corners[0]]):
        if p.distance(q) < 1e-9:
            continue
        centre = next((c for start, end, c in rounds if (p, q) == (start, end)), None)
        if centre is None:
            edges.append(Line(p, q))
        else:
            edges.append(Arc(p, q, centre, p.minus(centre).cross(q.minus(centre)) > 0))
    return edges


Run = tuple[Segment, ...]


def _path(on: Along) -> tuple[Run, Run, Run]:
    """Return the middle line of the leads: controller to clamp, inside the bore, out of the slot."""
    bend, loop = max(7.0, 1.6 * on.half), max(11.0, 1.5 * on.half)
    corner = Point(FACE - CLAMP_ROOM, AXIS)
    start = Point(corner.x - bend - 2 * loop, AXIS + 14.0)
    pen = Pen(start, -math.pi / 2).ahead(16.0 + bend)
    pen = pen.turn(math.pi, loop).ahead(2.0).turn(-math.pi / 2, bend)
    rise, foot = _rise(on)
    # The upper edge of the bundle has come round before it leaves the bore.
    room = (on.bore - on.half * math.cos(rise)) / (1.0 - math.cos(rise))
    radius = max(1.05 * on.half, min(2.5 * bend, room))
    tangent = radius * math.tan(rise / 2)
    inside = Pen(pen.at, 0.0).ahead(foot - tangent - pen.at.x).turn(rise, radius)
    out = Pen(inside.at, rise).ahead((AXIS + REACH + 11.0 - inside.at.y) / math.sin(rise))
    return pen.run, inside.run, out.run


def _rise(on: Along) -> tuple[float, float]:
    """Return the flattest angle (rad) at which the bundle clears the slot, and where it starts.

    The upper edge of the bundle passes the slot's near end at the bore, the lower edge its far
    end outside; the second figure is x on the sheet where the middle line would meet the axis.
    """
    span, k = on.shape.slot, on.view.factor
    wall = on.shape.slot_radius * k - on.bore
    length = (span.end - span.start) * k
    near = on.view.at(span.start, 0.0).x
    for degrees in range(35, 91, 5):
        rise = math.radians(degrees)
        taken = wall / math.tan(rise) + 2 * on.half / math.sin(rise)
        if taken <= length or degrees == 90:
            break
    slack = max(0.0, length - taken) / 2
    spot = Point(near + slack, on.bore).plus(Point.polar(on.half, rise - math.pi / 2))
    return rise, spot.x - spot.y / math.tan(rise)


def _clamp(on: Along) -> Iterator[Item]:
    """Yield the clamp on the frame that holds the leads before face A."""
    x = FACE - CLAMP_ROOM / 2 - CLAMP / 2
    for up in (1.0, -1.0):
        low, high = sorted((AXIS + up * on.half, AXIS + up * (on.half + 3.0)))
        yield box(x, low, x + CLAMP, high, "visible")


def _notes(on: Along, before: Run, out: Run) -> Iterator[Item]:
    """Yield what every part is called."""
    shape, slot, span = on.shape, on.shape.axle.wire_slot, on.shape.slot
    high = AXIS + REACH
    title = f"along, the wire slot turned up (it faces {slot.angle:g}° when mounted)"
    yield Text(6.0, high + 28.0, 3.5, title)
    start, end, rise = before[0].start, out[-1].end, _rise(on)[0]
    yield Text(start.x, start.y + 2.0, SMALLEST_TEXT, "to the controller", "centre")
    ahead = end.plus(Point.polar(3.0 + 9.0 * math.cos(rise), rise))
    yield Text(
        min(ahead.x, 189.0), ahead.y, SMALLEST_TEXT, "to the coils", "centre", level="middle"
    )
    loop = before[1]
    radius = loop.start.distance(loop.end) / 2
    lowest = loop.start.y - radius - on.half - 4.5
    words = "drip loop, lower than the bore"
    yield Text(loop.start.x + radius, lowest, SMALLEST_TEXT, words, "centre")
    clamp = Point(FACE - CLAMP_ROOM / 2, AXIS + on.half + 3.0)
    relief = ("strain relief,", "a clamp on the frame")
    yield from leader(clamp, Point(clamp.x - 3.0, high + 8.0), relief, side=-1)
    sleeve = Point(FACE + 7.0, AXIS - on.half - SLEEVE_SHOWN)
    both = ("sleeve over both edges, from 5 mm before", "to 5 mm behind each")
    yield from leader(sleeve, Point(FACE + 10.0, AXIS - REACH - 8.0), both)
    mouth, bore = shape.mouth_radius, shape.axle.bore_diameter / 2
    spot = on.view.at(0.3 * mouth, bore + 0.3 * mouth)
    yield from leader(spot, Point(FACE + 2.0, high + 19.0), f"bore mouth R{mouth:.3g}")
    edge, words = 0.3 * slot.mouth_radius, f"slot mouth R{slot.mouth_radius:.3g}"
    tip = on.view.at(span.start - edge, shape.slot_radius - edge)
    if tip.x - FACE > 40.0:
        yield from leader(tip, Point(tip.x - 4.0, high + 5.0), words, side=-1)
    else:  # a short way: the far mouth has more room beside it
        tip = on.view.at(span.end + edge, shape.slot_radius - edge)
        yield from leader(tip, Point(tip.x + 8.0, high + 5.0), words)
    broken = on.view.at(on.end, 0.0).x
    if on.end < shape.axle.length:
        for up in (1.0, -1.0):
            y = AXIS + up * (shape.slot_radius * on.view.factor + on.bore) / 2
            yield line(Point(broken, y - 1.5), Point(broken + 1.5, y + 1.5))


#: Size of the picture, mm.
WIDTH, HEIGHT = 200.0, 205.0

#: Centre of the view across, and its radius on the sheet.
ACROSS, ACROSS_RADIUS = Point(52.0, 150.0), 42.0


def lead_view(shape: AxleShape, bundle: LeadBundle, name: str) -> Drawing:
    """Return the picture of the leads in their axle; `name` of the design."""
    items: list[Item] = [*_across(shape.axle, shape.slot_radius, bundle), *_legend(bundle, name)]
    items += leads_along(shape, bundle)
    return Drawing(WIDTH, HEIGHT, tuple(items), f"{name}: leads in the axle")


def _across(axle: Axle, r: float, bundle: LeadBundle) -> Iterator[Item]:
    """Yield the section at the slot, where the axle has radius `r` mm, with every lead to scale."""
    yield from mounted_section(axle, r, ACROSS, ACROSS_RADIUS)
    view = View(ACROSS, (max(1, int(1000 * ACROSS_RADIUS / r)), 1000))
    if bundle.packing.hole + 2 * SLEEVE <= bundle.bore:
        sleeve = Outline.circle(ACROSS, (bundle.packing.hole / 2 + SLEEVE) * view.factor)
        yield Stroke(sleeve.segments, "hidden")
    marks = [k for k, kind in enumerate(bundle.kinds, 1) for _ in range(kind.count)]
    for mark, d, centre in zip(marks, bundle.diameters, bundle.packing.centres, strict=True):
        spot, size = view.point(centre), d * view.factor
        ring = Outline.circle(spot, size / 2)
        yield Fill((ring,), "white")
        if mark == 1:
            yield Fill((ring,), "grey")
        yield Stroke(ring.segments, "visible")
        if math.hypot(text_width(str(mark), SMALLEST_TEXT), SMALLEST_TEXT) < 0.98 * size:
            yield Text(spot.x, spot.y, SMALLEST_TEXT, str(mark), "centre", level="middle")
    yield Text(ACROSS.x, ACROSS.y + ACROSS_RADIUS + 4.0, 3.5, "across, at the wire slot", "centre")


def _legend(bundle: LeadBundle, name: str) -> Iterator[Item]:
    x, top = ACROSS.x + ACROSS_RADIUS + 12.0, ACROSS.y + ACROSS_RADIUS + 6.5
    fits = bundle.packing.hole <= bundle.bore
    lines = [f"{name}: leads through the axle", ""]
    lines += [
        f"{mark}   {k.count} × {k.name}, ⌀{k.diameter:.4g} over the insulation"
        for mark, k in enumerate(bundle.kinds, 1)
    ]
    lines += [
        "",
        f"packed tight: ⌀{bundle.packing.hole:.2f}; by hand about ⌀{bundle.hand_diameter:.1f}",
        f"bore ⌀{bundle.bore:.4g}, {100 * bundle.fill:.0f} % full; at most {100 * bundle.limit:.0f} % "
        f"for a pull of {bundle.pull:.0f} mm (NEC ch. 9)",
        f"smallest bore for these leads ⌀{bundle.smallest_bore:g}",
        f"wire slot {bundle.slot_width:.4g} × {bundle.slot_length:.4g}, "
        f"{100 * bundle.slot_fill:.0f} % full; "
        + ("the bundle passes at once" if bundle.passes_slot_at_once else "thread lead by lead"),
    ]
    if bundle.jam_ratio is not None:
        lines.append(
            f"bore over lead {bundle.jam_ratio:.2f}; three leads jam at 2.8 to 3.2 (NEC ch. 9)"
        )
    if not fits:
        lines.append("THE LEADS DO NOT FIT THE BORE")
    lines += ["", "connectors do not pass: crimp them after threading"]
    lines.append("Hall leads in a sleeve of their own: a phase that touches one kills the sensor")
    wrapped = [part for words in lines for part in wrap(words, WIDTH - x - 6.0, SMALLEST_TEXT)]
    yield from text_lines(x, top, SMALLEST_TEXT, wrapped)
