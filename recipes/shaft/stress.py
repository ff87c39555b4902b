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

    force stands still            start and stop: bending and torque swing from 0 to full
    force turns with the rotor    bending swings from full to full, torque from 0 to full

Left out: corrosion (in water steel has no lasting limit), fretting under bearings and frame,
shocks, welds, heat. An estimate is no proof.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from recipes.shaft.notch_factor import (
    PLAIN,
    Notch,
    edge_peak,
    edge_peaks,
    hole_bending,
    hole_torsion,
    sensitivity,
    slot_stretch,
)
from recipes.shaft.tube_section import FlatSection, TubeSection, Unit, tube_section
from recipes.tables.axle_steel import AxleSteel

ROOT3 = math.sqrt(3.0)

#: Directions of a turning load that are tried on a section which is not round, rad.
TURNS = tuple(math.radians(k) for k in range(0, 91, 15))


@dataclass(frozen=True)
class Forces:
    """What the axle carries at one place: bending and torque in N mm, shear in N."""

    moment: float
    torque: float
    shear: float


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
    """Stress of a section for unit loads: at its worst spots, and by a force across, 1/mm2."""

    spots: tuple[Unit, ...]
    shear: float
    outside: float


@dataclass(frozen=True)
class Judge:
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
        return self.safety_at(stress.static)

    def safety_at(self, static: float) -> float:
        """Return yield strength over a static stress in MPa; infinite without stress."""
        return self.steel.yield_MPa / static if static > 0 else math.inf

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

    def nominal(self, shape: TubeSection | FlatSection, facing: float) -> Nominal:
        """Return what unit loads do to a section that faces `facing` degrees."""
        round_ = isinstance(shape, TubeSection) and not shape.width
        angles = (0.0,) if round_ else self.angles(facing)
        spots = tuple(spot for angle in angles for spot in shape.spots(angle))
        return Nominal(spots, max(shape.shear(angle) for angle in angles), shape.outside)

    def section(self, nominal: Nominal, at: Forces, notch: Notch = PLAIN) -> Stress:
        """Return the stress of a section whose nominal stress a notch raises."""
        rm, r = self.steel.tensile_MPa, notch.radius
        kb = 1.0 + sensitivity(rm, r) * (notch.bending - 1.0)
        kt = 1.0 + sensitivity(rm, r, True) * (notch.torsion - 1.0)
        found = [
            (abs(at.moment * spot.bending), ROOT3 * abs(at.torque * spot.torsion))
            for spot in nominal.spots
        ]
        worst = max(found, key=lambda p: math.hypot(kb * p[0], kt * p[1]))
        static = self.section_static(nominal, at, notch)
        return self._swing(static, kb * worst[0], kt * worst[1], nominal.outside)

    def section_static(self, nominal: Nominal, at: Forces, notch: Notch = PLAIN) -> float:
        """Return the static stress alone; see `section`."""
        bent, twist = abs(at.moment), abs(at.torque)
        torsion = [ROOT3 * (twist * spot.torsion) for spot in nominal.spots]
        across = ROOT3 * abs(at.shear) * nominal.shear + max(torsion)
        return max(
            across,
            *(
                math.hypot(notch.bending * (bent * spot.bending), notch.torsion * t)
                for spot, t in zip(nominal.spots, torsion, strict=True)
            ),
        )

    def _swing(self, static: float, bending: float, torsion: float, size: float) -> Stress:
        if self.turns:
            return Stress(static, math.hypot(bending, torsion / 2), torsion / 2, size)
        half = math.hypot(bending, torsion) / 2
        return Stress(static, half, half, size)

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
        big, width, rm = tube.outside, tube.width, self.steel.tensile_MPa
        on, notch = _at_edge(tube, length, at)
        kb = 1.0 + sensitivity(rm, width / 2) * (notch.bending - 1.0)
        kt = 1.0 + sensitivity(rm, width / 2, True) * (notch.torsion - 1.0)
        angles = self.angles(facing)
        static = max(_edge_statics(on, angles, notch))
        amplitude, mean = self._edge_swing(on, angles, kb / 3, kt / 4)
        return Stress(static, amplitude, mean, big), notch

    def slot_end_statics(
        self, tube: TubeSection, length: float, facings: Sequence[float], at: Forces
    ) -> list[float]:
        """Return the static stress alone, for each of several directions of the slot; see `slot_end`."""
        on, notch = _at_edge(tube, length, at)
        angles = [self.angles(facing) for facing in facings]
        stresses = iter(_edge_statics(on, [a for each in angles for a in each], notch))
        return [max(islice(stresses, len(each))) for each in angles]

    def _edge_swing(
        self, on: _Edge, angles: Sequence[float], kb: float, kt: float
    ) -> tuple[float, float]:
        """Return amplitude and mean at the slot's edge for the worst direction of the load.

        `kb` and `kt`: a third and a quarter of the factors in the long run.
        """
        even, rising, slid = _shares(on, angles)
        twist = on.twist if not self.turns else on.twist / 2
        peaks = edge_peaks([kb * e for e in even], rising, [kt * (twist + s) for s in slid])
        if not self.turns:
            half = max(peaks) / 2
            return half, half
        return max(peaks), edge_peak(0.0, 0.0, kt * on.twist / 2)


@dataclass(frozen=True)
class _Edge:
    """Nominal stresses at the slot's middle line in MPa, `share` its width over the diameter."""

    bent: float
    share: float
    twist: float
    slid: float


def _at_edge(tube: TubeSection, length: float, at: Forces) -> tuple[_Edge, Notch]:
    """Return what acts at the end of a slot, and its factors."""
    big, width = tube.outside, tube.width
    plain = tube_section(big, tube.bore)
    notch = Notch(
        hole_bending(width / big, tube.bore / big),
        hole_torsion(width / big, tube.bore / big) * slot_stretch(length, width),
        width / 2,
    )
    bent = abs(at.moment) * plain.bending(0.0)
    twist = abs(at.torque) * plain.torsion[0]
    return _Edge(bent, width / big, twist, abs(at.shear) * plain.shear(0.0)), notch


def _shares(on: _Edge, angles: Sequence[float]) -> tuple[list[float], list[float], list[float]]:
    """Return even, rising and slid stress for each direction of the load; see `edge_peak`."""
    across = [abs(math.sin(angle)) for angle in angles]
    return (
        [on.bent * abs(math.cos(angle)) for angle in angles],
        [on.bent * sine * on.share for sine in across],
        [on.slid * sine for sine in across],
    )


def _edge_statics(on: _Edge, angles: Sequence[float], notch: Notch) -> list[float]:
    """Return the static stress at the slot's edge for each direction of the load."""
    even, rising, slid = _shares(on, angles)
    kb, kt = notch.bending / 3, notch.torsion / 4
    return edge_peaks([kb * e for e in even], rising, [kt * (on.twist + s) for s in slid])
