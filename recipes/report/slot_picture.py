"""One slot, lined and filled, with every wire and its worst spot circled."""

from __future__ import annotations

import math

from geometry.drafting.dimension import shelf
from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text, line
from geometry.drafting.view import View
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from recipes.design.units import MM_PER_INCH, format_number
from recipes.report.book import Book
from recipes.report.model import Amount, Figure, Layer, Mark, Picture
from recipes.report.picture_style import LETTERING, WIDTH, note, short, span
from recipes.searches import tight_spots
from recipes.stator.slot import ParallelTeeth
from recipes.winding.tight_spot import TightSpot

# One tooth between two half slots: every size and every round of it, with the field behind it.

#: Room for the tooth and its right slot with the next tip, sheet mm; side for words.
ROOM_WIDE, ROOM_HIGH, FOOT_TOOTH, HEAD_TOOTH = 84.0, 92.0, 3.0, 16.0

#: How far the picture reaches from the tooth's axis to the right, in slot pitches.
REACH = 0.8

#: Sheet left below the slot bottom, share of the slot's depth.
BELOW = 0.16


def tooth_picture(book: Book) -> Picture:
    """Return the picture of one tooth, tip up.

    Raises:
        Refused: the design has no tooth.
    """
    motor = book.motor
    lam, slot = motor.design.lamination, motor.slot
    pitch, top = 2 * slot.half_pitch, lam.outer_diameter / 2
    low = top - (1.0 + BELOW) * lam.slot_depth
    wide = (0.5 + REACH) * pitch * top
    scale = min(ROOM_WIDE / wide, ROOM_HIGH / (top - low))
    view = View(
        Point(WIDTH - 13.0 - REACH * pitch * top * scale, FOOT_TOOTH),
        (round(1e6 * scale), 1_000_000),
        Point(low, 0.0),
        math.pi / 2,
    )
    height = FOOT_TOOTH + (top - low) * scale + HEAD_TOOTH
    right = [s.mirrored() for s in slot.half]
    runs = (slot.half, right, _neighbour(book))
    ink = [view.stroke(run, "visible") for run in runs]
    names = (
        ("tip", "tip_radius"),
        ("lip", "tip_inner_radius"),
        ("neck", "neck_radius"),
        ("root", "root_radius"),
    )
    figures = tuple(
        book.figure(
            f"{words} radius",
            book.length(f"{name}_mm"),
            sure="yours" if getattr(lam, name) is not None else "practice",
            source="your own dimension"
            if getattr(lam, name) is not None
            else "left out: what wire and tip ask for, common practice",
            fields=(f"lamination.{name}",),
        )
        for words, name in names
    )
    return Picture(
        "tooth",
        "Tooth and slot",
        "One tooth with its rounded tip, tip up, and the slot to its right up to the next tooth; "
        "sizes stand beside it and every round has its radius.",
        Drawing(WIDTH, height, tuple(ink), "tooth"),
        (
            "Every corner that wire or paper touches is round; the tips stay sharp-edged in thickness only.",
        ),
        _marks_tooth(book, view),
        figures,
        (Layer("steel", _steel(book, view, low)),),
    )


def _steel(book: Book, view: View, low: float) -> tuple[Fill, ...]:
    """Return the tone of the tooth and of what is seen of its neighbour."""
    half = list(book.motor.slot.half)
    run: list[Segment] = [s.mirrored().reversed() for s in reversed(half)] + half
    tones = []
    for part in (run, _neighbour(book)):
        start, end = part[0].start, part[-1].end
        feet = [Point(low, p.y + (low - p.x) * p.y / p.x) for p in (end, start)]
        loop = [*part, Line(end, feet[0]), Line(feet[0], feet[1]), Line(feet[1], start)]
        tones.append(Fill((view.outline(Outline(tuple(loop))),), "grey"))
    return tuple(tones)


def _neighbour(book: Book) -> list[Segment]:
    """Return the near flank of the tooth to the right, its tip cut off where the picture ends."""
    slot = book.motor.slot
    tip, *rest = (s.rotated(-2 * slot.half_pitch) for s in slot.half)
    cut = tip.point_at((1.0 - REACH) * 2 * slot.half_pitch * tip.start.length() / tip.length)
    assert isinstance(tip, Arc)
    return [Arc(cut, tip.end, tip.center, tip.ccw), *rest]


def _marks_tooth(book: Book, view: View) -> tuple[Mark, ...]:
    lam, slot = book.motor.design.lamination, book.motor.slot
    marks = [*_widths(book, view), *_heights(book, view)]
    for corner, tip, elbow, side in _rounds(book, view):
        if slot.radii[corner] > 0:
            name = f"lamination.{corner}"
            shown = f"R{short(book, slot.radii[corner])}"
            marks.append(note(corner.replace("_", " "), shown, tip, elbow, side, name))
    if lam.tip_angle > 0:
        marks.append(_angle(book, view))
    return tuple(marks)


def _widths(book: Book, view: View) -> list[Mark]:
    """Return tooth (or slot) width and opening."""
    lam, slot = book.motor.design.lamination, book.motor.slot
    top = lam.outer_diameter / 2
    turn = -slot.half_pitch
    wall, root = slot.half[slot.underside - 1], slot.half[-2]
    mouth = wall.start if isinstance(wall, Line) else wall.end
    near = Point(mouth.x, -mouth.y)
    far = mouth.rotated(2 * turn)
    a, b = view.point(near), view.point(far)
    y = view.at(top, 0.0).y + 4.0
    found = [span(book, "slot opening", lam.slot_opening, a, b, y, "x", "lamination.slot_opening")]
    level = (top + 2.0 * root.end.x) / 3.0
    sides = slot.sides
    if isinstance(sides, ParallelTeeth):
        left, right = view.at(level, sides.width / 2), view.at(level, -sides.width / 2)
    else:
        axis = Point.polar(level, turn)
        across = Point.polar(sides.width / 2, turn + math.pi / 2)
        left, right = view.point(axis.plus(across)), view.point(axis.plus(across, -1.0))
    field = f"lamination.{sides.field}"
    found.append(span(book, f"{sides.what} width", sides.width, left, right, left.y, "x", field))
    return found


def _heights(book: Book, view: View) -> list[Mark]:
    """Return slot depth and tip thickness, measured beside the tooth."""
    lam, slot = book.motor.design.lamination, book.motor.slot
    top = lam.outer_diameter / 2
    axis = -slot.half_pitch
    floor = view.point(Point.polar(top - lam.slot_depth, axis))
    crown = Point(floor.x, floor.y + lam.slot_depth * view.factor)
    found = [
        span(
            book,
            "slot depth",
            lam.slot_depth,
            floor,
            crown,
            WIDTH - 5.0,
            "y",
            "lamination.slot_depth",
        )
    ]
    wall = slot.half[slot.underside - 1]
    a, b = wall.start, wall.end
    if isinstance(wall, Line):
        # the straight mouth wall, drawn on to the sharp corners that the field counts between
        out = a.minus(b).unit()
        b = a.plus(out, -lam.tip_thickness + slot.radii["tip_radius"])
        a = a.plus(out, slot.radii["tip_radius"])
    x = view.point(a).x - 6.0
    foot, head = view.point(b), view.point(a)
    head = Point(head.x, foot.y + lam.tip_thickness * view.factor)
    found.append(
        span(
            book, "tip thickness", lam.tip_thickness, foot, head, x, "y", "lamination.tip_thickness"
        )
    )
    return found


def _rounds(book: Book, view: View) -> list[tuple[str, Point, Point, int]]:
    """Return for every round: its name, a place on it, and where its words go."""
    slot = book.motor.slot
    arcs = [s for s in slot.half[1:] if isinstance(s, Arc) and s.center.length() > 1e-6]
    named = [
        n
        for n in ("tip_radius", "tip_inner_radius", "neck_radius", "root_radius")
        if slot.radii[n] > 0
    ]
    found = []
    for name, arc in zip(named, arcs, strict=False):
        tip = view.point(arc.point_at(0.5))
        if name == "tip_radius":
            found.append((name, tip, tip.plus(Point(7.0, 9.0)), 1))
        else:
            found.append((name, tip, Point(16.0, tip.y + _RISE[name]), -1))
    return found


#: How much higher than its place the words of a round stand, mm on the sheet.
_RISE = {"tip_inner_radius": -7.0, "neck_radius": -12.0, "root_radius": 6.0}


def _angle(book: Book, view: View) -> Mark:
    """Return the slope of the tip's underside, led out into the slot."""
    lam, slot = book.motor.design.lamination, book.motor.slot
    under = next(s for s in slot.half[slot.underside :] if isinstance(s, Line))
    tip = view.point(under.point_at(0.5).mirrored())
    shown = f"{lam.tip_angle:g}°"
    return note("tip angle", shown, tip, tip.plus(Point(3.0, -9.0)), 1, "lamination.tip_angle")


#: Room for the slot on the sheet and strips above and below it, mm.
ROOM, HEAD, FOOT = (74.0, 96.0), 15.0, 4.0

#: Radius of the circle round the worst spot, mm on the sheet.
CIRCLE = 4.6

#: Words for each kind of tight spot.
SPOTS = {
    "opening": "one wire through the lined opening: left over",
    "bare steel": "from wire to bare lip",
    "wedge": "between wire and wedge",
    "coil sides": "between the two coil sides",
}

#: Why nothing left is fine, or not.
TOUCHING = {
    "wedge": "fine: the wedge slides in over wire that just touches it and holds it down, pressing none",
    "coil sides": "put a separator between them if they belong to two phases",
}


def slot_picture(book: Book) -> Picture:
    """Return the picture of one slot, opening up.

    Raises:
        Refused: the design has no slot, or no room for wire.
    """
    motor = book.motor
    x0, y0, _, y1 = motor.slot.outline.box
    top = motor.design.lamination.outer_diameter / 2
    scale = min(ROOM[0] / (1.35 * (y1 - y0)), ROOM[1] / (top - x0))
    view = View(
        Point(WIDTH / 2, FOOT),
        (round(1e6 * scale), 1_000_000),
        Point(x0 - 1.5 / scale, 0.0),
        math.pi / 2,
    )
    spots = tight_spots(motor)
    wires = motor.wound_slot.wires(view)
    layers = (
        Layer("steel", _teeth(book, view)),
        Layer("paper", (*_paper(book, view), *motor.wound_slot.paper(view))),
        Layer("wire", (*_of(wires, Fill), *_of(wires, Stroke), *_of(wires, Text))),
    )
    worst = spots[0]
    circle = Outline.circle(_seen(book, view, worst), CIRCLE)
    ink = (*motor.wound_slot.steel(view), Stroke(circle.segments, "visible"))
    height = view.at(top, 0.0).y + HEAD
    several = f"{motor.window.strands} × " if motor.window.strands > 1 else ""
    return Picture(
        "slot",
        "Slot, lined and filled",
        f"One slot seen along the axle with its paper, wedge and {motor.window.sides * motor.window.conductors} "
        f"wires, numbered by turn. A circle marks the tightest spot: {_words(worst)}.",
        Drawing(WIDTH, height, ink, "slot"),
        (
            f"Each coil side has {motor.window.turns} turns of {several}{motor.wire.label}; numbers count "
            f"turns. {_dashed(book)}The circle is the worst spot: {_words(worst)}"
            f"{_by(worst)}, wire at its thickest.",
        ),
        _marks(book, view, worst),
        (*(_figure(book, spot) for spot in spots), *_fill(book)),
        layers,
        "read/slot.svg",
    )


def _dashed(book: Book) -> str:
    """Say what the dashed line is, if there is one, and what it does to the wire."""
    covers = [section.name for section, _ in book.motor.window.sections[1:]]
    if not covers:
        return ""
    name = book.motor.window.decided_by.name
    return f"Dashed: {' and '.join(covers)}, which every wire passes too; the {name} leaves least room. "


def _seen(book: Book, view: View, spot: TightSpot) -> Point:
    """Return the place of a spot on the sheet, on the right where both sides are alike."""
    mirrored = book.motor.window.sides == 2
    return view.at(spot.where.x, -spot.where.y if mirrored else spot.where.y)


def _words(spot: TightSpot) -> str:
    """Say what is left at a spot; where nothing is, why that is fine or not."""
    if spot.touches and spot.name in TOUCHING:
        return f"{SPOTS[spot.name]} 0 mm ({TOUCHING[spot.name]})"
    return f"{SPOTS[spot.name]} {format_number(spot.gap, 2)} mm"


def _by(spot: TightSpot) -> str:
    return f" at turn {spot.turn}" if spot.turn else ""


def _of(items: list[Item], kind: type) -> tuple[Item, ...]:
    return tuple(item for item in items if isinstance(item, kind))


def _figure(book: Book, spot: TightSpot) -> Figure:
    amount = Amount(format_number(max(0.0, spot.gap) if spot.touches else spot.gap, 2), spot.gap)
    words = SPOTS[spot.name] + _by(spot)
    if spot.least:
        words += f"; {format_number(spot.least, 2)} mm wanted"
    return book.figure(
        words, amount, "mm", sure=spot.confidence, source=spot.source, fields=spot.fields
    )


def _fill(book: Book) -> tuple[Figure, ...]:
    fields = ("winding.turns", "winding.wire", "winding.strands", "liner.thickness")
    return (
        book.figure(
            "turns asked for, and that fit by hand",
            (book.amount("turns_per_coil"), " of ", book.amount("turns_that_fit")),
            source="wires counted one by one in the lined slot; crossings and hand limits by common practice",
            fields=fields,
        ),
        book.figure(
            "lined slot taken by wire (sum of D²)",
            book.amount("wire_fill_lined", 0, 100.0),
            "%",
            source="70 % is comfortable, 80 % for skilled hands; common practice",
            fields=fields,
        ),
        book.exact(
            "bare slot taken by copper", book.amount("copper_fill", 0, 100.0), "%", fields=fields
        ),
    )


def _teeth(book: Book, view: View) -> tuple[Item, ...]:
    """Return the tone of the sheet round the slot: a block less the slot and its mouth."""
    slot = book.motor.slot
    half = [s.rotated(-slot.half_pitch) for s in slot.half]
    ring = [p for s in half for p in _chords(s)]
    low = view.point(Point(slot.outline.box[0], 0.0)).y - 3.0
    right = [view.at(x, y) for x, y in ring]
    left = [Point(WIDTH - p.x, p.y) for p in reversed(right)]
    # from the tip's middle down the flank to the slot bottom, and up again on the other side
    foot = [Point(left[-1].x, low), Point(right[0].x, low)]
    loop = [*right, *left[1:], *foot]
    return (Fill((Outline.polygon([(p.x, p.y) for p in loop]),), "grey"),)


def _chords(edge: Segment) -> list[tuple[float, float]]:
    """Return points along one edge, its end left to the next."""
    n = 8 if isinstance(edge, Arc) else 1
    return [(p.x, p.y) for k in range(n) for p in (edge.point_at(k / n),)]


def _paper(book: Book, view: View) -> tuple[Item, ...]:
    """Return the tone of the liner along the wall, from one edge of the opening to the other."""
    import shapely
    from shapely import ops

    motor = book.motor
    t, gap = motor.design.liner.thickness, motor.design.liner.mouth_gap
    run = [p for s in motor.slot.wall for p in _chords(s)]
    end = motor.slot.wall[-1].end
    run.append((end.x, end.y))
    whole = shapely.LineString(run)
    wall = ops.substring(whole, gap, whole.length - gap)
    strip = wall.buffer(t, single_sided=True, quad_segs=4)
    parts = strip.geoms if strip.geom_type == "MultiPolygon" else (strip,)
    tones = []
    for part in parts:
        ring = [view.at(x, y) for x, y in part.exterior.coords[:-1]]
        tones.append(Fill((Outline.polygon([(p.x, p.y) for p in ring]),), "sand"))
    return tuple(tones)


def _marks(book: Book, view: View, worst: TightSpot) -> tuple[Mark, ...]:
    motor = book.motor
    design, slot = motor.design, motor.slot
    x0 = slot.outline.box[0]
    left, right = 19.0, WIDTH - 19.0
    paper = view.point(slot.wall[len(slot.wall) // 2 - 2].point_at(0.5))
    marks = [
        note(
            "slot paper",
            short(book, design.liner.thickness),
            paper,
            Point(left, paper.y - 6.0),
            -1,
            "liner.thickness",
            "liner.paper",
        )
    ]
    outer, inner = motor.window.wedge_span
    if outer > inner:
        place = view.at((outer + inner) / 2, 0.1 * slot.opening + 0.8 * motor.window.wedge_half)
        elbow = Point(left, place.y + 9.0)
        marks.append(
            note(
                "wedge",
                short(book, design.wedge.thickness),
                place,
                elbow,
                -1,
                "wedge.thickness",
                "wedge.overlap",
            )
        )
    for k, (cover, _) in enumerate(motor.window.sections[1:]):
        wall = cover.slot.wall
        place = view.point(wall[len(wall) // 2 - 2].point_at(0.16 + 0.14 * k))
        elbow = Point(left, place.y - 6.0)
        size = short(book, cover.off_flank)
        marks.append(note(f"{cover.name} beyond the steel", size, place, elbow, -1, cover.field))
    if motor.window.sides == 2 and design.separator.thickness:
        place = view.at(x0 + 0.12 * (outer - x0), 0.0)
        marks.append(
            note(
                "separator",
                short(book, design.separator.thickness),
                place,
                Point(left, place.y - 3.0),
                -1,
                "separator.thickness",
            )
        )
    x, y = motor.conductors.laid[0].tolist()
    wire = view.at(x, -y) if motor.window.sides == 2 else view.at(x, y)
    marks.append(
        note(
            "wire over its enamel, at most",
            f"⌀{short(book, motor.wire.overall_max_mm)}",
            wire,
            Point(right, wire.y + 5.0),
            1,
            "winding.wire",
            "winding.grade",
        )
    )
    return (*marks, _circled(book, view, worst))


def _left(book: Book, spot: TightSpot) -> str:
    """Return what is left, in the unit of the drawing."""
    if spot.touches:
        return "touches"
    if book.motor.design.units == "in":
        return f"{format_number(spot.gap / MM_PER_INCH, 3)}″"
    return format_number(spot.gap, 2)


def _circled(book: Book, view: View, worst: TightSpot) -> Mark:
    """Return the words of the circle: what is left at the worst spot."""
    spot, shown = _seen(book, view, worst), _left(book, worst)
    rise = 22.0 if worst.name == "coil sides" else 12.0
    elbow = Point(WIDTH - 19.0, spot.y + rise)
    start = spot.plus(elbow.minus(spot).unit(), CIRCLE)
    items = (line(start, elbow), *shelf(elbow, (shown,), side=1, height=LETTERING))
    return Mark(f"worst spot: {SPOTS[worst.name]}, {shown}", items, worst.fields)
