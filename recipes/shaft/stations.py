"""The axle cut into stretches of one section each, and its notches, for strength.

A stretch is round, slotted or flatted from end to end; a notch stands at one place of it. Left
out: edge breaks, the round of the slot's mouth (1 % of the area in the worked designs), and the
drill point of a blind bore, which counts as bore.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geometry.segment import Arc, Segment
from recipes.design.axle import Axle
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.notch_factor import FLAT_END, GROOVE, KEY_SEAT, Notch, step
from recipes.shaft.profile import Piece, outside_at
from recipes.shaft.sections import SAME, Section, bore_end, flat_features, slot_feature
from recipes.shaft.tube_section import FlatSection, Shape, TubeSection

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
    """The axle's shape as strength sees it.

    Args:
        axle: table of the design.
        sections: turned, from face A to face B.
        pieces: of one diameter, grooves counted.
        outside: exact edges of the outside.
        key_seats: for the stack, None without.
    """

    axle: Axle
    sections: tuple[Section, ...]
    pieces: tuple[Piece, ...]
    outside: tuple[Segment, ...]
    key_seats: KeySeats | None

    def bore_at(self, z: float) -> float:
        """Return the bore's diameter at `z`, 0 beyond its end."""
        return self.axle.bore_diameter if z < bore_end(self.axle) else 0.0

    def outside_at(self, z: float) -> float:
        """Return the smaller outside diameter at `z`, mm."""
        return outside_at(self.pieces, z)

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

    def stretches(self, *extra: float) -> tuple[Stretch, ...]:
        """Return the stretches from face A to face B, cut at further places (mm) as well."""
        span, length = slot_feature(self.axle), self.axle.length
        cuts = {0.0, length, bore_end(self.axle), span.start, span.end, *extra}
        cuts |= {z for p in self.pieces for z in (p.start, p.end)}
        cuts |= {z for s in self.sections for z in (s.start, s.end)}
        cuts |= {z for f in flat_features(self.axle) for z in (f.start, f.end)}
        spots = [z for z in sorted(cuts) if 0.0 <= z <= length]
        apart = [z for k, z in enumerate(spots) if not k or z - spots[k - 1] > SAME]
        return tuple(self._stretch(a, b) for a, b in pairwise(apart))

    def _stretch(self, start: float, end: float) -> Stretch:
        axle, z = self.axle, (start + end) / 2
        piece = next(p for p in self.pieces if p.start <= z <= p.end)
        span, slot = slot_feature(self.axle), axle.wire_slot
        if span.start < z < span.end:
            shape = TubeSection(piece.diameter, axle.bore_diameter, slot.width)
            return Stretch(start, end, shape, slot.angle, "wire slot", "axle.wire_slot", True)
        for feature, cut in zip(flat_features(self.axle), axle.flats, strict=True):
            if feature.start < z < feature.end and cut.across < piece.diameter - SAME:
                flats = FlatSection(piece.diameter, self.bore_at(z), cut.across)
                return Stretch(start, end, flats, cut.angle, feature.name, feature.field)
        name = "groove" if piece.first == "groove" else self.name_at(z)
        tube = TubeSection(piece.diameter, self.bore_at(z))
        return Stretch(start, end, tube, 0.0, name, piece.field)


def notches(body: AxleBody) -> tuple[NotchAt, ...]:
    """Return every notch but the ends of the wire slot, from face A to face B."""
    found = [*_steps(body), *_grooves(body), *_flat_ends(body), *_key_seat(body)]
    return tuple(sorted(found, key=lambda n: (n.z, n.name)))


def _steps(body: AxleBody) -> Iterator[NotchAt]:
    arcs = [s for s in body.outside if isinstance(s, Arc)]
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
            TubeSection(low.diameter, body.bore_at(a.end)),
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
            shape = TubeSection(p.diameter, body.bore_at(z))
            yield NotchAt(z, 0, shape, 0.0, notch, "groove", p.field)


def _flat_ends(body: AxleBody) -> Iterator[NotchAt]:
    length = body.axle.length
    for s in body.stretches():
        if isinstance(s.shape, FlatSection):
            notch = Notch(*FLAT_END, ROOT_SHARE * s.shape.across)
            for z, side in ((s.start, 1), (s.end, -1)):
                if SAME < z < length - SAME:
                    name = f"end of {s.name}"
                    yield NotchAt(z, side, s.shape, s.facing, notch, name, s.field)


def _key_seat(body: AxleBody) -> Iterator[NotchAt]:
    """Yield both ends of the key seats; what lies between carries no more torque, and bends less."""
    seats = body.key_seats
    if seats is None:
        return
    size = 2 * seats.radius
    for z, side in ((seats.start, 1), (seats.end, -1)):
        shape = TubeSection(size, body.bore_at(z + side * 1e3 * SAME))
        notch = Notch(*KEY_SEAT, ROOT_SHARE * size)
        yield NotchAt(z, side, shape, 0.0, notch, "key seat in the stator seat", "hub.keyway")
