"""The bare slot at every place along the axle that each wire passes: steel, end cap, end washer.

    along the axle, one end        across: the cover reaches `beyond` into the slot
      |cap|
    __|   |__  beyond                  steel  |  cover |<- beyond
    steel  coil                        flank  |        |   room for paper and wire

A wire runs straight through all of them, so it has the room that they have in common. Stepped end sheets
are no section of their own: their teeth are narrower than the steel's, their slot holds all of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recipes.design import Design
from recipes.stator.end_cap import cap_slot, cover_slot
from recipes.stator.slot import SlotShape


@dataclass(frozen=True)
class SlotSection:
    """The bare slot at one place along the axle.

    Args:
        name: of what it is cut through: "steel", "end cap" or "end washer".
        slot: there.
        field: that sets how far it reaches into the slot, "" for the steel.
        off_flank, off_floor: how far its tooth and its slot bottom reach beyond those of the steel, mm.
    """

    name: str
    slot: SlotShape
    field: str = ""
    off_flank: float = 0.0
    off_floor: float = 0.0


def slot_sections(design: Design, slot: SlotShape, wire_diameter: float) -> tuple[SlotSection, ...]:
    """Return the steel first, then what covers its end faces.

    Args:
        design: its sheet, end steps, cap and washer.
        slot: of the steel.
        wire_diameter: largest overall diameter of the wire, mm.

    Raises:
        Refused: a cover's outline cannot be drawn.
    """
    return (SlotSection("steel", slot), *_covers(design, slot, wire_diameter))


def _covers(design: Design, slot: SlotShape, wire_diameter: float) -> Iterator[SlotSection]:
    ends, washer = design.ends, design.end_washer
    if cap := ends.end_cap:
        _, shape, _ = cap_slot(design, slot, wire_diameter, cap)
        yield SlotSection("end cap", shape, "ends.end_cap.proud", cap.proud, cap.proud)
    if washer.thickness > 0:
        field, beyond = "end_washer.extension", washer.extension
        _, shape = cover_slot(design, slot, wire_diameter, beyond, field)
        narrower = ends.steps[-1].narrower_by if ends.steps else 0.0
        yield SlotSection("end washer", shape, field, beyond - narrower, beyond)
