"""Paper rings to stick on both ends of the stator: number, phase and arrow on every tooth, 1:1.

The far ring is the lead ring in a mirror, lettering apart: a tooth has the same number on both
ends, and an arrow shows on either end how the wire crosses it there. A ring that is larger than the
page comes in pieces, or on tiles where the page does not even hold one tooth
(`recipes.winding.tooth_ring_page`). Left out, with a finding, is a ring whose teeth are too close for
lettering of 2.5 mm.
"""

from __future__ import annotations

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.part import Part
from recipes.job import Job
from recipes.refusal import Refused, misfit, note
from recipes.true_scale import sheet_findings
from recipes.winding.tooth_ring_page import (
    WAYS,
    Piece,
    RingLabels,
    Side,
    axes_of,
    missing,
    pieces,
    ring_labels,
    ring_pages,
    ring_shape,
)

SIDES: tuple[Side, ...] = ("lead", "far")


def tooth_ring(job: Job) -> tuple[Part, ...]:
    """Return the two rings, "tooth_ring_lead" and "tooth_ring_far"; none if they are left out.

    Each part's region is the whole ring; its drawings are the pages that hold it at true size.

    Raises:
        Refused: no winding, no slot, no such wire, or the printer's rulers are out of range.
    """
    return tuple(part for side in SIDES for part in _ring(job, side))


def _laid_out(job: Job, side: Side) -> tuple[RingLabels | None, tuple[Piece, ...]]:
    """Return lettering and pieces of one ring."""
    labels = ring_labels(ring_shape(job, side))
    if labels is None:
        return None, ()
    try:
        return labels, pieces(job, labels.shape, side)
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None


def _ring(job: Job, side: Side) -> tuple[Part, ...]:
    labels, found = _laid_out(job, side)
    if labels is None or not found:
        return ()
    shape = labels.shape
    return (
        Part(
            name=f"tooth_ring_{side}",
            cut=(shape.whole(axes_of(shape, side, range(shape.slots))),),
            material="self-adhesive paper",
            thickness=0.0,
            quantity=1,
            settings={
                "outer_diameter_mm": round(2 * shape.outer, 4),
                "hole_diameter_mm": round(2 * shape.inner, 4),
                "pieces": len(found),
            },
            notes=(f"{side} side: numbers run {WAYS[side]} as you look at it", *missing(labels)),
            drawings=ring_pages(job, side, labels, found),
        ),
    )


def tooth_ring_findings(job: Job) -> list[Finding]:
    """Say when rings are left out, or come in pieces or on tiles.

    Raises:
        Refused: see `tooth_ring`.
    """
    found: list[Finding] = []
    by_hand = "number the teeth by hand with a marker, as on the winding card"
    for side in SIDES:
        labels, parts = _laid_out(job, side)
        if labels is None:
            found.append(
                note(
                    "ring-left-out",
                    "motor.slots",
                    (
                        f"paper ring for the {side} side: left out, {job.design.motor.slots} teeth are too "
                        "close, or the yoke too narrow, for lettering of 2.5 mm"
                    ),
                    value=job.design.motor.slots,
                    fix=by_hand,
                    source="least lettering on a sheet, ISO 3098-1",
                )
            )
            continue
        across = 2 * labels.shape.outer
        if len(parts) == 1:
            made = next(p for p in job.parts["tooth_ring"] if p.name == f"tooth_ring_{side}")
            found += sheet_findings(made.drawings, f"paper ring for the {side} side")
        if len(parts) > 1:
            found.append(
                note(
                    "ring-in-pieces",
                    "print.page",
                    (
                        f"paper ring for the {side} side: {across:.0f} mm across, larger than the page, so "
                        f"it comes in {len(parts)} pieces"
                    ),
                    value=across,
                    fix="butt the pieces in the middle of the slots",
                )
            )
    return found
