"""Jig for the leads, on paper, 1:1: a card on the coil heads that turns the stack to the wire slot.

What it looks like: see `recipes.shaft.lead_jig`. Glued to card it does three things on the bench: sight
notch over tooth 1 and mouth over the wire slot, the stack stands as drawn on its axle; every tail of a
terminal comes up in its notch, so none is mixed up; the table tells how long a sleeve each one needs.
Not checked: that the coil heads are level, and the thickness of joints.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TYPE_CHECKING

from geometry.drafting.drawing import Drawing, Item, Items, Stroke, Text, edges, line
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.lazy import Lazy
from geometry.drafting.occupied import Taken
from geometry.drafting.table import table
from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.page import bound
from geometry.printing.tiles import Figure, on_pages
from geometry.segment import Arc, Line, Segment
from recipes.drawing_conventions import Words
from recipes.job import Job
from recipes.refusal import Refused, misfit, note
from recipes.rotor.hall_jig import SIGHT_DEPTH, SIGHT_WIDTH, hole_radius
from recipes.stator.lamination import TOOTH_1
from recipes.true_scale import printing_paper, sheet_findings
from recipes.winding.circuit import joint_list, require_legal, terminal_links

if TYPE_CHECKING:
    from collections.abc import Iterator


#     Where the tails of the terminals come up, and their way over the lead jig to the wire slot.
#
#                    tooth 1: sight notch
#                  ____v____
#               .-'         '-.      notch: as wide as a lead in its sleeve, where a tail comes up
#              |  :         :  |     ring: every tail runs in to it, along it, and in to the mouth
#              |  :  .---.  :  |
#              |  '-( axle )-=====   mouth: over the wire slot of the axle
#               '.   '---'   .'      slit: in the widest gap; open it to take the jig off again
#                 '-._____.-'
#
# Angles count from the right, counter-clockwise as seen from the lead side, tooth 1 up. A coil's end
# comes up beside its tooth, between the flank and the middle of the slot.

#: Place of a coil's end between its tooth's axis (0) and the middle of the slot (1).
BESIDE = 0.75

#: A notch is wider than its lead by this much, and at least so wide; material between two; mm.
SLEEVE, LEAST_NOTCH, BETWEEN = 1.0, 2.0, 1.5

#: Depth of a notch; material between mouth and notch that makes a plate of it; mm.
NOTCH_DEPTH, LEAST_PLATE = 4.0, 5.0


#: Place of the ring between hole (0) and notches (1): names stand outside it.
RING_SHARE = 0.35


@dataclass(frozen=True)
class Tail:
    """A coil's end that goes to a terminal.

    Args:
        terminal: such as "U1" (IEC 60034-8).
        tooth: index.
        end: "start" or "finish".
        angle: where it comes up, rad.
        way: from its notch over the plate to the wall of the axle, mm.
    """

    terminal: str
    tooth: int
    end: str
    angle: float
    way: float


@dataclass(frozen=True)
class LeadJig:
    """Measures of the plate, mm and rad.

    Args:
        rim, hole: radii.
        ring: radius of the circle along which tails run.
        notch: width of a notch.
        mouth: width of the mouth, as the wire slot's; it reaches out to the ring.
        direction: of the wire slot.
        tails: in order of terminals.
        slots: of the stator.
    """

    rim: float
    hole: float
    ring: float
    notch: float
    mouth: float
    direction: float
    tails: tuple[Tail, ...]
    slots: int

    @property
    def fits(self) -> bool:
        """Whether there is a plate between mouth and notches."""
        return self.rim - NOTCH_DEPTH - self.hole >= LEAST_PLATE and self.mouth < 1.8 * self.hole

    @cached_property
    def notched(self) -> bool:
        """Whether all notches, and the sight notch, keep material between each other."""
        marks = sorted(
            [(t.angle % (2 * math.pi), self.notch) for t in self.tails] + [(TOOTH_1, SIGHT_WIDTH)]
        )
        after = [*marks[1:], (marks[0][0] + 2 * math.pi, marks[0][1])]
        return all(
            2 * self.rim * math.sin(min(b - a, math.pi) / 2) >= (wide + next_wide) / 2 + BETWEEN
            for (a, wide), (b, next_wide) in zip(marks, after, strict=True)
        )

    @cached_property
    def slit(self) -> float:
        """Direction of the slit, rad: the middle of the widest gap in the rim, off the mouth."""
        marks = sorted(
            {
                (a - TOOTH_1) % (2 * math.pi)
                for a in (TOOTH_1, self.direction, *(t.angle for t in self.tails))
            }
        )
        gaps = [b - a for a, b in zip(marks, [*marks[1:], marks[0] + 2 * math.pi], strict=True)]
        widest = max(range(len(gaps)), key=lambda k: (round(gaps[k], 9), -k))
        return TOOTH_1 + marks[widest] + gaps[widest] / 2


def lead_jig_of(job: Job) -> LeadJig:
    """Return the measures of the jig.

    Raises:
        Refused: no winding, or features of the axle that overlap.
    """
    design = job.design
    lam, slot = design.lamination, design.axle.wire_slot
    rim, hole = (lam.outer_diameter - lam.slot_depth) / 2, hole_radius(job)
    ring = hole + RING_SHARE * (rim - NOTCH_DEPTH - hole)
    phase = [lead.outside_diameter for lead in design.axle.leads if "phase" in lead.name.lower()]
    notch = max(LEAST_NOTCH, max(phase, default=0.0) + SLEEVE)
    direction = math.radians(slot.angle)
    return LeadJig(
        rim,
        hole,
        ring,
        notch,
        slot.width,
        direction,
        tuple(_tails(job, rim, ring, direction)),
        design.motor.slots,
    )


def _tails(job: Job, rim: float, ring: float, direction: float) -> list[Tail]:
    winding, paths = job.layout, job.design.winding.parallel_paths
    half = math.pi / winding.slots
    found = []
    for join in joint_list(winding, paths):
        if join.from_tooth is None and join.to_tooth is not None:
            terminal, tooth, end = join.from_end, join.to_tooth, join.to_end
        elif join.to_tooth is None and join.from_tooth is not None:
            terminal, tooth, end = join.to_end, join.from_tooth, join.from_end
        else:
            continue
        side = winding.teeth[tooth].sense * (1 if end == "start" else -1)
        angle = TOOTH_1 + 2 * half * tooth + side * BESIDE * half
        turn = abs(math.remainder(angle - direction, 2 * math.pi))
        way = (rim - ring) + turn * ring + (ring - job.design.lamination.bore_diameter / 2)
        found.append(Tail(terminal, tooth, end, angle, way))
    return sorted(found, key=lambda t: (t.terminal, t.tooth))


#: Rows of one table of tails.
ROWS = 12

#: Distance of a name from the line of its tail, mm.
ASIDE = 2.2


def lead_jig(job: Job) -> tuple[Part, ...]:
    """Return the jig with its pages; none where there is no room for a plate.

    Raises:
        Refused: no winding, paths of unequal voltage, no such bearing, features of the axle overlap, or the printer's rulers
            are out of range.
    """
    require_legal(job)
    jig = lead_jig_of(job)
    if not jig.fits:
        return ()
    region = _region(jig)
    return (
        Part(
            name="lead_jig",
            cut=(region,),
            material="paper on card",
            thickness=0.0,
            quantity=1,
            settings={
                "hole_diameter_mm": round(2 * jig.hole, 4),
                "rim_diameter_mm": round(2 * jig.rim, 4),
                "notch_width_mm": round(jig.notch, 4),
                "longest_way_mm": round(max(t.way for t in jig.tails), 1),
            },
            notes=_notes(job, jig),
            drawings=Lazy(partial(_pages, job, jig, region)),
        ),
    )


def lead_jig_findings(job: Job) -> list[Finding]:
    """Say when the jig is left out, or comes on tiles.

    Raises:
        Refused: see `lead_jig`.
    """
    parts = job.parts["lead_jig"]
    if not parts:
        return [
            note(
                "lead-jig-left-out",
                "lamination.slot_depth",
                "jig for the leads: left out, no plate is left between the axle and the slots",
                value=job.design.lamination.slot_depth,
                fix="bring the leads out by the picture of the winding card",
            )
        ]
    return sheet_findings(parts[0].drawings, "jig for the leads")


def _region(jig: LeadJig) -> Region:
    """Return the plate without its slit, lead side up, tooth 1 up."""
    cuts = [(TOOTH_1, SIGHT_WIDTH, _sight(jig))]
    if jig.notched:
        cuts += [(t.angle, jig.notch, _notch(jig, t.angle)) for t in jig.tails]
    cuts.sort(key=lambda c: c[0] % (2 * math.pi))
    run: list[Segment] = []
    for k, (_, _, cut) in enumerate(cuts):
        after = cuts[(k + 1) % len(cuts)][2][0].start
        run += [*cut, Arc(cut[-1].end, after, ORIGIN, True)]
    return Region(Outline(tuple(run)), (_hole(jig),))


def _sight(jig: LeadJig) -> list[Segment]:
    half = SIGHT_WIDTH / 2
    mouth = math.sqrt(jig.rim**2 - half**2)
    return _open([(mouth, -half), (mouth - SIGHT_DEPTH, 0.0), (mouth, half)], TOOTH_1)


def _notch(jig: LeadJig, angle: float) -> list[Segment]:
    half, floor = jig.notch / 2, jig.rim - NOTCH_DEPTH
    mouth = math.sqrt(jig.rim**2 - half**2)
    return _open([(mouth, -half), (floor, -half), (floor, half), (mouth, half)], angle)


def _open(points: list[tuple[float, float]], angle: float) -> list[Segment]:
    spots = [Point(*p).rotated(angle) for p in points]
    return [Line(a, b) for a, b in zip(spots, spots[1:], strict=False)]  # noqa: RUF007


def _hole(jig: LeadJig) -> Outline:
    """Return the hole with its mouth out to the ring."""
    half = jig.mouth / 2
    foot = math.sqrt(jig.hole**2 - half**2)
    spots = [(foot, -half), (jig.ring, -half), (jig.ring, half), (foot, half)]
    edge = _open(spots, jig.direction)
    return Outline((*edge, Arc(edge[-1].end, edge[0].start, ORIGIN, True)))


def _items(jig: LeadJig, region: Region) -> Items:
    """Return the plate with slit, ways and names; axis at the origin."""
    lines: list[Stroke] = [s for s in edges(region, "cut") if isinstance(s, Stroke)]
    slit = [Point.polar(r, jig.slit) for r in (jig.hole, jig.rim)]
    lines.append(line(slit[0], slit[1], "cut"))
    inner = jig.rim - (NOTCH_DEPTH if jig.notched else 0.0)
    lines += [
        line(Point.polar(inner, t.angle), Point.polar(jig.ring, t.angle), "mark") for t in jig.tails
    ]
    lines += _ring(jig)
    taken = Taken(lines)
    items: list[Item] = [*lines]
    wanted = [
        *(_names(jig, t) for t in jig.tails),
        _along(jig, TOOTH_1, jig.rim - SIGHT_DEPTH - 2.6, "tooth 1", 0.0),
        _along(jig, jig.slit, (jig.ring + jig.rim) / 2, "slit", None),
        (
            text
            for said in ("wire slot", "slot")
            for text in _along(jig, jig.direction, jig.ring + _beyond(said), said, None)
        ),
    ]
    for places in wanted:
        text = taken.first_free(places)
        if text is not None:
            items.append(text)
            taken.add((text,))
    return tuple(items)


def _ring(jig: LeadJig) -> Iterator[Stroke]:
    """Yield the circle along which tails run, from side to side of the mouth."""
    half = math.asin(min(1.0, jig.mouth / 2 / jig.ring))
    a, b = (Point.polar(jig.ring, jig.direction + s * half) for s in (1.0, -1.0))
    yield Stroke((Arc(a, b, ORIGIN, True),), "mark")


def _names(jig: LeadJig, tail: Tail) -> Iterator[Text]:
    """Yield places for a tail's name beside its line."""
    turn = _reading(tail.angle)
    for said in (
        f"{tail.terminal} tooth {tail.tooth + 1}",
        f"{tail.terminal} {tail.tooth + 1}",
        tail.terminal,
    ):
        for share in (0.5, 0.35, 0.65):
            along = jig.ring + share * (jig.rim - NOTCH_DEPTH - jig.ring)
            for side in (1.0, -1.0):
                p = Point(along, side * ASIDE).rotated(tail.angle)
                yield Text(p.x, p.y, SMALLEST_TEXT, said, "centre", turn, "middle")


def _along(
    jig: LeadJig, angle: float, radius: float, said: str, turn: float | None
) -> Iterator[Text]:
    """Yield places for a word near a direction: on it, then beside it, then farther in."""
    reading = _reading(angle) if turn is None else turn
    for inward in (0.0, 2.0, 4.0):
        for aside in (0.0, ASIDE, -ASIDE, 5.0, -5.0, 8.0, -8.0):
            p = Point(max(radius - inward, jig.hole + 2.0), aside).rotated(angle)
            yield Text(p.x, p.y, SMALLEST_TEXT, said, "centre", reading, "middle")


def _beyond(said: str) -> float:
    """Return how far beyond the ring a word along a direction has its middle, mm."""
    return text_width(said, SMALLEST_TEXT) / 2 + 1.5


def _reading(angle: float) -> float:
    return angle if math.cos(angle) >= -1e-9 else angle + math.pi


def _pages(job: Job, jig: LeadJig, region: Region) -> tuple[Drawing, ...]:
    """Return plate and table at true size, the plate on tiles if no page holds it."""
    paper, words = printing_paper(job.design.print), Words(job.design.units == "in")
    head = ("terminal", "tooth", "coil end", f"way to the wire slot, {words.unit}")
    tables = []
    for first in range(0, len(jig.tails), ROWS):
        rows = [
            (t.terminal, str(t.tooth + 1), t.end, words.size(round(t.way)))
            for t in jig.tails[first : first + ROWS]
        ]
        tables.append(Figure(table(0.0, 0.0, [head, *rows]).items))
    plate = Figure(_items(jig, region), (region,), "the jig for the leads")
    try:
        sheets = on_pages([plate, *tables], paper, _notes(job, jig))
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None
    return tuple(bound(sheets, paper, f"{job.design.name}: jig for the leads", job.revision))


def _notes(job: Job, jig: LeadJig) -> tuple[str, ...]:
    links = [" + ".join(group) for group in terminal_links(job.design.winding.connection)]
    joined = "star point, stays on the coils" if len(links) == 1 else "one lead each"
    notched = (
        "Lay each tail into its notch before you join it."
        if jig.notched
        else "Too many tails for notches: tie each one at its line."
    )
    return (
        "Lead side up. Sight notch over tooth 1, mouth over the wire slot: so the stack stands on its axle.",
        f"{notched} Lead wires run over the card into the mouth.",
        f"{', '.join(links)}: {joined}.",
        "Keep Hall leads on the other side. Joints tied down, open the slit, take the card off.",
    )
