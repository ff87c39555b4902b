"""The axle seen from the side, face A at the left, the wire slot toward the reader.

Diameters, slot, grooves and flats stand in labels above it, lengths in a row below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from geometry.drafting.dimension import Station
from geometry.drafting.drawing import Item, Items, Stroke
from geometry.drafting.label import Label, Range
from geometry.drafting.symbol import centre_line
from geometry.drafting.view import GAP, Stretch, View
from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.solids import RadialSlot
from geometry.tolerance import TANGENT_ANGLE
from recipes.design.axle import Axle
from recipes.design.units import format_number
from recipes.drawing_conventions import Words, inch, plain
from recipes.shaft.axle_shape import AxleShape, FlatFace
from recipes.shaft.cross_section import (
    dimensioned,
    key_label,
    key_lines,
    side_view_keys,
    slot_mouth,
)
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.geometric_tolerance import collar_frames, key_symmetry, seat_frames
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.sections import (
    AS_BOUGHT,
    SAME,
    UNDER_SIZE,
    Feature,
    Section,
    drill_centres,
    flat_features,
    groove_features,
    thread_features,
)
from recipes.tables.retaining_rings import RetainingRing

# Where a long, thin axle may be shown shortened: in the middle of plain round stretches.

#: A stretch that is shortened keeps at least this much on the sheet, gap included, mm.
LEAST_SHOWN = 15.0

#: Halvings in the search for the length that every long stretch keeps.
_HALVINGS = 50


def plain_stretches(shape: AxleShape) -> list[Stretch]:
    """Return the stretches of one diameter and fit without slot, groove, flat or key seat, mm."""
    axle, keys = shape.axle, shape.key_seats
    cuts = [
        shape.slot,
        *groove_features(axle),
        *flat_features(axle),
        *thread_features(axle),
    ]
    spans = [(f.start, f.end) for f in cuts] + ([(keys.start, keys.end)] if keys else [])
    depth = axle.bore_depth
    marks = {0.0, axle.length, *(z for span in spans for z in span)}
    marks |= {z for s in shape.sections for z in (s.start, s.end)}
    marks |= {depth} if depth is not None else set()
    return [
        (a, b)
        for a, b in pairwise(sorted(marks))
        if b - a > SAME and not any(low < (a + b) / 2 < high for low, high in spans)
    ]


def left_out(shape: AxleShape, factor: float, room: float) -> tuple[Stretch, ...]:
    """Return what to leave out so that the axle takes `room` mm of the sheet: the longest lose most.

    Raises:
        GeometryError: it fits as it is, or even then not.
    """
    plain = plain_stretches(shape)
    rest = shape.axle.length - sum(b - a for a, b in plain)

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


#: Two edges that would lie nearer than this on the sheet, mm, are drawn as one.
APART = 0.7

#: A hidden bore narrower than this on the sheet, mm, would only blacken the view.
LEAST_BORE = 1.5


def side_view(shape: AxleShape, view: View) -> Items:
    """Return outline, edges, wire slot, flats, key seats, hidden bore and centre line.

    Args:
        shape: the axle.
        view: places the model's (z, height above the axis) on the sheet.
    """
    items: list[Item] = []
    for up in (1.0, -1.0):
        items += [view.stroke((s,), "visible") for s in _contour(shape, up)]
    items += _edge_lines(shape, view)
    items += _seat_limits(shape.sections, view)
    items += _thread_roots(shape, view)
    items += _flat_marks(shape.flat_faces, view)
    items += _hidden_bore(shape.axle, shape.profile.bore, view)
    items += _slot(shape, view)
    items += side_view_keys(shape, view)
    axis = centre_line(view.at(0.0, 0.0), view.at(shape.axle.length, 0.0))
    return (*items, axis)


def _contour(shape: AxleShape, up: float) -> Iterator[Segment]:
    """Yield the upper or lower edge of the view, lowered where a flat cuts it."""
    lowered = [(*f.cut, h) for f in shape.flat_faces if (h := f.lowers(up)) is not None]
    for s in shape.profile.outside:
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
    inside = [z for z in (a, b) if z0 + SAME < z < z1 - SAME]
    spots += [s.point_at((z - s.start.x) / (s.end.x - s.start.x)) for z in inside]
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


def _edge_lines(shape: AxleShape, view: View) -> Iterator[Stroke]:
    """Yield the circles of the body, seen as lines across it; close ones only once."""
    outside = shape.profile.outside
    spots = [outside[0].start, outside[-1].end]
    spots += [a.end for a, b in pairwise(outside) if abs(corner_turn(a, b)) > TANGENT_ANGLE]
    spots.sort(key=lambda p: (-abs(p.y), p.x))  # the highest of a close group is the one to see
    faces = (0.0, shape.axle.length)
    drawn: list[float] = []
    for p in sorted(spots, key=lambda p: p.x not in faces):
        if any(abs(p.x - z) * view.factor < APART for z in drawn):
            continue
        drawn.append(p.x)
        heights = []
        for up in (1.0, -1.0):
            cut = [
                h
                for f in shape.flat_faces
                if f.cut[0] + SAME < p.x < f.cut[1] - SAME and (h := f.lowers(up)) is not None
            ]
            heights.append(up * min([p.y, *cut]))
        yield view.line(Point(p.x, heights[0]), Point(p.x, heights[1]), "visible")


def _seat_limits(sections: Sequence[Section], view: View) -> Iterator[Stroke]:
    """Yield narrow lines where a fit ends on one diameter (ISO 129-1)."""
    for a, b in pairwise(sections):
        if abs(a.diameter - b.diameter) <= SAME and a.fit != b.fit:
            r = a.diameter / 2
            yield view.line(Point(a.end, -r), Point(a.end, r), "narrow")


def _thread_roots(shape: AxleShape, view: View) -> Iterator[Stroke]:
    """Yield the root of each thread as narrow lines (ISO 6410-1); flats take them away."""
    for e in threaded_ends(shape.axle):
        r = e.thread.root_mm / 2
        for up in (1.0, -1.0):
            spans = [(e.start, e.end)]
            for f in shape.flat_faces:
                lowered = f.lowers(up)
                if lowered is not None and lowered < r + SAME:
                    spans = [
                        (a, b)
                        for low, high in spans
                        for a, b in ((low, min(high, f.start)), (max(low, f.end), high))
                        if b - a > SAME
                    ]
            for a, b in spans:
                yield view.line(Point(a, up * r), Point(b, up * r), "narrow")


def _flat_marks(flats: Sequence[FlatFace], view: View) -> Iterator[Stroke]:
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


def _hidden_bore(axle: Axle, bore: Sequence[Segment], view: View) -> Iterator[Stroke]:
    if axle.bore_diameter * view.factor < LEAST_BORE:
        return
    yield view.stroke(bore, "hidden")
    yield view.stroke([s.mirrored() for s in bore], "hidden")
    if axle.bore_depth is not None:
        depth, r = axle.bore_depth, axle.bore_diameter / 2
        yield view.line(Point(depth, -r), Point(depth, r), "hidden")


def _slot(shape: AxleShape, view: View) -> Items:
    """Return the slot's true shape, and where the round of its mouth runs out (narrow)."""
    slot, span = shape.axle.wire_slot, shape.slot
    cut = RadialSlot(span.start, span.end, slot.width, 0.0, slot.mouth_radius)
    items = list(view.edges(cut.footprint, "visible"))
    if cut.edge_radius * view.factor >= APART:
        reach = slot_mouth(shape.axle, shape.slot_radius)[1].end.y
        z0, z1 = drill_centres(slot)
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
    high = slot.width / 2 + 1.5 / view.factor
    for z in drill_centres(slot):
        items.append(view.line(Point(z, -high), Point(z, high), "centre"))
    return tuple(items)


# What the view says.

#: Roughness of the seats (common practice: Ra 0.8 to 1.6).
BEARING_FINISH, STATOR_FINISH = "Ra 0.8", "Ra 1.6"

#: Flats are filed to the frame: never over size (common practice).
FLATS_UNDER = 0.1

#: A leader keeps this far from the ends of its section, as a share of the section and at most on the
#: sheet, mm; the leader of a frame keeps that far, mm.
INSIDE, INSIDE_MOST, OFF_END = 0.12, 2.0, 0.7


def labels(
    shape: AxleShape, view: View, words: Words, *, stacked: bool = False, framed: bool = True
) -> list[Label]:
    """Return the labels of the side view; equal diameters without a fit share one.

    Args:
        stacked: signs of surfaces stand on top of their label: narrower, taller.
        framed: with frames of tolerances; else a note says them.
    """
    found: list[Label] = []
    grouped: dict[tuple[str, float], list[Section]] = {}
    seats = 0
    for s in shape.sections:
        if s.kind == "seat":
            seats += 1
            found.append(_seat_label(shape, view, words, s, "AB"[seats - 1]))
        elif s.kind == "stator" and s.fit:
            found.append(_seat_label(shape, view, words, s, ""))
        elif s.field == AS_BOUGHT:
            grouped.setdefault(("as bought", round(s.diameter, 6)), []).append(s)
        elif s.kind != "undercut":  # the thread's label says it
            grouped.setdefault((s.kind, round(s.diameter, 6)), []).append(s)
    found += [_plain_label(shape, view, words, group) for group in grouped.values()]
    found.append(_slot_label(shape, view, words))
    found += [*_groove_labels(shape, view, words), *_flat_labels(shape, view, words)]
    symmetry = (key_symmetry(words),)
    found += [replace(label, frames=symmetry) for label in key_label(shape, view, words)]
    if not framed:
        found = [replace(label, frames=()) for label in found]
    passing = tuple(s.at.x for s in stations(shape, view, words))
    return [replace(label, stacked=stacked, passing=passing) for label in found]


def _spots(
    shape: AxleShape, view: View, sections: list[Section], inside: float | None = None
) -> tuple[Range, ...]:
    """Return where a diameter's line may cross these sections: not through slot or groove.

    Args:
        shape, view, sections: of the drawing.
        inside: from the ends of a stretch, mm on the sheet; None for a share of it.
    """
    blocked = [shape.slot, *groove_features(shape.axle), *flat_features(shape.axle)]
    keys = shape.key_seats
    if keys and dimensioned(keys, view):
        blocked.append(Feature("key seats", "axle.key_seat", keys.start, keys.end))
    free: list[Range] = []
    for s in sections:
        edge = min(INSIDE * s.length, INSIDE_MOST / view.factor) if inside is None else 0.0
        parts = [(s.start + edge, s.end - edge)]
        for b in blocked:
            parts = [
                piece
                for a, z in parts
                for piece in ((a, min(z, b.start)), (max(a, b.end), z))
                if piece[1] - piece[0] > SAME
            ]
        free += parts
    free.sort(key=lambda p: p[0] - p[1])
    if not free:  # flats or slot take it all: cross them
        free = [(s.start, s.end) for s in sections]
    off = inside or 0.0
    found = [_range(view, a, b) for a, b in free]
    return tuple((a + off, b - off) for a, b in found if b - a > 2 * off)


def _range(view: View, start: float, end: float) -> Range:
    """Return where a stretch of the axle lies on the sheet."""
    return view.at(start, 0.0).x, view.at(end, 0.0).x


def _diameter_label(
    shape: AxleShape, view: View, sections: list[Section], lines: tuple[str, ...]
) -> Label:
    r = sections[0].diameter / 2
    spots = _spots(shape, view, sections)
    return Label(spots, view.at(0.0, r).y, view.at(0.0, -r).y, lines)


def _seat_label(shape: AxleShape, view: View, words: Words, s: Section, letter: str) -> Label:
    limits = s.limits
    assert limits is not None, "asked after the rules"
    keys, lines = shape.key_seats, words.limits(limits)
    if not letter and keys and not dimensioned(keys, view):
        lines = (*lines, *key_lines(keys, view, words))
    label = _diameter_label(shape, view, [s], lines)
    finish = BEARING_FINISH if letter else STATOR_FINISH
    outline = _spots(shape, view, [s], OFF_END), label.top
    frames = seat_frames(shape, view, words, s, outline)
    return replace(label, texture=finish, frames=frames, datum=letter)


def _plain_label(shape: AxleShape, view: View, words: Words, group: list[Section]) -> Label:
    s = group[0]
    if s.field == AS_BOUGHT:
        lines = (*words.lines(s.diameter, "⌀"), f"{shape.axle.stock} as bought")
        return _diameter_label(shape, view, group, lines)
    times = f"{len(group)} × " if len(group) > 1 else ""
    if s.kind == "thread":
        return _diameter_label(shape, view, group, _thread_lines(shape, words, s))
    if s.kind == "shoulder":
        label = _diameter_label(shape, view, group, words.lines(s.diameter, "⌀"))
        return replace(label, frames=collar_frames(shape, view, words))
    return _diameter_label(
        shape, view, group, words.under_size(s.diameter, f"{times}⌀", UNDER_SIZE)
    )


def _thread_lines(shape: AxleShape, words: Words, section: Section) -> tuple[str, ...]:
    """Return name and class of a thread, the limits that are turned before it is cut, its undercut."""
    end = next(e for e in threaded_ends(shape.axle) if f"{e.field}.thread" == section.field)
    high, low = end.thread.major_max_mm, end.thread.major_min_mm
    lines = [end.thread.designation, f"⌀{format_number(high, 2)} / {format_number(low, 2)}"]
    if words.inches:
        lines.append(f"[{inch(high)} / {inch(low)}]")
    if end.undercut:
        lines += words.lines(end.thread.undercut_mm, "DIN 76-A ⌀")
    return tuple(lines)


def _slot_label(shape: AxleShape, view: View, words: Words) -> Label:
    """Return the label of the slot; its arrow stands on the upper edge, where it is straight."""
    slot = shape.axle.wire_slot
    r, (near, far) = slot.width / 2, drill_centres(slot)
    if words.inches:
        rounds = [words.size(r, "ends R"), words.size(slot.mouth_radius, "mouth R")]
    else:
        rounds = [f"ends R{plain(r)}, mouth R{plain(slot.mouth_radius)}"]
    lines = [*words.pair("slot ", slot.width, slot.length), *rounds]
    return Label((_range(view, near, max(near, far)),), view.at(0.0, r).y, None, tuple(lines))


def _groove_labels(shape: AxleShape, view: View, words: Words) -> Iterator[Label]:
    groups: dict[tuple[float, float, RetainingRing | None], list[Range]] = {}
    for g in sorted(ring_grooves(shape.axle), key=lambda g: g.from_face):
        key = round(g.width, 6), round(g.diameter, 6), g.ring
        groups.setdefault(key, []).append(_range(view, g.from_face, g.end))
    for (width, diameter, ring), spots in groups.items():
        times = f"{len(spots)} × " if len(spots) > 1 else ""
        lines = (*words.lines(width, f"{times}groove "), *words.lines(diameter, "⌀"))
        if ring:
            lines = (
                *words.lines(width, f"{times}groove ", f" +{plain(ring.width_over_mm)}/0"),
                *words.under_size(diameter, "⌀", ring.groove_under_mm),
                f"ring {ring.designation}",
            )
        yield Label(
            tuple(spots), view.at(0.0, diameter / 2).y, view.at(0.0, -diameter / 2).y, lines
        )


def _flat_labels(shape: AxleShape, view: View, words: Words) -> Iterator[Label]:
    for f, cut in zip(flat_features(shape.axle), shape.axle.flats, strict=True):
        here = [
            face
            for face in shape.flat_faces
            if face.start >= f.start - SAME and face.end <= f.end + SAME
        ]
        edge = here[0].radius
        lowered = [h for face in here[:2] if (h := face.lowers(1.0)) is not None]
        facing = f"facing {plain(cut.angle)}° / {plain((cut.angle + 180.0) % 360.0)}°"
        lines = ("2 flats", *words.under_size(cut.across, "", FLATS_UNDER), facing)
        yield Label(
            (_range(view, here[0].start, here[0].end),),
            view.at(0.0, min([edge, *lowered])).y,
            None,
            lines,
        )


def stations(shape: AxleShape, view: View, words: Words) -> list[Station]:
    """Return every length from face A, rising: turned steps, grooves, slot and flats."""
    heights: dict[float, float] = {}
    steps = [(z, p.diameter) for p in shape.pieces for z in (p.start, p.end)]
    steps += [
        (z, s.diameter) for s in shape.sections if s.field != AS_BOUGHT for z in (s.start, s.end)
    ]
    for g in ring_grooves(shape.axle):
        steps += [(g.from_face, g.diameter), (g.end, g.diameter)]
    for z, d in steps:
        key = _key(heights, z)
        heights[key] = max(heights.get(key, 0.0), d / 2)
    for f in flat_features(shape.axle):
        for z in (f.start, f.end):
            beside = [p for p in shape.pieces if p.start <= z + SAME and p.end >= z - SAME]
            heights.setdefault(_key(heights, z), max(p.diameter for p in beside) / 2)
    keys = shape.key_seats
    if keys and dimensioned(keys, view):
        for z in (keys.start, keys.end):
            heights.setdefault(_key(heights, z), keys.radius)
    for z in (shape.slot.start, shape.slot.end):
        heights.setdefault(_key(heights, z), 0.0)
    return [Station(view.at(z, -r), words.size(z)) for z, r in sorted(heights.items())]


def _key(known: dict[float, float], z: float) -> float:
    """Return the length among those known that `z` repeats within rounding noise, else `z`."""
    return next((k for k in known if abs(k - z) <= SAME), z)
