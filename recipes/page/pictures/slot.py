"""One slot, lined and filled, with every wire and its worst spot circled."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.sheet.drawing import Drawing, Fill, Item, Stroke, Text, line
from geometry.sheet.leader import shelf
from geometry.sheet.view import View
from recipes.page.model import Amount, Figure, Layer, Mark, Picture
from recipes.page.pictures.style import LETTERING, WIDTH, note, short
from recipes.slot.slot_view import slot_paper, slot_steel, slot_wires
from recipes.slot.tight_spot import TightSpot, tight_spots
from recipes.units import MM_PER_INCH, format_number

if TYPE_CHECKING:
    from recipes.page.book import Book

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


def slot_picture(book: Book) -> Picture:
    """Return the picture of one slot, opening up.

    Raises:
        Refused: the design has no slot, or no room for wire.
    """
    job = book.job
    x0, y0, _, y1 = job.slot.outline.box
    top = job.design.lamination.outer_diameter / 2
    scale = min(ROOM[0] / (1.35 * (y1 - y0)), ROOM[1] / (top - x0))
    view = View(
        Point(WIDTH / 2, FOOT), (round(1e6 * scale), 1_000_000), Point(x0 - 1.5 / scale, 0.0),
        math.pi / 2,
    )  # fmt: skip
    spots = tight_spots(job)
    wires = slot_wires(job, view, 2.5)
    layers = (
        Layer("steel", _teeth(book, view)),
        Layer("paper", (*_paper(book, view), *slot_paper(job, view))),
        Layer("wire", (*_of(wires, Fill), *_of(wires, Stroke), *_of(wires, Text))),
    )
    worst = spots[0]
    circle = Outline.circle(_seen(book, view, worst), CIRCLE)
    ink = (*slot_steel(job, view), Stroke(circle.segments, "visible"))
    height = view.at(top, 0.0).y + HEAD
    several = f"{job.fill.strands} × " if job.fill.strands > 1 else ""
    return Picture(
        "slot",
        "Slot, lined and filled",
        f"One slot seen along the axle with its paper, wedge and {job.fill.sides * job.fill.conductors} "
        f"wires, numbered by turn. A circle marks the tightest spot: {SPOTS[worst.name]}, "
        f"{format_number(worst.gap, 2)} mm.",
        Drawing(WIDTH, height, ink, "slot"),
        (
            f"Each coil side has {job.fill.turns} turns of {several}{job.wire.label}; numbers count "
            f"turns. The circle is the worst spot: {SPOTS[worst.name]} {format_number(worst.gap, 2)} mm"
            f"{_by(worst)}, wire at its thickest.",
        ),
        _marks(book, view, worst),
        (*(_figure(book, spot) for spot in spots), *_fill(book)),
        layers,
        "read/slot.svg",
    )


def _seen(book: Book, view: View, spot: TightSpot) -> Point:
    """Return the place of a spot on the sheet, on the right where both sides are alike."""
    mirrored = book.job.fill.sides == 2
    return view.at(spot.where.x, -spot.where.y if mirrored else spot.where.y)


def _by(spot: TightSpot) -> str:
    return f" at turn {spot.turn}" if spot.turn else ""


def _of(items: list[Item], kind: type) -> tuple[Item, ...]:
    return tuple(item for item in items if isinstance(item, kind))


def _figure(book: Book, spot: TightSpot) -> Figure:
    amount = Amount(format_number(spot.gap, 2), spot.gap)
    words = SPOTS[spot.name] + _by(spot)
    if spot.least:
        words += f"; {format_number(spot.least, 2)} mm wanted"
    return book.figure(words, amount, "mm", sure=spot.confidence, source=spot.source, fields=spot.fields)  # fmt: skip


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
            "lined slot taken by wire (sum of D²)", book.amount("wire_fill_lined", 0, 100.0), "%",
            source="70 % is comfortable, 80 % for skilled hands; common practice", fields=fields,
        ),
        book.exact(
            "bare slot taken by copper", book.amount("copper_fill", 0, 100.0), "%", fields=fields
        ),
    )  # fmt: skip


def _teeth(book: Book, view: View) -> tuple[Item, ...]:
    """Return the tone of the sheet round the slot: a block less the slot and its mouth."""
    slot = book.job.slot
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

    job = book.job
    t, gap = job.design.liner.thickness, job.design.liner.mouth_gap
    run = [p for s in job.slot.wall for p in _chords(s)]
    end = job.slot.wall[-1].end
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
    job = book.job
    design, slot = job.design, job.slot
    x0 = slot.outline.box[0]
    left, right = 19.0, WIDTH - 19.0
    paper = view.point(slot.wall[len(slot.wall) // 2 - 2].point_at(0.5))
    marks = [note("slot paper", short(book, design.liner.thickness), paper,
                  Point(left, paper.y - 6.0), -1, "liner.thickness", "liner.paper")]  # fmt: skip
    outer, inner = job.fill.wedge_span
    if outer > inner:
        place = view.at((outer + inner) / 2, slot.opening / 2 + 0.8 * design.wedge.overlap)
        elbow = Point(left, place.y + 9.0)
        marks.append(note("wedge", short(book, design.wedge.thickness), place, elbow, -1, "wedge.thickness", "wedge.overlap"))  # fmt: skip
    if job.fill.sides == 2 and design.separator.thickness:
        place = view.at(x0 + 0.12 * (outer - x0), 0.0)
        marks.append(note("separator", short(book, design.separator.thickness), place,
                          Point(left, place.y - 3.0), -1, "separator.thickness"))  # fmt: skip
    x, y = job.lay.laid[0].tolist()
    wire = view.at(x, -y) if job.fill.sides == 2 else view.at(x, y)
    marks.append(note("wire over its enamel, at most", f"⌀{short(book, job.wire.overall_max_mm)}",
                      wire, Point(right, wire.y + 5.0), 1, "winding.wire", "winding.grade"))  # fmt: skip
    return (*marks, _circled(book, view, worst))


def _left(book: Book, spot: TightSpot) -> str:
    """Return what is left, in the unit of the drawing."""
    if book.job.design.units == "in":
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
