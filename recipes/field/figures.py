"""Speed constant, torque, flux densities: the field solved at a few rotor angles, and read.

Without current, all teeth of a sector at four angles sample one wave: the mean potential g of the area
on a tooth's left is the same function of the electrical angle by which the rotor is ahead of the
tooth, that on its right is -g of the angle reversed (the tooth's mirror image). Odd harmonics are fitted
by least squares; a phase's wave is their sum over its turns. Cogging torque is odd in the same angles.

Band of the speed constant: remanence least and air gap wider for the most, greatest and narrower for
the least; both at the first angle, on the same mesh, as a ratio to the nominal field there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.mesh import mesh_cell
from geometry.field.results import linkage, potential, sweep
from geometry.field.side import make_side
from geometry.field.solve import Pair, Solution, couple, solve
from geometry.field.triangulate import Size
from geometry.point import Point
from recipes.field.cross_section import LEFT, RIGHT, CrossSection, magnet_label
from recipes.field.materials import Steels, materials
from recipes.field.turns import PhaseTurns, flux_linked, sectors
from recipes.refusal import Refused, misfit
from recipes.winding.circuit import Connection

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]

#: Angles in one period of cogging without current (half of them are mirror images), and in a sixth of
#: the electrical period with current: odd, so that it does not fall in step with cogging.
STILL, LOADED = 8, 7

#: Highest order of the flux wave that is fitted.
MOST_ORDER = 63

#: Names of the flux densities of teeth, yoke and ring without current, and at the phase current.
DENSITIES = ("tooth_flux_density_peak_T", "yoke_flux_density_peak_T", "ring_flux_density_T")
DENSITIES_LOADED = (
    "tooth_flux_density_loaded_T",
    "yoke_flux_density_loaded_T",
    "ring_flux_density_loaded_T",
)

#: Length of triangles with `fine`, as a share of the standard one.
FINE = 0.6


@dataclass(frozen=True, eq=False)
class Machine:
    """A sector ready to be solved, and what is read from it.

    Args:
        section: the cross-section.
        turns: of the phases.
        pair: both sides of the gap.
        stacking: steel's share of the stack's height.
    """

    section: CrossSection
    turns: PhaseTurns
    pair: Pair
    stacking: float

    @property
    def pairs(self) -> int:
        """Pole pairs."""
        return self.section.poles // 2

    @property
    def metres(self) -> float:
        """Length of the field along the axle, m."""
        return self.section.length / 1e3


def machine(
    section: CrossSection,
    turns: PhaseTurns,
    steels: Steels,
    remanence: float,
    *,
    order: int = 2,
    fine: bool = False,
) -> Machine:
    """Return a sector of the machine, meshed.

    Args:
        section: the cross-section.
        turns: of the phases.
        steels: curves of sheet and ring.
        remanence: of the magnets, T.
        order: of the elements.
        fine: a finer mesh.

    Raises:
        Refused: an outline that cannot be meshed.
    """
    count, sign = sectors(turns, section.poles)
    slots, poles, circles = section.slot.slots, section.poles, section.circles
    per_pole, recoil = section.rotor.magnets_per_pole, section.ring.magnet.recoil_permeability
    made = materials(steels, remanence, recoil, poles, per_pole)
    swap = {magnet_label(per_pole - 1 - k): magnet_label(k) for k in range(per_pole // 2)}
    sides = []
    try:
        for cells, (regions, sharp), radius, images in (
            (slots, section.tooth(), circles[0], {LEFT: RIGHT}),
            (poles, section.pole(), circles[1], swap),
        ):
            pitch, scale = 2 * math.pi / cells * radius, FINE if fine else 1.0
            near = scale * max(section.ring.gap, pitch / 60)
            corners = tuple((p, 0.5 * near) for p in sharp)
            size = Size(scale * pitch / 6, 0.5, corners, ((radius, near),))
            mesh = mesh_cell(regions, size.at, math.pi / cells, half=True).mirrored(images)
            sector = mesh.repeated(cells // count)
            sides.append(make_side(sector, made, radius, sign=sign, order=order))
        return Machine(section, turns, couple(sides[0], sides[1]), steels.stacking)
    except GeometryError as error:
        raise Refused(misfit(error, "lamination, rotor")) from None


@dataclass(frozen=True, eq=False)
class Waves:
    """The field without current over one period of cogging.

    Args:
        found: at half of `STILL` angles in the first half of the period.
        orders: (h,) of the electrical period, odd.
        flux: (3, h) flux linked by a phase, Wb: the real part of flux e^(i order p angle).
    """

    found: tuple[Solution, ...]
    orders: Array
    flux: Complex


@dataclass(frozen=True, eq=False)
class SolvedField:
    """The field of a machine without current and with the phase current."""

    machine: Machine
    wave: Waves
    driven: tuple[Solution, ...]


def waves(made: Machine, still: int = STILL) -> Waves:
    """Return the field without current and the flux waves of the phases.

    Args:
        made: the sector.
        still: angles in one period of cogging; fewer give fewer orders of the waves.
    """
    period = 2 * math.pi / math.lcm(made.section.slot.slots, made.section.poles)
    return fitted(made, sweep(made.pair, [(j + 0.5) / still * period for j in range(still // 2)]))


def fitted(made: Machine, found: tuple[Solution, ...]) -> Waves:
    """Return the flux waves of the phases from the field without current at these angles."""
    slots, poles, p = made.section.slot.slots, made.section.poles, made.pairs
    teeth = 2 * math.pi / slots * np.arange(slots)
    cells = made.pair.inner.mesh.cells
    ahead = np.concatenate([p * (s.angle - teeth[:cells]) for s in found])
    left = np.concatenate([linkage(s, LEFT) for s in found])
    right = np.concatenate([linkage(s, RIGHT) for s in found])
    different = slots // math.gcd(slots, poles)
    orders = np.arange(1.0, min(len(found) * different, MOST_ORDER + 1), 2)
    turned = np.outer(np.concatenate([ahead, -ahead]), orders)
    basis = np.concatenate([np.cos(turned), np.sin(turned)], axis=1)
    parts = np.linalg.lstsq(basis, np.concatenate([left, -right]))[0]
    g = parts[: len(orders)] - 1j * parts[len(orders) :]
    behind = np.exp(-1j * p * np.outer(teeth, orders))
    flux = made.turns.left @ behind * g - made.turns.right @ behind * np.conj(g)
    return Waves(found, orders, flux * made.metres)


def speed_constant(wave: Waves, pairs: int, connection: Connection) -> float:
    """Return speed over voltage, 1/min per V; see the conventions of `recipes.field`.

    In delta the sum of the three voltages drives a current round the phases, which takes it up.
    """
    volts = 1j * wave.orders * pairs * wave.flux  # per rad/s
    lead = volts[0] - volts[1] if connection == "wye" else volts[0] - volts.mean(axis=0)
    return 30 / math.pi / float(np.sqrt((np.abs(lead) ** 2).sum()))


def currents(made: Machine, wave: Waves, angle: float, amperes: float) -> dict[str, Array]:
    """Return ampere-turns of both areas of every tooth for a phase current (A r.m.s.)."""
    first = wave.flux[:, 0]
    volts = 1j * first / np.abs(first) * np.exp(1j * made.pairs * angle)
    return ampere_turns(made, math.sqrt(2) * amperes * volts.real)


def ampere_turns(made: Machine, phases: Array) -> dict[str, Array]:
    """Return ampere-turns of both areas of every tooth of the sector from currents (3,) in A."""
    cells = made.pair.inner.mesh.cells
    return {
        LEFT: phases @ made.turns.left[:, :cells],
        RIGHT: phases @ made.turns.right[:, :cells],
    }


def loaded(
    made: Machine, wave: Waves, amperes: float, *, angles: int = LOADED
) -> tuple[Solution, ...]:
    """Return the field with a phase current (A r.m.s.) over a sixth of the electrical period."""
    turned = [math.pi / 3 / made.pairs * k / angles for k in range(angles)]
    driven = [currents(made, wave, a, amperes) for a in turned]
    return sweep(made.pair, turned, driven, wave.found[0])


def speed_constant_band(made: Machine, wave: Waves, connection: Connection) -> dict[str, float]:
    """Return least and greatest speed constant (1/min per V), and what they rest on."""
    section, first = made.section, wave.found[0]
    nominal = speed_constant(fitted(made, (first,)), made.pairs, connection)
    constant = speed_constant(wave, made.pairs, connection) / nominal
    (most, closer), (middle, _), (least, wider) = section.band
    found = []
    for remanence, more in ((most, closer), (least, wider)):
        pair = made.pair.varied(more, remanence / middle)
        near = solve(pair, first.angle, start=first)
        found.append(constant * speed_constant(fitted(made, (near,)), made.pairs, connection))
    return {
        "speed_constant_predicted_rpm_per_V_min": found[0],
        "speed_constant_predicted_rpm_per_V_max": found[1],
        "remanence_least_T": section.ring.magnet.remanence_least_t,
        "remanence_greatest_T": section.ring.magnet.remanence_greatest_t,
        "air_gap_band_mm": section.gap_band,
    }


def torques(made: Machine, wave: Waves, driven: tuple[Solution, ...]) -> dict[str, float]:
    """Return torque, its ripple and cogging torque, by name."""
    torque = made.metres * np.array([s.torque for s in driven])
    still = made.metres * np.array([s.torque for s in wave.found])
    mean, (high, low) = float(torque.mean()), extremes(torque)
    return {
        "torque_at_phase_current_Nm": mean,
        "torque_ripple_percent": 100 * (high - low) / mean,
        "cogging_torque_peak_Nm": extremes(np.concatenate([still, -still[::-1]]))[0],
    }


def densities(made: Machine, found: tuple[Solution, ...]) -> tuple[float, float, float]:
    """Return the greatest flux density in steel of teeth, yoke and ring over the angles, T."""
    each = [[float(np.abs(b).max()) for b in steel_flux_densities(made, s)] for s in found]
    tooth, yoke, ring = map(max, zip(*each, strict=True))
    return tooth, yoke, ring


def wave_through(values: Array, points: int) -> Array:
    """Return the wave through even samples of one period at so many even steps from the first one."""
    n = len(values)
    parts = 2 * np.fft.rfft(values) / n
    parts[0] /= 2
    if n % 2 == 0:
        parts[-1] /= 2
    turn = np.linspace(0, 2 * math.pi, points, endpoint=False)
    return np.real(np.exp(1j * np.outer(turn, np.arange(len(parts)))) @ parts)


def extremes(values: Array) -> tuple[float, float]:
    """Return the greatest and least of the wave through even samples of one period, in their unit."""
    wave = wave_through(values, 720)
    return float(wave.max()), float(wave.min())


def gap_fundamental(made: Machine, solution: Solution) -> float:
    """Return the amplitude of the fundamental of the radial flux density in the gap's middle, T."""
    gap, p = made.pair.annulus, made.pairs
    radius = sum(made.section.circles) / 2
    waves = gap.at_radius(solution.inner, solution.outer, solution.angle, radius)
    (first,) = np.flatnonzero(np.abs(gap.orders - p) < 1e-6)
    return float(2 * abs(waves[first]) * p / (radius / 1e3))


def steel_flux_densities(made: Machine, solution: Solution) -> tuple[Array, Array, Array]:
    """Return the mean flux density in steel, T, of every tooth, yoke and ring section of the sector.

    A tooth is cut where it is narrowest, the yoke under a slot, the ring between two poles.
    """
    section, slot = made.section, made.section.slot
    teeth, poles = made.pair.inner.mesh.cells, made.pair.outer.mesh.cells
    narrow, floor = slot.narrowest, slot.half[-1].end
    turns = [2 * slot.half_pitch * k for k in range(teeth)]
    left, right = (
        [Point(narrow.x, y * (1 - 1e-6)).rotated(a) for a in turns] for y in (narrow.y, -narrow.y)
    )
    under = [floor.rotated(a) for a in turns]
    across = [math.pi / section.poles * (2 * k + 1) + solution.angle for k in range(poles)]
    inside, outside = ([Point.polar(r, a) for a in across] for r in (section.bore, section.rim))
    a = potential(solution, np.array([*left, *right, *under, *inside, *outside]))
    one, two, yoke, three, four = np.split(a, np.cumsum([teeth, teeth, teeth, poles]))
    flux = (one - two, yoke, three - four)
    width = (slot.tooth_width, floor.length() - section.inner, section.ring_thickness)
    share = (made.stacking, made.stacking, 1.0)
    tooth, back, ring = (1e3 * f / w / k for f, w, k in zip(flux, width, share, strict=True))
    return tooth, back, ring


def inductance(made: Machine, wave: Waves, amperes: float) -> float:
    """Return the self-inductance of a phase at its peak current in H, where magnets link no flux."""
    angle = (math.pi / 2 - float(np.angle(wave.flux[0, 0]))) / made.pairs
    peak = math.sqrt(2) * amperes
    driven = ampere_turns(made, np.array([peak, 0.0, 0.0]))
    # another position: nothing is near enough to begin from
    found = solve(made.pair, angle, driven)
    linked = flux_linked(made.turns, linkage(found, LEFT), linkage(found, RIGHT))[0]
    still = (wave.flux[0] * np.exp(1j * wave.orders * made.pairs * angle)).real.sum()
    return float((made.metres * linked - still) / peak)
