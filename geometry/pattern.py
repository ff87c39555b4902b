"""Repeat an open run of edges round the origin into one closed outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import repeat

import numpy as np

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Line, Segment, sound_arc, sound_line
from geometry.supporting_curve import trimmed
from geometry.transform import mirror_image

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
    turns = [2 * math.pi / len(runs) * k for k in range(len(runs))]
    spots: list[list[Point]] = [[]] * len(runs)
    for run in {id(r): r for r in runs}.values():
        those = [k for k, other in enumerate(runs) if other is run]
        for k, row in zip(those, _images(run, [turns[k] for k in those], start), strict=True):
            spots[k] = row
    loop: list[Segment] = []
    for run, row, following in zip(runs, spots, (*spots[1:], spots[0]), strict=True):
        n, after = len(run), following[0]
        gap = row[n].distance(after)
        if gap > _NOISE:
            raise GeometryError(f"the runs lie {gap:.3g} mm apart", where=row[n], value=gap)
        centers = iter(row[n + 1 :])
        loop += [
            sound_line(a, b) if isinstance(edge, Line) else sound_arc(a, b, next(centers), edge.ccw)
            for edge, a, b in zip(run, row[:n], (*row[1:n], after), strict=True)
        ]
    return loop


def _images(run: Sequence[Segment], turns: Sequence[float], start: float) -> list[list[Point]]:
    """Return for each turn the starts of a run's edges, its end and the centres of its arcs.

    All are turned about the origin, then once more by `start` rad. Products and sums of a whole row
    are those of single numbers to the last digit; only sines would not be, and are not taken here.
    """

    spots = [e.start for e in run]
    spots += [run[-1].end, *(e.center for e in run if not isinstance(e, Line))]
    x, y = np.array([p.x for p in spots]), np.array([p.y for p in spots])
    c, s = (np.array([[f(turn)] for turn in turns]) for f in (math.cos, math.sin))
    x, y = 0.0 + c * x - s * y, 0.0 + s * x + c * y
    c0, s0 = math.cos(start), math.sin(start)
    x, y = 0.0 + c0 * x - s0 * y, 0.0 + s0 * x + c0 * y
    # a named tuple's own way takes twice as long
    return [
        list(map(tuple.__new__, repeat(Point), zip(*row, strict=True)))
        for row in zip(x.tolist(), y.tolist(), strict=True)
    ]
