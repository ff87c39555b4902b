"""Where everything of the stator's picture lies on the sheet: rings of labels, coils, tails."""

from __future__ import annotations

import math

from geometry.point import Point
from geometry.segment import Line
from recipes.card.marks import Block, RingText, ring_text
from recipes.job import Job
from recipes.parts.lamination import TOOTH_1

#: With more teeth, tails have no letters and links are left to the joint list.
MOST_TEETH = 48

#: Lettering of tails, mm.
LETTER = 2.5


class Stage:
    """Measures of the picture, mm on the sheet and rad.

    Attributes:
        centre, radius: of the whole picture.
        numbers, phases: setting of the two rings of labels outside the teeth.
        tip, root, bore: radii of the steel.
        block: the coil on every tooth.
        half: half the angle from coil to coil; no tail lies on a multiple of it from tooth 1.
        tail: angle from a tooth's axis to the place where its start or finish comes up.
        below: radius under the letters of the tails, where links begin.
    """

    def __init__(self, job: Job, centre: Point, radius: float) -> None:
        """Fit the stator of a job into a circle on the sheet."""
        self.job, self.centre, self.radius = job, centre, radius
        self.teeth = job.winding.teeth
        self.slots = len(self.teeth)
        self.pitch = 2 * math.pi / self.slots
        lam = job.design.lamination
        self.numbers = self._labels([str(k + 1) for k in range(self.slots)], radius - 4.0)
        self.phases = self._labels(["W\u2212"], radius - self.numbers.depth - 4.0, 3.5)
        self.tip = radius - self.numbers.depth - self.phases.depth - 2.2
        self.factor = self.tip / (lam.outer_diameter / 2)
        self.root = (lam.outer_diameter / 2 - lam.slot_depth) * self.factor
        self.bore = lam.bore_diameter / 2 * self.factor
        self.alternate = job.design.winding.coil_sides == "alternate teeth"
        self.block = self._block()
        # tails at a quarter of the coils' pitch lie as far from each other as from the next coil's
        reach = math.atan2(0.8 * self.block.half_inner, self.block.inner)
        self.half = (2 if self.alternate else 1) * self.pitch / 2
        self.tail = min(self.half / 2, reach)
        self.lettered = self.slots <= MOST_TEETH
        self.below = self.root - (5.4 if self.lettered else 0.8)

    def _labels(self, words: list[str], radius: float, largest: float = 5.0) -> RingText:
        sizes = tuple(h for h in (5.0, 3.5, LETTER) if h <= largest)
        return ring_text(words, 2 * radius * math.sin(math.pi / self.slots), sizes)

    def _block(self) -> Block:
        """Return the coil on every tooth: along the flank, and into both slots.

        Half of each slot where every tooth is wound, more where the neighbours are bare.
        """
        share = 1.25 if self.alternate else 0.84
        flank = next(s for s in reversed(self.job.slot.half[:-1]) if isinstance(s, Line))
        outer = flank.start.x * self.factor
        inner = min(flank.end.x * self.factor, outer - 3.0)
        most = 2.2 * max(flank.start.y, flank.end.y) * self.factor
        half = [min(share * x * math.tan(self.pitch / 2), most) for x in (inner, outer)]
        return Block(inner, outer, *half)

    def angle(self, k: int) -> float:
        """Return the direction of a tooth by its index."""
        return TOOTH_1 + self.pitch * k

    def polar(self, radius: float, angle: float) -> Point:
        """Return a place on the sheet by its distance from the axle."""
        return self.centre.plus(Point.polar(radius, angle))

    def end_angle(self, k: int, end: str) -> float:
        """Return where a coil's "start" or "finish" comes up; the start at the arrow's point."""
        side = self.teeth[k].sense * (1 if end == "start" else -1)
        return self.angle(k) + side * self.tail
