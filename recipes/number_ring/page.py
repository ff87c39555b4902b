"""Pages of the paper ring: whole, in pieces parted in the middle of slots, or on tiles, at true size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.outline import Region
from geometry.point import ORIGIN, Point
from geometry.sheet.drawing import Drawing, Item, Text, edges, line
from geometry.sheet.figure import Figure, on_pages
from geometry.sheet.font import text_width
from geometry.sheet.paper import Sheet, bound
from recipes.card.marks import Frame
from recipes.job import Job
from recipes.number_ring.labels import SIDE_SIZE, RingLabels
from recipes.number_ring.shape import RingShape, Side
from recipes.parts.lamination import TOOTH_1
from recipes.printing.paper import job_paper

#: Length of the tick between two teeth on a plain band, mm.
TICK = 2.8

#: Numbers run this way as seen by who looks at that end.
WAYS: dict[Side, str] = {"lead": "counter-clockwise", "far": "clockwise"}


@dataclass(frozen=True)
class Piece:
    """Teeth by index that lie on one page; `turn` (rad) brings them from the stator to the page."""

    teeth: range
    turn: float


def pieces(job: Job, shape: RingShape, side: Side) -> tuple[Piece, ...]:
    """Return the whole ring, or as few even pieces as pages take; the whole ring if none is taken.

    Raises:
        GeometryError: the printer's rulers are out of range.
    """
    paper, slots = job_paper(job), shape.slots
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


def ring_pages(
    job: Job, side: Side, labels: RingLabels, found: Sequence[Piece]
) -> tuple[Drawing, ...]:
    """Return the page of every piece, or the tiles of a ring of whose teeth no page holds one.

    Raises:
        GeometryError: the printer's rulers are out of range.
    """
    paper = job_paper(job)
    sheets: list[Sheet] = []
    for number, piece in enumerate(found, start=1):
        figure = _figure(job, side, labels, piece)
        notes = _notes(side, labels, piece.teeth, (number, len(found)))
        sheets += on_pages([figure], paper, notes)
    return tuple(bound(sheets, paper, f"{job.design.name}: paper ring, {side} side", job.revision))


def _figure(job: Job, side: Side, labels: RingLabels, piece: Piece) -> Figure:
    """Return one piece with its lettering, axis of the motor at the origin."""
    shape, teeth, turn = labels.shape, piece.teeth, piece.turn
    axes = axes_of(shape, side, teeth)
    whole = len(teeth) == shape.slots
    region = (shape.whole(axes) if whole else shape.sector(axes)).rotated(turn)
    items: list[Item] = list(edges(region, "cut"))
    last = teeth[-1] if side == "lead" else teeth[0]
    for k in teeth:
        frame = Frame(ORIGIN, axis_of(shape, side, k) + turn)
        items += labels.items(frame, k, job.winding)
        items += _parting(shape, frame) if whole or k != last else []
    name = labels.side(Frame(ORIGIN, axis_of(shape, side, teeth[0]) + turn), side)
    items += [name] if name else []
    if whole:
        items += _side_words(shape, labels, ORIGIN, side, name is None)
    return Figure(tuple(items), (region,), f"the paper ring, {side} side")


def _parting(shape: RingShape, frame: Frame) -> list[Item]:
    """Return a tick on a plain band at the slot beside a tooth; fingers need none."""
    if shape.half:
        return []
    after = Frame(frame.origin, frame.angle + shape.pitch / 2)
    return [line(after.at(shape.band), after.at(shape.band - TICK), "mark")]


def missing(labels: RingLabels) -> tuple[str, ...]:
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
        *missing(labels),
        *piece,
        *(
            ("Fingers lie on the teeth: stick it on before the liners go in.",)
            if labels.shape.half
            else ()
        ),
        "Which tooth is number 1: see the winding card.",
    )


def _side_words(
    shape: RingShape, labels: RingLabels, centre: Point, side: Side, band: bool
) -> list[Item]:
    """Return the side's name in the hole, and on the band beside tooth 1 if wanted and with room."""
    items: list[Item] = []
    words = f"{side} side"
    if text_width(words, 3.5) / 2 + 2.0 <= shape.inner:
        items.append(Text(centre.x, centre.y, 3.5, words, "centre", level="middle"))
    wide, gap = text_width(side, SIDE_SIZE), 0.8
    digits, number = "0" * len(str(shape.slots)), labels.number
    beside = (number.height if number.outward else text_width(digits, number.height)) / 2
    low = shape.band - TICK - gap - wide
    room = low * math.sin(shape.pitch / 2) - beside - SIDE_SIZE / 2 - gap
    if band and number.place == "band" and low - gap >= shape.inner and room >= 0:
        angle = axis_of(shape, side, 0) - (1 if side == "lead" else -1) * shape.pitch / 2
        spot = centre.plus(Point.polar(low + wide / 2, angle))
        items.append(Text(spot.x, spot.y, SIDE_SIZE, side, "centre", angle, "middle"))
    return items
