"""Repeat an open run of edges round the origin into one closed outline."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geometry.carrier import trimmed
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.segment import Segment, mirror_image, turned

#: How far the end of one copy may lie from the start of the next before it counts as a gap (mm).
#: Only rounding noise of sin and cos is taken up by sharing the point.
_NOISE = 1e-9


def mirrored_run(run: Sequence[Segment], axis_angle: float) -> list[Segment]:
    """Return the mirror image of an open run, travelled so that it can follow the run."""
    return mirror_image(run, axis_angle)


def joined(runs: Sequence[Sequence[Segment]], closed: bool = False) -> list[Segment]:
    """Join runs end to start so that neighbours share one point.

    Raises:
        GeometryError: two runs lie further apart than rounding noise (1e-9 mm).
    """
    flat = [s for run in runs for s in run]
    result: list[Segment] = []
    for k, this in enumerate(flat):
        after = flat[(k + 1) % len(flat)] if closed or k + 1 < len(flat) else None
        if after is None:
            result.append(this)
            continue
        gap = this.end.distance(after.start)
        if gap > _NOISE:
            raise GeometryError(f"the runs lie {gap:.3g} mm apart", where=this.end, value=gap)
        result.append(this if this.end == after.start else trimmed(this, end=after.start))
    return result


def ring(run: Sequence[Segment], copies: int, start_angle: float = 0.0) -> Outline:
    """Repeat `run` `copies` times round the origin, each turned by 2 pi / copies, and close it.

    Args:
        run: open run whose end, turned back by one pitch, is its start.
        copies: how many times.
        start_angle: angle of the first copy in rad.
    """
    turns = [start_angle + 2 * math.pi * k / copies for k in range(copies)]
    return Outline(tuple(joined([turned(run, t) for t in turns], closed=True)))
