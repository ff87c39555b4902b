"""Stepped end laminations: the very sheet with narrower teeth, so that the coil turns over a round.

    seen along a tooth's tip          the sheet of a step: only the flanks move

         +--+------+--+  END2          .--tip, shoe, opening: as the full sheet--.
       +-+            +-+  END1        '---.                                 .---'
     +-+                +-+               ||<- narrower_by       narrower_by ->||
     |    full sheets     |               ||                                   ||
                                       ---'  floor, yoke, hub: as the full sheet '---

A coil is drawn tight round the two flanks only. Along shoe and slot bottom the wire leaves the slot
straight, so these stay where they are: the air-gap face keeps its width and its flux, the shoe and
the yoke their iron, and every hole, key and mark its place. Rounds follow the rules of the full
sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from geometry.finding import Finding
from geometry.outline import Region
from geometry.part import Part
from recipes.design.insulation import EndStep
from recipes.design.lamination import Lamination
from recipes.refusal import Refused, stop, warn
from recipes.stator.lamination import in_mm, toothed_outline
from recipes.stator.slot import SlotShape, sides_of, slot_shape
from recipes.tables.process import Process


def end_laminations(
    lam: Lamination,
    steps: Sequence[EndStep],
    full: Part,
    wire_diameter: float,
    to_order: Sequence[int],
) -> tuple[Part, ...]:
    """Return one `Part` for each step of [ends], from the full sheets outwards.

    Args:
        lam, full: the full sheet, as its table and as a part.
        steps: from the full sheets outwards.
        wire_diameter: largest overall diameter of the wire, mm.
        to_order: sheets of each step, both ends and spares.

    Returns:
        "lamination_end1", "lamination_end2", ...

    Raises:
        Refused: a sheet cannot be drawn.
    """
    found = []
    for k, (step, quantity) in enumerate(zip(steps, to_order, strict=True)):
        slot = step_slot(lam, int(full.settings["slots"]), wire_diameter, step.narrower_by, k)
        outer = toothed_outline(slot, lam)
        where = "next to the full sheets" if k == 0 else f"outside end sheet {k}"
        found.append(
            replace(
                full,
                name=f"lamination_end{k + 1}",
                cut=(Region(outer, full.cut[0].holes),),
                quantity=quantity,
                settings={
                    **full.settings,
                    **in_mm(slot.radii),
                    "step": k + 1,
                    "narrower_by_mm": step.narrower_by,
                    "sheets_at_each_end": step.count,
                },
                notes=(
                    *full.notes,
                    f"end sheet {k + 1}: {step.count} at each end of the stack, {where}",
                    f"told from the full sheet by its {slot.sides.what}: {slot.sides.width:.2f} mm wide, "
                    f"not {sides_of(lam).width:.2f} mm",
                ),
                drawings=(),
            )
        )
    return tuple(found)


def step_slot(lam: Lamination, slots: int, wire_diameter: float, by: float, k: int) -> SlotShape:
    """Return tooth and slot of the sheets of step `k` (0: next to the full ones), `by` mm narrower.

    Raises:
        Refused: they cannot be drawn; the findings name the step.
    """
    field = _field(k)
    told = f"{field} = {by:.3g} mm: the sheet of this step cannot be drawn"
    with refused_for(field, told, "use a smaller narrower_by", by):
        return slot_shape(lam, slots, wire_diameter, by)


@contextmanager
def refused_for(field: str, told: str, fix: str, value: float | None = None) -> Iterator[None]:
    """Say of `field` what is wrong with a tooth that was drawn for it.

    Args:
        field: dotted design field.
        told: what could not be done; the reason follows it.
        fix: what to do.
        value: of the field, mm; None leaves that of the reason.

    Raises:
        Refused: what was raised inside, said of `field`.
    """
    try:
        yield
    except Refused as refused:
        raise Refused(
            *(
                replace(
                    f,
                    field=field,
                    value=f.value if value is None else value,
                    limit=None,
                    message=f"{told}: {f.message.replace('lamination.', '')}",
                    fix=fix,
                )
                for f in refused.findings
            )
        ) from None


def _field(k: int) -> str:
    return f"ends.steps[{k + 1}].narrower_by"


def end_lamination_findings(
    lam: Lamination,
    steps: Sequence[EndStep],
    full: Part,
    slot: SlotShape,
    wire_diameter: float,
    shop: Process,
) -> list[Finding]:
    """Judge every end sheet: can it be drawn and cut, and does its step survive the cut?

    Args:
        lam, full, slot: the full sheet, as its table and as a part, and its tooth and slot.
        steps: from the full sheets outwards.
        wire_diameter: largest overall diameter of the wire, mm.
        shop: what cuts them.
    """
    t, wide = full.thickness, slot.tooth_width
    web = shop.web(t)
    found: list[Finding] = []
    before = 0.0
    drawable = True
    for k, step in enumerate(steps):
        field, less = _field(k), step.narrower_by
        gain, before = less - before, less
        left = wide - 2 * less
        if left <= 0:
            continue  # `end_edge` refuses it
        if left < web - 1e-9:
            most = (wide - web) / 2
            found.append(
                stop(
                    "feature-too-small",
                    field,
                    f"{field} = {less:.3g} mm leaves a tooth of {left:.3g} mm: it bends or burns; "
                    f"{shop.name} needs at least {web:.3g} mm in {t:g} mm sheet",
                    value=less,
                    limit=most,
                    fix=f"use at most {most:.2f} mm",
                    source=shop.source,
                    confidence="practice",
                )
            )
            continue
        try:
            narrow = step_slot(lam, slot.slots, wire_diameter, less, k)
        except Refused as refused:
            if drawable:  # wider steps fail for the same reason
                found += refused.findings
            drawable = False
            continue
        for name, radius in narrow.radii.items():
            full_radius = slot.radii[name]
            if radius < full_radius - 1e-9:
                found.append(
                    warn(
                        "round-smaller-than-full-sheet",
                        field,
                        f"{field}: {name} is {radius:g} mm on this sheet, {full_radius:g} mm on the full "
                        "ones: a sharper edge stands out in the slot",
                        value=radius,
                        limit=full_radius,
                        fix="use a smaller narrower_by, or set the radius in [lamination]",
                    )
                )
        if gain <= shop.tolerance_mm:
            found.append(
                warn(
                    "step-within-tolerance",
                    field,
                    f"{field}: the step of {gain:.2f} mm is no more than {shop.name} may be off "
                    f"({shop.tolerance_mm:g} mm): the edge may come out without it",
                    value=less,
                    limit=shop.tolerance_mm,
                    fix="use fewer, larger steps, or a finer process",
                    source=shop.source,
                    confidence="practice",
                )
            )
    return found
