"""The lamination's drawing: front view with its notes at the left, one slot larger at the right.

+---------------------------------------------------------+
| note -.    .---.            B (5:1)                      |
| note ---> ( teeth ) B   depth| slot |--- round           |
| note -'    '---'             |______|--- round           |
| what to heed           | title block                     |
+---------------------------------------------------------+
"""

from __future__ import annotations

import math
from functools import partial
from itertools import product
from typing import TYPE_CHECKING

from geometry.drafting.drawing import Drawing, Item, Items, Text
from geometry.drafting.frame import Sheet
from geometry.drafting.note_column import (
    Note,
    column_height,
    column_width,
    note_column,
    numbered_notes,
)
from geometry.drafting.symbol import centre_cross, centre_line
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from recipes.drawing_conventions import Words, first_legible, papers, plain, titled_sheet
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.stator.lamination import TOOTH_1
from recipes.stator.lamination_notes import front_notes
from recipes.stator.slot_detail import CORNER_NAMES, SlotDetail

if TYPE_CHECKING:
    from collections.abc import Iterator


# The whole sheet seen from the lead side, tooth 1 up, with centre lines and bolt circles.

#: A tooth pitch narrower than this on the sheet, mm, would run into one black ring: only the teeth
#: on both sides of tooth 1 and of the detail are drawn, circles stand for the rest (ISO 128-3 on
#: repeated features, from memory).
LEAST_PITCH = 3.2

#: Teeth drawn at each place where the rest is left out.
SHOWN = 5

#: A hole narrower than this on the sheet, mm, has no room for a centre cross.
CROSSED = 3.0

#: Height of the letter of the detail, and how far it stands off the teeth, mm.
LETTER, LETTER_AWAY = 3.5, 2.5

#: Direction in which the slot of the detail is looked for, rad: to the right and up.
DETAIL_TOWARD = math.radians(38.0)


def detail_slot(job: Job) -> float:
    """Return the direction of the slot that is drawn larger, rad, tooth 1 up."""
    slots = job.design.motor.slots
    axes = [TOOTH_1 - (2 * k + 1) * math.pi / slots for k in range(slots)]
    return min(axes, key=lambda a: abs(math.remainder(a - DETAIL_TOWARD, 2 * math.pi)))


def front_view(job: Job, view: View, letter: str = "B") -> Items:
    """Return the view, with the ring and letter of the detail if `letter` is given.

    Args:
        view: places the axis of the motor (0, 0) on the sheet.
    """
    part, lam = job.parts["lamination"][0], job.design.lamination
    region = part.cut[0]
    items: list[Item] = [*teeth(job, view, bool(letter))]
    for hole in region.holes:
        items += view.edges(hole, "visible")
    items += centre_cross(view.origin, lam.outer_diameter / 2 * view.factor)
    items += _hole_centres(job, view)
    if letter:
        items += _detail_ring(job, view, letter)
    return tuple(items)


def teeth(job: Job, view: View, detail: bool) -> Items:
    """Return the outer outline: every tooth, or a few and circles where they would run together."""
    lam, slots = job.design.lamination, job.design.motor.slots
    outer = job.parts["lamination"][0].cut[0].outer
    radius = lam.outer_diameter / 2
    if 2 * math.pi * radius / slots * view.factor >= LEAST_PITCH:
        return view.edges(outer, "visible")
    pitch = 2 * math.pi / slots
    middles = [TOOTH_1, *([detail_slot(job)] if detail else [])]
    spans = [(m - (SHOWN / 2) * pitch, m + (SHOWN / 2) * pitch) for m in middles]
    items: list[Item] = []
    for low, high in spans:
        run = [s for s in outer.segments if _between(s.point_at(0.5).angle(), low, high)]
        items += [view.stroke((s,), "visible") for s in run]
    for r in (radius, radius - lam.slot_depth):
        items += view.edges(Outline.circle(ORIGIN, r), "narrow")
    return tuple(items)


def _between(angle: float, low: float, high: float) -> bool:
    return (angle - low) % (2 * math.pi) <= high - low


def _hole_centres(job: Job, view: View) -> Iterator[Item]:
    """Yield centre crosses of round holes and the circles that they stand on."""
    hub = job.design.hub
    circles = {f.circle_diameter / 2 for f in (hub.bolts, hub.windows) if f}
    for radius in sorted(circles):
        yield from view.edges(Outline.circle(ORIGIN, radius), "centre")
    for hole in job.parts["lamination"][0].cut[0].holes:
        round_hole = hole.as_circle()
        if round_hole is None or round_hole[0].length() < 1e-6:
            continue
        centre, radius = round_hole
        if 2 * radius * view.factor >= CROSSED:
            out = Point.polar(radius + 1.5 / view.factor, centre.angle())
            yield centre_line(
                view.point(centre.minus(out)), view.point(centre.plus(out)), beyond=0.0
            )


def _detail_ring(job: Job, view: View, letter: str) -> Items:
    """Return the narrow circle round one slot, and its letter outside the teeth (ISO 128-3)."""
    lam, turn = job.design.lamination, detail_slot(job)
    radius = lam.outer_diameter / 2
    middle = Point.polar(radius - lam.slot_depth / 2, turn)
    size = 0.62 * lam.slot_depth
    ring = view.edges(Outline.circle(middle, size), "narrow")
    reach = radius - lam.slot_depth / 2 + size
    spot = view.point(Point.polar(max(reach, radius), turn)).plus(
        Point.polar(LETTER_AWAY + LETTER / 2, turn)
    )
    return (*ring, Text(spot.x, spot.y, LETTER, letter, "centre", level="middle"))


# Words on the lamination's drawing: title block and notes.

#: Burr that a sheet may have, mm (common practice: 0.02 to 0.05).
BURR = 0.05


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    lam = job.design.lamination
    return titled_sheet(
        job,
        paper,
        scale,
        what="lamination",
        kind="reference to the cut file",
        material=f"{lam.steel}, sheet {plain(lam.sheet_thickness)}",
        edges=f"ISO 13715: burr ≤ {BURR:g}, one face",
    )


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, the weightiest first."""
    shop = process(job.design.shop.process)
    kept = [CORNER_NAMES[name] for name, size in job.slot.radii.items() if size > 0]
    rounds = f"{', '.join(kept[:-1])} and {kept[-1]}" if len(kept) > 1 else "".join(kept)
    found = ["For reference: the DXF cut file rules; finished sizes, no kerf."]
    if rounds:
        found.append(f"Leave no square corner at {rounds}: it cuts the enamel.")
    found.append("No burr in the bore or on a tooth face.")
    brackets = " Inches in brackets." if job.design.units == "in" else ""
    found.append(f"±: what {shop.name} holds.{brackets}")
    if job.design.lamination.tip_angle:
        parallel = "tooth" if job.design.lamination.slot_shape == "parallel teeth" else "slot"
        found.append(f"Slope: from a line square to the {parallel}.")
    step = int(job.parts["lamination"][0].settings["rotation_step_slots"])
    if step:
        found.append(f"Looks the same turned by {'1 slot' if step == 1 else f'{step} slots'}.")
    return tuple(found)


#: Size of the front view on the sheet, mm: what can still be read, and what leaves room.
LEAST_FRONT, MOST_FRONT = 38.0, 165.0

#: Nothing on the sheet is enlarged beyond this.
LARGEST = 20.0

#: Clear distances, mm: between groups; from a view to the column of its notes; over the sizes of the
#: detail to its name; left of it for depth and tip thickness.
GAP, TO_NOTES, UNDER_NAME, BESIDE = 5.0, 7.0, 4.0, 21.0

#: Height of names of views, mm.
NAME_HEIGHT = 3.5

Scale = tuple[int, int]


def lamination_drawing(job: Job) -> Drawing:
    """Return the sheet: A4 landscape (Letter where the design prints on it), else A3.

    Raises:
        Refused: the sheet cannot be drawn; see `recipes.stator.lamination.lamination`.
    """
    tries = (
        partial(_drawing, measure, front, detail, both)
        for measure in (_Measure(job, paper) for paper in papers(job))
        for front, detail, both in _tries(measure)
    )
    size = job.design.lamination.outer_diameter
    return first_legible(tries, "lamination.outer_diameter", size, "lamination")


def _drawing(measure: _Measure, front: Scale, detail: Scale, both: bool) -> Drawing:
    return _Layout(measure, front, detail, both).drawing()


def _tries(measure: _Measure) -> list[tuple[Scale, Scale, bool]]:
    """Return scales of front view and detail, notes of the front view on both sides or not.

    Only what fits; the largest detail first, then the largest front view.
    """
    found = [
        (front, detail, both)
        for detail, front, both in product(SCALES, SCALES, (False, True))
        if _factor(front) < _factor(detail) <= LARGEST and measure.fits(front, detail, both)
    ]
    # A stator so small that its teeth are drawn as large as the whole shows both at one scale.
    same = ((s, s, both) for s, both in product(SCALES, (False, True)))
    return found or [each for each in same if measure.fits(*each)]


def _factor(scale: Scale) -> float:
    return scale[0] / scale[1]


class _Measure:
    """What each group takes on one paper, before anything is drawn."""

    def __init__(self, job: Job, paper: str) -> None:
        self.job, self.paper = job, paper
        self.room = framed(job, paper, "1:1").room
        self.words = Words(job.design.units == "in")
        trial = View(ORIGIN)
        self.front_notes = front_notes(job, trial, self.words, -1)
        self.detail_notes = SlotDetail(job, 1.0).notes(trial, self.words)

    def fits(self, front: Scale, detail: Scale, both: bool) -> bool:
        """Tell whether the groups find room beside each other."""
        room, size = self.room, self.job.design.lamination.outer_diameter * _factor(front)
        wide, high = room[2] - room[0], room[3] - room[1]
        if not LEAST_FRONT <= size <= min(MOST_FRONT, high - 8.0):
            return False
        box = SlotDetail(self.job, _factor(detail)).box
        across, tall = ((box[k + 2] - box[k]) * _factor(detail) for k in (0, 1))
        columns = [column_height(part) for part in split(self.front_notes, both)]
        if (
            max(*columns, column_height(self.detail_notes) + NAME_HEIGHT) > high
            or tall + self.over(detail) > high
        ):
            return False
        return self.width(size, across, both) <= wide

    def over(self, detail: Scale) -> float:
        """Return the height over the detail for its sizes and its name, mm."""
        shape = SlotDetail(self.job, _factor(detail))
        return shape.over(self.words) + UNDER_NAME + NAME_HEIGHT + 1.0

    def width(self, size: float, across: float, both: bool) -> float:
        """Return the width of everything, mm."""
        sides = [column_width(part) for part in split(self.front_notes, both)]
        columns = sum(w + TO_NOTES for w in sides if w)
        detail = BESIDE + across + TO_NOTES + column_width(self.detail_notes)
        letter = LETTER_AWAY + LETTER
        return columns + size + letter + GAP + detail


def split(notes: list[Note], both: bool) -> tuple[list[Note], list[Note]]:
    """Return the notes of the left and of the right column."""
    return (notes[::2], notes[1::2]) if both else (notes, [])


class _Layout:
    """One try: everything placed for one paper and two scales, or `GeometryError`."""

    def __init__(self, measure: _Measure, front: Scale, detail: Scale, both: bool) -> None:
        job = measure.job
        self.job, self.front, self.detail, self.both = job, front, detail, both
        self.words = Words(job.design.units == "in")
        self.sheet = framed(job, measure.paper, f"{front[0]}:{front[1]}")
        self.room, self.measure = measure.room, measure
        self.shape = SlotDetail(job, _factor(detail))

    def drawing(self) -> Drawing:
        """Return the sheet."""
        job, room, k = self.job, self.room, _factor(self.detail)
        size = job.design.lamination.outer_diameter * _factor(self.front)
        across = (self.shape.box[2] - self.shape.box[0]) * k
        slack = (room[2] - room[0] - self.measure.width(size, across, self.both)) / 4
        left, right = split(self.measure.front_notes, self.both)
        x = room[0] + min(slack, 12.0) + column_width(left) + TO_NOTES
        middle = Point(x + size / 2, (room[1] + room[3]) / 2)
        items = self._front(View(middle, self.front), size)
        x = middle.x + size / 2 + LETTER_AWAY + LETTER
        if right:
            x += TO_NOTES + column_width(right)
        x += GAP + BESIDE + slack
        items += self._slot(x, across)
        if self.sheet.side:
            items += numbered_notes(notes(job), self.sheet.side)
        if not self.sheet.holds(items):
            raise GeometryError("something leaves the frame")
        title = f"Lamination, {job.design.name}"
        drawn = (*self.sheet.items, *items)
        return Drawing(self.sheet.width, self.sheet.height, drawn, title)

    def _front(self, view: View, size: float) -> Items:
        """Return the front view with its columns of notes."""
        items = front_view(self.job, view)
        room = (self.room[1], self.room[3])
        for side, k in ((-1, 0), (1, 1)) if self.both else ((-1, 0),):
            part = split(front_notes(self.job, view, self.words, side), self.both)[k]
            x = view.origin.x + side * (size / 2 + TO_NOTES + (LETTER_AWAY + LETTER) * (side > 0))
            items += note_column(part, x=x, side=side, room=room)
        return items

    def _slot(self, left: float, across: float) -> Items:
        """Return the detail whose steel begins at x = `left`."""
        shape, k, room = self.shape, _factor(self.detail), self.room
        tall = (shape.box[3] - shape.box[1]) * k
        over = self.measure.over(self.detail)
        low = room[1] + max(0.0, room[3] - room[1] - tall - over) / 2
        about = Point(shape.box[0], shape.box[1])
        view = View(Point(left, low), self.detail, about)
        top = low + tall
        name = Text(
            view.at(0.0, 0.0).x, top + over - NAME_HEIGHT - 1.0, NAME_HEIGHT, self._name(), "centre"
        )
        column = note_column(
            shape.notes(view, self.words),
            x=left + across + TO_NOTES,
            side=1,
            room=(room[1], room[3] - NAME_HEIGHT - 2.0),
        )
        return (*shape.view(view), *shape.lengths(view, self.words), name, *column)

    def _name(self) -> str:
        """Return letter, scale, and by how much the slot is turned to open upward (ISO 128-3)."""
        turn = math.degrees(math.pi / 2 - detail_slot(self.job))
        sign = f" ↺ {turn:.4g}°" if abs(turn) > 0.005 else ""
        return f"B ({self.detail[0]}:{self.detail[1]}){sign}"
