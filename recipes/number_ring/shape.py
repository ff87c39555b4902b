"""Shape of the paper ring for one end of the stator: a band on the yoke, a finger on every tooth.

            ____ r_outer   stays back from the air gap
           |    |
           |    |  finger, stays back from both flanks
        ___|    |___ r_band   stays back from the slot bottom
       (            )
        ------------  r_inner  clear of axle, key, and collar

Origin: axis of the motor. A tooth too slim for lettering has no finger; the band carries all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.job import Job

Side = Literal["lead", "far"]

#: Paper stays this far from air gap and slot bottom, and from the flanks, mm (common practice).
STAY_BACK, FLANK_BACK = 0.5, 0.2

#: Paper stays this far from axle, key and collar, mm.
CLEAR = 1.0

#: Depth of the band: wide enough for lettering, narrow enough to leave windows open, mm.
BAND = 12.0

#: A yoke ring at least this thick, mm, sets the depth of the band.
YOKE = 6.0

#: Smallest width of a finger, mm.
LEAST_FINGER = 2.4


@dataclass(frozen=True)
class RingShape:
    """Measures of one ring in mm.

    Args:
        slots: number of teeth.
        inner, band, outer: radii of the hole, of the band, and of the fingers' ends.
        half: half the width of a finger; 0 for none, `outer` is then `band`.
    """

    slots: int
    inner: float
    band: float
    outer: float
    half: float

    @property
    def pitch(self) -> float:
        """Angle from tooth to tooth, rad."""
        return 2 * math.pi / self.slots

    def without_fingers(self) -> RingShape:
        """Return the plain band."""
        return replace(self, outer=self.band, half=0.0)

    def whole(self, axes: Sequence[float]) -> Region:
        """Return the ring with fingers on these axes (rad, counter-clockwise)."""
        hole = (Outline.circle(ORIGIN, self.inner),)
        if not self.half:
            return Region(Outline.circle(ORIGIN, self.band), hole)
        fingers = [self._finger(a) for a in axes]
        segments: list[Segment] = []
        for k, finger in enumerate(fingers):
            after = fingers[(k + 1) % len(fingers)][0].start
            segments += [*finger, Arc(finger[-1].end, after, ORIGIN, True)]
        return Region(Outline(tuple(segments)), hole)

    def sector(self, axes: Sequence[float]) -> Region:
        """Return the piece with fingers on these axes, parted in the middle of the slots."""
        low, high = axes[0] - self.pitch / 2, axes[-1] + self.pitch / 2
        start, stop = Point.polar(self.band, low), Point.polar(self.band, high)
        segments: list[Segment] = []
        at = start
        for a in axes if self.half else ():
            finger = self._finger(a)
            segments += [Arc(at, finger[0].start, ORIGIN, True), *finger]
            at = finger[-1].end
        inner = Point.polar(self.inner, high), Point.polar(self.inner, low)
        segments += [
            Arc(at, stop, ORIGIN, True),
            Line(stop, inner[0]),
            Arc(*inner, ORIGIN, False),
            Line(inner[1], start),
        ]
        return Region(Outline(tuple(segments)))

    def _finger(self, axis: float) -> tuple[Segment, ...]:
        """Return both sides and the end of a finger, from the band and back to it."""
        base, tip = (math.sqrt(r * r - self.half**2) for r in (self.band, self.outer))
        corners = ((base, -1.0), (tip, -1.0), (tip, 1.0), (base, 1.0))
        a, b, c, d = (Point(x, side * self.half).rotated(axis) for x, side in corners)
        return Line(a, b), Arc(b, c, ORIGIN, True), Line(c, d)


def ring_shape(job: Job, side: Side) -> RingShape:
    """Return the ring for one end.

    Raises:
        Refused: the design has no slot, or no such wire.
    """
    lam, slots = job.design.lamination, job.design.motor.slots
    band = lam.outer_diameter / 2 - lam.slot_depth - STAY_BACK
    inner = max(_clear(job, side), band - _depth(job))
    half = _half_width(job) - FLANK_BACK
    # between two fingers some band must be left to stop the scissors
    if 2 * half < LEAST_FINGER or half + FLANK_BACK > band * math.sin(math.pi / slots):
        half = 0.0
    outer = lam.outer_diameter / 2 - STAY_BACK if half else band
    return RingShape(slots, inner, band, outer, half)


def _half_width(job: Job) -> float:
    """Return half the tooth's width on the end face where its flank is narrowest, mm."""
    flank = next(s for s in reversed(job.slot.half[:-1]) if isinstance(s, Line))
    steps = job.design.ends.steps
    return min(flank.start.y, flank.end.y) - (steps[-1].narrower_by if steps else 0.0)


def _depth(job: Job) -> float:
    yoke = job.design.hub.yoke_thickness
    return min(BAND, yoke - STAY_BACK) if yoke is not None and yoke >= YOKE else BAND


def _clear(job: Job, side: Side) -> float:
    """Return the radius that axle, key and collar need on that side, mm."""
    design = job.design
    axle, key = design.axle, design.hub.keyway
    need = design.lamination.bore_diameter / 2 + (key.depth if key else 0.0)
    collar: Side = "lead" if axle.shoulder.from_face < axle.stator_seat.from_face else "far"
    if side == collar:
        need = max(need, axle.shoulder.diameter / 2)
    return need + CLEAR
