"""Rules on the slot through which the leads leave: its place, size and edges.

Common practice: axles snap at the wire slot, and a sharp edge there cuts leads.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from geometry.finding import Finding
from recipes.design.axle import Axle, Lead, Load, WireSlot
from recipes.refusal import Refused, stop, warn
from recipes.shaft.profile import Piece, axle_profile, slot_piece, slot_span
from recipes.shaft.sections import (
    SAME,
    flat_features,
    groove_features,
    seat_features,
    slot_feature,
    turned_features,
)
from recipes.tables.bearings import Bearing

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

_stop = partial(stop, source="common practice", confidence="practice")
_warn = partial(warn, source="common practice", confidence="practice")


def bundle_diameter(leads: tuple[Lead, ...]) -> float:
    """Return the estimated diameter of all leads together in mm, 0 without leads.

    1.2 x root of the sum of the squared diameters (common practice).
    """
    return BUNDLE * math.sqrt(math.fsum(lead.count * lead.outside_diameter**2 for lead in leads))


def slot_place_findings(axle: Axle, stack_length: float) -> list[Finding]:
    """Return the findings on the slot that need no diameters of the whole axle; stack in mm."""
    return [
        *slot_apart(axle, stack_length),
        *slot_size(axle.wire_slot, axle.bore_diameter),
        *slot_to_the_side(axle.wire_slot.angle, axle.load),
        *slot_for_leads(axle.wire_slot, axle.leads),
    ]


def slot_apart(axle: Axle, stack_length: float) -> Iterator[Finding]:
    """The slot lies off seats, stack, collar, grooves and flats, at a distance where it weakens, mm."""
    seats, notches = seat_features(axle), (*groove_features(axle), *flat_features(axle))
    span, slot = slot_span(axle), slot_feature(axle)
    for other in (*turned_features(axle, stack_length), *notches):
        if span.overlap(other) > SAME:
            yield _stop(
                "slot-in-feature",
                "axle.wire_slot.from_face",
                f"axle.wire_slot: slot and rounded mouth ({span.start:g} to {span.end:g} mm) and the "
                f"{other.name} ({other.start:g} to {other.end:g} mm) overlap",
                value=slot.start,
                limit=other.end,
                fix=f"keep the wire slot off {other.start:g} to {other.end:g} mm",
            )
    least = max(CLEAR_WIDTHS * axle.wire_slot.width, CLEAR_LEAST)
    for other in (*seats, *notches):
        gap = -slot.overlap(other)
        if -SAME <= gap < least - SAME:
            before = other.end <= slot.start + SAME
            limit = other.end + least if before else other.start - least
            yield _warn(
                "slot-too-near",
                "axle.wire_slot.from_face",
                f"axle.wire_slot: {gap:.2f} mm to the {other.name}; notch and slot weaken the axle "
                f"together below {least:.2f} mm (one slot width, at least {CLEAR_LEAST:g} mm)",
                value=gap,
                limit=least,
                fix=f"{'start' if before else 'end'} the wire slot {limit:.2f} mm from face A",
            )


def slot_size(slot: WireSlot, bore: float) -> Iterator[Finding]:
    """The slot is longer than wide, for its round ends, and opens fully into the bore, in mm."""
    if slot.length <= slot.width + SAME:
        yield stop(
            "slot-too-short",
            "axle.wire_slot.length",
            f"axle.wire_slot.length = {slot.length:g} mm is not above its width of {slot.width:g} mm",
            value=slot.length,
            limit=slot.width,
            fix=f"use more than {slot.width:g} mm",
        )
    if slot.width >= bore - SAME:
        yield stop(
            "slot-wider-than-bore",
            "axle.wire_slot.width",
            f"axle.wire_slot.width = {slot.width:g} mm is not below the bore of {bore:g} mm: the slot "
            "would not open cleanly into it",
            value=slot.width,
            limit=bore,
            fix=f"use less than {bore:g} mm",
        )


def slot_to_the_side(angle: float, load: Load) -> Iterator[Finding]:
    """The slot opens across the force, near the neutral axis of bending.

    Without a force, across the vertical; a force that turns with the rotor knows no better side.
    """
    if load.force > 0.0 and load.action == "turns":
        return
    line = load.direction if load.force > 0.0 else -90.0
    off = abs(math.remainder(angle - line, 180.0))
    if off >= FROM_VERTICAL - SAME:
        return
    across = [signed_angle(line + k * 90.0) for k in (1, -1)]
    what = f"the line of the force ({line:g} deg)" if load.force > 0.0 else "straight up or down"
    yield _warn(
        "slot-in-load",
        "axle.wire_slot.angle",
        f"axle.wire_slot.angle = {angle:g} deg opens the slot {off:.3g} deg from {what}, where bending "
        "pulls hardest",
        value=angle,
        limit=FROM_VERTICAL,
        fix=f"turn it to {min(across):g} or {max(across):g} deg, at least {FROM_VERTICAL:g} deg away from "
        "that line",
    )


def signed_angle(angle: float) -> float:
    """Return an angle in degrees between -180 (left out) and 180."""
    return 180.0 - (180.0 - angle) % 360.0


def slot_for_leads(slot: WireSlot, leads: tuple[Lead, ...]) -> Iterator[Finding]:
    """The edge where leads bend out is rounded, and the bundle leaves at a shallow angle."""
    thickest = max((lead.outside_diameter for lead in leads), default=2 * MOUTH)
    least, radius = min(MOUTH, thickest / 2), slot.mouth_radius
    if radius < least - SAME:
        yield _warn(
            "slot-edge-sharp",
            "axle.wire_slot.mouth_radius",
            f"axle.wire_slot.mouth_radius = {radius:g} mm: an edge below {least:g} mm cuts into leads",
            value=radius,
            limit=least,
            fix=f"use at least {least:g} mm and lead the wires through a sleeve",
        )
    bundle = bundle_diameter(leads)
    least = LENGTH_BUNDLES * bundle
    if slot.length < least - SAME:
        yield _warn(
            "slot-short-for-bundle",
            "axle.wire_slot.length",
            f"axle.wire_slot.length = {slot.length:g} mm makes a bundle of about {bundle:.1f} mm bend "
            f"sharply; {LENGTH_BUNDLES:g} bundle diameters are {least:.1f} mm",
            value=slot.length,
            limit=least,
            fix=f"use at least {least:.1f} mm, or thinner leads",
        )


def slot_shape_findings(
    axle: Axle, bearing: Bearing, pieces: tuple[Piece, ...]
) -> Iterator[Finding]:
    """Yield the findings on the cylinder that the slot is cut into: one, inside, with wall enough."""
    slot = axle.wire_slot
    try:
        piece = slot_piece(axle, pieces, axle_profile(axle, bearing, pieces))
    except Refused as refused:  # what cannot be drawn hides no other finding
        yield from refused.findings
        return
    if piece is None:
        span = slot_span(axle)
        yield stop(
            "slot-on-step",
            "axle.wire_slot.from_face",
            f"axle.wire_slot with its rounded mouth takes {span.start:g} to {span.end:g} mm and runs "
            "over a step",
            value=slot.from_face,
            fix="move it onto one plain stretch, shorten it, or round its mouth less",
        )
        return
    # In the section a round R touches the outside and the slot's wall; its foot on the wall must
    # lie outside the bore: (r - R)^2 = x^2 + (a + R)^2 with x^2 at least b^2 - a^2.
    r, a, b = piece.diameter / 2, slot.width / 2, axle.bore_diameter / 2
    most = (r - a - max(0.0, b * b - a * a) / (r + a)) / 2
    if 0 < most <= slot.mouth_radius + SAME:
        yield stop(
            "slot-mouth-too-round",
            "axle.wire_slot.mouth_radius",
            f"axle.wire_slot.mouth_radius = {slot.mouth_radius:g} mm takes more than the wall beside "
            f"the slot, which has room for less than {most:.3f} mm",
            value=slot.mouth_radius,
            limit=most,
            fix=f"use less than {math.floor(1000 * most) / 1000:g} mm",
        )
    if "end" in (piece.first, piece.last):
        yield _warn(
            "slot-on-end",
            "axle.wire_slot.from_face",
            "axle.wire_slot lies on an end of the axle, outside the rotor: the leads cannot enter it "
            "beside the stack",
            value=slot.from_face,
            fix="move it between a bearing and the stack",
        )
    for field, value, share, code in (
        ("axle.wire_slot.width", slot.width, WIDTH_SHARE, "slot-wide"),
        ("axle.bore_diameter", axle.bore_diameter, BORE_SHARE, "bore-wide-at-slot"),
    ):
        limit = share * piece.diameter
        if value > limit + SAME:
            yield _warn(
                code,
                field,
                f"{field} = {value:g} mm is more than {share:g} of the axle's {piece.diameter:g} mm at "
                "the wire slot",
                value=value,
                limit=limit,
                fix=f"use at most {limit:.2f} mm, or a thicker axle there",
            )
