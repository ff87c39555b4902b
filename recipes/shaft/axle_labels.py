"""What the side view says: diameters, slot, grooves and flats in labels, lengths in a row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geometry.drafting.dimension_layout import Station
from geometry.drafting.label_row import Label, Range
from geometry.drafting.view import View
from recipes.drawing_conventions import Words, plain
from recipes.job import Job
from recipes.shaft.cross_section import dimensioned, flat_faces, key_label, key_lines
from recipes.shaft.sections import (
    SAME,
    UNDER_SIZE,
    Feature,
    Section,
    flat_features,
    groove_features,
    slot_feature,
)

#: Run-out of each seat to the axis of both bearing seats, mm (common practice, from memory).
RUN_OUT = "0.02"

#: Roughness of the seats (common practice: Ra 0.8 to 1.6).
BEARING_FINISH, STATOR_FINISH = "Ra 0.8", "Ra 1.6"

#: Flats are filed to the frame: never over size (common practice).
FLATS_UNDER = 0.1

#: A leader keeps this far from the ends of its section, as a share of the section.
INSIDE = 0.12


def labels(job: Job, view: View, words: Words, *, stacked: bool = False) -> list[Label]:
    """Return the labels of the side view; equal diameters without a fit share one.

    Args:
        stacked: signs of surfaces stand on top of their label: narrower, taller.
    """
    found: list[Label] = []
    grouped: dict[tuple[str, float], list[Section]] = {}
    seats = 0
    for s in job.sections:
        if s.kind == "seat":
            seats += 1
            found.append(_seat(job, view, words, s, "AB"[seats - 1]))
        elif s.kind == "stator":
            found.append(_seat(job, view, words, s, ""))
        else:
            grouped.setdefault((s.kind, round(s.diameter, 6)), []).append(s)
    found += [_plain(job, view, words, group) for group in grouped.values()]
    found.append(_slot(job, view, words))
    found += [*_grooves(job, view, words), *_flats(job, view, words)]
    found += key_label(job, view, words)
    return [replace(label, stacked=stacked) for label in found]


def _spots(job: Job, view: View, sections: list[Section]) -> tuple[Range, ...]:
    """Return where a diameter's line may cross these sections: not through slot or groove."""
    blocked = [
        slot_feature(job.design.axle),
        *groove_features(job.design.axle),
        *flat_features(job.design.axle),
    ]
    keys = job.key_seats
    if keys and dimensioned(keys, view):
        blocked.append(Feature("key seats", "axle.key_seat", keys.start, keys.end))
    free: list[Range] = []
    for s in sections:
        edge = INSIDE * s.length
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
    return tuple((view.at(a, 0.0).x, view.at(b, 0.0).x) for a, b in free)


def _diameter(job: Job, view: View, sections: list[Section], lines: tuple[str, ...]) -> Label:
    r = sections[0].diameter / 2
    spots = _spots(job, view, sections)
    return Label(spots, view.at(0.0, r).y, view.at(0.0, -r).y, lines)


def _seat(job: Job, view: View, words: Words, s: Section, letter: str) -> Label:
    limits = s.limits
    assert limits is not None, "asked after the rules"
    keys, lines = job.key_seats, words.limits(limits)
    if not letter and keys and not dimensioned(keys, view):
        lines = (*lines, *key_lines(job, view, words))
    label = _diameter(job, view, [s], lines)
    finish = BEARING_FINISH if letter else STATOR_FINISH
    return replace(label, texture=finish, frame=(RUN_OUT, "A-B"), datum=letter)


def _plain(job: Job, view: View, words: Words, group: list[Section]) -> Label:
    s = group[0]
    times = f"{len(group)} × " if len(group) > 1 else ""
    if s.kind == "shoulder":
        return _diameter(job, view, group, words.lines(s.diameter, "⌀"))
    return _diameter(job, view, group, words.under_size(s.diameter, f"{times}⌀", UNDER_SIZE))


def _slot(job: Job, view: View, words: Words) -> Label:
    """Return the label of the slot; its arrow stands on the upper edge, where it is straight."""
    slot, span = job.design.axle.wire_slot, slot_feature(job.design.axle)
    r = slot.width / 2
    at = (span.start + r, max(span.end - r, span.start + r))
    if words.inches:
        rounds = [words.size(r, "ends R"), words.size(slot.mouth_radius, "mouth R")]
    else:
        rounds = [f"ends R{plain(r)}, mouth R{plain(slot.mouth_radius)}"]
    lines = [*words.pair("slot ", slot.width, slot.length), *rounds]
    spots = ((view.at(at[0], 0.0).x, view.at(at[1], 0.0).x),)
    return Label(spots, view.at(0.0, r).y, None, tuple(lines))


def _grooves(job: Job, view: View, words: Words) -> Iterator[Label]:
    grooves = zip(groove_features(job.design.axle), job.design.axle.grooves, strict=True)
    groups: dict[tuple[float, float], list[Range]] = {}
    for f, g in sorted(grooves, key=lambda pair: pair[0].start):
        spot = (view.at(f.start, 0.0).x, view.at(f.end, 0.0).x)
        groups.setdefault((round(g.width, 6), round(g.diameter, 6)), []).append(spot)
    for (width, diameter), spots in groups.items():
        times = f"{len(spots)} × " if len(spots) > 1 else ""
        lines = (*words.lines(width, f"{times}groove "), *words.lines(diameter, "⌀"))
        yield Label(
            tuple(spots), view.at(0.0, diameter / 2).y, view.at(0.0, -diameter / 2).y, lines
        )


def _flats(job: Job, view: View, words: Words) -> Iterator[Label]:
    faces = flat_faces(job)
    for f, cut in zip(flat_features(job.design.axle), job.design.axle.flats, strict=True):
        here = [face for face in faces if face.start >= f.start - SAME and face.end <= f.end + SAME]
        spots = tuple((view.at(a.start, 0.0).x, view.at(a.end, 0.0).x) for a in here[::2])
        edge = here[0].radius
        lowered = [h for face in here[:2] if (h := face.lowers(1.0)) is not None]
        facing = f"facing {plain(cut.angle)}° / {plain((cut.angle + 180.0) % 360.0)}°"
        lines = ("2 flats", *words.under_size(cut.across, "", FLATS_UNDER), facing)
        yield Label(spots[:1], view.at(0.0, min([edge, *lowered])).y, None, lines)


def stations(job: Job, view: View, words: Words) -> list[Station]:
    """Return every length from face A, rising: turned steps, grooves, slot and flats."""
    heights: dict[float, float] = {}
    sections = job.sections
    steps = [(s.start, s.diameter) for s in sections] + [(s.end, s.diameter) for s in sections]
    for f, g in zip(groove_features(job.design.axle), job.design.axle.grooves, strict=True):
        steps += [(f.start, g.diameter), (f.end, g.diameter)]
    for z, d in steps:
        key = _key(heights, z)
        heights[key] = max(heights.get(key, 0.0), d / 2)
    for f in flat_features(job.design.axle):
        for z in (f.start, f.end):
            r = max(p.diameter for p in job.pieces if p.start <= z + SAME and p.end >= z - SAME) / 2
            heights.setdefault(_key(heights, z), r)
    keys = job.key_seats
    if keys and dimensioned(keys, view):
        for z in (keys.start, keys.end):
            heights.setdefault(_key(heights, z), keys.radius)
    span = slot_feature(job.design.axle)
    for z in (span.start, span.end):
        heights.setdefault(_key(heights, z), 0.0)
    return [Station(view.at(z, -r), words.size(z)) for z, r in sorted(heights.items())]


def _key(known: dict[float, float], z: float) -> float:
    """Return the length among those known that `z` repeats within rounding noise, else `z`."""
    return next((k for k in known if abs(k - z) <= SAME), z)
