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
from geometry.solid.blind_slot import BlindSlot
from geometry.solid.body import Solid, Turned
from geometry.solid.cut import Cut, Flat, RadialSlot
from recipes.job import Job
from recipes.refusal import Refused, misfit
from recipes.shaft.key_seat import key_seats_of
from recipes.shaft.sections import (
    SAME,
    Kind,
    axle_bearing,
    axle_sections,
    flat_features,
    groove_features,
    slot_feature,
)

#: Share of the bearing's smallest chamfer (ISO 582) that the round at its shoulder takes: the
#: ring must meet the shoulder, not the round (common practice).
SEAT_ROUND_SHARE = 0.6

#: Round where the stack meets the collar, whose sheets have no chamfer; round in other corners.
STATOR_ROUND, LAND_ROUND = 0.2, 0.5

#: Largest chamfer on the outer edge of a step, mm; a step that is lower is all chamfer, a lead-in.
STEP_CHAMFER = 0.3

#: Share of the wall at face A that the round of the bore's mouth takes at most if left out.
MOUTH_SHARE = 0.4

#: Half the point angle of a twist drill, 118 degrees: how a blind bore ends (common practice).
HALF_POINT = math.radians(59.0)


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


def axle_pieces(job: Job) -> tuple[Piece, ...]:
    """Return the pieces of the outside from face A to face B.

    Raises:
        Refused: see `axle_sections`.
    """
    return job.once(_pieces)


def _pieces(job: Job) -> tuple[Piece, ...]:
    pieces: list[Piece] = []
    for s in axle_sections(job):
        z = s.start
        for groove, cut in zip(groove_features(job), job.design.axle.grooves, strict=True):
            a, b = max(groove.start, s.start), min(groove.end, s.end)
            if b - a > SAME:
                if a - z > SAME:
                    pieces.append(Piece(z, a, s.diameter, s.kind, s.kind, s.field))
                    z = a
                field = f"{groove.field}.diameter"
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


def bore_end(job: Job) -> float:
    """Return where the bore ends, its drill point included: z in mm, the axle's length if through."""
    axle = job.design.axle
    if axle.bore_depth is None:
        return axle.length
    return axle.bore_depth + axle.bore_diameter / 2 / math.tan(HALF_POINT)


def mouth_radius(job: Job) -> float:
    """Return the round on the bore's mouth at face A in mm."""
    axle = job.design.axle
    if axle.bore_mouth_radius is not None:
        return axle.bore_mouth_radius
    wall = (axle_pieces(job)[0].diameter - axle.bore_diameter) / 2
    across = min((f.across for f in axle.flats if f.from_face <= SAME), default=math.inf)
    wall = min(wall, (across - axle.bore_diameter) / 2)
    most = math.floor(10 * MOUTH_SHARE * wall) / 10  # a radius that can be had and checked
    return max(0.0, min(axle.wire_slot.mouth_radius, most))


def seat_round(job: Job) -> float:
    """Return the round in the inner corner beside a bearing seat, mm."""
    return SEAT_ROUND_SHARE * axle_bearing(job).chamfer_min_mm


def axle_profile(job: Job) -> Outline:
    """Return the closed profile, counter-clockwise: x = z from face A, y = radius, mm.

    Raises:
        Refused: see `axle_sections`; or nothing is left between a round and the next corner.
    """
    return job.once(_profile)


def _profile(job: Job) -> Outline:
    return Outline((*axle_outside(job), *_closing(job))).oriented(True)


def axle_outside(job: Job) -> tuple[Segment, ...]:
    """Return the outside of the profile from the chamfer at face A to the chamfer at face B."""
    bore, runs = job.once(_runs)
    return tuple(s for run in runs[bore:] for s in run)[:-1]


def axle_bore(job: Job) -> tuple[Segment, ...]:
    """Return the bore of the profile from face B, or its drill point, to the mouth at face A."""
    bore, runs = job.once(_runs)
    first = 0 if job.design.axle.bore_depth is None else 1
    return tuple(s for run in runs[first:bore] for s in run)[:-1]


def _closing(job: Job) -> tuple[Segment, ...]:
    """Return what closes the outside: face B, bore and face A."""
    bore, runs = job.once(_runs)
    return (runs[-1][-1], *(s for run in runs[:bore] for s in run))


def _runs(job: Job) -> tuple[int, list[tuple[Segment, ...]]]:
    """Return how many corners the bore has, and the edges at each corner of bore and outside."""
    bore = _bore(job)
    try:
        return len(bore), _edges([*bore, *_outside(job)])
    except GeometryError as error:
        raise Refused(misfit(error, "axle", "mend what else is said about the axle")) from None


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


def _bore(job: Job) -> list[_Corner]:
    """Return the corners of the bore from face B to face A."""
    axle = job.design.axle
    r, mouth = axle.bore_diameter / 2, _Corner(0.0, axle.bore_diameter / 2, mouth_radius(job), True)
    if axle.bore_depth is None:
        wall = axle_pieces(job)[-1].diameter / 2 - r
        return [_Corner(axle.length, r, min(axle.edge_break, MOUTH_SHARE * wall)), mouth]
    return [
        _Corner(axle.length, 0.0),
        _Corner(bore_end(job), 0.0),
        _Corner(axle.bore_depth, r),
        mouth,
    ]


def _outside(job: Job) -> Iterator[_Corner]:
    """Yield the corners of the outside from face A to face B."""
    pieces, chamfer = axle_pieces(job), job.design.axle.edge_break
    yield _Corner(0.0, pieces[0].diameter / 2, chamfer)
    for a, b in pairwise(pieces):
        yield from _step(a, b, _inner_round(job, a.last if a.diameter < b.diameter else b.first))
    yield _Corner(job.design.axle.length, pieces[-1].diameter / 2, chamfer)


def _inner_round(job: Job, kind: str) -> float:
    """Return the round wanted in the inner corner beside a lower piece of this kind, mm."""
    if kind == "seat":
        return seat_round(job)
    return STATOR_ROUND if kind == "stator" else LAND_ROUND


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


def axle_solid(job: Job) -> Solid:
    """Return the body, face A at z = 0, up along +y, mm.

    Raises:
        Refused: see `axle_sections`.
        GeometryError: a cut that the body cannot take.
    """
    slot, span = job.design.axle.wire_slot, slot_feature(job)
    cuts: list[Cut] = [
        RadialSlot(span.start, span.end, slot.width, solid_angle(slot.angle), slot.mouth_radius)
    ]
    length = job.design.axle.length
    for feature, flat in zip(flat_features(job), job.design.axle.flats, strict=True):
        for turn in (0.0, math.pi):
            cuts.append(
                Flat(
                    feature.start,
                    min(feature.end, length),
                    flat.across / 2,
                    solid_angle(flat.angle) + turn,
                )
            )
    seats = key_seats_of(job)
    if seats:
        cuts += [
            BlindSlot(seats.start, seats.end, seats.width, solid_angle(angle), seats.floor)
            for angle in seats.angles
        ]
    return Solid(Turned(axle_profile(job)), tuple(cuts))
