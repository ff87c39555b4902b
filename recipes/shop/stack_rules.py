"""Is the rotation step true for every hole, key and mark, and does a sheet turned over show?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from recipes.parts.lamination import TOOTH_1
from recipes.parts.stack import end_sheets
from recipes.refusal import finding

if TYPE_CHECKING:
    from geometry.finding import Finding
    from geometry.outline import Region
    from recipes.job import Job

#: Corners of a sheet and of the same sheet turned agree to this much, mm: rounding of sines only.
_TURNED = 1e-7


def maps_on_itself(region: Region, angle: float) -> list[str]:
    """Return what of a sheet does not fall on its like when it is turned by `angle` rad.

    Every loop is compared edge by edge: outline, bore with keys and marks, every hole. Empty:
    proof that sheets turned against each other by that angle lie as one.
    """
    from geometry.inspect.compare import compare_outlines

    return compare_outlines(region.loops, region.rotated(angle).loops, _TURNED)


def tells_faces_apart(job: Job) -> bool:
    """Tell whether a sheet that lies the wrong face up shows, however it is turned.

    Turned over it must still lie tooth on tooth, so only turns by whole slots are looked at; the
    bore, which carries the mark, is looked at first.
    """
    from geometry.inspect.compare import compare_outlines, same_outline

    region, slots = job.parts["lamination"][0].cut[0], job.design.motor.slots
    bore, turned_over = region.holes[-1], region.mirrored(TOOTH_1)
    for k in range(slots):
        turn = 2 * math.pi * k / slots
        if same_outline(bore, turned_over.holes[-1].rotated(turn), _TURNED) and not (
            compare_outlines(region.loops, turned_over.rotated(turn).loops, _TURNED)
        ):
            return False
    return True


def stack_findings(job: Job) -> list[Finding]:
    """Prove the rotation step on the very outlines, and say what the stack does not guard against."""
    part = job.parts["lamination"][0]
    found: list[Finding] = []
    step, slots = int(part.settings["rotation_step_slots"]), job.design.motor.slots
    for sheet in (part, *end_sheets(job)) if step else ():
        faults = maps_on_itself(sheet.cut[0], 2 * math.pi * step / slots)
        if faults:
            found.append(
                finding(
                    "stop", "rotation-step-proof", "hub.rotation_step", step, None,
                    f"hub.rotation_step = {step}: a {sheet.name} turned by {step} of {slots} slots "
                    f"does not fall on itself: {faults[0]}",
                    "use rotation_step = 0, or a step that divides every hole, key and mark",
                )
            )  # fmt: skip
    if not step:
        found.append(
            finding(
                "note", "no-rotation", "hub.rotation_step", 0, None,
                "hub.rotation_step: no turn maps holes, keys and marks of this sheet onto itself, so "
                "all sheets lie the same way: a thicker side adds up to a crooked stack",
                "give keys, bolts, windows and arms counts that share a divisor with the slots",
                "common practice", "practice",
            )
        )  # fmt: skip
    if not tells_faces_apart(job):
        found.append(
            finding(
                "note", "faces-alike", "hub.orientation_mark", False, None,
                "hub.orientation_mark: a sheet turned over does not show, and its burr then bites "
                "into its neighbour",
                "use orientation_mark = true, or mark one face of every sheet by hand",
                "common practice", "practice",
            )
        )  # fmt: skip
    return found
