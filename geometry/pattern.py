"""Repeat an open run of edges round the origin into one closed outline."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geometry.carrier import trimmed
from geometry.errors import GeometryError
from geometry.motion import mirror_image
from geometry.point import Point
from geometry.segment import Line, Segment, sound_arc, sound_line

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


def repeated(runs: Sequence[Sequence[Segment]], start: float = 0.0) -> list[Segment]:
    """Return the closed loop of runs about the origin, each an equal step on from the last.

    Args:
        runs: the first is turned by `start`, each other one step more; within each, edges share
            their points, and its end meets the start of the next.
        start: in rad.

    Returns:
        What turning each run by its step, joining them and turning the loop by `start` gives, to
        the last digit, but with no edge made twice.

    Raises:
        GeometryError: two runs lie further apart than rounding noise (1e-9 mm).
    """
    step, c0, s0, new = 2 * math.pi / len(runs), math.cos(start), math.sin(start), tuple.__new__

    def image(p: Point) -> Point:
        x, y = p
        x, y = 0.0 + c * x - s * y, 0.0 + s * x + c * y
        return new(Point, (0.0 + c0 * x - s0 * y, 0.0 + s0 * x + c0 * y))

    starts: list[list[Point]] = []
    ends: list[Point] = []
    centers: list[list[Point | None]] = []
    for k, run in enumerate(runs):
        c, s = math.cos(step * k), math.sin(step * k)
        starts.append([image(edge.start) for edge in run])
        ends.append(image(run[-1].end))
        centers.append([None if isinstance(e, Line) else image(e.center) for e in run])
    loop: list[Segment] = []
    for k, run in enumerate(runs):
        after = starts[(k + 1) % len(runs)][0]
        gap = ends[k].distance(after)
        if gap > _NOISE:
            raise GeometryError(f"the runs lie {gap:.3g} mm apart", where=ends[k], value=gap)
        for edge, a, b, center in zip(
            run, starts[k], (*starts[k][1:], after), centers[k], strict=True
        ):
            if center is None or isinstance(edge, Line):
                loop.append(sound_line(a, b))
            else:
                loop.append(sound_arc(a, b, center, edge.ccw))
    return loop
