"""Tolerance frames of labels whose leader ends on a surface, as ISO 1101 asks.

A leader in line with a dimension line means the axis or median plane. So a surface has a leader of
its own, clear of every dimension line: down onto the outline, or from the side onto an extension line
of a face. A frame without one speaks of the size that its label names (axis or median plane).

    +---+------+-----+
 .--| / | 0.02 | A-B |           .--[frame]
 |  +---+------+-----+           |      |
 |  ⌀25 h6                       '----->|  extension line of the face
 v                                      |
====== outline                       ===+
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.drafting.dimension import EXTENSION_BEYOND, EXTENSION_GAP, arrow
from geometry.drafting.drawing import Items, line, polyline
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.symbol import FRAME_HEIGHT, Sign, frame_cells, tolerance_frame
from geometry.point import Point

#: From the frame to the upright part of its leader, mm.
STRIP = 2.0

#: Least distance of the leader from the dimension line of its label, mm.
CLEAR_OF_SIZE = 2.2


@dataclass(frozen=True)
class FaceLine:
    """An upright face whose extension line the leader meets from the side.

    Args:
        x: of the face on the sheet, mm.
        corner: y of its outer end, where the extension line starts.
    """

    x: float
    corner: float


@dataclass(frozen=True)
class FeatureFrame:
    """One frame.

    Args:
        sign: what is toleranced.
        cells: value and datums.
        side: of its block that the leader leaves, -1 or +1; 0 for none: it speaks of the label's size.
        stands: stretches of x where the leader may come down, mm.
        tip: y of the arrow, mm.
        face: that the arrow meets from the side; None: it falls on the outline.
    """

    sign: Sign
    cells: tuple[str, ...]
    side: int = 0
    stands: tuple[tuple[float, float], ...] = ()
    tip: float = 0.0
    face: FaceLine | None = None

    @property
    def width(self) -> float:
        """Width of the frame, mm."""
        return sum(frame_cells(self.cells))

    def run(self, x: float) -> tuple[float, float]:
        """Return the stretch of x that the leader's lower end takes if it comes down at `x`, mm."""
        ends = (x, self.face.x if self.face else x)
        return min(ends), max(ends)

    def items(self, left: float, base: float) -> Items:
        """Return the frame whose lower left corner is (left, base)."""
        return tolerance_frame(left, base, self.sign, self.cells)

    def leader(self, left: float, base: float, foot: Point, stand: Point) -> Items:
        """Return the leader of the frame at (left, base).

        Args:
            foot: where it leaves the block, beside its lower corner.
            stand: where it begins to come down upright.
        """
        middle = base + FRAME_HEIGHT * SMALLEST_TEXT / 2
        start = Point(left + (self.width if self.side > 0 else 0.0), middle)
        run = [start, Point(foot.x, middle), foot, stand, Point(stand.x, self.tip)]
        if self.face is None:
            return polyline(run), arrow(run[-1], -math.pi / 2)
        x, corner = self.face.x, self.face.corner
        end = Point(x, self.tip)
        extension = line(Point(x, corner + EXTENSION_GAP), Point(x, self.tip + EXTENSION_BEYOND))
        toward = 0.0 if x > stand.x else math.pi
        return polyline([*run, end]), arrow(end, toward), extension
