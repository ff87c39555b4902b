"""The stator lamination: one exact outline with its holes, cut once for every sheet.

Origin: axis of the motor. Tooth 1 points up (+y), numbers run counter-clockwise as seen from
the lead side. Checked here: that every loop can be drawn and lies inside the sheet; webs,
holes and clearances for a cutting process are judged by `recipes.manufacturing.sheet_rules`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from geometry.drafting.drawing import Lazy
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.radial import arc_with_notch, at, groove_notch, repeated
from geometry.segment import Segment, mirrored_run
from recipes.design import Design
from recipes.design.lamination import Hub, Lamination
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit, stop
from recipes.stator.hub import bore, holes, rotation_step
from recipes.stator.lamination_drawing import lamination_drawing
from recipes.stator.slot import TOOTH_1, SlotShape


def lamination(
    design: Design, slot: SlotShape, quantity: int, imprint: Imprint
) -> tuple[Part, ...]:
    """Return the lamination of a design.

    Args:
        design: its sheet, hub, shop.
        slot: the exact tooth and slot.
        quantity: sheets to order.
        imprint: what the drawing says of the design.

    Returns:
        One `Part` named "lamination" with one region: outline and holes (the bore last), mm.

    Raises:
        Refused: impossible geometry, by field, value, limit and fix.
    """
    lam, hub = design.lamination, design.hub
    outer = toothed_outline(slot, lam)
    centre = bore_and_holes(hub, lam, slot.slots)
    region = Region(outer, centre)
    _refuse_broken_yoke(lam, hub)
    step = rotation_step(hub, lam, slot.slots)
    return (
        Part(
            name="lamination",
            cut=(region,),
            material=lam.steel,
            thickness=lam.sheet_thickness,
            quantity=quantity,
            settings={
                "slots": slot.slots,
                "outer_diameter_mm": lam.outer_diameter,
                "bore_diameter_mm": lam.bore_diameter,
                "rotation_step_slots": step,
                **in_mm(slot.radii),
            },
            notes=(
                "drawn nominal: no kerf applied",
                "burr all on one side, at most 0.05 mm; the tooth faces stay sharp-edged in plan",
            ),
            drawings=Lazy(
                partial(lamination_drawing, design, slot, region, step, imprint), count=1
            ),
        ),
    )


def bore_and_holes(hub: Hub, lam: Lamination, slots: int) -> tuple[Outline, ...]:
    """Return the holes of the sheet, clockwise, with tooth 1 up, mm; the bore is the last.

    Raises:
        Refused: see `recipes.stator.hub`.
    """
    loops = [*holes(hub, lam), bore(hub, lam, slots)]
    return tuple(loop.rotated(TOOTH_1).oriented(False) for loop in loops)


def toothed_outline(slot: SlotShape, lam: Lamination) -> Outline:
    """Return the outline with all teeth, tooth 1 up, mm.

    Raises:
        Refused: tab notches that do not divide the teeth evenly, or do not fit the tip.
    """
    slots, tab = slot.slots, lam.tab_notch
    face: list[Segment] = [slot.face]
    plain = _tooth(slot, face)
    runs = [plain] * slots
    if tab and tab.place == "tip":
        if slots % tab.count:
            raise Refused(
                stop(
                    "tab-notch",
                    "lamination.tab_notch.count",
                    f"lamination.tab_notch.count = {tab.count} does not divide {slots} teeth evenly",
                    value=tab.count,
                    limit=slots,
                    fix=f"use one of {[n for n in range(1, 7) if slots % n == 0]}",
                )
            )
        try:
            notch = groove_notch(lam.outer_diameter / 2, tab.width, -tab.depth)
            face = arc_with_notch(slot.face, at(notch, 0.0, "lamination.tab_notch"))
        except GeometryError as error:
            raise Refused(misfit(error, "lamination.tab_notch.width")) from None
        runs[:: slots // tab.count] = [_tooth(slot, face)] * tab.count
    return Outline(tuple(repeated(runs, TOOTH_1)))


def _tooth(slot: SlotShape, face: list[Segment]) -> list[Segment]:
    """Return one tooth from its right root over its face, and the slot bottom after it."""
    return [*mirrored_run(slot.side, 0.0), *face, *slot.side, slot.floor]


def _refuse_broken_yoke(lam: Lamination, hub: Hub) -> None:
    """Refuse holes that break through the slot bottom, the bore or each other."""
    floor = lam.outer_diameter / 2 - lam.slot_depth
    faults = []
    if lam.bore_diameter / 2 >= floor:
        faults.append(
            stop(
                "no-yoke",
                "lamination.bore_diameter",
                f"lamination.bore_diameter = {lam.bore_diameter:g} mm reaches the slot bottom at "
                f"{2 * floor:.3f} mm",
                value=lam.bore_diameter,
                limit=2 * floor,
                fix="use a smaller bore or shallower slots",
            )
        )
    rings: list[tuple[str, float, float]] = []
    if b := hub.bolts:
        rings.append(("hub.bolts.circle_diameter", b.circle_diameter, b.hole_diameter))
    if w := hub.windows:
        rings.append(("hub.windows.circle_diameter", w.circle_diameter, 2 * w.radius))
    for field, circle, size in rings:
        low, high = lam.bore_diameter + size, 2 * floor - size
        if not low < circle < high:
            faults.append(
                stop(
                    "hole-outside-hub",
                    field,
                    f"{field} = {circle:g} mm: its holes break into the bore or a slot; must be "
                    f"above {low:.3f} and below {high:.3f} mm",
                    value=circle,
                    limit=f"{low:.3f} to {high:.3f}",
                    fix=f"use {field} between {low:.2f} and {high:.2f} mm, or smaller holes",
                )
            )
    if faults:
        raise Refused(*faults)


def in_mm(sizes: Mapping[str, float]) -> dict[str, float]:
    """Return sizes under names that say their unit: "root_radius_mm"."""
    return {f"{name}_mm": size for name, size in sizes.items()}


def lamination_results(sheet: Part, radii: Mapping[str, float]) -> dict[str, float | int | str]:
    """Return the figures of the sheet for `results.json`; `radii` are those of its corners, mm."""
    return {
        "lamination_area_mm2": sheet.area,
        "lamination_cut_length_mm": sheet.cut_length,
        "lamination_pierces": sheet.pierces,
        "rotation_step_slots": sheet.settings["rotation_step_slots"],
        **in_mm(radii),
    }
