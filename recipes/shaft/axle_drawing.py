"""The axle's drawing: one sheet with side view, view on face A, section through the wire slot.

First-angle projection: the view on face A, taken from the left, stands at the right.

    +--------------------------------------------------+
    |  labels of diameters with fit, limits and finish |
    |   |      |   |     |        |                     |
    |  ===side view, slot toward the reader===   (end)  |
    |  0  22  36  43 ... lengths from face A            |
    |  drill centres        section A-A                 |
    |  notes              | title block                 |
    +--------------------------------------------------+
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from geometry.drafting.broken_view import ShortView, break_lines, opened
from geometry.drafting.dimension import arrow
from geometry.drafting.dimension_layout import running_depth, running_lengths
from geometry.drafting.drawing import Drawing, Fill, Items, Stroke, Text, extent, line, text_lines
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, wrap
from geometry.drafting.frame import Sheet, TitleBlock, framed_sheet
from geometry.drafting.label_row import LEADER_GAP, Row, label_row, tallest
from geometry.drafting.legible import legibility
from geometry.drafting.table import Table, table
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box
from recipes.drawing_conventions import Words, fitted, plain
from recipes.job import Job
from recipes.refusal import Refused, stop
from recipes.shaft.axle_labels import labels, stations
from recipes.shaft.cross_section import end_view, key_section_view, section_view, slot_radius
from recipes.shaft.key_seat import key_words
from recipes.shaft.profile import STATOR_ROUND, seat_round
from recipes.shaft.sections import slot_feature
from recipes.shaft.side_view import half_height, left_out, radius_at, side_view

# Words on the axle's sheet: title block, notes and the table of drill centres.


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    design = job.design
    block = TitleBlock(
        title=fitted(f"Axle, {design.name}", 76.0, 3.5),
        number=fitted(f"{design.slug}-axle", 46.0, SMALLEST_TEXT),
        revision=job.revision,
        material=fitted(
            f"{design.axle.material}, stock ⌀{plain(design.axle.stock_diameter)}",
            108.0,
            SMALLEST_TEXT,
        ),
        scale=scale,
    )
    return framed_sheet(paper, block)


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, one sentence or two each."""
    axle, keys = job.design.axle, key_words(job.key_seats)
    found = [
        f"Bearing seats for {axle.bearing}: turn or grind, not file; push fit by hand, the bearing is "
        "the gauge.",
        "Stator seat: match to the measured bore.",
        f"Inner corners: seats R{seat_round(job.bearing):.2f}, collar R{STATOR_ROUND:g} max.",
        f"Both ends {plain(axle.edge_break)} × 45°. Other surfaces Ra 3.2.",
        "Deburr slot and bore inside and out.",
    ]
    if keys:
        found.append(keys)
    if keys or axle.flats:
        found.append("Angles: seen on face A, 0° right, 90° up.")
    if job.design.units == "in":
        found.append("Inches in brackets.")
    return tuple(found)


def notes_items(job: Job, room: Box) -> Items:
    """Return the notes in a box, numbered, wrapped to its width."""
    lines: list[str] = []
    for k, note in enumerate(notes(job), 1):
        first, *rest = wrap(note, room[2] - room[0] - 4.0, SMALLEST_TEXT)
        lines += [f"{k}  {first}", *(f"    {words}" for words in rest)]
    pitch = min(
        LINE_PITCH * SMALLEST_TEXT, (room[3] - room[1] - SMALLEST_TEXT) / max(1, len(lines) - 1)
    )
    return text_lines(room[0], room[3], SMALLEST_TEXT, lines, pitch=pitch)


def drill_table(job: Job, words: Words, x: float, top: float) -> Table:
    """Return the table of the two holes that end the wire slot; its top left at (x, top) mm."""
    slot, span = job.design.axle.wire_slot, slot_feature(job.design.axle)
    r = slot.width / 2
    rows = [("wire slot", "centre from A", "drill")]
    rows += [
        (f"hole {k}", words.size(z), words.size(slot.width, "⌀"))
        for k, z in enumerate((span.start + r, span.end - r), 1)
    ]
    return table(x, top, rows)


#: Nothing on the sheet is enlarged beyond this.
LARGEST = 10.0

#: A side view shorter or lower than this on A4, mm, goes to A3 if that shows it larger.
SHORT_VIEW, LOW_VIEW = 90.0, 8.0

#: A shortened side view is at most this high, mm.
HIGH_VIEW = 40.0

#: Height kept free above and below the side view for the marks of the cutting plane, mm.
MARK = 9.5

#: Where the letter of a cutting plane may stand beside it, mm: over its arrow, at its tail, ahead.
LETTERS = (-2.6, -6.0, 2.4)

#: Diameter of the section on the sheet, mm.
LEAST_SECTION, MOST_SECTION = 18.0, 70.0

#: The section through key seats shows no more than a round with notches: it may be smaller, mm.
LEAST_KEY_SECTION = 12.0

#: Clear distance between two groups on the sheet, mm.
GAP = 6.0


def axle_drawing(job: Job) -> Drawing:
    """Return the sheet: A4 landscape (Letter where the design prints on it), or A3 if need be.

    Raises:
        Refused: see `axle_sections`; or no sheet takes the axle at a standard scale.
    """
    small = "Letter" if job.design.print.page == "Letter" else "A4"
    first = _largest(job, small)
    if first and first.clean and first.length >= SHORT_VIEW and first.height >= LOW_VIEW:
        return first.drawing
    second = _largest(job, "A3")
    sheets = [s for s in (first, second) if s]
    if not any(s.clean and s.height >= LOW_VIEW for s in sheets):
        # Too long for its thickness: show it shortened, between break lines.
        short = _largest(job, small, short=True) or _largest(job, "A3", short=True)
        if short and short.clean:
            return short.drawing
    if not sheets:
        raise Refused(
            stop(
                "no-sheet",
                "axle.length",
                (
                    f"axle.length = {job.design.axle.length:g} mm: no drawing of this axle can be read on "
                    f"{small} or A3 at a standard scale"
                ),
                value=job.design.axle.length,
                fix="leave out grooves or flats, or place features farther apart",
                source="ISO 5455",
            )
        )
    return max(sheets, key=lambda s: (s.clean, s.factor)).drawing


@dataclass(frozen=True)
class _Laid:
    """A finished sheet: its scale, the side view's length and height in mm; can it be read?"""

    drawing: Drawing
    factor: float
    length: float
    height: float
    clean: bool


def _largest(job: Job, paper: str, *, short: bool = False) -> _Laid | None:
    """Return the sheet at the largest scale that fits and can be read, else the best there is.

    Args:
        short: show the axle shortened, as high as `HIGH_VIEW` at most.
    """
    last: _Laid | None = None
    for scale, stacked in product(SCALES, (False, True)):
        factor = scale[0] / scale[1]
        if factor > LARGEST or (short and 2 * half_height(job) * factor > HIGH_VIEW):
            continue
        try:
            drawing = _Layout(job, paper, scale, stacked, short).drawing()
        except GeometryError:
            continue
        clean, height = not legibility(drawing), 2 * half_height(job) * factor
        found = _Laid(drawing, factor, job.design.axle.length * factor, height, clean)
        if clean:
            return found
        last = last or found
    return last


class _Layout:
    """One try: everything placed for one paper and scale, or `GeometryError`."""

    def __init__(
        self, job: Job, paper: str, scale: tuple[int, int], stacked: bool, short: bool = False
    ) -> None:
        self.job, self.scale, self.stacked, self.short = job, scale, stacked, short
        self.words = Words(job.design.units == "in")
        self.sheet: Sheet = framed(job, paper, f"{scale[0]}:{scale[1]}")
        self.room = self.sheet.room
        self.k = scale[0] / scale[1]
        self.high = half_height(job) * self.k
        self.length = job.design.axle.length * self.k

    def drawing(self) -> Drawing:
        """Return the sheet."""
        job, words, room = self.job, self.words, self.room
        end = extent(end_view(job, View(Point(0.0, 0.0), self.scale), words))
        beyond = 2 * GAP + end[2] - end[0]
        out = left_out(job, self.k, room[2] - room[0] - 6.0 - beyond) if self.short else ()
        self.length = ShortView(Point(0.0, 0.0), self.scale, left_out=out).shown(
            job.design.axle.length
        )
        wide = self.length + beyond
        left = room[0] + 3.0 + max(0.0, room[2] - room[0] - 3.0 - wide) / 2
        if left + wide > room[2]:
            raise GeometryError("side view and end view are too wide")
        trial = ShortView(Point(left, 0.0), self.scale, left_out=out)
        row, _ = self._label_row(trial)
        axis = room[3] - tallest(row.labels) - row.rise - max(self.high + MARK, end[3] + 1.0)
        view = ShortView(Point(left, axis), self.scale, left_out=out)
        row, plane = self._label_row(view)
        items = [*opened(side_view(job, view), view.gaps), *self._breaks(view)]
        items += row.items(bend=room[3] - tallest(row.labels) - row.rise)
        at = axis - self.high - MARK - 1.0
        spots = stations(job, view, words)
        items += running_lengths(spots, at=at, room=(room[0], room[2]))
        items += plane
        beside = View(Point(left + self.length + 2 * GAP - end[0], axis), self.scale)
        items += end_view(job, beside, words)
        low = at - running_depth(spots)
        items += self._below(
            low - GAP, left + self.length, beside.origin.x + end[2], axis + end[1], bool(plane)
        )
        drawn = (*self.sheet.items, *items)
        return Drawing(self.sheet.width, self.sheet.height, drawn, f"Axle, {job.design.name}")

    def _breaks(self, view: ShortView) -> Items:
        """Return the break lines of what is left out."""
        items: Items = ()
        for (start, _), gap in zip(view.left_out, view.gaps, strict=True):
            high = radius_at(self.job, start) * self.k
            items += break_lines(gap, view.origin.y - high, view.origin.y + high)
        return items

    def _plane(self, middle: Point, letters: tuple[float, float]) -> Items:
        """Return the trace of the cutting plane A-A, seen toward face B (ISO 128-3).

        Args:
            letters: where the upper and the lower letter stand beside the plane, mm.
        """
        items: list[Stroke | Text | Fill] = []
        ends = [middle.plus(Point(0.0, up * (self.high + 4.5))) for up in (1.0, -1.0)]
        items.append(line(ends[0], ends[1], "centre"))
        for end, up, aside in zip(ends, (1.0, -1.0), letters, strict=True):
            items.append(line(end, end.plus(Point(0.0, -3.0 * up)), "visible"))
            items += [line(end.plus(Point(-4.2, 0.0)), end), arrow(end, 0.0)]
            spot = end.plus(Point(aside, 2.6 * up if abs(aside) < 4.0 else 0.0))
            items.append(Text(spot.x, spot.y, 3.0, "A", "centre", level="middle"))
        return tuple(items)

    def _label_row(self, view: ShortView) -> tuple[Row, Items]:
        """Return the labels, and the cutting plane where its marks find a place (else nothing)."""
        job, room = self.job, (self.room[0], self.room[2])
        slot, span = job.design.axle.wire_slot, slot_feature(job.design.axle)
        notes = labels(job, view, self.words, stacked=self.stacked)
        broken = [(a - LEADER_GAP, b + LEADER_GAP) for a, b in view.gaps]
        passing = [s.at.x for s in stations(job, view, self.words)]
        low, high = span.start + slot.width / 2, span.end - slot.width / 2
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.0, 1.0):
            middle = view.at(low + share * (high - low), 0.0)
            below = self._letter(middle.x, passing)
            if below is None or any(-2.8 < x - middle.x < 0.6 for x in passing):
                continue
            try:
                row = label_row(notes, room=room, avoid=[*broken, (middle.x - 5.0, middle.x + 1.2)])
            except GeometryError:
                continue
            return row, self._plane(middle, (LETTERS[0], below))
        return label_row(notes, room=room, avoid=broken), ()

    @staticmethod
    def _letter(x: float, passing: list[float]) -> float | None:
        """Return a place for the lower letter that no extension line runs through."""
        return next((a for a in LETTERS if all(abs(p - x - a) > 1.9 for p in passing)), None)

    def _below(
        self, top: float, side_end: float, right: float, end_low: float, marked: bool
    ) -> Items:
        """Return table, notes and section in what is left of the sheet."""
        room, side = self.room, self.sheet.side
        plan = drill_table(self.job, self.words, room[0], 0.0)
        if top - plan.height < room[1]:
            raise GeometryError("no height is left for the table of drill centres")
        placed = drill_table(self.job, self.words, room[0], top)
        items: Items = placed.items
        if side:
            items += notes_items(self.job, side)
        spots = [
            (room[0] + plan.width + GAP, room[1], room[2], min(top, end_low - GAP)),
            (side_end + GAP, room[1], room[2], end_low - GAP),
            (right + GAP, room[1], room[2], room[3] - MARK),
        ]
        section, taken = self._section(spots, marked)
        return items + section + self._key_section(spots, taken)

    def _section(self, spots: list[Box], marked: bool) -> tuple[Items, Box]:
        """Return the section at the largest scale that one of the boxes takes, and its box."""
        across = 2 * slot_radius(self.job)
        for scale in SCALES:
            k = scale[0] / scale[1]
            if k > LARGEST or not LEAST_SECTION <= across * k <= MOST_SECTION:
                continue
            name = f"A-A ({scale[0]}:{scale[1]})"
            if not marked:
                name = f"at the wire slot ({scale[0]}:{scale[1]})"
            size = extent(section_view(self.job, View(Point(0.0, 0.0), scale), self.words, name))
            for spot in spots:
                wide, tall = size[2] - size[0], size[3] - size[1]
                if wide <= spot[2] - spot[0] and tall <= spot[3] - spot[1]:
                    x = (spot[0] + spot[2] - wide) / 2 - size[0]
                    y = (spot[1] + spot[3] - tall) / 2 - size[1]
                    items = section_view(self.job, View(Point(x, y), scale), self.words, name)
                    return items, extent(items)
        raise GeometryError("no room is left for the section through the wire slot")

    def _key_section(self, spots: list[Box], taken: Box) -> Items:
        """Return the section through the key seats where the other has left room for it.

        The label of the side view says all of it too, so a full sheet goes without.
        """
        if self.job.key_seats is None:
            return ()
        across = self.job.design.lamination.bore_diameter
        left, right = taken[0] - GAP, taken[2] + GAP
        beside = [
            box
            for spot in spots
            for box in (
                (spot[0], spot[1], min(spot[2], left), spot[3]),
                (max(spot[0], right), spot[1], spot[2], spot[3]),
            )
        ]
        for scale in SCALES:
            k = scale[0] / scale[1]
            if k > LARGEST or not LEAST_KEY_SECTION <= across * k <= MOST_SECTION:
                continue
            size = extent(key_section_view(self.job, View(Point(0.0, 0.0), scale), self.words))
            wide, tall = size[2] - size[0], size[3] - size[1]
            for spot in beside:
                if wide <= spot[2] - spot[0] and tall <= spot[3] - spot[1]:
                    at = Point(
                        (spot[0] + spot[2] - wide) / 2 - size[0],
                        (spot[1] + spot[3] - tall) / 2 - size[1],
                    )
                    return key_section_view(self.job, View(at, scale), self.words)
        return ()
