"""Rules on the slot through which the leads leave: its place, size and edges.

Common practice: axles snap at the wire slot, and a sharp edge there cuts leads.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import stop, warn
from recipes.shaft.profile import Piece, axle_pieces, axle_profile
from recipes.shaft.sections import (
    SAME,
    Feature,
    collar_feature,
    flat_features,
    groove_features,
    seat_features,
    slot_feature,
    stator_feature,
)

#: Distance of the slot from a bearing seat, groove or flat: slot widths, and mm at least.
CLEAR_WIDTHS, CLEAR_LEAST = 1.0, 3.0

#: Width of the slot and bore of the axle, as shares of the diameter there.
WIDTH_SHARE, BORE_SHARE = 0.33, 0.50

#: Length of the slot in diameters of the bundle, so that the bundle leaves at a shallow angle.
LENGTH_BUNDLES = 2.5

#: A bundle of leads is about this times the root of the sum of the squared diameters.
BUNDLE = 1.2

#: Round of the slot's mouth in mm; half the thickest lead will do where that is less.
MOUTH = 1.0

#: The slot keeps this far, in degrees, from the line of the force.
FROM_VERTICAL = 30.0

_PRACTICE: Final = "common practice"
Rule = Callable[[Job], list[Finding]]


def bundle_diameter(job: Job) -> float:
    """Return the estimated diameter of all leads together in mm, 0 without leads.

    1.2 x root of the sum of the squared diameters (common practice).
    """
    return BUNDLE * math.sqrt(
        math.fsum(lead.count * lead.outside_diameter**2 for lead in job.design.axle.leads)
    )


def slot_place(job: Job) -> list[Finding]:
    """The slot lies off seats, stack, collar, grooves and flats."""
    slot = _span(job)
    others = (
        *seat_features(job),
        stator_feature(job),
        collar_feature(job),
        *groove_features(job),
        *flat_features(job),
    )
    return [
        stop(
            "slot-in-feature",
            "axle.wire_slot.from_face",
            (
                f"axle.wire_slot: slot and rounded mouth ({slot.start:g} to {slot.end:g} mm) and the "
                f"{other.name} ({other.start:g} to {other.end:g} mm) overlap"
            ),
            value=job.design.axle.wire_slot.from_face,
            limit=other.end,
            fix=f"keep the wire slot off {other.start:g} to {other.end:g} mm",
            source=_PRACTICE,
            confidence="practice",
        )
        for other in others
        if slot.overlap(other) > SAME
    ]


def slot_clearance(job: Job) -> list[Finding]:
    """The slot keeps its distance from bearing seats, grooves and flats."""
    slot, width = slot_feature(job), job.design.axle.wire_slot.width
    least = max(CLEAR_WIDTHS * width, CLEAR_LEAST)
    found = []
    for other in (*seat_features(job), *groove_features(job), *flat_features(job)):
        gap = -slot.overlap(other)
        if -SAME <= gap < least - SAME:
            before = other.end <= slot.start + SAME
            limit = other.end + least if before else other.start - least
            found.append(
                warn(
                    "slot-too-near",
                    "axle.wire_slot.from_face",
                    (
                        f"axle.wire_slot: {gap:.2f} mm to the {other.name}; notch and slot weaken the axle "
                        f"together below {least:.2f} mm (one slot width, at least {CLEAR_LEAST:g} mm)"
                    ),
                    value=gap,
                    limit=least,
                    fix=f"{'start' if before else 'end'} the wire slot {limit:.2f} mm from face A",
                    source=_PRACTICE,
                    confidence="practice",
                )
            )
    return found


def slot_longer_than_wide(job: Job) -> list[Finding]:
    """The slot is longer than wide: full-radius ends need that."""
    slot = job.design.axle.wire_slot
    if slot.length > slot.width + SAME:
        return []
    return [
        stop(
            "slot-too-short",
            "axle.wire_slot.length",
            f"axle.wire_slot.length = {slot.length:g} mm is not above its width of {slot.width:g} mm",
            value=slot.length,
            limit=slot.width,
            fix=f"use more than {slot.width:g} mm",
        )
    ]


def slot_within_bore(job: Job) -> list[Finding]:
    """The slot is narrower than the bore, so that it opens fully into it."""
    slot, bore = job.design.axle.wire_slot, job.design.axle.bore_diameter
    if slot.width < bore - SAME:
        return []
    return [
        stop(
            "slot-wider-than-bore",
            "axle.wire_slot.width",
            (
                f"axle.wire_slot.width = {slot.width:g} mm is not below the bore of {bore:g} mm: the slot "
                "would not open cleanly into it"
            ),
            value=slot.width,
            limit=bore,
            fix=f"use less than {bore:g} mm",
        )
    ]


def slot_to_the_side(job: Job) -> list[Finding]:
    """The slot opens across the force, near the neutral axis of bending.

    Without a force, across the vertical; a force that turns with the rotor knows no better side.
    """
    angle, load = job.design.axle.wire_slot.angle, job.design.axle.load
    if load.force > 0.0 and load.action == "turns":
        return []
    line = load.direction if load.force > 0.0 else -90.0
    off = abs(math.remainder(angle - line, 180.0))
    if off >= FROM_VERTICAL - SAME:
        return []
    across = [_within(line + k * 90.0) for k in (1, -1)]
    what = f"the line of the force ({line:g} deg)" if load.force > 0.0 else "straight up or down"
    return [
        warn(
            "slot-in-load",
            "axle.wire_slot.angle",
            (
                f"axle.wire_slot.angle = {angle:g} deg opens the slot {off:.3g} deg from {what}, where bending "
                "pulls hardest"
            ),
            value=angle,
            limit=FROM_VERTICAL,
            fix=(
                f"turn it to {min(across):g} or {max(across):g} deg, at least {FROM_VERTICAL:g} deg away from "
                "that line"
            ),
            source=_PRACTICE,
            confidence="practice",
        )
    ]


def _within(angle: float) -> float:
    """Return an angle in degrees between -180 (left out) and 180."""
    return 180.0 - (180.0 - angle) % 360.0


def slot_mouth(job: Job) -> list[Finding]:
    """The edge where leads bend out is rounded."""
    axle = job.design.axle
    thickest = max((lead.outside_diameter for lead in axle.leads), default=2 * MOUTH)
    least, radius = min(MOUTH, thickest / 2), axle.wire_slot.mouth_radius
    if radius >= least - SAME:
        return []
    return [
        warn(
            "slot-edge-sharp",
            "axle.wire_slot.mouth_radius",
            f"axle.wire_slot.mouth_radius = {radius:g} mm: an edge below {least:g} mm cuts into leads",
            value=radius,
            limit=least,
            fix=f"use at least {least:g} mm and lead the wires through a sleeve",
            source=_PRACTICE,
            confidence="practice",
        )
    ]


def slot_length_for_bundle(job: Job) -> list[Finding]:
    """The slot is long enough for the bundle to leave at a shallow angle."""
    length, bundle = job.design.axle.wire_slot.length, bundle_diameter(job)
    least = LENGTH_BUNDLES * bundle
    if length >= least - SAME:
        return []
    return [
        warn(
            "slot-short-for-bundle",
            "axle.wire_slot.length",
            (
                f"axle.wire_slot.length = {length:g} mm makes a bundle of about {bundle:.1f} mm bend "
                f"sharply; {LENGTH_BUNDLES:g} bundle diameters are {least:.1f} mm"
            ),
            value=length,
            limit=least,
            fix=f"use at least {least:.1f} mm, or thinner leads",
            source=_PRACTICE,
            confidence="practice",
        )
    ]


def _span(job: Job) -> Feature:
    """Return the slot with its rounded mouth."""
    slot, edge = slot_feature(job), job.design.axle.wire_slot.mouth_radius
    return Feature(slot.name, slot.field, slot.start - edge, slot.end + edge)


def slot_piece(job: Job) -> Piece | None:
    """Return the piece whose plain cylinder holds slot and rounded mouth, None if there is none."""
    return job.once(_slot_piece)


def _slot_piece(job: Job) -> Piece | None:
    span = _span(job)
    for edge in axle_profile(job).segments:
        low, bottom, high, top = edge.box()
        if top - bottom <= SAME and low <= span.start + SAME and span.end <= high + SAME:
            for piece in axle_pieces(job):
                outside = abs(piece.diameter / 2 - top) <= SAME
                if outside and piece.start <= span.start + SAME and span.end <= piece.end + SAME:
                    return piece
    return None


def slot_on_one_cylinder(job: Job) -> list[Finding]:
    """Slot and rounded mouth lie on one plain cylinder, whose wall has room for the round."""
    axle, slot, piece = job.design.axle, job.design.axle.wire_slot, slot_piece(job)
    if piece is None:
        z0, z1 = _span(job).start, _span(job).end
        return [
            stop(
                "slot-on-step",
                "axle.wire_slot.from_face",
                f"axle.wire_slot with its rounded mouth takes {z0:g} to {z1:g} mm and runs over a step",
                value=slot.from_face,
                fix="move it onto one plain stretch, shorten it, or round its mouth less",
            )
        ]
    # In the section a round R touches the outside and the slot's wall; its foot on the wall must
    # lie outside the bore: (r - R)^2 = x^2 + (a + R)^2 with x^2 at least b^2 - a^2.
    r, a, b = piece.diameter / 2, slot.width / 2, axle.bore_diameter / 2
    most = (r - a - max(0.0, b * b - a * a) / (r + a)) / 2
    if slot.mouth_radius < most - SAME or most <= 0:
        return []
    return [
        stop(
            "slot-mouth-too-round",
            "axle.wire_slot.mouth_radius",
            (
                f"axle.wire_slot.mouth_radius = {slot.mouth_radius:g} mm takes more than the wall beside "
                f"the slot, which has room for less than {most:.3f} mm"
            ),
            value=slot.mouth_radius,
            limit=most,
            fix=f"use less than {math.floor(1000 * most) / 1000:g} mm",
        )
    ]


def slot_inside_rotor(job: Job) -> list[Finding]:
    """The slot lies between two features, not on an end: leads enter it inside the rotor."""
    piece = slot_piece(job)
    if piece is None or "end" not in (piece.first, piece.last):
        return []
    return [
        warn(
            "slot-on-end",
            "axle.wire_slot.from_face",
            (
                "axle.wire_slot lies on an end of the axle, outside the rotor: the leads cannot enter it "
                "beside the stack"
            ),
            value=job.design.axle.wire_slot.from_face,
            fix="move it between a bearing and the stack",
            source=_PRACTICE,
            confidence="practice",
        )
    ]


def slot_share_of_diameter(job: Job) -> list[Finding]:
    """Slot width and bore leave enough of the axle at the slot."""
    axle, piece = job.design.axle, slot_piece(job)
    if piece is None:
        return []
    asked = (
        ("axle.wire_slot.width", axle.wire_slot.width, WIDTH_SHARE, "slot-wide"),
        ("axle.bore_diameter", axle.bore_diameter, BORE_SHARE, "bore-wide-at-slot"),
    )
    return [
        warn(
            code,
            field,
            (
                f"{field} = {value:g} mm is more than {share:g} of the axle's {piece.diameter:g} mm at the "
                "wire slot"
            ),
            value=value,
            limit=share * piece.diameter,
            fix=f"use at most {share * piece.diameter:.2f} mm, or a thicker axle there",
            source=_PRACTICE,
            confidence="practice",
        )
        for field, value, share, code in asked
        if value > share * piece.diameter + SAME
    ]


#: Rules that need no diameters of the whole axle, and those that do.
SLOT_PLACE_RULES: tuple[Rule, ...] = (
    slot_place,
    slot_clearance,
    slot_longer_than_wide,
    slot_within_bore,
    slot_to_the_side,
    slot_mouth,
    slot_length_for_bundle,
)
SLOT_SHAPE_RULES: tuple[Rule, ...] = (
    slot_on_one_cylinder,
    slot_inside_rotor,
    slot_share_of_diameter,
)
