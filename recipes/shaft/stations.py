"""The axle cut into stretches of one section each, and its notches, for strength.

A stretch is round, slotted or flatted from end to end; a notch stands at one place of it. Left
out: edge breaks, the round of the slot's mouth (1 % of the area in the worked designs), and the
drill point of a blind bore, which counts as bore.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geometry.segment import Arc
from recipes.design.axle import Axle
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.corner import corner_band, seat_band
from recipes.shaft.end_thread import thread_at, threaded_ends
from recipes.shaft.notch_factor import (
    FLAT_END,
    GROOVE,
    KEY_SEAT,
    PLAIN,
    Notch,
    step,
    thread_notch,
)
from recipes.shaft.profile import foot_kind
from recipes.shaft.sections import (
    SAME,
    Section,
    axle_bearing,
    bore_end,
    flat_features,
    slot_feature,
)
from recipes.shaft.tube_section import FlatSection, Shape, TubeSection
from recipes.tables.axle_steel import axle_steel_of

#: Root of a step that is all lead-in chamfer: the nose of the tool, mm (common practice).
TOOL_NOSE = 0.2

#: Root radius that the first-pass factors of groove, key seat and flat assume, as a share of the
#: diameter (Shigley section 7-4: r/d 0.02).
ROOT_SHARE = 0.02


@dataclass(frozen=True)
class Station:
    """One place at which strength is asked.

    Args:
        z: from face A in mm.
        side: where forces count, -1 before z, +1 behind it, 0 the larger.
        shape, facing: nominal section and the direction of its x axis in degrees, as the design
            counts.
        name, field: for the reader, and the design field that shapes it.
        notch: its factors.
        slotted: whether the wire slot runs through it.
    """

    z: float
    side: int
    shape: Shape
    facing: float
    name: str
    field: str
    notch: Notch = PLAIN
    slotted: bool = False


@dataclass(frozen=True)
class Stretch:
    """A part of the axle with one section, `start` to `end` in mm; the rest as of `Station`."""

    start: float
    end: float
    shape: Shape
    facing: float
    name: str
    field: str
    slotted: bool = False

    def stations(self, points: int) -> Iterator[Station]:
        """Yield so many points of it, its ends included, each with the forces inside it."""
        for k in range(points):
            last = k == points - 1
            z = self.start + (self.end - self.start) * k / (points - 1)
            yield Station(
                self.end if last else z,
                -1 if last else 1,
                self.shape,
                self.facing,
                self.name,
                self.field,
                slotted=self.slotted,
            )


def bore_at(axle: Axle, z: float) -> float:
    """Return the bore's diameter at `z`, 0 beyond its end; both in mm."""
    return axle.bore_diameter if z < bore_end(axle) else 0.0


def name_at(sections: tuple[Section, ...], z: float) -> str:
    """Return the name of the turned section that `z` lies in."""
    k, s = next((k, s) for k, s in enumerate(sections) if s.start - SAME <= z <= s.end + SAME)
    return {
        "seat": f"bearing seat {1 + sum(q.kind == 'seat' for q in sections[:k])}",
        "end": f"end at face {'A' if k == 0 else 'B'}",
        "land": f"land at {s.start:.4g} to {s.end:.4g} mm",
        "stator": "stator seat",
        "shoulder": "collar",
        "thread": f"thread at face {'A' if k == 0 else 'B'}",
        "undercut": "undercut of the thread",
    }[s.kind]


def stretches(body: AxleShape, *extra: float) -> list[Stretch]:
    """Return the stretches from face A to face B, cut at further places (mm) as well."""
    span, length = slot_feature(body.axle), body.axle.length
    cuts = {0.0, length, bore_end(body.axle), span.start, span.end, *extra}
    cuts |= {z for p in body.pieces for z in (p.start, p.end)}
    cuts |= {z for s in body.sections for z in (s.start, s.end)}
    cuts |= {z for f in flat_features(body.axle) for z in (f.start, f.end)}
    places = [z for z in sorted(cuts) if 0.0 <= z <= length]
    apart = [z for k, z in enumerate(places) if not k or z - places[k - 1] > SAME]
    return [_stretch(body, a, b) for a, b in pairwise(apart)]


def _stretch(body: AxleShape, start: float, end: float) -> Stretch:
    axle, z = body.axle, (start + end) / 2
    piece = next(p for p in body.pieces if p.start <= z <= p.end)
    span, slot = slot_feature(axle), axle.wire_slot
    if span.start < z < span.end:
        tube = TubeSection(piece.diameter, axle.bore_diameter, slot.width)
        return Stretch(start, end, tube, slot.angle, "wire slot", "axle.wire_slot", True)
    bore, thread = bore_at(axle, z), thread_at(axle, z)
    outside = piece.diameter if thread is None else thread.root_mm
    for feature, cut in zip(flat_features(axle), axle.flats, strict=True):
        if feature.start < z < feature.end and cut.across < outside - SAME:
            flats = FlatSection(outside, bore, cut.across)
            return Stretch(start, end, flats, cut.angle, feature.name, feature.field)
    name = "groove" if piece.first == "groove" else name_at(body.sections, z)
    return Stretch(start, end, TubeSection(outside, bore), 0.0, name, piece.field)


def notches(body: AxleShape) -> list[Station]:
    """Return every notch but the ends of the wire slot, from face A to face B."""
    found = [*_steps(body), *_grooves(body), *_flat_ends(body), *_key_seat(body)]
    found += _threads(body)
    return sorted(found, key=lambda n: (n.z, n.name))


def _steps(body: AxleShape) -> Iterator[Station]:
    """Yield the foot of every step, its round as sharp as the drawing allows."""
    arcs = [s for s in body.profile.outside if isinstance(s, Arc)]
    at_seat = seat_band(body.axle, axle_bearing(body.axle.bearing))
    for a, b in pairwise(body.pieces):
        if "groove" in (a.last, b.first):
            continue
        low, high = (a, b) if a.diameter < b.diameter else (b, a)
        rounds = [
            s.start.distance(s.center)
            for s in arcs
            if any(abs(p.x - a.end) <= SAME for p in (s.start, s.end))
        ]
        kind = foot_kind(a, b)
        band = corner_band(kind, at_seat)
        sharper = 1.0 if kind == "undercut" else band.low / band.middle  # DIN 76-1 gives a least
        sharp = min(rounds) * sharper if rounds else TOOL_NOSE
        notch = step(high.diameter, low.diameter, sharp)
        side = -1 if low is a else 1
        name = name_at(body.sections, a.end + side * 1e3 * SAME)
        beside = "a land" if name.startswith("land") else name
        tube = TubeSection(low.diameter, bore_at(body.axle, a.end))
        yield Station(a.end, side, tube, 0.0, f"step beside {beside}", low.field, notch)


def _grooves(body: AxleShape) -> Iterator[Station]:
    for p in body.pieces:
        if p.first == "groove":
            z, notch = (p.start + p.end) / 2, Notch(*GROOVE, ROOT_SHARE * p.diameter)
            tube = TubeSection(p.diameter, bore_at(body.axle, z))
            yield Station(z, 0, tube, 0.0, "groove", p.field, notch)


def _threads(body: AxleShape) -> Iterator[Station]:
    """Yield both ends of every thread: a notch right along it, so bending is largest at one of them."""
    notch = thread_notch(axle_steel_of(body.axle).tensile_MPa)
    for e in threaded_ends(body.axle):
        for z, side in ((e.start, 1), (e.end, -1)):
            tube = TubeSection(e.thread.root_mm, bore_at(body.axle, z + side * 1e3 * SAME))
            name = f"thread at face {e.face}"
            yield Station(z, side, tube, 0.0, name, f"{e.field}.thread", notch)


def _flat_ends(body: AxleShape) -> Iterator[Station]:
    for s in stretches(body):
        if isinstance(s.shape, FlatSection):
            notch = Notch(*FLAT_END, ROOT_SHARE * s.shape.across)
            for z, side in ((s.start, 1), (s.end, -1)):
                if SAME < z < body.axle.length - SAME:
                    yield Station(z, side, s.shape, s.facing, f"end of {s.name}", s.field, notch)


def _key_seat(body: AxleShape) -> Iterator[Station]:
    """Yield both ends of the key seats; what lies between carries no more torque, and bends less."""
    if body.key_seats is None:
        return
    seats, size = body.key_seats, 2 * body.key_seats.radius
    notch, name = Notch(*KEY_SEAT, ROOT_SHARE * size), "key seat in the stator seat"
    for z, side in ((seats.start, 1), (seats.end, -1)):
        tube = TubeSection(size, bore_at(body.axle, z + side * 1e3 * SAME))
        yield Station(z, side, tube, 0.0, name, "hub.keyway", notch)
