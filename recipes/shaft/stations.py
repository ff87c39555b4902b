"""The axle cut into stretches of one section each, and its notches, for strength.

A stretch is round, slotted or flatted from end to end; a notch stands at one place of it. Left
out: edge breaks, the round of the slot's mouth (1 % of the area in the worked designs), and the
drill point of a blind bore, which counts as bore.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from geometry.segment import Arc
from recipes.job import Job
from recipes.shaft.key_seat import key_seats_of
from recipes.shaft.notch_factor import FLAT_END, GROOVE, KEY_SEAT, Notch, step
from recipes.shaft.profile import Piece, axle_outside, axle_pieces, bore_end
from recipes.shaft.sections import SAME, Section, axle_sections, flat_features, slot_feature
from recipes.shaft.tube_section import FlatSection, tube_section
from recipes.shaft.tube_section import Section as Shape

#: Root of a step that is all lead-in chamfer: the nose of the tool, mm (common practice).
TOOL_NOSE = 0.2

#: Root radius that the first-pass factors of groove, key seat and flat assume, as a share of the
#: diameter (Shigley section 7-4: r/d 0.02).
ROOT_SHARE = 0.02


@dataclass(frozen=True)
class Stretch:
    """A part of the axle with one section.

    Args:
        start, end: from face A in mm.
        shape: its section.
        facing: direction of the section's x axis in degrees, as the design counts.
        name, field: for the reader.
        slotted: whether the wire slot runs through it.
    """

    start: float
    end: float
    shape: Shape
    facing: float
    name: str
    field: str
    slotted: bool = False


@dataclass(frozen=True)
class NotchAt:
    """A notch at one place.

    Args:
        z: from face A in mm.
        side: where bending counts, -1 before z, +1 behind it, 0 the larger.
        shape, facing: nominal section and the direction of its x axis in degrees.
        notch: its factors.
        name, field: for the reader.
    """

    z: float
    side: int
    shape: Shape
    facing: float
    notch: Notch
    name: str
    field: str


@dataclass(frozen=True)
class AxleBody:
    """The axle's shape, read once from a design.

    Raises:
        Refused: see `recipes.shaft.sections.axle_sections`.
    """

    job: Job

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """Turned sections from face A to face B."""
        return axle_sections(self.job)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Pieces of one diameter, grooves counted."""
        return axle_pieces(self.job)

    @cached_property
    def bore_end(self) -> float:
        """Where the bore ends, mm."""
        return bore_end(self.job)

    def bore_at(self, z: float) -> float:
        """Return the bore's diameter at `z`, 0 beyond its end."""
        return self.job.design.axle.bore_diameter if z < self.bore_end else 0.0

    def outside_at(self, z: float) -> float:
        """Return the smaller outside diameter at `z`, mm."""
        near = [p.diameter for p in self.pieces if p.start - SAME <= z <= p.end + SAME]
        return min(near)

    def name_at(self, z: float) -> str:
        """Return the name of the turned section that `z` lies in."""
        k, s = next(
            (k, s) for k, s in enumerate(self.sections) if s.start - SAME <= z <= s.end + SAME
        )
        if s.kind == "seat":
            return f"bearing seat {1 + sum(q.kind == 'seat' for q in self.sections[:k])}"
        if s.kind == "end":
            return f"end at face {'A' if k == 0 else 'B'}"
        if s.kind == "land":
            return f"land at {s.start:.4g} to {s.end:.4g} mm"
        return {"stator": "stator seat", "shoulder": "collar"}[s.kind]

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """Stretches from face A to face B."""
        return self.cut_at(())

    def cut_at(self, extra: tuple[float, ...]) -> tuple[Stretch, ...]:
        """Return the stretches, cut at further places (mm) as well."""
        span, length = slot_feature(self.job), self.job.design.axle.length
        cuts = {0.0, length, self.bore_end, span.start, span.end, *extra}
        cuts |= {z for p in self.pieces for z in (p.start, p.end)}
        cuts |= {z for s in self.sections for z in (s.start, s.end)}
        cuts |= {z for f in flat_features(self.job) for z in (f.start, f.end)}
        spots = [z for z in sorted(cuts) if 0.0 <= z <= length]
        apart = [z for k, z in enumerate(spots) if not k or z - spots[k - 1] > SAME]
        return tuple(self._stretch(a, b) for a, b in pairwise(apart))

    def _stretch(self, start: float, end: float) -> Stretch:
        axle, z = self.job.design.axle, (start + end) / 2
        piece = next(p for p in self.pieces if p.start <= z <= p.end)
        span, slot = slot_feature(self.job), axle.wire_slot
        if span.start < z < span.end:
            shape = tube_section(piece.diameter, axle.bore_diameter, slot.width)
            return Stretch(start, end, shape, slot.angle, "wire slot", "axle.wire_slot", True)
        for feature, cut in zip(flat_features(self.job), axle.flats, strict=True):
            if feature.start < z < feature.end and cut.across < piece.diameter - SAME:
                flats = FlatSection(piece.diameter, self.bore_at(z), cut.across)
                return Stretch(start, end, flats, cut.angle, feature.name, feature.field)
        name = "groove" if piece.first == "groove" else self.name_at(z)
        tube = tube_section(piece.diameter, self.bore_at(z))
        return Stretch(start, end, tube, 0.0, name, piece.field)


def notches(body: AxleBody) -> tuple[NotchAt, ...]:
    """Return every notch but the ends of the wire slot, from face A to face B."""
    found = [*_steps(body), *_grooves(body), *_flat_ends(body), *_key_seat(body)]
    return tuple(sorted(found, key=lambda n: (n.z, n.name)))


def _steps(body: AxleBody) -> Iterator[NotchAt]:
    arcs = [s for s in axle_outside(body.job) if isinstance(s, Arc)]
    for a, b in pairwise(body.pieces):
        if "groove" in (a.last, b.first):
            continue
        low, high = (a, b) if a.diameter < b.diameter else (b, a)
        rounds = [
            s.start.distance(s.center)
            for s in arcs
            if any(abs(p.x - a.end) <= SAME for p in (s.start, s.end))
        ]
        notch = step(high.diameter, low.diameter, min(rounds, default=TOOL_NOSE))
        side = -1 if low is a else 1
        name = body.name_at(a.end + side * 1e3 * SAME)
        beside = "a land" if name.startswith("land") else name
        yield NotchAt(
            a.end,
            side,
            tube_section(low.diameter, body.bore_at(a.end)),
            0.0,
            notch,
            f"step beside {beside}",
            low.field,
        )


def _grooves(body: AxleBody) -> Iterator[NotchAt]:
    for p in body.pieces:
        if p.first == "groove":
            notch = Notch(*GROOVE, ROOT_SHARE * p.diameter)
            z = (p.start + p.end) / 2
            shape = tube_section(p.diameter, body.bore_at(z))
            yield NotchAt(z, 0, shape, 0.0, notch, "groove", p.field)


def _flat_ends(body: AxleBody) -> Iterator[NotchAt]:
    length = body.job.design.axle.length
    for s in body.stretches:
        if isinstance(s.shape, FlatSection):
            notch = Notch(*FLAT_END, ROOT_SHARE * s.shape.across)
            for z, side in ((s.start, 1), (s.end, -1)):
                if SAME < z < length - SAME:
                    name = f"end of {s.name}"
                    yield NotchAt(z, side, s.shape, s.facing, notch, name, s.field)


def _key_seat(body: AxleBody) -> Iterator[NotchAt]:
    """Yield both ends of the key seats; what lies between carries no more torque, and bends less."""
    seats = key_seats_of(body.job)
    if seats is None:
        return
    size = 2 * seats.radius
    for z, side in ((seats.start, 1), (seats.end, -1)):
        shape = tube_section(size, body.bore_at(z + side * 1e3 * SAME))
        notch = Notch(*KEY_SEAT, ROOT_SHARE * size)
        yield NotchAt(z, side, shape, 0.0, notch, "key seat in the stator seat", "hub.keyway")
