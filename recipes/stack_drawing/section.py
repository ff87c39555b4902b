"""Section A-A through axis and tooth 1, lead side at the left, with its sizes and tolerances."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.sheet.dimension import (
    ARROW_LENGTH,
    EXTENSION_BEYOND,
    EXTENSION_GAP,
    OUTSIDE_TAIL,
    LinearDimension,
    arrow,
    linear,
)
from geometry.sheet.drawing import Fill, Item, Items, Text, line, polyline
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, widest
from geometry.sheet.gap_mark import gap_mark
from geometry.sheet.hatch import hatch
from geometry.sheet.leader import leader, shelf
from geometry.sheet.symbol import centre_line, datum
from geometry.sheet.tolerance_frame import FRAME_HEIGHT, frame_cells, tolerance_frame
from recipes.drawing_words import Words, plain
from recipes.stack_drawing.layers import Layer, cut_through, layers
from recipes.tables.process import process

if TYPE_CHECKING:
    from geometry.sheet.view import View
    from recipes.job import Job

#: Layers thinner than this on the sheet, mm, are toned, not hatched; thinner than that, not told
#: apart by a line.
HATCHED, APART = 2.0, 0.7

#: Run-out of the tooth faces as a share of the air gap: a stator out of middle by a tenth of the
#: gap (common practice), read on a dial gauge as twice that.
RUN_OUT_SHARE = 0.2

#: Squareness of the end faces to the bore by diameter, mm: general tolerance class H of
#: ISO 2768-2:1989 table 2 (from memory; withdrawn in 2021 for ISO 22081).
SQUARE = ((100.0, 0.2), (300.0, 0.3), (1000.0, 0.4))

#: First height under the section, and the next under it, mm.
HEIGHTS_UNDER, HEIGHTS_PITCH = 8.0, 8.0

#: Room that the frames need over the section, mm.
FRAMES_HIGH = 19.0

#: Dimension line of the bore right of the section, and from there to its words, which stand clear
#: of the centre line, mm.
BORE_OUT, BORE_SHELF, BORE_RISE = 7.0, 4.0, 4.0


def run_out(job: Job) -> float:
    """Return the run-out of the tooth faces to the bore that is allowed, mm, to 0.01."""
    return max(0.01, math.floor(100 * RUN_OUT_SHARE * job.design.rotor.air_gap + 1e-9) / 100)


def squareness(job: Job) -> float:
    """Return the squareness of the end faces to the bore, mm."""
    size = job.design.lamination.outer_diameter
    return next(value for most, value in SQUARE if size <= most)


def section(job: Job, view: View) -> Items:
    """Return the cut faces and what is seen behind them.

    Args:
        view: places the model's (z, height above the axis) on the sheet.
    """
    found = layers(job)
    items: list[Item] = []
    steel = [layer for layer in found if layer.steel]
    items += _block(view, steel[0].start, steel[-1].end, steel[0], 1)
    for one, two in pairwise(steel):
        if min(x.end - x.start for x in (one, two)) * view.factor >= APART:
            for low, high in cut_through(one.region):
                items.append(view.line(Point(one.end, low), Point(one.end, high), "narrow"))
    for layer in found:
        if not layer.steel:
            items += _block(view, layer.start, layer.end, layer, -1)
    bore = job.design.lamination.bore_diameter / 2
    for up in (bore, -bore):
        items.append(view.line(Point(steel[0].start, up), Point(steel[-1].end, up), "visible"))
    items.append(centre_line(view.at(found[0].start, 0.0), view.at(found[-1].end, 0.0)))
    return tuple(items)


def _block(view: View, start: float, end: float, layer: Layer, lean: int) -> Items:
    """Return one block in section: its silhouette and its cut faces.

    Args:
        lean: +1 or -1, which way its hatching leans.
    """
    box = layer.region.box
    whole = Outline.polygon([(start, box[1]), (end, box[1]), (end, box[3]), (start, box[3])])
    items: list[Item] = list(view.edges(whole, "visible"))
    thin = (end - start) * view.factor < HATCHED
    for low, high in cut_through(layer.region):
        face = Outline.polygon([(start, low), (end, low), (end, high), (start, high)])
        if thin:
            items.insert(0, Fill((view.outline(face),), "grey"))
        else:
            items += hatch(Region(view.outline(face)), angle=lean * math.pi / 4)
        items += view.edges(face, "visible")
    return tuple(items)


def sizes(job: Job, view: View, words: Words) -> Items:
    """Return outer diameter at the left, heights below, bore with datum A at the right."""
    return (*_outside(job, view, words), *_heights(job, view, words), *_bore(job, view, words))


def _outside(job: Job, view: View, words: Words) -> Items:
    radius, off = job.design.lamination.outer_diameter / 2, _off(job)
    a, b = (view.at(0.0, s * radius) for s in (-1.0, 1.0))
    text = " ".join(words.within(2 * radius, off, "⌀"))
    return linear(a, b, text, at=a.x - 10.0, axis="y")


def _heights(job: Job, view: View, words: Words) -> Items:
    """Return the height of the steel, and over caps and washers if there are any."""
    low, last = -job.design.lamination.outer_diameter / 2, layers(job)[-1].end
    items: list[Item] = []
    y = view.at(0.0, low).y - HEIGHTS_UNDER
    for start, end, text in _rows(job, words):
        dim = LinearDimension(view.at(start, low), view.at(end, low), " ".join(text), y)
        y -= HEIGHTS_PITCH
        if _fits(dim):
            items += dim.items()
            continue
        bare = replace(dim, text="", text_at=dim.length / 2)
        beyond = Point(view.at(last, low).x + OUTSIDE_TAIL, dim.at)
        items += [i for i in bare.items() if not isinstance(i, Text)]
        items += [line(dim.feet[1], beyond), *shelf(beyond, text, side=1, height=SMALLEST_TEXT)]
        y -= LINE_PITCH * SMALLEST_TEXT * (len(text) - 1)
    return tuple(items)


def _rows(job: Job, words: Words) -> list[tuple[float, float, tuple[str, ...]]]:
    """Return start, end and words of every height, mm."""
    found = layers(job)
    steel = [x for x in found if x.steel]
    height = words.within(round(job.stack.length, 2), round(job.stack.sheet_height, 2))
    rows = [(steel[0].start, steel[-1].end, height)]
    if len(steel) < len(found):
        rows.append((found[0].start, found[-1].end, words.reference(found[-1].end)))
    return rows


def _fits(dim: LinearDimension) -> bool:
    return dim.arrows_inside and dim.text_width + 1.0 <= dim.length


def heights_depth(job: Job, words: Words) -> float:
    """Return how far the heights reach below the section at most, mm."""
    rows = _rows(job, words)
    hanging = LINE_PITCH * SMALLEST_TEXT * sum(len(text) - 1 for *_, text in rows)
    return HEIGHTS_UNDER + HEIGHTS_PITCH * (len(rows) - 1) + hanging + 3.0


def _bore(job: Job, view: View, words: Words) -> Items:
    """Return the bore at the right; datum A stands on its dimension line, so it is the axis."""
    radius, far = job.design.lamination.bore_diameter / 2, layers(job)[-1].end
    feet = [view.at(far, s * radius) for s in (-1.0, 1.0)]
    at = feet[0].x + BORE_OUT
    low, high = (Point(at, p.y) for p in feet)
    items: list[Item] = [
        line(Point(p.x + EXTENSION_GAP, p.y), Point(at + EXTENSION_BEYOND, p.y)) for p in feet
    ]
    mark = gap_mark(low, high, 1)
    text = bore_words(job, words)
    inside = low.distance(high) >= 2 * ARROW_LENGTH + 1.0
    items += mark.items
    foot = low if inside else low.plus(Point(0.0, -OUTSIDE_TAIL))
    items += datum(foot, -math.pi / 2, "A", height=SMALLEST_TEXT)
    start = mark.at if inside else high.plus(Point(0.0, OUTSIDE_TAIL))
    elbow = start.plus(Point(BORE_SHELF, BORE_RISE if inside else -BORE_RISE))
    return (*items, *leader(start, elbow, text, end="none"))


def bore_words(job: Job, words: Words) -> tuple[str, ...]:
    """Return what stands beside the bore."""
    return words.within(job.design.lamination.bore_diameter, _off(job), "⌀")


def _off(job: Job) -> float:
    return process(job.design.shop.process).tolerance_mm


def frames(job: Job, view: View) -> Items:
    """Return run-out of the tooth faces and squareness of the end face, right over the section."""
    found = layers(job)
    steel = [x for x in found if x.steel]
    top = job.design.lamination.outer_diameter / 2
    face, middle = view.at(steel[-1].end, top), view.at((steel[0].start + steel[-1].end) / 2, top)
    left = max(face.x, view.at(found[-1].end, 0.0).x) + 6.0
    tall = FRAME_HEIGHT * SMALLEST_TEXT
    first, second = face.y + 3.0, face.y + 3.0 + tall + 2.0
    square, turn = (plain(squareness(job)), "A"), (plain(run_out(job)), "A")
    items: Items = (
        line(face.plus(Point(0.0, 0.8)), Point(face.x, first + tall / 2 + 2.0)),
        line(Point(face.x, first + tall / 2), Point(left, first + tall / 2)),
        arrow(Point(face.x, first + tall / 2), math.pi),
        *tolerance_frame(left, first, "square", square),
        polyline([middle, Point(middle.x, second + tall / 2), Point(left, second + tall / 2)]),
        arrow(middle, -math.pi / 2),
        *tolerance_frame(left, second, "run-out", turn),
    )
    return items


def right_width(job: Job, words: Words) -> float:
    """Return how far frames, bore and heights reach beyond the section, mm."""
    cells = [(plain(f(job)), "A") for f in (squareness, run_out)]
    bore = BORE_OUT + BORE_SHELF + widest(bore_words(job, words), SMALLEST_TEXT) + 1.0
    heights = [widest(text, SMALLEST_TEXT) for *_, text in _rows(job, words)]
    return max(bore, OUTSIDE_TAIL + max(heights), 6.0 + max(sum(frame_cells(c)) for c in cells))
