"""The end cap: an insulating copy of the end face whose wire-side edges are rounded.

    along a tooth's tip, one end             seen along the axle: which edge is rounded how

          .----------------.  wire side          .-----------.   shoe and tip: EDGE_SHARE of their
        .'  edge_radius     '.                   '---.   .---'   own round, as much as it takes
        |                    |  thickness           [|   |]      flank, root and slot bottom:
        '-+----------------+-'                     [|     |]     edge_radius; stops square at the shoe
          |<- proud        |                    ___[|     |]___
          |  steel         |

The wire is drawn tight round the flanks, so they get the whole radius; a shoe is thinner than that.
Bore, keys and hub windows are the sheet's and stay sharp-edged.

Outline of what covers an end face of the stack, end cap and end washer alike:

    air gap          ____________     the steel's tip
                     .----------.     BELOW the air gap: nothing may rub
           opening   |   tip    |     shoes end with the steel's, or wire would not pass
                     '---.  .---'     underside with the steel's: wire leaves straight there
                        ||  ||  beyond: into the slot, so that wire and paper turn over
                        ||  ||          the cover and not over steel
                     ---'    '---
                        slot bottom: beyond, too; yoke and hub: as the steel

The hub is the sheet's, without the orientation marks: so the cover is its own mirror image and
fits both ends.
"""

from __future__ import annotations

import math
from typing import Any

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Region
from geometry.part import Part
from geometry.solids import Extruded, Fillet, Filleted
from recipes.design import Design
from recipes.design.insulation import EndCap
from recipes.design.lamination import Hub, Lamination
from recipes.refusal import Refused, misfit, note, stop
from recipes.stator.end_laminations import refused_for
from recipes.stator.hub import bore, holes
from recipes.stator.lamination import toothed_outline
from recipes.stator.slot import TOOTH_1, SlotShape, slot_shape

#: How far a cover stays below the air-gap face, mm (common practice: 0.2 to 0.5).
BELOW = 0.5

#: Thinnest shoe worth making, and smallest round at the tooth root of a cover, mm.
MIN_SHOE, MIN_ROOT = 0.3, 0.3


def cover_slot(
    design: Design,
    slot: SlotShape,
    wire_diameter: float,
    beyond: float,
    field: str,
    **changes: float,
) -> tuple[Lamination, SlotShape]:
    """Return the sheet that has the outline of a cover, and its tooth and slot.

    Args:
        design: its sheet; with end steps, the cover lies on their last sheet.
        slot: of the steel.
        wire_diameter: largest overall diameter of the wire, mm.
        beyond: reach beyond the steel into the slot, mm.
        field: that sets `beyond`, for errors.
        changes: fields of [lamination] to set on top.

    Raises:
        Refused: the shoe is too thin to stay below the air gap, or the slot too tight.
    """
    lam, steps = design.lamination, design.ends.steps
    narrower = (steps[-1].narrower_by if steps else 0.0) - beyond
    radius, half_open = lam.outer_diameter / 2, lam.slot_opening / 2
    face = math.sqrt(radius**2 - half_open**2)
    shoe = lam.tip_thickness - (face - math.sqrt((radius - BELOW) ** 2 - half_open**2))
    if shoe < MIN_SHOE:
        need = lam.tip_thickness + MIN_SHOE - shoe
        raise Refused(
            stop(
                "lip-too-thin",
                "lamination.tip_thickness",
                f"{field}: it stays {BELOW:g} mm below the air gap, which leaves {max(0.0, shoe):.2f} mm "
                f"of a lip of {lam.tip_thickness:.3g} mm",
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
        "tip_thickness": shoe,
        "tip_radius": None,
        "tip_inner_radius": None,
        "neck_radius": None,
        "root_radius": max(MIN_ROOT, slot.radii["root_radius"] - beyond),
        "tab_notch": None,
    }
    sheet = lam.model_copy(update=changed | changes)
    with refused_for(field, f"{field}: its outline cannot be drawn", "use less of it"):
        return sheet, slot_shape(sheet, slot.slots, wire_diameter, narrower)


def cover(steel: Lamination, hub: Hub, sheet: Lamination, slot: SlotShape) -> Region:
    """Return the region of a cover, tooth 1 up, mm.

    Args:
        steel, hub: the sheet that is covered, and its hub.
        sheet, slot: of the cover, from `cover_slot`.

    Raises:
        Refused: the hub cannot be drawn.
    """
    outer = toothed_outline(slot, sheet)
    inner = [o.rotated(TOOTH_1).oriented(False) for o in holes(hub, steel)]
    plain = hub.model_copy(update={"orientation_mark": False})
    return Region(outer, (*inner, bore(plain, sheet, slot.slots).rotated(TOOTH_1)))


#: Round of a shoe in plan as a share of its thickness and length, and round of its wire-side edge
#: as a share of that.
PLAN_SHARE, EDGE_SHARE = 0.4, 0.45

#: Smallest edge of a shoe worth rounding, mm; below it is broken by hand.
MIN_SHOE_EDGE = 0.05

#: Edges of one tooth and of its slot: right root, flank; the shoe from underside to underside
#: (underside, round, wall, corner, tip, corner, wall, round, underside); flank, root, slot bottom.
_EDGES, _SHOE_FROM, _SHOE = 14, 2, 9


def cap_slot(
    design: Design, slot: SlotShape, wire_diameter: float, cap: EndCap
) -> tuple[Lamination, SlotShape, float]:
    """Return the sheet that has the outline of the cap, its slot, and the round of its shoes, mm.

    Args and raises as of `cover_slot`; `cap` of the design.
    """
    # The fillet under the shoe is left out, so that the flank's round goes all the way to the shoe.
    steel = design, slot, wire_diameter, cap.proud, "ends.end_cap.proud"
    _, sharp = cover_slot(*steel, neck_radius=0.0, tip_radius=0.0, tip_inner_radius=0.0)
    _, wall, underside = sharp.half[:3]
    plan = math.floor(100 * PLAN_SHARE * min(wall.length, underside.length)) / 100
    made = cover_slot(*steel, neck_radius=0.0, tip_radius=plan, tip_inner_radius=plan)
    return *made, plan


def end_cap(design: Design, slot: SlotShape, wire_diameter: float) -> tuple[Part, ...]:
    """Return the cap for both ends as one part with a body; none if the design has no cap.

    Args:
        design: its sheet, hub, end steps and cap.
        slot: of the steel.
        wire_diameter: largest overall diameter of the wire, mm.

    Raises:
        Refused: its outline cannot be drawn, or its round does not fit.
    """
    cap = design.ends.end_cap
    if cap is None:
        return ()
    sheet, shape, plan = cap_slot(design, slot, wire_diameter, cap)
    region = cover(design.lamination, design.hub, sheet, shape)
    edge = math.floor(100 * EDGE_SHARE * plan + 1e-9) / 100
    fillets = _fillets(slot.slots, cap.edge_radius, edge)
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
                "lip_edge_radius_mm": edge if edge >= MIN_SHOE_EDGE else 0.0,
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


def _fillets(slots: int, radius: float, edge: float) -> tuple[Fillet, ...]:
    """Return the fillets of all teeth, mm: `radius` in every slot, `edge` on every shoe."""
    found = []
    for k in range(slots):
        first = k * _EDGES + _SHOE_FROM
        if edge >= MIN_SHOE_EDGE:
            found.append(Fillet(first, _SHOE, edge, "lip edge"))
        found.append(Fillet(first + _SHOE, _EDGES - _SHOE, radius, "edge_radius"))
    return tuple(found)


def end_cap_findings(caps: tuple[Part, ...]) -> list[Finding]:
    """Judge the cap, if there is one: is its thinnest place worth printing?"""
    return [
        note(
            "lip-edge-sharp",
            "ends.end_cap",
            "ends.end_cap: its lips are too small to round; wire is threaded past them",
            value=0.0,
            limit=MIN_SHOE_EDGE,
            fix="break their edges by hand before winding",
            source="common practice",
            confidence="practice",
        )
        for cap in caps
        if not cap.settings["lip_edge_radius_mm"]
    ]
