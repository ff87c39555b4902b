"""The comparison of `geometry.inspect.compare` for many edges at once, when only yes or no counts.

A loop becomes two rows of complex numbers, starts and middles of its edges (mm); an end is the
next start. Turned and mirrored loops are made from these rows without new edges. A full circle has
no corners: its centre and radius count.
"""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from geometry.loop_table import LoopTable, loop_tables
from geometry.outline import Outline

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Row = NDArray[np.complex128]


class QuickLoop(NamedTuple):
    """One loop: starts and middles of its edges (n,), and (centre, radius) if it is a circle."""

    start: Row
    middle: Row
    circle: tuple[complex, float] | None

    def turned(self, angle: float) -> QuickLoop:
        """Return the loop turned by `angle` rad about the origin."""
        by = cmath.rect(1.0, angle)
        circle = (self.circle[0] * by, self.circle[1]) if self.circle else None
        return QuickLoop(self.start * by, self.middle * by, circle)

    def mirrored(self, axis_angle: float) -> QuickLoop:
        """Return the mirror image in a line through the origin, in the sense that the loop had."""
        import numpy as np

        by = cmath.rect(1.0, 2.0 * axis_angle)
        circle = (self.circle[0].conjugate() * by, self.circle[1]) if self.circle else None
        start = np.roll(self.start, -1)[::-1].conj() * by
        return QuickLoop(start, self.middle[::-1].conj() * by, circle)

    def same(self, other: QuickLoop, tolerance: float) -> bool:
        """Tell whether every start, middle and end agrees within `tolerance` mm."""
        if self.circle and other.circle:
            (a, r), (b, s) = self.circle, other.circle
            return abs(a - b) <= tolerance and abs(r - s) <= tolerance
        if len(self.start) != len(other.start):
            return False
        import numpy as np

        for k in np.flatnonzero(np.abs(other.start - self.start[0]) <= tolerance):
            off = np.abs(np.roll(other.start, -k) - self.start)
            off = np.maximum(off, np.abs(np.roll(other.middle, -k) - self.middle))
            if float(off.max()) <= tolerance:
                return True
        return False


def quick_loop(loop: Outline, table: LoopTable | None = None) -> QuickLoop:
    """Return a loop as rows of complex numbers; `table` if its edges are in one already."""
    table = table or loop_tables([loop.segments])[0]
    circle = loop.as_circle()
    return QuickLoop(
        table.start, table.middle, (complex(*circle[0]), circle[1]) if circle else None
    )


def all_same(expected: Sequence[QuickLoop], found: Sequence[QuickLoop], tolerance: float) -> bool:
    """Tell whether every expected loop has a partner of its own among those found, none left over.

    `tolerance` in mm. False only means that `compare_outlines` must look; True that it would find nothing.
    """
    left = list(found)
    for loop in expected:
        partner = next((k for k, other in enumerate(left) if loop.same(other, tolerance)), None)
        if partner is None:
            return False
        del left[partner]
    return not left
