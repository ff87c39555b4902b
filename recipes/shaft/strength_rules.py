"""What people are told about the axle's strength: findings and figures."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import finding, stop, warn
from recipes.shaft.load import frame_findings
from recipes.shaft.notch_factor import HOLE_BENDING_LIMIT
from recipes.shaft.strength import AxleStrength, Place
from recipes.shaft.wire_slot_rules import slot_to_the_side
from recipes.tables.axle_steel import AxleSteel, axle_steel, list_axle_steels

#: Least safety against yielding, and least factor for the long run, below which people are told.
LEAST_STATIC: Final = 2.0
LEAST_LONG_RUN: Final = 1.5

#: Another direction of the slot is told if it is this much stronger.
TELL_ANGLE: Final = 1.25

PROOF: Final = (
    "This is arithmetic, no proof: who rides, lifts or lets others stand near this axle has it "
    "checked by a qualified person and tries it, guarded, before first use"
)
"""Caution wherever the axle's strength is told."""

_PRACTICE: Final = "Roark, Peterson and Shigley for notches, common practice for the limit"


def axle_load_findings(axle: Axle) -> list[Finding]:
    """Return what must be said about an axle without load."""
    if axle.load.force or axle.load.torque or axle.load.axial:
        return []
    return [
        *frame_findings(axle),
        warn(
            "axle-load-unknown",
            "axle.load",
            "axle.load gives neither force nor torque: nobody can say whether the axle holds at its wire "
            "slot",
            value=0.0,
            fix="give axle.load = { force, overhang, torque, held, grip }; lamwright schema tells what each means",
            source=_PRACTICE,
            confidence="practice",
        ),
    ]


def axle_strength_findings(axle: Axle, strength: AxleStrength) -> list[Finding]:
    """Return what must be said about the strength of an axle; nothing without load."""
    if not (axle.load.force or axle.load.torque or axle.load.axial):
        return []
    return [
        *_material(axle.material, strength.steel),
        *_static(axle.stock_diameter, strength),
        *_long_run(strength),
        *_table(strength),
        *_angle(axle, strength),
    ]


def _material(material: str, steel: AxleSteel) -> Iterator[Finding]:
    why = {
        "unknown": "is not in the table of steels: counted as the weakest of it",
        "condition open": "does not say its condition: counted as the weakest of its grade",
        "bar too thick": "is not in the table at this thickness of bar: counted as its thickest row",
    }.get(steel.match)
    if why is None:
        return
    known = ", ".join(sorted({s.name for s in list_axle_steels()}))
    words = f"{steel.name} {steel.condition}".strip()
    yield warn(
        "axle-steel-open",
        "axle.material",
        f"axle.material = {material!r} {why}, {words}, yield {steel.yield_MPa:g} MPa, tensile "
        f"strength {steel.tensile_MPa:g} MPa",
        value=material,
        fix=f"name grade and condition ({known}), or give axle.yield_strength and "
        "axle.tensile_strength from the bar's certificate",
        source=steel.source,
        confidence="practice",
    )


def _static(stock: float, strength: AxleStrength) -> Iterator[Finding]:
    least = strength.least
    if least.safety >= LEAST_STATIC:
        return
    yield stop(
        "axle-too-weak",
        least.field,
        f"axle: safety against yielding is {least.safety:.2f} at the {_where(least)}, below "
        f"{LEAST_STATIC:g}: {_stress(strength, least)}",
        value=least.safety,
        limit=LEAST_STATIC,
        fix="; or ".join(_ways(stock, strength)) + f". {PROOF}",
        source=_PRACTICE,
        confidence="practice",
    )


def _where(place: Place) -> str:
    return f"{place.name}, {place.z:.4g} mm from face A"


def _stress(strength: AxleStrength, place: Place) -> str:
    at, notch, factors = place.forces, place.notch, ""
    if notch.bending > 1.0:
        factors = f", notch factors {notch.bending:.2f} and {notch.torsion:.2f}"
    return (
        f"bending {abs(at.moment) / 1000:.3g} Nm, torque {abs(at.torque) / 1000:.3g} Nm{factors} make "
        f"{place.stress.static:.0f} MPa of {strength.steel.yield_MPa:g} MPa"
    )


def _ways(stock: float, strength: AxleStrength) -> list[str]:
    """Return changes, those that suffice alone first named with the safety that they give."""
    least, found = strength.least, []
    slot = strength.case.slot
    rest = min((p.safety for p in strength.places if not p.slotted), default=math.inf)
    if least.slotted:
        angle, turned = strength.best_angle()
        tried = (
            (turned, f"turn the wire slot to {angle:g} deg"),
            (strength.half_as_wide, f"make it {slot.width / 2:.3g} mm wide"),
            (strength.two_thirds_as_long, f"make it {slot.length / 1.5:.3g} mm long"),
        )
        found += [
            f"{words} (safety {min(safety, rest):.2f})"
            for safety, words in tried
            if min(safety, rest) > 1.02 * least.safety
        ]
    elif least.notch.bending > 1.0:
        found.append(
            "lower the step (axle.land_diameter nearer to the bearing's bore), or put a ring with a large "
            "inner chamfer between bearing and step and round the corner more"
            if "bearing seat" in least.name
            else "use a larger round there, or a lower step"
        )
    found += _stronger(stock, strength)
    found.append("make the axle thicker there, or its bore smaller")
    share = least.safety / LEAST_STATIC
    found.append(f"let it carry at most {100 * share:.0f} % of this force and torque")
    return found


def _stronger(stock: float, strength: AxleStrength) -> list[str]:
    """Return the weakest steel of the table that would do as a bar of `stock` mm, if there is one."""
    needed = strength.steel.yield_MPa * LEAST_STATIC / strength.least.safety
    bars = (axle_steel(f"{s.name} {s.condition}", stock) for s in list_axle_steels())
    fitting = [b for b in bars if b.match == "exact" and b.yield_MPa >= needed]
    if not fitting:
        return []
    best = min(fitting, key=lambda b: (b.yield_MPa, b.name))
    return [f"use a steel with yield {needed:.0f} MPa, such as {best.name} {best.condition}"]


def _long_run(strength: AxleStrength) -> Iterator[Finding]:
    worst, criterion = strength.least_long_run, strength.case.criterion
    load = (
        "the force turns with the rotor and bends the axle to and fro"
        if criterion.turns
        else "the force stands still; start and stop load and unload the axle"
    )
    low = worst.long_run < LEAST_LONG_RUN
    grow = (
        f"make stress there {LEAST_LONG_RUN / worst.long_run:.2g} times smaller: larger rounds, a "
    )
    yield finding(
        "warn" if low else "note",
        "axle-long-run",
        worst.field,
        f"axle in the long run (estimate): factor {worst.long_run:.2f} at the {_where(worst)}; "
        f"{load}. In water, rusty, or worn under a loose ring it is less",
        value=worst.long_run,
        limit=LEAST_LONG_RUN,
        fix=(f"{grow}thicker axle, a slot out of the load. " if low else "")
        + f"Look for cracks at the wire slot and at steps when serviced. {PROOF}",
        source="Goodman, endurance 0.5 Rm with factors for surface, size, notch and 99 %: Shigley ch. 6",
        confidence="practice",
    )


def _table(strength: AxleStrength) -> Iterator[Finding]:
    slot = strength.case.slot
    size = strength.outside_at(slot.from_face + slot.length / 2)
    most = HOLE_BENDING_LIMIT * size
    if slot.width <= most + 1e-9:
        return
    yield warn(
        "slot-beyond-notch-table",
        "axle.wire_slot.width",
        f"axle.wire_slot.width = {slot.width:g} mm is more than "
        f"{HOLE_BENDING_LIMIT:g} of the axle's {size:g} mm: the notch factor there is stretched "
        "beyond its table",
        value=slot.width,
        limit=most,
        fix=f"use at most {most:.2f} mm, or trust the safety at the slot less",
        source="Roark Table 17.1",
    )


def _angle(axle: Axle, strength: AxleStrength) -> Iterator[Finding]:
    """Tell of a better direction for the slot where that would save the axle strength."""
    now = strength.at_slot.safety
    if now > 2 * LEAST_STATIC:
        return
    angle, best = strength.best_angle()
    if best < TELL_ANGLE * now:
        return
    slot = axle.wire_slot
    # Where the rule on the slot's place has warned, only the figures are told.
    told = any(slot_to_the_side(slot.angle, axle.load))
    yield finding(
        "note" if told else "warn",
        "slot-toward-load",
        "axle.wire_slot.angle",
        f"axle.wire_slot.angle = {slot.angle:g} deg: safety at the slot is {now:.2f}; at {angle:g} "
        f"deg it would be {best:.2f}, for the force points to {axle.load.direction:g} deg",
        value=slot.angle,
        limit=angle,
        fix=f"turn the slot to {angle:g} deg",
        source=_PRACTICE,
        confidence="practice",
    )


def axle_strength_results(axle: Axle, s: AxleStrength) -> dict[str, float | int | str]:
    """Return forces, stresses and safety factors; nothing for an axle without load."""
    if not (axle.load.force or axle.load.torque or axle.load.axial):
        return {}
    least, slot, worn = s.least, s.at_slot, s.least_long_run
    angle, best = s.best_angle()
    ends = [p for p in s.spikes if p.slotted]
    found: dict[str, float | int | str] = {
        "axle_safety_factor": least.safety,
        "axle_weakest_place": least.name,
        "axle_weakest_from_face_A_mm": least.z,
        "axle_weakest_stress_MPa": least.stress.static,
        "axle_safety_at_slot": slot.safety,
        "axle_safety_without_slot": s.without_slot,
        "axle_slot_safety_half_as_wide": s.half_as_wide,
        "axle_slot_safety_two_thirds_as_long": s.two_thirds_as_long,
        "axle_best_slot_angle_deg": angle,
        "axle_slot_safety_at_best_angle": best,
        "axle_slot_notch_factor_bending": ends[0].notch.bending,
        "axle_slot_notch_factor_torsion": ends[0].notch.torsion,
        "axle_bending_at_slot_Nm": max(abs(p.forces.moment) for p in ends) / 1000,
        "axle_torque_at_slot_Nm": max(abs(p.forces.torque) for p in ends) / 1000,
        "axle_long_run_factor": worn.long_run,
        "axle_long_run_place": worn.name,
        "axle_steel": f"{s.steel.name} {s.steel.condition}".strip(),
        "axle_yield_MPa": s.steel.yield_MPa,
        "axle_tensile_MPa": s.steel.tensile_MPa,
    }
    for k, (_, force) in enumerate(s.load.bearings, 1):
        found[f"axle_bearing_{k}_force_N"] = force
    for z, force, moment in s.load.frames:
        face = "A" if z < axle.length / 2 else "B"
        found[f"axle_frame_{face}_force_N"] = force
        found[f"axle_frame_{face}_moment_Nm"] = abs(moment) / 1000
    return {k: v for k, v in found.items() if isinstance(v, str) or math.isfinite(v)}
