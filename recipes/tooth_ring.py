"""Paper rings to stick on both ends of the stator: number, phase and arrow on every tooth, 1:1.

The far ring is the lead ring in a mirror, lettering apart: a tooth has the same number on both
ends, and an arrow shows on either end how the wire crosses it there. A ring that is larger than the
page is parted in the middle of slots, a piece on each page.

Left out, with a finding, is a ring whose teeth are too close for lettering of 2.5 mm.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

from geometry.drawing import Drawing, Item, Text, edges
from geometry.errors import GeometryError
from geometry.font import text_width
from geometry.outline import Region
from geometry.page import PageWords, page_room, template_page
from geometry.part import Part
from geometry.point import Point
from geometry.segment import Box
from recipes.job import Job
from recipes.lamination import TOOTH_1
from recipes.refusal import Refused, finding, misfit
from recipes.templates import revision
from recipes.tooth_ring_labels import RingLabels, ring_labels
from recipes.tooth_ring_shape import RingShape, Side, ring_shape
from recipes.winding_card_marks import Frame

if TYPE_CHECKING:
    from geometry.finding import Finding

SIDES: tuple[Side, ...] = ("lead", "far")

#: Numbers run this way as seen by who looks at that end.
WAYS: dict[Side, str] = {"lead": "counter-clockwise", "far": "clockwise"}


def tooth_ring(job: Job) -> tuple[Part, ...]:
    """Return the two rings, "tooth_ring_lead" and "tooth_ring_far"; none if they cannot be lettered.

    Each part's region is the whole ring; its drawings are the pages that hold it at true size.

    Raises:
        Refused: no winding, no slot, no such wire, one tooth is larger than the page, or the
            printer's rulers are out of range.
    """
    try:
        return tuple(part for side in SIDES for part in _ring(job, side))
    except GeometryError as error:
        raise Refused(misfit(error, "print.page")) from None


def _ring(job: Job, side: Side) -> tuple[Part, ...]:
    labels = ring_labels(ring_shape(job, side))
    if labels is None:
        return ()
    shape, pieces = labels.shape, _pieces(job, labels.shape)
    pages = tuple(
        _page(job, side, labels, teeth, (n, len(pieces))) for n, teeth in enumerate(pieces, start=1)
    )
    return (
        Part(
            name=f"tooth_ring_{side}",
            cut=(shape.whole(_axes(shape, side, range(shape.slots))),),
            material="self-adhesive paper",
            thickness=0.0,
            quantity=1,
            settings={
                "outer_diameter_mm": round(2 * shape.outer, 4),
                "hole_diameter_mm": round(2 * shape.inner, 4),
                "pieces": len(pieces),
            },
            notes=(f"{side} side: numbers run {WAYS[side]} as you look at it", *_missing(labels)),
            drawings=pages,
        ),
    )


def _axes(shape: RingShape, side: Side, teeth: range) -> list[float]:
    """Return the directions of teeth by index, as seen on that side, counter-clockwise."""
    found = [_axis(shape, side, k) for k in teeth]
    return found if side == "lead" else found[::-1]


def _axis(shape: RingShape, side: Side, k: int) -> float:
    return TOOTH_1 + (1 if side == "lead" else -1) * shape.pitch * k


def _pieces(job: Job, shape: RingShape) -> list[range]:
    """Return the teeth of every piece: all in one if the page takes it, else as even as can be."""
    printer = job.design.print
    x0, y0, x1, y1 = page_room(printer.page, (printer.measured_x, printer.measured_y))
    slots = shape.slots

    def fits(teeth: int) -> bool:
        wide, high = shape.box(teeth)
        return wide <= x1 - x0 and high <= y1 - y0

    if fits(slots):
        return [range(slots)]
    most = next((n for n in range(slots // 2, 0, -1) if fits(n)), 0)
    if not most:
        wide, high = shape.box(1)
        raise GeometryError(
            f"the paper for one tooth is {wide:.0f} x {high:.0f} mm, the page holds "
            f"{x1 - x0:.0f} x {y1 - y0:.0f} mm",
            value=max(wide, high),
            limit=max(x1 - x0, y1 - y0),
            hint="number the teeth by hand, as on the winding card",
        )
    count = math.ceil(slots / most)
    ends = [round(slots * n / count) for n in range(count + 1)]
    return [range(a, b) for a, b in itertools.pairwise(ends)]


def _page(
    job: Job, side: Side, labels: RingLabels, teeth: range, number: tuple[int, int]
) -> Drawing:
    """Return one page; the middle of a piece points up."""
    shape, printer = labels.shape, job.design.print
    measured = (printer.measured_x, printer.measured_y)
    words = PageWords(
        f"{job.design.name}: paper ring, {side} side", revision(job), number, ("cut",),
        _notes(side, labels, teeth, number),
    )  # fmt: skip
    page = template_page(printer.page, words, measured)
    axes = _axes(shape, side, teeth)
    whole = len(teeth) == shape.slots
    turn = 0.0 if whole else math.pi / 2 - (axes[0] + axes[-1]) / 2
    region = shape.whole(axes) if whole else shape.sector(axes).rotated(turn)
    centre = _centre(page.room, region)
    items: list[Item] = list(edges(region.moved(centre.x, centre.y), "cut"))
    for k in teeth:
        frame = Frame(centre, _axis(shape, side, k) + turn)
        items += labels.items(frame, k, job.winding)
    if whole:
        items += _side_words(shape, labels, centre, side)
    return page.drawing(items)


def _missing(labels: RingLabels) -> tuple[str, ...]:
    """Return what had no room and stands on the winding card only."""
    lacks = [n for n, there in (("phases", labels.phase), ("arrows", labels.arrow)) if not there]
    words = " and ".join(lacks)
    return (f"No room for {words}: see the winding card.",) if lacks else ()


def _notes(
    side: Side, labels: RingLabels, teeth: range, number: tuple[int, int]
) -> tuple[str, ...]:
    piece = (
        (f"Piece {number[0]} of {number[1]}: teeth {teeth[0] + 1} to {teeth[-1] + 1}. Butt the pieces.",)
        if number[1] > 1
        else ()
    )  # fmt: skip
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


def _centre(room: Box, region: Region) -> Point:
    """Return where the axle lies on the page so that the piece stands in the middle of the room."""
    x0, y0, x1, y1 = region.box
    return Point((room[0] + room[2] - x0 - x1) / 2, (room[1] + room[3] - y0 - y1) / 2)


def _side_words(shape: RingShape, labels: RingLabels, centre: Point, side: Side) -> list[Item]:
    """Return the side's name in the hole, and on the band before tooth 1 where that has room."""
    items: list[Item] = []
    words = f"{side} side"
    if text_width(words, 3.5) / 2 + 2.0 <= shape.inner:
        items.append(Text(centre.x, centre.y, 3.5, words, "centre", level="middle"))
    wide, gap = text_width(side, 2.5), 0.8
    digits, number = "0" * len(str(shape.slots)), labels.number
    beside = (number.height if number.outward else text_width(digits, number.height)) / 2
    low = shape.band - gap - wide
    room = low * math.sin(shape.pitch / 2)
    if low - gap >= shape.inner and room >= beside + 1.25 + gap and number.place == "band":
        sign = 1 if side == "lead" else -1
        angle = TOOTH_1 - sign * shape.pitch / 2
        spot = centre.plus(Point.polar(low + wide / 2, angle))
        items.append(Text(spot.x, spot.y, 2.5, side, "centre", angle, "middle"))
    return items


def tooth_ring_findings(job: Job) -> list[Finding]:
    """Say when rings are left out or come in pieces."""
    found: list[Finding] = []
    for side in SIDES:
        labels = ring_labels(ring_shape(job, side))
        if labels is None:
            found.append(
                finding(
                    "note", "ring-left-out", "motor.slots", job.design.motor.slots, None,
                    f"paper ring for the {side} side: left out, {job.design.motor.slots} teeth are too "
                    "close, or the yoke too narrow, for lettering of 2.5 mm",
                    "number the teeth by hand with a marker, as on the winding card",
                    "least lettering on a sheet, ISO 3098-1",
                )
            )  # fmt: skip
            continue
        try:
            pieces = len(_pieces(job, labels.shape))
        except GeometryError as error:
            raise Refused(misfit(error, "print.page")) from None
        if pieces > 1:
            found.append(
                finding(
                    "note", "ring-in-pieces", "print.page", 2 * labels.shape.outer, None,
                    f"paper ring for the {side} side: {2 * labels.shape.outer:.0f} mm across, larger "
                    f"than the page, so it comes in {pieces} pieces",
                    "butt the pieces in the middle of the slots",
                )
            )  # fmt: skip
    return found
