"""Cut lines and arcs at straight edges: what of a run lies in a box, what of a loop on one side.

What is kept lies on the very curves of what was given; only its new ends are computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import (
    Box,
    Line,
    Segment,
    fraction_on,
    line_circle,
    line_line,
    supporting_curve,
    trimmed,
)
from geometry.tolerance import SAME_PLACE

Run = tuple[Segment, ...]

#: A half plane: points p with p . normal <= offset; normal of length 1, offset in mm.
HalfPlane = tuple[Point, float]


def half_planes(box: Box) -> tuple[HalfPlane, ...]:
    """Return the four half planes whose common part is `box` (x min, y min, x max, y max), mm."""
    x0, y0, x1, y1 = box
    return (
        (Point(-1.0, 0.0), -x0),
        (Point(1.0, 0.0), x1),
        (Point(0.0, -1.0), -y0),
        (Point(0.0, 1.0), y1),
    )


def runs_in(segments: Iterable[Segment], box: Box) -> list[Run]:
    """Return the connected runs of `segments`, neighbours sharing a point, that lie in `box`.

    Its border belongs to it. A closed run that crosses the border comes as open runs; one that does
    not comes whole.
    """
    x0, y0, x1, y1 = box
    sides, parts = half_planes(box), list[Segment]()
    for segment in segments:
        a, b, c, d = segment.box()
        if a >= x0 and b >= y0 and c <= x1 and d <= y1:
            parts.append(segment)
        elif a <= x1 and b <= y1 and c >= x0 and d >= y0:
            for part in _pieces(segment, sides):
                middle = part.point_at(0.5)
                if all(middle.dot(n) <= e + SAME_PLACE for n, e in sides):
                    parts.append(part)
    return _chained(parts)


def clipped(outline: Outline, side: HalfPlane) -> list[Outline]:
    """Return the loops that bound what of `outline`'s inside lies in the half plane `side`.

    Loops keep the sense of `outline`. An outline that only touches the border comes whole or not
    at all.
    """
    normal, offset = side
    parts = [
        part
        for segment in outline.segments
        for part in _pieces(segment, (side,))
        if part.point_at(0.5).dot(normal) < offset - SAME_PLACE
    ]
    runs = _chained(parts)
    if not runs or runs[0][0].start == runs[0][-1].end:
        return [Outline(runs[0])] if runs else []
    return _joined(runs, normal.left())


def clipped_to_box(outline: Outline, box: Box) -> list[Outline]:
    """Return the loops that bound what of `outline`'s inside lies in `box`, mm."""
    loops = [outline]
    for side in half_planes(box):
        loops = [found for loop in loops for found in clipped(loop, side)]
    return loops


def _pieces(segment: Segment, sides: Sequence[HalfPlane]) -> Iterator[Segment]:
    """Yield the edge in pieces parted wherever it crosses the border of one of the half planes."""
    cuts: list[tuple[float, Point]] = []
    x0, y0, x1, y1 = segment.box()
    for normal, offset in sides:
        values = [Point(x, y).dot(normal) - offset for x in (x0, x1) for y in (y0, y1)]
        if min(values) > SAME_PLACE or max(values) < -SAME_PLACE:
            continue  # the whole edge lies on one side
        border = normal.times(offset), normal.left()
        own = supporting_curve(segment)
        assert own is not None  # an edge lies on its own curve
        spots = line_line(border, own) if isinstance(own[1], Point) else line_circle(border, own)
        cuts += [(fraction_on(segment, p), p) for p in spots]
    start = segment.start
    for fraction, spot in sorted(cuts):
        away = min(spot.distance(start), spot.distance(segment.end))
        if 0.0 < fraction < 1.0 and away > SAME_PLACE:
            yield trimmed(segment, start, spot)
            start = spot
    yield trimmed(segment, start, None) if start != segment.start else segment


def _chained(parts: Sequence[Segment]) -> list[Run]:
    """Return the parts as runs whose neighbours share a point, the last joined to the first."""
    runs: list[list[Segment]] = []
    for part in parts:
        if runs and runs[-1][-1].end == part.start:
            runs[-1].append(part)
        else:
            runs.append([part])
    if len(runs) > 1 and runs[-1][-1].end == runs[0][0].start:
        runs[0] = [*runs.pop(), *runs[0]]
    return [tuple(r) for r in runs]


def _joined(runs: list[Run], along: Point) -> list[Outline]:
    """Return the loops that open runs between points of one straight border close to.

    Along the border, ends in order bound by turns a stretch inside and one outside the outline.
    """
    ends = sorted(
        ((p.dot(along), k, at_end) for k, r in enumerate(runs)
         for at_end, p in ((False, r[0].start), (True, r[-1].end)))
    )  # fmt: skip
    partner = {}
    for one, two in zip(ends[::2], ends[1::2], strict=True):
        partner[one[1:]], partner[two[1:]] = two[1:], one[1:]
    loops, left = [], set(range(len(runs)))
    while left:
        first = k = min(left)
        loop: list[Segment] = []
        while k in left:
            left.remove(k)
            loop += runs[k]
            k = partner[k, True][0]
            if loop[-1].end != runs[k][0].start:
                loop.append(Line(loop[-1].end, runs[k][0].start))
        if k == first:
            loops.append(Outline(tuple(loop)))
    return loops
