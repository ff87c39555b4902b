"""Symbols of technical drawings, made of plain strokes: centre lines, cuts, datums, finish."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from geometry.drafting.dimension import arrow, upright
from geometry.drafting.drawing import Fill, Items, Stroke, Text, box, edges, line, polyline
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.tolerance import SAGITTA

# Hatching of cut faces by explicit lines, so that every format shows the same (ISO 128-3).

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


# Tolerance frames of ISO 1101: a sign, a value, datums; with a leader to the surface.

#: Height of a frame in sizes of lettering (ISO 1101).
FRAME_HEIGHT = 2.0

Sign = Literal["run-out", "square", "symmetry"]


def frame_cells(words: Sequence[str], height: float = SMALLEST_TEXT) -> tuple[float, ...]:
    """Return the widths in mm of the cells: the sign's, then one for each text."""
    return (FRAME_HEIGHT * height, *(text_width(t, height) + 2.0 for t in words))


def tolerance_frame(
    left: float,
    base: float,
    sign: Sign,
    words: Sequence[str],
    *,
    height: float = SMALLEST_TEXT,
) -> Items:
    """Return a frame whose lower left corner is (left, base).

    Args:
        sign: circular run-out, perpendicularity, or symmetry.
        words: value and datums, such as ("0.2", "A").
    """
    cells, top = frame_cells(words, height), base + FRAME_HEIGHT * height
    items: list[Stroke | Fill | Text] = [box(left, base, left + sum(cells), top)]
    items += _sign(sign, left, base, cells[0])
    x = left + cells[0]
    for text, width in zip(words, cells[1:], strict=True):
        items.append(line(Point(x, base), Point(x, top)))
        items.append(Text(x + width / 2, (base + top) / 2, height, text, "centre", level="middle"))
        x += width
    return tuple(items)


def _sign(sign: Sign, left: float, base: float, cell: float) -> Items:
    if sign == "square":
        foot, middle = base + 0.22 * cell, left + cell / 2
        return (
            line(Point(left + 0.2 * cell, foot), Point(left + 0.8 * cell, foot)),
            line(Point(middle, foot), Point(middle, base + 0.8 * cell)),
        )
    if sign == "symmetry":
        return tuple(
            line(Point(left + a * cell, base + up * cell), Point(left + b * cell, base + up * cell))
            for a, b, up in ((0.3, 0.7, 0.3), (0.15, 0.85, 0.5), (0.3, 0.7, 0.7))
        )
    a = Point(left + 0.25 * cell, base + 0.2 * cell)
    b = Point(left + 0.8 * cell, base + 0.85 * cell)
    return line(a, b), arrow(b, b.minus(a).angle())


#: How far a centre line stands out beyond the edge it belongs to, in mm (ISO 128-2).
CENTRE_BEYOND = 3.0


def centre_line(a: Point, b: Point, beyond: float = CENTRE_BEYOND) -> Stroke:
    """Return a centre line from a to b, drawn on by `beyond` mm at both ends."""
    u = b.minus(a).unit()
    return line(a.plus(u, -beyond), b.plus(u, beyond), "centre")


def centre_cross(center: Point, radius: float, beyond: float = CENTRE_BEYOND) -> Items:
    """Return the two centre lines of a circle of `radius` mm."""
    return tuple(
        centre_line(center.plus(step, -1.0), center.plus(step), beyond)
        for step in (Point(radius, 0.0), Point(0.0, radius))
    )


def cutting_plane(a: Point, b: Point, letter: str, looking: float, *, height: float = 3.5) -> Items:
    """Return the trace of a cutting plane with thick ends, arrows and letters (ISO 128-3).

    Args:
        looking: direction in which the section is seen, rad.
    """
    u = b.minus(a).unit()
    items: list[Stroke | Fill | Text] = []
    if a.distance(b) > 12.0:
        items.append(line(a.plus(u, 4.0), b.plus(u, -4.0), "centre"))
    for end, inward in ((a, 1.0), (b, -1.0)):
        tail = end.plus(Point.polar(6.0, looking), -1.0)
        items += [line(end, end.plus(u, 4.0 * inward), "visible"), line(tail, end)]
        items.append(arrow(end, looking))
        spot = tail.plus(Point.polar(0.5 + height / 2, looking), -1.0)
        items.append(Text(spot.x, spot.y, height, letter, "centre", level="middle"))
    return tuple(items)


def datum(
    tip: Point, direction: float, letter: str, *, height: float = 3.5, away: float = 6.0
) -> Items:
    """Return a datum feature: a filled triangle on an edge and its letter in a frame (ISO 5459).

    Args:
        direction: away from the edge, rad.
        away: from the edge to the frame of the letter, mm.
    """
    out = Point.polar(1.0, direction)
    side = out.left().times(1.5)
    neck, half = tip.plus(out, 2.6), height * 0.9
    middle = tip.plus(out, away + half)
    return (
        Fill((Outline.polygon([tip.plus(side), tip.plus(side, -1.0), neck]),)),
        line(neck, middle.plus(out, -half / max(abs(out.x), abs(out.y)))),
        box(middle.x - half, middle.y - half, middle.x + half, middle.y + half),
        Text(middle.x, middle.y, height, letter, "centre", level="middle"),
    )


def surface_texture(
    tip: Point, text: str, *, direction: float = math.pi / 2, height: float = SMALLEST_TEXT
) -> Items:
    """Return the sign for a surface that must be machined, with its value (ISO 21920-1).

    Args:
        tip: the point that touches the edge or an extension line.
        text: the demand, such as "Ra 0.8".
        direction: away from the material, rad; the sign turns with it and stays readable.
    """
    turn = upright(direction - math.pi / 2)
    s = height / 2.5
    spots = [Point(-1.9, 3.3), Point(0.0, 0.0), Point(3.8, 6.6)]
    right = Point(4.3 + text_width(text, height) / s, 6.6)
    shown = [tip.plus(p.rotated(turn), s) for p in (*spots, right)]
    bar = [tip.plus(p.rotated(turn), s) for p in (spots[0], Point(1.9, 3.3))]
    label = tip.plus(Point(4.0, 3.2).rotated(turn), s)
    return (
        polyline(shown),
        line(bar[0], bar[1]),
        Text(label.x, label.y, height, text, "left", turn),
    )


def first_angle(center: Point, height: float = 7.0) -> Items:
    """Return the sign of first-angle projection (ISO 5456-2): frustum, then its end view.

    `height` in mm. The small end looks left; its view from the left stands on the right: two full circles.
    """
    big, small, length = height / 2, height / 4, height
    left = center.x - 1.3 * height
    cone = Outline.polygon(
        [
            (left, center.y - small),
            (left + length, center.y - big),
            (left + length, center.y + big),
            (left, center.y + small),
        ]
    )
    eye = Point(center.x + 0.8 * height, center.y)
    return (
        *edges(cone, "visible"),
        *(edges(Outline.circle(eye, big), "visible")),
        *(edges(Outline.circle(eye, small), "visible")),
        centre_line(Point(left, center.y), Point(left + length, center.y), 1.5),
        *centre_cross(eye, big, 1.5),
    )


def direction_arrow(middle: Point, angle: float, length: float = 12.0) -> Items:
    """Return a two-headed arrow `length` mm long at `angle` rad, for grain or rolling direction."""
    half = Point.polar(length / 2, angle)
    a, b = middle.plus(half, -1.0), middle.plus(half)
    return line(a, b), arrow(a, angle + math.pi), arrow(b, angle)
