"""How fast the copper heats before any heat leaves it: the adiabatic law of IEC 60364-5-54.

All loss stays in the copper, whose resistance rises with temperature:

    J^2 t = K^2 ln((B + T2) / (B + T1))     K^2 = Qc (B + 20) / rho20 = 226^2 A^2 s/mm4

J in A/mm2, t in s, T in C, B = 234.5 C, Qc = 3.45e-3 J/(K mm3), rho20 = 1/58 ohm mm2/m.
Times are therefore too short rather than too long: enamel, paper and air take some heat away.

How this agrees with the trade (common practice): about 10 A in one strand of 0.64 mm bring a
coil in still air from room temperature to the verge of too hot to touch in about 5 s. Here
J = 31.1 A/mm2, 4.8 K/s at the start: 4.8 s from 20 C to 44 C, where skin begins to hurt; 6.1 s
(from 25 C: 5.0 s) to `TOUCH_LIMIT_C`.

A wire two AWG numbers thicker carries "about half as much again" before it gets hot, while this
law says 92^(4/39) = 1.59, the ratio of areas. Both hold: within the first seconds the copper only
stores heat, and current goes with the area, d^2. The longer one waits, the more heat leaves
through the surface, which grows with d only; in the end current goes with d^1.5, 92^(3/39) = 1.42.
With both effects, for a single wire in air (`tests/recipes/heat/test_heat.py`), 0.64 mm against
two gauges thicker gives 1.5 when the limit is reached after 20 to 45 s.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from recipes.design.winding import Motor, Winding
from recipes.tables.copper import (
    HEAT_CAPACITY_J_PER_K_MM3,
    INFERRED_ZERO_C,
    RESISTIVITY_20C_OHM_MM2_PER_M,
    resistance_ratio,
)

K2_A2_S_PER_MM4: Final = (
    HEAT_CAPACITY_J_PER_K_MM3 * (INFERRED_ZERO_C + 20.0) / (RESISTIVITY_20C_OHM_MM2_PER_M / 1000.0)
)
"""Square of the constant K = 226 A s^0.5/mm2 of copper, IEC 60364-5-54 Annex A, IEC 60949."""

TOUCH_LIMIT_C: Final = 51.0
"""Skin burns after one minute on any material (ISO 13732-1 and EN 563, from memory). Pain begins
at 44 C; 60 C burns in under 5 s (published burn tables)."""

TOUCH_SOURCE: Final = "ISO 13732-1, burn threshold for a contact of 1 min, from memory"


@dataclass(frozen=True)
class StandingCase:
    """What the phases carry, as multiples of `motor.phase_current`.

    Args:
        name: in plain words.
        hottest: current in the hottest phase.
        loss: sum of the squares over three phases; loss = this x I^2 x phase resistance.
    """

    name: str
    hottest: float
    loss: float


MOVING: Final = StandingCase("moving: three phases share it as sine currents (r.m.s.)", 1.0, 3.0)

STALLED: Final = {
    "wye": StandingCase("standing: two phases in series carry it, the third nothing", 1.0, 2.0),
    "delta": StandingCase(
        "standing: one phase carries it, the other two in series half of it", 1.0, 1.5
    ),
}
"""A block-commutated drive at standstill: current in the hottest phase is `motor.phase_current`."""

STALLED_AT_PEAK: Final = StandingCase(
    "standing at the peak of a sine: one phase 1.41 x, the others 0.71 x", math.sqrt(2.0), 3.0
)
"""A sine drive set to the same r.m.s. current, rotor held where one phase peaks."""


@dataclass(frozen=True)
class Heating:
    """Adiabatic heating of the hottest phase.

    Args:
        case: which phases carry what.
        density_A_per_mm2: current density in that phase.
        rate_K_per_s: rise at the start.
        to_touch_s: from the surroundings to `TOUCH_LIMIT_C`; 0 if they are warmer.
        to_class_s: from the surroundings to the thermal class of the enamel.
    """

    case: StandingCase
    density_A_per_mm2: float
    rate_K_per_s: float
    to_touch_s: float
    to_class_s: float


def heating_rate_K_per_s(density_A_per_mm2: float, temp_C: float = 20.0) -> float:
    """Return the rise in K/s of copper at `temp_C` that keeps all its heat.

    0.4997 K/s at 10 A/mm2 and 20 C. Raises TableError for a temperature off the straight line.
    """
    at_20 = density_A_per_mm2**2 * (INFERRED_ZERO_C + 20.0) / K2_A2_S_PER_MM4
    return at_20 * resistance_ratio(temp_C)


def seconds_to(density_A_per_mm2: float, start_C: float, end_C: float) -> float:
    """Return the time in s in which copper that keeps its heat goes from `start_C` to `end_C`.

    0 if `end_C` is not above `start_C`; infinite without current.
    """
    if end_C <= start_C:
        return 0.0
    if density_A_per_mm2 == 0.0:
        return math.inf
    rise = math.log((INFERRED_ZERO_C + end_C) / (INFERRED_ZERO_C + start_C))
    return K2_A2_S_PER_MM4 * rise / density_A_per_mm2**2


def heating_of(motor: Motor, winding: Winding, density_A_per_mm2: float) -> tuple[Heating, ...]:
    """Return the heating in the duty of the design first, then the other cases, peak last.

    Args:
        motor: duty and surroundings.
        winding: connection and class of the enamel.
        density_A_per_mm2: at the design current.
    """
    moving, stalled = MOVING, STALLED[winding.connection]
    first, second = (stalled, moving) if motor.duty == "stalled" else (moving, stalled)
    start, limit = motor.ambient, float(winding.enamel_class)
    found = []
    for case in (first, second, STALLED_AT_PEAK):
        density = density_A_per_mm2 * case.hottest
        found.append(
            Heating(
                case=case,
                density_A_per_mm2=density,
                rate_K_per_s=heating_rate_K_per_s(density, start),
                to_touch_s=seconds_to(density, start, TOUCH_LIMIT_C),
                to_class_s=seconds_to(density, start, limit),
            )
        )
    return tuple(found)


def heat_results(heating: Heating) -> dict[str, float | int | str]:
    """Return density, rate and times of the design's duty for `results.json`."""
    return {
        "current_density_A_per_mm2": heating.density_A_per_mm2,
        "heating_rate_K_per_s": heating.rate_K_per_s,
        "seconds_to_touch_limit": heating.to_touch_s,
        "seconds_to_class_limit": heating.to_class_s,
    }
