"""Sheets for the drawing tests: a stepped, bored shaft with everything a sheet can hold."""

from __future__ import annotations

import math
from itertools import pairwise

from geometry.drafting.dimension import LinearDimension, Span, diameter, leader, stack
from geometry.drafting.drawing import Drawing, Item, Text
from geometry.drafting.sheet import Sheet, TitleBlock, framed_sheet, table
from geometry.drafting.symbol import (
    centre_cross,
    centre_line,
    cutting_plane,
    datum,
    hatch,
    surface_texture,
)
from geometry.drafting.view import View, pick_scale
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line

PAPERS = [(p, turned) for p in ("A4", "A3", "Letter") for turned in (True, False)]

#: Lengths (from the left face) and diameters of a shaft in mm; unequal and unround.
FACES = (0.0, 22.3, 41.7, 103.9, 124.2, 147.6)
DIAMETERS = (12.4, 15.1, 23.8, 15.1, 12.4)
FITS = ("h6 (12.389 / 12.400)", "k6 (15.101 / 15.112)", "h7 (23.779 / 23.800)")
BORE, SLOT = 7.3, (81.2, 4.6, 17.9)  # bore diameter; slot's middle of the first end, width, length


def stadium(x: float, width: float, length: float) -> Outline:
    """A slot with full-radius ends along x, the middle of its first end at (x, 0)."""
    h, far = width / 2, x + length - width
    a, b, c, d = Point(x, -h), Point(far, -h), Point(far, h), Point(x, h)
    return Outline(
        (Line(a, b), Arc(b, c, Point(far, 0.0), True), Line(c, d), Arc(d, a, Point(x, 0.0), True))
    )


def split_ring(outer: float, inner: float, width: float) -> Region:
    """A ring cut through at its top by a slot: the section of a bored, slotted shaft."""
    a, b = math.asin(width / 2 / outer), math.asin(width / 2 / inner)
    top, origin = math.pi / 2, Point(0.0, 0.0)
    p, q = Point.polar(outer, top + a), Point.polar(outer, top - a)
    r, s = Point.polar(inner, top - b), Point.polar(inner, top + b)
    return Region(
        Outline((Arc(p, q, origin, True), Line(q, r), Arc(r, s, origin, False), Line(s, p)))
    )


def shaft_sheet(paper: str = "A4", landscape: bool = True) -> Drawing:
    """The whole drawing of the shaft, laid out for one paper."""
    length, biggest = FACES[-1], max(DIAMETERS)
    block = TitleBlock(
        title="Shaft with wire slot, potter's wheel",
        number="PW-S-07 b",
        owner="Töpferei Łąka",
        revision="3f9a1c0b72de",
        material="C45E, normalised",
    )
    room = framed_sheet(paper, block, landscape=landscape).room
    beside = 42.0 if landscape else 18.0
    free = (room[2] - room[0] - beside, (room[3] - room[1]) / 3)
    scale = pick_scale((length, biggest), free, largest=(2, 1))
    sheet = framed_sheet(
        paper,
        TitleBlock(**{**vars(block), "scale": f"{scale[0]}:{scale[1]}"}),
        landscape=landscape,
    )
    view = View(Point(room[0] + 12.0, room[1] + 0.56 * (room[3] - room[1])), scale)
    items = [*sheet.items, *_side_view(view), *_lengths(view), *_diameters(view)]
    items += _end_view(view, sheet) if landscape else []
    items += _section(sheet, scale)
    if sheet.side:
        rows = [["Drill centre", "x", "angle"], ["1", "81.20", "90°"], ["2", "94.50", "90°"]]
        items += table(sheet.side[0], sheet.side[3], rows).items
    return Drawing(sheet.width, sheet.height, tuple(items), block.title)


def _side_view(view: View) -> list[Item]:
    items: list[Item] = []
    for (x0, x1), d in zip(pairwise(FACES), DIAMETERS, strict=True):
        step = Outline.polygon([(x0, -d / 2), (x1, -d / 2), (x1, d / 2), (x0, d / 2)])
        items += view.edges(step, "visible")
    for y in (-BORE / 2, BORE / 2):
        items.append(view.line(Point(0.0, y), Point(FACES[-1], y), "hidden"))
    items += view.edges(stadium(*SLOT), "visible")
    items.append(centre_line(view.at(0.0, 0.0), view.at(FACES[-1], 0.0)))
    items += cutting_plane(view.at(92.0, -15.4), view.at(92.0, 15.4), "A", 0.0, height=2.5)
    items += datum(view.at(5.2, DIAMETERS[0] / 2), math.pi / 2, "A", height=2.5)
    return items


def _lengths(view: View) -> list[Item]:
    face = view.at(0.0, -DIAMETERS[0] / 2)
    spans = [
        Span(face, view.at(x, -d / 2), f"{x:.1f}")
        for x, d in zip(FACES[1:], DIAMETERS, strict=True)
    ]
    first, width, length = SLOT
    low = -max(DIAMETERS) / 2
    spans.append(Span(face, view.at(first, low), f"{first:.1f}"))
    spans.append(
        Span(view.at(first, low), view.at(first + length - width, low), f"{length - width:.1f}")
    )
    base = view.at(0.0, low).y - 4.0
    return [i for d in stack(spans, base=base, direction=-1) for i in d.items()]


def _diameters(view: View) -> list[Item]:
    """Diameters and a note led out above, each lower than the one at its left: none crosses."""
    top = view.at(0.0, max(DIAMETERS) / 2).y + 9.0
    places = [0.62 * b + 0.38 * a for a, b in pairwise(FACES)]
    places[2] = 57.0
    notes = [(x, d, f"⌀{d:g} {FITS[min(k, 4 - k)]}") for k, (x, d) in enumerate(zip(places, DIAMETERS, strict=True))]  # fmt: skip
    notes[-1] = (places[-1], DIAMETERS[-1], f"⌀{DIAMETERS[-1]:g} h6")
    items: list[Item] = []
    for k, (x, d, words) in enumerate(reversed(notes)):
        tip = view.at(x, d / 2)
        row = k + (k > 1)  # the slot's note takes the third row
        items += diameter(view.at(x, -d / 2), tip, words, reach=top + 5.5 * row - tip.y)
    mouth = view.at(87.4, SLOT[1] / 2)
    items += leader(mouth, Point(mouth.x, top + 11.0), "slot 4.6 x 17.9, R2.3, both mouths R1")
    return items


def _end_view(view: View, sheet: Sheet) -> list[Item]:
    end = View(Point(sheet.room[2] - 18.0 - 12.0 * view.factor, view.origin.y), view.scale)
    items: list[Item] = []
    for d in sorted({*DIAMETERS, BORE}):
        items += end.edges(Outline.circle(Point(0.0, 0.0), d / 2), "visible")
    items += centre_cross(end.origin, end.factor * max(DIAMETERS) / 2)
    a = math.radians(37.0)
    ends = [end.point(Point.polar(BORE / 2, t)) for t in (a + math.pi, a)]
    reach = end.factor * (max(DIAMETERS) - BORE) / 2 + 5.0
    items += diameter(ends[0], ends[1], f"⌀{BORE}", reach=reach)
    return items


def _section(sheet: Sheet, scale: tuple[int, int]) -> list[Item]:
    big = max(DIAMETERS) / 2
    cut = View(Point(sheet.room[2] - 38.0, sheet.room[1] + 27.0), scale)
    face = split_ring(big, BORE / 2, SLOT[1])
    size, c = cut.factor * big, cut.origin
    items: list[Item] = [*cut.edges(face, "visible"), *hatch(cut.region(face))]
    items += centre_cross(c, size)
    a, b = face.outer.segments[0].start, face.outer.segments[0].end
    across = LinearDimension(cut.point(a), cut.point(b), "4.6 +0.1/0", c.y + size + 7.0)
    items += across.items()
    items.append(Text(c.x - 12.0, c.y + size + 15.0, 3.5, "A-A", "right"))
    rim = [c.plus(Point.polar(size + k, -0.7)) for k in (0.0, 4.0)]
    items += leader(rim[0], rim[1], f"R{big:g}")
    tip = c.plus(Point.polar(0.75 * size, 0.4))
    items += leader(tip, c.plus(Point(size + 4.0, 9.0)), "no burr", end="dot")
    items += surface_texture(Point(sheet.room[0] + 6.0, sheet.room[1] + 4.0), "Ra 1.6")
    return items
