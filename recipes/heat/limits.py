"""Findings about heat: burns, enamel at its limit, no steady state."""

from __future__ import annotations

from typing import Final

from geometry.finding import Finding
from recipes.design.winding import Motor
from recipes.heat.adiabatic import TOUCH_LIMIT_C, TOUCH_SOURCE, Heating
from recipes.heat.steady import SOURCE, SteadyHeat
from recipes.refusal import finding, stop

QUICK_TOUCH_S: Final = 10.0
"""Faster than this to the touch limit: warn (common practice)."""

QUICK_CLASS_S: Final = 10.0
"""Faster than this to the enamel's class: nobody switches off in time, stop (common practice)."""

BURN_CAUTION: Final = (
    "Coils burn skin within seconds and hide it: never hold a standing motor on full current "
    "without a current limit and a time limit; let it cool before you touch it; keep varnish and "
    "paper away from it."
)
"""For every page on which current is first switched on."""

ADIABATIC_SOURCE: Final = "IEC 60364-5-54 Annex A, no heat leaves the copper"


def heat_findings(motor: Motor, heating: tuple[Heating, ...], steady: SteadyHeat) -> list[Finding]:
    """Judge the design current by time to touch limit and class, and by the steady estimate.

    Args:
        motor: current, duty and surroundings.
        heating: in the duty of the design first, at the peak of a sine last.
        steady: where the copper settles.
    """
    first, peak = heating[0], heating[-1]
    return [
        *_touch(motor, first, peak),
        *_class(motor.phase_current, first, steady.class_C),
        *_steady(motor.phase_current, steady),
    ]


def _touch(motor: Motor, heating: Heating, peak: Heating) -> list[Finding]:
    quick = heating.to_touch_s < QUICK_TOUCH_S
    if not quick and motor.duty == "moving":
        return []
    amperes = heating.density_A_per_mm2
    return [
        finding(
            "warn" if quick else "note",
            "hot-in-seconds",
            "motor.phase_current",
            f"motor.phase_current = {motor.phase_current:g} A ({heating.case.name}; {amperes:.1f} "
            f"A/mm2): copper goes from {motor.ambient:g} C to {TOUCH_LIMIT_C:g} C in "
            f"{_time(heating.to_touch_s)}, on a sine drive that stands at a peak in "
            f"{_time(peak.to_touch_s)}",
            value=heating.to_touch_s,
            limit=QUICK_TOUCH_S,
            fix=f"limit current and time in the controller. {BURN_CAUTION}",
            source=f"{ADIABATIC_SOURCE}; {TOUCH_SOURCE}",
        )
    ]


def _class(current: float, heating: Heating, limit: float) -> list[Finding]:
    if heating.to_class_s >= QUICK_CLASS_S:
        return []
    return [
        stop(
            "enamel-burns-at-once",
            "motor.phase_current",
            f"motor.phase_current = {current:g} A: {heating.density_A_per_mm2:.0f} A/mm2 "
            f"brings the enamel to its class of {limit:g} C in {_time(heating.to_class_s)}",
            value=heating.to_class_s,
            limit=QUICK_CLASS_S,
            fix=f"use {current * (heating.to_class_s / 60.0) ** 0.5:.2g} A or less (one minute), more "
            "copper or more parallel paths",
            source=f"{ADIABATIC_SOURCE}; IEC 60085; 10 s common practice",
            confidence="practice",
        )
    ]


def _steady(current: float, steady: SteadyHeat) -> list[Finding]:
    """Compare the band with the thermal class: above it in all, in part, or not at all."""
    limit = steady.class_C
    if steady.worst_C is not None and steady.worst_C <= limit:
        return []
    never = steady.best_C is None or steady.best_C > limit
    return [
        finding(
            "warn" if never else "note",
            "not-for-long",
            "motor.phase_current",
            f"motor.phase_current = {current:g} A {'cannot' if never else 'may not'} be held in still air: "
            f"{_settled(steady)}; enamel of class {limit:g} C",
            value=current,
            limit=steady.most_A if never else steady.least_A,
            fix=f"for long take {steady.least_A:.2g} A (dry) to {steady.most_A:.2g} A (varnished), watched "
            "by a sensor in the winding; more only in bursts with pauses",
            source=f"{SOURCE}; IEC 60085",
            confidence="practice",
        )
    ]


def _settled(steady: SteadyHeat) -> str:
    """Return where copper settles with the best and the worst layers, in words."""
    best, worst = (
        "runs away (no steady state)" if t is None else f"settles at {t:.0f} C"
        for t in (steady.best_C, steady.worst_C)
    )
    good, bad = "varnished, tight and on a metal frame", "dry, loose and without frame"
    if best == worst:
        return f"copper {best}, whether {good} or {bad}"
    return f"copper {best} if {good}, {worst} if {bad}"


def _time(seconds: float) -> str:
    """Return a time as people say it."""
    if seconds < 120.0:
        return f"{seconds:.2g} s" if seconds < 10.0 else f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min"
