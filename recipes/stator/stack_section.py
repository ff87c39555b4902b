"""Section A-A through axis and tooth 1, lead side at the left, and a tooth cut across at that end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from geometry.drafting.dimension import (
    ARROW_LENGTH,
    EXTENSION_BEYOND,
    EXTENSION_GAP,
    OUTSIDE_TAIL,
    LinearDimension,
    arrow,
    leader,
    shelf,
)
from geometry.drafting.drawing import Dimension, Fill, Item, Items, Text, line, measured, polyline
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, widest
from geometry.drafting.label import Note, Tip, gap_mark
from geometry.drafting.symbol import (
    FRAME_HEIGHT,
    centre_line,
    datum,
    frame_cells,
    hatch,
    tolerance_frame,
)
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point
from geometry.segment import Arc, Box, Line, Segment
from recipes.design import Design
from recipes.design.insulation import Ends, EndWasher
from recipes.design.units import counted
from recipes.drawing_conventions import Words
from recipes.stator.stack_count import Stack
from recipes.tables.process import process

#: Straights shorter than this, mm, are left out.
SAME = 1e-6

#: Dimension line of the tooth's width under the view, clear of the end of the centre line, mm.
WIDTH_UNDER = 9.0

#: Full sheets shown below the last step, as a share of what lies over them.
BELOW = 0.8

#: A plane this far beside the axis meets no corner that lies on it, mm; far below what a pen shows.
BESIDE = 1e-7

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


class ToothEnd:
    """Shapes in (across the tooth, along the axle): end face of the steel at 0, lead side up, mm."""

    def __init__(
        self, ends: Ends, washer: EndWasher, tooth_width: float, sheet: float, words: Words
    ) -> None:
        """Measure the tooth's end.

        Args:
            ends, washer: what covers the steel, or narrows it.
            tooth_width: at its narrowest, mm.
            sheet: height of one sheet in the stack, mm.
            words: writer of sizes.
        """
        self.ends, self.washer, self.words = ends, washer, words
        self.half = tooth_width / 2
        depth, self.steps = 0.0, []
        for step in reversed(self.ends.steps):  # the outermost first
            top, depth = -depth, depth + step.count * sheet
            self.steps.append((top, -depth, step))
        cap = ends.end_cap
        self.cap = cap.thickness if cap else 0.0
        self.top = self.cap + washer.thickness
        self.out = max(cap.proud if cap else 0.0, washer.extension if washer.thickness else 0.0)
        self.low = -depth - max(BELOW * (depth + self.top), 2 * sheet)

    @property
    def differs(self) -> bool:
        """Whether the end of a tooth differs from its middle."""
        return bool(self.ends.steps or self.ends.end_cap or self.washer.thickness)

    @property
    def box(self) -> Box:
        """Box of what is drawn, mm."""
        wide = self.half + max(self.out, 0.0)
        return (-wide, self.low, wide, self.top)

    def view(self, view: View) -> Items:
        """Return section and centre line."""
        items: list[Item] = []
        for outline, lean in self._faces():
            face = view.outline(outline)
            items += [
                *hatch(Region(face), angle=lean * math.pi / 4),
                *view.edges(outline, "visible"),
            ]
        items.append(centre_line(view.at(0.0, self.low), view.at(0.0, self.top)))
        return tuple(items)

    def _faces(self) -> list[tuple[Outline, int]]:
        """Return every cut face and which way its hatching leans."""
        depth = self.steps[-1][1] if self.steps else 0.0
        found = [(_bar(self.half, self.low, depth), 1)]
        found += [
            (_bar(self.half - step.narrower_by, low, top), 1) for top, low, step in self.steps
        ]
        cap, washer = self.ends.end_cap, self.washer
        if cap:
            found.append((_rounded(self.half + cap.proud, cap.thickness, cap.edge_radius), -1))
        if washer.thickness:
            last = self.steps[0][2].narrower_by if self.steps else 0.0
            wide = self.half - last + washer.extension
            found.append((_bar(wide, self.cap, self.top), -1))
        return found

    def notes(self, view: View) -> list[Note]:
        """Return what each step, cap and washer measures, for a column at the right."""
        cap, washer = self.ends.end_cap, self.washer
        words = self.words
        found = [self._width(view)]
        if washer.thickness:
            tip = view.at(0.6 * self.half, (self.cap + self.top) / 2)
            lines = words.lines(washer.thickness, "washer ")
            found.append(Note((Tip(tip),), lines, "dot"))
        if cap:
            x, r = self.half + cap.proud, cap.edge_radius
            spot = Point.polar(r, math.pi / 4).plus(Point(x - r, cap.thickness - r))
            found.append(Note((Tip(view.point(spot)),), words.lines(r, "R")))
            lines = words.lines(cap.thickness, "cap ")
            found.append(Note((Tip(view.at(0.6 * self.half, cap.thickness / 2)),), lines, "dot"))
            if cap.proud:
                tip = view.at(x, 0.25 * (cap.thickness - r))
                found.append(Note((Tip(tip),), words.lines(cap.proud, "proud ")))
        for top, low, step in self.steps:
            tip = view.at(self.half - step.narrower_by, (top + low) / 2)
            sheets = counted(step.count, "sheet")
            lines = (f"{sheets}, each side", *words.lines(step.narrower_by, "−"))
            if not words.inches:
                lines = (" ".join(lines),)
            found.append(Note((Tip(tip),), lines))
        return found

    def _width(self, view: View) -> Note:
        """Return the width of the tooth under the view."""
        a, b = (view.at(s * self.half, self.low) for s in (-1.0, 1.0))
        at = a.y - WIDTH_UNDER
        mark = gap_mark(Point(a.x, at), Point(b.x, at), 1)
        ways = tuple(
            line(Point(p.x, p.y - EXTENSION_GAP), Point(p.x, at - EXTENSION_BEYOND)) for p in (a, b)
        )
        return Note(
            (Tip(mark.at, (*mark.items, *ways)),), self.words.reference(2 * self.half), "none"
        )


def _bar(half: float, low: float, top: float) -> Outline:
    return Outline.polygon([(-half, low), (half, low), (half, top), (-half, top)])


def _rounded(half: float, top: float, radius: float) -> Outline:
    """Return a bar whose upper corners are rounded, as much as it is wide."""
    radius = min(radius, half)
    a, b = Point(-half, 0.0), Point(half, 0.0)
    low = 0.0 if top - radius < SAME else top - radius
    mid = 0.0 if half - radius < SAME else half - radius
    c, d, e, f = Point(half, low), Point(mid, top), Point(-mid, top), Point(-half, low)
    run: list[Segment] = [Line(a, b)]
    run += [Line(b, c)] if low else []
    run.append(Arc(c, d, Point(mid, low), True))
    run += [Line(d, e)] if mid else []
    run.append(Arc(e, f, Point(-mid, low), True))
    run += [Line(f, a)] if low else []
    return Outline(tuple(run))


@dataclass(frozen=True)
class Layer:
    """A run of like sheets, a cap or a washer.

    Args:
        part: what it is made of.
        count: pieces that lie on each other.
        start, end: along the axis, mm.
        steel: whether it belongs to the height of the steel.
    """

    part: Part
    count: int
    start: float
    end: float
    steel: bool

    @property
    def region(self) -> Region:
        """Its outline, mm, tooth 1 up."""
        return self.part.cut[0]


def layers(count: Stack, sheets: Sequence[Part], covers: Sequence[Part]) -> tuple[Layer, ...]:
    """Return every layer from the lead side (z = 0 at its outermost face) to the far side.

    Args:
        count: sheets of every kind.
        sheets: the lamination, then those of the end steps, from the full sheets outwards.
        covers: end washer and end cap, as far as there are any, from the coil to the steel.
    """
    full, *steps = sheets
    ends = [(p, 1, p.thickness, False) for p in covers]
    narrow = list(zip(steps, count.end_sheets, strict=True))
    ends += [(p, n // 2, n // 2 * count.sheet_height, True) for p, n in reversed(narrow)]
    middle = (full, count.full_sheets, count.full_sheets * count.sheet_height, True)
    found, z = [], 0.0
    for part, pieces, thickness, steel in (*ends, middle, *reversed(ends)):
        if pieces:
            found.append(Layer(part, pieces, z, z + thickness, steel))
            z += thickness
    return tuple(found)


def cut_through(region: Region) -> tuple[tuple[float, float], ...]:
    """Return where the plane through the axis and tooth 1 meets material: pairs of y, rising, mm."""
    spots: list[float] = []
    for loop in region.loops:
        for s in loop.segments:
            a, b = s.start.x - BESIDE, s.end.x - BESIDE
            if not isinstance(s, Arc):
                if (a <= 0) != (b <= 0):
                    spots.append(s.start.y + (s.end.y - s.start.y) * a / (a - b))
                continue
            off, radius = BESIDE - s.center.x, s.radius
            if abs(off) < radius:
                rise = math.sqrt(radius * radius - off * off)
                spots += [
                    s.center.y + up * rise for up in (1, -1) if s.covers(math.atan2(up * rise, off))
                ]
    spots.sort()
    return tuple(zip(spots[::2], spots[1::2], strict=True))


class Section:
    """The section with its sizes and tolerances, in (z, height above the axis), mm."""

    def __init__(self, design: Design, count: Stack, lying: Sequence[Layer]) -> None:
        """Take the design's sheet, air gap and shop, its stack and what lies on what."""
        self.lam, self.layers = design.lamination, lying
        self.steel = [layer for layer in lying if layer.steel]
        self.end = lying[-1].end
        self.words = words = Words(design.units == "in")
        self.tolerance = process(design.shop.process).tolerance_mm
        gap = design.rotor.air_gap
        #: Run-out of the tooth faces to the bore that is allowed, mm, to 0.01.
        self.run_out = max(0.01, math.floor(100 * RUN_OUT_SHARE * gap + 1e-9) / 100)
        #: Squareness of the end faces to the bore, mm.
        self.squareness = next(v for most, v in SQUARE if self.lam.outer_diameter <= most)
        self.bore_words = words.within(self.lam.bore_diameter, self.tolerance, "⌀")
        height = words.within(round(count.length, 2), round(count.sheet_height, 2))
        #: Start, end and words of every height: of the steel, and over caps and washers if any.
        self.heights = [(self.steel[0].start, self.steel[-1].end, height)]
        if len(self.steel) < len(lying):
            self.heights.append((lying[0].start, self.end, words.reference(self.end)))

    @property
    def heights_depth(self) -> float:
        """How far the heights reach below the section at most, mm."""
        hanging = LINE_PITCH * SMALLEST_TEXT * sum(len(text) - 1 for *_, text in self.heights)
        return HEIGHTS_UNDER + HEIGHTS_PITCH * (len(self.heights) - 1) + hanging + 3.0

    @property
    def right_width(self) -> float:
        """How far frames, bore and heights reach beyond the section, mm."""
        cells = [(self.words.zone(size), "A") for size in (self.squareness, self.run_out)]
        bore = BORE_OUT + BORE_SHELF + widest(self.bore_words, SMALLEST_TEXT) + 1.0
        heights = [widest(text, SMALLEST_TEXT) for *_, text in self.heights]
        frames = 6.0 + max(sum(frame_cells(c)) for c in cells)
        return max(bore, OUTSIDE_TAIL + max(heights), frames)

    def drawn(self, view: View) -> Items:
        """Return the cut faces, what is seen behind them, sizes and tolerance frames."""
        parts = (self._cut, self._outside, self._heights, self._bore, self._frames)
        return tuple(item for part in parts for item in part(view))

    def _cut(self, view: View) -> Items:
        """Return the cut faces and what is seen behind them."""
        steel = self.steel
        items: list[Item] = [*_block(view, steel[0].start, steel[-1].end, steel[0], 1)]
        for one, two in pairwise(steel):
            if min(x.end - x.start for x in (one, two)) * view.factor >= APART:
                for low, high in cut_through(one.region):
                    items.append(view.line(Point(one.end, low), Point(one.end, high), "narrow"))
        for layer in self.layers:
            if not layer.steel:
                items += _block(view, layer.start, layer.end, layer, -1)
        bore = self.lam.bore_diameter / 2
        for up in (bore, -bore):
            items.append(view.line(Point(steel[0].start, up), Point(steel[-1].end, up), "visible"))
        items.append(centre_line(view.at(self.layers[0].start, 0.0), view.at(self.end, 0.0)))
        return tuple(items)

    def _outside(self, view: View) -> Items:
        """Return the outer diameter at the left."""
        radius = self.lam.outer_diameter / 2
        a, b = (view.at(0.0, s * radius) for s in (-1.0, 1.0))
        text = " ".join(self.words.within(2 * radius, self.tolerance, "⌀"))
        return LinearDimension(a, b, text, a.x - 10.0, "y").items()

    def _heights(self, view: View) -> Items:
        """Return the heights below."""
        low = -self.lam.outer_diameter / 2
        items: list[Item] = []
        y = view.at(0.0, low).y - HEIGHTS_UNDER
        for start, end, text in self.heights:
            dim = LinearDimension(view.at(start, low), view.at(end, low), " ".join(text), y)
            y -= HEIGHTS_PITCH
            if dim.arrows_inside and dim.text_width + 1.0 <= dim.length:
                items += dim.items()
                continue
            bare = replace(dim, text="", text_at=dim.length / 2)
            beyond = Point(view.at(self.end, low).x + OUTSIDE_TAIL, dim.at)
            drawn: list[Item] = [i for i in bare.items() if not isinstance(i, Text)]
            drawn += [line(dim.feet[1], beyond), *shelf(beyond, text, side=1, height=SMALLEST_TEXT)]
            items += measured(drawn, Dimension("linear", dim.a, dim.b, dim.feet[0], text))
            y -= LINE_PITCH * SMALLEST_TEXT * (len(text) - 1)
        return tuple(items)

    def _bore(self, view: View) -> Items:
        """Return the bore at the right; datum A stands on its dimension line, so it is the axis."""
        radius = self.lam.bore_diameter / 2
        feet = [view.at(self.end, s * radius) for s in (-1.0, 1.0)]
        at = feet[0].x + BORE_OUT
        low, high = (Point(at, p.y) for p in feet)
        items: list[Item] = [
            line(Point(p.x + EXTENSION_GAP, p.y), Point(at + EXTENSION_BEYOND, p.y)) for p in feet
        ]
        mark = gap_mark(low, high, 1)
        inside = low.distance(high) >= 2 * ARROW_LENGTH + 1.0
        items += mark.items
        foot = low if inside else low.plus(Point(0.0, -OUTSIDE_TAIL))
        items += datum(foot, -math.pi / 2, "A", height=SMALLEST_TEXT)
        start = mark.at if inside else high.plus(Point(0.0, OUTSIDE_TAIL))
        elbow = start.plus(Point(BORE_SHELF, BORE_RISE if inside else -BORE_RISE))
        words = leader(start, elbow, self.bore_words, end="none")
        return mark.measured((*items, *words), self.bore_words)

    def _frames(self, view: View) -> Items:
        """Return run-out of the tooth faces and squareness of the end face, right over the section."""
        start, end, top = self.steel[0].start, self.steel[-1].end, self.lam.outer_diameter / 2
        face, middle = view.at(end, top), view.at((start + end) / 2, top)
        left = max(face.x, view.at(self.end, 0.0).x) + 6.0
        tall = FRAME_HEIGHT * SMALLEST_TEXT
        first, second = face.y + 3.0, face.y + 3.0 + tall + 2.0
        return (
            line(face.plus(Point(0.0, 0.8)), Point(face.x, first + tall / 2 + 2.0)),
            line(Point(face.x, first + tall / 2), Point(left, first + tall / 2)),
            arrow(Point(face.x, first + tall / 2), math.pi),
            *tolerance_frame(left, first, "square", (self.words.zone(self.squareness), "A")),
            polyline([middle, Point(middle.x, second + tall / 2), Point(left, second + tall / 2)]),
            arrow(middle, -math.pi / 2),
            *tolerance_frame(left, second, "run-out", (self.words.zone(self.run_out), "A")),
        )


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
