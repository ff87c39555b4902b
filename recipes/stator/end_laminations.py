"""Stepped end laminations: the very sheet with narrower teeth, so that the coil turns over a round.

    seen along a tooth's tip          the sheet of a step: only the flanks move

         +--+------+--+  END2          .--tip, lips, opening: as the full sheet--.
       +-+            +-+  END1        '---.                                 .---'
     +-+                +-+               ||<- narrower_by       narrower_by ->||
     |    full sheets     |               ||                                   ||
                                       ---'  floor, yoke, hub: as the full sheet '---

A coil is drawn tight round the two flanks only. Along lip and slot bottom the wire leaves the slot
straight, so these stay where they are: the air-gap face keeps its width and its flux, the lip and
the yoke their iron, and every hole, key and mark its place. Rounds follow the rules of the full
sheet.
"""

from __future__ import annotations

from dataclasses import replace

from geometry.finding import Finding
from geometry.part import Part
from recipes.design import Design
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.refusal import Refused, stop, warn
from recipes.stator.slot import SlotShape


def end_laminations(job: Job) -> tuple[Part, ...]:
    """Return one `Part` for each step of [ends], from the full sheets outwards.

    Returns:
        "lamination_end1", "lamination_end2", ...; quantity: both ends and spares.

    Raises:
        Refused: the sheet itself, or a step of it, cannot be drawn.
    """
    if not job.design.ends.steps:
        return ()
    job.parts["lamination"]  # what is wrong with the sheet itself is said of it
    return tuple(_sheet(job, k) for k in range(len(job.design.ends.steps)))


def narrowed(design: Design, by: float) -> Design:
    """Return the design of the sheet whose teeth are narrower by `by` mm on each side.

    A negative figure makes them wider, down into the slot.
    """
    lam = design.lamination
    field, sign = (
        ("tooth_width", -2.0) if lam.slot_shape == "parallel teeth" else ("slot_width", 2.0)
    )
    width: float | None = getattr(lam, field)
    changed = {} if width is None else {field: width + sign * by}
    return design.model_copy(update={"lamination": lam.model_copy(update=changed)})


def step_job(job: Job, k: int) -> Job:
    """Return the job of the sheets of step `k` (0: next to the full sheets)."""
    return job.once(_step_jobs)[k]


def _step_jobs(job: Job) -> tuple[Job, ...]:
    return tuple(
        Job(narrowed(job.design, step.narrower_by), same_hub=job) for step in job.design.ends.steps
    )


def least_tooth_width(slot: SlotShape) -> float:
    """Return the width of the tooth where its flanks are nearest to each other, mm."""
    flank = slot.half[-3 if slot.radii["root_radius"] else -2]
    return 2 * min(flank.start.y, flank.end.y)


def _sheet(job: Job, k: int) -> Part:
    step, field = job.design.ends.steps[k], _field(k)
    try:
        part = step_job(job, k).parts["lamination"][0]
    except Refused as refused:
        raise Refused(
            *(
                replace(
                    f,
                    field=field,
                    value=step.narrower_by,
                    limit=None,
                    message=f"{field} = {step.narrower_by:.3g} mm: the sheet of this step cannot be "
                    f"drawn: {f.message.replace('lamination.', '')}",
                    fix="use a smaller narrower_by",
                )
                for f in refused.findings
            )
        ) from None
    lam = job.design.lamination
    what = "tooth" if lam.slot_shape == "parallel teeth" else "slot"
    before = lam.tooth_width if what == "tooth" else lam.slot_width
    after = (before or 0.0) + (-2 if what == "tooth" else 2) * step.narrower_by
    return replace(
        part,
        name=f"lamination_end{k + 1}",
        quantity=job.stack.end_to_order[k],
        settings={
            **part.settings,
            "step": k + 1,
            "narrower_by_mm": step.narrower_by,
            "sheets_at_each_end": step.count,
        },
        notes=(
            *part.notes,
            f"end sheet {k + 1}: {step.count} at each end of the stack, "
            + ("next to the full sheets" if k == 0 else f"outside end sheet {k}"),
            f"told from the full sheet by its {what}: {after:.2f} mm wide, not {before or 0.0:.2f} mm",
        ),
    )


def _field(k: int) -> str:
    return f"ends.steps[{k + 1}].narrower_by"


def end_lamination_findings(job: Job) -> list[Finding]:
    """Judge every end sheet: can it be drawn and cut, and does its step survive the cut?"""
    steps = job.design.ends.steps
    if not steps:
        return []
    job.parts["lamination"]  # what is wrong with the sheet itself is said there
    shop, t = process(job.design.shop.process), job.design.lamination.sheet_thickness
    full = least_tooth_width(job.slot)
    found: list[Finding] = []
    for k, step in enumerate(steps):
        field, less = _field(k), step.narrower_by
        left = full - 2 * less
        if left <= 0:
            continue  # `end_edge` refuses it
        if left < shop.web(t) - 1e-9:
            most = (full - shop.web(t)) / 2
            found.append(
                stop(
                    "feature-too-small",
                    field,
                    (
                        f"{field} = {less:.3g} mm leaves a tooth of {left:.3g} mm: it bends or burns; "
                        f"{shop.name} needs at least {shop.web(t):.3g} mm in {t:g} mm sheet"
                    ),
                    value=less,
                    limit=most,
                    fix=f"use at most {most:.2f} mm",
                    source=shop.source,
                    confidence="practice",
                )
            )
            continue
        try:
            narrow = step_job(job, k)
            narrow.parts["lamination"]
            found += _rounds(job, narrow, k)
        except Refused:
            try:
                end_laminations(job)
            except Refused as refused:
                found += refused.findings
            continue
        gain = less - (steps[k - 1].narrower_by if k else 0.0)
        if gain <= shop.tolerance_mm:
            found.append(
                warn(
                    "step-within-tolerance",
                    field,
                    (
                        f"{field}: the step of {gain:.2f} mm is no more than {shop.name} may be off "
                        f"({shop.tolerance_mm:g} mm): the edge may come out without it"
                    ),
                    value=less,
                    limit=shop.tolerance_mm,
                    fix="use fewer, larger steps, or a finer process",
                    source=shop.source,
                    confidence="practice",
                )
            )
    return found


def _rounds(job: Job, narrow: Job, k: int) -> list[Finding]:
    """Say where a step's sheet had to give up more of a round than the full sheet."""
    found = []
    for name, radius in narrow.slot.radii.items():
        if radius < job.slot.radii[name] - 1e-9:
            found.append(
                warn(
                    "round-smaller-than-full-sheet",
                    _field(k),
                    (
                        f"{_field(k)}: {name} is {radius:g} mm on this sheet, {job.slot.radii[name]:g} mm "
                        "on the full ones: a sharper edge stands out in the slot"
                    ),
                    value=radius,
                    limit=job.slot.radii[name],
                    fix="use a smaller narrower_by, or set the radius in [lamination]",
                )
            )
    return found
