"""Jig for the leads, on paper, 1:1: a card on the coil heads that turns the stack to the wire slot.

Glued to card it does three things on the bench: sight notch over tooth 1 and mouth over the wire slot,
the stack stands as drawn on its axle; every lead-out of a terminal comes up in its notch, so none is
mixed up; the table tells how long a sleeve each one needs. Not checked: that the coil heads are level,
and the thickness of joints.

               tooth 1: sight notch
                 ____v____
              .-'         '-.      notch: as wide as a lead in its sleeve, where a lead-out comes up
             |  :         :  |     ring: every lead-out runs in to it, along it, and in to the mouth
             |  :  .---.  :  |
             |  '-( axle )-=====   mouth: over the wire slot of the axle
              '.   '---'   .'      slit: in the widest gap; open it to take the jig off again
                '-._____.-'

Angles count from the right, counter-clockwise as seen from the lead side, tooth 1 up. A coil's end
comes up beside its tooth, between the flank and the middle of the slot.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from geometry.drafting.drawing import Drawing, Item, Items, Lazy, Stroke, Text, edges, line
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.legible import Occupied
from geometry.drafting.sheet import table
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.tiles import Figure
from geometry.segment import Arc, Segment
from recipes.design.axle import Axle
from recipes.design.lamination import Lamination
from recipes.drawing_conventions import Imprint
from recipes.refusal import note
from recipes.rotor.hall_jig import SIGHT_DEPTH, SIGHT_WIDTH, cut_edges, notch_edges, sight_notch
from recipes.stator.slot import TOOTH_1
from recipes.true_scale import sheet_findings, true_scale_pages
from recipes.winding.circuit import Join, terminal_links
from recipes.winding.layout import WindingLayout
from recipes.winding.sense import over_end

#: Place of a coil's end between its tooth's axis (0) and the middle of the slot (1): a start lies beside
#: the flank, a finish up to the last layer off it.
BESIDE = 0.6

#: A notch is wider than its lead by this much, and at least so wide; material between two; mm.
SLEEVE, LEAST_NOTCH, BETWEEN = 1.0, 2.0, 1.2

#: Depth of a notch; material between mouth and notch that makes a plate of it; mm.
NOTCH_DEPTH, LEAST_PLATE = 4.0, 5.0

#: Place of the ring between hole (0) and notches (1): names stand outside it.
RING_SHARE = 0.35


@dataclass(frozen=True)
class LeadOut:
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
        ring: radius of the circle along which lead-outs run.
        notch: width of a notch.
        mouth: width of the mouth, as the wire slot's; it reaches out to the ring.
        direction: of the wire slot.
        lead_outs: in order of terminals.
    """

    rim: float
    hole: float
    ring: float
    notch: float
    mouth: float
    direction: float
    lead_outs: tuple[LeadOut, ...]

    @property
    def fits(self) -> bool:
        """Whether there is a plate between mouth and notches."""
        return self.rim - NOTCH_DEPTH - self.hole >= LEAST_PLATE and self.mouth < 1.8 * self.hole

    @cached_property
    def notched(self) -> bool:
        """Whether all notches, and the sight notch, keep material between each other."""
        marks = sorted(
            [(t.angle % (2 * math.pi), self.notch) for t in self.lead_outs]
            + [(TOOTH_1, SIGHT_WIDTH)]
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
                for a in (TOOTH_1, self.direction, *(t.angle for t in self.lead_outs))
            }
        )
        gaps = [b - a for a, b in zip(marks, [*marks[1:], marks[0] + 2 * math.pi], strict=True)]
        widest = max(range(len(gaps)), key=lambda k: (round(gaps[k], 9), -k))
        return TOOTH_1 + marks[widest] + gaps[widest] / 2


def lead_jig_plate(
    lamination: Lamination, axle: Axle, hole: float, layout: WindingLayout, joints: Sequence[Join]
) -> LeadJig:
    """Return the measures of the jig.

    Args:
        lamination, axle: as designed.
        hole: radius of its hole, which slides on the axle, mm.
        layout: phase and sense of every tooth.
        joints: of the winding.
    """
    rim = (lamination.outer_diameter - lamination.slot_depth) / 2
    ring = hole + RING_SHARE * (rim - NOTCH_DEPTH - hole)
    phase = [lead.outside_diameter for lead in axle.leads if "phase" in lead.name.lower()]
    notch = max(LEAST_NOTCH, max(phase, default=0.0) + SLEEVE)
    direction, half = math.radians(axle.wire_slot.angle), math.pi / layout.slots
    found = []
    for join in joints:
        if join.from_tooth is None and join.to_tooth is not None:
            terminal, tooth, end = join.from_end, join.to_tooth, join.to_end
        elif join.to_tooth is None and join.from_tooth is not None:
            terminal, tooth, end = join.to_end, join.from_tooth, join.from_end
        else:
            continue
        side = over_end(layout.teeth[tooth].sense) * (1 if end == "start" else -1)
        angle = TOOTH_1 + 2 * half * tooth + side * BESIDE * half
        turn = abs(math.remainder(angle - direction, 2 * math.pi))
        way = (rim - ring) + turn * ring + (ring - lamination.bore_diameter / 2)
        found.append(LeadOut(terminal, tooth, end, angle, way))
    found.sort(key=lambda t: (t.terminal, t.tooth))
    return LeadJig(rim, hole, ring, notch, axle.wire_slot.width, direction, tuple(found))


#: Rows of one table of lead-outs.
ROWS = 12

#: Distance of a name from the line of its lead-out, mm.
NAME_OFF = 2.2


def lead_jig(jig: LeadJig, connection: str, imprint: Imprint) -> tuple[Part, ...]:
    """Return the jig with its pages; none where there is no room for a plate.

    Args:
        jig: its measures.
        connection: "wye" or "delta".
        imprint: of the design.

    Raises (when its pages are looked at):
        Refused: the printer's rulers are out of range.
    """
    if not jig.fits:
        return ()
    region = _region(jig)
    notes = _notes(jig, connection)

    def pages() -> list[Drawing]:
        plate = Figure(_items(jig, region), (region,), "the jig for the leads")
        figures = [plate, *_tables(jig, imprint)]
        return true_scale_pages(figures, imprint, "jig for the leads", notes)

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
                "longest_way_mm": round(max(t.way for t in jig.lead_outs), 1),
            },
            notes=notes,
            drawings=Lazy(pages),
        ),
    )


def lead_jig_findings(parts: Sequence[Part], slot_depth: float) -> list[Finding]:
    """Say when the jig is left out, or comes on tiles.

    Args:
        parts: as of `lead_jig`.
        slot_depth: of the stator, mm.
    """
    if not parts:
        return [
            note(
                "lead-jig-left-out",
                "lamination.slot_depth",
                "jig for the leads: left out, no plate is left between the axle and the slots",
                value=slot_depth,
                fix="bring the leads out by the picture of the winding card",
            )
        ]
    return sheet_findings(parts[0].drawings, "jig for the leads")


def _region(jig: LeadJig) -> Region:
    """Return the plate without its slit, lead side up, tooth 1 up."""
    cuts = [(TOOTH_1, sight_notch(jig.rim, TOOTH_1))]
    if jig.notched:
        floor, half = jig.rim - NOTCH_DEPTH, jig.notch / 2
        angles = [t.angle for t in jig.lead_outs]
        cuts += [(a, notch_edges(jig.rim, floor, half, a)) for a in angles]
    cuts.sort(key=lambda c: c[0] % (2 * math.pi))
    run: list[Segment] = []
    for k, (_, cut) in enumerate(cuts):
        after = cuts[(k + 1) % len(cuts)][1][0].start
        run += [*cut, Arc(cut[-1].end, after, ORIGIN, True)]
    return Region(Outline(tuple(run)), (_hole(jig),))


def _hole(jig: LeadJig) -> Outline:
    """Return the hole with its mouth out to the ring."""
    half = jig.mouth / 2
    foot = math.sqrt(jig.hole**2 - half**2)
    spots = [(foot, -half), (jig.ring, -half), (jig.ring, half), (foot, half)]
    edge = cut_edges(spots, jig.direction)
    return Outline((*edge, Arc(edge[-1].end, edge[0].start, ORIGIN, True)))


def _items(jig: LeadJig, region: Region) -> Items:
    """Return the plate with slit, ways and names; axis at the origin."""
    lines: list[Stroke] = [s for s in edges(region, "cut") if isinstance(s, Stroke)]
    slit = [Point.polar(r, jig.slit) for r in (jig.hole, jig.rim)]
    lines.append(line(slit[0], slit[1], "cut"))
    inner = jig.rim - (NOTCH_DEPTH if jig.notched else 0.0)
    lines += [
        line(Point.polar(inner, t.angle), Point.polar(jig.ring, t.angle), "mark")
        for t in jig.lead_outs
    ]
    half = math.asin(min(1.0, jig.mouth / 2 / jig.ring))
    a, b = (Point.polar(jig.ring, jig.direction + s * half) for s in (1.0, -1.0))
    lines.append(Stroke((Arc(a, b, ORIGIN, True),), "mark"))  # from side to side of the mouth
    occupied = Occupied(lines)
    items: list[Item] = [*lines]
    wanted = [
        *(_names(jig, t) for t in jig.lead_outs),
        _radial(jig, TOOTH_1, jig.rim - SIGHT_DEPTH - 2.6, "tooth 1", 0.0),
        _radial(jig, jig.slit, (jig.ring + jig.rim) / 2, "slit", None),
        (
            text
            for said in ("wire slot", "slot")
            for text in _radial(
                jig, jig.direction, jig.ring + text_width(said, SMALLEST_TEXT) / 2 + 1.5, said, None
            )
        ),
    ]
    for places in wanted:
        text = occupied.first_free(places)
        if text is not None:
            items.append(text)
            occupied.add((text,))
    return tuple(items)


def _names(jig: LeadJig, lead_out: LeadOut) -> Iterator[Text]:
    """Yield places for a lead-out's name beside its line."""
    turn, name = _reading(lead_out.angle), lead_out.terminal
    for said in (f"{name} tooth {lead_out.tooth + 1}", f"{name} {lead_out.tooth + 1}", name):
        for share in (0.5, 0.35, 0.65):
            radius = jig.ring + share * (jig.rim - NOTCH_DEPTH - jig.ring)
            for side in (1.0, -1.0):
                p = Point(radius, side * NAME_OFF).rotated(lead_out.angle)
                yield Text(p.x, p.y, SMALLEST_TEXT, said, "centre", turn, "middle")


def _radial(
    jig: LeadJig, angle: float, radius: float, said: str, turn: float | None
) -> Iterator[Text]:
    """Yield places for a word near a direction: on it, then beside it, then farther in."""
    reading = _reading(angle) if turn is None else turn
    for inward in (0.0, 2.0, 4.0):
        for off in (0.0, NAME_OFF, -NAME_OFF, 5.0, -5.0, 8.0, -8.0):
            p = Point(max(radius - inward, jig.hole + 2.0), off).rotated(angle)
            yield Text(p.x, p.y, SMALLEST_TEXT, said, "centre", reading, "middle")


def _reading(angle: float) -> float:
    return angle if math.cos(angle) >= -1e-9 else angle + math.pi


def _tables(jig: LeadJig, imprint: Imprint) -> Iterator[Figure]:
    """Yield the tables of the lead-outs."""
    words = imprint.words
    head = ("terminal", "tooth", "coil end", f"way to the wire slot, {words.unit}")
    for first in range(0, len(jig.lead_outs), ROWS):
        rows = [
            (t.terminal, str(t.tooth + 1), t.end, words.size(round(t.way)))
            for t in jig.lead_outs[first : first + ROWS]
        ]
        yield Figure(table(0.0, 0.0, [head, *rows]).items)


def _notes(jig: LeadJig, connection: str) -> tuple[str, ...]:
    links = [" + ".join(group) for group in terminal_links(connection)]
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
