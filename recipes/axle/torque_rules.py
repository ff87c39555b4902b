"""What people are told about torque: does the key hold, do the flats, does anything?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, Literal

from recipes.axle.torque_hold import (
    FRICTION,
    KEY_YIELD,
    SHEET_YIELD,
    clamp_diameter,
    clamp_force,
    flat_loads,
    glue_shear,
    key_load,
    motor_torque,
)
from recipes.refusal import finding
from recipes.tables.axle_steel import axle_steel_of

if TYPE_CHECKING:
    from geometry.finding import Finding
    from recipes.job import Job

#: Safety against yielding in shear and pressure: torque that comes and goes, braking among it.
LEAST_HOLD: Final = 2.0

#: Shear that hand-set epoxy or retaining compound holds for years, MPa: a fifth of what makers
#: print for ground, degreased steel with the right gap (common practice).
GLUE_HOLDS: Final = 2.0

SHEAR: Final = 1 / math.sqrt(3)

#: Said wherever the axle is held against turning.
BRAKING: Final = "braking by the motor turns the load round: a torque arm on each side, or one that holds both ways"

_PRACTICE: tuple[str, Literal["practice"]] = ("common practice", "practice")
_KEY_SOURCE: tuple[str, Literal["practice"]] = (
    "key: F = 2 T / (d n phi), shear F / (b l), pressure F / (h l); DIN 6892 method C, Roloff/Matek",
    "practice",
)


def torque_findings(job: Job) -> list[Finding]:
    """Return what must be said about the way of the torque; nothing without one.

    Raises:
        Refused: features of the axle overlap or leave it.
    """
    found = _motor(job)
    if job.design.axle.load.torque > 0.0:
        found += [*_keys(job), *_bond(job), *_flats(job), *_clamp(job)]
    return found


def _motor(job: Job) -> list[Finding]:
    """The torque that the axle is judged for is at least the motor's own."""
    given, makes = job.design.axle.load.torque, motor_torque(job)
    if makes is None or makes <= given * 1.01:
        return []
    return [
        finding(
            "warn", "torque-below-motor", "axle.load.torque", given, makes,
            f"axle.load.torque = {given:g} Nm, but at motor.phase_current = "
            f"{job.design.motor.phase_current:g} A the motor itself turns with about {makes:.1f} Nm: axle, "
            "key and flats are judged for too little",
            f"use axle.load.torque = {math.ceil(10 * makes) / 10:g} or more; short peaks of current make "
            "more still",
            "T = 3/2 E I, sine currents in phase with the voltage; any motor textbook", "practice",
        )
    ]  # fmt: skip


def _keys(job: Job) -> list[Finding]:
    load = key_load(job)
    if load is None:
        return []
    axle_yield = axle_steel_of(job).yield_MPa
    torque = job.design.axle.load.torque
    judged = (
        (load.shear, SHEAR * KEY_YIELD, "shears the key", "hub.keyway.width"),
        (load.hub_pressure, SHEET_YIELD, "presses on the edges of the sheets", "hub.keyway.depth"),
        (load.axle_pressure, min(axle_yield, KEY_YIELD), "presses on the seat in the axle",
         "axle.key_seat.depth"),
    )  # fmt: skip
    stress, limit, what, field = max(judged, key=lambda j: j[0] / j[1])
    if stress <= limit / LEAST_HOLD:
        return []
    return [
        finding(
            "stop" if stress > limit else "warn", "key-overloaded", field, stress, limit / LEAST_HOLD,
            f"{field}: {torque:g} Nm put {load.force:.0f} N on each key, which {what} with "
            f"{stress:.0f} MPa, more than {limit / LEAST_HOLD:.0f} MPa ({LEAST_HOLD:g} times safe against "
            "yielding): the stack works loose, turns on the axle and tears the leads",
            f"use keys {LEAST_HOLD * stress / limit:.1f} times as long with a longer stack, or a wider and "
            "deeper hub.keyway, or more of them (hub.keyway.count); glue the stack as well",
            *_KEY_SOURCE,
        )
    ]  # fmt: skip


def _bond(job: Job) -> list[Finding]:
    """Without key or flats only glue, or a press fit, holds the stack."""
    hub = job.design.hub
    if hub.keyway or hub.flats:
        return []
    shear, torque = glue_shear(job), job.design.axle.load.torque
    held = shear <= GLUE_HOLDS
    return [
        finding(
            "note" if held else "warn", "stack-held-by-glue", "hub.keyway", shear, GLUE_HOLDS,
            f"neither hub.keyway nor hub.flats: {torque:g} Nm hang on the glue between stack and axle, "
            f"{shear:.2f} MPa all round the seat; hand-set glue holds {GLUE_HOLDS:g} MPa for years. Stacks "
            "that came loose have turned on their axle and torn off the leads",
            ("this holds if the gap is small and even, both faces are free of grease, and the coils stay "
             "cooler than the glue allows; " if held else "")
            + "safer: give hub.keyway, or drill and pin the stack to the collar",
            "tau = 2 T / (pi d^2 L); limit common practice", "practice",
        )
    ]  # fmt: skip


def _flats(job: Job) -> list[Finding]:
    """Flats do not crush, and neither does the arm on them."""
    found, axle_yield = [], axle_steel_of(job).yield_MPa
    for load in flat_loads(job):
        weaker = min(axle_yield, load.arm_yield)
        if load.pressure <= weaker / LEAST_HOLD:
            continue
        soft = "the arm" if load.arm_yield < axle_yield else "the axle"
        longer = load.length * LEAST_HOLD * load.pressure / weaker
        found.append(
            finding(
                "stop" if load.pressure > weaker else "warn", "flats-crush", f"{load.field}.length",
                load.pressure, weaker / LEAST_HOLD,
                f"{load.field}: {load.torque:g} Nm press on the edges of the flats with "
                f"{load.pressure:.0f} MPa and spread their slot with {load.spread:.0f} N; {soft} yields at "
                f"{weaker:g} MPa: flats round off, the axle spins and winds up the leads",
                f"use flats and arm {longer:.0f} mm long, a second arm, or a smaller `across`; {BRAKING}",
                "two triangles of pressure, T = p l w^2 / 6; common practice", "practice",
            )
        )  # fmt: skip
    return found


def _clamp(job: Job) -> list[Finding]:
    """An axle without flats is held by friction only."""
    if flat_loads(job):
        return []
    torque, force, size = job.design.axle.load.torque, clamp_force(job), clamp_diameter(job)
    return [
        finding(
            "note", "axle-held-by-friction", "axle.flats", 0, None,
            f"axle.flats: none in the frame, so {torque:g} Nm are held by friction: a clamp on "
            f"{size:g} mm must press with {force:.0f} N in all (friction {FRICTION:g}, dry). An axle that "
            "slips winds up its leads within a turn",
            f"use a split clamp with screws for twice that, or give axle.flats; {BRAKING}", *_PRACTICE,
        )
    ]  # fmt: skip


def torque_results(job: Job) -> dict[str, float | int | str]:
    """Return forces and stresses on the way of the torque; nothing without one.

    Raises:
        Refused: features of the axle overlap or leave it.
    """
    results: dict[str, float | int | str] = {}
    makes = motor_torque(job)
    if makes is not None:
        results["motor_torque_at_phase_current_Nm"] = makes
    if job.design.axle.load.torque == 0.0:
        return results
    key = key_load(job)
    if key:
        results |= {
            "key_force_N": key.force,
            "key_shear_MPa": key.shear,
            "key_pressure_on_sheets_MPa": key.hub_pressure,
            "key_pressure_on_axle_MPa": key.axle_pressure,
        }
    results["stack_glue_shear_if_alone_MPa"] = glue_shear(job)
    flats = flat_loads(job)
    for k, load in enumerate(flats, 1):
        results |= {
            f"flats_{k}_edge_pressure_MPa": load.pressure,
            f"flats_{k}_spread_N": load.spread,
        }
    if not flats:
        results["clamp_force_needed_N"] = clamp_force(job)
    return results
