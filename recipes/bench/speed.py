"""What the driven and the freely turning motor showed: voltages, speed constant, drag.

The torque for one ampere of DC follows from the speed constant, 30 / (pi k) N m/A: energy in equals
energy out (SI). How the constant itself follows: `recipes.rotor.voltage`.
"""

from __future__ import annotations

import math
from typing import Final

from recipes.bench.leads import PAIRS, Leads
from recipes.bench.reading import Reading, judged
from recipes.design.bench import Bench
from recipes.rotor.voltage import SpeedConstant
from recipes.winding.circuit import Circuit

DRIVEN_SPREAD: Final = 3.0
"""Voltages of the three lead pairs: largest deviation from their mean, percent (common practice)."""

CONSTANT_OFF: Final = 0.05
"""Measured against reckoned speed constant: magnets and gap rarely agree better (common practice)."""


def torque_constant(speed_constant: float) -> float:
    """Return N m for one ampere of DC from 1/min for one volt of DC."""
    return 30.0 / (math.pi * speed_constant)


def speed_results(constant: SpeedConstant, leads: Leads | None) -> dict[str, float | int | str]:
    """Return what follows from a measured speed constant; nothing while it is not measured."""
    if constant.measured is None:
        return {}
    torque = torque_constant(constant.measured)
    results: dict[str, float | int | str] = {
        "speed_constant_measured_per_min_V": constant.measured,
        "torque_constant_measured_Nm_per_A": torque,
    }
    if leads is not None:
        results["torque_per_root_watt_measured"] = torque / math.sqrt(leads.mean_20C)
    return results


def _limits(expected: float | None) -> tuple[float | None, float | None]:
    if expected is None:
        return None, None
    return expected * (1.0 - CONSTANT_OFF), expected * (1.0 + CONSTANT_OFF)


def driven_readings(bench: Bench, designed: float | None) -> list[Reading]:
    """Return the voltages of the driven motor against the speed constant as designed, 1/min per V."""
    expected, at = None, ""
    if bench.driven_speed is not None:
        at = f" at {bench.driven_speed:g} 1/min"
        if designed is not None:
            expected = bench.driven_speed / (math.sqrt(2.0) * designed)
    low, high = _limits(expected)
    rows = []
    for (pair, names), value in zip(PAIRS, bench.driven, strict=True):
        verdict = judged(value, low, high)
        rows.append(
            Reading(
                f"measured.driven_{pair}",
                f"AC voltage between leads {names}{at}, turned from outside",
                expected,
                value,
                "V",
                low,
                high,
                "5 % of the speed constant",
                verdict,
                "see the speed constant" if verdict == "look" else "",
            )
        )
    return rows


def driven_spread(bench: Bench) -> float | None:
    """Return the largest deviation of a driven voltage from the mean of three, percent."""
    volts = [v for v in bench.driven if v is not None]
    if len(volts) < 3:
        return None
    mean = math.fsum(volts) / 3.0
    return 100.0 * max(abs(v - mean) for v in volts) / mean


def driven_balance(spread: float | None, circuit: Circuit | None) -> Reading:
    """Return the balance of the driven voltages.

    Args:
        spread: as of `driven_spread`.
        circuit: of the winding; needed only where the spread is more than `DRIVEN_SPREAD`.
    """
    verdict = judged(spread, None, DRIVEN_SPREAD, far=DRIVEN_SPREAD)
    meaning = ""
    if verdict in ("look", "off") and circuit is not None:
        meaning = (
            f"usually a turn miscounted ({100.0 * circuit.turn_share:.2g} % of a phase each), a coil "
            f"wound the wrong way round ({200.0 / circuit.coils_in_series:.3g} % of its path; no "
            "resistance shows it), or shorted turns, which also brake and warm"
        )
    return Reading(
        "measured.driven",
        "largest deviation of a driven voltage from the mean of three",
        0.0,
        spread,
        "%",
        None,
        DRIVEN_SPREAD,
        "3 %, one speed for all three",
        verdict,
        meaning,
    )


def constant_reading(designed: float | None, constant: SpeedConstant) -> Reading:
    """Return the speed constant against the one that is designed, 1/min per V."""
    measured, (low, high) = constant.measured, _limits(designed)
    verdict = judged(measured, low, high, far=0.15 * (designed or 0.0))
    meaning = ""
    if measured is not None:
        meaning = (
            f"by the {constant.origin} motor; {torque_constant(measured):.4g} N m per ampere of DC"
        )
        if verdict in ("look", "off") and designed is not None:
            meaning += (
                "; a higher constant usually means fewer turns, a wider gap, weaker magnets or delta "
                "instead of wye"
                if measured > designed
                else "; a lower constant usually means more turns, a smaller gap, stronger magnets "
                "or wye instead of delta"
            )
        meaning += "; the voltage flags use the measured figure"
    return Reading(
        "measured.speed_constant",
        "speed constant",
        designed,
        measured,
        "1/min per V",
        low,
        high,
        "5 % of motor.speed_constant",
        verdict,
        meaning,
    )


def no_load_reading(volts: float | None, amperes: float | None) -> Reading:
    """Return the current of the freely turning motor; nothing is known to hold it against."""
    meaning = ""
    if amperes is not None:
        loss = (
            "" if volts is None else f"{volts * amperes:.3g} W of drag in iron, bearings and air; "
        )
        meaning = (
            f"{loss}not in the model. Compare it with itself: more after a repair usually means a "
            "shorted turn, sheets shorted by burrs, a rubbing wedge or sensors set off neutral"
        )
    return Reading(
        "measured.no_load_current",
        "current of the freely turning motor",
        None,
        amperes,
        "A",
        None,
        None,
        "none: iron and friction are not in the model",
        judged(amperes, None, None),
        meaning,
    )
