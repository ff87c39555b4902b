"""Hatching of cut faces by explicit lines, so that every format shows the same (ISO 128-3)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.outline import Region
from geometry.point import Point
from geometry.sheet.drawing import Stroke, line
from geometry.tolerance import SAGITTA

#: Distance between hatch lines in mm: 5 to 15 line widths in use (common practice).
SPACING = 2.0


def hatch(
    region: Region, *, spacing: float = SPACING, angle: float = math.pi / 4, style: str = "narrow"
) -> tuple[Stroke, ...]:
    """Return the parallel lines that cover `region` (sheet mm), clipped at its edges.

    Arcs are met as chords that stray at most `geometry.tolerance.SAGITTA`, far below the width
    of the line. Lines are counted from the sheet's origin, so two areas of one part that are
    hatched apart still match (ISO 128-3 asks for that).
    """
    loops = [[p.rotated(-angle) for p in loop.chords(SAGITTA)] for loop in region.loops]
    heights = [p.y for loop in loops for p in loop]
    strokes = []
    for k in range(math.floor(min(heights) / spacing), math.ceil(max(heights) / spacing) + 1):
        # Half a micrometre off the grid keeps a line from lying exactly on a straight edge.
        y = k * spacing + 5e-4
        hits = sorted(x for loop in loops for x in _crossings(loop, y))
        for x0, x1 in zip(hits[::2], hits[1::2], strict=True):
            if x1 - x0 > spacing / 20:
                strokes.append(
                    line(Point(x0, y).rotated(angle), Point(x1, y).rotated(angle), style)
                )
    return tuple(strokes)


def _crossings(corners: list[Point], y: float) -> Iterator[float]:
    """Yield x wherever the closed polygon passes height y (lower end in, upper end out)."""
    for a, b in zip((corners[-1], *corners), corners, strict=False):
        if (a.y <= y) != (b.y <= y):
            yield a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
