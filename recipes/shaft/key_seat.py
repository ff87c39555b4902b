"""Where the keys of the stack sit in the axle: milled seats with round ends, inside the stack.

        seat of the stack             across:   ____
    ___________________________               .-|  |-.  <- depth t1, on the middle line
    |   (================)    | collar       /  |__|  \\
    ---------------------------             |    ( )   |  <- wall that is left over the bore

Angles as the design counts: seen on face A, 0 to the right, 90 up; the first key stands over tooth 1,
which is up, the others at equal steps counter-clockwise, as in the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass

from recipes.job import Job
from recipes.shaft.sections import SAME, collar_feature, stator_feature
from recipes.tables.keys import KEY_LENGTHS, Key, key_of_width, n9_limits
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


@dataclass(frozen=True)
class KeySeats:
    """The seats of all keys, alike but for their direction.

    Args:
        start, end: from face A in mm, round ends included.
        width, depth: in mm; depth on the middle line.
        depth_over: how much deeper it may come out, mm.
        height: of the key, mm.
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


def key_seats_of(job: Job) -> KeySeats | None:
    """Return the key seats of a design; None where the stack takes no key."""
    keyway, given = job.design.hub.keyway, job.design.axle.key_seat
    if keyway is None:
        return None
    try:
        key: Key | None = key_of_width(keyway.width)
    except TableError:
        key = None
    depth = given.depth
    if depth is None:
        depth = key.shaft_depth_mm if key else DEPTH_SHARE * keyway.width
    height = key.height_mm if key else depth + keyway.depth - BACK_CLEARANCE
    low, high = _stack_span(job)
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
        radius=job.design.lamination.bore_diameter / 2,
        angles=tuple((FIRST + 360.0 * k / keyway.count) % 360.0 for k in range(keyway.count)),
        key=key,
    )


def _stack_span(job: Job) -> tuple[float, float]:
    """Return where the stack lies, pushed against its collar, from face A in mm."""
    seat, collar = stator_feature(job), collar_feature(job)
    length = min(job.stack.length, seat.end - seat.start)
    if collar.start >= seat.end - SAME:
        return seat.end - length, seat.end
    return seat.start, seat.start + length


def _longest(room: float, width: float) -> float:
    """Return the longest standard key that stays inside `room`, else what the room takes."""
    most = room - 2 * INSIDE
    fitting = [k for k in KEY_LENGTHS if width < k <= most + SAME]
    return max(fitting, default=max(most, 1.05 * width))
