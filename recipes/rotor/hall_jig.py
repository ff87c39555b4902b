"""Jig for the Hall sensors: a flat plate on the axle, on the lead side, with a pocket for each.

              tooth 1: sight notch in the rim
                 _____v_____
              .-'           '-|_|   pocket: body_width + 2 glue_gap wide, its floor body_thickness
             |      ___      .'     behind the rim; faces flush with the rim, which stands
              '._  ( o )  _.'       stand_back behind the teeth
                 '-.___.-'   hole: slides on the axle; the rest of the plate is left away

Origin: axis of the motor, seen from the lead side, tooth 1 up, as the lamination is drawn. Not
checked: that the plate lies level on the coil heads; pack it up there.
"""

from __future__ import annotations

import math
from itertools import pairwise

from geometry.drafting.drawing import Drawing, Item, Items, Text, edges, line
from geometry.errors import GeometryError
from geometry.fillet import fillet
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.page import bound
from geometry.printing.tiles import Figure, on_pages
from geometry.segment import Arc, Line, Segment
from recipes.job import Job
from recipes.refusal import Refused, misfit, note
from recipes.rotor.hall_sensors import HallSet, chosen_set
from recipes.stator.slot import TOOTH_1
from recipes.true_scale import printing_paper, sheet_findings

#: Play of the hole on the axle, on the diameter; depth and width of the sight notch, mm.
PLAY, SIGHT_DEPTH, SIGHT_WIDTH = 0.2, 1.6, 1.4

#: Material round the hole, behind a pocket, and beside one along the rim, mm.
HUB, BEHIND, BESIDE = 8.0, 3.0, 6.0

#: A gap between pockets of at least this angle is left away, rad; round of its inner corners, mm.
OPEN, ROUND = math.radians(50.0), 3.0

_CAUTION = "Magnets stay away until the glue has set: they would pull the plate and pinch fingers."


def hall_jig(job: Job) -> tuple[Part, ...]:
    """Return the jig; none without sensors, without slots for them, or without room.

    Raises:
        Refused: no slot, no such wire or bearing, features of the axle overlap, or the printer's
            rulers are out of range.
    """
    chosen = chosen_set(job)
    if chosen is None or _no_room(job, chosen):
        return ()
    region = _region(job, chosen)
    return (
        Part(
            name="hall_jig",
            cut=(region,),
            material="plywood, acrylic or printed plastic",
            thickness=job.design.hall.jig_thickness,
            quantity=1,
            settings={
                "slots": " ".join(str(k + 1) for k in chosen.slots),
                "hole_diameter_mm": round(2 * hole_radius(job), 4),
                "rim_radius_mm": round(rim_radius(job), 4),
            },
            notes=_notes(chosen),
            drawings=_pages(job, chosen, region),
        ),
    )


def rim_radius(job: Job) -> float:
    """Return the radius in mm at which the sensors' faces end."""
    return job.design.lamination.outer_diameter / 2 - job.design.hall.stand_back


def hole_radius(job: Job) -> float:
    """Return the radius in mm of the hole: it passes all of the axle from face A to the stack."""
    before = []
    for section in job.sections:
        if section.kind == "stator":
            break
        before.append(section.diameter)
    return (max(before, default=job.design.lamination.bore_diameter) + PLAY) / 2


def floor_distance(job: Job) -> float:
    """Return the distance in mm from the axis to the flat floor of a pocket."""
    hall = job.design.hall
    return math.sqrt(rim_radius(job) ** 2 - (hall.body_width / 2) ** 2) - hall.body_thickness


def _half_width(job: Job) -> float:
    return job.design.hall.body_width / 2 + job.design.hall.glue_gap


def _no_room(job: Job, chosen: HallSet) -> str:
    """Return why there is no jig, else an empty text."""
    rim, half = rim_radius(job), _half_width(job)
    if half >= rim or hole_radius(job) + HUB + BEHIND > floor_distance(job):
        return "the axle is too thick, or the stator too small, for a plate with pockets"
    angles = sorted(math.radians(a) for a in chosen.mechanical_deg)
    steps = [b - a for a, b in zip(angles, [*angles[1:], angles[0] + 2 * math.pi], strict=True)]
    if 2 * floor_distance(job) * math.sin(min(steps) / 2) < 2 * half + 1.5:
        return "the pockets would meet"
    return ""


def _region(job: Job, chosen: HallSet) -> Region:
    """Return the plate, tooth 1 up."""
    rim = rim_radius(job)
    floor, half = floor_distance(job), _half_width(job)
    angles = [math.radians(a) for a in chosen.mechanical_deg]
    cuts = [(a, notch_edges(rim, floor, half, a)) for a in angles]
    sight = math.pi / job.design.motor.slots
    if sight * rim > _half_width(job) + SIGHT_WIDTH / 2 + 1.0:
        cuts.append((0.0, sight_notch(rim, 0.0)))
    cuts.sort(key=lambda c: c[0])
    ends = [b for b, _ in cuts[1:]] + [cuts[0][0] + 2 * math.pi]
    gaps = [b - a for (a, _), b in zip(cuts, ends, strict=True)]
    widest = max(range(len(gaps)), key=lambda k: (round(gaps[k], 9), -k))
    ordered = [*cuts[widest + 1 :], *cuts[: widest + 1]]
    margin = (_half_width(job) + BESIDE) / rim
    hole = (Outline.circle(ORIGIN, hole_radius(job)),)
    if gaps[widest] - 2 * margin < OPEN:
        loop = _rim([c for _, c in ordered], None, None)
        return Region(Outline(tuple(loop)), hole).rotated(TOOTH_1)
    start = Point.polar(rim, ordered[0][0] - margin)
    stop = Point.polar(rim, ordered[-1][0] + margin)
    run = _rim([c for _, c in ordered], start, stop)
    hub = hole_radius(job) + HUB
    back = _back(start, stop, hub, rim)
    return Region(Outline((*run, *back)), hole).rotated(TOOTH_1)


def _rim(cuts: list[list[Segment]], start: Point | None, stop: Point | None) -> list[Segment]:
    """Return the rim from `start` to `stop` with its cuts; without them, all round."""
    run: list[Segment] = []
    at = start
    for cut in cuts:
        if at is not None:
            run.append(Arc(at, cut[0].start, ORIGIN, True))
        run += cut
        at = cut[-1].end
    last = stop if stop is not None else cuts[0][0].start
    assert at is not None
    run.append(Arc(at, last, ORIGIN, True))
    return run


def _back(start: Point, stop: Point, hub: float, rim: float) -> tuple[Segment, ...]:
    """Return the way from the rim's end round the hub to its start, inner corners rounded."""
    into, out = stop.times(hub / rim), start.times(hub / rim)
    down: Segment = Line(stop, into)
    ring: Segment = Arc(into, out, ORIGIN, True)
    up: Segment = Line(out, start)
    radius = min(ROUND, (rim - hub) / 3)
    down, first, ring = fillet(down, ring, radius)
    ring, second, up = fillet(ring, up, radius)
    return down, first, ring, second, up


def notch_edges(rim: float, floor: float, half: float, angle: float) -> list[Segment]:
    """Return the edges of a notch with a flat floor in a round rim, in a direction in rad.

    Args:
        rim: radius, mm.
        floor: distance of the floor from the axis, mm.
        half: half the width, mm.
        angle: as said.
    """
    mouth = math.sqrt(rim**2 - half**2)
    return cut_edges([(mouth, -half), (floor, -half), (floor, half), (mouth, half)], angle)


def sight_notch(rim: float, angle: float) -> list[Segment]:
    """Return the edges of a sight notch in a rim of radius `rim` mm, in a direction in rad."""
    half = SIGHT_WIDTH / 2
    mouth = math.sqrt(rim**2 - half**2)
    return cut_edges([(mouth, -half), (mouth - SIGHT_DEPTH, 0.0), (mouth, half)], angle)


def cut_edges(points: list[tuple[float, float]], angle: float) -> list[Segment]:
    """Return the lines that join points one after the other, turned by an angle in rad."""
    spots = [Point(*p).rotated(angle) for p in points]
    return [Line(a, b) for a, b in pairwise(spots)]


def _notes(chosen: HallSet) -> tuple[str, ...]:
    slots = ", ".join(str(k + 1) for k in chosen.slots)
    turned = [str(n) for n, inverted in enumerate(chosen.inverted, 1) if inverted]
    faces = (
        f"Sensor {' and '.join(turned)} is turned face about, the others face the magnets."
        if turned
        else "All faces look at the magnets."
    )
    return (
        _CAUTION,
        "Lead side up: numbers run counter-clockwise. Turn it until the sight notch stands over tooth 1.",
        f"Sensors H1, H2, H3 over slots {slots}. {faces}",
        "Sensors flush with the rim; nothing may stand out. Glue them to the stack, not to the plate: "
        "wax the plate.",
    )


def _pages(job: Job, chosen: HallSet, region: Region) -> tuple[Drawing, ...]:
    """Return the plate at true size, on tiles if no page holds it."""
    paper = printing_paper(job.design.print)
    figure = Figure(_items(job, chosen, region), (region,), "the jig for Hall sensors")
    try:
        sheets = on_pages([figure], paper, _notes(chosen))
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None
    title = f"{job.design.name}: jig for Hall sensors"
    return tuple(bound(sheets, paper, title, job.revision))


def _items(job: Job, chosen: HallSet, region: Region) -> Items:
    """Return the plate with its lettering, axis at the origin."""
    at = ORIGIN
    items: list[Item] = list(edges(region, "cut"))
    floor, rim = floor_distance(job), rim_radius(job)
    for n, (slot, degrees) in enumerate(zip(chosen.slots, chosen.mechanical_deg, strict=True), 1):
        turn = TOOTH_1 + math.radians(degrees)
        items.append(_ray(at, turn, hole_radius(job) + 2.0, floor))
        spot = at.plus(Point.polar(floor - 9.0, turn))
        # beside its ray, so that the line does not cross the words
        side = spot.plus(Point.polar(2.6, turn + math.pi / 2))
        words_turn = turn if math.cos(turn) >= 0 else turn + math.pi
        items.append(
            Text(side.x, side.y, 2.5, f"H{n} slot {slot + 1}", "centre", words_turn, "middle")
        )
    top = at.plus(Point.polar(rim - SIGHT_DEPTH - 4.0, TOOTH_1))
    items.append(Text(top.x, top.y, 2.5, "tooth 1", "centre", 0.0, "middle"))
    return tuple(items)


def _ray(at: Point, turn: float, inner: float, outer: float) -> Item:
    return line(at.plus(Point.polar(inner, turn)), at.plus(Point.polar(outer, turn)), "centre")


def hall_jig_findings(job: Job) -> list[Finding]:
    """Say when the jig is left out, or printed on tiles.

    Raises:
        Refused: see `hall_jig`.
    """
    chosen = chosen_set(job)
    if chosen is None:
        return []
    why = _no_room(job, chosen)
    if why:
        return [
            note(
                "jig-left-out",
                "hall.body_width",
                f"jig for the Hall sensors: left out, {why}",
                value=job.design.hall.body_width,
                fix="set the sensors in the mouths of their slots, by the numbers on the paper ring",
            )
        ]
    return sheet_findings(job.parts["hall_jig"][0].drawings, "jig for the Hall sensors")
