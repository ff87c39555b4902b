"""The axle with its sizes, and the curve of its safety above it, the weakest place circled."""

from __future__ import annotations

from geometry.drafting.drawing import Drawing, Fill, Text
from geometry.drafting.font import text_width
from geometry.drafting.view import Axis, View
from geometry.point import Point
from recipes.insulation.liner import LinerSize, flat_liner
from recipes.report.book import Book
from recipes.report.model import Figure, Layer, Mark, Picture
from recipes.report.picture_style import LARGE, LETTERING, WIDTH, note, short, span
from recipes.shaft.side_view import side_view
from recipes.shaft.strength_rules import LEAST_STATIC
from recipes.shaft.strength_view import safety_chart, safety_curve, weakest_place, weakest_words
from recipes.winding.card_picture import Stage, stator_picture

# The slot liner, unfolded, with its folds and sizes.

#: Room for the liner, its left edge and its foot, mm on the sheet.
ROOM, LEFT_LINER, FOOT = (74.0, 74.0), 27.0, 13.0


def liner_picture(book: Book) -> Picture:
    """Return the flat pattern of the liner, slot across, axle upward.

    Raises:
        Refused: the paper does not fit the slot's corners.
    """
    motor = book.motor
    size = motor.liner_size
    region, folds = flat_liner(size)
    scale = min(ROOM[0] / size.width, ROOM[1] / size.length)
    left = LEFT_LINER + (ROOM[0] - size.width * scale) / 2
    view = View(Point(left, FOOT), (round(1e6 * scale), 1_000_000))
    ink = [*view.edges(region, "cut"), *(view.stroke(f.segments, "fold") for f in folds)]
    middle = view.at(size.width / 2, size.length / 2)
    words = Text(middle.x, middle.y, LETTERING, "stack", "centre", level="middle")
    height = FOOT + size.length * scale + 14.0
    return Picture(
        "liner",
        "Liner, unfolded",
        "The slot liner laid flat: a rectangle with bevelled corners; a fold line near either end "
        "for the cuffs and long folds between them for the corners of the slot.",
        Drawing(WIDTH, height, (*ink, words), "liner"),
        (
            "Full line: cut. Dashed: fold. The cuffs fold outwards first, then the long folds over "
            "the former. True size to cut round is in the printed template.",
        ),
        _marks_liner(book, view, size),
        (
            book.exact(
                "pieces, spare ones included",
                book.amount("liner_count"),
                fields=("liner.spare", "motor.slots"),
            ),
        ),
        (Layer("paper", (Fill(tuple(view.region(region).loops), "sand"),)),),
        next(iter(book.paths("liner", folder="print/")), ""),
    )


def _marks_liner(book: Book, view: View, size: LinerSize) -> tuple[Mark, ...]:
    paper = book.motor.design.liner
    w, h, cuff = size.width, size.length, paper.cuff
    low, high = view.at(0.0, 0.0), view.at(w, h)
    fold = cuff + size.cuff_fold / 2
    body = fold + size.cuff_fold / 2
    wide = ("liner.mouth_gap", "lamination.slot_depth", "liner.thickness")
    tall = ("lamination.stack_length", "liner.overhang", "liner.cuff")
    marks = [
        span(book, "liner, across the slot", w, low, view.at(w, 0.0), 4.0, "x", *wide),
        span(book, "liner, along the axle", h, view.at(w, 0.0), high, high.x + 9.0, "y", *tall),
    ]
    if cuff:
        marks.append(
            span(
                book,
                "cuff",
                cuff,
                view.at(0.0, h - cuff),
                view.at(0.0, h),
                low.x - 7.0,
                "y",
                "liner.cuff",
            )
        )
    if paper.overhang:
        a, b = view.at(0.0, body), view.at(0.0, body + paper.overhang)
        marks.append(
            span(
                book,
                "overhang out of the stack",
                paper.overhang,
                a,
                b,
                low.x - 7.0,
                "y",
                "liner.overhang",
            )
        )
    return tuple(marks)


# The winding card's picture: phase, sense, tails and links of every tooth from the lead side.


def card_picture(book: Book) -> Picture:
    """Return the stator as the winder sees it.

    Raises:
        Refused: the design has no winding, no slot, or no such wire.
    """
    motor = book.motor
    task, winding = motor.design.motor, motor.design.winding
    middle = LARGE / 2
    stage = Stage(
        motor.layout, motor.slot, motor.design.lamination, Point(middle, middle), middle - 0.5
    )
    drawn = stator_picture(stage, motor.joints, book.parts["lamination"][0].cut[0])
    strands = f"{winding.strands} × " if winding.strands > 1 else ""
    paths = f", {winding.parallel_paths} parallel paths" if winding.parallel_paths > 1 else ""
    return Picture(
        "card",
        "Winding card",
        f"The stator from the lead side, tooth 1 up, {task.slots} teeth numbered counter-clockwise. "
        "An arrow on every coil shows which way the wire crosses the tooth; phases U, V and W differ "
        "by hatching. The table of teeth in the winding step says the same in words.",
        Drawing(LARGE, LARGE, drawn.items, "winding card"),
        (
            "Seen from the lead side, numbers counter-clockwise. The arrow is the way the wire crosses "
            "the tooth on this side; S start, F finish, a dot is a joint. U hatched one way, V crossed, "
            "W dotted.",
        ),
        figures=(
            book.exact(
                "turns on one tooth",
                (f"{winding.turns} of {strands}{motor.wire.label}",),
                fields=("winding.turns", "winding.strands", "winding.wire"),
            ),
            book.exact(
                "phases joined in",
                (f"{winding.connection}{paths}",),
                fields=("winding.connection", "winding.parallel_paths"),
            ),
            book.figure(
                "winding factor",
                book.amount("winding_factor", 3),
                sure="standard",
                source="star of slots",
                fields=("motor.slots", "motor.poles"),
            ),
        ),
        file=next(iter(book.path("wind/winding-card.pdf")), ""),
        wide=True,
    )


#: Ends of the axle on the sheet, room for half its height, the chart's height, mm.
LEFT, RIGHT, HALF_ROOM, CHART = 10.0, 108.0, 18.0, 40.0

#: Marks of the scale of safety.
MARKS = (1.0, 2.0, 5.0, 10.0, 50.0)

#: Radius of the circle round the weakest place, mm on the sheet.
CIRCLE = 2.6


def axle_picture(book: Book) -> Picture:
    """Return axle and safety curve, face A with the leads at the left.

    Raises:
        Refused: an axle that cannot be judged or drawn.
    """
    motor = book.motor
    shape, axle, strength = motor.axle_shape, motor.design.axle, motor.axle_strength
    scale = min((RIGHT - LEFT) / axle.length, HALF_ROOM / shape.half_height)
    half = shape.half_height * scale
    left = LEFT + ((RIGHT - LEFT) - axle.length * scale) / 2
    middle = 21.0 + half
    view = View(Point(left, middle), (round(1e6 * scale), 1_000_000))
    low = middle + half + 11.0
    top = low + CHART
    across = Axis(0.0, axle.length, left, left + axle.length * scale)
    chart, ink = safety_chart(across, low, top, MARKS, LETTERING)
    ink.append(Text(left, top + 3.0, LETTERING, "safety against yielding"))
    ink += safety_curve(chart, strength.long_run_curve, "hidden")
    ink += safety_curve(chart, strength.curve, "visible")
    ink += side_view(shape, view)
    said = f"{strength.least.safety:.2f}"
    ink += weakest_place(strength, chart, view, CIRCLE)
    ink += weakest_words(strength.least, chart, CIRCLE + 1.5, said, LETTERING)
    least = strength.least
    return Picture(
        "axle",
        "Axle and its safety",
        "The hollow axle from the side, face A with the leads at the left, its wire slot in front. "
        f"Above it a curve of the safety against yielding along the axle; least {least.safety:.2f} at "
        f"the {least.name}, circled.",
        Drawing(WIDTH, top + 8.0, tuple(ink), "axle"),
        (
            f"Full curve: safety against yielding; dashed: the long run. Below the thick line at "
            f"{LEAST_STATIC:g} nothing is built. An estimate, no proof: who rides on it, lifts with it or "
            "lets others stand near it has it checked by a qualified person.",
        ),
        _marks(book, view, shape.half_height),
        _figures(book),
        file="read/axle-strength.svg",
    )


def _marks(book: Book, view: View, r: float) -> tuple[Mark, ...]:
    axle = book.motor.design.axle
    slot = axle.wire_slot
    base = view.at(0.0, -r).y
    a, b = (view.at(z, -r) for z in (0.0, axle.length))
    ends = (
        view.at(slot.from_face, -slot.width / 2),
        view.at(slot.from_face + slot.length, -slot.width / 2),
    )
    bore = view.at(axle.length, axle.bore_diameter / 2)
    hole = f"⌀{short(book, axle.bore_diameter)}"
    led = Point(WIDTH - text_width(hole, LETTERING) - 2.0, view.at(0.0, r).y + 2.5)
    return (
        span(
            book,
            "wire slot from face A",
            slot.from_face,
            view.at(0.0, -r),
            ends[0],
            base - 7.0,
            "x",
            "axle.wire_slot.from_face",
        ),
        span(
            book,
            "wire slot, long",
            slot.length,
            *ends,
            base - 7.0,
            "x",
            "axle.wire_slot.length",
            "axle.wire_slot.width",
        ),
        span(book, "axle, long", axle.length, a, b, base - 16.0, "x", "axle.length"),
        note("bore", hole, bore, led, 1, "axle.bore_diameter"),
    )


def _figures(book: Book) -> tuple[Figure, ...]:
    if "axle_safety_factor" not in book.results:  # no load is given: a finding says so
        return ()
    fields = (
        "axle.material",
        "axle.bore_diameter",
        "axle.load.force",
        "axle.load.torque",
        "axle.wire_slot.length",
    )
    source = "von Mises at the notch, first yield; notch factors of handbooks; an estimate"
    return (
        book.figure(
            "least safety against yielding",
            book.amount("axle_safety_factor", 2),
            source=source,
            fields=fields,
        ),
        book.figure(
            "found at the", book.amount("axle_weakest_place"), source=source, fields=fields
        ),
        book.figure(
            "safety at the wire slot",
            book.amount("axle_safety_at_slot", 2),
            source=source,
            fields=("axle.wire_slot.width", "axle.wire_slot.length", "axle.wire_slot.angle"),
        ),
        book.figure(
            "in the long run",
            book.amount("axle_long_run_factor", 2),
            source="Goodman with factors for surface, size, notch: Shigley ch. 6; an estimate",
            fields=fields,
        ),
    )
