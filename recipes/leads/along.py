"""The axle cut along its wire slot, with the leads from the coils to the controller.

Axle and slot are to scale, the slot turned up; loop, clamp and bends are drawn for reading.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Item, Stroke, Text, box, line
from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.hatch import hatch
from geometry.sheet.leader import leader
from geometry.sheet.symbol import centre_line
from geometry.sheet.view import View
from recipes.axle.cross import slot_radius
from recipes.axle.profile import axle_pieces, mouth_radius
from recipes.axle.sections import slot_feature
from recipes.job import Job
from recipes.leads.bundle import LeadBundle
from recipes.leads.path import Pen, band

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
        job: the design.
        view: places (z, height above the axis) on the sheet.
        end: where the axle is broken off, mm from face A.
        half: half the bundle on the sheet, mm.
    """

    job: Job
    view: View
    end: float
    half: float


def leads_along(job: Job, bundle: LeadBundle) -> Iterator[Item]:
    """Yield the view along the axle with its notes."""
    span, pieces = slot_feature(job), axle_pieces(job)
    end = min(span.end + 0.4 * (span.end - span.start) + 2.0, job.design.axle.length)
    reach = max(p.diameter for p in pieces if p.start < end) / 2
    wide = min(bundle.hand_diameter, bundle.bore)
    k = min((RIGHT - FACE) / end, REACH / reach, 2 * HALF / wide)
    view = View(Point(FACE, AXIS), (max(1, int(1000 * k)), 1000))
    on = Along(job, view, end, wide / 2 * view.factor)
    yield from _walls(on)
    yield centre_line(view.at(0.0, 0.0), view.at(end, 0.0))
    before, inside, out = _path(on)
    for run in (before, inside, out):
        yield from band(run, on.half, "visible")
    yield from band((_part(out[-1], 0.0, 0.75),), on.half + SLEEVE_SHOWN, "hidden")
    at_face = Line(Point(FACE - 6.0, AXIS), Point(FACE + 8.0, AXIS))
    yield from band((at_face,), on.half + SLEEVE_SHOWN, "hidden")
    yield from _clamp(on)
    yield from _notes(on, before, out)


def _walls(on: Along) -> Iterator[Item]:
    """Yield the cut faces beside the bore, hatched; the upper one has the slot in it."""
    span, bore = slot_feature(on.job), on.job.design.axle.bore_diameter / 2
    edge, mouth = on.job.design.axle.wire_slot.mouth_radius, mouth_radius(on.job)
    top = slot_radius(on.job)
    corners = [
        p
        for piece in axle_pieces(on.job)
        if piece.start < on.end
        for p in (
            Point(piece.start, piece.diameter / 2),
            Point(min(piece.end, on.end), piece.diameter / 2),
        )
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
    room = (_bore(on) - on.half * math.cos(rise)) / (1.0 - math.cos(rise))
    radius = max(1.05 * on.half, min(2.5 * bend, room))
    tangent = radius * math.tan(rise / 2)
    inside = Pen(pen.at, 0.0).ahead(foot - tangent - pen.at.x).turn(rise, radius)
    out = Pen(inside.at, rise).ahead((AXIS + REACH + 11.0 - inside.at.y) / math.sin(rise))
    return pen.run, inside.run, out.run


def _bore(on: Along) -> float:
    return on.job.design.axle.bore_diameter / 2 * on.view.factor


def _rise(on: Along) -> tuple[float, float]:
    """Return the flattest angle (rad) at which the bundle clears the slot, and where it starts.

    The upper edge of the bundle passes the slot's near end at the bore, the lower edge its far
    end outside; the second figure is x on the sheet where the middle line would meet the axis.
    """
    span, k = slot_feature(on.job), on.view.factor
    wall = slot_radius(on.job) * k - _bore(on)
    length = (span.end - span.start) * k
    near = on.view.at(span.start, 0.0).x
    for degrees in range(35, 91, 5):
        rise = math.radians(degrees)
        taken = wall / math.tan(rise) + 2 * on.half / math.sin(rise)
        if taken <= length or degrees == 90:
            break
    slack = max(0.0, length - taken) / 2
    spot = Point(near + slack, _bore(on)).plus(Point.polar(on.half, rise - math.pi / 2))
    return rise, spot.x - spot.y / math.tan(rise)


def _part(edge: Segment, low: float, high: float) -> Segment:
    """Return a part of a straight edge, by shares of its length."""
    step = edge.end.minus(edge.start)
    return Line(edge.start.plus(step, low), edge.start.plus(step, high))


def _clamp(on: Along) -> Iterator[Item]:
    """Yield the clamp on the frame that holds the leads before face A."""
    x = FACE - CLAMP_ROOM / 2 - CLAMP / 2
    for up in (1.0, -1.0):
        low, high = sorted((AXIS + up * on.half, AXIS + up * (on.half + 3.0)))
        yield box(x, low, x + CLAMP, high, "visible")


def _notes(on: Along, before: Run, out: Run) -> Iterator[Item]:
    """Yield what every part is called."""
    slot, span = on.job.design.axle.wire_slot, slot_feature(on.job)
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
    mouth, bore = mouth_radius(on.job), on.job.design.axle.bore_diameter / 2
    spot = on.view.at(0.3 * mouth, bore + 0.3 * mouth)
    yield from leader(spot, Point(FACE + 2.0, high + 19.0), f"bore mouth R{mouth:.3g}")
    edge, words = 0.3 * slot.mouth_radius, f"slot mouth R{slot.mouth_radius:.3g}"
    tip = on.view.at(span.start - edge, slot_radius(on.job) - edge)
    if tip.x - FACE > 40.0:
        yield from leader(tip, Point(tip.x - 4.0, high + 5.0), words, side=-1)
    else:  # a short way: the far mouth has more room beside it
        tip = on.view.at(span.end + edge, slot_radius(on.job) - edge)
        yield from leader(tip, Point(tip.x + 8.0, high + 5.0), words)
    broken = on.view.at(on.end, 0.0).x
    if on.end < on.job.design.axle.length:
        for up in (1.0, -1.0):
            y = AXIS + up * (slot_radius(on.job) * on.view.factor + _bore(on)) / 2
            yield line(Point(broken, y - 1.5), Point(broken + 1.5, y + 1.5))
