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
from collections.abc import Iterator
from dataclasses import dataclass

from geometry.drafting.drawing import Fill, Item, Stroke, Text, Tone, edges
from geometry.drafting.font import text_width
from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.page import Paper, Sheet, bound
from geometry.printing.tiles import Figure, on_pages
from geometry.segment import Arc, Line
from recipes.design.rotor import Rotor
from recipes.design.units import counted
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit, note
from recipes.rotor.ring import CAUTIONS, RotorRing
from recipes.stator.slot import TOOTH_1
from recipes.true_scale import printing_paper, sheet_findings

#: Paper inside the magnets' faces, and outside the bore where the ring's thickness is not given, mm.
INSIDE, OUTSIDE = 9.0, 6.0

#: Distance of the pole's number from the magnet's face; its height and that of the polarity, mm.
NUMBER_BACK, NUMBER, POLARITY = 3.5, 2.5, 2.5

#: Letter and tone of the face that looks at the stator: poles 1, 3, 5 ..., and 2, 4, 6 ...
POLARITIES: tuple[tuple[str, Tone], ...] = (("N", "sand"), ("S", "sky"))


@dataclass(frozen=True)
class PaperRing:
    """The ring of paper, axis at the origin; radii in mm.

    Args:
        inner, outer: its edges.
        bore: of the steel ring.
        poles: number of poles all round.
    """

    inner: float
    outer: float
    bore: float
    poles: int

    @property
    def pitch(self) -> float:
        """Angle from pole to pole, rad."""
        return 2 * math.pi / self.poles

    def ends(self, poles: range) -> tuple[float, float]:
        """Return the directions in rad in which a piece of some poles begins and ends, middle up."""
        half = len(poles) * self.pitch / 2
        return TOOTH_1 - half, TOOTH_1 + half

    def region(self, poles: range) -> Region:
        """Return the whole ring, or the piece for these poles with its middle up."""
        if len(poles) == self.poles:
            return Region(Outline.circle(ORIGIN, self.outer), (Outline.circle(ORIGIN, self.inner),))
        return Region(_sector(self.inner, self.outer, *self.ends(poles)))


def magnet_ring(
    rotor: Rotor, poles: int, ring: RotorRing | None, imprint: Imprint
) -> tuple[Part, ...]:
    """Return the ring as one part with its pages; none without magnets that go round.

    Args:
        rotor: table of the design.
        poles: number of poles.
        ring: what follows from the magnets; None without any.
        imprint: of the design.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    if ring is None or ring.coverage > 1.0:
        return ()
    outside = OUTSIDE if rotor.ring_thickness is None else rotor.ring_thickness
    inner, outer = max(ring.face - INSIDE, 0.2 * ring.face), ring.bore + outside
    paper_ring = PaperRing(inner, outer, ring.bore, poles)
    paper = printing_paper(imprint.printer)
    pieces = _pieces(paper_ring, paper)
    notes = tuple(map(imprint.said, _notes(rotor.magnet_grade, ring)))
    sheets: list[Sheet] = []
    for number, piece in enumerate(pieces, start=1):
        words = f"Piece {number} of {len(pieces)}: poles {piece[0] + 1} to {piece[-1] + 1}. Butt the pieces."
        items = tuple(_items(rotor, ring, paper_ring, piece))
        figure = Figure(items, (paper_ring.region(piece),), "the magnet ring")
        sheets += on_pages(
            [figure],
            paper,
            (imprint.said(CAUTIONS[0]), *((words,) if len(pieces) > 1 else ()), *notes),
        )
    drawings = bound(sheets, paper, f"{imprint.name}: magnet ring", imprint.revision)
    return (
        Part(
            name="magnet_ring",
            cut=(paper_ring.region(range(poles)),),
            material="paper or card",
            thickness=0.0,
            quantity=1,
            settings={
                "magnets": ring.count,
                "ring_bore_mm": round(2 * ring.bore, 4),
                "pieces": len(pieces),
            },
            notes=(*CAUTIONS, *notes),
            drawings=tuple(drawings),
        ),
    )


def magnet_ring_findings(made: tuple[Part, ...]) -> list[Finding]:
    """Say when the ring comes in pieces, or on tiles.

    Args:
        made: as `magnet_ring` returns it; what is wrong with the magnets, their own rules say.
    """
    if not made:
        return []
    (part,) = made
    pieces, across = int(part.settings["pieces"]), part.box[2] - part.box[0]
    if pieces == 1:
        return sheet_findings(part.drawings, "paper ring for the magnets")
    return [
        note(
            "magnet-ring-pieces",
            "print.page",
            f"paper ring for the magnets, {across:.0f} mm across, comes in {counted(pieces, 'piece')}",
            value=across,
            fix="butt the pieces between two poles",
        )
    ]


def _pieces(ring: PaperRing, paper: Paper) -> tuple[range, ...]:
    """Return the poles of each page, as few even pieces as pages take; all of them if none fits.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    try:
        sizes = [paper.size(landscape) for landscape in (False, True)]
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None

    def fits(count: int) -> bool:
        x0, y0, x1, y1 = ring.region(range(count)).box
        return any(x1 - x0 <= wide and y1 - y0 <= high for wide, high in sizes)

    most = next((n for n in (ring.poles, *range(ring.poles // 2, 0, -1)) if fits(n)), ring.poles)
    count = math.ceil(ring.poles / most)
    ends = [round(ring.poles * n / count) for n in range(count + 1)]
    return tuple(range(a, b) for a, b in itertools.pairwise(ends))


def _sector(inner: float, outer: float, low: float, high: float) -> Outline:
    """Return the outline between two radii in mm and two directions in rad."""
    a, b = Point.polar(outer, low), Point.polar(outer, high)
    c, d = Point.polar(inner, high), Point.polar(inner, low)
    return Outline((Arc(a, b, ORIGIN, True), Line(b, c), Arc(c, d, ORIGIN, False), Line(d, a)))


def footprint(rotor: Rotor, ring: RotorRing, angle: float) -> Outline:
    """Return the outline of one magnet whose middle lies in the direction `angle` (rad), mm."""
    thick, half = rotor.magnet_thickness or 0.0, (rotor.magnet_width or 0.0) / 2
    inner, outer = ring.face, ring.face + thick
    if rotor.magnet_shape == "block":
        corners = ((inner, -half), (outer, -half), (outer, half), (inner, half))
        return Outline.polygon([Point(*c).rotated(angle) for c in corners])
    turn = ring.half_angle
    return _sector(inner, outer, angle - turn, angle + turn)


def places(poles: int, magnets_per_pole: int, pole: int) -> tuple[float, ...]:
    """Return the directions in rad from the middle of pole 0 of the magnets of one pole by its index.

    All magnets stand at equal steps round the ring.
    """
    pitch, middle = 2 * math.pi / poles, (magnets_per_pole - 1) / 2
    return tuple(
        pitch * pole + (k - middle) * (pitch / magnets_per_pole) for k in range(magnets_per_pole)
    )


def _items(rotor: Rotor, ring: RotorRing, paper: PaperRing, poles: range) -> Iterator[Item]:
    """Yield one piece, axis at the origin: pole 1 up on the whole ring, else its middle up.

    Each pole has its magnets in the tone and letter of its polarity, and its number.
    """
    whole = len(poles) == paper.poles
    yield from edges(paper.region(poles), "cut")
    if whole:
        yield Stroke(Outline.circle(ORIGIN, paper.bore).segments, "mark")
    else:
        start, end = (Point.polar(paper.bore, a) for a in paper.ends(poles))
        yield Stroke((Arc(start, end, ORIGIN, True),), "mark")
    first = TOOTH_1 - (0.0 if whole else (poles[0] + poles[-1]) / 2 * paper.pitch)
    thick = rotor.magnet_thickness or 0.0
    lettering = _lettering(thick, ring, paper)
    for pole in poles:
        letter, tone = POLARITIES[pole % 2]
        for angle in places(paper.poles, rotor.magnets_per_pole, pole):
            shape = footprint(rotor, ring, first + angle)
            yield Fill((shape,), tone)
            yield Stroke(shape.segments, "mark")
            if lettering.inside:
                yield _word(first + angle, ring.face + thick / 2, letter, POLARITY)
        if pole % lettering.step == 0 and pole + lettering.step <= paper.poles:
            words = f"{pole + 1}" if lettering.inside else f"{letter}{pole + 1}"
            yield _word(first + paper.pitch * pole, lettering.radius, words, NUMBER)


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


def _lettering(thick: float, ring: RotorRing, paper: PaperRing) -> _Lettering:
    """Return the roomiest lettering: numbers inside the magnets' faces, else on the steel ring."""
    width = 2 * ring.face * math.sin(ring.half_angle)
    inside = thick >= POLARITY + 0.4 and width >= text_width("N", POLARITY) + 0.4
    wide = text_width(f"{paper.poles}" if inside else f"N{paper.poles}", NUMBER) + 0.7
    within = ring.face - NUMBER_BACK
    radii = [within] if within - NUMBER / 2 > paper.inner + 0.4 else []
    if paper.outer - ring.bore >= NUMBER + 1.0:
        radii.append((paper.outer + ring.bore) / 2)

    def chord(radius: float) -> float:
        """Return how near the inner corners of two neighbouring texts come, mm."""
        return 2 * (radius - NUMBER / 2) * math.sin(paper.pitch / 2)

    for radius in radii:
        if chord(radius) >= wide:
            return _Lettering(inside, radius, 1)
    radius = max(radii, default=within)
    step = max(1, math.ceil(wide / max(chord(radius), 1e-3)))
    return _Lettering(inside, radius, step + 1 - step % 2)


def _word(angle: float, radius: float, words: str, size: float) -> Text:
    spot = Point.polar(radius, angle)
    return Text(spot.x, spot.y, size, words, "centre", angle - math.pi / 2, "middle")


def _notes(grade: str, ring: RotorRing) -> tuple[str, ...]:
    gap = 2 * math.pi * ring.face * (1 / ring.count) * (1 - ring.coverage)
    return (
        f"{ring.count} magnets {grade}, ring bore {2 * ring.bore:.2f} mm. N: this face of "
        "the magnet looks at the stator. Mark every magnet with a compass first.",
        f"Stand the ring on the line of its bore; about {gap:.1f} mm between neighbours at their faces.",
    )
