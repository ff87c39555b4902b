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
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geometry.drafting.drawing import Item, Text, edges, line
from geometry.fillet import fillet
from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import ORIGIN, Point
from geometry.printing.tiles import Figure
from geometry.segment import Arc, Line, Segment
from recipes.design.rotor import Hall
from recipes.drawing_conventions import Imprint
from recipes.refusal import note
from recipes.rotor.hall_sensors import HallSet
from recipes.stator.slot import TOOTH_1
from recipes.true_scale import sheet_findings, true_scale_pages

#: Depth and width of the sight notch, mm.
SIGHT_DEPTH, SIGHT_WIDTH = 1.6, 1.4

#: Material round the hole, behind a pocket, and beside one along the rim, mm.
HUB, BEHIND, BESIDE = 8.0, 3.0, 6.0

#: A gap between pockets of at least this angle is left away, rad; round of its inner corners, mm.
OPEN, ROUND = math.radians(50.0), 3.0

_CAUTION = "Magnets stay away until the glue has set: they would pull the plate and pinch fingers."


@dataclass(frozen=True)
class JigPlate:
    """Measures of the plate, mm.

    Args:
        sensors: set of slots that it serves.
        hole: radius of the hole.
        rim: radius at which the sensors' faces end.
        floor: distance from the axis to the flat floor of a pocket.
        half: half the width of a pocket.
        reason: why there is no such plate, else empty.
    """

    sensors: HallSet
    hole: float
    rim: float
    floor: float
    half: float
    reason: str = ""


def jig_plate(hall: Hall, stator_diameter: float, hole: float, sensors: HallSet) -> JigPlate:
    """Return the measures of the plate.

    Args:
        hall: table of the design.
        stator_diameter: over the tooth faces, mm.
        hole: radius in mm that passes the axle from face A to the stack.
        sensors: the set of slots.
    """
    rim, half = stator_diameter / 2 - hall.stand_back, hall.body_width / 2 + hall.glue_gap
    floor = 0.0
    if half < rim:
        floor = math.sqrt(rim**2 - (hall.body_width / 2) ** 2) - hall.body_thickness
    angles = sorted(math.radians(a) for a in sensors.mechanical_deg)
    nearest = min(b - a for a, b in pairwise([*angles, angles[0] + 2 * math.pi]))
    reason = ""
    if hole + HUB + BEHIND > floor:
        reason = "the axle is too thick, or the stator too small, for a plate with pockets"
    elif 2 * floor * math.sin(nearest / 2) < 2 * half + 1.5:
        reason = "the pockets would meet"
    return JigPlate(sensors, hole, rim, floor, half, reason)


def hall_jig(
    plate: JigPlate | None, slots: int, thickness: float, imprint: Imprint
) -> tuple[Part, ...]:
    """Return the jig; none without sensors, without slots for them, or without room.

    Args:
        plate: its measures; None without sensors or slots for them.
        slots: number of slots.
        thickness: of the plate, mm.
        imprint: of the design.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    if plate is None or plate.reason:
        return ()
    region, notes = _region(plate, math.pi / slots), _notes(plate.sensors)
    figure = Figure(
        (*edges(region, "cut"), *_lettering(plate)), (region,), "the jig for Hall sensors"
    )
    return (
        Part(
            name="hall_jig",
            cut=(region,),
            material="plywood, acrylic or printed plastic",
            thickness=thickness,
            quantity=1,
            settings={
                "slots": " ".join(str(k + 1) for k in plate.sensors.slots),
                "hole_diameter_mm": round(2 * plate.hole, 4),
                "rim_radius_mm": round(plate.rim, 4),
            },
            notes=notes,
            drawings=tuple(true_scale_pages([figure], imprint, "jig for Hall sensors", notes)),
        ),
    )


def hall_jig_findings(
    plate: JigPlate | None, body_width: float, made: tuple[Part, ...]
) -> list[Finding]:
    """Say when the jig is left out, or printed on tiles.

    Args:
        plate: its measures; None without sensors or slots for them.
        body_width: of a sensor, mm.
        made: as `hall_jig` returns it.
    """
    if plate is None:
        return []
    if plate.reason:
        return [
            note(
                "jig-left-out",
                "hall.body_width",
                f"jig for the Hall sensors: left out, {plate.reason}",
                value=body_width,
                fix="set the sensors in the mouths of their slots, by the numbers on the paper ring",
            )
        ]
    return sheet_findings(made[0].drawings, "jig for the Hall sensors")


def _region(plate: JigPlate, half_pitch: float) -> Region:
    """Return the plate, tooth 1 up; `half_pitch` is the angle in rad from tooth 1 to slot 1."""
    rim, hub = plate.rim, plate.hole + HUB
    angles = [math.radians(a) for a in plate.sensors.mechanical_deg]
    cuts = [(a, notch_edges(rim, plate.floor, plate.half, a)) for a in angles]
    if half_pitch * rim > plate.half + SIGHT_WIDTH / 2 + 1.0:
        cuts.append((0.0, sight_notch(rim, 0.0)))
    cuts.sort(key=lambda c: c[0])
    ends = [b for b, _ in cuts[1:]] + [cuts[0][0] + 2 * math.pi]
    gaps = [b - a for (a, _), b in zip(cuts, ends, strict=True)]
    widest = max(range(len(gaps)), key=lambda k: (round(gaps[k], 9), -k))
    ordered = [*cuts[widest + 1 :], *cuts[: widest + 1]]
    notches = [c for _, c in ordered]
    margin = (plate.half + BESIDE) / rim
    hole = (Outline.circle(ORIGIN, plate.hole),)
    first = notches[0][0].start
    if gaps[widest] - 2 * margin < OPEN:
        return Region(Outline(tuple(_rim(notches, first))), hole).rotated(TOOTH_1)
    start = Point.polar(rim, ordered[0][0] - margin)
    stop = Point.polar(rim, ordered[-1][0] + margin)
    run = (Arc(start, first, ORIGIN, True), *_rim(notches, stop), *_back(start, stop, hub, rim))
    return Region(Outline(run), hole).rotated(TOOTH_1)


def _rim(notches: list[list[Segment]], stop: Point) -> list[Segment]:
    """Return the notches, each with the rim that follows it, the last with that up to `stop`."""
    ends = [*(notch[0].start for notch in notches[1:]), stop]
    return [
        edge
        for notch, end in zip(notches, ends, strict=True)
        for edge in (*notch, Arc(notch[-1].end, end, ORIGIN, True))
    ]


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


def _notes(sensors: HallSet) -> tuple[str, ...]:
    slots = ", ".join(str(k + 1) for k in sensors.slots)
    turned = " and ".join(str(n) for n in sensors.turned_about)
    faces = (
        f"Sensor {turned} is turned face about, the others face the magnets."
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


def _lettering(plate: JigPlate) -> Iterator[Item]:
    """Yield a ray and the name of every sensor, and the name of tooth 1; axis at the origin."""
    slots_at = zip(plate.sensors.slots, plate.sensors.mechanical_deg, strict=True)
    for n, (slot, degrees) in enumerate(slots_at, 1):
        turn = TOOTH_1 + math.radians(degrees)
        inner, outer = (Point.polar(r, turn) for r in (plate.hole + 2.0, plate.floor))
        yield line(inner, outer, "centre")
        # beside its ray, so that the line does not cross the words
        side = Point.polar(plate.floor - 9.0, turn).plus(Point.polar(2.6, turn + math.pi / 2))
        reading = turn if math.cos(turn) >= 0 else turn + math.pi
        yield Text(side.x, side.y, 2.5, f"H{n} slot {slot + 1}", "centre", reading, "middle")
    top = Point.polar(plate.rim - SIGHT_DEPTH - 4.0, TOOTH_1)
    yield Text(top.x, top.y, 2.5, "tooth 1", "centre", 0.0, "middle")
