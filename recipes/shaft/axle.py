"""The hollow axle: turned seats, bore, the slot through which the leads leave; its solid and drawing.

Face A is the lead side: z = 0, every length of the design counts from it; up is +y of the solid.
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

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from geometry.drafting.dimension import arrow, running_depth, running_lengths
from geometry.drafting.drawing import (
    Drawing,
    Fill,
    Items,
    Lazy,
    Stroke,
    Text,
    extent,
    held,
    line,
)
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.label import LEADER_GAP, Row, label_row, numbered_notes, tallest
from geometry.drafting.legible import legibility
from geometry.drafting.sheet import Sheet, Table, TitleBlock, framed_sheet, table
from geometry.drafting.view import SCALES, ShortView, View, break_lines, opened
from geometry.errors import GeometryError
from geometry.part import Part
from geometry.point import Point
from geometry.segment import Box
from recipes.design.axle import Axle
from recipes.design.units import MM_PER_INCH
from recipes.drawing_conventions import Imprint, Words, fitted, sharp_edges
from recipes.refusal import Refused, stop
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.corner import LAND_BAND, STATOR_BAND, RoundBand, is_filed
from recipes.shaft.cross_section import end_view, key_section_view, section_view
from recipes.shaft.end_thread import chamfer_at, threaded_ends
from recipes.shaft.geometric_tolerance import told
from recipes.shaft.key_seat import key_seat_words, key_words
from recipes.shaft.profile import HALF_CENTRE, axle_solid, centre_chamfer
from recipes.shaft.sections import drill_centres
from recipes.shaft.side_view import labels, left_out, side_view, stations
from recipes.tables.steel_tubes import tube_of_axle

#: Nothing on the sheet is enlarged beyond this.
LARGEST = 10.0

#: A side view shorter or lower than this on A4, mm, goes to A3 if that shows it larger.
SHORT_VIEW, LOW_VIEW = 90.0, 8.0

#: A shortened side view is at most this high, mm.
HIGH_VIEW = 75.0

#: Height kept free above and below the side view for the marks of the cutting plane, mm.
MARK = 9.5

#: Where the letter of a cutting plane may stand beside it, mm: over its arrow, at its tail, ahead.
LETTERS = (-2.6, -6.0, 2.4)

#: Diameter of the section on the sheet, mm.
LEAST_SECTION, MOST_SECTION = 18.0, 70.0

#: The section through key seats shows no more than a round with notches: it may be smaller, mm.
LEAST_KEY_SECTION = 12.0

#: Notes begin this far below the top of their box, mm: base lines clear of half a pixel, where
#: renderers at 100 dpi round apart.
NOTES_DOWN = 0.09

#: Clear distance between two groups on the sheet, mm.
GAP = 6.0


def axle(shape: AxleShape, at_seat: RoundBand, imprint: Imprint) -> tuple[Part, ...]:
    """Return the axle of a design.

    Args:
        shape: what is drawn; the rules of the axle have found nothing to refuse in it.
        at_seat: rounds that are allowed beside a bearing seat.
        imprint: of the design.

    Returns:
        One `Part` named "axle": a turned solid with its cuts, and one drawing; nothing to cut
        from sheet.
    """
    return (
        Part(
            name="axle",
            cut=(),
            material=shape.axle.material,
            thickness=0.0,
            quantity=1,
            settings=_settings(shape),
            notes=_part_notes(shape, at_seat),
            solid=axle_solid(shape.axle, shape.profile, shape.key_seats),
            drawings=Lazy(lambda: (axle_drawing(shape, at_seat, imprint),), count=1),
        ),
    )


def _settings(shape: AxleShape) -> dict[str, float | int | str]:
    axle, seats = shape.axle, shape.key_seats
    slot = axle.wire_slot
    figures: dict[str, float | int | str] = {
        "length_mm": axle.length,
        "stock": axle.stock,
        "stock_diameter_mm": axle.stock_diameter,
        "bore_diameter_mm": axle.bore_diameter,
        "bore_depth_mm": axle.length if axle.bore_depth is None else axle.bore_depth,
        "bore_mouth_radius_mm": shape.mouth_radius,
        "bearing": axle.bearing,
        "wire_slot_from_face_A_mm": slot.from_face,
        "wire_slot_length_mm": slot.length,
        "wire_slot_width_mm": slot.width,
        "wire_slot_mouth_radius_mm": slot.mouth_radius,
        "wire_slot_angle_deg": slot.angle,
    }
    if wide := centre_chamfer(axle, shape.pieces):
        figures["centre_chamfer_diameter_mm"] = axle.bore_diameter + 2 * wide
    if axle.shoulder is not None:
        figures["collar_diameter_mm"] = axle.shoulder.diameter
    if seats:
        figures |= {
            "key_seats": len(seats.angles),
            "key_seat_from_face_A_mm": seats.start,
            "key_seat_length_mm": seats.length,
            "key_seat_width_mm": seats.width,
            "key_seat_depth_mm": seats.depth,
            "key_seat_angles_deg": " ".join(f"{a:g}" for a in seats.angles),
        }
    for k, end in enumerate(threaded_ends(axle), 1):
        figures |= {
            f"thread_{k}": end.thread.designation,
            f"thread_{k}_from_face_A_mm": end.start,
            f"thread_{k}_length_mm": end.end - end.start,
        }
    seat = 0
    for section in shape.sections:
        limits = section.limits
        if limits:
            seat += section.kind == "seat"
            name = f"bearing_seat_{'AB'[seat - 1]}" if section.kind == "seat" else "stator_seat"
            figures[f"{name}_from_face_A_mm"] = section.start
            figures[f"{name}_length_mm"] = section.length
            figures[f"{name}_fit"] = f"{section.diameter:g} {section.fit}"
            figures[f"{name}_max_mm"] = limits.max_size_mm
            figures[f"{name}_min_mm"] = limits.min_size_mm
    return {k: round(v, 4) if isinstance(v, float) else v for k, v in figures.items()}


def _part_notes(shape: AxleShape, at_seat: RoundBand) -> tuple[str, ...]:
    axle = shape.axle
    turned = axle.stator_seat is not None
    filed = is_filed(axle)
    seats = "bearing seats and stator seat" if turned else "bearing seats"
    return (
        f"{seats}: file and cloth in small passes all round, as the bench sheet says; a lathe keeps them "
        "rounder"
        if filed
        else f"{seats}: turn between centres or grind in one setting, Ra 0.8 to 1.6; "
        "never file a seat, file only slot and flats",
        "turn the stator seat last, to the measured bore of the glued stack: cut sheets vary by more "
        "than the fit"
        if turned
        else f"under the stack the {axle.stock} keeps its outside as bought: scale and burrs off, degrease; "
        "measure it before the sheets are cut",
        "the bearing is the gauge: it goes on by a push of the hand; stop and measure before it jams",
        f"inner corners: {_band(at_seat)} beside bearing seats, {_band(STATOR_BAND)} where the stack meets "
        f"a collar, {_band(LAND_BAND)} elsewhere; sharper ones crack, rounder ones keep the ring off its "
        "shoulder",
        "wire slot: drill both ends, file between, round its mouth; deburr slot and bore inside and "
        "out until a cotton bud leaves no threads",
        *((key_seat_words(shape.key_seats), key_words(shape.key_seats)) if shape.key_seats else ()),
        *(
            f"thread {e.thread.designation} at face {e.face}: turn {e.thread.major_max_mm:.2f} to "
            f"{e.thread.major_min_mm:.2f} mm, chamfer {e.chamfer:g} mm, cut with the nut as the gauge, "
            "before the wires go in; the STEP body shows it as a plain cylinder of its outside diameter"
            for e in threaded_ends(shape.axle)
        ),
    )


def _band(band: RoundBand) -> str:
    """Return both ends of a band of rounds."""
    return f"R{band.low:g} to R{band.high:g}"


def axle_drawing(shape: AxleShape, at_seat: RoundBand, imprint: Imprint) -> Drawing:
    """Return the sheet: A4 landscape (Letter where the design prints on it), or A3 if need be.

    Args:
        shape: the axle.
        at_seat: rounds that are allowed beside a bearing seat.
        imprint: of the design.

    Raises:
        Refused: no sheet takes the axle at a standard scale.
    """
    small = "Letter" if imprint.printer.page == "Letter" else "A4"
    said = _sheet_notes(shape, at_seat, imprint.words)

    drawing = _best(shape, said, imprint, small, framed=True)
    if drawing is None:
        words = told(imprint.words, keyed=shape.key_seats is not None)
        drawing = _best(shape, (*said, words), imprint, small, framed=False)
    if drawing is None:
        raise _no_sheet(shape, small)
    return drawing


def _best(
    shape: AxleShape, notes: Sequence[str], imprint: Imprint, small: str, *, framed: bool
) -> Drawing | None:
    """Return the sheet that shows the axle best, None if none can hold it.

    `small` names the smaller paper; `framed`: tolerances stand in frames, not in a note.
    """

    def largest(paper: str, *, short: bool = False) -> _Laid | None:
        return _largest(shape, notes, imprint, paper, short=short, framed=framed)

    first = largest(small)
    if first and first.clean and first.length >= SHORT_VIEW and first.height >= LOW_VIEW:
        return first.drawing
    second = largest("A3")
    sheets = [s for s in (first, second) if s]
    if not any(s.clean and s.height >= LOW_VIEW for s in sheets):
        # Too long for its thickness: show it shortened, between break lines.
        short = largest(small, short=True) or largest("A3", short=True)
        if short and short.clean:
            return short.drawing
    return max(sheets, key=lambda s: (s.clean, s.factor)).drawing if sheets else None


def _no_sheet(shape: AxleShape, small: str) -> Refused:
    """Return the refusal of an axle that no sheet takes."""
    return Refused(
        stop(
            "no-sheet",
            "axle.length",
            (
                f"axle.length = {shape.axle.length:g} mm: no drawing of this axle can be read on "
                f"{small} or A3 at a standard scale"
            ),
            value=shape.axle.length,
            fix="leave out grooves or flats, or place features farther apart",
            source="ISO 5455",
        )
    )


def _sheet_notes(shape: AxleShape, at_seat: RoundBand, words: Words) -> tuple[str, ...]:
    """Return the notes of the drawing, one sentence or two each."""
    axle, keys = shape.axle, key_words(shape.key_seats)
    stack = next(s for s in shape.sections if s.kind == "stator")
    how = "file in small passes" if is_filed(axle) else "turn or grind, not file"
    return (
        f"Bearing seats for {axle.bearing}: {how}; push fit by hand, the bearing is the gauge.",
        "Stator seat: match to the measured bore."
        if axle.stator_seat
        else f"Stack from {words.size(stack.start)}: {axle.stock} as bought, no cut.",
        _corners(at_seat, words, collar=axle.shoulder is not None),
        f"{_chamfers(axle, words)} × 45°. Other surfaces Ra 3.2.",
        *_centres(shape, words),
        *(
            f"Undercut DIN 76-1 A {words.size(e.thread.undercut_round_mm, 'R')}."
            for e in threaded_ends(axle)[:1]
            if e.undercut
        ),
        "Deburr slot and bore inside and out.",
        *((keys,) if keys else ()),
        *(("Angles: seen on face A, 0° right, 90° up.",) if keys or axle.flats else ()),
        *(("Inches; mm in brackets.",) if words.inches else ()),
    )


def _corners(at_seat: RoundBand, words: Words, *, collar: bool) -> str:
    """Return the rounds of all inner corners, places of one band named together."""
    places = {"seats": at_seat, "collar": STATOR_BAND, "others": LAND_BAND}
    if not collar:
        del places["collar"]
    bands: dict[RoundBand, list[str]] = {}
    for name, band in places.items():
        bands.setdefault(band, []).append(name)
    said = (f"{', '.join(names)} {_span(band, words)}" for band, names in bands.items())
    return f"Inner corners: {'; '.join(said)}."


def _span(band: RoundBand, words: Words) -> str:
    """Return both ends of a band, in inches where the design is drawn in them."""
    if words.inches:
        return f"R{band.low / MM_PER_INCH:.3f} to {band.high / MM_PER_INCH:.3f}"
    return f"R{band.low:g} to {band.high:g}"


def _centres(shape: AxleShape, words: Words) -> list[str]:
    """Return where a lathe centre bears in both ends of a bore that runs through."""
    wide, bore = centre_chamfer(shape.axle, shape.pieces), shape.axle.bore_diameter
    if not wide:
        return []
    said = f"60° centre: face B chamfer to {words.size(bore + 2 * wide, '⌀')}"
    mouth = shape.mouth_radius
    if mouth:  # a cone touches a round where the round is as steep
        touched = round(bore + 2 * mouth * (1 - math.cos(HALF_CENTRE)), 2)
        said += f"; face A on the bore's mouth at {words.size(touched, '⌀')}"
    return [f"{said}."]


def _chamfers(axle: Axle, words: Words) -> str:
    """Return the size of the chamfers at both ends in words."""
    a, b = (words.size(chamfer_at(axle, face)) for face in ("A", "B"))
    return f"Both ends {a}" if a == b else f"Face A {a}, face B {b}"


def _framed(axle: Axle, imprint: Imprint, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    tube = tube_of_axle(axle)
    stock = f"stock {imprint.words.size(axle.stock_diameter, '⌀')}" if tube is None else tube.name
    material = f"{axle.material}, {stock}"
    block = TitleBlock(
        title=fitted(f"Axle, {imprint.name}", 76.0, 3.5),
        number=fitted(f"{imprint.slug}-axle", 46.0, SMALLEST_TEXT),
        revision=imprint.revision,
        material=fitted(material, 108.0, SMALLEST_TEXT),
        scale=scale,
        units="in" if imprint.inches else "mm",
        edges=sharp_edges(imprint),
    )
    return framed_sheet(paper, block)


def _drill_table(shape: AxleShape, words: Words, x: float, top: float) -> Table:
    """Return the table of the two holes that end the wire slot; its top left at (x, top) mm."""
    slot = shape.axle.wire_slot
    rows = [("wire slot", "centre from A", "drill")]
    rows += [
        (f"hole {k}", words.size(z), words.size(slot.width, "⌀"))
        for k, z in enumerate(drill_centres(slot), 1)
    ]
    return table(x, top, rows)


@dataclass(frozen=True)
class _Laid:
    """A finished sheet: its scale, the side view's length and height in mm; can it be read?"""

    drawing: Drawing
    factor: float
    length: float
    height: float
    clean: bool


def _largest(
    shape: AxleShape,
    notes: Sequence[str],
    imprint: Imprint,
    paper: str,
    *,
    short: bool,
    framed: bool,
) -> _Laid | None:
    """Return the sheet at the largest scale that fits and can be read, else the best there is.

    Args:
        shape, notes, imprint: what is drawn and said.
        paper: its name.
        short: show the axle shortened, as high as `HIGH_VIEW` at most.
        framed: as of `_best`.
    """
    last: _Laid | None = None
    for scale, stacked in product(SCALES, (False, True)):
        factor = scale[0] / scale[1]
        height = 2 * shape.half_height * factor
        if factor > LARGEST or (short and height > HIGH_VIEW):
            continue
        sheet = _framed(shape.axle, imprint, paper, f"{scale[0]}:{scale[1]}")
        layout = _Layout(shape, notes, imprint.words, sheet, scale, stacked, short, framed)
        try:
            drawing = layout.drawing(f"Axle, {imprint.name}")
        except GeometryError:
            continue
        clean = not legibility(drawing)
        found = _Laid(drawing, factor, shape.axle.length * factor, height, clean)
        if clean:
            return found
        last = last or found
    return last


@dataclass(frozen=True)
class _Layout:
    """One try: everything placed for one sheet and scale, or `GeometryError`.

    Args:
        shape, notes, words: what is drawn and said, and how sizes are written.
        sheet: frame and title block.
        scale: of side view and end view.
        stacked: signs of surfaces stand on top of their labels.
        short: the axle is shortened.
        framed: as of `_best`.
    """

    shape: AxleShape
    notes: Sequence[str]
    words: Words
    sheet: Sheet
    scale: tuple[int, int]
    stacked: bool
    short: bool
    framed: bool

    @property
    def factor(self) -> float:
        """Millimetres on the sheet for one of the axle."""
        return self.scale[0] / self.scale[1]

    @property
    def high(self) -> float:
        """Half the height of the side view, mm."""
        return self.shape.half_height * self.factor

    def drawing(self, title: str) -> Drawing:
        """Return the sheet."""
        shape, words, room = self.shape, self.words, self.sheet.room
        end = extent(end_view(shape, View(Point(0.0, 0.0), self.scale), words))
        beyond = 2 * GAP + end[2] - end[0]
        space = room[2] - room[0] - 6.0 - beyond
        out = left_out(shape, self.factor, space) if self.short else ()
        length = ShortView(Point(0.0, 0.0), self.scale, left_out=out).shown(shape.axle.length)
        wide = length + beyond
        left = room[0] + 3.0 + max(0.0, room[2] - room[0] - 3.0 - wide) / 2
        if left + wide > room[2]:
            raise GeometryError("side view and end view are too wide")
        rough = ShortView(Point(left, 0.0), self.scale, left_out=out)
        row, _ = self._label_row(rough)
        axis = room[3] - tallest(row.labels) - row.rise - max(self.high + MARK, end[3] + 1.0)
        view = ShortView(Point(left, axis), self.scale, left_out=out)
        row, plane = self._label_row(view)
        sizes = row.items(bend=room[3] - tallest(row.labels) - row.rise)
        at = axis - self.high - MARK - 1.0
        spots = stations(shape, view, words)
        sizes += running_lengths(spots, at=at, room=(room[0], room[2]))
        # beside a gap a size may stand where the model has no place: it belongs to the sheet
        own = [i for i in sizes if i.dimension or not view.gaps]
        items = [*held((*opened(side_view(shape, view), view.gaps), *own), view)]
        items += [i for i in sizes if not (i.dimension or not view.gaps)]
        items += (*self._breaks(view), *plane)
        beside = View(Point(left + length + 2 * GAP - end[0], axis), self.scale)
        items += held(end_view(shape, beside, words), beside)
        low = at - running_depth(spots)
        items += self._below(
            low - GAP, left + length, beside.origin.x + end[2], axis + end[1], bool(plane)
        )
        drawn = (*self.sheet.items, *items)
        return Drawing(self.sheet.width, self.sheet.height, drawn, title)

    def _breaks(self, view: ShortView) -> Items:
        """Return the break lines of what is left out."""
        items: Items = ()
        for (start, _), gap in zip(view.left_out, view.gaps, strict=True):
            high = self.shape.radius_at(start) * self.factor
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
        shape, room = self.shape, (self.sheet.room[0], self.sheet.room[2])
        notes = labels(shape, view, self.words, stacked=self.stacked, framed=self.framed)
        broken = [(a - LEADER_GAP, b + LEADER_GAP) for a, b in view.gaps]
        passing = [s.at.x for s in stations(shape, view, self.words)]
        low, high = drill_centres(shape.axle.wire_slot)
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
        room, side = self.sheet.room, self.sheet.side
        plan = _drill_table(self.shape, self.words, room[0], 0.0)
        if top - plan.height < room[1]:
            raise GeometryError("no height is left for the table of drill centres")
        items = _drill_table(self.shape, self.words, room[0], top).items
        if side:
            x0, y0, x1, y1 = side
            items += numbered_notes(self.notes, (x0, y0, x1, y1 - NOTES_DOWN))
        spots = [
            (room[0] + plan.width + GAP, room[1], room[2], min(top, end_low - GAP)),
            (side_end + GAP, room[1], room[2], end_low - GAP),
            (right + GAP, room[1], room[2], room[3] - MARK),
        ]
        section, occupied = self._section(spots, marked)
        return items + section + self._key_section(spots, occupied)

    def _section(self, spots: list[Box], marked: bool) -> tuple[Items, Box]:
        """Return the section at the largest scale that one of the boxes takes, and its box."""

        def made(view: View) -> Items:
            name = "A-A" if marked else "at the wire slot"
            return section_view(self.shape, view, self.words, f"{name} ({view.label})")

        items = _largest_view(made, 2 * self.shape.slot_radius, LEAST_SECTION, spots)
        if not items:
            raise GeometryError("no room is left for the section through the wire slot")
        return items, extent(items)

    def _key_section(self, spots: list[Box], occupied: Box) -> Items:
        """Return the section through the key seats where the other has left room for it.

        The label of the side view says all of it too, so a full sheet goes without.
        """
        keys = self.shape.key_seats
        if keys is None:
            return ()
        left, right = occupied[0] - GAP, occupied[2] + GAP
        beside = [
            box
            for spot in spots
            for box in (
                (spot[0], spot[1], min(spot[2], left), spot[3]),
                (max(spot[0], right), spot[1], spot[2], spot[3]),
            )
        ]

        def made(view: View) -> Items:
            return key_section_view(self.shape, view, self.words)

        return _largest_view(made, 2 * keys.radius, LEAST_KEY_SECTION, beside)


def _largest_view(
    make: Callable[[View], Items], across: float, least: float, spots: Sequence[Box]
) -> Items:
    """Return a view at the largest standard scale that one of the boxes takes, in its middle, or ().

    Args:
        make: draws it.
        across: diameter of what it shows, mm.
        least: least diameter on the sheet, mm; `MOST_SECTION` is the most.
        spots: boxes, best first.
    """
    for scale in SCALES:
        k = scale[0] / scale[1]
        if k > LARGEST or not least <= across * k <= MOST_SECTION:
            continue
        size = extent(make(View(Point(0.0, 0.0), scale)))
        wide, tall = size[2] - size[0], size[3] - size[1]
        for spot in spots:
            if wide <= spot[2] - spot[0] and tall <= spot[3] - spot[1]:
                x = (spot[0] + spot[2] - wide) / 2 - size[0]
                y = (spot[1] + spot[3] - tall) / 2 - size[1]
                view = View(Point(x, y), scale)
                return held(make(view), view)
    return ()
