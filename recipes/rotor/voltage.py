"""Voltages that a hand may meet: the full battery, and what the motor makes when it is driven.

    back-EMF (peak between two leads) = top speed / speed constant

The speed constant is that of a motor on a DC supply without load: 1/min for one volt. A motor that
coasts downhill or is turned by a drill makes this voltage with no battery near, and the diodes of a
controller hand it on as DC.
"""

from __future__ import annotations

import math

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import note, warn
from recipes.study.bench import any_measured
from recipes.study.bench_speed import measured_speed_constant

#: Above this DC voltage a touch may harm (IEC 62368-1 ES1 and SELV limit; from memory).
TOUCH_LIMIT_V = 60.0

#: The same for AC, r.m.s. (IEC 62368-1 ES1 to 1 kHz; from memory).
TOUCH_LIMIT_AC_V = 30.0

_SOURCE = "IEC 62368-1 ES1 limit (60 V DC, 30 V r.m.s. AC), from memory; local codes decide"

#: What to do above the limit (common practice).
STOP = (
    "stop: treat it as hazardous voltage; local rules and a qualified person apply from here on, or "
    "use a lower voltage"
)


def speed_constant(job: Job) -> tuple[float | None, str]:
    """Return the speed constant in 1/min per V, as measured before as designed, and its field."""

    if any_measured(job):
        measured = measured_speed_constant(job)
        if measured is not None:
            return measured, "measured.speed_constant"
    return job.design.motor.speed_constant, "motor.speed_constant"


def back_emf(job: Job) -> float | None:
    """Return the peak voltage between two leads at top speed, V; None if the constant is not known."""
    constant, _ = speed_constant(job)
    return None if constant is None else job.design.motor.top_speed / constant


def voltage_findings(job: Job) -> list[Finding]:
    """Return findings on the battery and on the voltage that the driven motor makes."""
    return [*_supply(job), *_driven(job)]


def _supply(job: Job) -> list[Finding]:
    volts = job.design.motor.supply_voltage
    if volts <= TOUCH_LIMIT_V:
        return []
    return [
        warn(
            "hazardous-voltage",
            "motor.supply_voltage",
            f"motor.supply_voltage = {volts:g} V is above {TOUCH_LIMIT_V:g} V DC: hazardous voltage",
            value=volts,
            limit=TOUCH_LIMIT_V,
            fix=STOP,
            source=_SOURCE,
        )
    ]


def _driven(job: Job) -> list[Finding]:
    motor, volts = job.design.motor, back_emf(job)
    if volts is None:
        return [
            note(
                "back-emf-unknown",
                "motor.speed_constant",
                (
                    "motor.speed_constant is not given: the voltage that the driven motor makes is not "
                    "judged"
                ),
                limit=TOUCH_LIMIT_V,
                fix=(
                    "enter it once the motor runs: speed without load divided by the supply voltage; until "
                    "then keep hands off bare leads of a turning motor"
                ),
                source=_SOURCE,
            )
        ]
    found, says = [], f"driven at {motor.top_speed:g} 1/min the motor makes {volts:.1f} V"
    field = speed_constant(job)[1]
    if volts > TOUCH_LIMIT_V:
        found.append(
            warn(
                "hazardous-back-emf",
                field,
                f"{says} peak between two leads, above {TOUCH_LIMIT_V:g} V DC, with no battery connected",
                value=volts,
                limit=TOUCH_LIMIT_V,
                fix=STOP,
                source=_SOURCE,
            )
        )
    elif volts / math.sqrt(2) > TOUCH_LIMIT_AC_V:
        found.append(
            note(
                "back-emf-ac",
                field,
                (
                    f"{says} peak, {volts / math.sqrt(2):.1f} V r.m.s., between two leads: above "
                    f"{TOUCH_LIMIT_AC_V:g} V r.m.s. AC"
                ),
                value=volts / math.sqrt(2),
                limit=TOUCH_LIMIT_AC_V,
                fix="cover the ends of all leads before the rotor is turned",
                source=_SOURCE,
            )
        )
    if volts > motor.supply_voltage:
        found.append(
            warn(
                "back-emf-above-supply",
                "motor.top_speed",
                (
                    f"{says}, more than the supply's {motor.supply_voltage:g} V: it charges the battery "
                    "through the controller's diodes, whether the controller is on or not"
                ),
                value=volts,
                limit=motor.supply_voltage,
                fix=(
                    "use a lower top_speed or a higher speed_constant, a battery and a controller made "
                    "for it, or a way to part the leads"
                ),
                source="common practice",
                confidence="practice",
            )
        )
    return found


def voltage_results(job: Job) -> dict[str, float | int | str]:
    """Return the back-EMF at top speed; nothing while the speed constant is not known."""
    volts = back_emf(job)
    if volts is None:
        return {}
    return {
        "back_emf_peak_v": volts,
        "touch_limit_dc_v": TOUCH_LIMIT_V,
    }
