"""Repeat an open run of edges round the origin into one closed outline."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.carrier import trimmed
from geometry.errors import GeometryError
from geometry.motion import mirror_image
from geometry.segment import Segment

#: How far the end of one copy may lie from the start of the next before it counts as a gap (mm).
#: Only rounding noise of sin and cos is taken up by sharing the point.
_NOISE = 1e-9


def mirrored_run(run: Sequence[Segment], axis_angle: float) -> list[Segment]:
    """Return the mirror image of an open run in the line at `axis_angle` rad, able to follow it."""
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
