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
from functools import partial
from itertools import product

from geometry.drafting.drawing import Drawing, Items, Text
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.frame import Sheet
from geometry.drafting.note_column import Note, Tip, column_width, note_column, numbered_notes
from geometry.drafting.symbol import centre_cross, cutting_plane
from geometry.drafting.table import Table, table
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.point import ORIGIN, Point
from geometry.segment import Box
from recipes.drawing_conventions import Words, first_legible, fitted, papers, plain, titled_sheet
from recipes.job import Job
from recipes.stator.lamination import TOOTH_1
from recipes.stator.lamination_drawing import teeth
from recipes.stator.stack_section import (
    FRAMES_HIGH,
    ToothEnd,
    frames,
    has_end,
    heights_depth,
    layers,
    right_width,
    section,
    sizes,
)
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError

# Words on the stack's drawing: title block, notes and the list of what it is made of.

#: Width of the column of materials, mm.
MATERIAL_WIDTH = 34.0


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    mass = float(job.parts["stack"][0].settings["mass_kg"])
    weight = f"{1000 * mass:.0f} g" if mass < 1 else f"{mass:.2f} kg"
    return titled_sheet(
        job,
        paper,
        scale,
        what="stack",
        kind="assembly drawing",
        material=f"{job.design.lamination.steel}, glued, steel {weight}",
        edges="ISO 13715: tooth faces free of burr",
    )


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, the weightiest first."""
    design, settings = job.design, job.parts["stack"][0].settings
    step, words = int(settings["rotation_step_slots"]), Words(design.units == "in")
    found = ["Glue under clamp on a mandrel; no weld, no bolt in a tooth."]
    if step:
        slots = "1 slot" if step == 1 else f"{step} slots"
        turn = float(settings["rotation_step_deg"])
        found.append(f"Turn each sheet by {turn:.4g}° ({slots}), burrs one way.")
    else:
        found.append("All sheets the same way round, burrs one way.")
    if settings["tells_faces_apart"] == "yes":
        found.append("Marks in the bore line up, or a sheet is over.")
    fit = design.axle.stator_seat.fit
    try:
        seat = " ".join(words.limits(fit_limits(design.lamination.bore_diameter, fit)))
        found.append(f"Axle seat {seat}: turned last, to the measured bore.")
    except TableError:  # said by the rules of the axle
        found.append("Axle seat: turned last, to the measured bore.")
    found.append("Height: add or leave out one sheet.")
    if design.units == "in":
        found.append("Inches in brackets.")
    return tuple(found)


def items_list(job: Job) -> list[tuple[str, ...]]:
    """Return the rows of the list (ISO 7573 fields): item, pieces, what, material."""
    counts: dict[str, tuple[int, str, str]] = {}
    for layer in layers(job):
        part = layer.part
        pieces = counts.get(part.name, (0, "", ""))[0] + layer.count
        what = part.name.replace("lamination_end", "end sheet ").replace("_", " ")
        material = part.material if layer.steel else MATERIALS[part.name]
        counts[part.name] = (pieces, f"{what}, {plain(part.thickness)}", material)
    order = sorted(counts, key=lambda name: (not name.startswith("lamination"), name))
    rows: list[tuple[str, ...]] = [("item", "pieces", "what, thickness", "material")]
    for k, name in enumerate(order, 1):
        pieces, what, material = counts[name]
        rows.append((str(k), str(pieces), what, fitted(material, MATERIAL_WIDTH, SMALLEST_TEXT)))
    return rows


#: Short words for the materials of what is not steel.
MATERIALS = {"end_cap": "laminate or print", "end_washer": "aramid, pressboard"}

#: Size of the front view on the sheet, mm.
LEAST_FRONT, MOST_FRONT = 16.0, 120.0

#: The tooth is enlarged at most this much, and takes at least and at most this much, mm.
LARGEST, LEAST_TOOTH, MOST_TOOTH = 20.0, 6.0, 45.0

#: Clear distances, mm: left of the section for its diameter; under the front view for the mark of the
#: cutting plane; between groups.
BESIDE, MARK, GAP = 17.0, 15.0, 6.0

#: Height of names of views, mm.
NAME_HEIGHT = 3.5


def stack_drawing(job: Job) -> Drawing:
    """Return the sheet: A4 landscape (Letter where the design prints on it), else A3.

    Raises:
        Refused: a sheet, cap or washer cannot be drawn.
    """
    across = job.design.lamination.outer_diameter
    tries = (
        partial(_drawing, job, paper, scale, place)
        for paper, scale, place in product(papers(job), SCALES, ("right", "below", "mixed"))
        if LEAST_FRONT <= across * scale[0] / scale[1] <= MOST_FRONT
    )
    length = job.design.lamination.stack_length
    return first_legible(tries, "lamination.stack_length", length, "stack")


def _drawing(job: Job, paper: str, scale: tuple[int, int], place: str) -> Drawing:
    return _Layout(job, paper, scale, place).drawing()


class _Layout:
    """One try: everything placed for one paper and scale, or `GeometryError`.

    Args:
        place: where list and tooth go: "right" of the views, "below" them, or the list below and the
            tooth at the right ("mixed").
    """

    def __init__(self, job: Job, paper: str, scale: tuple[int, int], place: str) -> None:
        self.job, self.scale, self.place = job, scale, place
        self.words = Words(job.design.units == "in")
        self.sheet = framed(job, paper, f"{scale[0]}:{scale[1]}")
        self.room, self.k = self.sheet.room, scale[0] / scale[1]
        self.size = job.design.lamination.outer_diameter * self.k
        self.long = layers(job)[-1].end * self.k

    def drawing(self) -> Drawing:
        """Return the sheet."""
        job, room = self.job, self.room
        named = column_width(self._front_notes(View(ORIGIN)))
        wide = BESIDE + self.long + right_width(job, self.words) + GAP + self.size + GAP + named
        under_views = max(MARK, heights_depth(job, self.words))
        high = FRAMES_HIGH + self.size + under_views
        if wide > room[2] - room[0] or high > room[3] - room[1]:
            raise GeometryError("section and front view are too large")
        rows = table(0.0, 0.0, items_list(job))
        under = 0.0 if self.place == "right" else max(rows.height, 1.0) + GAP
        spare = room[3] - room[1] - high - under
        if spare < 0:
            raise GeometryError("no height is left below the views")
        axis = room[3] - FRAMES_HIGH - self.size / 2 - (spare / 2 if under == 0 else 0.0)
        left = room[0] + BESIDE
        if self.place == "below":
            left += min(20.0, (room[2] - room[0] - wide) / 2)
        view = View(Point(left, axis), self.scale)
        items = [*section(job, view), *sizes(job, view, self.words), *frames(job, view)]
        middle = Point(left + self.long + right_width(job, self.words) + GAP + self.size / 2, axis)
        items += self._front(View(middle, self.scale))
        right = middle.x + self.size / 2 + GAP + named
        low = axis - self.size / 2 - under_views
        items += self._rest((right + GAP, room[1], room[2], room[3]), (*room[:3], low))
        if self.sheet.side:
            items += numbered_notes(notes(job), self.sheet.side)
        if not self.sheet.holds(items):
            raise GeometryError("something leaves the frame")
        drawn = (*self.sheet.items, *items)
        return Drawing(self.sheet.width, self.sheet.height, drawn, f"Stack, {job.design.name}")

    def _front(self, view: View) -> Items:
        """Return the view from the lead side with the cutting plane A-A."""
        part = self.job.parts["lamination"][0]
        half, at = self.size / 2, view.origin
        items = teeth(self.job, view, detail=False)
        for hole in part.cut[0].holes:
            items += view.edges(hole, "visible")
        items += centre_cross(at, half)[:1]
        top, low = (Point(at.x, at.y + s * (half + 8.0)) for s in (1.0, -1.0))
        items += cutting_plane(top, low, "A", math.pi, height=3.0)
        column = self._front_notes(view)
        edge = (at.y - half, at.y + half + 4.0)
        return items + note_column(column, x=at.x + half + GAP, side=1, room=edge)

    def _front_notes(self, view: View) -> list[Note]:
        """Return the notes of the front view."""
        design = self.job.design
        side = TOOTH_1 - 0.3 * math.pi / design.motor.slots
        tip = Tip(view.point(Point.polar(design.lamination.outer_diameter / 2, side)))
        cover = "cap" if design.ends.end_cap else "washer" if design.end_washer.thickness else ""
        return [Note((tip,), ("tooth 1", f"({cover} left out)") if cover else ("tooth 1",))]

    def _rest(self, beside: Box, under: Box) -> Items:
        """Return the list and the tooth in the boxes at the right of the views and below them."""
        rows, job = items_list(self.job), self.job
        first, second = {
            "right": (beside, beside),
            "below": (under, under),
            "mixed": (under, beside),
        }[self.place]
        listed: Table = table(first[0], first[3], rows)
        if listed.width > first[2] - first[0] or listed.height > first[3] - first[1]:
            raise GeometryError("no room for the list of items")
        if self.place == "right":
            listed = table(first[2] - listed.width, first[3], rows)
            second = (second[0], second[1], second[2], first[3] - listed.height - GAP)
        elif self.place == "below":
            second = (first[0] + listed.width + GAP, *second[1:])
        if not has_end(job):
            return listed.items
        return listed.items + self._tooth(second)

    def _tooth(self, room: Box) -> Items:
        """Return the tooth's end at the largest scale that fits the box."""
        tooth = ToothEnd(self.job)
        box = tooth.box
        words = column_width(tooth.notes(View(ORIGIN), self.words))
        for scale in SCALES:
            k = scale[0] / scale[1]
            wide, tall = (box[2] - box[0]) * k, (box[3] - box[1]) * k
            if k > LARGEST or not LEAST_TOOTH <= wide <= MOST_TOOTH:
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
                tooth.notes(view, self.words),
                x=left + wide + GAP,
                side=1,
                room=(room[1], low + tall + 3.0),
            )
            return (*tooth.view(view), head, *column)
        raise GeometryError("no room for the end of a tooth")
