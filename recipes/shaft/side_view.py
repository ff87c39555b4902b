"""The axle seen from the side, face A at the left, the wire slot toward the reader."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from geometry.drafting.broken_view import GAP, Stretch
from geometry.drafting.drawing import Item, Items, Stroke
from geometry.drafting.symbol import centre_line
from geometry.drafting.view import View
from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.solid.cut import RadialSlot
from geometry.tolerance import TANGENT_ANGLE
from recipes.job import Job
from recipes.shaft.cross_section import (
    FlatFace,
    flat_faces,
    side_view_keys,
    slot_corner,
    slot_radius,
)
from recipes.shaft.sections import SAME, flat_features, groove_features, slot_feature

# Where a long, thin axle may be shown shortened: in the middle of plain round stretches.

#: A stretch that is shortened keeps at least this much on the sheet, gap included, mm.
LEAST_SHOWN = 15.0

#: Halvings in the search for the length that every long stretch keeps.
_HALVINGS = 50


def plain_stretches(job: Job) -> list[Stretch]:
    """Return the stretches of one diameter and fit without slot, groove, flat or key seat, mm."""
    cuts = [
        slot_feature(job.design.axle),
        *groove_features(job.design.axle),
        *flat_features(job.design.axle),
    ]
    spans = [(f.start, f.end) for f in cuts]
    if (keys := job.key_seats) is not None:
        spans.append((keys.start, keys.end))
    depth = job.design.axle.bore_depth
    marks = {0.0, job.design.axle.length, *(z for span in spans for z in span)}
    marks |= {z for s in job.sections for z in (s.start, s.end)}
    marks |= {depth} if depth is not None else set()
    return [
        (a, b)
        for a, b in pairwise(sorted(marks))
        if b - a > SAME and not any(low < (a + b) / 2 < high for low, high in spans)
    ]


def left_out(job: Job, factor: float, room: float) -> tuple[Stretch, ...]:
    """Return what to leave out so that the axle takes `room` mm of the sheet: the longest lose most.

    Raises:
        GeometryError: it fits as it is, or even then not.
    """
    plain = plain_stretches(job)
    rest = job.design.axle.length - sum(b - a for a, b in plain)

    def shown(most: float) -> float:
        return rest + sum(min(b - a, most) for a, b in plain)

    low, high = LEAST_SHOWN / factor, max(b - a for a, b in plain)
    if shown(high) * factor <= room or shown(low) * factor > room:
        raise GeometryError("the axle need not or cannot be shortened to this", value=room)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if shown(middle) * factor <= room else (low, middle)
    gap = GAP / factor
    cuts = []
    for a, b in plain:
        if b - a > low + gap:
            kept = (low - gap) / 2
            cuts.append((a + kept, b - kept))
    return tuple(cuts)


def radius_at(job: Job, z: float) -> float:
    """Return the outer radius of the axle at `z` mm from face A."""
    return next(p.diameter for p in job.pieces if p.start <= z <= p.end) / 2


#: Two edges that would lie nearer than this on the sheet, mm, are drawn as one.
APART = 0.7

#: A hidden bore narrower than this on the sheet, mm, would only blacken the view.
LEAST_BORE = 1.5


def side_view(job: Job, view: View) -> Items:
    """Return outline, edges, wire slot, flats, key seats, hidden bore and centre line.

    Args:
        view: places the model's (z, height above the axis) on the sheet.
    """
    flats = flat_faces(job)
    items: list[Item] = []
    for up in (1.0, -1.0):
        items += [view.stroke((s,), "visible") for s in _contour(job, flats, up)]
    items += _edge_lines(job, view, flats)
    items += _seat_limits(job, view)
    items += _flat_marks(view, flats)
    items += _hidden_bore(job, view)
    items += _slot(job, view)
    items += side_view_keys(job, view)
    axis = centre_line(view.at(0.0, 0.0), view.at(job.design.axle.length, 0.0))
    return (*items, axis)


def slot_cut(job: Job) -> RadialSlot:
    """Return the wire slot with its direction as in the drawing: 0."""
    slot, span = job.design.axle.wire_slot, slot_feature(job.design.axle)
    return RadialSlot(span.start, span.end, slot.width, 0.0, slot.mouth_radius)


def _contour(job: Job, flats: tuple[FlatFace, ...], up: float) -> Iterator[Segment]:
    """Yield the upper or lower edge of the view, lowered where a flat cuts it."""
    lowered = [(*f.cut, h) for f in flats if (h := f.lowers(up)) is not None]
    for s in job.profile.outside:
        for part in _lowered(s, lowered):
            yield part if up > 0 else part.mirrored()


def _lowered(s: Segment, flats: list[tuple[float, float, float]]) -> Iterator[Segment]:
    """Yield one edge of the outside, cut down to the height of flats that lie under it."""
    z0, z1 = s.box()[0], s.box()[2]
    here = [
        (a, b, h) for a, b, h in flats if a < z1 - SAME and b > z0 + SAME and h < s.box()[3] - SAME
    ]
    if not here:
        yield s
        return
    a, b, height = here[0]
    if isinstance(s, Arc):
        return  # a round on an edge that the flat takes away
    rest = [flat for flat in flats if flat != here[0]]
    spots = [s.start]
    spots += [_at(s, z) for z in (a, b) if z0 + SAME < z < z1 - SAME]
    if (s.start.y - height) * (s.end.y - height) < 0:
        spots.append(s.point_at((height - s.start.y) / (s.end.y - s.start.y)))
    spots = [*sorted(spots, key=lambda p: p.distance(s.start)), s.end]
    for p, q in pairwise(spots):
        middle = Point((p.x + q.x) / 2, (p.y + q.y) / 2)
        if not (a < middle.x < b and middle.y > height):
            yield from _lowered(Line(p, q), rest)
            continue
        if p.x == q.x:  # the face of a step, of which the flat leaves what is lower
            foot = min(p, q, key=lambda e: e.y)
            if foot.y > height + SAME:
                yield Line(Point(p.x, height), foot)
            continue
        low = Line(Point(p.x, height), Point(q.x, height))
        for end in (p, q):
            if end.y > height + SAME and any(abs(end.x - z) <= SAME for z in (a, b)):
                yield Line(Point(end.x, height), end)
        yield low


def _at(s: Line, z: float) -> Point:
    return s.point_at((z - s.start.x) / (s.end.x - s.start.x))


def _edge_lines(job: Job, view: View, flats: tuple[FlatFace, ...]) -> Iterator[Stroke]:
    """Yield the circles of the body, seen as lines across it; close ones only once."""
    outside = job.profile.outside
    spots = [outside[0].start, outside[-1].end]
    spots += [a.end for a, b in pairwise(outside) if abs(corner_turn(a, b)) > TANGENT_ANGLE]
    spots.sort(key=lambda p: (-abs(p.y), p.x))  # the highest of a close group is the one to see
    faces = (0.0, job.design.axle.length)
    drawn: list[float] = []
    for p in sorted(spots, key=lambda p: p.x not in faces):
        if any(abs(p.x - z) * view.factor < APART for z in drawn):
            continue
        drawn.append(p.x)
        heights = []
        for up in (1.0, -1.0):
            cut = [
                h
                for f in flats
                if f.cut[0] + SAME < p.x < f.cut[1] - SAME and (h := f.lowers(up)) is not None
            ]
            heights.append(up * min([p.y, *cut]))
        yield view.line(Point(p.x, heights[0]), Point(p.x, heights[1]), "visible")


def _seat_limits(job: Job, view: View) -> Iterator[Stroke]:
    """Yield narrow lines where a fit ends on one diameter (ISO 129-1)."""
    for a, b in pairwise(job.sections):
        if abs(a.diameter - b.diameter) <= SAME and a.fit != b.fit:
            r = a.diameter / 2
            yield view.line(Point(a.end, -r), Point(a.end, r), "narrow")


def _flat_marks(view: View, flats: tuple[FlatFace, ...]) -> Iterator[Stroke]:
    """Yield the edges of flats that face the reader, and the narrow cross that marks a flat."""
    for f in flats:
        heights = f.edge_heights
        if f.faces_viewer:
            for y in heights:
                yield view.line(Point(f.start, y), Point(f.end, y), "visible")
        if f.faces_viewer and len(heights) == 2:
            low, high = heights
            for z in (f.start, f.end):
                yield view.line(Point(z, low), Point(z, high), "visible")
            yield view.line(Point(f.start, low), Point(f.end, high), "narrow")
            yield view.line(Point(f.start, high), Point(f.end, low), "narrow")


def _hidden_bore(job: Job, view: View) -> Iterator[Stroke]:
    if job.design.axle.bore_diameter * view.factor < LEAST_BORE:
        return
    bore = job.profile.bore
    yield view.stroke(bore, "hidden")
    yield view.stroke([s.mirrored() for s in bore], "hidden")
    depth = job.design.axle.bore_depth
    if depth is not None:
        r = job.design.axle.bore_diameter / 2
        yield view.line(Point(depth, -r), Point(depth, r), "hidden")


def _slot(job: Job, view: View) -> Items:
    """Return the slot's true shape, and where the round of its mouth runs out (narrow)."""
    cut = slot_cut(job)
    items = list(view.edges(cut.footprint, "visible"))
    if cut.mouth_radius * view.factor >= APART:
        reach = slot_corner(job, slot_radius(job)).end.y
        r = cut.width / 2
        z0, z1 = cut.z_start + r, cut.z_end - r
        a, b, c, d = Point(z0, -reach), Point(z1, -reach), Point(z1, reach), Point(z0, reach)
        loop = Outline(
            (
                Line(a, b),
                Arc(b, c, Point(z1, 0.0), True),
                Line(c, d),
                Arc(d, a, Point(z0, 0.0), True),
            )
        )
        items += view.edges(loop, "narrow")
    for z in (cut.z_start + cut.width / 2, cut.z_end - cut.width / 2):
        high = cut.width / 2 + 1.5 / view.factor
        items.append(view.line(Point(z, -high), Point(z, high), "centre"))
    return tuple(items)


def half_height(job: Job) -> float:
    """Return the largest radius of the axle, mm."""
    return max(s.box()[3] for s in job.profile.outside)
