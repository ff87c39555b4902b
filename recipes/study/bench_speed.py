"""Speed constant as measured, and what the driven and the freely turning motor showed.

    driven       k = n / (sqrt(2) U)           U: r.m.s. between two leads, the largest of the three
    no load      k = n / (U - I R)             R: between two leads, as measured or as designed

Both in 1/min for one volt. The driven figure is the better one: no controller, no drag in it. The
torque for one ampere of DC follows, 30 / (pi k) N m/A: energy in equals energy out (SI).
"""

from __future__ import annotations

import math
from typing import Final

from recipes.job import Job
from recipes.refusal import Refused
from recipes.study.bench_leads import bench_temp_C, measured_leads, turn_share
from recipes.study.bench_row import Beside, judged

DRIVEN_SPREAD: Final = 0.03
"""Voltages of the three lead pairs: largest deviation from their mean (common practice)."""

CONSTANT_OFF: Final = 0.05
"""Measured against reckoned speed constant: magnets and gap rarely agree better (common practice)."""


def driven_speed_constant(job: Job) -> float | None:
    """Return the speed constant by the driven voltages, 1/min per V; None if not measured."""
    bench = job.design.measured
    volts = [v for v in bench.driven if v is not None]
    if not volts or bench.driven_speed is None:
        return None
    return bench.driven_speed / (math.sqrt(2.0) * max(volts))


def no_load_speed_constant(job: Job) -> float | None:
    """Return the speed constant by the run without load, 1/min per V; None if not measured."""
    bench = job.design.measured
    if bench.no_load_speed is None or bench.no_load_voltage is None:
        return None
    left = bench.no_load_voltage
    if bench.no_load_current:
        left -= bench.no_load_current * _lead_ohm(job)
    return bench.no_load_speed / left if left > 0.0 else None


def measured_speed_constant(job: Job) -> float | None:
    """Return the speed constant as measured, driven before no load; None if neither was."""
    driven = driven_speed_constant(job)
    return no_load_speed_constant(job) if driven is None else driven


def torque_constant(speed_constant: float) -> float:
    """Return N m for one ampere of DC from 1/min for one volt of DC."""
    return 30.0 / (math.pi * speed_constant)


def _lead_ohm(job: Job) -> float:
    leads = measured_leads(job)
    if leads is not None:
        return leads.mean
    try:
        return job.resistance.lead_at(bench_temp_C(job))
    except Refused:
        return 0.0


def speed_rows(job: Job) -> tuple[Beside, ...]:
    """Return driven voltages, their balance, speed constant and no-load current."""
    return (*_driven(job), _constant(job), _no_load(job))


def _driven(job: Job) -> tuple[Beside, ...]:
    bench, constant = job.design.measured, job.design.motor.speed_constant
    expected = low = high = None
    if constant is not None and bench.driven_speed is not None:
        expected = bench.driven_speed / (math.sqrt(2.0) * constant)
        low, high = expected * (1.0 - CONSTANT_OFF), expected * (1.0 + CONSTANT_OFF)
    at = "" if bench.driven_speed is None else f" at {bench.driven_speed:g} 1/min"
    rows = [
        Beside(
            f"measured.driven_{key}",
            f"AC voltage between leads {names}{at}, turned from outside",
            expected,
            value,
            "V",
            low,
            high,
            "5 % of the speed constant",
            judged(value, low, high),
            "" if judged(value, low, high) != "look" else "see the speed constant",
        )
        for key, names, value in zip(
            ("u_v", "v_w", "w_u"), ("U and V", "V and W", "W and U"), bench.driven, strict=True
        )
    ]
    return (*rows, _balance(job))


def _balance(job: Job) -> Beside:
    volts = [v for v in job.design.measured.driven if v is not None]
    spread = None
    if len(volts) == 3:
        mean = math.fsum(volts) / 3.0
        spread = 100.0 * max(abs(v - mean) for v in volts) / mean
    percent = 100.0 * DRIVEN_SPREAD
    verdict = judged(spread, None, percent, far=percent)
    meaning = ""
    if verdict in ("look", "off"):
        series = job.circuit.coils_in_series
        meaning = (
            f"usually a turn miscounted ({100.0 * turn_share(job):.2g} % of a phase each), a coil "
            f"wound the wrong way round ({200.0 / series:.3g} % of its path; no resistance shows "
            "it), or shorted turns, which also brake and warm"
        )
    return Beside(
        "measured.driven",
        "largest deviation of a driven voltage from the mean of three",
        0.0,
        spread,
        "%",
        None,
        percent,
        "3 %, one speed for all three",
        verdict,
        meaning,
    )


def _constant(job: Job) -> Beside:
    expected, measured = job.design.motor.speed_constant, measured_speed_constant(job)
    low = high = None
    if expected is not None:
        low, high = expected * (1.0 - CONSTANT_OFF), expected * (1.0 + CONSTANT_OFF)
    verdict = judged(measured, low, high, far=0.15 * (expected or 0.0))
    meaning = ""
    if measured is not None:
        how = "driven" if driven_speed_constant(job) is not None else "run without load"
        meaning = f"by the {how} motor; {torque_constant(measured):.4g} N m per ampere of DC"
        if verdict in ("look", "off") and expected is not None:
            meaning += (
                "; a higher constant usually means fewer turns, a wider gap, weaker magnets or delta "
                "instead of wye"
                if measured > expected
                else "; a lower constant usually means more turns, a smaller gap, stronger magnets "
                "or wye instead of delta"
            )
        meaning += "; the voltage flags use the measured figure"
    return Beside(
        "measured.speed_constant",
        "speed constant",
        expected,
        measured,
        "1/min per V",
        low,
        high,
        "5 % of motor.speed_constant",
        verdict,
        meaning,
    )


def _no_load(job: Job) -> Beside:
    bench = job.design.measured
    meaning = ""
    if bench.no_load_current is not None:
        loss = (
            f"{bench.no_load_voltage * bench.no_load_current:.3g} W of drag in iron, bearings and air; "
            if bench.no_load_voltage is not None
            else ""
        )
        meaning = (
            f"{loss}not in the model. Compare it with itself: more after a repair usually means a "
            "shorted turn, sheets shorted by burrs, a rubbing wedge or sensors set off neutral"
        )
    return Beside(
        "measured.no_load_current",
        "current of the freely turning motor",
        None,
        bench.no_load_current,
        "A",
        None,
        None,
        "none: iron and friction are not in the model",
        judged(bench.no_load_current, None, None),
        meaning,
    )
