"""What the cutter leaves and needs inside one slot: tooth at its narrowest, and room beside it.

The fields give most widths by themselves; these follow from several of them together:

    lip      from the air gap to the tip's underside, where the tooth is broad on few slots
    tooth    where its flanks come nearest: at the root if the slots run parallel
    throat   from the tip's underside down to the slot bottom, along the tooth
    floor    between the two flanks of a slot where they come nearest: at the bottom if the teeth
             run parallel
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.finding import Finding
from geometry.segment import Arc
from recipes.refusal import finding
from recipes.tables.process import Process

if TYPE_CHECKING:
    from collections.abc import Sequence

    from geometry.segment import Segment
    from recipes.job import Job
    from recipes.slot.shape import SlotShape

#: Chords stray this far from the rounds, mm: well below what any process holds.
_STRAY = 0.002


def slot_width_findings(job: Job, shop: Process) -> list[Finding]:
    """Return the findings about widths that several fields make together."""
    lam = job.design.lamination
    across = "tooth_width" if lam.slot_shape == "parallel teeth" else "slot_width"
    t = lam.sheet_thickness
    lip, tooth, throat, floor = narrow_places(job.slot)
    checks = (
        ("lamination.tip_thickness", lip, shop.web(t), "a lip", "burns or bends",
         "make tips thicker or slots narrower"),
        (f"lamination.{across}", tooth, shop.web(t), "a tooth", "burns or bends",
         "make slots narrower or fewer, or the sheet larger"),
        ("lamination.slot_depth", throat, shop.slot(t), "a gap between the tip's underside and the slot bottom",
         "burns or breaks its edges", "make slots deeper, tips thinner or tip_angle smaller"),
        (f"lamination.{across}", floor, shop.slot(t), "a slot at its bottom", "burns or breaks its edges",
         "make teeth narrower or slots less deep"),
    )  # fmt: skip
    # what is too small by its own field is said already
    judged = {"a lip": lam.tip_thickness, "a tooth": lam.tooth_width or math.inf}
    return [
        finding(
            "stop", "slot-place-too-narrow", field, value, limit,
            f"{field}: {what} of {value:.3f} mm is left at its narrowest and {why}; {shop.name} needs "
            f"at least {limit:.3g} mm in {t:g} mm sheet",
            f"{fix}, or take another process", shop.source, "practice",
        )
        for field, value, limit, what, why, fix in checks
        if value < limit - 1e-6 and not judged.get(what, limit) < limit
    ]  # fmt: skip


def narrow_places(slot: SlotShape) -> tuple[float, float, float, float]:
    """Return the least width of lip, tooth, throat and slot bottom of a design's slot, mm."""
    import shapely

    # ... lip round, underside, neck round, flank, root round, slot bottom: a sharp corner has no round
    root = 1 if slot.radii["root_radius"] else 0
    neck = 1 if slot.radii["neck_radius"] else 0
    flank = len(slot.half) - 2 - root
    sides = _chords(slot.half[flank : len(slot.half) - 1])
    tooth = 2 * min(y for _, y in sides)
    under, bottom = slot.half[flank - 1 - neck], slot.half[-1]
    tip, below, ground = (
        shapely.LineString(_chords(run))
        for run in ([slot.half[0]], slot.half[flank - 1 - neck : -1], [bottom])
    )
    lip = float(tip.distance(below))
    throat = float(shapely.LineString(_chords([under])).distance(ground))
    turned = [s.rotated(-slot.half_pitch) for s in slot.half[flank : flank + 1]]
    floor = 2 * min(-y for _, y in _chords(turned))
    return lip, tooth, throat, floor


def _chords(run: Sequence[Segment]) -> list[tuple[float, float]]:
    spots = [tuple(run[0].start)]
    for edge in run:
        spots += [tuple(p) for p in (edge.chords(_STRAY) if isinstance(edge, Arc) else [edge.end])]
    return [(x, y) for x, y in spots]
