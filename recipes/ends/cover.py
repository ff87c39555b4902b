"""The outline of what covers an end face of the stack: end cap and end washer.

    air gap          ____________     the steel's tip
                     .----------.     BELOW the air gap: nothing may rub
           opening   |   tip    |     lips end with the steel's, or wire would not pass
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
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from geometry.outline import Region
from recipes.hub import bore
from recipes.job import Job
from recipes.parts.end_laminations import narrowed
from recipes.parts.lamination import TOOTH_1, hub_holes, toothed_outline
from recipes.refusal import Refused, finding

if TYPE_CHECKING:
    from collections.abc import Callable

    from recipes.slot.shape import SlotShape

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
            finding(
                "stop", "lip-too-thin", "lamination.tip_thickness", lam.tip_thickness, need,
                f"{field}: it stays {BELOW:g} mm below the air gap, which leaves {max(0.0, lip):.2f} mm "
                f"of a lip of {lam.tip_thickness:.3g} mm",
                f"use a tip_thickness of {math.ceil(100 * need) / 100:g} mm or more",
                "nothing in the air gap; common practice", "practice",
            )
        )  # fmt: skip
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
                    f, field=field, limit=None, fix="use less of it",
                    message=f"{field}: its outline cannot be drawn: "
                    f"{f.message.replace('lamination.', '')}",
                )
                for f in refused.findings
            )
        ) from None  # fmt: skip
