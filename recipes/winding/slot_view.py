"""A wound slot as it is drawn everywhere, and the pictures of one slot and of the whole stator.

Looking along the axle from the lead side: steel, inside of the liner, wedge, every wire to scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text, polyline, text_lines
from geometry.drafting.font import text_width, wrap
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import Point
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.tables.wire import Wire
from recipes.winding.conductors import ConductorPlacement
from recipes.winding.window import WindingWindow

#: Size of the picture of a slot, its margins and the foot for words, mm.
WIDTH, HEIGHT, MARGIN, FOOT = 190.0, 205.0, 8.0, 24.0

#: Size of the picture of the stator, its margin and the foot for words, mm.
STATOR_WIDTH, STATOR_HEIGHT, STATOR_MARGIN, STATOR_FOOT = 180.0, 196.0, 6.0, 18.0


@dataclass(frozen=True)
class WoundSlot:
    """What is drawn of a slot that is lined and wound.

    Args:
        slot: the bare slot.
        window: winding window of it.
        conductors: place of every wire of one coil side.
        wire: size of the wire.
    """

    slot: SlotShape
    window: WindingWindow
    conductors: ConductorPlacement
    wire: Wire

    @property
    def _flips(self) -> tuple[float, ...]:
        """Signs of y of the coil sides."""
        return (1.0, -1.0) if self.window.sides == 2 else (1.0,)

    def steel(self, view: View) -> list[Item]:
        """Return the two half teeth beside the slot, and the line between two coil sides.

        What covers the end faces is dashed where it stands in the slot.
        """
        half = [s.rotated(-self.slot.half_pitch) for s in self.slot.half]
        teeth: list[Item] = [
            view.stroke(half, "visible"),
            view.stroke([s.mirrored() for s in half], "visible"),
        ]
        covers = (section for section, _ in self.window.sections[1:])
        teeth += [view.stroke(cover.slot.wall, "hidden") for cover in covers]
        if self.window.sides == 1:
            return teeth
        top, floor = self.window.wedge_span[1], self.slot.outline.box[0]
        return [*teeth, view.line(Point(floor, 0.0), Point(top, 0.0), "centre")]

    def liner(self, view: View, turn: float = 0.0, tolerance: float = 0.0) -> list[Item]:
        """Return the edge of the winding window, the slot's axis at `turn` rad, within `tolerance` mm."""
        edge = self.window.polygon.exterior
        coords = (edge.simplify(tolerance) if tolerance else edge).coords
        return [
            polyline([view.point(Point(x, flip * y).rotated(turn)) for x, y in coords], "narrow")
            for flip in self._flips
        ]

    def paper(self, view: View) -> list[Item]:
        """Return the edge of the winding window, and the wedge."""
        items, (outer, inner) = self.liner(view), self.window.wedge_span
        if outer > inner:
            half = self.window.wedge_half
            corners = [(inner, -half), (outer, -half), (outer, half), (inner, half)]
            strip = Outline.polygon([view.at(*c) for c in corners])
            items += [Fill((strip,), "grey"), Stroke(strip.segments, "narrow")]
        return items

    def spots(self, view: View, turn: float = 0.0) -> list[Point]:
        """Return the middle of every wire on the sheet, the slot's axis at `turn` rad."""
        return [
            view.point(Point(x, flip * y).rotated(turn))
            for x, y in self.conductors.laid.tolist()
            for flip in self._flips
        ]

    def copper(self, view: View, turn: float = 0.0) -> list[Outline]:
        """Return every bare wire on the sheet, the slot's axis at `turn` rad."""
        radius = self.wire.bare_mm / 2 * view.factor
        return [Outline.circle(spot, radius) for spot in self.spots(view, turn)]

    def wires(self, view: View, lettering: float = 2.5) -> list[Item]:
        """Return every wire asked for, copper grey in its enamel, numbered by turn where it fits."""
        bare, over = (d * view.factor for d in (self.wire.bare_mm, self.wire.overall_max_mm))
        each = self.conductors.strands * len(self._flips)
        items: list[Item] = []
        for number, spot in enumerate(self.spots(view)):
            copper, enamel = (Outline.circle(spot, d / 2) for d in (bare, over))
            items += [Fill((copper,), "grey"), Stroke(enamel.segments, "narrow")]
            words = str(number // each + 1)
            if text_width(words, lettering) < 0.92 * bare:
                items.append(Text(spot.x, spot.y, lettering, words, "centre", level="middle"))
        return items


def slot_view(wound: WoundSlot, outer_diameter: float, name: str) -> Drawing:
    """Return the picture of a slot with its opening up, at a whole scale.

    Args:
        wound: the slot.
        outer_diameter: over the tooth tips, mm.
        name: of the design.
    """
    x0, y0, _, y1 = wound.slot.outline.box
    top = outer_diameter / 2
    side = y1 + 0.3 * (y1 - y0)
    room = WIDTH - 2 * MARGIN, HEIGHT - 2 * MARGIN - FOOT
    # A picture, not a drawing: the largest whole scale, beyond the few that ISO 5455 names.
    scale = max(1, int(min(room[0] / (2 * side), room[1] / (top - x0 + 3.0)))), 1
    middle = Point(WIDTH / 2, MARGIN + FOOT + room[1] / 2)
    view = View(middle, scale, Point((x0 - 1.0 + top) / 2, 0.0), math.pi / 2)
    items = [*wound.paper(view), *wound.wires(view), *wound.steel(view)]
    fill, wire, lay = wound.window, wound.wire, wound.conductors
    sides = "two coil sides" if fill.sides == 2 else "one coil side"
    lines = [
        f"{name}: one slot seen along the axle, scale {view.label}",
        f"{sides} of {fill.turns} turns x {fill.strands} x {wire.label}, {wire.overall_max_mm:.3f} mm "
        f"over enamel at most; {lay.kind}, {lay.turns_that_fit} turns fit",
        f"grey circles: copper to scale; line about them: inside of the liner; wires take "
        f"{100 * fill.wire_fill:.0f} % of the lined slot",
    ]
    wrapped = [part for words in lines for part in wrap(words, WIDTH - 2 * MARGIN, 2.5)]
    items += text_lines(MARGIN, MARGIN + FOOT - 4.0, 2.5, wrapped)
    mouth = view.at(top, 0.0)
    items.append(Text(mouth.x, mouth.y + 1.5, 2.5, "air gap", "centre"))
    return Drawing(WIDTH, HEIGHT, tuple(items), f"{name}: slot")


def stator_view(sheet: Region, wound: WoundSlot, outer_diameter: float, name: str) -> Drawing:
    """Return the picture of the stator: a third of the slots bare, a third lined, a third wound.

    Args:
        sheet: the lamination, tooth 1 up.
        wound: one slot.
        outer_diameter: over the tooth tips, mm.
        name: of the design.
    """
    size, slots, window = STATOR_WIDTH - 2 * STATOR_MARGIN, wound.slot.slots, wound.window
    # A picture, not a drawing: the scale is what fills the sheet, in hundredths.
    scale = max(1, int(100 * size / outer_diameter)), 100
    view = View(Point(STATOR_WIDTH / 2, STATOR_MARGIN + STATOR_FOOT + size / 2), scale)
    items: list[Item] = [Fill(view.region(sheet).loops, "grey")]
    for k in range(slots):
        turn = TOOTH_1 + (2 * k + 1) * math.pi / slots
        if k >= slots // 3:
            items += wound.liner(view, turn)
        if k >= 2 * slots // 3:
            items += [Stroke(copper.segments, "narrow") for copper in wound.copper(view, turn)]
    items += view.edges(sheet, "visible")
    words = (
        f"{name}: {slots} slots, {outer_diameter:g} mm over the tips. From the top, counter-"
        f"clockwise: slots bare, lined, and wound with {window.turns} turns of "
        f"{window.strands} x {wound.wire.label}, every wire to scale."
    )
    top = STATOR_MARGIN + STATOR_FOOT - 6.0
    items += text_lines(STATOR_MARGIN, top, 3.5, wrap(words, size, 3.5))
    return Drawing(STATOR_WIDTH, STATOR_HEIGHT, tuple(items), f"{name}: stator")
