"""The end washer: an insulating ring on each end face, a little larger than the steel in the slots.

Outline: see `recipes.stator.end_cap`. On stepped ends it lies on the last, narrowest sheet, so that the
round is not squared again. Not checked: whether a stiff sheet of this thickness bends under the wire.
"""

from __future__ import annotations

from geometry.part import Part
from recipes.design import Design
from recipes.stator.end_cap import BELOW, cover, cover_slot
from recipes.stator.slot import SlotShape


def end_washer(design: Design, slot: SlotShape, wire_diameter: float) -> tuple[Part, ...]:
    """Return the washer for both ends; none if its thickness is 0.

    Args:
        design: its sheet, hub, end steps and washer.
        slot: of the steel.
        wire_diameter: largest overall diameter of the wire, mm.

    Raises:
        Refused: its outline cannot be drawn.
    """
    washer = design.end_washer
    if washer.thickness == 0:
        return ()
    made = cover_slot(design, slot, wire_diameter, washer.extension, "end_washer.extension")
    under = "the end cap" if design.ends.end_cap else "the steel"
    return (
        Part(
            name="end_washer",
            cut=(cover(design.lamination, design.hub, *made),),
            material="aramid, pressboard or glass laminate",
            thickness=washer.thickness,
            quantity=2,
            settings={"extension_mm": washer.extension, "below_air_gap_mm": BELOW},
            notes=(
                f"one on each end of the stack, between the coils and {under}; both alike",
                f"it stays {BELOW:g} mm below the air-gap face: trim what stands out",
            ),
        ),
    )
