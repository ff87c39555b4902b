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
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

from recipes.job import Job
from recipes.refusal import Refused
from recipes.shaft.axle_rules import PLACE_RULES
from recipes.shaft.key_rules import key_seats
from recipes.shaft.load import AxleLoad, axle_load
from recipes.shaft.notch_factor import PLAIN, Notch
from recipes.shaft.sections import SAME, axle_sections, slot_feature
from recipes.shaft.stations import AxleBody, NotchAt, Stretch, notches
from recipes.shaft.stress import Forces, Judge, Stress
from recipes.shaft.tube_section import TubeSection, tube_section
from recipes.shaft.turning_rules import wall_left
from recipes.shaft.wire_slot_rules import SLOT_PLACE_RULES
from recipes.tables.axle_steel import AxleSteel, axle_steel_of

#     One axle on trial: its shape, its load and its steel, judged place by place.
#
# The wire slot is an argument, so that "what if it were narrower, shorter or turned" is asked of the
# same trial.

#: Points of the drawn curve on each stretch, its ends among them.
POINTS = 7


@dataclass(frozen=True)
class Place:
    """One judged place.

    Args:
        z: from face A in mm.
        name, field: for the reader, and the design field that shapes it.
        forces: bending and torque in N mm, shear in N.
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
class Slot:
    """The wire slot as it is judged.

    Args:
        start, end: from face A in mm.
        width: in mm; 0 for the plain tube.
        angle: in degrees, as the design counts.
    """

    start: float
    end: float
    width: float
    angle: float


@dataclass(frozen=True)
class Trial:
    """Shape, load and judge of one axle."""

    body: AxleBody
    load: AxleLoad
    judge: Judge

    @property
    def slot(self) -> Slot:
        """The wire slot of the design."""
        span, slot = slot_feature(self.body.job), self.body.job.design.axle.wire_slot
        return Slot(span.start, span.end, slot.width, slot.angle)

    def along(self, points: int) -> Iterator[tuple[Stretch, list[Place]]]:
        """Yield every stretch with so many judged points of it, cut where the load has a knot."""
        length = self.body.job.design.axle.length
        knots = {z for run in (self.load.moment, self.load.torque) for z in run.z}
        for part in self.body.cut_at(tuple(sorted(z for z in knots if 0.0 < z < length))):
            yield part, self._points(part, points)

    def notches(self) -> list[Place]:
        """Return every judged notch but the ends of the wire slot."""
        return [self._notch(n) for n in notches(self.body)]

    def slot_safety(self, slot: Slot) -> float:
        """Return the least static safety of a slot: its two ends and what lies between."""
        return self.slot_safeties(slot, (slot.angle,))[0]

    def slot_safeties(self, slot: Slot, angles: Sequence[float]) -> list[float]:
        """Return the least static safety of a slot turned to each of several directions, degrees."""
        judge, length = self.judge, slot.end - slot.start
        ends = [(tube, at) for _, _, tube, at in self._ends(slot)]
        parts = self._stretches(slot)
        between = [
            (p.shape, [self._at(*spot) for spot in ((p.start, 1), (p.end, -1))]) for p in parts
        ]
        at_ends = [judge.slot_end_statics(tube, length, angles, at) for tube, at in ends]
        found = []
        for k, angle in enumerate(angles):
            stresses = [end[k] for end in at_ends]
            for shape, forces in between:
                nominal = judge.nominal(shape, angle)
                stresses += [judge.section_static(nominal, at) for at in forces]
            found.append(judge.safety_at(max(stresses)))
        return found

    def slot_ends(self, slot: Slot) -> list[Place]:
        """Return the two ends of a slot, judged with the largest forces on their round."""
        found = []
        for face, z, tube, at in self._ends(slot):
            stress, notch = self.judge.slot_end(tube, slot.end - slot.start, slot.angle, at)
            name = f"wire slot, end toward face {face}"
            found.append(self._place(z, name, "axle.wire_slot", at, stress, notch, True))
        return found

    def _ends(self, slot: Slot) -> list[tuple[str, float, TubeSection, Forces]]:
        """Return face, place, section and largest forces at the round of both ends of a slot."""
        bore = self.body.job.design.axle.bore_diameter
        r = min(slot.width, slot.end - slot.start) / 2
        return [
            (
                face,
                z,
                tube_section(self.body.outside_at(z), bore, slot.width),
                self._largest(edge, z),
            )
            for face, edge, z in (("A", slot.start, slot.start + r), ("B", slot.end, slot.end - r))
        ]

    def slot_stretch(self, slot: Slot) -> list[Place]:
        """Return judged points of the stretch that a slot runs through; width 0: plain tube."""
        return [place for part in self._stretches(slot) for place in self._points(part, 2)]

    def _stretches(self, slot: Slot) -> list[Stretch]:
        """Return the stretch that a slot runs through, cut where the load has a knot."""
        runs = (self.load.moment, self.load.torque)
        knots = {z for run in runs for z in run.z if slot.start < z < slot.end}
        spots = sorted({slot.start, slot.end, *knots})
        size = min(self.body.outside_at(z) for z in spots)
        shape = tube_section(size, self.body.job.design.axle.bore_diameter, slot.width)
        return [
            Stretch(a, b, shape, slot.angle, "wire slot", "axle.wire_slot", True)
            for a, b in pairwise(spots)
        ]

    def _points(self, part: Stretch, points: int) -> list[Place]:
        """Return points of one stretch, its ends included, each judged by the forces inside it."""
        found, nominal = [], self.judge.nominal(part.shape, part.facing)
        for k in range(points):
            last = k == points - 1
            z = part.end if last else part.start + (part.end - part.start) * k / (points - 1)
            at = self._at(z, -1 if last else 1)
            stress = self.judge.section(nominal, at)
            found.append(self._place(z, part.name, part.field, at, stress, PLAIN, part.slotted))
        return found

    def _notch(self, n: NotchAt) -> Place:
        at = self._at(n.z, n.side)
        stress = self.judge.section(self.judge.nominal(n.shape, n.facing), at, n.notch)
        return self._place(n.z, n.name, n.field, at, stress, n.notch)

    def _at(self, z: float, side: int) -> Forces:
        load = self.load
        return Forces(load.moment.at(z, side), load.torque.at(z, side), load.shear.at(z, side))

    def _largest(self, *spots: float) -> Forces:
        moment, torque, shear = (
            max((run.at(z) for z in spots), key=abs)
            for run in (self.load.moment, self.load.torque, self.load.shear)
        )
        return Forces(moment, torque, shear)

    def _place(
        self,
        z: float,
        name: str,
        field: str,
        at: Forces,
        stress: Stress,
        notch: Notch,
        slotted: bool = False,
    ) -> Place:
        safety, long_run = self.judge.safety(stress), self.judge.long_run(stress)
        return Place(z, name, field, at, stress, notch, safety, long_run, slotted)


#: Steps in degrees in which the best direction of the slot is looked for.
ANGLE_STEP = 5

#: A direction must be this much better than the present one to be worth turning the slot.
WORTH_TURNING = 1.02


@dataclass(frozen=True)
class AxleStrength:
    """What the axle bears.

    Args:
        trial: shape, load and judge, for further questions.
        places: every judged place, from face A: notches, and both ends of every stretch.
        spikes: the notches and the ends of the wire slot among them.
        without_slot: least safety of the same axle without a wire slot.
    """

    trial: Trial
    places: tuple[Place, ...]
    spikes: tuple[Place, ...]
    without_slot: float

    @cached_property
    def curve(self) -> tuple[tuple[float, float], ...]:
        """(z, safety) from face A, with points between the ends of stretches; a notch is a spike."""
        return _curve(self._drawn, self.spikes, "safety")

    @cached_property
    def long_run_curve(self) -> tuple[tuple[float, float], ...]:
        """The same with the long-run factor."""
        return _curve(self._drawn, self.spikes, "long_run")

    @cached_property
    def _drawn(self) -> list[tuple[Stretch, list[Place]]]:
        return list(self.trial.along(POINTS))

    @property
    def load(self) -> AxleLoad:
        """Statics."""
        return self.trial.load

    @property
    def steel(self) -> AxleSteel:
        """Steel of the bar."""
        return self.trial.judge.steel

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

    @property
    def half_as_wide(self) -> float:
        """Safety at the wire slot if it were half as wide."""
        slot = self.trial.slot
        return self.trial.slot_safety(replace(slot, width=slot.width / 2))

    @property
    def two_thirds_as_long(self) -> float:
        """Safety at the wire slot if it lost a third of its length where bending is larger."""
        slot, moment = self.trial.slot, self.load.moment
        third = (slot.end - slot.start) / 3
        if abs(moment.at(slot.start)) > abs(moment.at(slot.end)):
            return self.trial.slot_safety(replace(slot, start=slot.start + third))
        return self.trial.slot_safety(replace(slot, end=slot.end - third))

    def best_angle(self) -> tuple[float, float]:
        """Return the direction of the slot with the largest safety there, in degrees, and that.

        The nearest of equally good ones to the present direction, which stays where turning gains
        less than 2 %, or where the load turns anyway.
        """
        slot = self.trial.slot
        now = self.trial.slot_safety(slot)
        if self.trial.judge.turns:
            return slot.angle, now
        load = self.trial.judge.direction
        steps = range(0, 91, ANGLE_STEP)
        safeties = self.trial.slot_safeties(slot, [load + a for a in steps])
        found = list(zip(safeties, steps, strict=True))
        most = max(s for s, _ in found)
        if most < WORTH_TURNING * now:
            return slot.angle, now
        best = next(a for s, a in found if s == most)
        turned = (load + s * best + k for s in (1, -1) for k in (0, 180))
        ways = sorted({round(_within(angle), 6) for angle in turned})
        return min(ways, key=lambda w: abs(_apart(w, slot.angle))), most


def _within(angle: float) -> float:
    """Return an angle in degrees between -180 (left out) and 180."""
    return 180.0 - (180.0 - angle) % 360.0


def _apart(one: float, two: float) -> float:
    return _within(one - two)


def axle_strength_of(job: Job) -> AxleStrength:
    """Return the strength of a design's axle under its load.

    Raises:
        Refused: an axle whose features overlap or leave it, that has no wall or not two seats, or
            whose frame reaches over a bearing or whose key seats leave the stack.
    """
    stops = [f for rule in (*PLACE_RULES, *SLOT_PLACE_RULES) for f in rule(job)]
    if not any(f.level == "stop" for f in stops):
        axle_sections(job)
        stops += [*wall_left(job), *key_seats(job)]
    stops = [f for f in stops if f.level == "stop"]
    if stops:
        raise Refused(*stops)
    given = job.design.axle.load
    judge = Judge(axle_steel_of(job), given.direction, given.action == "turns")
    trial = Trial(AxleBody(job), axle_load(job), judge)
    spikes = trial.notches()
    ends, runs = trial.slot_ends(trial.slot), trial.along(2)
    points = [(part.slotted, p) for part, found in runs for p in found]
    bare = [*spikes, *(p for slotted, p in points if not slotted)]
    bare += trial.slot_stretch(replace(trial.slot, width=0.0))
    places = [*spikes, *ends, *(p for _, p in points)]
    return AxleStrength(
        trial,
        tuple(sorted(places, key=lambda p: (p.z, p.name))),
        (*spikes, *ends),
        min(p.safety for p in bare),
    )


def with_bore(job: Job, bore: float) -> Job:
    """Return the same design with another bore through its axle, mm."""
    axle = job.design.axle.model_copy(update={"bore_diameter": bore})
    return Job(job.design.model_copy(update={"axle": axle}))


def _curve(
    runs: list[tuple[Stretch, list[Place]]],
    spikes: Sequence[Place],
    what: Literal["safety", "long_run"],
) -> tuple[tuple[float, float], ...]:
    """Return points of all stretches, and each notch as a spike where it is the weaker."""
    points: list[tuple[float, float]] = []
    for _, found in runs:
        points += [(p.z, getattr(p, what)) for p in found]
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
