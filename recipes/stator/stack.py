"""The stack: sheets of every kind, how they are turned and told apart, and its body.

z ^   lead side
  |  +-------+    end sheets, narrowest outside
  | +---------+
  | |         |   full sheets
  | +---------+
  |  +-------+    end sheets
  0   far side
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from geometry.drafting.drawing import Lazy
from geometry.inspection.compare import compare_outlines, same_outline
from geometry.outline import Region
from geometry.part import Part
from geometry.solids import Assembly, Extruded
from recipes.design import Design
from recipes.design.lamination import Lamination
from recipes.design.units import counted
from recipes.drawing_conventions import Imprint
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.stator.stack_count import Stack, sheets_at
from recipes.stator.stack_drawing import stack_drawing
from recipes.stator.stack_section import layers
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

#: Corners of a sheet and of the same sheet turned agree to this much, mm: rounding of sines only.
TURNED = 1e-7


def stack(
    design: Design,
    slot: SlotShape,
    count: Stack,
    sheets: Sequence[Part],
    covers: Sequence[Part],
    imprint: Imprint,
) -> tuple[Part, ...]:
    """Return the finished stack as one part with a body, and the figures of its card.

    Args:
        design: for the drawing.
        slot: the exact tooth and slot.
        count: sheets of every kind.
        sheets: the lamination, then those of the end steps, from the full sheets outwards.
        covers: end washer and end cap, as far as there are any, from the coil to the steel.
        imprint: what the drawing says of the design.

    Returns:
        "stack"; its body is one solid, or one for every kind of sheet at each end.
    """
    full = sheets[0]
    step = int(full.settings["rotation_step_slots"])
    apart = tells_faces_apart(full.cut[0], slot.slots)
    body = _body(count, sheets)
    settings: dict[str, float | int | str] = {
        "mass_kg": round(stack_mass(count, sheets), 4),
        "length_mm": round(count.length, 3),
        "stacking_factor": count.factor,
        "stacking_factor_from": count.basis,
        "sheets": count.sheets,
        "full_sheets": count.full_sheets,
        **{f"end_sheets_{n}": k for n, k in enumerate(count.end_sheets, 1)},
        "rotation_step_slots": step,
        "rotation_step_deg": round(360 * step / slot.slots, 6),
        "tells_faces_apart": "yes" if apart else "no",
    }
    lying = layers(count, sheets, covers)
    return (
        Part(
            name="stack",
            cut=(),
            material=full.material,
            thickness=0.0,
            quantity=1,
            settings=settings,
            notes=(
                f"turn each sheet by {counted(step, 'slot')} ({360 * step / slot.slots:g} degrees) against the one "
                "below: evens out thickness and rolling direction"
                if step
                else "lay all sheets the same way round: no turn maps this sheet onto itself",
                "every sheet with its burr the same way: the notches in the bore line up in no other way"
                if apart
                else "mark one face of every sheet: nothing in the outline shows a sheet turned over",
                "glue under clamp on a mandrel; no weld across the stack, none at the teeth; bolts "
                "through the hub only, one ring of them insulated",
            ),
            drawings=Lazy(
                partial(stack_drawing, design, slot, count, lying, settings, imprint), count=1
            ),
            solid=body[0][1] if len(body) == 1 else Assembly(tuple(body)),
        ),
    )


def tells_faces_apart(region: Region, slots: int) -> bool:
    """Tell whether a sheet that lies the wrong face up shows, however it is turned.

    Turned over it must still lie tooth on tooth, so only turns by whole slots are looked at; the
    bore (the last hole), which carries the mark, is looked at first.
    """
    bore = region.holes[-1]
    turned_over = bore.mirrored(TOOTH_1)
    turns = [2 * math.pi * k / slots for k in range(slots)]
    alike = [turn for turn in turns if same_outline(bore, turned_over.rotated(turn), TURNED)]
    if not alike:
        return True
    other = region.mirrored(TOOTH_1)
    return all(compare_outlines(region.loops, other.rotated(t).loops, TURNED) for t in alike)


def _body(count: Stack, sheets: Sequence[Part]) -> list[tuple[str, Extruded]]:
    """Return every run of equal sheets from the far side up, with its name."""
    full, *ends = sheets
    kinds = [(p.name, p.cut[0], n // 2) for p, n in zip(ends, count.end_sheets, strict=True)]
    order = [(f"{name} far side", r, n) for name, r, n in reversed(kinds)]
    order += [(full.name, full.cut[0], count.full_sheets)]
    order += [(f"{name} lead side", r, n) for name, r, n in kinds]
    found, below = [], 0
    for name, region, n in order:
        if n:
            low, high = (k * count.sheet_height for k in (below, below + n))
            found.append((name, Extruded(region, high - low, low)))
            below += n
    return found


def stack_mass(count: Stack, sheets: Sequence[Part]) -> float:
    """Return the mass of the steel in kg; glue left out. Steel of no table has 7700 kg/m3."""
    full = sheets[0]
    numbers = (count.full_sheets, *count.end_sheets)
    kinds = zip(sheets, numbers, strict=True)
    volume = math.fsum(part.area * n * full.thickness for part, n in kinds)  # mm3
    try:
        density = steel_grade(full.material).density_kg_per_m3
    except TableError:
        density = 7700.0
    return volume * 1e-9 * density


def stack_results(
    lam: Lamination, count: Stack, sheets: Sequence[Part]
) -> dict[str, float | int | str]:
    """Return the figures of the stack for `results.json`; the pressed count by EN 10106."""
    results: dict[str, float | int | str] = {
        "sheet_count": count.sheets,
        "full_sheet_count": count.full_sheets,
        "full_sheets_to_order": count.full_to_order,
        **{f"end_sheet_{n}_count": k for n, k in enumerate(count.end_sheets, 1)},
        **{f"end_sheets_{n}_to_order": k for n, k in enumerate(count.end_to_order, 1)},
        "sheets_to_order": count.sheets_to_order,
        "stacking_factor": count.factor,
        "stacking_factor_from": count.basis,
        "stack_length_mm": count.length,
        "stack_mass_kg": stack_mass(count, sheets),
    }
    try:
        least = steel_grade(lam.steel).min_stacking_factor
    except TableError:
        return results
    pressed = sheets_at(least, lam.stack_length, lam.sheet_thickness)
    return results | {"sheet_count_pressed_en10106": pressed}
