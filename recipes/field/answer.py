"""What the field answers for one design: figures for people, waves for pictures and losses.

    figures   flat, name with unit -> value; names as in `results.json`
    waves     name with unit -> numbers, for who draws or adds up:
              flux_orders, flux_U_real_Wb, flux_U_imaginary_Wb    flux of phase U: sum of the real part of
                                                                  flux e^(i order p angle), angle of the rotor
              torque_angle_deg, torque_Nm       at the phase current, over a sixth of the electrical period
              cogging_angle_deg, cogging_Nm     without current, over one period of cogging
              current_A, torque_at_current_Nm   mean torque over phase current, r.m.s.
              iron_orders, tooth_wave_T, yoke_wave_T    amplitudes of the mean flux density in steel of a
                                                        tooth and of the yoke, orders of the electrical period

Turns scale: a field is one of ampere-turns, so `scaled` gives the answer for more turns and less current.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.field.results import flux_density, sweep
from geometry.field.solve import Solution, solve
from recipes.field.cross_section import CrossSection, magnet_label
from recipes.field.figures import (
    DENSITIES,
    DENSITIES_LOADED,
    LOADED,
    STILL,
    Machine,
    SolvedField,
    Waves,
    ampere_turns,
    currents,
    densities,
    gap_fundamental,
    inductance,
    loaded,
    machine,
    speed_constant,
    speed_constant_band,
    steel_flux_densities,
    torques,
    waves,
)
from recipes.field.materials import Steels
from recipes.field.turns import PhaseTurns
from recipes.rotor.voltage import Prediction
from recipes.winding.circuit import Circuit

Array = NDArray[np.float64]

#: Currents beyond the phase current, as shares of it, at which torque is worked out.
SHARES: Final = (2.0, 3.0)

#: Share of a magnet's volume that may lie lower than its "least" field: corners, where the plane field
#: has no bound (common practice).
CORNERS: Final = 0.02

#: Powers of the turns by which figures and waves grow at equal ampere-turns.
BY_TURNS: Final = {
    "speed_constant_predicted_rpm_per_V": -1,
    "speed_constant_predicted_rpm_per_V_min": -1,
    "speed_constant_predicted_rpm_per_V_max": -1,
    "phase_flux_linkage_Wb": 1,
    "phase_inductance_H": 2,
    "demagnetisation_current_A": -1,
    "flux_U_real_Wb": 1,
    "flux_U_imaginary_Wb": 1,
    "current_A": -1,
}


@dataclass(frozen=True)
class FieldAnswer:
    """Figures and waves, see the module."""

    figures: Mapping[str, float | int | str]
    waves: Mapping[str, tuple[float, ...]]

    @property
    def prediction(self) -> Prediction:
        """The speed constant with its band."""
        name = "speed_constant_predicted_rpm_per_V"
        value, low, high = (float(self.figures[name + end]) for end in ("", "_min", "_max"))
        return Prediction(value, low, high, "magnetic field")

    def scaled(self, turns: float) -> FieldAnswer:
        """Return the answer for so many times the turns at so much less current."""
        if turns == 1.0:
            return self
        figures, series = dict(self.figures), dict(self.waves)
        for name, power in BY_TURNS.items():
            if name in figures:
                figures[name] = _six(float(figures[name]) * turns**power)
            elif name in series:
                series[name] = tuple(v * turns**power for v in series[name])
        return FieldAnswer(figures, series)

    def with_loss(self, phase_current: float, phase_ohm: float) -> FieldAnswer:
        """Return the answer with `torque_per_root_watt`, for a phase current in A and its ohms."""
        torque = float(self.figures["torque_at_phase_current_Nm"])
        found = torque / math.sqrt(3 * phase_current**2 * phase_ohm)
        return replace(self, figures={**self.figures, "torque_per_root_watt": _six(found)})


def solved_field(
    section: CrossSection,
    turns: PhaseTurns,
    steels: Steels,
    amperes: float,
    *,
    fine: bool = False,
    tell: Callable[[str], None] = lambda _: None,
) -> SolvedField:
    """Return the field without current and with a phase current.

    Args:
        section: the cross-section.
        turns: of the phases.
        steels: curves of sheet and ring.
        amperes: phase current, r.m.s.
        fine: a finer mesh.
        tell: hears what is being done.

    Raises:
        Refused: an outline that cannot be meshed.
    """
    tell("meshing")
    made = machine(section, turns, steels, section.ring.magnet.remanence_T, fine=fine)
    tell("field without current")
    wave = waves(made)
    tell("field with current")
    return SolvedField(made, wave, loaded(made, wave, amperes))


def field_answer(
    solved: SolvedField,
    circuit: Circuit,
    coldest_C: float,
    *,
    fine: bool = False,
    tell: Callable[[str], None] = lambda _: None,
) -> FieldAnswer:
    """Return what the field says, but for the loss in the copper.

    Args:
        solved: the field with the circuit's phase current.
        circuit: connection of the phases, and their current, r.m.s.
        coldest_C: of the magnets: ferrite is weakest then.
        fine: whether the mesh is a finer one.
        tell: hears what is being done.
    """
    amperes = circuit.phase_current_A
    made, wave, driven = solved.machine, solved.wave, solved.driven
    section = made.section
    mean = made.metres * float(np.mean([s.torque for s in driven]))
    tell("torque over current")
    curve = _torque_curve(made, wave, amperes, driven)
    tell("magnets against the current")
    strength = _magnet_figures(made, wave, amperes, coldest_C)
    tell("band of the speed constant")
    constant = speed_constant(wave, made.pairs, circuit.connection)
    straight = 1.5 * made.pairs * abs(wave.flux[0, 0]) * math.sqrt(2) * amperes
    found = {
        "speed_constant_predicted_rpm_per_V": constant,
        **speed_constant_band(made, wave, circuit.connection),
        "phase_flux_linkage_Wb": float(abs(wave.flux[0, 0])),
        "gap_flux_density_fundamental_T": float(
            np.mean([gap_fundamental(made, s) for s in wave.found])
        ),
        **torques(made, wave, driven),
        "saturation_at_rated": 1 - mean / straight,
        "phase_inductance_H": inductance(made, wave, amperes),
        **dict(zip(DENSITIES, densities(made, wave.found), strict=True)),
        **dict(zip(DENSITIES_LOADED, densities(made, driven), strict=True)),
        **strength,
        "ring_thickness_used_mm": section.ring_thickness,
        "length_used_mm": section.length,
    }
    given = section.rotor.ring_thickness is not None
    figures: dict[str, float | int | str] = {
        **{name: _six(value) for name, value in found.items()},
        "mesh": "fine" if fine else "standard",
        "ring_thickness_from": "design" if given else "flux of the magnets",
    }
    series = {
        "flux_orders": wave.orders,
        "flux_U_real_Wb": wave.flux[0].real,
        "flux_U_imaginary_Wb": wave.flux[0].imag,
        "torque_angle_deg": np.degrees([s.angle for s in driven]),
        "torque_Nm": made.metres * np.array([s.torque for s in driven]),
        "cogging_angle_deg": np.degrees(_whole_period(made, wave)),
        "cogging_Nm": made.metres * _odd([s.torque for s in wave.found]),
        **curve,
        **_iron_waves(made, wave),
    }
    return FieldAnswer(figures, {n: tuple(_six(v) for v in np.ravel(s)) for n, s in series.items()})


def ranking_figures(
    section: CrossSection, turns: PhaseTurns, steels: Steels, circuit: Circuit, order: int
) -> FieldAnswer:
    """Return what tells designs apart: speed constant, flux, torque; of second order cogging too.

    Args:
        section, turns, steels: as in `solved_field`.
        circuit: as in `field_answer`.
        order: 1 for elements of first order at a few angles: cogging and ripple would be noise; 2.

    Raises:
        Refused: an outline that cannot be meshed.
    """
    made = machine(section, turns, steels, section.ring.magnet.remanence_T, order=order)
    wave = waves(made) if order == 2 else waves(made, 2)
    driven = loaded(made, wave, circuit.phase_current_A, angles=LOADED if order == 2 else 2)
    torque = torques(made, wave, driven)
    if order == 1:
        torque = {"torque_at_phase_current_Nm": torque["torque_at_phase_current_Nm"]}
    found = {
        "speed_constant_predicted_rpm_per_V": speed_constant(wave, made.pairs, circuit.connection),
        **speed_constant_band(made, wave, circuit.connection),
        "phase_flux_linkage_Wb": float(abs(wave.flux[0, 0])),
        **torque,
        **dict(zip(DENSITIES, densities(made, wave.found), strict=True)),
        **dict(zip(DENSITIES_LOADED, densities(made, driven), strict=True)),
    }
    return FieldAnswer({name: _six(value) for name, value in found.items()}, {})


def _six(value: float) -> float:
    """Return a number with six digits: more than the mesh gives."""
    return float(f"{value:.6g}")


def _odd(values: list[float]) -> Array:
    """Return a period of an odd wave from its first half, sampled in the middles of equal steps."""
    return np.array([*values, *(-v for v in reversed(values))])


def _whole_period(made: Machine, wave: Waves) -> Array:
    """Return the angles in rad of `_odd`."""
    period = 2 * math.pi / math.lcm(made.section.slot.slots, made.section.poles)
    return (np.arange(2 * len(wave.found)) + 0.5) * period / STILL


def _torque_curve(
    made: Machine, wave: Waves, amperes: float, driven: tuple[Solution, ...]
) -> dict[str, Array]:
    """Return mean torque over current; beyond the phase current of two angles half a ripple apart."""
    angles = [math.pi / 6 / made.pairs * k for k in range(2)]
    torque, start = [np.mean([s.torque for s in driven])], driven[0]
    for share in SHARES:
        loads = [currents(made, wave, a, share * amperes) for a in angles]
        found = sweep(made.pair, angles, loads, start)
        torque.append(np.mean([s.torque for s in found]))
        start = found[0]
    return {
        "current_A": np.array([0.0, 1.0, *SHARES]) * amperes,
        "torque_at_current_Nm": made.metres * np.array([0.0, *torque]),
    }


def _magnet_figures(
    made: Machine, wave: Waves, amperes: float, coldest_C: float
) -> dict[str, float]:
    """Return the magnets' least field with the phase current straight against them, and the current
    (A r.m.s.) at which it reaches the knee: neodymium at its hottest, ferrite at its coldest.
    """
    magnet = made.section.ring.magnet
    temperature = coldest_C if magnet.ferrite else magnet.hottest_C
    share, knee = magnet.weakened(temperature)
    found = [wave.found[0]]
    against = -wave.flux[:, 0] / np.abs(wave.flux[:, 0])
    against *= np.exp(1j * made.pairs * found[0].angle)
    for current in (amperes, 3 * amperes):
        driven = ampere_turns(made, math.sqrt(2) * current * against.real)
        found.append(solve(made.pair, found[0].angle, driven, found[-1]))
    bare, rated, thrice = (_least(made, solution) for solution in found)
    slope = max((bare - thrice) / (3 * amperes), 1e-12)
    return {
        "magnet_least_field_T": bare * share - (bare - rated),
        "magnet_knee_T": knee,
        "magnet_judged_at_C": temperature,
        "demagnetisation_current_A": max(0.0, (bare * share - knee) / slope),
    }


def _least(made: Machine, solution: Solution) -> float:
    """Return the least flux density along the magnetisation in any magnet, corners left out, T."""
    side = made.pair.outer
    b, _, area = flux_density(solution, "outer")
    least = []
    for k in range(made.section.rotor.magnets_per_pole):
        label = magnet_label(k)
        material = side.materials[label]
        t = np.flatnonzero(side.mesh.label == side.mesh.names.index(label))
        cell = side.mesh.cell[t]
        axis = cell * (side.mesh.span / side.mesh.cells) + getattr(material, "axis", 0.0)
        along = b[t, :, 0] * np.cos(axis)[:, None] + b[t, :, 1] * np.sin(axis)[:, None]
        along *= (1 - 2 * (cell % 2))[:, None]
        for c in range(side.mesh.cells):
            values, weight = along[cell == c].ravel(), area[t][cell == c].ravel()
            order = np.argsort(values)
            volume = np.cumsum(weight[order]) / weight.sum()
            least.append(float(values[order][np.searchsorted(volume, CORNERS)]))
    return min(least)


def _iron_waves(made: Machine, wave: Waves) -> dict[str, Array]:
    """Return amplitudes of the waves in tooth and yoke: every tooth samples one wave at its own angle."""
    slots, p = made.section.slot.slots, made.pairs
    teeth = 2 * math.pi / slots * np.arange(made.pair.inner.mesh.cells)
    each = [steel_flux_densities(made, s) for s in wave.found]
    ahead = np.concatenate([p * (s.angle - teeth) for s in wave.found])
    orders = wave.orders
    turned = np.outer(ahead, orders)
    fitted = np.concatenate([np.cos(turned), np.sin(turned)], axis=1)
    found = {"iron_orders": orders}
    for name, k in (("tooth_wave_T", 0), ("yoke_wave_T", 1)):
        parts = np.linalg.lstsq(fitted, np.concatenate([e[k] for e in each]))[0]
        found[name] = np.hypot(parts[: len(orders)], parts[len(orders) :])
    return found
