"""The stator lamination: one exact outline with its holes, cut once for every sheet.

Origin: axis of the motor. Tooth 1 points up (+y), numbers run counter-clockwise as seen from
the lead side. Checked here: that every loop can be drawn and lies inside the sheet; webs,
holes and clearances for a cutting process are judged by `recipes.manufacturing.sheet_rules`.
"""

from __future__ import annotations

import math
from functools import partial

from geometry.drafting.drawing import Drawing
from geometry.drafting.lazy import Lazy
from geometry.errors import GeometryError
from geometry.notched import arc_with_notch, at, groove_notch
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.pattern import mirrored_run, repeated
from geometry.point import ORIGIN
from geometry.segment import Arc, Line, Segment
from recipes.job import Job
from recipes.refusal import Refused, misfit, stop
from recipes.stator.hub import bore, holes, rotation_step
from recipes.stator.slot import SlotShape
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

#: Tooth 1 points up.
TOOTH_1 = math.pi / 2


def lamination(job: Job) -> tuple[Part, ...]:
    """Return the lamination of a design.

    Args:
        job: the design with what follows from it.

    Returns:
        One `Part` named "lamination" with one region: outline and holes, mm.

    Raises:
        Refused: impossible geometry, by field, value, limit and fix.
    """
    design, slot = job.design, job.slot
    lam = design.lamination
    outer = toothed_outline(job, TOOTH_1)
    region = Region(outer, (*hub_holes(job), (job.same_hub or job).once(_hub_bore)))
    _inside_yoke(job)
    return (
        Part(
            name="lamination",
            cut=(region,),
            material=lam.steel,
            thickness=lam.sheet_thickness,
            quantity=job.stack.full_to_order,
            settings={
                "slots": design.motor.slots,
                "outer_diameter_mm": lam.outer_diameter,
                "bore_diameter_mm": lam.bore_diameter,
                "rotation_step_slots": rotation_step(design),
                **{f"{name}_mm": radius for name, radius in slot.radii.items()},
            },
            notes=(
                "drawn nominal: no kerf applied",
                "burr all on one side, at most 0.05 mm; the tooth faces stay sharp-edged in plan",
            ),
            drawings=Lazy(partial(_drawn, job), count=1),
        ),
    )


def _drawn(job: Job) -> tuple[Drawing, ...]:
    from recipes.stator.lamination_drawing import lamination_drawing

    return (lamination_drawing(job),)


def hub_holes(job: Job) -> tuple[Outline, ...]:
    """Return the holes of the hub but the bore, clockwise, with tooth 1 up, mm.

    Raises:
        Refused: see `recipes.stator.hub.holes`.
    """
    return (job.same_hub or job).once(_hub_holes)


def _hub_holes(job: Job) -> tuple[Outline, ...]:
    return tuple(o.rotated(TOOTH_1).oriented(False) for o in holes(job.design))


def _hub_bore(job: Job) -> Outline:
    return bore(job.design).rotated(TOOTH_1).oriented(False)


def toothed_outline(job: Job, start: float = 0.0) -> Outline:
    """Return the outline with all teeth, mm; tooth 1 at the angle `start` rad from the x axis.

    Raises:
        Refused: no slot, or tab notches that do not divide the teeth evenly.
    """
    slot, tab = job.slot, job.design.lamination.tab_notch
    tabs = tab.count if tab and tab.place == "tip" else 0
    slots = slot.slots
    noted = {round(k * slots / tabs) % slots for k in range(tabs)}
    if tabs and slots % tabs:
        raise Refused(
            stop(
                "tab-notch",
                "lamination.tab_notch.count",
                f"lamination.tab_notch.count = {tabs} does not divide {slots} teeth evenly",
                value=tabs,
                limit=slots,
                fix=f"use one of {[n for n in range(1, 7) if slots % n == 0]}",
            )
        )
    plain = _tooth(slot, None, 0.0, 0.0)
    relieved = plain
    if tab and tabs:
        try:
            relieved = _tooth(slot, tab.width, tab.depth, job.design.lamination.outer_diameter)
        except GeometryError as error:
            raise Refused(misfit(error, "lamination.tab_notch.width")) from None
    runs = [relieved if k in noted else plain for k in range(slots)]
    return Outline(tuple(repeated(runs, start)))


def _tooth(
    slot: SlotShape, notch_width: float | None, depth: float, outer_diameter: float
) -> list[Segment]:
    """Return one tooth from its right root over the tip, and the slot bottom after it."""
    side = list(slot.half[1:-1])
    corner = slot.half[0].end
    tip = Arc(corner.mirrored(), corner, ORIGIN, True)
    face: list[Segment] = [tip]
    if notch_width is not None:
        notch = groove_notch(outer_diameter / 2, notch_width, -depth)
        face = arc_with_notch(tip, at(notch, 0.0, "lamination.tab_notch"))
    root = side[-1].end
    after = root.mirrored().rotated(2 * slot.half_pitch)
    floor: Segment = (
        Arc(root, after, ORIGIN, True) if isinstance(slot.half[-1], Arc) else Line(root, after)
    )
    return [*mirrored_run(side, 0.0), *face, *side, floor]


def _inside_yoke(job: Job) -> None:
    """Refuse holes that break through the slot bottom, the bore or each other."""
    design = job.design
    lam, hub = design.lamination, design.hub
    floor = lam.outer_diameter / 2 - lam.slot_depth
    faults = []
    if lam.bore_diameter / 2 >= floor:
        faults.append(
            stop(
                "no-yoke",
                "lamination.bore_diameter",
                (
                    f"lamination.bore_diameter = {lam.bore_diameter:g} mm reaches the slot bottom at "
                    f"{2 * floor:.3f} mm"
                ),
                value=lam.bore_diameter,
                limit=2 * floor,
                fix="use a smaller bore or shallower slots",
            )
        )
    for field, circle, size in (
        (
            "hub.bolts.circle_diameter",
            hub.bolts and hub.bolts.circle_diameter,
            hub.bolts and hub.bolts.hole_diameter,
        ),
        (
            "hub.windows.circle_diameter",
            hub.windows and hub.windows.circle_diameter,
            hub.windows and 2 * hub.windows.radius,
        ),
    ):
        if circle and size:
            low, high = lam.bore_diameter + size, 2 * floor - size
            if not low < circle < high:
                faults.append(
                    stop(
                        "hole-outside-hub",
                        field,
                        (
                            f"{field} = {circle:g} mm: its holes break into the bore or a slot; must be "
                            f"above {low:.3f} and below {high:.3f} mm"
                        ),
                        value=circle,
                        limit=f"{low:.3f} to {high:.3f}",
                        fix=f"use {field} between {low:.2f} and {high:.2f} mm, or smaller holes",
                    )
                )
    if faults:
        raise Refused(*faults)


def lamination_results(job: Job) -> dict[str, float | int | str]:
    """Return the figures of sheet and stack for `results.json`."""
    part = job.parts["lamination"][0]
    return {
        "lamination_area_mm2": part.area,
        "lamination_cut_length_mm": part.cut_length,
        "lamination_pierces": part.pierces,
        "rotation_step_slots": rotation_step(job.design),
        **{f"{name}_mm": radius for name, radius in job.slot.radii.items()},
    }


def steel_density(name: str) -> float:
    """Return the density of a grade in kg/m3; 7700 where the table does not know it."""
    try:
        return steel_grade(name).density_kg_per_m3
    except TableError:
        return 7700.0
