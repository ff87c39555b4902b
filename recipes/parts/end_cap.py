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
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.part import Part
from geometry.solid.body import Extruded, Solid
from geometry.solid.rounded import Round, Rounded
from recipes.ends.cover import BELOW, cover, cover_job, cover_slot
from recipes.refusal import Refused, finding, misfit

if TYPE_CHECKING:
    from geometry.finding import Finding
    from geometry.outline import Region
    from recipes.job import Job

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
    rounds = _rounds(job.design.motor.slots, cap.edge_radius, lip)
    try:
        body = Rounded(Extruded(region, cap.thickness), rounds)
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
            solid=Solid(body),
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


def _rounds(slots: int, radius: float, lip: float) -> tuple[Round, ...]:
    """Return the rounds of all teeth: one run for every slot, one for every tip."""
    found = []
    for k in range(slots):
        first = k * _EDGES + _LIPS_FROM
        if lip >= LEAST_LIP_EDGE:
            found.append(Round(first, _LIPS, lip, "lip edge"))
        found.append(Round(first + _LIPS, _EDGES - _LIPS, radius, "edge_radius"))
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
        finding(
            "note", "lip-edge-sharp", "ends.end_cap", 0.0, LEAST_LIP_EDGE,
            "ends.end_cap: its lips are too small to round; wire is threaded past them",
            "break their edges by hand before winding", "common practice", "practice",
        )
    ]  # fmt: skip
