"""Rules on the key seats of the axle: place, wall left, and whether key and sheets go together."""

from __future__ import annotations

import math
from typing import Final

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import note, stop, warn
from recipes.shaft.key_seat import KeySeats, key_seats_of
from recipes.shaft.profile import bore_end
from recipes.shaft.sections import SAME, flat_features, stator_feature
from recipes.tables.keys import key_for_shaft
from recipes.tables.reader import TableError

#: Wall that must be left under a key seat: in mm, and as a share of the diameter (as for all walls).
LEAST_WALL, LEAST_WALL_SHARE = 1.0, 0.10

#: Room that the back of a key needs in the hub's notch, mm (DIN 6885-1 leaves 0.2 to 0.4).
LEAST_BACK = 0.1

_PRACTICE: Final = "common practice"
_STANDARD = "DIN 6885-1"


def key_seats(job: Job) -> list[Finding]:
    """Key seats lie in the stator seat, leave a wall over the bore, and take a key that fits."""
    seats = key_seats_of(job)
    if seats is None:
        return []
    rules = (_longer_than_wide, _on_seat, _cuts, _wall, _flats, _height, _standard)
    return [f for rule in rules for f in rule(job, seats)]


def _longer_than_wide(_: Job, seats: KeySeats) -> list[Finding]:
    if seats.length > seats.width + SAME:
        return []
    return [
        stop(
            "key-seat-too-short",
            "axle.key_seat.length",
            (
                f"axle.key_seat.length = {seats.length:.2f} mm is not above the key's width of "
                f"{seats.width:g} mm: a cutter leaves round ends, and nothing straight would be left to carry"
            ),
            value=seats.length,
            limit=seats.width,
            fix=f"use more than {2 * seats.width:g} mm, a longer stack, or a narrower hub.keyway.width",
            source=_STANDARD,
        )
    ]


def _on_seat(job: Job, seats: KeySeats) -> list[Finding]:
    seat = stator_feature(job)
    if seats.start >= seat.start - SAME and seats.end <= seat.end + SAME:
        return []
    return [
        stop(
            "key-seat-off-stack",
            "axle.key_seat.from_face",
            (
                f"axle.key_seat: {seats.start:.2f} to {seats.end:.2f} mm leaves the stator seat, "
                f"{seat.start:g} to {seat.end:g} mm: there are no sheets to hold"
            ),
            value=seats.start,
            limit=seat.start,
            fix="leave from_face and length out, or keep them inside the stator seat",
        )
    ]


def _cuts(_: Job, seats: KeySeats) -> list[Finding]:
    """The floor lies below the skin at its edges too."""
    if seats.floor > 0 and math.hypot(seats.floor, seats.width / 2) < seats.radius - SAME:
        return []
    sag = seats.radius - math.sqrt(max(seats.radius**2 - seats.width**2 / 4, 0.0))
    return [
        stop(
            "key-seat-not-cut",
            "axle.key_seat.depth",
            (
                f"axle.key_seat.depth = {seats.depth:.2f} mm: a seat {seats.width:g} mm wide in "
                f"{2 * seats.radius:g} mm must be deeper than {sag:.2f} mm and end before the axis"
            ),
            value=seats.depth,
            limit=sag,
            fix=f"use a depth above {sag:.2f} mm, or a narrower hub.keyway.width",
            source=_STANDARD,
        )
    ]


def _wall(job: Job, seats: KeySeats) -> list[Finding]:

    bore = job.design.axle.bore_diameter
    least = max(LEAST_WALL, LEAST_WALL_SHARE * 2 * seats.radius)
    wall = seats.floor - seats.depth_over - bore / 2
    if wall >= least - SAME or seats.start >= bore_end(job) - SAME:
        return []
    return [
        stop(
            "key-seat-thin-wall",
            "axle.key_seat.depth",
            (
                f"a key seat {seats.depth:.2f} +{seats.depth_over:g} mm deep leaves a wall of {wall:.2f} mm "
                f"over the bore of {bore:g} mm; {least:.2f} mm is the least"
            ),
            value=wall,
            limit=least,
            fix=(
                f"use a bore of at most {2 * (wall + bore / 2 - least):.2f} mm, a narrower hub.keyway.width, "
                "or a thicker stator seat"
            ),
            source=_PRACTICE,
            confidence="practice",
        )
    ]


def _flats(job: Job, seats: KeySeats) -> list[Finding]:
    for flat in flat_features(job):
        if min(flat.end, seats.end) - max(flat.start, seats.start) > SAME:
            return [
                stop(
                    "key-on-flat",
                    flat.field,
                    (
                        f"{flat.name}, {flat.start:g} to {flat.end:g} mm, and the key seats at "
                        f"{seats.start:.2f} to {seats.end:.2f} mm overlap"
                    ),
                    value=flat.end,
                    limit=seats.start,
                    fix="hold the stack by flats or by keys, not by both",
                )
            ]
    return []


def _height(job: Job, seats: KeySeats) -> list[Finding]:
    keyway = job.design.hub.keyway
    assert keyway is not None
    if keyway.depth >= seats.proud + LEAST_BACK - SAME:
        return []
    return [
        warn(
            "key-too-high",
            "hub.keyway.depth",
            (
                f"hub.keyway.depth = {keyway.depth:g} mm: a key {seats.height:g} mm high stands "
                f"{seats.proud:.2f} mm out of its seat, so the stack does not go on"
            ),
            value=keyway.depth,
            limit=seats.proud + LEAST_BACK,
            fix=f"use hub.keyway.depth = {seats.proud + 2 * LEAST_BACK:.2f}, or file the back of the key",
            source=_STANDARD,
        )
    ]


def _standard(_: Job, seats: KeySeats) -> list[Finding]:
    if seats.key is not None:
        return []

    try:
        usual = key_for_shaft(2 * seats.radius).width_mm
    except TableError:
        usual = None
    return [
        note(
            "key-no-standard",
            "hub.keyway.width",
            (
                f"hub.keyway.width = {seats.width:g} mm is no standard key: it has to be made, "
                f"{seats.height:.2f} mm high for seats {seats.depth:.2f} mm deep"
            ),
            value=seats.width,
            limit=usual,
            fix=f"use hub.keyway.width = {usual:g}"
            if usual
            else "buy key steel and file the key to size",
            source=_STANDARD,
        )
    ]


def key_words(job: Job) -> str:
    """Return the sentence on keys and their seats, "" without keys."""
    seats = key_seats_of(job)
    if seats is None:
        return ""
    many = "1 key" if len(seats.angles) == 1 else f"{len(seats.angles)} keys"
    shape = f"{seats.width:g} × {seats.height:.4g} × {seats.length:.4g}"
    return f"{many} {shape} with round ends{' (DIN 6885-1 A)' if seats.key else ''}, key steel."


def key_seat_words(job: Job) -> str:
    """Return how the key seats are made, in one sentence; "" without keys."""
    seats = key_seats_of(job)
    if seats is None:
        return ""
    limits = seats.width_limits
    wide = f", {limits[0]:.3f} to {limits[1]:.3f} mm wide" if limits else ""
    angles = " and ".join(f"{a:g}" for a in seats.angles)
    return (
        f"key seats {seats.width:g} × {seats.depth:.4g} deep{wide} (N9), {seats.start:.4g} to "
        f"{seats.end:.4g} mm from face A, at {angles} deg: mill with a slot drill, in light cuts, before "
        "the seats are finished; the key goes in with light taps and stands still in the axle"
    )
