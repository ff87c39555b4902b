"""How strong the axle is: static safety and a long-run estimate at every place of it.

    load   ->  bending, torque and shear along the axle       recipes.axle.load
    shape  ->  stretches of one section, and notches          recipes.axle.stations
    stress ->  static, and in the long run                    recipes.axle.stress
    all    ->  judged places                                  recipes.axle.trial

Bending, torque and section are simple between two ends of a stretch, so its ends hold its least
safety; the curve has further points between only to be drawn. What is assumed and left out stands
in those files. Rules and figures for people: `recipes.axle.strength_rules`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from recipes.axle.key_rules import key_seats
from recipes.axle.load import AxleLoad, axle_load
from recipes.axle.rules import PLACE_RULES
from recipes.axle.sections import SAME, axle_sections
from recipes.axle.slot_rules import SLOT_PLACE_RULES
from recipes.axle.stations import AxleBody, Stretch
from recipes.axle.stress import Judge
from recipes.axle.trial import POINTS, Place, Trial
from recipes.axle.turning_rules import wall_left
from recipes.job import Job
from recipes.refusal import Refused
from recipes.tables.axle_steel import AxleSteel, axle_steel_of

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
