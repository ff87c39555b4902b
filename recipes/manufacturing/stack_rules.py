"""Is the rotation step true for every hole, key and mark, and does a sheet turned over show?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geometry.finding import Finding
from geometry.inspection.compare import compare_outlines
from geometry.outline import Outline, Region
from geometry.part import Part
from recipes.refusal import note, stop
from recipes.stator.stack import TURNED, tells_faces_apart


def maps_on_itself(region: Region, angle: float) -> list[str]:
    """Return what of a sheet does not fall on its like when it is turned by `angle` rad.

    Every loop is compared edge by edge: outline, bore with keys and marks, every hole. Empty:
    proof that sheets turned against each other by that angle lie as one.
    """
    return compare_outlines(region.loops, region.rotated(angle).loops, TURNED)


def stack_findings(full: Part, ends: Sequence[Part], slots: int) -> list[Finding]:
    """Prove the rotation step on the very outlines, and say what the stack does not guard against.

    Args:
        full, ends: the full sheet, and those of the end steps.
        slots: number of slots.
    """
    step = int(full.settings["rotation_step_slots"])
    found = [*_proof(full, ends, step, slots)] if step else []
    if not step:
        found.append(
            note(
                "no-rotation",
                "hub.rotation_step",
                "hub.rotation_step: no turn maps holes, keys and marks of this sheet onto itself, so "
                "all sheets lie the same way: a thicker side adds up to a crooked stack",
                value=0,
                fix="give keys, bolts, windows and arms counts that share a divisor with the slots",
                source="common practice",
                confidence="practice",
            )
        )
    if not tells_faces_apart(full.cut[0], slots):
        found.append(
            note(
                "faces-alike",
                "hub.orientation_mark",
                "hub.orientation_mark: a sheet turned over does not show, and its burr then bites "
                "into its neighbour",
                value=False,
                fix="use orientation_mark = true, or mark one face of every sheet by hand",
                source="common practice",
                confidence="practice",
            )
        )
    return found


def _proof(full: Part, ends: Sequence[Part], step: int, slots: int) -> Iterator[Finding]:
    """Turn every kind of sheet by the rotation step: it must fall on itself."""
    proven: tuple[Outline, ...] = ()
    for sheet in (full, *ends):
        region = sheet.cut[0]
        if region.holes == proven:  # the same holes as in the full sheet, told there
            region = Region(region.outer)
        faults = maps_on_itself(region, 2 * math.pi * step / slots)
        if not faults and sheet is full:
            proven = region.holes
        if faults:
            yield stop(
                "rotation-step-proof",
                "hub.rotation_step",
                f"hub.rotation_step = {step}: a {sheet.name} turned by {step} of {slots} slots "
                f"does not fall on itself: {faults[0]}",
                value=step,
                fix="use rotation_step = 0, or a step that divides every hole, key and mark",
            )
