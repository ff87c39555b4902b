"""The axle as a solid: the turned profile with wire slot, flats and key seats."""

from __future__ import annotations

import math

from geometry.solid.blind_slot import BlindSlot
from geometry.solid.body import Solid, Turned
from geometry.solid.cut import Cut, Flat, RadialSlot
from recipes.axle.key_seat import key_seats_of
from recipes.axle.profile import axle_profile
from recipes.axle.sections import flat_features, slot_feature
from recipes.job import Job


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
        RadialSlot(
            span.start, span.end, slot.width, solid_angle(slot.angle), slot.mouth_radius
        )
    ]  # fmt: skip
    length = job.design.axle.length
    for feature, flat in zip(flat_features(job), job.design.axle.flats, strict=True):
        for turn in (0.0, math.pi):
            cuts.append(
                Flat(
                    feature.start, min(feature.end, length), flat.across / 2,
                    solid_angle(flat.angle) + turn,
                )
            )  # fmt: skip
    seats = key_seats_of(job)
    if seats:
        cuts += [
            BlindSlot(seats.start, seats.end, seats.width, solid_angle(angle), seats.floor)
            for angle in seats.angles
        ]
    return Solid(Turned(axle_profile(job)), tuple(cuts))
