"""One slot with the sides of both teeth, larger, opening up: its depths, widths and rounds.

     |<- opening ->|
---- +-.         .-+ ----  face           left: depth and tip thickness
|    |  )       (  |   |                  above: opening
|       |       |      |                  right: a note for every round, slope and bottom
'--.    '-------'   .--'  narrow line: the steel goes on
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from geometry.drafting.dimension import EXTENSION_BEYOND, EXTENSION_GAP, LinearDimension
from geometry.drafting.dimension_layout import Span, stack
from geometry.drafting.drawing import Item, Items, line
from geometry.drafting.note_column import Note, Tip, gap_mark
from geometry.drafting.symbol import centre_line
from geometry.drafting.view import View
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Box, Line, Segment
from recipes.drawing_conventions import Words
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.stator.slot import CORNERS

#: Steel shown round the slot, mm on the sheet; less where the sheet has less.
STEEL = 6.0

#: Dimension line of the opening over the face of the teeth, mm.
OPENING_OVER = 6.0

#: Words beside the radius of each corner.
CORNER_NAMES = {
    "tip_radius": "face",
    "tip_inner_radius": "lip",
    "neck_radius": "neck",
    "root_radius": "root",
}


@dataclass(frozen=True)
class SlotDetail:
    """The shape of the detail at one scale, opening up, mm of the model.

    Args:
        job: the design.
        factor: millimetres on the sheet for one of the model.
    """

    job: Job
    factor: float

    @cached_property
    def right(self) -> tuple[Segment, ...]:
        """Half a tooth from its face to the middle of the slot bottom, right of the slot."""
        slot = self.job.slot
        return tuple(s.rotated(math.pi / 2 - slot.half_pitch) for s in slot.half)

    @cached_property
    def edge(self) -> float:
        """Direction at which the tooth is cut off, rad from the axis of the slot."""
        widest = max(
            abs(math.pi / 2 - p.angle()) for s in self.right[1:] for p in (s.start, s.point_at(0.5))
        )
        more = STEEL / self.factor / (self.radius - self.job.design.lamination.slot_depth)
        return min(widest + more, self.job.slot.half_pitch)

    @property
    def radius(self) -> float:
        """Radius over the teeth, mm."""
        return self.job.design.lamination.outer_diameter / 2

    @cached_property
    def low(self) -> float:
        """Radius at which the yoke is cut off, mm."""
        lam, hub = self.job.design.lamination, self.job.design.hub
        floor, bore = self.radius - lam.slot_depth, lam.bore_diameter / 2
        rings = [bore]
        if hub.spokes and hub.yoke_thickness:
            rings.append(floor - hub.yoke_thickness)
        if hub.windows:
            rings.append(hub.windows.circle_diameter / 2 + hub.windows.radius)
        if hub.bolts:
            rings.append((hub.bolts.circle_diameter + hub.bolts.hole_diameter) / 2)
        return floor - min(STEEL / self.factor, 0.85 * (floor - max(rings)))

    @cached_property
    def steel(self) -> tuple[tuple[Segment, ...], tuple[Segment, ...]]:
        """Edges of the sheet, from the right tooth's face to the left one's, and the cut round."""
        face, *side = self.right
        start = Point.polar(self.radius, math.pi / 2 - self.edge)
        assert isinstance(face, Arc)
        half: list[Segment] = [
            *([Arc(start, face.end, ORIGIN, True)] if start != face.end else []),
            *side,
        ]
        last = half.pop()
        end = last.start
        across = end.mirrored(math.pi / 2)
        floor: Segment = (
            Arc(end, across, ORIGIN, True) if isinstance(last, Arc) else Line(end, across)
        )
        left = [s.mirrored(math.pi / 2).reversed() for s in reversed(half)]
        a, d = half[0].start, left[-1].end
        b, c = (Point.polar(self.low, math.pi / 2 + s * self.edge) for s in (-1.0, 1.0))
        cut = (Line(d, c), Arc(c, b, ORIGIN, False), Line(b, a))
        return (*half, floor, *left), cut

    @cached_property
    def box(self) -> Box:
        """Box of what is drawn, mm of the model."""
        boxes = [s.box() for run in self.steel for s in run]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    @property
    def corners(self) -> tuple[Point, Point]:
        """Sharp corners of the right tip at face and lip, mm."""
        lam = self.job.design.lamination
        half = lam.slot_opening / 2
        face = math.sqrt(self.radius**2 - half**2)
        return Point(half, face), Point(half, face - lam.tip_thickness)

    def view(self, view: View) -> Items:
        """Return edges, cut, centre line and the circle over the opening."""
        steel, cut = self.steel
        a, b = (
            Point(0.0, self.radius),
            Point(0.0, self.radius - self.job.design.lamination.slot_depth),
        )
        face = self.corners[0]
        over = Arc(face, face.mirrored(math.pi / 2), ORIGIN, True)
        return (
            view.stroke(steel, "visible"),
            view.stroke(cut, "narrow"),
            view.stroke((over,), "narrow"),
            centre_line(view.point(a), view.point(b)),
        )

    def lengths(self, view: View, words: Words) -> Items:
        """Return tip thickness and depth at the left."""
        lam = self.job.design.lamination
        face, lip = self.corners
        items: list[Item] = []
        spots = [
            view.point(p.mirrored(math.pi / 2))
            for p in (face, lip, Point(0.0, self.radius), Point(0.0, self.radius - lam.slot_depth))
        ]
        spans = [
            Span(spots[0], spots[1], words.size(lam.tip_thickness)),
            Span(spots[2], spots[3], words.size(lam.slot_depth)),
        ]
        base = view.point(Point(self.box[0], 0.0)).x
        for dim in stack(spans, base=base, direction=-1, axis="y", first=6.0):
            items += dim.items()
        return tuple(items)

    def over(self, words: Words) -> float:
        """Return how far the sizes stand out over the face, mm on the sheet."""
        lam = self.job.design.lamination
        spots = Point(0.0, 0.0), Point(0.0, lam.tip_thickness * self.factor)
        tip = LinearDimension(*spots, words.size(lam.tip_thickness), 0.0, "y")
        return max(tip.reach[1] - tip.length, OPENING_OVER + EXTENSION_BEYOND + 5.0)

    def notes(self, view: View, words: Words, side: int = 1) -> list[Note]:
        """Return the notes of the right wall, for a column at the right."""
        lam, radii, at = self.job.design.lamination, self.job.slot.radii, 1
        found = [self._opening(view, words)]
        for name in CORNERS:
            size = radii[name]
            if size > 0:
                tip = Tip(view.point(self.right[at].point_at(0.5)))
                found.append(Note((tip,), words.lines(round(size, 2), f"{CORNER_NAMES[name]} R")))
            at += 2 if size > 0 else 1
            if name == "tip_inner_radius" and lam.tip_angle:
                under = view.point(self.right[at - 1].point_at(0.6))
                found.append(Note((Tip(under),), (f"slope {lam.tip_angle:g}°",)))
        found.append(self._bottom(view, words))
        if lam.slot_shape == "parallel slots" and lam.slot_width:
            found.append(self._width(view, words, lam.slot_width, side))
        return found

    def _opening(self, view: View, words: Words) -> Note:
        """Return the opening: arrows over the face, extension lines from its sharp corners."""
        lam = self.job.design.lamination
        off = process(self.job.design.shop.process).tolerance_mm
        right = view.point(self.corners[0])
        left = view.point(self.corners[0].mirrored(math.pi / 2))
        at = view.point(Point(0.0, self.radius)).y + OPENING_OVER
        mark = gap_mark(Point(left.x, at), Point(right.x, at), 1)
        ways = tuple(
            line(Point(p.x, p.y + EXTENSION_GAP), Point(p.x, at + EXTENSION_BEYOND))
            for p in (left, right)
        )
        tip = Tip(mark.at, (*mark.items, *ways))
        return Note((tip,), words.within(lam.slot_opening, off, "opening "), "none")

    def _bottom(self, view: View, words: Words) -> Note:
        lam = self.job.design.lamination
        floor = self.radius - lam.slot_depth
        last = self.right[-1]
        tip = Tip(view.point(last.point_at(0.5)))
        if lam.slot_bottom == "flat":
            return Note((tip,), ("flat bottom",))
        return Note((tip,), words.lines(2 * floor, "bottom ⌀"))

    def _width(self, view: View, words: Words, width: float, side: int) -> Note:
        off = process(self.job.design.shop.process).tolerance_mm
        lam = self.job.design.lamination
        y = self.radius - lam.tip_thickness - 0.55 * (lam.slot_depth - lam.tip_thickness)
        mark = gap_mark(view.at(-width / 2, y), view.at(width / 2, y), side)
        return Note((mark,), words.within(width, off, "slot "), "none")
