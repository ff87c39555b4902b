"""The exact profile of the turned axle in the (z, r) half plane, with its bore, and its walls.

r ^         c  ____ c              c: 45 degree edge break on the outer edge of a step
  | c ________|    |____           R: round in the inner corner of a step
  |  /         R                   M: round on the mouth of the bore at face A
  | |M________________________
  |  \\_______________________  bore, right through or ending in a drill point
  +--------------------------> z, from face A
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.solids import BlindSlot, Cut, Flat, Machined, RadialSlot, Revolved
from recipes.design.axle import Axle
from recipes.refusal import Refused, misfit
from recipes.shaft.corner import RoundBand, corner_band, is_filed, seat_band
from recipes.shaft.end_thread import chamfer_at, threaded_ends
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.sections import (
    SAME,
    Feature,
    Kind,
    Section,
    bore_end,
    flat_features,
    slot_feature,
)
from recipes.tables.bearings import Bearing

#: Largest chamfer on the outer edge of a step, mm; a step that is lower is all chamfer, a lead-in.
STEP_CHAMFER = 0.3

#: Share of the wall at face A that the round of the bore's mouth takes at most if left out.
MOUTH_SHARE = 0.4

#: Face that must be left between the bore's mouth and the edge break, mm.
LEAST_FACE = 0.1

#: Half the angle of a lathe centre: 60 degrees (ISO 866).
HALF_CENTRE = math.radians(30)

#: Width of a chamfer for a lathe centre, measured radially, mm, and the least that carries one (common
#: practice).
CENTRE_WIDTH, LEAST_CENTRE = 1.0, 0.3


@dataclass(frozen=True)
class Piece:
    """A stretch of one diameter, grooves counted, neighbours of equal diameter joined.

    Args:
        start, end: from face A in mm.
        diameter: nominal, mm.
        first, last: kind at its two ends; "groove" for a groove.
        field: dotted name of the design field that sets the diameter.
    """

    start: float
    end: float
    diameter: float
    first: Kind | Literal["groove"]
    last: Kind | Literal["groove"]
    field: str

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.end - self.start


def axle_pieces(axle: Axle, sections: tuple[Section, ...]) -> tuple[Piece, ...]:
    """Return the pieces of the outside from face A to face B; `sections` as of `axle_sections`."""
    pieces: list[Piece] = []
    for s in sections:
        z = s.start
        for cut in ring_grooves(axle):
            a, b = max(cut.from_face, s.start), min(cut.end, s.end)
            if b - a > SAME:
                if a - z > SAME:
                    pieces.append(Piece(z, a, s.diameter, s.kind, s.kind, s.field))
                    z = a
                field = f"{cut.field}.diameter"
                pieces.append(Piece(z, b, cut.diameter, "groove", "groove", field))
                z = b
        if s.end - z > SAME:
            pieces.append(Piece(z, s.end, s.diameter, s.kind, s.kind, s.field))
    joined: list[Piece] = []
    for p in pieces:
        last = joined[-1] if joined else None
        if last and abs(p.diameter - last.diameter) <= SAME:
            joined[-1] = Piece(last.start, p.end, last.diameter, last.first, p.last, last.field)
        else:
            z = last.end if last else 0.0
            joined.append(Piece(z, p.end, p.diameter, p.first, p.last, p.field))
    return tuple(joined)


def size_at(pieces: tuple[Piece, ...], feature: Feature) -> float | None:
    """Return the least diameter that a feature stands on, mm; None off the axle.

    Grooves count only where it lies in nothing else: flats may lie in a wide groove.
    """
    there = [p for p in pieces if p.end > feature.start + SAME and p.start < feature.end - SAME]
    beside = [p for p in there if p.first != "groove"]
    return min((p.diameter for p in beside or there), default=None)


def outside_at(pieces: tuple[Piece, ...], z: float) -> float:
    """Return the smaller outside diameter at `z`, both in mm."""
    return min(p.diameter for p in pieces if p.start - SAME <= z <= p.end + SAME)


def mouth_radius(axle: Axle, pieces: tuple[Piece, ...]) -> float:
    """Return the round on the bore's mouth at face A in mm."""
    if axle.bore_mouth_radius is not None:
        return axle.bore_mouth_radius
    wall = (pieces[0].diameter - axle.bore_diameter) / 2
    across = min((f.across for f in axle.flats if f.from_face <= SAME), default=math.inf)
    wall = min(wall, (across - axle.bore_diameter) / 2)
    most = math.floor(10 * MOUTH_SHARE * wall) / 10  # a radius that can be had and checked
    return max(0.0, min(axle.wire_slot.mouth_radius, most))


def centre_chamfer(axle: Axle, pieces: tuple[Piece, ...]) -> float:
    """Return the width in mm, measured radially, of the 60 degree chamfer in the bore at face B.

    A lathe centre bears on it. At face A it bears on the round of the bore's mouth, as in a centre hole
    with a curved surface (ISO 2541). 0 for a blind bore, and for an axle that is filed by hand.
    """
    if axle.bore_depth is not None or is_filed(axle):
        return 0.0
    near = axle.length - CENTRE_WIDTH / math.tan(HALF_CENTRE)
    sizes = [p.diameter for p in pieces if p.end > near]
    sizes += [f.across for f in axle.flats if f.from_face + f.length > near]
    wall = (min(sizes) - axle.bore_diameter) / 2
    most = min(CENTRE_WIDTH, MOUTH_SHARE * wall, wall - chamfer_at(axle, "B") - LEAST_FACE)
    wide = math.floor(10 * most + 1e-9) / 10
    return wide if wide >= LEAST_CENTRE else 0.0


@dataclass(frozen=True)
class AxleProfile:
    """The exact profile: x = z from face A, y = radius, mm.

    Args:
        outline: closed, counter-clockwise.
        outside: from the chamfer at face A to the chamfer at face B.
        bore: from face B, or its drill point, to the mouth at face A.
    """

    outline: Outline
    outside: tuple[Segment, ...]
    bore: tuple[Segment, ...]


def axle_profile(axle: Axle, bearing: Bearing, pieces: tuple[Piece, ...]) -> AxleProfile:
    """Return the profile of an axle whose outside has these pieces.

    Raises:
        Refused: nothing is left between a round and the next corner.
    """
    bore = _bore(axle, pieces)
    try:
        runs = _edges([*bore, *_outside(axle, seat_band(axle, bearing), pieces)])
    except GeometryError as error:
        raise Refused(misfit(error, "axle", "mend what else is said about the axle")) from None
    inner = [s for run in runs[: len(bore)] for s in run]
    outer = [s for run in runs[len(bore) :] for s in run]
    across = 0 if axle.bore_depth is None else 1  # a blind bore starts behind face B's own edge
    return AxleProfile(
        Outline((*outer, *inner)).oriented(True), tuple(outer[:-1]), tuple(inner[across:-1])
    )


@dataclass(frozen=True)
class _Corner:
    """A corner of the profile: where, and how far its chamfer or round takes from each edge."""

    z: float
    r: float
    size: float = 0.0
    round: bool = False

    @property
    def point(self) -> Point:
        return Point(self.z, self.r)


def _bore(axle: Axle, pieces: tuple[Piece, ...]) -> list[_Corner]:
    """Return the corners of the bore from face B to face A."""
    r = axle.bore_diameter / 2
    mouth = _Corner(0.0, r, mouth_radius(axle, pieces), True)
    if axle.bore_depth is None:
        if wide := centre_chamfer(axle, pieces):
            deep = wide / math.tan(HALF_CENTRE)
            return [_Corner(axle.length, r + wide), _Corner(axle.length - deep, r), mouth]
        wall = pieces[-1].diameter / 2 - r
        return [_Corner(axle.length, r, min(axle.edge_break, MOUTH_SHARE * wall)), mouth]
    return [
        _Corner(axle.length, 0.0),
        _Corner(bore_end(axle), 0.0),
        _Corner(axle.bore_depth, r),
        mouth,
    ]


def foot_kind(a: Piece, b: Piece) -> str:
    """Return the kind of the lower side of the step between two pieces, right at the step."""
    return a.last if a.diameter < b.diameter else b.first


def _outside(axle: Axle, at_seat: RoundBand, pieces: tuple[Piece, ...]) -> Iterator[_Corner]:
    """Yield the corners of the outside from face A to face B; `at_seat`: rounds beside a bearing."""
    behind = {z: e.thread.undercut_round_mm for e in threaded_ends(axle) for z in e.undercut or ()}
    yield _Corner(0.0, pieces[0].diameter / 2, chamfer_at(axle, "A"))
    for a, b in pairwise(pieces):
        wanted = corner_band(foot_kind(a, b), at_seat).middle
        yield from _step(a, b, behind.get(a.end, wanted))
    yield _Corner(axle.length, pieces[-1].diameter / 2, chamfer_at(axle, "B"))


def _step(a: Piece, b: Piece, wanted: float) -> tuple[_Corner, _Corner]:
    """Return the two corners of the step from piece `a` up or down to piece `b`."""
    low, high = (a, b) if a.diameter < b.diameter else (b, a)
    height = (high.diameter - low.diameter) / 2
    up = 1.0 if high is b else -1.0
    inner, outer = _Corner(a.end, low.diameter / 2), _Corner(a.end, high.diameter / 2)
    if "groove" not in (a.last, b.first):
        if height <= min(STEP_CHAMFER, high.length / 4):
            outer = _Corner(a.end + up * height, high.diameter / 2)  # the whole step is a lead-in
        else:
            chamfer = min(STEP_CHAMFER, height / 3, high.length / 4)
            size = min(wanted, 0.9 * (height - chamfer), low.length / 4)
            inner = _Corner(a.end, low.diameter / 2, size, True)
            outer = _Corner(a.end, high.diameter / 2, chamfer)
    return (inner, outer) if high is b else (outer, inner)


def _edges(corners: list[_Corner]) -> list[tuple[Segment, ...]]:
    """Return for each corner of the closed loop its chamfer or round, then the edge after it."""
    feet: list[tuple[Point, Point]] = []
    for before, this, after in zip(
        (corners[-1], *corners[:-1]), corners, (*corners[1:], corners[0]), strict=True
    ):
        ways = [c.point.minus(this.point).unit().times(this.size) for c in (before, after)]
        feet.append((this.point.plus(ways[0]), this.point.plus(ways[1])))
    runs: list[tuple[Segment, ...]] = []
    for (a, b), corner, (c, _) in zip(feet, corners, (*feet[1:], feet[0]), strict=True):
        edge = Line(b, c)
        if corner.size and corner.round:
            center = a.plus(b.minus(corner.point))
            turn = corner.point.minus(a).cross(b.minus(corner.point))
            runs.append((Arc(a, b, center, turn > 0), edge))
        else:
            runs.append((Line(a, b), edge) if corner.size else (edge,))
    return runs


# The axle as a solid: the turned profile with wire slot, flats and key seats.


def solid_angle(degrees: float) -> float:
    """Return the angle about the z axis in rad of a direction of the design file.

    The design counts from the right, counter-clockwise as seen from the lead side (face A); z
    points from face A to face B, so a solid counts as seen from face B: left and right swap.
    """
    return math.pi - math.radians(degrees)


def axle_solid(axle: Axle, profile: AxleProfile, key_seats: KeySeats | None) -> Machined:
    """Return the body, face A at z = 0, up along +y, mm.

    Raises:
        GeometryError: a cut that the body cannot take.
    """
    slot, span = axle.wire_slot, slot_feature(axle)
    cuts: list[Cut] = [
        RadialSlot(span.start, span.end, slot.width, solid_angle(slot.angle), slot.mouth_radius)
    ]
    for feature, flat in zip(flat_features(axle), axle.flats, strict=True):
        end, angle = min(feature.end, axle.length), solid_angle(flat.angle)
        cuts += [Flat(feature.start, end, flat.across / 2, angle + turn) for turn in (0.0, math.pi)]
    if key_seats:
        k = key_seats
        cuts += [
            BlindSlot(k.start, k.end, k.width, solid_angle(angle), k.floor) for angle in k.angles
        ]
    return Machined(Revolved(profile.outline), tuple(cuts))


def slot_span(axle: Axle) -> Feature:
    """Return the wire slot with its rounded mouth."""
    slot, edge = slot_feature(axle), axle.wire_slot.mouth_radius
    return Feature(slot.name, slot.field, slot.start - edge, slot.end + edge)


def slot_piece(axle: Axle, pieces: tuple[Piece, ...], profile: AxleProfile) -> Piece | None:
    """Return the piece whose plain cylinder holds slot and rounded mouth, None if there is none."""
    span = slot_span(axle)
    for edge in profile.outline.segments:
        low, bottom, high, top = edge.box()
        if top - bottom <= SAME and low <= span.start + SAME and span.end <= high + SAME:
            for piece in pieces:
                outside = abs(piece.diameter / 2 - top) <= SAME
                if outside and piece.start <= span.start + SAME and span.end <= piece.end + SAME:
                    return piece
    return None
