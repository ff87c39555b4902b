"""The strips of a slot: wedges that close it under the tips, separators between its two coil sides.

      x: along the axle                                separator: height of the room between liner
        .-------------------------------------.        and wedge, less PLAY
       |  opening + 2 x overlap,              |  y      wedge: bevelled ends find their way in
        '-------------------------------------'
       |<- stack + 2 x overhang: between the cuffs of the liner ->|

Both are as long as the liner between its cuff folds: shorter, and bare enamel would face its
neighbour on the creepage path; longer, and they would stand beyond the cuffs, where end turns catch
them. Drawn lengthwise, so that the grain runs along the strip and stiffens it for pushing in.
"""

from __future__ import annotations

from geometry.outline import Region
from geometry.part import Part
from recipes.design import Design
from recipes.insulation.liner import bevelled
from recipes.refusal import Refused, stop

#: Air over the separator, so that the wedge and not the separator closes the slot, mm.
PLAY = 0.2

#: Bevel of the corners: at most this, and a third of the width, mm.
BEVEL, BEVEL_SHARE = 1.0, 1 / 3


def slot_strips(
    design: Design, body: float, wedge_width: float, stands: tuple[float, float], coil_sides: int
) -> tuple[Part, ...]:
    """Return "wedge" and "separator", as far as the design has them; slots and spare of each.

    Args:
        design: its sheet, liner, wedge and separator.
        body: length of the liner between its cuff folds, mm.
        wedge_width: that the lined slot takes, mm.
        stands: distance from the motor's axis of the lined slot bottom and of the wedge, between which
            the separator stands, mm.
        coil_sides: in one slot.

    Raises:
        Refused: the separator does not fit the slot.
    """
    lam, wedge, separator = design.lamination, design.wedge, design.separator
    quantity = design.motor.slots + design.liner.spare
    parts = []
    if wedge.thickness > 0:
        parts.append(
            _strip(
                "wedge",
                (body, wedge_width, wedge.thickness),
                "pressboard, aramid board or glass laminate",
                quantity,
                "push one in from the end over each finished slot, under the tips; nothing of it may "
                "stand into the air gap",
            )
        )
    if separator.thickness > 0 and coil_sides == 2:
        width = stands[1] - stands[0] - PLAY
        if width <= 0:
            raise Refused(
                stop(
                    "no-separator",
                    "lamination.slot_depth",
                    f"lamination.slot_depth = {lam.slot_depth:.3g} mm: no height is left for a separator",
                    value=lam.slot_depth,
                    fix="use a deeper slot, or separator.thickness = 0",
                )
            )
        parts.append(
            _strip(
                "separator",
                (body, width, separator.thickness),
                design.liner.paper,
                quantity,
                "stand one on the liner in the middle of a slot when its first coil side is in",
            )
        )
    return tuple(parts)


def _strip(
    name: str, size: tuple[float, float, float], material: str, quantity: int, note: str
) -> Part:
    """Return a strip by its length, width and thickness, mm."""
    length, width, thickness = size
    return Part(
        name=name,
        cut=(Region(bevelled(length, width, min(BEVEL, BEVEL_SHARE * width))),),
        material=material,
        thickness=thickness,
        quantity=quantity,
        settings={
            f"{name}_width_mm": round(width, 3),
            f"{name}_length_mm": round(length, 3),
            "grain": "along the strip (arrow)",
        },
        notes=(note, "cut dry; grain along the strip where it is paper or board"),
    )


def slot_strip_results(strips: tuple[Part, ...]) -> dict[str, float | int | str]:
    """Return the measures of the strips for `results.json`."""
    results: dict[str, float | int | str] = {}
    for part in strips:
        results[f"{part.name}_width_mm"] = part.settings[f"{part.name}_width_mm"]
        results[f"{part.name}_length_mm"] = part.settings[f"{part.name}_length_mm"]
        results[f"{part.name}_count"] = part.quantity
    return results
