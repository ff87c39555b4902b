"""Spacing and polarity ring for the magnets, 1:1: the steel ring stands on it while glue sets.

        ___________________________  outside of the steel ring, cut
      .'  bore of the steel ring    '.   drawn as a mark
     |   [  N  ] 1     [  S  ] 2      |  footprint of each magnet, polarity of the face that looks at
     |                                |  the stator, number of the pole
      '.____________________________.'   inside, cut

Seen from the lead side. A ring larger than the page comes in pieces, parted between two poles.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Drawing, Fill, Item, Stroke, Text, edges
from geometry.sheet.page import PageWords, page_room, template_page
from recipes.parts.lamination import TOOTH_1
from recipes.refusal import Refused, finding, misfit
from recipes.rotor.ring import RotorRing, rotor_ring_of
from recipes.rotor.rules import CAUTIONS

if TYPE_CHECKING:
    from geometry.finding import Finding
    from recipes.job import Job

#: Paper inside the magnets' faces, and outside the bore where the ring's thickness is not given, mm.
INSIDE, OUTSIDE = 9.0, 6.0

#: Distance of the pole's number from the magnet's face; its height and that of the polarity, mm.
NUMBER_BACK, NUMBER, POLARITY = 3.5, 2.5, 2.5

NORTH, SOUTH = "N", "S"


def magnet_ring(job: Job) -> tuple[Part, ...]:
    """Return the ring as one part with its pages; none without magnets, or with none that fit.

    Raises:
        Refused: an unknown grade, a ring too small, or the printer's rulers are out of range.
    """
    ring = rotor_ring_of(job)
    pieces = _pieces(job, ring) if ring else ()
    if ring is None or not pieces:
        return ()
    pages = tuple(_page(job, ring, p, (n, len(pieces))) for n, p in enumerate(pieces, 1))
    return (
        Part(
            name="magnet_ring",
            cut=(_region(job, ring, range(job.design.motor.poles)),),
            material="paper or card",
            thickness=0.0,
            quantity=1,
            settings={
                "magnets": ring.count,
                "ring_bore_mm": round(2 * ring.bore, 4),
                "pieces": len(pages),
            },
            notes=(*_notes(job, ring), *CAUTIONS),
            drawings=pages,
        ),
    )


def _pitch(job: Job) -> float:
    return 2 * math.pi / job.design.motor.poles


def magnet_ring_findings(job: Job) -> list[Finding]:
    """Say when the ring comes in pieces, or is left out because no pole goes on the page.

    Raises:
        Refused: see `magnet_ring`.
    """
    ring = rotor_ring_of(job)
    if ring is None or ring.coverage > 1.0:
        return []  # said by the rules of the ring
    pieces, across = _pieces(job, ring), 2 * _radii(job, ring)[1]
    if len(pieces) == 1:
        return []
    how = (
        f"comes in {len(pieces)} pieces" if pieces else "is left out: the page holds no pole of it"
    )
    return [
        finding(
            "note", "magnet-ring-pieces" if pieces else "magnet-ring-left-out", "print.page", across,
            None, f"paper ring for the magnets, {across:.0f} mm across, {how}",
            "butt the pieces between two poles" if pieces else "mark the poles on the steel with dividers",
        )
    ]  # fmt: skip


def _pieces(job: Job, ring: RotorRing) -> tuple[range, ...]:
    """Return the poles of each page: as few even pieces as the page takes; none if one is too large.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    poles, printer = job.design.motor.poles, job.design.print
    if ring.coverage > 1.0:
        return ()
    try:
        room = page_room(printer.page, (printer.measured_x, printer.measured_y))
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None
    for count in (n for n in range(1, poles + 1) if poles % n == 0):
        each = poles // count
        x0, y0, x1, y1 = _region(job, ring, range(each)).box
        if x1 - x0 <= room[2] - room[0] and y1 - y0 <= room[3] - room[1]:
            return tuple(range(k * each, (k + 1) * each) for k in range(count))
    return ()


def _radii(job: Job, ring: RotorRing) -> tuple[float, float]:
    given = job.design.rotor.ring_thickness
    return max(ring.face - INSIDE, 0.2 * ring.face), ring.bore + (
        OUTSIDE if given is None else given
    )


def _region(job: Job, ring: RotorRing, poles: range) -> Region:
    """Return the whole ring, or the piece for these poles with its middle up."""
    inner, outer = _radii(job, ring)
    if len(poles) == job.design.motor.poles:
        return Region(Outline.circle(ORIGIN, outer), (Outline.circle(ORIGIN, inner),))
    half = len(poles) * _pitch(job) / 2
    low, high = TOOTH_1 - half, TOOTH_1 + half
    a, b = Point.polar(outer, low), Point.polar(outer, high)
    c, d = Point.polar(inner, high), Point.polar(inner, low)
    run: tuple[Segment, ...] = (
        Arc(a, b, ORIGIN, True), Line(b, c), Arc(c, d, ORIGIN, False), Line(d, a)
    )  # fmt: skip
    return Region(Outline(run))


def footprint(job: Job, ring: RotorRing, angle: float) -> Outline:
    """Return the outline of one magnet whose middle lies in the direction `angle` (rad), mm."""
    rotor = job.design.rotor
    thick, half = rotor.magnet_thickness or 0.0, (rotor.magnet_width or 0.0) / 2
    inner, outer = ring.face, ring.face + thick
    if rotor.magnet_shape == "block":
        corners = ((inner, -half), (outer, -half), (outer, half), (inner, half))
        return Outline.polygon([Point(*c).rotated(angle) for c in corners])
    turn = ring.half_angle
    a, b = Point.polar(inner, angle - turn), Point.polar(outer, angle - turn)
    c, d = Point.polar(outer, angle + turn), Point.polar(inner, angle + turn)
    return Outline((Line(a, b), Arc(b, c, ORIGIN, True), Line(c, d), Arc(d, a, ORIGIN, False)))


def places(job: Job, pole: int) -> tuple[float, ...]:
    """Return the directions in rad from the middle of pole 0 of the magnets of one pole by its index.

    All magnets stand at equal steps round the ring.
    """
    many = job.design.rotor.magnets_per_pole
    step = _pitch(job) / many
    return tuple(_pitch(job) * pole + (k - (many - 1) / 2) * step for k in range(many))


def _page(job: Job, ring: RotorRing, poles: range, number: tuple[int, int]) -> Drawing:
    printer = job.design.print
    piece = (
        (f"Piece {number[0]} of {number[1]}: poles {poles[0] + 1} to {poles[-1] + 1}. Butt the pieces.",)
        if number[1] > 1
        else ()
    )  # fmt: skip
    words = PageWords(
        f"{job.design.name}: magnet ring", job.revision, number, ("cut", "mark"),
        (*_notes(job, ring), *piece, CAUTIONS[0]),
    )  # fmt: skip
    page = template_page(printer.page, words, (printer.measured_x, printer.measured_y))
    region = _region(job, ring, poles)
    (x0, y0, x1, y1), room = region.box, page.room
    at = Point((room[0] + room[2] - x0 - x1) / 2, (room[1] + room[3] - y0 - y1) / 2)
    whole = len(poles) == job.design.motor.poles
    # pole 1 up on the whole ring, else the middle of the piece up
    first = TOOTH_1 - (0.0 if whole else (poles[0] + poles[-1]) / 2 * _pitch(job))
    items: list[Item] = list(edges(region.moved(at.x, at.y), "cut"))
    items.append(_bore(job, ring, poles, at, whole))
    for pole in poles:
        items += _pole(job, ring, pole, at, first)
    return page.drawing(items)


def _bore(job: Job, ring: RotorRing, poles: range, at: Point, whole: bool) -> Stroke:
    if whole:
        return Stroke(Outline.circle(at, ring.bore).segments, "mark")
    half = len(poles) * _pitch(job) / 2
    ends = [at.plus(Point.polar(ring.bore, TOOTH_1 + s * half)) for s in (-1, 1)]
    return Stroke((Arc(ends[0], ends[1], at, True),), "mark")


def _pole(job: Job, ring: RotorRing, pole: int, at: Point, first: float) -> list[Item]:
    """Return one pole: its magnets in the tone and letter of its polarity, and its number."""
    north, thick = pole % 2 == 0, job.design.rotor.magnet_thickness or 0.0
    items: list[Item] = []
    letter = NORTH if north else SOUTH
    inside = thick >= POLARITY + 0.4
    for angle in places(job, pole):
        shape = footprint(job, ring, first + angle).moved(at.x, at.y)
        items += [Fill((shape,), "sand" if north else "sky"), Stroke(shape.segments, "mark")]
        if inside:
            items.append(_word(at, first + angle, ring.face + thick / 2, letter, POLARITY))
    middle = first + _pitch(job) * pole
    words = f"{pole + 1}" if inside else f"{letter}{pole + 1}"
    items.append(_word(at, middle, ring.face - NUMBER_BACK, words, NUMBER))
    return items


def _word(at: Point, angle: float, radius: float, words: str, size: float) -> Text:
    spot = at.plus(Point.polar(radius, angle))
    return Text(spot.x, spot.y, size, words, "centre", angle - math.pi / 2, "middle")


def _notes(job: Job, ring: RotorRing) -> tuple[str, ...]:
    rotor = job.design.rotor
    gap = 2 * math.pi * ring.face * (1 / ring.count) * (1 - ring.coverage)
    return (
        f"{ring.count} magnets {rotor.magnet_grade}, ring bore {2 * ring.bore:.2f} mm. N: this face of "
        "the magnet looks at the stator. Mark every magnet with a compass first.",
        f"Stand the ring on the line of its bore; about {gap:.1f} mm between neighbours at their faces.",
    )
