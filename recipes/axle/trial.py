"""One axle on trial: its shape, its load and its steel, judged place by place.

The wire slot is an argument, so that "what if it were narrower, shorter or turned" is asked of the
same trial.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from recipes.axle.load import AxleLoad
from recipes.axle.notch_factor import PLAIN, Notch
from recipes.axle.sections import slot_feature
from recipes.axle.stations import AxleBody, NotchAt, Stretch, notches
from recipes.axle.stress import Forces, Judge, Stress
from recipes.axle.tube_section import TubeSection, tube_section

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
                face, z, tube_section(self.body.outside_at(z), bore, slot.width),
                self._largest(edge, z),
            )
            for face, edge, z in (
                ("A", slot.start, slot.start + r), ("B", slot.end, slot.end - r)
            )
        ]  # fmt: skip

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
