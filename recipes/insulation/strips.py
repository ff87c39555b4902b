"""The strips of a slot: wedges that close it under the tips, separators between its two coil sides.

      x: along the axle                                separator: height of the room between liner
        .-------------------------------------.        and wedge, less PLAY
       |  opening + 2 x overlap               |  y      wedge: bevelled ends find their way in
        '-------------------------------------'
       |<- stack + 2 x overhang: between the cuffs of the liner ->|

Both are as long as the liner between its cuff folds: shorter, and bare enamel would face its
neighbour on the creepage path; longer, and they would stand beyond the cuffs, where end turns catch
them. Drawn lengthwise, so that the grain runs along the strip and stiffens it for pushing in.
"""

from __future__ import annotations

from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.part import Part
from recipes.insulation.liner import liner_size
from recipes.job import Job
from recipes.refusal import Refused, stop

#: Air over the separator, so that the wedge and not the separator closes the slot, mm.
PLAY = 0.2

#: Bevel of the corners: at most this, and a third of the width, mm.
BEVEL, BEVEL_SHARE = 1.0, 1 / 3


def slot_strips(job: Job) -> tuple[Part, ...]:
    """Return "wedge" and "separator", as far as the design has them; slots and spare of each.

    Raises:
        Refused: the liner, the wedge or the separator does not fit the slot.
    """
    design = job.design
    parts = []
    if design.wedge.thickness > 0:
        width = design.lamination.slot_opening + 2 * design.wedge.overlap
        _ = job.window.wedge_span  # refuses a wedge that is wider than the room under the tips
        parts.append(
            _strip(
                job,
                "wedge",
                width,
                design.wedge.thickness,
                "pressboard, aramid board or glass laminate",
                "push one in from the end over each finished slot, under the tips; nothing of it may "
                "stand into the air gap",
            )
        )
    if design.separator.thickness > 0 and job.window.sides == 2:
        parts.append(
            _strip(
                job,
                "separator",
                separator_width(job),
                design.separator.thickness,
                design.liner.paper,
                "stand one on the liner in the middle of a slot when its first coil side is in",
            )
        )
    return tuple(parts)


def separator_width(job: Job) -> float:
    """Return the radial width of the separator, from the liner on the slot bottom to the wedge, mm.

    Raises:
        Refused: nothing is left of it.
    """
    lam = job.design.lamination
    floor = lam.outer_diameter / 2 - lam.slot_depth + job.design.liner.thickness
    width = job.window.wedge_span[1] - floor - PLAY
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
    return width


def _strip(job: Job, name: str, width: float, thickness: float, material: str, note: str) -> Part:
    length, b = liner_size(job).body, min(BEVEL, BEVEL_SHARE * width)
    outline = Outline.polygon(
        [
            (b, 0),
            (length - b, 0),
            (length, b),
            (length, width - b),
            (length - b, width),
            (b, width),
            (0, width - b),
            (0, b),
        ]
    )
    return Part(
        name=name,
        cut=(Region(outline),),
        material=material,
        thickness=thickness,
        quantity=job.design.motor.slots + job.design.liner.spare,
        settings={
            f"{name}_width_mm": round(width, 3),
            f"{name}_length_mm": round(length, 3),
            "grain": "along the strip (arrow)",
        },
        notes=(note, "cut dry; grain along the strip where it is paper or board"),
    )


def slot_strip_findings(job: Job) -> list[Finding]:
    """Refuse strips that do not fit; nothing else is judged here."""
    _ = job.parts["slot_strips"]
    return []


def slot_strip_results(job: Job) -> dict[str, float | int | str]:
    """Return the measures of the strips for `results.json`."""
    results: dict[str, float | int | str] = {}
    for part in job.parts["slot_strips"]:
        results[f"{part.name}_width_mm"] = part.settings[f"{part.name}_width_mm"]
        results[f"{part.name}_length_mm"] = part.settings[f"{part.name}_length_mm"]
        results[f"{part.name}_count"] = part.quantity
    return results
