"""One slot with the sides of both teeth, larger, opening up: its depths, widths and rounds.

     |<- opening ->|
---- +-.         .-+ ----  face           left: depth and tip thickness
|    |  )       (  |   |                  above: opening
|       |       |      |                  right: a note for every round, slope and bottom
'--.    '-------'   .--'  narrow line: the steel goes on
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property

from geometry.drafting.dimension import (
    EXTENSION_BEYOND,
    EXTENSION_GAP,
    LinearDimension,
    Span,
    stack,
)
from geometry.drafting.drawing import Items, line
from geometry.drafting.label import Note, Tip, gap_mark
from geometry.drafting.symbol import centre_line
from geometry.drafting.view import View
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Box, Line, Segment, joint_box
from recipes.design import Design
from recipes.drawing_conventions import Words
from recipes.stator.slot import CORNERS, ParallelSlots, SlotShape
from recipes.tables.process import process

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


class SlotDetail:
    """The shape of the detail at one scale, opening up, mm of the model."""

    def __init__(self, design: Design, slot: SlotShape, factor: float) -> None:
        """Take the design's sheet, its slot, and millimetres on the sheet for one of the model."""
        self.lam, self.hub, self.slot, self.factor = design.lamination, design.hub, slot, factor
        self.words = Words(design.units == "in")
        self.tolerance = process(design.shop.process).tolerance_mm
        self.radius = self.lam.outer_diameter / 2
        self.floor = self.radius - self.lam.slot_depth

    @cached_property
    def right(self) -> tuple[Segment, ...]:
        """Half a tooth from its face to the middle of the slot bottom, right of the slot."""
        return tuple(s.rotated(math.pi / 2 - self.slot.half_pitch) for s in self.slot.half)

    @cached_property
    def edge(self) -> float:
        """Direction at which the tooth is cut off, rad from the axis of the slot."""
        widest = max(
            abs(math.pi / 2 - p.angle()) for s in self.right[1:] for p in (s.start, s.point_at(0.5))
        )
        return min(widest + STEEL / self.factor / self.floor, self.slot.half_pitch)

    @cached_property
    def low(self) -> float:
        """Radius at which the yoke is cut off, mm."""
        hub = self.hub
        rings = [self.lam.bore_diameter / 2]
        if hub.spokes and hub.yoke_thickness:
            rings.append(self.floor - hub.yoke_thickness)
        if hub.windows:
            rings.append(hub.windows.circle_diameter / 2 + hub.windows.radius)
        if hub.bolts:
            rings.append((hub.bolts.circle_diameter + hub.bolts.hole_diameter) / 2)
        return self.floor - min(STEEL / self.factor, 0.85 * (self.floor - max(rings)))

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
        return joint_box(s.box() for run in self.steel for s in run)

    @property
    def corners(self) -> tuple[Point, Point]:
        """Sharp corners of the right shoe at face and underside, mm."""
        half = self.lam.slot_opening / 2
        face = math.sqrt(self.radius**2 - half**2)
        return Point(half, face), Point(half, face - self.lam.tip_thickness)

    def view(self, view: View) -> Items:
        """Return edges, cut, centre line and the circle over the opening."""
        steel, cut = self.steel
        face = self.corners[0]
        over = Arc(face, face.mirrored(math.pi / 2), ORIGIN, True)
        return (
            view.stroke(steel, "visible"),
            view.stroke(cut, "narrow"),
            view.stroke((over,), "narrow"),
            centre_line(view.at(0.0, self.radius), view.at(0.0, self.floor)),
        )

    def lengths(self, view: View) -> Items:
        """Return tip thickness and depth at the left."""
        ends = (*self.corners, Point(0.0, self.radius), Point(0.0, self.floor))
        face, under, top, floor = (view.point(p.mirrored(math.pi / 2)) for p in ends)
        spans = [
            Span(face, under, self.words.size(self.lam.tip_thickness)),
            Span(top, floor, self.words.size(self.lam.slot_depth)),
        ]
        base = view.at(self.box[0], 0.0).x
        dims = stack(spans, base=base, direction=-1, axis="y", first=6.0)
        return tuple(item for dim in dims for item in dim.items())

    @cached_property
    def over(self) -> float:
        """How far the sizes stand out over the face, mm on the sheet."""
        thickness = self.lam.tip_thickness
        ends = Point(0.0, 0.0), Point(0.0, thickness * self.factor)
        tip = LinearDimension(*ends, self.words.size(thickness), 0.0, "y")
        return max(tip.reach[1] - tip.length, OPENING_OVER + EXTENSION_BEYOND + 5.0)

    def notes(self, view: View) -> list[Note]:
        """Return the notes of the right wall, for a column at the right."""
        words, at = self.words, 1
        found = [self._opening(view)]
        for name in CORNERS:
            size = self.slot.radii[name]
            if size > 0:
                round_ = self.right[at]
                on, middle = view.point(round_.point_at(0.5)), getattr(round_, "center", None)
                span = (view.point(middle), on) if middle is not None else None
                tip = Tip(on, (), span, "radius")
                found.append(Note((tip,), words.lines(round(size, 2), f"{CORNER_NAMES[name]} R")))
            at += 2 if size > 0 else 1
            if name == "tip_inner_radius" and self.lam.tip_angle:
                under = view.point(self.right[at - 1].point_at(0.6))
                found.append(Note((Tip(under),), (f"slope {self.lam.tip_angle:g}°",)))
        flat = self.lam.slot_bottom == "flat"
        bottom = ("flat bottom",) if flat else words.lines(2 * self.floor, "bottom ⌀")
        found.append(Note((Tip(view.point(self.right[-1].point_at(0.5))),), bottom))
        if isinstance(self.slot.sides, ParallelSlots):
            found.append(self._width(view, self.slot.sides.width))
        return found

    def _opening(self, view: View) -> Note:
        """Return the opening: arrows over the face, extension lines from its sharp corners."""
        face = self.corners[0]
        left, right = (view.point(p) for p in (face.mirrored(math.pi / 2), face))
        at = view.at(0.0, self.radius).y + OPENING_OVER
        mark = gap_mark(Point(left.x, at), Point(right.x, at), 1)
        ways = tuple(
            line(Point(p.x, p.y + EXTENSION_GAP), Point(p.x, at + EXTENSION_BEYOND))
            for p in (left, right)
        )
        lines = self.words.within(self.lam.slot_opening, self.tolerance, "opening ")
        return Note((replace(mark, items=(*mark.items, *ways)),), lines, "none")

    def _width(self, view: View, width: float) -> Note:
        lam = self.lam
        y = self.radius - lam.tip_thickness - 0.55 * (lam.slot_depth - lam.tip_thickness)
        mark = gap_mark(view.at(-width / 2, y), view.at(width / 2, y), 1)
        return Note((mark,), self.words.within(width, self.tolerance, "slot "), "none")
