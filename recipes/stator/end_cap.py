"""The end cap: an insulating copy of the end face whose wire-side edges are rounded.

    along a tooth's tip, one end             seen along the axle: which edge is rounded how

          .----------------.  wire side          .-----------.   lips and tip: LIP_SHARE of their
        .'  edge_radius     '.                   '---.   .---'   own round, as much as a lip takes
        |                    |  thickness           [|   |]      flank, root and slot bottom:
        '-+----------------+-'                     [|     |]     edge_radius; stops square at the lip
          |<- proud        |                    ___[|     |]___
          |  steel         |

The wire is drawn tight round the flanks, so they get the whole radius; a lip is thinner than that.
Bore, keys and hub windows are the sheet's and stay sharp-edged.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Region
from geometry.part import Part
from geometry.solids import Extruded, Fillet, Filleted
from recipes.job import Job
from recipes.refusal import Refused, misfit, note, stop
from recipes.stator.end_laminations import narrowed
from recipes.stator.hub import bore
from recipes.stator.lamination import TOOTH_1, hub_holes, toothed_outline
from recipes.stator.slot import SlotShape

if TYPE_CHECKING:
    from collections.abc import Callable


#     The outline of what covers an end face of the stack: end cap and end washer.
#
#     air gap          ____________     the steel's tip
#                      .----------.     BELOW the air gap: nothing may rub
#            opening   |   tip    |     lips end with the steel's, or wire would not pass
#                      '---.  .---'     underside with the steel's: wire leaves straight there
#                         ||  ||  beyond: into the slot, so that wire and paper turn over
#                         ||  ||          the cover and not over steel
#                      ---'    '---
#                         slot bottom: beyond, too; yoke and hub: as the steel
#
# The hub is the sheet's, without the orientation marks: so the cover is its own mirror image and
# fits both ends.

Drawn = TypeVar("Drawn")

#: How far a cover stays below the air-gap face, mm (common practice: 0.2 to 0.5).
BELOW = 0.5

#: Thinnest lip worth making, and smallest round at the tooth root of a cover, mm.
LEAST_LIP, LEAST_ROOT = 0.3, 0.3


def cover_job(job: Job, beyond: float, field: str, **changes: Any) -> Job:
    """Return the job whose sheet has the outline of a cover.

    Args:
        job: the design; with end steps, the cover lies on their last sheet.
        beyond: reach beyond the steel into the slot, mm.
        field: that sets `beyond`, for errors.
        changes: fields of [lamination] to set on top.

    Raises:
        Refused: the lip is too thin to stay below the air gap, or the slot too tight.
    """
    lam = job.design.lamination
    _ = job.slot  # what is wrong with the steel is said of the steel
    steps = job.design.ends.steps
    last = steps[-1].narrower_by if steps else 0.0
    design = narrowed(job.design, last - beyond)
    radius, half_open = lam.outer_diameter / 2, lam.slot_opening / 2
    face = math.sqrt(radius**2 - half_open**2)
    lip = lam.tip_thickness - (face - math.sqrt((radius - BELOW) ** 2 - half_open**2))
    if lip < LEAST_LIP:
        need = lam.tip_thickness + LEAST_LIP - lip
        raise Refused(
            stop(
                "lip-too-thin",
                "lamination.tip_thickness",
                (
                    f"{field}: it stays {BELOW:g} mm below the air gap, which leaves {max(0.0, lip):.2f} mm "
                    f"of a lip of {lam.tip_thickness:.3g} mm"
                ),
                value=lam.tip_thickness,
                limit=need,
                fix=f"use a tip_thickness of {math.ceil(100 * need) / 100:g} mm or more",
                source="nothing in the air gap; common practice",
                confidence="practice",
            )
        )
    changed: dict[str, Any] = {
        "outer_diameter": lam.outer_diameter - 2 * BELOW,
        "slot_depth": lam.slot_depth - BELOW - beyond,
        "tip_thickness": lip,
        "tip_radius": None,
        "tip_inner_radius": None,
        "neck_radius": None,
        "root_radius": max(LEAST_ROOT, job.slot.radii["root_radius"] - beyond),
        "tab_notch": None,
    }
    covered = design.lamination.model_copy(update=changed | changes)
    return Job(design.model_copy(update={"lamination": covered}))


def cover(job: Job, made: Job, field: str) -> Region:
    """Return the region of a cover, tooth 1 up, mm.

    Args:
        job: the design; its hub is covered as it is, but for the orientation marks.
        made: the job of the cover's outline, from `cover_job`.
        field: to change if the outline cannot be drawn.

    Raises:
        Refused: it cannot be drawn; the finding names `field`.
    """
    outer = _drawn(made, field, lambda job: toothed_outline(job, TOOTH_1))
    plain = job.design.hub.model_copy(update={"orientation_mark": False})
    lam = job.design.lamination.model_copy(update={"tab_notch": None})
    design = job.design.model_copy(update={"hub": plain, "lamination": lam})
    return Region(outer, (*hub_holes(job), bore(design).rotated(TOOTH_1)))


def cover_slot(made: Job, field: str) -> SlotShape:
    """Return the slot of a cover; see `cover`."""
    return _drawn(made, field, lambda job: job.slot)


def _drawn(made: Job, field: str, draw: Callable[[Job], Drawn]) -> Drawn:
    """Return what is drawn of a cover; what is wrong with it is said of `field`."""
    try:
        return draw(made)
    except Refused as refused:
        raise Refused(
            *(
                replace(
                    f,
                    field=field,
                    limit=None,
                    fix="use less of it",
                    message=f"{field}: its outline cannot be drawn: "
                    f"{f.message.replace('lamination.', '')}",
                )
                for f in refused.findings
            )
        ) from None


#: Round of a lip in plan as a share of its thickness and length, and round of its wire-side edge
#: as a share of that.
PLAN_SHARE, LIP_SHARE = 0.4, 0.45

#: Smallest lip edge worth rounding, mm; below it is broken by hand.
LEAST_LIP_EDGE = 0.05

#: Edges of one tooth and of its slot: right root, flank; underside, lip, wall, corner, tip, corner,
#: wall, lip, underside; flank, root, slot bottom.
_EDGES, _LIPS_FROM, _LIPS = 14, 2, 9


def end_cap(job: Job) -> tuple[Part, ...]:
    """Return the cap for both ends as one part with a body; none if the design has no cap.

    Raises:
        Refused: its outline cannot be drawn, or its round does not fit.
    """
    cap = job.design.ends.end_cap
    if cap is None:
        return ()
    region, plan = _outline(job)
    lip = math.floor(100 * LIP_SHARE * plan + 1e-9) / 100
    fillets = _fillets(job.design.motor.slots, cap.edge_radius, lip)
    try:
        body = Filleted(Extruded(region, cap.thickness), fillets)
    except GeometryError as error:
        raise Refused(misfit(error, "ends.end_cap.edge_radius")) from None
    return (
        Part(
            name="end_cap",
            cut=(region,),
            material="insulation that stands the coil's heat: glass laminate, or a heat-proof print",
            thickness=cap.thickness,
            quantity=2,
            settings={
                "edge_radius_mm": cap.edge_radius,
                "proud_mm": cap.proud,
                "lip_edge_radius_mm": lip if lip >= LEAST_LIP_EDGE else 0.0,
                "below_air_gap_mm": BELOW,
                "volume_mm3": round(body.volume, 2),
            },
            notes=(
                "one for each end, both alike: flat face on the steel, rounded edges to the wire",
                "print it flat face down in layers of 0.1 mm or less and rub the rounds smooth: a "
                "ridge is an edge; what softens below the class of the winding creeps under the wire",
                "machined from glass laminate: its dust is harmful, work wet or with suction, and "
                "wear a mask; the round runs out at the lip as the cutter leaves it",
                "press it on before the slots are lined; it must stay below the air-gap face",
            ),
            solid=body,
        ),
    )


def _outline(job: Job) -> tuple[Region, float]:
    """Return the outline and the rounds of its lips in plan, mm.

    The neck is sharp, so that the flank's round goes all the way to the lip.
    """
    cap = job.design.ends.end_cap
    assert cap is not None
    field = "ends.end_cap.proud"
    plain = cover_job(job, cap.proud, field, neck_radius=0.0, tip_radius=0.0, tip_inner_radius=0.0)
    _, wall, underside = cover_slot(plain, field).half[:3]
    plan = math.floor(100 * PLAN_SHARE * min(wall.length, underside.length)) / 100
    made = cover_job(job, cap.proud, field, neck_radius=0.0, tip_radius=plan, tip_inner_radius=plan)
    return cover(job, made, field), plan


def _fillets(slots: int, radius: float, lip: float) -> tuple[Fillet, ...]:
    """Return the fillets of all teeth: one run for every slot, one for every tip."""
    found = []
    for k in range(slots):
        first = k * _EDGES + _LIPS_FROM
        if lip >= LEAST_LIP_EDGE:
            found.append(Fillet(first, _LIPS, lip, "lip edge"))
        found.append(Fillet(first + _LIPS, _EDGES - _LIPS, radius, "edge_radius"))
    return tuple(found)


def end_cap_findings(job: Job) -> list[Finding]:
    """Judge the cap: can it be made, and is its thinnest place worth printing?"""
    cap = job.design.ends.end_cap
    if cap is None:
        return []
    (part,) = job.parts["end_cap"]
    if part.settings["lip_edge_radius_mm"]:
        return []
    return [
        note(
            "lip-edge-sharp",
            "ends.end_cap",
            "ends.end_cap: its lips are too small to round; wire is threaded past them",
            value=0.0,
            limit=LEAST_LIP_EDGE,
            fix="break their edges by hand before winding",
            source="common practice",
            confidence="practice",
        )
    ]
