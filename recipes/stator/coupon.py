"""The test coupon: small pieces to cut first, on the real sheet by the real shop, and to measure.

    coupon          20.00 square with a 10.00 hole: full kerf width of outer and inner edges, in x and y
    coupon_bore_1.. half-rings: which bore goes over the seat
    coupon_tooth    tooth and slots of the design: fold the paper, pass the wire
    coupon_comb     gaps from 0.2 mm narrower to 0.2 mm wider than the slot opening

Pieces and not one plate, because shops take one part a file; none is larger than 60 x 60 mm, but
a tooth that is. Numbers are counted as notches, never text, which would be cut or lost. What is
measured goes into `[shop.measured]`; see `recipes.manufacturing.kerf`.

The tooth is one whole tooth between two whole slots, cut out of the very sheet. The neighbours are
cut along their axes; a strip of yoke holds all together:

          /|  .-----.  |\\        half tooth | slot | tooth | slot | half tooth
         / |  '-. .-'  | \\
         \\ |    | |    | /       where that is wider than 60 mm: half slot | tooth | half slot
          \\|____| |____|/
           \\____________/
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.radial import joined
from geometry.segment import Arc, Line, Segment, mirrored_run
from recipes.design.lamination import Lamination
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.tables.process import Process

#: The coupon's square and hole, drawn size in mm (common practice).
SQUARE, HOLE = 20.0, 10.0

#: Yoke left under the slots, mm; never more than half of the way to the centre.
YOKE = 5.0


def tooth_piece(
    slot: SlotShape, web: float, largest: float
) -> tuple[Region, Literal["whole slots", "half slots"]]:
    """Return the piece with tooth 1 upward, and whether its slots are whole.

    Args:
        slot: the exact tooth and slot of the design.
        web: least width of material that the process leaves, mm.
        largest: side of the square that the piece should fit into, mm. A tooth that is longer
            by itself is drawn all the same, with whole slots if they add little to that.
    """
    alone, whole = Region(_alone(slot, web)).rotated(TOOTH_1), _with_neighbours(slot, web)
    if whole is not None:
        piece = Region(whole).rotated(TOOTH_1)
        if _side(piece) <= max(largest, 1.1 * _side(alone)):
            return piece, "whole slots"
    return alone, "half slots"


def _side(piece: Region) -> float:
    x0, y0, x1, y1 = piece.box
    return max(x1 - x0, y1 - y0)


def _with_neighbours(slot: SlotShape, web: float) -> Outline | None:
    """Return tooth, two slots and the near halves of both neighbours; None without room for them."""
    pitch, side, corner = 2 * slot.half_pitch, slot.side, slot.face.end
    reach = pitch + _beyond_axis(side, web, _floor_radius(slot))
    if reach >= min(pitch + corner.angle(), math.pi / 2):
        return None
    first, last = (Point.polar(corner.length(), a) for a in (-reach, reach))
    up = mirrored_run(side, 0.0)
    runs: list[list[Segment]] = [
        [Arc(first, corner.rotated(-pitch), ORIGIN, True)],
        [s.rotated(-pitch) for s in (*side, slot.floor)],
        [*up, slot.face, *side, slot.floor],
        [s.rotated(pitch) for s in up],
        [Arc(corner.mirrored().rotated(pitch), last, ORIGIN, True)],
        _back(last, first, _inner_radius(slot, web)),
    ]
    return Outline(tuple(joined(runs, closed=True)))


def _beyond_axis(side: list[Segment], web: float, radius: float) -> float:
    """Return the angle (rad) from a tooth's axis to the cut that leaves `web` mm of its near half.

    Along the axis itself where half a tooth is wide enough. Turned by the angle, `side` must keep
    `web` above the axis; a turn lifts what lies at `radius` or beyond by so much, or more.
    """
    angle = 0.0
    while angle < math.pi / 2:
        lacking = web - min(s.rotated(angle).box()[1] for s in side)
        if lacking <= 1e-9:
            break
        angle += lacking / radius
    return angle


def _alone(slot: SlotShape, web: float) -> Outline:
    """Return tooth and the near halves of its two slots."""
    half = list(slot.half[1:])
    back = _back(half[-1].end, half[-1].end.mirrored(), _inner_radius(slot, web))
    return Outline(tuple(joined([mirrored_run(half, 0.0), [slot.face], half, back], closed=True)))


def _back(last: Point, first: Point, radius: float) -> list[Segment]:
    """Return the way from `last` straight inwards, along the strip of yoke, and out to `first`."""
    a, b = Point.polar(radius, last.angle()), Point.polar(radius, first.angle())
    return [Line(last, a), Arc(a, b, ORIGIN, False), Line(b, first)]


def _floor_radius(slot: SlotShape) -> float:
    return min(slot.half[-1].start.length(), slot.half[-1].end.length())


def _inner_radius(slot: SlotShape, web: float) -> float:
    floor = _floor_radius(slot)
    return max(floor / 2, floor - max(YOKE, 3 * web))


# Straight edges with notches: counting notches, half-rings, gaps. A notch is drawn about its own
# middle: x along the edge, y into the material.
#
#             .---.            half-round notch or half-ring: an arc
#     -------(     )-------    edge, travelled to the right, material above
#             |   |
#     --------+   +--------    gap with a full-radius bottom: no sharp inside corner

#: A counting notch is at least this wide, so that a naked eye counts it, mm.
SEEN = 1.0

#: No piece of the coupon is smaller across or larger than this, mm: shops refuse parts under 15 to
#: 25 mm, which fall through the table; 60 mm fits any offcut (common practice).
SMALLEST, LARGEST = 16.0, 60.0


@dataclass(frozen=True)
class Mark:
    """Width of a counting notch and of the web between two, mm."""

    width: float
    web: float

    def group(self, count: int) -> float:
        """Return the width of `count` notches side by side, mm."""
        return count * self.width + max(0, count - 1) * self.web


@dataclass(frozen=True)
class EdgeNotch:
    """What is taken out of an edge: `middle` from the start of the edge in mm, `run` about it."""

    middle: float
    run: tuple[Segment, ...]


def mark_of(shop: Process, thickness: float) -> Mark:
    """Return the smallest counting notch that a process cuts cleanly in `thickness` mm of sheet."""
    least = max(SEEN, shop.slot(thickness), shop.hole(thickness), 2 * shop.least_corner_radius_mm)
    return Mark(least, max(SEEN, shop.web(thickness)))


def arc_notch(middle: float, radius: float, chord: float | None = None) -> EdgeNotch:
    """Return an arc of `radius` mm taken out of the edge; half a circle if no chord is given."""
    half = radius if chord is None else chord / 2
    center = Point(0.0, -math.sqrt(max(0.0, radius**2 - half**2)))
    return EdgeNotch(middle, (Arc(Point(-half, 0.0), Point(half, 0.0), center, False),))


def gap_notch(middle: float, width: float, depth: float) -> EdgeNotch:
    """Return a straight gap of `width` mm with a full-radius bottom, `depth` mm deep."""
    half = width / 2
    low, high = depth - half, Point(0.0, depth - half)
    a, b, c, d = Point(-half, 0.0), Point(-half, low), Point(half, low), Point(half, 0.0)
    return EdgeNotch(middle, (Line(a, b), Arc(b, c, high, False), Line(c, d)))


def counting(middle: float, count: int, mark: Mark) -> list[EdgeNotch]:
    """Return `count` half-round notches about `middle`, which number the thing beside them."""
    pitch = mark.width + mark.web
    return [arc_notch(middle + (k - (count - 1) / 2) * pitch, mark.width / 2) for k in range(count)]


def edge(start: Point, end: Point, notches: Sequence[EdgeNotch] = ()) -> list[Segment]:
    """Return the edge from `start` to `end`, material on the left, with its notches, mm."""
    angle = end.minus(start).angle()
    here = start
    segments: list[Segment] = []
    for notch in sorted(notches, key=lambda b: b.middle):
        run = [s.moved(notch.middle, 0.0).rotated(angle).moved(*start) for s in notch.run]
        segments.append(Line(here, run[0].start))
        segments += run
        here = run[-1].end
    segments.append(Line(here, end))
    return segments


# Half-rings: which bore goes over the turned seat without play?
#
# One piece, up to two half-rings wide; notches on the side nearest to a half-ring count its step:
#
#     +---.         .---+---.         .---+
#     |    \_______/    |    \_______/    |    arm: what is left beside a half-ring
#     <  1     bridge                      >
#     <                                    >  2
#     |       .---.                       |
#     +------'     '----------------------+
#
# A bore too large for 60 mm becomes arcs of the same radius with a shorter chord: they only show
# light under them, which tells 0.05 mm on ground or wire-cut edges and not on others.

#: Steps of the bore's diameter, mm: number 1 is the bore as designed (common practice).
STEPS_BORE = (0.0, 0.05, 0.10, 0.15, 0.20)

#: Sheet beside a half-ring, so that it does not spread in the hand, and behind it, mm.
ARM, BRIDGE = 5.0, 6.0


@dataclass(frozen=True)
class HalfRing:
    """One gauge: its number, its diameter and the width of its mouth, mm."""

    number: int
    diameter: float
    chord: float

    @property
    def depth(self) -> float:
        """How deep it reaches into the piece, mm."""
        radius = self.diameter / 2
        return radius - math.sqrt(max(0.0, radius**2 - (self.chord / 2) ** 2))


@dataclass(frozen=True)
class Frame:
    """Measures that all pieces share, mm; `columns` half-rings stand side by side."""

    mark: Mark
    arm: float
    web: float
    columns: int


def bore_pieces(
    bore: float, thickness: float, shop: Process
) -> list[tuple[Region, tuple[HalfRing, ...]]]:
    """Return the pieces with half-rings for a bore, and which half-rings each holds.

    Args:
        bore: diameter as designed, mm.
        thickness: of the sheet, mm.
        shop: process that cuts it.

    Returns:
        One to three pieces of at most 60 x 60 mm; none for a bore too small to be cut.
    """
    if bore < shop.hole(thickness):
        return []
    mark, web = mark_of(shop, thickness), shop.web(thickness)
    arm = max(ARM, mark.width / 2 + 2 * web)
    rings = [_ring(k, bore + step, LARGEST - 2 * arm) for k, step in enumerate(STEPS_BORE, start=1)]
    widest = max(r.chord for r in rings)
    columns = 2 if 2 * widest + 3 * arm <= LARGEST else 1
    frame = Frame(mark, arm, web, columns)
    per_piece = [rings[:3], rings[3:]] if columns == 2 else [rings[:2], rings[2:4], rings[4:]]
    return [(_piece_bore(group, frame), tuple(group)) for group in per_piece]


def _ring(number: int, diameter: float, most: float) -> HalfRing:
    return HalfRing(number, diameter, min(diameter, most))


def _piece_bore(rings: Sequence[HalfRing], frame: Frame) -> Region:
    """Return one piece, lower left corner at the origin: the first rings open up, the others down."""
    up, down = rings[: frame.columns], rings[frame.columns :]
    widest, deepest = max(r.chord for r in rings), max(r.depth for r in rings)
    columns = min(frame.columns, len(rings))
    width = max(SMALLEST, columns * widest + (columns + 1) * frame.arm)
    room = max(frame.mark.group(r.number) for r in rings) + 2 * frame.web + frame.mark.width
    rows = 2 if down else 1
    bridge = max(BRIDGE, 3 * frame.web, rows * (room - deepest))
    height = max(SMALLEST, rows * deepest + bridge)
    pitch = widest + frame.arm
    low, right = Point(0.0, 0.0), Point(width, 0.0)
    top, left = Point(width, height), Point(0.0, height)
    sides = _numbers(up, down, height, frame)
    return Region(
        Outline(
            tuple(
                joined(
                    [
                        edge(low, right, _row(down, frame.arm, pitch, widest, 0.0)),
                        edge(right, top, sides[1]),
                        edge(top, left, _row(up, frame.arm, pitch, widest, width)),
                        edge(left, low, sides[0]),
                    ],
                    closed=True,
                )
            )
        )
    )


def _row(
    rings: Sequence[HalfRing], arm: float, pitch: float, widest: float, width: float
) -> list[EdgeNotch]:
    """Return the half-rings of one edge; the upper edge, of `width` mm, is travelled to the left."""
    middles = [arm + widest / 2 + k * pitch for k in range(len(rings))]
    return [
        arc_notch(width - x if width else x, r.diameter / 2, r.chord)
        for x, r in zip(middles, rings, strict=True)
    ]


def _numbers(
    up: Sequence[HalfRing], down: Sequence[HalfRing], height: float, frame: Frame
) -> tuple[list[EdgeNotch], list[EdgeNotch]]:
    """Return the counting notches of the left and the right side, beside the half-ring they number."""
    left: list[EdgeNotch] = []
    right: list[EdgeNotch] = []
    for rings, y in ((up, 0.75 * height if down else height / 2), (down, 0.25 * height)):
        for column, ring in enumerate(rings):
            if frame.columns == 2 and column == 0:  # the left side is travelled downwards
                left += counting(height - y, ring.number, frame.mark)
            else:
                right += counting(y, ring.number, frame.mark)
    return left, right


#: One to measure, one to keep beside the motor's papers.
QUANTITY = 2

#: Steps of the comb against the slot opening, mm (common practice); all five, or every second one.
STEPS = (-0.2, -0.1, 0.0, 0.1, 0.2)

#: Comb: least depth of a gap, sheet behind it and between two gaps, mm.
DEPTH, BACK, LAND = 8.0, 6.0, 3.0

#: Width of a gap that must be left in the drawing once the kerf is drawn in, mm.
MIN_LEFT = 0.1

Figures = dict[str, float | int | str]


def coupon(lam: Lamination, slot: SlotShape, shop: Process, kerf_drawn: float) -> tuple[Part, ...]:
    """Return the pieces of the test coupon, of the lamination's sheet, two of each.

    Args:
        lam: the sheet.
        slot: the exact tooth and slot.
        shop: what cuts it.
        kerf_drawn: full kerf width that the cut files draw in, mm.

    Returns:
        "coupon", then "coupon_bore_1" and so on, "coupon_tooth" and "coupon_comb". Bore and comb
        are left out where their steps cannot be cut or do not matter.
    """
    return (
        _square(lam, mark_of(shop, lam.sheet_thickness)),
        *_bore(lam, shop),
        _tooth(lam, slot, shop.web(lam.sheet_thickness)),
        *_comb(lam, shop, kerf_drawn),
    )


def _piece(lam: Lamination, name: str, region: Region, settings: Figures, *notes: str) -> Part:
    return Part(
        name=name,
        cut=(region,),
        material=lam.steel,
        thickness=lam.sheet_thickness,
        quantity=QUANTITY,
        settings=settings,
        notes=(
            "cut first, from the sheet and with the settings that the laminations get; tabs only at "
            "corners, and filed off before anything is measured",
            *notes,
        ),
    )


def _square(lam: Lamination, mark: Mark) -> Part:
    """Return the 20.00 square; the notch tells the way in which x is measured."""
    half = SQUARE / 2
    a, b, c, d = Point(-half, -half), Point(half, -half), Point(half, half), Point(-half, half)
    outline = [edge(a, b), edge(b, c, [arc_notch(half, mark.width / 2)]), edge(c, d), edge(d, a)]
    return _piece(
        lam,
        "coupon",
        Region(Outline(tuple(joined(outline, closed=True))), (Outline.circle(ORIGIN, HOLE / 2),)),
        {"square_mm": SQUARE, "hole_mm": HOLE},
        "measure beside the notch, onto the side that has it: outer_x and hole_x; the other way: "
        "outer_y and hole_y",
        "type the sizes into [shop.measured], and as drawn_kerf the number after 'kerf' in this "
        "file's name",
    )


def _bore(lam: Lamination, shop: Process) -> Iterator[Part]:
    pieces = bore_pieces(lam.bore_diameter, lam.sheet_thickness, shop)
    for number, (region, rings) in enumerate(pieces, start=1):
        full = all(r.chord == r.diameter for r in rings)
        yield _piece(
            lam,
            f"coupon_bore_{number}",
            region,
            {f"notches_{r.number}_diameter_mm": round(r.diameter, 3) for r in rings},
            "count the notches beside a half-ring: one is the bore as designed, each more is "
            "0.05 mm larger; type the step that goes over the seat without play as bore_step"
            if full
            else "count the notches beside an arc: one is the bore as designed, each more is "
            "0.05 mm larger; the one that shows no light on the seat is bore_step (laser and "
            "waterjet edges are too rough to tell one step from the next: measure the first sheet)",
        )


def _tooth(lam: Lamination, slot: SlotShape, web: float) -> Part:
    region, slots = tooth_piece(slot, web, LARGEST)
    return _piece(
        lam,
        "coupon_tooth",
        region,
        {"slots": slots, "slot_opening_mm": round(slot.opening, 3)},
        "fold a trial strip into the slot, then pass the wire through the opening",
    )


def _comb(lam: Lamination, shop: Process, kerf_drawn: float) -> Iterator[Part]:
    """Yield the comb with as many steps as go into 60 mm; nothing for an opening that wide."""
    thickness, opening = lam.sheet_thickness, lam.slot_opening
    mark, land = mark_of(shop, thickness), max(LAND, 2 * shop.web(thickness))
    for chosen in (range(5), range(0, 5, 2)):
        gaps = [(k + 1, opening + STEPS[k]) for k in chosen]
        gaps = [
            (n, w)
            for n, w in gaps
            if w >= shop.slot(thickness) - 1e-9 and w - kerf_drawn > MIN_LEFT
        ]
        columns = [max(w + land, mark.group(n) + mark.width + 2 * mark.web) for n, w in gaps]
        if gaps and sum(columns) + land <= LARGEST:
            break
    else:
        return
    region = _toothed(gaps, columns, land, max(BACK, 3 * shop.web(thickness)), mark)
    yield _piece(
        lam,
        "coupon_comb",
        region,
        {f"notches_{n}_gap_mm": round(w, 3) for n, w in gaps},
        "count the notches behind a gap: three is the slot opening as designed, each step is 0.1 mm",
        "line a gap with two strips of the slot paper; the step of the narrowest gap that lets the "
        "wire pass is opening_step",
    )


def _toothed(
    gaps: list[tuple[int, float]],
    columns: list[float],
    land: float,
    back: float,
    mark: Mark,
) -> Region:
    """Return the comb, lower left corner at the origin: gaps open upwards, notches below them."""
    width = max(SMALLEST, sum(columns) + land)
    depth = max(DEPTH, max(w for _, w in gaps) / 2 + 4.0)
    height = max(SMALLEST, depth + back + mark.width / 2)
    middles = [land / 2 + sum(columns[:k]) + columns[k] / 2 for k in range(len(gaps))]
    numbers = [
        notch for x, (n, _) in zip(middles, gaps, strict=True) for notch in counting(x, n, mark)
    ]
    slots = [gap_notch(width - x, w, depth) for x, (_, w) in zip(middles, gaps, strict=True)]
    a, b, c, d = Point(0.0, 0.0), Point(width, 0.0), Point(width, height), Point(0.0, height)
    runs = [edge(a, b, numbers), edge(b, c), edge(c, d, slots), edge(d, a)]
    return Region(Outline(tuple(joined(runs, closed=True))))
