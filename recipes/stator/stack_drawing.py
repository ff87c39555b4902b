"""The stack's drawing on one sheet, first-angle projection: the lead side's view at the right.

+----------------------------------------------------------+
|        frames                A                 list      |
| dims  section A-A    (view from the lead side)  of items |
|         heights              A              tooth across |
| what to heed           | title block                     |
+----------------------------------------------------------+
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import partial
from itertools import product

from geometry.drafting.drawing import Drawing, Items, Text, held
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.label import Note, Tip, column_width, note_column, numbered_notes
from geometry.drafting.sheet import Sheet, Table, table
from geometry.drafting.symbol import centre_cross, cutting_plane
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.segment import Box
from recipes.design import Design
from recipes.design.units import counted
from recipes.drawing_conventions import (
    Imprint,
    Words,
    first_legible,
    fitted,
    papers,
    titled_sheet,
)
from recipes.stator.lamination_drawing import teeth
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.stator.stack_count import Stack
from recipes.stator.stack_section import FRAMES_HIGH, Layer, Section, ToothEnd
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import outside_limits

#: Width of the column of materials, mm.
MATERIAL_WIDTH = 34.0

#: Short words for the materials of what is not steel.
MATERIALS = {"end_cap": "laminate or print", "end_washer": "aramid, pressboard"}

#: Size of the front view on the sheet, mm.
MIN_FRONT, MAX_FRONT = 16.0, 120.0

#: The tooth is enlarged at most this much, and takes at least and at most this much, mm.
LARGEST, MIN_TOOTH, MAX_TOOTH = 20.0, 6.0, 45.0

#: Clear distances, mm: left of the section for its diameter; under the front view for the mark of the
#: cutting plane; between groups.
BESIDE, MARK, GAP = 17.0, 15.0, 6.0

#: Height of names of views, mm.
NAME_HEIGHT = 3.5

Settings = Mapping[str, float | int | str]


def stack_drawing(
    design: Design,
    slot: SlotShape,
    count: Stack,
    lying: Sequence[Layer],
    settings: Settings,
    imprint: Imprint,
) -> tuple[Drawing]:
    """Return the sheet: A4 landscape (Letter where the design prints on it), else A3, else A2.

    Args:
        design: its sheet, ends, washer, seat, air gap and shop.
        slot: the exact tooth and slot.
        count: sheets of every kind.
        lying: what lies on what, from the lead side.
        settings: of the part "stack".
        imprint: of the design.

    Raises:
        Refused: nothing can be read on any sheet.
    """
    sheet = next(layer.part for layer in lying if layer.part.name == "lamination")
    end = ToothEnd(
        design.ends, design.end_washer, slot.tooth_width, count.sheet_height, imprint.words
    )
    layout = _Layout(design, sheet, Section(design, count, lying), end, imprint, settings)
    across = design.lamination.outer_diameter
    tries = (
        partial(layout.drawing, paper, scale, place)
        for paper, scale, place in product(
            papers(imprint.printer), SCALES, ("right", "below", "mixed")
        )
        if MIN_FRONT <= across * scale[0] / scale[1] <= MAX_FRONT
    )
    length = design.lamination.stack_length
    return (first_legible(tries, "lamination.stack_length", length, "stack"),)


def notes(design: Design, settings: Settings, words: Words) -> tuple[str, ...]:
    """Return the notes of the drawing, the weightiest first."""
    step = int(settings["rotation_step_slots"])
    found = ["Glue under clamp on a mandrel; no weld, no bolt in a tooth."]
    if step:
        slots = counted(step, "slot")
        turn = float(settings["rotation_step_deg"])
        found.append(f"Turn each sheet by {turn:.4g}° ({slots}), burrs one way.")
    else:
        found.append("All sheets the same way round, burrs one way.")
    if settings["tells_faces_apart"] == "yes":
        found.append("Marks in the bore line up, or a sheet is over.")
    turned, seat = design.axle.stator_seat, ""
    if turned is None:
        low, high = outside_limits(design.axle)
        found.append(
            f"Axle {design.axle.stock} as bought, ⌀{low:.2f} to ⌀{high:.2f}: measure, then "
            "bore to it."
        )
    else:
        with suppress(TableError):  # said by the rules of the axle
            limits = fit_limits(design.lamination.bore_diameter, turned.fit)
            seat = " " + " ".join(words.limits(limits))
        found.append(f"Axle seat{seat}: turned last, to the measured bore.")
    found.append("Height: add or leave out one sheet.")
    if words.inches:
        found.append("Inches; mm in brackets.")
    return tuple(found)


def items_list(lying: Sequence[Layer], words: Words) -> list[tuple[str, ...]]:
    """Return the rows of the list (ISO 7573 fields): item, pieces, what, material."""
    kinds = {layer.part.name: layer for layer in lying}
    order = sorted(kinds, key=lambda name: (not name.startswith("lamination"), name))
    rows: list[tuple[str, ...]] = [("item", "pieces", "what, thickness", "material")]
    for k, name in enumerate(order, 1):
        part = kinds[name].part
        pieces = sum(layer.count for layer in lying if layer.part.name == name)
        what = name.replace("lamination_end", "end sheet ").replace("_", " ")
        material = part.material if kinds[name].steel else MATERIALS[name]
        rows.append(
            (
                str(k),
                str(pieces),
                f"{what}, {words.size(part.thickness)}",
                fitted(material, MATERIAL_WIDTH, SMALLEST_TEXT),
            )
        )
    return rows


class _Layout:
    """Everything placed for one paper and scale."""

    def __init__(
        self,
        design: Design,
        sheet: Part,
        section: Section,
        end: ToothEnd,
        imprint: Imprint,
        settings: Settings,
    ) -> None:
        self.design, self.sheet, self.section, self.end = design, sheet, section, end
        self.imprint, self.settings = imprint, settings
        self.rows = items_list(section.layers, imprint.words)

    def _framed(self, paper: str, scale: tuple[int, int]) -> Sheet:
        """Return the sheet with its frame and title block."""
        mass = float(self.settings["mass_kg"])
        weight = f"{1000 * mass:.0f} g" if mass < 1 else f"{mass:.2f} kg"
        return titled_sheet(
            self.imprint,
            paper,
            f"{scale[0]}:{scale[1]}",
            what="stack",
            kind="assembly drawing",
            material=f"{self.design.lamination.steel}, glued, steel {weight}",
            edges="ISO 13715: tooth faces free of burr",
        )

    def drawing(self, paper: str, scale: tuple[int, int], place: str) -> Drawing:
        """Return the sheet.

        Args:
            paper, scale: of the sheet and of both views.
            place: where list and tooth go: "right" of the views, "below" them, or the list below and
                the tooth at the right ("mixed").

        Raises:
            GeometryError: something has no room.
        """
        sheet, section = self._framed(paper, scale), self.section
        room, k = sheet.room, scale[0] / scale[1]
        size, long = self.design.lamination.outer_diameter * k, section.end * k
        named = column_width(self._front_notes(View(ORIGIN)))
        wide = BESIDE + long + section.right_width + GAP + size + GAP + named
        under_views = max(MARK, section.heights_depth)
        high = FRAMES_HIGH + size + under_views
        if wide > room[2] - room[0] or high > room[3] - room[1]:
            raise GeometryError("section and front view are too large")
        rows = table(0.0, 0.0, self.rows)
        under = 0.0 if place == "right" else max(rows.height, 1.0) + GAP
        spare = room[3] - room[1] - high - under
        if spare < 0:
            raise GeometryError("no height is left below the views")
        axis = room[3] - FRAMES_HIGH - size / 2 - (spare / 2 if under == 0 else 0.0)
        left = room[0] + BESIDE
        if place == "below":
            left += min(20.0, (room[2] - room[0] - wide) / 2)
        view = View(Point(left, axis), scale)
        items = held(section.drawn(view), view)
        middle = Point(left + long + section.right_width + GAP + size / 2, axis)
        items += self._front(View(middle, scale), size)
        right = middle.x + size / 2 + GAP + named
        low = axis - size / 2 - under_views
        items += self._rest(place, (right + GAP, room[1], room[2], room[3]), (*room[:3], low))
        if sheet.side:
            items += numbered_notes(
                notes(self.design, self.settings, self.imprint.words), sheet.side
            )
        if not sheet.holds(items):
            raise GeometryError("something leaves the frame")
        title = f"Stack, {self.imprint.name}"
        return Drawing(sheet.width, sheet.height, (*sheet.items, *items), title)

    def _front(self, view: View, size: float) -> Items:
        """Return the view from the lead side with the cutting plane A-A."""
        region, half, at = self.sheet.cut[0], size / 2, view.origin
        slots = int(self.sheet.settings["slots"])
        items = teeth(region, self.design.lamination, slots, view, (TOOTH_1,))
        for hole in region.holes:
            items += view.edges(hole, "visible")
        items += centre_cross(at, half)[:1]
        top, low = (Point(at.x, at.y + s * (half + 8.0)) for s in (1.0, -1.0))
        items += cutting_plane(top, low, "A", math.pi, height=3.0)
        column = self._front_notes(view)
        edge = (at.y - half, at.y + half + 4.0)
        return held(items + note_column(column, x=at.x + half + GAP, side=1, room=edge), view)

    def _front_notes(self, view: View) -> list[Note]:
        """Return the notes of the front view."""
        design = self.design
        side = TOOTH_1 - 0.3 * math.pi / design.motor.slots
        tip = Tip(view.point(Point.polar(design.lamination.outer_diameter / 2, side)))
        cover = "cap" if design.ends.end_cap else "washer" if design.end_washer.thickness else ""
        return [Note((tip,), ("tooth 1", f"({cover} left out)") if cover else ("tooth 1",))]

    def _rest(self, place: str, beside: Box, under: Box) -> Items:
        """Return the list and the tooth in the boxes at the right of the views and below them."""
        first, second = {
            "right": (beside, beside),
            "below": (under, under),
            "mixed": (under, beside),
        }[place]
        listed: Table = table(first[0], first[3], self.rows)
        if listed.width > first[2] - first[0] or listed.height > first[3] - first[1]:
            raise GeometryError("no room for the list of items")
        if place == "right":
            listed = table(first[2] - listed.width, first[3], self.rows)
            second = (second[0], second[1], second[2], first[3] - listed.height - GAP)
        elif place == "below":
            second = (first[0] + listed.width + GAP, *second[1:])
        return listed.items + self._tooth(second) if self.end.differs else listed.items

    def _tooth(self, room: Box) -> Items:
        """Return the tooth's end at the largest scale that fits the box."""
        tooth, box = self.end, self.end.box
        words = column_width(tooth.notes(View(ORIGIN)))
        for scale in SCALES:
            k = scale[0] / scale[1]
            wide, tall = (box[2] - box[0]) * k, (box[3] - box[1]) * k
            if k > LARGEST or not MIN_TOOTH <= wide <= MAX_TOOTH:
                continue
            free = room[2] - room[0] - wide - GAP - words, room[3] - room[1] - tall - 26.0
            if min(free) < 0:
                continue
            left = room[0] + min(free[0] / 2, 20.0)
            low = room[1] + 15.0 + free[1] / 2
            view = View(Point(left, low), scale, Point(box[0], box[1]))
            name = f"tooth across, lead end ({scale[0]}:{scale[1]})"
            head = Text(left, low + tall + 5.0, NAME_HEIGHT, name)
            if head.x + head.width > room[2]:
                continue
            column = note_column(
                tooth.notes(view),
                x=left + wide + GAP,
                side=1,
                room=(room[1], low + tall + 3.0),
            )
            return (*held((*tooth.view(view), *column), view), head)
        raise GeometryError("no room for the end of a tooth")
