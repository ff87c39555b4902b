"""Exact edges -> the text of an SVG path (SVG 1.1 section 8.3): M, L, A and Z, absolute.

Coordinates are mm with y as in the model; who draws with y up flips by a transform. The sense
of an A command follows the coordinates, so it stays right under that flip.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from geometry.outline import Outline, Region
from geometry.segment import Arc, Segment

#: Longer arcs are drawn in pieces. An A command is given by its rounded ends and radius; near
#: a half turn its middle would be off by the root of twice the rounding times the radius
#: (0.1 mm at 90 mm and 4 decimals), and ends that round to one place would lose it altogether.
LONGEST_SWEEP = math.pi / 2

#: How a number is written with so many digits after its point; made once, as pages hold thousands.
_FORMS = tuple(f"%.{digits}f" for digits in range(13))


def path_data(shape: Outline | Region | Sequence[Segment], decimals: int = 4) -> str:
    """Return the `d` attribute of a path.

    Args:
        shape: an outline; a region (outer and holes in one path, for `fill-rule="evenodd"`
            and, as they run against each other, for "nonzero" too); or an open run of edges,
            in which an edge that does not touch the one before starts a new subpath.
        decimals: digits after the point; coordinates stray by half the last digit.
    """
    if isinstance(shape, Region):
        return " ".join(_closed(loop, decimals) for loop in (shape.outer, *shape.holes))
    if isinstance(shape, Outline):
        return _closed(shape, decimals)
    return _run(shape, decimals)


def number_text(value: float, decimals: int) -> str:
    """Return a number with a point, at most `decimals` digits after it, and never "-0"."""
    text = _FORMS[decimals] % value
    if decimals:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _closed(loop: Outline, decimals: int) -> str:
    """Return the loop with its last edge written out: Z alone would draw a straight one."""
    return f"{_run(loop.segments, decimals)} Z"


def _run(segments: Iterable[Segment], decimals: int) -> str:
    parts: list[str] = []
    at = None
    for edge in segments:
        if edge.start != at:
            parts.append(f"M {_place(edge.start, decimals)}")
        at = edge.end
        if isinstance(edge, Arc):
            parts += _arc(edge, decimals)
        else:
            parts.append(f"L {_place(at, decimals)}")
    return " ".join(parts)


def _arc(edge: Arc, decimals: int) -> list[str]:
    n = max(1, math.ceil(abs(edge.sweep) / LONGEST_SWEEP - 1e-9))
    radius = number_text(edge.radius, decimals)
    turn = 1 if edge.ccw else 0
    return [
        f"A {radius} {radius} 0 0 {turn} {_place(edge.point_at(k / n), decimals)}"
        for k in range(1, n + 1)
    ]


def _place(point: tuple[float, float], decimals: int) -> str:
    return f"{number_text(point[0], decimals)} {number_text(point[1], decimals)}"
