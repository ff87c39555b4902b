"""Spacing and polarity ring for the magnets, 1:1: the steel ring stands on it while glue sets.

        ___________________________  outside of the steel ring, cut
      .'  bore of the steel ring    '.   drawn as a mark
     |   [  N  ] 1     [  S  ] 2      |  footprint of each magnet, polarity of the face that looks at
     |                                |  the stator, number of the pole
      '.____________________________.'   inside, cut

Seen from the lead side. A ring larger than the page comes in pieces, parted between two poles, or on
tiles where the page does not even hold one pole.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Item, Items, Stroke, Text, edges
from geometry.drafting.font import text_width
from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.page import Sheet, bound
from geometry.printing.tiles import Figure, on_pages
from geometry.segment import Arc, Line, Segment
from recipes.job import Job
from recipes.refusal import Refused, misfit, note
from recipes.rotor.ring import CAUTIONS, RotorRing, rotor_ring_of
from recipes.stator.slot import TOOTH_1
from recipes.true_scale import printing_paper, sheet_findings

#: Paper inside the magnets' faces, and outside the bore where the ring's thickness is not given, mm.
INSIDE, OUTSIDE = 9.0, 6.0

#: Distance of the pole's number from the magnet's face; its height and that of the polarity, mm.
NUMBER_BACK, NUMBER, POLARITY = 3.5, 2.5, 2.5

NORTH, SOUTH = "N", "S"


def magnet_ring(job: Job) -> tuple[Part, ...]:
    """Return the ring as one part with its pages; none without magnets that go round.

    Raises:
        Refused: an unknown grade, a ring too small, or the printer's rulers are out of range.
    """
    ring = rotor_ring_of(job)
    if ring is None or ring.coverage > 1.0:
        return ()
    pieces = _pieces(job, ring)
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
                "pieces": len(pieces),
            },
            notes=(*CAUTIONS, *_notes(job, ring)),
            drawings=_pages(job, ring, pieces),
        ),
    )


def _pitch(job: Job) -> float:
    return 2 * math.pi / job.design.motor.poles


def magnet_ring_findings(job: Job) -> list[Finding]:
    """Say when the ring comes in pieces, or on tiles.

    Raises:
        Refused: see `magnet_ring`.
    """
    ring = rotor_ring_of(job)
    if ring is None or ring.coverage > 1.0:
        return []  # said by the rules of the ring
    pieces, across = _pieces(job, ring), 2 * _radii(job, ring)[1]
    if len(pieces) == 1:
        return sheet_findings(job.parts["magnet_ring"][0].drawings, "paper ring for the magnets")
    return [
        note(
            "magnet-ring-pieces",
            "print.page",
            f"paper ring for the magnets, {across:.0f} mm across, comes in {len(pieces)} pieces",
            value=across,
            fix="butt the pieces between two poles",
        )
    ]


def _pieces(job: Job, ring: RotorRing) -> tuple[range, ...]:
    """Return the poles of each page, as few even pieces as pages take; all of them if none fits.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    poles, paper = job.design.motor.poles, printing_paper(job.design.print)
    try:
        rooms = [paper.size(landscape) for landscape in (False, True)]
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None

    def fits(count: int) -> bool:
        x0, y0, x1, y1 = _region(job, ring, range(count)).box
        return any(x1 - x0 <= wide and y1 - y0 <= high for wide, high in rooms)

    most = next((n for n in (poles, *range(poles // 2, 0, -1)) if fits(n)), poles)
    count = math.ceil(poles / most)
    ends = [round(poles * n / count) for n in range(count + 1)]
    return tuple(range(a, b) for a, b in itertools.pairwise(ends))


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
        Arc(a, b, ORIGIN, True),
        Line(b, c),
        Arc(c, d, ORIGIN, False),
        Line(d, a),
    )
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


def _pages(job: Job, ring: RotorRing, pieces: tuple[range, ...]) -> tuple[Drawing, ...]:
    """Return the page of every piece, or the tiles of a ring whose poles fit no page."""
    paper = printing_paper(job.design.print)
    sheets: list[Sheet] = []
    for number, poles in enumerate(pieces, start=1):
        words = f"Piece {number} of {len(pieces)}: poles {poles[0] + 1} to {poles[-1] + 1}. Butt the pieces."
        notes = (CAUTIONS[0], *((words,) if len(pieces) > 1 else ()), *_notes(job, ring))
        figure = Figure(_items(job, ring, poles), (_region(job, ring, poles),), "the magnet ring")
        sheets += on_pages([figure], paper, notes)
    return tuple(bound(sheets, paper, f"{job.design.name}: magnet ring", job.revision))


def _items(job: Job, ring: RotorRing, poles: range) -> Items:
    """Return one piece, axis at the origin: pole 1 up on the whole ring, else its middle up."""
    whole = len(poles) == job.design.motor.poles
    first = TOOTH_1 - (0.0 if whole else (poles[0] + poles[-1]) / 2 * _pitch(job))
    items: list[Item] = list(edges(_region(job, ring, poles), "cut"))
    items.append(_bore(job, ring, poles, whole))
    how = _lettering(job, ring)
    for pole in poles:
        items += _pole(job, ring, pole, first, how)
    return tuple(items)


def _bore(job: Job, ring: RotorRing, poles: range, whole: bool) -> Stroke:
    if whole:
        return Stroke(Outline.circle(ORIGIN, ring.bore).segments, "mark")
    half = len(poles) * _pitch(job) / 2
    ends = [Point.polar(ring.bore, TOOTH_1 + s * half) for s in (-1, 1)]
    return Stroke((Arc(ends[0], ends[1], ORIGIN, True),), "mark")


@dataclass(frozen=True)
class _Lettering:
    """How poles are lettered.

    Args:
        inside: the letter stands in the magnet; else before the number.
        radius: where numbers stand, mm.
        step: every so many poles have a number, odd, so that both letters come up.
    """

    inside: bool
    radius: float
    step: int


def _lettering(job: Job, ring: RotorRing) -> _Lettering:
    """Return the roomiest lettering: numbers inside the magnets' faces, else on the steel ring."""
    rotor, poles = job.design.rotor, job.design.motor.poles
    thick, width = rotor.magnet_thickness or 0.0, 2 * ring.face * math.sin(ring.half_angle)
    inside = thick >= POLARITY + 0.4 and width >= text_width(NORTH, POLARITY) + 0.4
    wide = text_width(f"{poles}" if inside else f"{NORTH}{poles}", NUMBER) + 0.7
    inner, outer = _radii(job, ring)
    places = [ring.face - NUMBER_BACK] if ring.face - NUMBER_BACK - NUMBER / 2 > inner + 0.4 else []
    if outer - ring.bore >= NUMBER + 1.0:
        places.append((outer + ring.bore) / 2)
    for radius in places:
        # the inner corners of two neighbouring texts come nearest
        if 2 * (radius - NUMBER / 2) * math.sin(_pitch(job) / 2) >= wide:
            return _Lettering(inside, radius, 1)
    radius = max(places, default=ring.face - NUMBER_BACK)
    chord = 2 * (radius - NUMBER / 2) * math.sin(_pitch(job) / 2)
    step = max(1, math.ceil(wide / max(chord, 1e-3)))
    return _Lettering(inside, radius, step + 1 - step % 2)


def _pole(job: Job, ring: RotorRing, pole: int, first: float, how: _Lettering) -> list[Item]:
    """Return one pole: its magnets in the tone and letter of its polarity, and its number."""
    north, thick = pole % 2 == 0, job.design.rotor.magnet_thickness or 0.0
    items: list[Item] = []
    letter = NORTH if north else SOUTH
    for angle in places(job, pole):
        shape = footprint(job, ring, first + angle)
        items += [Fill((shape,), "sand" if north else "sky"), Stroke(shape.segments, "mark")]
        if how.inside:
            items.append(_word(first + angle, ring.face + thick / 2, letter, POLARITY))
    if pole % how.step == 0 and pole + how.step <= job.design.motor.poles:
        words = f"{pole + 1}" if how.inside else f"{letter}{pole + 1}"
        items.append(_word(first + _pitch(job) * pole, how.radius, words, NUMBER))
    return items


def _word(angle: float, radius: float, words: str, size: float) -> Text:
    spot = Point.polar(radius, angle)
    return Text(spot.x, spot.y, size, words, "centre", angle - math.pi / 2, "middle")


def _notes(job: Job, ring: RotorRing) -> tuple[str, ...]:
    rotor = job.design.rotor
    gap = 2 * math.pi * ring.face * (1 / ring.count) * (1 - ring.coverage)
    return (
        f"{ring.count} magnets {rotor.magnet_grade}, ring bore {2 * ring.bore:.2f} mm. N: this face of "
        "the magnet looks at the stator. Mark every magnet with a compass first.",
        f"Stand the ring on the line of its bore; about {gap:.1f} mm between neighbours at their faces.",
    )
