"""How strong the axle is: static safety and a long-run estimate at every place of it.

    load   ->  bending, torque and shear along the axle       recipes.shaft.load
    shape  ->  stretches of one section, and notches          recipes.shaft.stations
    stress ->  static, and in the long run                    recipes.shaft.stress
    all    ->  judged places                                  recipes.shaft.strength

Bending, torque and section are simple between two ends of a stretch, so its ends hold its least
safety; the curve has further points between only to be drawn. What is assumed and left out stands
in those files. Rules and figures for people: `recipes.shaft.strength_rules`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from recipes.design.axle import Axle, WireSlot
from recipes.design.lamination import Hub, Lamination
from recipes.shaft.axle_rules import refuse_weak_shape
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.key_seat import key_seats
from recipes.shaft.load import AxleLoad, axle_load
from recipes.shaft.notch_factor import Notch
from recipes.shaft.profile import axle_pieces, axle_profile, outside_at
from recipes.shaft.sections import SAME, axle_bearing, axle_sections
from recipes.shaft.stations import Station, Stretch, notches, stretches
from recipes.shaft.stress import Criterion, Forces, Stress
from recipes.shaft.tube_section import TubeSection
from recipes.shaft.wire_slot_rules import signed_angle
from recipes.tables.axle_steel import AxleSteel, axle_steel_of
from recipes.tables.steel_tubes import tube_of_axle

#: Points of the drawn curve on each stretch, its ends among them.
POINTS = 7

#: Steps in degrees in which the best direction of the slot is looked for.
ANGLE_STEP = 5

#: A direction must be this much better than the present one to be worth turning the slot.
WORTH_TURNING = 1.02


@dataclass(frozen=True)
class Place:
    """One judged place.

    Args:
        z: from face A in mm.
        name, field: for the reader, and the design field that shapes it.
        forces: bending and torque in N mm, shear and axial force in N.
        stress: in MPa.
        notch: factors on bending and torsion.
        safety: yield strength over stress.
        long_run: Goodman's factor.
        slotted: whether the wire slot makes it.
    """

    z: float
    name: str
    field: str
    forces: Forces
    stress: Stress
    notch: Notch
    safety: float
    long_run: float
    slotted: bool = False


@dataclass(frozen=True)
class LoadCase:
    """One axle under its load: shape, forces and criterion, judged place by place.

    The wire slot is an argument, so that "what if it were narrower, shorter or turned" is asked of
    the same load case.
    """

    body: AxleShape
    load: AxleLoad
    criterion: Criterion

    @property
    def slot(self) -> WireSlot:
        """The wire slot of the design."""
        return self.body.axle.wire_slot

    def points(self, points: int) -> list[Place]:
        """Return so many judged points of every stretch, cut where the load has a knot."""
        parts = stretches(self.body, *self._knots(0.0, self.body.axle.length))
        return [self._judged(s) for part in parts for s in part.stations(points)]

    def notches(self) -> list[Place]:
        """Return every judged notch but the ends of the wire slot."""
        return [self._judged(n) for n in notches(self.body)]

    def slot_safety(self, slot: WireSlot) -> float:
        """Return the least static safety of a slot: its two ends and what lies between."""
        return min(p.safety for p in (*self.slot_ends(slot), *self.slot_stretch(slot)))

    def slot_ends(self, slot: WireSlot) -> list[Place]:
        """Return the two ends of a slot, judged with the largest forces on their round."""
        found, start, end = [], slot.from_face, slot.from_face + slot.length
        bore, r = self.body.axle.bore_diameter, min(slot.width, slot.length) / 2
        for face, edge, z in (("A", start, start + r), ("B", end, end - r)):
            tube = TubeSection(outside_at(self.body.pieces, z), bore, slot.width)
            runs = (self.load.moment, self.load.torque, self.load.shear, self.load.axial)
            at = Forces(*(max(run.at(edge), run.at(z), key=abs) for run in runs))
            stress, notch = self.criterion.slot_end(tube, slot.length, slot.angle, at)
            name = f"wire slot, end toward face {face}"
            station = Station(z, 0, tube, slot.angle, name, "axle.wire_slot", notch, True)
            found.append(self._place(station, at, stress))
        return found

    def slot_stretch(self, slot: WireSlot) -> list[Place]:
        """Return judged points of the stretch that a slot runs through; width 0: plain tube."""
        start, end = slot.from_face, slot.from_face + slot.length
        cuts = sorted({start, end, *self._knots(start, end)})
        size = min(outside_at(self.body.pieces, z) for z in cuts)
        tube = TubeSection(size, self.body.axle.bore_diameter, slot.width)
        parts = [
            Stretch(a, b, tube, slot.angle, "wire slot", "axle.wire_slot", True)
            for a, b in pairwise(cuts)
        ]
        return [self._judged(s) for part in parts for s in part.stations(2)]

    def _knots(self, low: float, high: float) -> list[float]:
        """Return where bending or torque has a knot between two places, mm."""
        return [
            z
            for run in (self.load.moment, self.load.torque, self.load.axial)
            for z in run.z
            if low < z < high
        ]

    def _judged(self, s: Station) -> Place:
        runs = (self.load.moment, self.load.torque, self.load.shear, self.load.axial)
        at = Forces(*(run.at(s.z, s.side) for run in runs))
        nominal = self.criterion.nominal(s.shape, s.facing)
        return self._place(s, at, self.criterion.section(nominal, at, s.notch))

    def _place(self, s: Station, at: Forces, stress: Stress) -> Place:
        safety, long_run = self.criterion.safety(stress), self.criterion.long_run(stress)
        return Place(s.z, s.name, s.field, at, stress, s.notch, safety, long_run, s.slotted)


@dataclass(frozen=True)
class AxleStrength:
    """What the axle bears.

    Args:
        case: shape, load and criterion, for further questions.
        places: every judged place, from face A: notches, and both ends of every stretch.
        spikes: the notches and the ends of the wire slot among them.
        without_slot: least safety of the same axle without a wire slot.
    """

    case: LoadCase
    places: tuple[Place, ...]
    spikes: tuple[Place, ...]
    without_slot: float

    @property
    def curve(self) -> tuple[tuple[float, float], ...]:
        """(z, safety) from face A, with points between the ends of stretches; a notch is a spike."""
        return _curve(self.case, self.spikes, "safety")

    @property
    def long_run_curve(self) -> tuple[tuple[float, float], ...]:
        """The same with the long-run factor."""
        return _curve(self.case, self.spikes, "long_run")

    @property
    def load(self) -> AxleLoad:
        """Statics."""
        return self.case.load

    @property
    def steel(self) -> AxleSteel:
        """Steel of the bar."""
        return self.case.criterion.steel

    def outside_at(self, z: float) -> float:
        """Return the smaller outside diameter at `z` from face A, mm."""
        return outside_at(self.case.body.pieces, z)

    @property
    def least(self) -> Place:
        """The place with the least static safety."""
        return min(self.places, key=lambda p: (p.safety, p.z))

    @property
    def at_slot(self) -> Place:
        """The place of the wire slot with the least static safety."""
        return min((p for p in self.places if p.slotted), key=lambda p: (p.safety, p.z))

    @property
    def least_long_run(self) -> Place:
        """The place with the least factor in the long run."""
        return min(self.places, key=lambda p: (p.long_run, p.z))

    def with_slot(self, **changes: float) -> float:
        """Return the safety at the wire slot with changes to its table, in mm and degrees."""
        return self.case.slot_safety(self.case.slot.model_copy(update=changes))

    @property
    def half_as_wide(self) -> float:
        """Safety at the wire slot if it were half as wide."""
        return self.with_slot(width=self.case.slot.width / 2)

    @property
    def two_thirds_as_long(self) -> float:
        """Safety at the wire slot if it lost a third of its length where bending is larger."""
        slot, moment = self.case.slot, self.load.moment
        third, end = slot.length / 3, slot.from_face + slot.length
        at_start = abs(moment.at(slot.from_face)) > abs(moment.at(end))
        start = slot.from_face + third if at_start else slot.from_face
        return self.with_slot(from_face=start, length=slot.length - third)

    def best_angle(self) -> tuple[float, float]:
        """Return the direction of the slot with the largest safety there, in degrees, and that.

        The nearest of equally good ones to the present direction, which stays where turning gains
        less than 2 %, or where the load turns anyway.
        """
        slot, criterion = self.case.slot, self.case.criterion
        now = self.with_slot()
        if criterion.turns:
            return slot.angle, now
        load = criterion.direction
        found = {a: self.with_slot(angle=load + a) for a in range(0, 91, ANGLE_STEP)}
        most = max(found.values())
        if most < WORTH_TURNING * now:
            return slot.angle, now
        best = next(a for a, safety in found.items() if safety == most)
        turned = (load + s * best + k for s in (1, -1) for k in (0, 180))
        ways = sorted({round(signed_angle(angle), 6) for angle in turned})
        return min(ways, key=lambda w: abs(signed_angle(w - slot.angle))), most


def with_least_wall(axle: Axle) -> Axle:
    """Return an axle of bought tube with the thinnest wall that its standard allows; others as given."""
    tube = tube_of_axle(axle)
    if tube is None:
        return axle
    wider = axle.stock_diameter - 2 * tube.wall_least_mm
    return axle.model_copy(update={"bore_diameter": max(axle.bore_diameter, wider)})


def axle_strength(
    axle: Axle, lamination: Lamination, hub: Hub, stack_length: float
) -> AxleStrength:
    """Return the strength of an axle under its load, a bought tube with its thinnest wall.

    Args:
        axle, lamination, hub: tables of the design.
        stack_length: of the finished stack, mm.

    Raises:
        Refused: an axle whose features overlap or leave it, that has no wall or not two seats, or
            whose frame reaches over a bearing or whose key seats leave the stack.
    """
    refuse_weak_shape(axle, lamination, hub, stack_length)
    axle = with_least_wall(axle)
    sections = axle_sections(axle, lamination.bore_diameter, stack_length)
    pieces = axle_pieces(axle, sections)
    keys = key_seats(hub.keyway, axle, lamination.bore_diameter, stack_length)
    load, given = axle_load(axle, stack_length), axle.load
    profile = axle_profile(axle, axle_bearing(axle.bearing), pieces)
    criterion = Criterion(axle_steel_of(axle), given.direction, given.action == "turns")
    case = LoadCase(AxleShape(axle, sections, pieces, profile, keys), load, criterion)
    spikes, points = case.notches(), case.points(2)
    ends = case.slot_ends(case.slot)
    bare = [*spikes, *(p for p in points if not p.slotted)]
    bare += case.slot_stretch(case.slot.model_copy(update={"width": 0.0}))
    places = [*spikes, *ends, *points]
    return AxleStrength(
        case,
        tuple(sorted(places, key=lambda p: (p.z, p.name))),
        (*spikes, *ends),
        min(p.safety for p in bare),
    )


def _curve(
    case: LoadCase, spikes: Sequence[Place], what: Literal["safety", "long_run"]
) -> tuple[tuple[float, float], ...]:
    """Return points of all stretches, and each notch as a spike where it is the weaker."""
    points = [(p.z, getattr(p, what)) for p in case.points(POINTS)]
    for spike in sorted(spikes, key=lambda p: (p.z, p.name)):
        z, factor = spike.z, getattr(spike, what)
        k = next(k for k in range(1, len(points)) if points[k][0] >= z - SAME)
        (z0, low), (z1, high) = points[k - 1], points[k]
        if abs(z1 - z) > SAME:  # inside a stretch: the curve comes back to where it was
            used = 1.0 / low + (1.0 / high - 1.0 / low) * (z - z0) / (z1 - z0)
            low = high = 1.0 / used if used > 0 else math.inf
            points[k:k] = [(z, low), (z, high)]
        else:
            low, high = high, points[k + 1][1] if k + 1 < len(points) else high
        if factor < min(low, high):
            points.insert(k + 1, (z, factor))
    return tuple(points)
