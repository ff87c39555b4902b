"""What lies on each end face of the steel, under the coil: end cap, then end washer.

Liner, coil and stack against its collar all pass the same layers; this is the one list of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from recipes.design.insulation import EndCap, EndWasher


@dataclass(frozen=True)
class EndLayer:
    """One insulating layer on both end faces.

    Args:
        name: for the reader; `part` is its recipe in the catalogue.
        part: see `name`.
        thickness: along the axle, mm.
        beyond: how far it reaches beyond the steel into the slot, mm.
        field: that sets `beyond`.
    """

    name: str
    part: str
    thickness: float
    beyond: float
    field: str


def end_layers(cap: EndCap | None, washer: EndWasher) -> tuple[EndLayer, ...]:
    """Return the layers of one end, from the steel outwards."""
    found = []
    if cap is not None:
        field = "ends.end_cap.proud"
        found.append(EndLayer("end cap", "end_cap", cap.thickness, cap.proud, field))
    if washer.thickness > 0:
        field = "end_washer.extension"
        found.append(
            EndLayer("end washer", "end_washer", washer.thickness, washer.extension, field)
        )
    return tuple(found)


def layers_height(layers: Iterable[EndLayer]) -> float:
    """Return how far the layers of one end stand over the steel, mm."""
    return sum(layer.thickness for layer in layers)
