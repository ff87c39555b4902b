"""Where the Hall sensors of this design go, and whether they fit the mouths of their slots.

`recipes.hall.positions` finds every legal set; here the first of them is chosen for the controller, put into
the design's own numbers (slot k lies between teeth k and k + 1, both from 1), and its pockets judged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from recipes.hall.positions import (
    HallPlan,
    HallSet,
    HallStep,
    for_60_degree_controller,
    hall_positions,
    hall_truth_table,
)
from recipes.refusal import finding

if TYPE_CHECKING:
    from geometry.finding import Finding
    from recipes.job import Job

#: A pocket may take this share of a tooth's tip, and a face stands back this much, mm
#: (common practice).
TIP_SHARE, LEAST_BACK = 1.0 / 3.0, 0.5

#: Thin wires of three sensors: supply, return, and three signals.
SENSOR_LEADS = 5


@dataclass(frozen=True)
class Pocket:
    """Room for one sensor in the mouth of its slot, mm.

    Args:
        width: that the body and its glue take.
        opening: clear width of the mouth.
        notch: to be cut from the tip on each side; 0 where the mouth is wide enough.
        tip: width of a tooth's tip at the air gap.
        below: how far the body reaches below the straight mouth, into the room of wedge and wire.
    """

    width: float
    opening: float
    notch: float
    tip: float
    below: float

    @property
    def fits(self) -> bool:
        """Whether the body goes into the mouth, notched if need be."""
        return self.notch <= TIP_SHARE * self.tip


def hall_plan_of(job: Job) -> HallPlan:
    """Return every legal set of slots of this design."""
    motor = job.design.motor
    return _plan(motor.slots, motor.poles, job.design.winding.coil_sides)


#: One plan is asked for by several rules; a large stator has hundreds of sets.
_plan = lru_cache(maxsize=16)(hall_positions)


def legal_sets(job: Job) -> tuple[HallSet, ...]:
    """Return the sets for the controller of this design, best first: neutral, then close together.

    For a 60 degree controller: sets 60 degrees apart, and sets 120 degrees apart whose middle sensor
    is turned face about; those with all faces alike come first.
    """
    plan = hall_plan_of(job)
    if job.design.hall.arrangement == 120:
        return (*plan.sets, *plan.close_sets)
    found = [for_60_degree_controller(s) for s in (*plan.close_sets, *plan.sets)]
    return tuple(
        sorted(
            found, key=lambda s: (abs(s.timing_deg), sum(s.inverted), s.spacing_slots, s.slots[0])
        )
    )


def chosen_set(job: Job) -> HallSet | None:
    """Return the set that this design uses; None if it has no sensors, or no slots for them."""
    return next(iter(legal_sets(job)), None) if job.design.hall.sensors else None


def truth_table_of(job: Job) -> tuple[HallStep, ...]:
    """Return the six steps of one electrical turn for the chosen set; empty if there is none."""
    chosen = chosen_set(job)
    return hall_truth_table(chosen) if chosen else ()


def pocket_of(job: Job) -> Pocket:
    """Return the pocket of one sensor.

    Raises:
        Refused: the design has no slot, or no such wire.
    """
    hall, lam = job.design.hall, job.design.lamination
    opening, width = job.slot.opening, hall.body_width + 2 * hall.glue_gap
    radius = lam.outer_diameter / 2
    # the tip between two mouths of that width, along the circle of the tooth faces
    tip = 2 * radius * (job.slot.half_pitch - math.asin(opening / 2 / radius))
    below = hall.stand_back + hall.body_thickness - lam.tip_thickness
    return Pocket(width, opening, max(0.0, (width - opening) / 2), tip, max(0.0, below))


def hall_findings(job: Job) -> list[Finding]:
    """Say where sensors have no slots, no neutral slots, no room or no leads.

    Raises:
        Refused: the design has no slot, or no such wire.
    """
    if not job.design.hall.sensors:
        return []
    plan, chosen = hall_plan_of(job), chosen_set(job)
    if chosen is None:
        spacing = plan.mechanical_spacing_deg
        return [
            finding(
                "note", "hall-no-slots", "motor.slots", job.design.motor.slots, None,
                f"no three slots stand 120 electrical degrees apart: {plan.reason}",
                f"put the sensors {spacing:.3f} degrees apart on a plate of their own, or that times a "
                "whole number that 3 does not divide",
                "spacing 120/p mechanical degrees, common practice",
            )
        ]  # fmt: skip
    return [*_timing(chosen), *_pocket(job), *_back(job), *_leads(job)]


def _timing(chosen: HallSet) -> list[Finding]:
    if abs(chosen.timing_deg) < 1e-9:
        return []
    return [
        finding(
            "warn", "hall-timing", "hall.sensors", chosen.timing_deg, 0.0,
            f"no slots are neutral: the best switch {abs(chosen.timing_deg):.2f} electrical degrees "
            f"{'late' if chosen.timing_deg > 0 else 'early'} turning towards rising tooth numbers, and "
            "as much the other way turning back",
            "set the sensors on a plate that can be turned until the current without load is least",
            "star of slots",
        )
    ]  # fmt: skip


def _pocket(job: Job) -> list[Finding]:
    pocket, found = pocket_of(job), []
    jig = "glue the sensors in front of the stack's end, held by the jig hall_jig"
    deep = (
        f"; in the mouth it reaches {pocket.below:.2f} mm below the tips: end the wedge before it"
        if pocket.below > 0
        else ""
    )
    if not pocket.fits:
        found.append(
            finding(
                "warn", "hall-pocket", "hall.body_width", pocket.width, pocket.opening,
                f"hall.body_width: a sensor with glue takes {pocket.width:.2f} mm, the slot's mouth has "
                f"{pocket.opening:.2f} mm; {pocket.notch:.2f} mm off each tip is more than a third of it "
                f"({pocket.tip:.2f} mm)",
                f"use a smaller body, or {jig}", "common practice", "practice",
            )
        )  # fmt: skip
    elif pocket.notch > 0:
        found.append(
            finding(
                "note", "hall-notch", "hall.body_width", pocket.width, pocket.opening,
                f"hall.body_width: a sensor with glue takes {pocket.width:.2f} mm, the slot's mouth has "
                f"{pocket.opening:.2f} mm",
                f"{jig}; or cut {pocket.notch:.2f} mm off both tips there, over the sensor's height only{deep}",
                "common practice", "practice",
            )
        )  # fmt: skip
    return found


def _back(job: Job) -> list[Finding]:
    back = job.design.hall.stand_back
    if back >= LEAST_BACK:
        return []
    return [
        finding(
            "warn", "hall-stand-back", "hall.stand_back", back, LEAST_BACK,
            f"hall.stand_back = {back:g} mm: a sensor so near the air gap may be touched by a magnet",
            f"use at least {LEAST_BACK:g} mm", "common practice", "practice",
        )
    ]  # fmt: skip


def _leads(job: Job) -> list[Finding]:
    named = [lead for lead in job.design.axle.leads if "hall" in lead.name.lower()]
    count = sum(lead.count for lead in named)
    if count >= SENSOR_LEADS:
        return []
    return [
        finding(
            "note", "hall-leads", "axle.leads", count, SENSOR_LEADS,
            f"axle.leads: {count} leads are named Hall; three sensors take {SENSOR_LEADS}: supply, "
            "return and three signals",
            "add { name = \"Hall\", count = 5, outside_diameter = ... }, or hall.sensors = false",
            "common practice", "practice",
        )
    ]  # fmt: skip


def hall_results(job: Job) -> dict[str, float | int | str]:
    """Return slots, angles from tooth 1, timing and truth table of the chosen set.

    Slots and sensors are numbered from 1. `hall_states` are the outputs of the three sensors in the
    six steps of one electrical turn, rotor turning towards rising tooth numbers.

    Raises:
        Refused: the design has no slot, or no such wire.
    """
    if not job.design.hall.sensors:
        return {}
    results: dict[str, float | int | str] = {
        "hall_spacing_deg": hall_plan_of(job).mechanical_spacing_deg
    }
    chosen = chosen_set(job)
    if chosen is None:
        return results
    turned = [str(n) for n, inverted in enumerate(chosen.inverted, 1) if inverted]
    sets = legal_sets(job)
    return results | {
        "hall_slots": " ".join(str(k + 1) for k in chosen.slots),
        "hall_angles_deg": " ".join(f"{a:.4g}" for a in chosen.mechanical_deg),
        "hall_timing_deg": chosen.timing_deg,
        "hall_turned_face_about": " ".join(turned) or "none",
        "hall_states": " ".join(
            "".join(str(v) for v in step.outputs) for step in truth_table_of(job)
        ),
        "hall_sets": len(sets),
        "hall_sets_neutral": sum(abs(s.timing_deg) < 1e-9 for s in sets),
        "hall_notch_mm": pocket_of(job).notch,
        "hall_below_mouth_mm": pocket_of(job).below,
    }
