"""Stress and safety at one place of the axle, static and in the long run.

Static: von Mises stress, the notch included, against the yield strength: safety against first
yielding at the edge of the notch. A ductile steel bears more before it breaks (safe side).

Long run (estimate, common textbook practice; Shigley, Mechanical Engineering Design, chapter 6):

    endurance of the smooth bar   0.5 Rm, at most 700 MPa
    surface, machined             4.51 Rm^-0.265
    size                          1.24 d^-0.107 (d 2.79 to 51 mm), 1.51 d^-0.157 above; where the
                                  load stands still d counts 0.37
    99 of 100 axles hold          0.814
    notch                         Kf = 1 + q (Kt - 1), `recipes.shaft.notch_factor.sensitivity`
    mean stress                   Goodman: 1 / n = amplitude / endurance + mean / Rm

    force along the axle          counts as bending on its worst side, notch factor and all
    force stands still            start and stop: bending and torque swing from 0 to full
    force turns with the rotor    bending swings from full to full, torque from 0 to full

Left out: corrosion (in water steel has no lasting limit), fretting under bearings and frame,
shocks, welds, heat. An estimate is no proof.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.shaft.notch_factor import (
    PLAIN,
    Notch,
    edge_peak,
    hole_bending,
    hole_torsion,
    sensitivity,
    slot_stretch,
)
from recipes.shaft.tube_section import Shape, TubeSection, Unit
from recipes.tables.axle_steel import AxleSteel

ROOT3 = math.sqrt(3.0)

#: Directions of a turning load that are tried on a section which is not round, rad.
TURNS = tuple(math.radians(k) for k in range(0, 91, 15))


@dataclass(frozen=True)
class Forces:
    """What the axle carries at one place: bending and torque in N mm, shear and axial force in N."""

    moment: float
    torque: float
    shear: float
    axial: float = 0.0


@dataclass(frozen=True)
class Stress:
    """Von Mises stresses at one place in MPa.

    Args:
        static: the notch by Kt.
        amplitude, mean: of the long run, the notch by Kf.
        diameter: that decides the size factor, mm.
    """

    static: float
    amplitude: float
    mean: float
    diameter: float


@dataclass(frozen=True)
class Nominal:
    """Stress of a section for unit loads: at its worst spots, by a force across and along, 1/mm2."""

    spots: tuple[Unit, ...]
    shear: float
    outside: float
    along: float = 0.0


@dataclass(frozen=True)
class Criterion:
    """The steel and the kind of load against which every place is held.

    Args:
        steel: of the bar.
        direction: of the force in degrees, as the design counts.
        turns: whether the force turns with the rotor.
    """

    steel: AxleSteel
    direction: float
    turns: bool

    def safety(self, stress: Stress) -> float:
        """Return yield strength over stress; infinite without stress."""
        return self.steel.yield_MPa / stress.static if stress.static > 0 else math.inf

    def endurance(self, diameter: float) -> float:
        """Return the stress amplitude in MPa that a machined bar bears in the long run."""
        rm = self.steel.tensile_MPa
        surface = min(1.0, 4.51 * math.pow(rm, -0.265))
        d = max(diameter if self.turns else 0.37 * diameter, 2.79)
        size = 1.24 * math.pow(d, -0.107) if d <= 51.0 else 1.51 * math.pow(d, -0.157)
        return 0.814 * surface * size * min(0.5 * rm, 700.0)

    def long_run(self, stress: Stress) -> float:
        """Return Goodman's factor for the long run; infinite without stress."""
        worn = stress.amplitude / self.endurance(stress.diameter)
        worn += stress.mean / self.steel.tensile_MPa
        return 1.0 / worn if worn > 0 else math.inf

    def angles(self, facing: float) -> tuple[float, ...]:
        """Return the directions of the load in a section that faces `facing` degrees, rad."""
        return TURNS if self.turns else (math.radians(self.direction - facing),)

    def nominal(self, shape: Shape, facing: float) -> Nominal:
        """Return what unit loads do to a section that faces `facing` degrees."""
        round_ = isinstance(shape, TubeSection) and not shape.width
        angles = (0.0,) if round_ else self.angles(facing)
        spots = tuple(spot for angle in angles for spot in shape.spots(angle))
        return Nominal(
            spots, max(shape.shear(angle) for angle in angles), shape.outside, 1.0 / shape.area
        )

    def fatigue_factors(self, notch: Notch) -> tuple[float, float]:
        """Return Kf of a notch in bending and in torsion: what counts of it in the long run."""
        rm, r = self.steel.tensile_MPa, notch.radius
        return (
            1.0 + sensitivity(rm, r) * (notch.bending - 1.0),
            1.0 + sensitivity(rm, r, True) * (notch.torsion - 1.0),
        )

    def section(self, nominal: Nominal, at: Forces, notch: Notch = PLAIN) -> Stress:
        """Return the stress of a section whose nominal stress a notch raises."""
        kb, kt = self.fatigue_factors(notch)
        pulled = abs(at.axial) * nominal.along  # as bending, on its worst side
        found = [
            (abs(at.moment * spot.bending) + pulled, ROOT3 * abs(at.torque * spot.torsion))
            for spot in nominal.spots
        ]
        static = max(
            math.hypot(
                pulled, ROOT3 * abs(at.shear) * nominal.shear + max(twist for _, twist in found)
            ),
            *(math.hypot(notch.bending * bent, notch.torsion * twist) for bent, twist in found),
        )
        bent, twist = max(((kb * b, kt * t) for b, t in found), key=lambda p: math.hypot(*p))
        if self.turns:
            return Stress(static, math.hypot(bent, twist / 2), twist / 2, nominal.outside)
        half = math.hypot(bent, twist) / 2
        return Stress(static, half, half, nominal.outside)

    def slot_end(
        self, tube: TubeSection, length: float, facing: float, at: Forces
    ) -> tuple[Stress, Notch]:
        """Return the stress round the end of a slot, and its factors.

        Args:
            tube: plain tube with the slot's width.
            length: of the slot, mm.
            facing: direction of the slot in degrees.
            at: forces there.
        """
        big, share = tube.outside, tube.width / tube.outside
        notch = Notch(
            hole_bending(share, tube.bore / big),
            hole_torsion(share, tube.bore / big) * slot_stretch(length, tube.width),
            tube.width / 2,
        )
        plain = TubeSection(big, tube.bore)
        pulled = abs(at.axial) / plain.area
        bent, twist = abs(at.moment) * plain.bending(0.0), abs(at.torque) * plain.torsion[0]
        slid = abs(at.shear) * plain.shear(0.0)

        def peak(bending: float, torsion: float, twist: float) -> float:
            """Return the largest stress round the end, for the worst direction of the load."""
            found = []
            for angle in self.angles(facing):
                even, sine = pulled + bent * abs(math.cos(angle)), abs(math.sin(angle))
                shear = torsion / 4 * (twist + slid * sine)
                found.append(edge_peak(bending / 3 * even, bent * sine * share, shear))
            return max(found)

        kb, kt = self.fatigue_factors(notch)
        static = peak(notch.bending, notch.torsion, twist)
        if self.turns:
            mean = edge_peak(0.0, 0.0, kt / 4 * twist / 2)
            return Stress(static, peak(kb, kt, twist / 2), mean, big), notch
        half = peak(kb, kt, twist) / 2
        return Stress(static, half, half, big), notch
