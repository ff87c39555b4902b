"""What lies on what along the axis of the stack, from the lead side: z = 0 at its outermost face."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.segment import Arc

if TYPE_CHECKING:
    from geometry.outline import Region
    from geometry.part import Part
    from recipes.job import Job

#: A plane this far beside the axis meets no corner that lies on it, mm; far below what a pen shows.
BESIDE = 1e-7


@dataclass(frozen=True)
class Layer:
    """A run of like sheets, a cap or a washer.

    Args:
        part: what it is made of.
        count: pieces that lie on each other.
        start, end: along the axis, mm.
        steel: whether it belongs to the height of the steel.
    """

    part: Part
    count: int
    start: float
    end: float
    steel: bool

    @property
    def region(self) -> Region:
        """Its outline, mm, tooth 1 up."""
        return self.part.cut[0]


def layers(job: Job) -> tuple[Layer, ...]:
    """Return every layer from the lead side to the far side.

    Raises:
        Refused: a sheet, cap or washer cannot be drawn.
    """
    from recipes.parts.stack import end_sheets

    count, full = job.stack, job.parts["lamination"][0]
    ends: list[tuple[Part, int, float, bool]] = [
        (p, 1, p.thickness, False) for name in ("end_washer", "end_cap") for p in job.parts[name]
    ]
    steps = zip(end_sheets(job), count.end_sheets, strict=True)
    ends += [(p, n // 2, n // 2 * count.sheet_height, True) for p, n in reversed(list(steps))]
    middle = (full, count.full_sheets, count.full_sheets * count.sheet_height, True)
    found, z = [], 0.0
    for part, pieces, thickness, steel in (*ends, middle, *reversed(ends)):
        if pieces:
            found.append(Layer(part, pieces, z, z + thickness, steel))
            z += thickness
    return tuple(found)


def cut_through(region: Region) -> tuple[tuple[float, float], ...]:
    """Return where the plane through the axis and tooth 1 meets material: pairs of y, rising, mm."""
    spots: list[float] = []
    for loop in region.loops:
        for s in loop.segments:
            a, b = s.start.x - BESIDE, s.end.x - BESIDE
            if not isinstance(s, Arc):
                if (a <= 0) != (b <= 0):
                    spots.append(s.start.y + (s.end.y - s.start.y) * a / (a - b))
                continue
            off, radius = BESIDE - s.center.x, s.radius
            if abs(off) < radius:
                rise = math.sqrt(radius * radius - off * off)
                spots += [
                    s.center.y + up * rise for up in (1, -1) if s.covers(math.atan2(up * rise, off))
                ]
    spots.sort()
    return tuple(zip(spots[::2], spots[1::2], strict=True))
