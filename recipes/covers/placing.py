"""Where the stack lies on the axle, and what else the stack-up along it needs to know."""

from __future__ import annotations

from recipes.covers.chain import Placed
from recipes.design.axle import Axle
from recipes.design.insulation import Ends, EndWasher
from recipes.shaft.key_seat import stack_span
from recipes.shaft.sections import SAME, collar_feature, groove_features, stator_feature
from recipes.stator.end_layers import end_layers, layers_height
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
    off = layers_height(end_layers(ends.end_cap, washer))
    steel = stack_span(axle, stack.length, off)
    collar = collar_feature(axle)  # without one the stack is set from where it begins
    on_lead = collar is not None and collar.start >= steel[1] + off - SAME
    held = any(
        min(abs(g.end - fixed_outer_face), abs(g.start - fixed_outer_face)) <= BESIDE
        for g in groove_features(axle)
    )
    return Placed(
        datum=steel[1] + off if on_lead else steel[0] - off,
        datum_field=(collar or stator_feature(axle, stack.length)).place,
        on_lead=on_lead,
        layer=off,
        steel=steel,
        band=stack.sheet_height,
        end_height=end_height,
        magnet_length=magnet_length,
        held=held,
    )
