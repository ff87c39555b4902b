"""Where the stack lies on the axle, and what else the stack-up along it needs to know."""

from __future__ import annotations

from recipes.covers.chain import Placed
from recipes.design.axle import Axle
from recipes.design.insulation import Ends, EndWasher
from recipes.shaft.sections import SAME, collar_feature, stator_feature
from recipes.stator.stack_count import Stack

#: A groove this near to the outer face of a bearing, mm, holds it (as the rules of the axle say).
BESIDE = 1.0


def placed(
    axle: Axle,
    stack: Stack,
    ends: Ends,
    washer: EndWasher,
    end_height: float,
    magnet_length: float,
    fixed_outer_face: float,
) -> Placed:
    """Return what lies on the axle beside the covers.

    Args:
        axle, ends, washer: tables of the design.
        stack: its sheets.
        end_height: of the coils over the steel, mm.
        magnet_length: mm.
        fixed_outer_face: of the fixed bearing, from face A, mm.
    """
    seat, collar = stator_feature(axle), collar_feature(axle)
    on_lead = collar.start >= seat.end - SAME
    layer = (ends.end_cap.thickness if ends.end_cap else 0.0) + washer.thickness
    held = any(
        min(abs(g.from_face + g.width - fixed_outer_face), abs(g.from_face - fixed_outer_face))
        <= BESIDE
        for g in axle.grooves
    )
    return Placed(
        datum=collar.start if on_lead else collar.end,
        datum_field="axle.shoulder.from_face",
        on_lead=on_lead,
        layer=layer,
        length=stack.length,
        band=stack.sheet_height,
        end_height=end_height,
        magnet_length=magnet_length,
        held=held,
    )


def steel_span(put: Placed) -> tuple[float, float]:
    """Return the ends of the stack's steel from face A, mm."""
    near = put.datum - put.layer if put.on_lead else put.datum + put.layer
    return (near - put.length, near) if put.on_lead else (near, near + put.length)
