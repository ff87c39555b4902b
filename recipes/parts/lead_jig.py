"""Jig for the leads, on paper, 1:1: a card on the coil heads that turns the stack to the wire slot.

What it looks like: see `recipes.leads.jig`. Glued to card it does three things on the bench: sight
notch over tooth 1 and mouth over the wire slot, the stack stands as drawn on its axle; every tail of a
terminal comes up in its notch, so none is mixed up; the table tells how long a sleeve each one needs.
Not checked: that the coil heads are level, and the thickness of joints.
"""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Drawing, Item, Items, Stroke, Text, edges, line
from geometry.sheet.figure import Figure, on_pages
from geometry.sheet.font import SMALLEST_TEXT, text_width
from geometry.sheet.later import Later
from geometry.sheet.paper import bound
from geometry.sheet.table import table
from geometry.sheet.taken import Taken
from recipes.drawing_words import Words
from recipes.leads.jig import NOTCH_DEPTH, LeadJig, Tail, lead_jig_of
from recipes.parts.hall_jig import SIGHT_DEPTH, SIGHT_WIDTH
from recipes.parts.lamination import TOOTH_1
from recipes.printing.paper import job_paper, sheet_findings
from recipes.refusal import Refused, finding, misfit
from recipes.winding.circuit import require_legal
from recipes.winding.paths import terminal_links

if TYPE_CHECKING:
    from collections.abc import Iterator

    from geometry.finding import Finding
    from recipes.job import Job

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
            drawings=Later(partial(_pages, job, jig, region)),
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
            finding(
                "note", "lead-jig-left-out", "lamination.slot_depth",
                job.design.lamination.slot_depth, None,
                "jig for the leads: left out, no plate is left between the axle and the slots",
                "bring the leads out by the picture of the winding card",
            )
        ]  # fmt: skip
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
    for said in (f"{tail.terminal} tooth {tail.tooth + 1}", f"{tail.terminal} {tail.tooth + 1}",
                 tail.terminal):  # fmt: skip
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
    paper, words = job_paper(job), Words(job.design.units == "in")
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
