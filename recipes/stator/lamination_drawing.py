"""The lamination's drawing: front view with its notes at the left, one slot larger at the right.

+---------------------------------------------------------+
| note -.    .---.            B (5:1)                      |
| note ---> ( teeth ) B   depth| slot |--- round           |
| note -'    '---'             |______|--- round           |
| what to heed           | title block                     |
+---------------------------------------------------------+

The whole sheet is seen from the lead side, tooth 1 up, with centre lines and bolt circles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from itertools import product

from geometry.drafting.drawing import Drawing, Item, Items, Text, held
from geometry.drafting.label import Note, column_height, column_width, note_column, numbered_notes
from geometry.drafting.sheet import Sheet
from geometry.drafting.symbol import centre_cross, centre_line
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from recipes.design import Design
from recipes.design.lamination import Hub, Lamination
from recipes.design.units import counted
from recipes.drawing_conventions import Imprint, first_legible, papers, titled_sheet
from recipes.stator.lamination_notes import front_notes
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.stator.slot_detail import CORNER_NAMES, SlotDetail
from recipes.tables.process import process

#: A tooth pitch narrower than this on the sheet, mm, would run into one black ring: only the teeth
#: on both sides of tooth 1 and of the detail are drawn, circles stand for the rest (ISO 128-3 on
#: repeated features, from memory).
MIN_PITCH = 3.2

#: Teeth drawn at each place where the rest is left out.
SHOWN = 5

#: A hole narrower than this on the sheet, mm, has no room for a centre cross.
CROSSED = 3.0

#: Letter of the detail, its height, and how far it stands off the teeth, mm.
DETAIL, LETTER, LETTER_AWAY = "B", 3.5, 2.5

#: Direction in which the slot of the detail is looked for, rad: to the right and up.
DETAIL_TOWARD = math.radians(38.0)

#: Burr that a sheet may have, mm (common practice: 0.02 to 0.05).
BURR = 0.05

#: Size of the front view on the sheet, mm: what can still be read, and what leaves room.
MIN_FRONT, MAX_FRONT = 38.0, 165.0

#: Nothing on the sheet is enlarged beyond this.
LARGEST = 20.0

#: Clear distances, mm: between groups; from a view to the column of its notes; over the sizes of the
#: detail to its name; left of it for depth and tip thickness.
GAP, TO_NOTES, UNDER_NAME, BESIDE = 5.0, 7.0, 4.0, 21.0

#: Height of names of views, mm.
NAME_HEIGHT = 3.5

Scale = tuple[int, int]


def lamination_drawing(
    design: Design, slot: SlotShape, region: Region, step: int, imprint: Imprint
) -> tuple[Drawing]:
    """Return the sheet: A4 landscape (Letter where the design prints on it), else A3, else A2.

    Args:
        design: its sheet, hub and shop.
        slot: the exact tooth and slot.
        region: the lamination, tooth 1 up.
        step: slots by which each sheet is turned against the last.
        imprint: of the design.

    Raises:
        Refused: nothing can be read on any sheet.
    """
    notes = _notes(design, slot, step)
    tries = (
        partial(layout.drawing, notes, *scales)
        for layout in (_Layout(design, slot, region, imprint, p) for p in papers(imprint.printer))
        for scales in layout.tries()
    )
    size = design.lamination.outer_diameter
    return (first_legible(tries, "lamination.outer_diameter", size, "lamination"),)


def _notes(design: Design, slot: SlotShape, step: int) -> tuple[str, ...]:
    """Return the sentences of the drawing, the weightiest first."""
    kept = [CORNER_NAMES[name] for name, size in slot.radii.items() if size > 0]
    rounds = f"{', '.join(kept[:-1])} and {kept[-1]}" if len(kept) > 1 else "".join(kept)
    found = ["For reference: the DXF cut file rules; finished sizes, no kerf."]
    if rounds:
        found.append(f"Leave no square corner at {rounds}: it cuts the enamel.")
    found.append("No burr in the bore or on a tooth face.")
    brackets = " Inches; mm in brackets." if design.units == "in" else ""
    found.append(f"±: what {process(design.shop.process).name} holds.{brackets}")
    if design.lamination.tip_angle:
        found.append(f"Slope: from a line square to the {slot.sides.what}.")
    if step:
        found.append(f"Looks the same turned by {counted(step, 'slot')}.")
    return tuple(found)


class _Layout:
    """What stands on one paper, and what each group takes."""

    def __init__(
        self, design: Design, slot: SlotShape, region: Region, imprint: Imprint, paper: str
    ) -> None:
        self.design, self.slot, self.region = design, slot, region
        self.imprint, self.paper = imprint, paper
        self.room = self._sheet("1:1").room
        self.size = design.lamination.outer_diameter
        trial = View(ORIGIN)
        self.front_notes = front_notes(design, slot, region, trial, -1)
        self.detail_notes = SlotDetail(design, slot, 1.0).notes(trial)

    def _sheet(self, scale: str) -> Sheet:
        lam = self.design.lamination
        return titled_sheet(
            self.imprint,
            self.paper,
            scale,
            what="lamination",
            kind="reference to the cut file",
            material=f"{lam.steel}, sheet {self.imprint.words.size(lam.sheet_thickness)}",
            edges=f"ISO 13715: burr ≤ {self.imprint.words.zone(BURR).split()[0]}, one face",
        )

    def tries(self) -> list[tuple[Scale, Scale, bool]]:
        """Return scales of front view and detail, notes of the front view on both sides or not.

        Only what fits; the largest detail first, then the largest front view.
        """
        found = [
            (front, detail, both)
            for detail, front, both in product(SCALES, SCALES, (False, True))
            if _factor(front) < _factor(detail) <= LARGEST and self._fits(front, detail, both)
        ]
        # A stator so small that its teeth are drawn as large as the whole shows both at one scale.
        same = ((s, s, both) for s, both in product(SCALES, (False, True)))
        return found or [each for each in same if self._fits(*each)]

    def _fits(self, front: Scale, detail: Scale, both: bool) -> bool:
        """Tell whether the groups find room beside each other."""
        room, size = self.room, self.size * _factor(front)
        wide, high = room[2] - room[0], room[3] - room[1]
        if not MIN_FRONT <= size <= min(MAX_FRONT, high - 8.0):
            return False
        shape = SlotDetail(self.design, self.slot, _factor(detail))
        box = shape.box
        across, tall = ((box[k + 2] - box[k]) * shape.factor for k in (0, 1))
        columns = [column_height(part) for part in _split(self.front_notes, both)]
        return (
            max(*columns, column_height(self.detail_notes) + NAME_HEIGHT) <= high
            and tall + _over(shape) <= high
            and self._width(size, across, both) <= wide
        )

    def _width(self, size: float, across: float, both: bool) -> float:
        """Return the width of everything, mm."""
        sides = [column_width(part) for part in _split(self.front_notes, both)]
        columns = sum(w + TO_NOTES for w in sides if w)
        detail = BESIDE + across + TO_NOTES + column_width(self.detail_notes)
        letter = LETTER_AWAY + LETTER
        return columns + size + letter + GAP + detail

    def drawing(
        self, sentences: tuple[str, ...], front: Scale, detail: Scale, both: bool
    ) -> Drawing:
        """Return the sheet.

        Raises:
            GeometryError: something has no room.
        """
        sheet, room = self._sheet(f"{front[0]}:{front[1]}"), self.room
        shape = SlotDetail(self.design, self.slot, _factor(detail))
        size = self.size * _factor(front)
        across = (shape.box[2] - shape.box[0]) * shape.factor
        slack = (room[2] - room[0] - self._width(size, across, both)) / 4
        left, right = _split(self.front_notes, both)
        x = room[0] + min(slack, 12.0) + column_width(left) + TO_NOTES
        middle = Point(x + size / 2, (room[1] + room[3]) / 2)
        items = self._front(View(middle, front), size, both)
        x = middle.x + size / 2 + LETTER_AWAY + LETTER
        if right:
            x += TO_NOTES + column_width(right)
        x += GAP + BESIDE + slack
        items += self._slot(shape, detail, x, across)
        if sheet.side:
            items += numbered_notes(sentences, sheet.side)
        if not sheet.holds(items):
            raise GeometryError("something leaves the frame")
        title = f"Lamination, {self.imprint.name}"
        return Drawing(sheet.width, sheet.height, (*sheet.items, *items), title)

    def _front(self, view: View, size: float, both: bool) -> Items:
        """Return the front view with its columns of notes."""
        items = front_view(self.design.lamination, self.design.hub, self.slot, self.region, view)
        room = (self.room[1], self.room[3])
        for side, k in ((-1, 0), (1, 1)) if both else ((-1, 0),):
            notes = front_notes(self.design, self.slot, self.region, view, side)
            x = view.origin.x + side * (size / 2 + TO_NOTES + (LETTER_AWAY + LETTER) * (side > 0))
            items += note_column(_split(notes, both)[k], x=x, side=side, room=room)
        return held(items, view)

    def _slot(self, shape: SlotDetail, scale: Scale, left: float, across: float) -> Items:
        """Return the detail whose steel begins at x = `left`."""
        room, box, over = self.room, shape.box, _over(shape)
        tall = (box[3] - box[1]) * shape.factor
        low = room[1] + max(0.0, room[3] - room[1] - tall - over) / 2
        view = View(Point(left, low), scale, Point(box[0], box[1]))
        # letter, scale, and by how much the slot is turned to open upward (ISO 128-3)
        turn = math.degrees(math.pi / 2 - detail_slot(self.slot.slots))
        turned = f" ↺ {turn:.4g}°" if abs(turn) > 0.005 else ""
        name = f"{DETAIL} ({scale[0]}:{scale[1]}){turned}"
        height = low + tall + over - NAME_HEIGHT - 1.0
        column = note_column(
            shape.notes(view),
            x=left + across + TO_NOTES,
            side=1,
            room=(room[1], room[3] - NAME_HEIGHT - 2.0),
        )
        return (
            *held((*shape.view(view), *shape.lengths(view), *column), view),
            Text(view.at(0.0, 0.0).x, height, NAME_HEIGHT, name, "centre"),
        )


def _factor(scale: Scale) -> float:
    return scale[0] / scale[1]


def _over(shape: SlotDetail) -> float:
    """Return the height over the detail for its sizes and its name, mm."""
    return shape.over + UNDER_NAME + NAME_HEIGHT + 1.0


def _split(notes: list[Note], both: bool) -> tuple[list[Note], list[Note]]:
    """Return the notes of the left and of the right column."""
    return (notes[::2], notes[1::2]) if both else (notes, [])


def detail_slot(slots: int) -> float:
    """Return the direction of the slot that is drawn larger, rad, tooth 1 up."""
    axes = [TOOTH_1 - (2 * k + 1) * math.pi / slots for k in range(slots)]
    return min(axes, key=lambda a: abs(math.remainder(a - DETAIL_TOWARD, 2 * math.pi)))


def front_view(lam: Lamination, hub: Hub, slot: SlotShape, region: Region, view: View) -> Items:
    """Return the view with the ring and letter of the detail; `view` places the axis (0, 0)."""
    turn = detail_slot(slot.slots)
    items = teeth(region, lam, slot.slots, view, (TOOTH_1, turn))
    for hole in region.holes:
        items += view.edges(hole, "visible")
    items += centre_cross(view.origin, lam.outer_diameter / 2 * view.factor)
    items += tuple(_hole_centres(hub, region, view))
    return items + _detail_ring(lam, turn, view)


def teeth(
    region: Region, lam: Lamination, slots: int, view: View, shown: tuple[float, ...]
) -> Items:
    """Return the outer outline: every tooth, or a few and circles where they would run together.

    Args:
        region, lam: the sheet as an outline, and its table.
        slots: number of slots.
        view: places the axis (0, 0).
        shown: directions about which teeth are drawn even then, rad.
    """
    outer, radius = region.outer, lam.outer_diameter / 2
    if 2 * math.pi * radius / slots * view.factor >= MIN_PITCH:
        return view.edges(outer, "visible")
    half = SHOWN / 2 * (2 * math.pi / slots)
    items: list[Item] = []
    for low, high in ((middle - half, middle + half) for middle in shown):
        items += [
            view.stroke((s,), "visible")
            for s in outer.segments
            if (s.point_at(0.5).angle() - low) % (2 * math.pi) <= high - low
        ]
    for r in (radius, radius - lam.slot_depth):
        items += view.edges(Outline.circle(ORIGIN, r), "narrow")
    return tuple(items)


def _hole_centres(hub: Hub, region: Region, view: View) -> Iterator[Item]:
    """Yield centre crosses of round holes and the circles that they stand on."""
    circles = {f.circle_diameter / 2 for f in (hub.bolts, hub.windows) if f}
    for radius in sorted(circles):
        yield from view.edges(Outline.circle(ORIGIN, radius), "centre")
    for hole in region.holes:
        round_hole = hole.as_circle()
        if round_hole is None or round_hole[0].length() < 1e-6:
            continue
        centre, radius = round_hole
        if 2 * radius * view.factor >= CROSSED:
            out = Point.polar(radius + 1.5 / view.factor, centre.angle())
            yield centre_line(
                view.point(centre.minus(out)), view.point(centre.plus(out)), beyond=0.0
            )


def _detail_ring(lam: Lamination, turn: float, view: View) -> Items:
    """Return the narrow circle round one slot, and its letter outside the teeth (ISO 128-3)."""
    radius = lam.outer_diameter / 2
    middle = Point.polar(radius - lam.slot_depth / 2, turn)
    size = 0.62 * lam.slot_depth
    ring = view.edges(Outline.circle(middle, size), "narrow")
    reach = radius - lam.slot_depth / 2 + size
    spot = view.point(Point.polar(max(reach, radius), turn)).plus(
        Point.polar(LETTER_AWAY + LETTER / 2, turn)
    )
    return (*ring, Text(spot.x, spot.y, LETTER, DETAIL, "centre", level="middle"))
