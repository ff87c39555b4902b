"""Where the keys of the stack sit in the axle, and the rules on them: milled seats with round ends.

        seat of the stack             across:   ____
    ___________________________               .-|  |-.  <- depth t1, on the middle line
    |   (================)    | collar       /  |__|  \\
    ---------------------------             |    ( )   |  <- wall that is left over the bore

Angles as the design counts: seen on face A, 0 to the right, 90 up; the first key stands over tooth 1,
which is up, the others at equal steps counter-clockwise, as in the sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.design.lamination import Keyway
from recipes.refusal import note, stop, warn
from recipes.shaft.sections import (
    SAME,
    Feature,
    bore_end,
    collar_feature,
    flat_features,
    least_wall,
    stator_feature,
)
from recipes.tables.keys import KEY_LENGTHS, Key, key_for_shaft, key_of_width, n9_limits
from recipes.tables.reader import TableError

#: A key ends this far inside the stack, so that its seat stays under the sheets, mm (common practice).
INSIDE = 1.0

#: Depth of a seat whose width is no standard key's, as a share of that width; t1/b of DIN 6885-1
#: goes from 0.36 to 0.63.
DEPTH_SHARE = 0.55

#: A key of no standard leaves this much of the hub's notch free over its back, mm (DIN 6885-1: 0.2 up).
BACK_CLEARANCE = 0.2

#: A seat whose place is left out starts at a whole number of these, mm, where there is room.
SETTING = 0.5

#: Direction of the first key in degrees: over tooth 1, which stands up (`recipes.stator.lamination`).
FIRST = 90.0

#: Room that the back of a key needs in the hub's notch, mm (DIN 6885-1 leaves 0.2 to 0.4).
LEAST_BACK = 0.1

_STANDARD: Final = "DIN 6885-1"


@dataclass(frozen=True)
class KeySeats:
    """The seats of all keys, alike but for their direction.

    Args:
        start, end: from face A in mm, round ends included.
        width, depth: in mm; depth on the middle line.
        depth_over: how much deeper it may come out, mm.
        height: of the key, mm.
        notch: depth of the notch for it in the sheets, mm.
        radius: of the stator seat, mm.
        angles: directions in degrees as the design counts.
        key: row of the standard, None for another width.
    """

    start: float
    end: float
    width: float
    depth: float
    depth_over: float
    height: float
    notch: float
    radius: float
    angles: tuple[float, ...]
    key: Key | None

    @property
    def length(self) -> float:
        """Overall length in mm, that of a key with round ends."""
        return self.end - self.start

    @property
    def floor(self) -> float:
        """Distance of the floor from the axis, mm."""
        return self.radius - self.depth

    @property
    def proud(self) -> float:
        """How far the key stands above the axle on its middle line, mm."""
        return self.height - self.depth

    @property
    def bearing_length(self) -> float:
        """Straight length of a round-ended key, which carries, mm (DIN 6892)."""
        return self.length - self.width

    @property
    def width_limits(self) -> tuple[float, float] | None:
        """Largest and smallest width of the seat in mm, class N9; None beyond the table."""
        try:
            upper, lower = n9_limits(self.width)
        except TableError:
            return None
        return self.width + upper, self.width + lower


def key_seats(
    keyway: Keyway | None, axle: Axle, stator_bore: float, stack_length: float
) -> KeySeats | None:
    """Return the seats for the keys of the stack; None where the stack takes no key.

    Args:
        keyway: `hub.keyway` of the design.
        axle: table of the design.
        stator_bore: bore of the stack, mm.
        stack_length: of the finished stack, mm.
    """
    if keyway is None:
        return None
    given = axle.key_seat
    try:
        key: Key | None = key_of_width(keyway.width)
    except TableError:
        key = None
    depth = given.depth
    if depth is None:
        depth = key.shaft_depth_mm if key else DEPTH_SHARE * keyway.width
    height = key.height_mm if key else depth + keyway.depth - BACK_CLEARANCE
    low, high = stack_span(axle, stack_length)
    length = given.length if given.length is not None else _longest(high - low, keyway.width)
    start = given.from_face
    if start is None:  # the middle, to a length that can be set on the mill
        start = (low + high - length) / 2
        even = round(start / SETTING) * SETTING
        start = even if low <= even and even + length <= high else start
    return KeySeats(
        start=start,
        end=start + length,
        width=keyway.width,
        depth=depth,
        depth_over=key.shaft_depth_over_mm if key else 0.1,
        height=height,
        notch=keyway.depth,
        radius=stator_bore / 2,
        angles=tuple((FIRST + 360.0 * k / keyway.count) % 360.0 for k in range(keyway.count)),
        key=key,
    )


def stack_span(axle: Axle, stack_length: float, off: float = 0.0) -> tuple[float, float]:
    """Return where the steel of the stack lies, pushed against its collar if any, from face A in mm.

    Args:
        axle: table of the design.
        stack_length: of the finished stack, mm.
        off: what lies between its steel and the collar, mm.
    """
    seat, collar = stator_feature(axle, stack_length), collar_feature(axle)
    length = min(stack_length, seat.end - seat.start)
    if collar is None:
        return seat.start, seat.start + length
    if collar.start >= seat.end - SAME:
        return seat.end - off - length, seat.end - off
    return seat.start + off, seat.start + off + length


def _longest(room: float, width: float) -> float:
    """Return the longest standard key that stays inside `room`, else what the room takes."""
    most = room - 2 * INSIDE
    fitting = [k for k in KEY_LENGTHS if width < k <= most + SAME]
    return max(fitting, default=max(most, 1.05 * width))


def key_seat_findings(seats: KeySeats | None, axle: Axle, stack_length: float) -> list[Finding]:
    """Return whether seats lie in the stator seat, leave a wall over the bore, and take their key.

    Args:
        seats: as of `key_seats`.
        axle: table of the design.
        stack_length: of the finished stack, mm.
    """
    if seats is None:
        return []
    return [
        *_milled(stator_feature(axle, stack_length), seats),
        *_beside(axle, seats),
        *_key(seats),
    ]


def _milled(seat: Feature, seats: KeySeats) -> Iterator[Finding]:
    """Seats are longer than wide, lie in the stator seat, and cut its skin at their edges too."""
    if seats.length <= seats.width + SAME:
        yield stop(
            "key-seat-too-short",
            "axle.key_seat.length",
            f"axle.key_seat.length = {seats.length:.2f} mm is not above the key's width of "
            f"{seats.width:g} mm: a cutter leaves round ends, and nothing straight would be left to carry",
            value=seats.length,
            limit=seats.width,
            fix=f"use more than {2 * seats.width:g} mm, a longer stack, or a narrower hub.keyway.width",
            source=_STANDARD,
        )
    if seats.start < seat.start - SAME or seats.end > seat.end + SAME:
        yield stop(
            "key-seat-off-stack",
            "axle.key_seat.from_face",
            f"axle.key_seat: {seats.start:.2f} to {seats.end:.2f} mm leaves the {seat.name}, "
            f"{seat.start:g} to {seat.end:g} mm: there are no sheets to hold",
            value=seats.start,
            limit=seat.start,
            fix="leave from_face and length out, or keep them inside the stator seat",
        )
    if seats.floor <= 0 or math.hypot(seats.floor, seats.width / 2) >= seats.radius - SAME:
        sag = seats.radius - math.sqrt(max(seats.radius**2 - seats.width**2 / 4, 0.0))
        yield stop(
            "key-seat-not-cut",
            "axle.key_seat.depth",
            f"axle.key_seat.depth = {seats.depth:.2f} mm: a seat {seats.width:g} mm wide in "
            f"{2 * seats.radius:g} mm must be deeper than {sag:.2f} mm and end before the axis",
            value=seats.depth,
            limit=sag,
            fix=f"use a depth above {sag:.2f} mm, or a narrower hub.keyway.width",
            source=_STANDARD,
        )


def _beside(axle: Axle, seats: KeySeats) -> Iterator[Finding]:
    """A wall is left over the bore, and no flat cuts into a seat."""
    bore = axle.bore_diameter
    least = least_wall(2 * seats.radius)
    wall = seats.floor - seats.depth_over - bore / 2
    if wall < least - SAME and seats.start < bore_end(axle) - SAME:
        yield stop(
            "key-seat-thin-wall",
            "axle.key_seat.depth",
            f"a key seat {seats.depth:.2f} +{seats.depth_over:g} mm deep leaves a wall of {wall:.2f} mm "
            f"over the bore of {bore:g} mm; {least:.2f} mm is the least",
            value=wall,
            limit=least,
            fix=f"use a bore of at most {2 * (wall + bore / 2 - least):.2f} mm, a narrower hub.keyway.width, "
            "or a thicker stator seat",
            source="common practice",
            confidence="practice",
        )
    for flat in flat_features(axle):
        if min(flat.end, seats.end) - max(flat.start, seats.start) > SAME:
            yield stop(
                "key-on-flat",
                flat.field,
                f"{flat.name}, {flat.start:g} to {flat.end:g} mm, and the key seats at "
                f"{seats.start:.2f} to {seats.end:.2f} mm overlap",
                value=flat.end,
                limit=seats.start,
                fix="hold the stack by flats or by keys, not by both",
            )
            break


def _key(seats: KeySeats) -> Iterator[Finding]:
    """The stack passes over the back of the key, which can be bought."""
    if seats.notch < seats.proud + LEAST_BACK - SAME:
        yield warn(
            "key-too-high",
            "hub.keyway.depth",
            f"hub.keyway.depth = {seats.notch:g} mm: a key {seats.height:g} mm high stands "
            f"{seats.proud:.2f} mm out of its seat, so the stack does not go on",
            value=seats.notch,
            limit=seats.proud + LEAST_BACK,
            fix=f"use hub.keyway.depth = {seats.proud + 2 * LEAST_BACK:.2f}, or file the back of the key",
            source=_STANDARD,
        )
    if seats.key is None:
        try:
            usual = key_for_shaft(2 * seats.radius).width_mm
        except TableError:
            usual = None
        yield note(
            "key-no-standard",
            "hub.keyway.width",
            f"hub.keyway.width = {seats.width:g} mm is no standard key: it has to be made, "
            f"{seats.height:.2f} mm high for seats {seats.depth:.2f} mm deep",
            value=seats.width,
            limit=usual,
            fix=f"use hub.keyway.width = {usual:g}"
            if usual
            else "buy key steel and file the key to size",
            source=_STANDARD,
        )


def key_words(seats: KeySeats | None) -> str:
    """Return the sentence on keys and their seats, "" without keys."""
    if seats is None:
        return ""
    many = "1 key" if len(seats.angles) == 1 else f"{len(seats.angles)} keys"
    shape = f"{seats.width:g} × {seats.height:.4g} × {seats.length:.4g}"
    return f"{many} {shape} with round ends{' (DIN 6885-1 A)' if seats.key else ''}, key steel."


def key_seat_words(seats: KeySeats | None) -> str:
    """Return how the key seats are made, in one sentence; "" without keys."""
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
