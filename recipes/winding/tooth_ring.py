"""Paper rings to stick on both ends of the stator: number, phase and arrow on every tooth, 1:1.

The far ring is the lead ring in a mirror, lettering apart: a tooth has the same number on both
ends, and an arrow shows on either end how the wire crosses it there. A ring that is larger than the
page comes in pieces, parted in the middle of slots, or on tiles where the page does not even hold
one tooth. Left out, with a finding, is a ring whose teeth are too close for lettering of 2.5 mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from geometry.drafting.drawing import Drawing, Item, Text, edges, line
from geometry.drafting.font import text_width
from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.page import Paper, Sheet, bound
from geometry.printing.tiles import Figure, on_pages
from recipes.design.axle import Axle
from recipes.design.lamination import Hub, Lamination
from recipes.design.shop import Print
from recipes.design.units import counted
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit, note
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.true_scale import printing_paper, sheet_findings
from recipes.winding.layout import PHASES, WindingLayout
from recipes.winding.marks import Frame
from recipes.winding.tooth_ring_labels import SIDE_SIZE, RingLabels, RingShape, ring_labels
from recipes.winding.wire_run import WireRun

Side = Literal["lead", "far"]

SIDES: tuple[Side, ...] = ("lead", "far")

#: Paper stays this far from air gap and slot bottom, and from the flanks, mm (common practice).
STAY_BACK, FLANK_BACK = 0.5, 0.2

#: Paper stays this far from axle, key and collar, mm.
CLEAR = 1.0

#: Depth of the band: wide enough for lettering, narrow enough to leave windows open, mm.
BAND = 12.0

#: A yoke ring at least this thick, mm, sets the depth of the band.
YOKE = 6.0

#: Smallest width of a finger, mm.
SMALLEST_FINGER = 2.4


#: Length of the tick between two teeth on a plain band, mm.
TICK = 2.8

#: Numbers run this way as seen by who looks at that end.
WAYS: dict[Side, str] = {"lead": "counter-clockwise", "far": "clockwise"}

#: Letters of a route that finds room beside the ring.
MOST_ROUTE = 44


@dataclass(frozen=True)
class Piece:
    """Teeth by index that lie on one page; `turn` (rad) brings them from the stator to the page."""

    teeth: range
    turn: float


@dataclass(frozen=True)
class PaperRing:
    """One ring: its lettering and its pieces; left out where not even the numbers find room."""

    side: Side
    labels: RingLabels | None
    pieces: tuple[Piece, ...]


def paper_rings(
    lam: Lamination, slot: SlotShape, narrower_by: float, hub: Hub, axle: Axle, printer: Print
) -> tuple[PaperRing, ...]:
    """Return the rings for both ends.

    Args:
        lam: the sheet.
        slot: the exact tooth.
        narrower_by: what the outermost sheet's tooth is narrower on each side, mm.
        hub, axle: what the ring must clear.
        printer: page and rulers.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    found = []
    for side in SIDES:
        labels = ring_labels(ring_shape(side, lam, slot, narrower_by, hub, axle))
        try:
            pieces = _pieces(labels.shape, side, printing_paper(printer)) if labels else ()
        except GeometryError as error:
            raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None
        found.append(PaperRing(side, labels, pieces))
    return tuple(found)


def tooth_ring(
    rings: Sequence[PaperRing], layout: WindingLayout, runs: Sequence[WireRun], imprint: Imprint
) -> tuple[Part, ...]:
    """Return the two rings, "tooth_ring_lead" and "tooth_ring_far"; none if they are left out.

    Where one wire winds several teeth, the lead ring's pages give its route.

    Each part's region is the whole ring; its drawings are the pages that hold it at true size.
    """
    parts = []
    routes = tuple(f"Wire: {run.route(layout)}." for run in runs if len(run.teeth) > 1)
    if len(routes) > len(PHASES) or any(len(words) > MOST_ROUTE for words in routes):
        routes = ("Routes of the wires: see the winding card.",)
    for ring in rings:
        side, labels = ring.side, ring.labels
        if labels is None:
            continue
        shape = labels.shape
        parts.append(
            Part(
                name=f"tooth_ring_{side}",
                cut=(shape.whole(axes_of(shape, side, range(shape.slots))),),
                material="self-adhesive paper",
                thickness=0.0,
                quantity=1,
                settings={
                    "outer_diameter_mm": round(2 * shape.outer, 4),
                    "hole_diameter_mm": round(2 * shape.inner, 4),
                    "pieces": len(ring.pieces),
                },
                notes=(
                    f"{side} side: numbers run {WAYS[side]} as you look at it",
                    *_missing(labels),
                ),
                drawings=_pages(
                    side, labels, ring.pieces, layout, routes if side == "lead" else (), imprint
                ),
            )
        )
    return tuple(parts)


def tooth_ring_findings(
    rings: Sequence[PaperRing], parts: Sequence[Part], slots: int
) -> list[Finding]:
    """Say when rings are left out, or come in pieces or on tiles."""
    found: list[Finding] = []
    made = {part.name: part for part in parts}
    for ring in rings:
        what, count = f"paper ring for the {ring.side} side", len(ring.pieces)
        if ring.labels is None:
            found.append(
                note(
                    "ring-left-out",
                    "motor.slots",
                    f"{what}: left out, {slots} teeth are too close, or the yoke too narrow, for "
                    "lettering of 2.5 mm",
                    value=slots,
                    fix="number the teeth by hand with a marker, as on the winding card",
                    source="least lettering on a sheet, ISO 3098-1",
                )
            )
        elif count == 1:
            found += sheet_findings(made[f"tooth_ring_{ring.side}"].drawings, what)
        else:
            across = 2 * ring.labels.shape.outer
            found.append(
                note(
                    "ring-in-pieces",
                    "print.page",
                    f"{what}: {across:.0f} mm across, larger than the page, so it comes in {counted(count, 'piece')}",
                    value=across,
                    fix="butt the pieces in the middle of the slots",
                )
            )
    return found


def ring_shape(
    side: Side, lam: Lamination, slot: SlotShape, narrower_by: float, hub: Hub, axle: Axle
) -> RingShape:
    """Return the ring for one end; parameters as those of `paper_rings`, in mm."""
    yoke = hub.yoke_thickness
    depth = min(BAND, yoke - STAY_BACK) if yoke is not None and yoke >= YOKE else BAND
    band = lam.outer_diameter / 2 - lam.slot_depth - STAY_BACK
    inner = max(_clear(side, lam.bore_diameter, hub, axle), band - depth)
    half = slot.narrowest.y - narrower_by - FLANK_BACK
    # between two fingers some band must be left to stop the scissors
    if 2 * half < SMALLEST_FINGER or half + FLANK_BACK > band * math.sin(math.pi / slot.slots):
        half = 0.0
    outer = lam.outer_diameter / 2 - STAY_BACK if half else band
    return RingShape(slot.slots, inner, band, outer, half)


def _clear(side: Side, bore: float, hub: Hub, axle: Axle) -> float:
    """Return the radius that axle, key and collar need on that side, mm."""
    need = bore / 2 + (hub.keyway.depth if hub.keyway else 0.0)
    shoulder, seat = axle.shoulder, axle.stator_seat
    if shoulder is not None:
        stack = axle.stack_from_face or 0.0 if seat is None else seat.from_face
        collar: Side = "lead" if shoulder.from_face < stack else "far"
        if side == collar:
            need = max(need, shoulder.diameter / 2)
    return need + CLEAR


def _pieces(shape: RingShape, side: Side, paper: Paper) -> tuple[Piece, ...]:
    """Return the whole ring, or as few even pieces as pages take; the whole ring if none is taken.

    Raises:
        GeometryError: the printer's rulers are out of range.
    """
    slots = shape.slots
    rooms = (paper.size(False), paper.size(True))
    whole = Piece(range(slots), 0.0)
    if _fits(shape.whole(axes_of(shape, side, range(slots))), rooms):
        return (whole,)
    most = slots // 2
    while most and _turn(shape, side, range(most), rooms) is None:
        most -= 1
    if not most:
        return (whole,)
    count = math.ceil(slots / most)
    ends = [round(slots * n / count) for n in range(count + 1)]
    found = []
    for a, b in itertools.pairwise(ends):
        turn = _turn(shape, side, range(a, b), rooms)
        assert turn is not None
        found.append(Piece(range(a, b), turn))
    return tuple(found)


Rooms = tuple[tuple[float, float], ...]


def _turn(shape: RingShape, side: Side, teeth: range, rooms: Rooms) -> float | None:
    """Return the turn with which a piece fits, its middle up or to the right; None if it does not."""
    axes = axes_of(shape, side, teeth)
    middle = (axes[0] + axes[-1]) / 2
    piece = shape.sector(axes)
    turns = (math.pi / 2 - middle, -middle)
    return next((t for t in turns if _fits(piece.rotated(t), rooms)), None)


def _fits(region: Region, rooms: Rooms) -> bool:
    x0, y0, x1, y1 = region.box
    return any(x1 - x0 <= wide and y1 - y0 <= high for wide, high in rooms)


def axes_of(shape: RingShape, side: Side, teeth: range) -> list[float]:
    """Return the directions of teeth by index, as seen on that side, counter-clockwise."""
    found = [axis_of(shape, side, k) for k in teeth]
    return found if side == "lead" else found[::-1]


def axis_of(shape: RingShape, side: Side, k: int) -> float:
    """Return the direction of one tooth by its index, as seen on that side, tooth 1 up."""
    return TOOTH_1 + (1 if side == "lead" else -1) * shape.pitch * k


def _pages(
    side: Side,
    labels: RingLabels,
    pieces: Sequence[Piece],
    layout: WindingLayout,
    routes: tuple[str, ...],
    imprint: Imprint,
) -> tuple[Drawing, ...]:
    """Return the page of every piece, or the tiles of a ring of whose teeth no page holds one."""
    paper = printing_paper(imprint.printer)
    sheets: list[Sheet] = []
    for number, piece in enumerate(pieces, start=1):
        figure = _figure(layout, side, labels, piece)
        notes = (*_notes(side, labels, piece.teeth, (number, len(pieces))), *routes)
        sheets += on_pages([figure], paper, notes)
    return tuple(bound(sheets, paper, f"{imprint.name}: paper ring, {side} side", imprint.revision))


def _figure(layout: WindingLayout, side: Side, labels: RingLabels, piece: Piece) -> Figure:
    """Return one piece with its lettering, axis of the motor at the origin."""
    shape, teeth, turn = labels.shape, piece.teeth, piece.turn
    axes = axes_of(shape, side, teeth)
    whole = len(teeth) == shape.slots
    region = (shape.whole(axes) if whole else shape.sector(axes)).rotated(turn)
    items: list[Item] = list(edges(region, "cut"))
    last = teeth[-1] if side == "lead" else teeth[0]
    for k in teeth:
        frame = Frame(ORIGIN, axis_of(shape, side, k) + turn)
        items += labels.items(frame, k, layout)
        items += _parting(shape, frame) if whole or k != last else []
    name = labels.side(Frame(ORIGIN, axis_of(shape, side, teeth[0]) + turn), side)
    items += [name] if name else []
    if whole:
        items += _side_words(shape, labels, side, name is None)
    return Figure(tuple(items), (region,), f"the paper ring, {side} side")


def _parting(shape: RingShape, frame: Frame) -> list[Item]:
    """Return a tick on a plain band at the slot beside a tooth; fingers need none."""
    if shape.half:
        return []
    after = Frame(frame.origin, frame.angle + shape.pitch / 2)
    return [line(after.at(shape.band), after.at(shape.band - TICK), "mark")]


def _missing(labels: RingLabels) -> tuple[str, ...]:
    """Return what had no room and stands on the winding card only."""
    lacks = [n for n, there in (("phases", labels.phase), ("arrows", labels.arrow)) if not there]
    words = " and ".join(lacks)
    return (f"No room for {words}: see the winding card.",) if lacks else ()


def _notes(
    side: Side, labels: RingLabels, teeth: range, number: tuple[int, int]
) -> tuple[str, ...]:
    piece = (
        (
            f"Piece {number[0]} of {number[1]}: teeth {teeth[0] + 1} to {teeth[-1] + 1}. Butt the pieces.",
        )
        if number[1] > 1
        else ()
    )
    return (
        f"{side.capitalize()} side of the stator: as you look at it, numbers run {WAYS[side]}.",
        *(("Arrow: the way the wire crosses the tooth on this end.",) if labels.arrow else ()),
        *_missing(labels),
        *piece,
        *(
            ("Fingers lie on the teeth: stick it on before the liners go in.",)
            if labels.shape.half
            else ()
        ),
        "Which tooth is number 1: see the winding card.",
    )


def _side_words(shape: RingShape, labels: RingLabels, side: Side, band: bool) -> list[Item]:
    """Return the side's name in the hole, and on the band beside tooth 1 if wanted and with room."""
    items: list[Item] = []
    words = f"{side} side"
    if text_width(words, 3.5) / 2 + 2.0 <= shape.inner:
        items.append(Text(0.0, 0.0, 3.5, words, "centre", level="middle"))
    wide, gap = text_width(side, SIDE_SIZE), 0.8
    digits, number = "0" * len(str(shape.slots)), labels.number
    beside = (number.height if number.outward else text_width(digits, number.height)) / 2
    low = shape.band - TICK - gap - wide
    room = low * math.sin(shape.pitch / 2) - beside - SIDE_SIZE / 2 - gap
    if band and number.place == "band" and low - gap >= shape.inner and room >= 0:
        angle = axis_of(shape, side, 0) - (1 if side == "lead" else -1) * shape.pitch / 2
        spot = Point.polar(low + wide / 2, angle)
        items.append(Text(spot.x, spot.y, SIDE_SIZE, side, "centre", angle, "middle"))
    return items
