"""The stack: how many sheets of which kind, how they are turned and told apart, and its body.

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
from dataclasses import dataclass
from functools import partial

from geometry.drafting.drawing import Drawing
from geometry.drafting.lazy import Lazy
from geometry.part import Part
from geometry.solids import Assembly, Extruded
from recipes.design import Design
from recipes.job import Job
from recipes.manufacturing.kerf import PILE, measured_stacking_factor
from recipes.manufacturing.stack_rules import tells_faces_apart
from recipes.stator.lamination import steel_density
from recipes.stator.stack_drawing import stack_drawing
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

#: Steel share of a hand-glued stack (0.90 to 0.95, common practice).
GLUED_FACTOR = 0.94

#: A pile that says less was measured wrongly (common practice); `kerf_rules` says so.
LEAST_FACTOR = 0.8

#: Sheets lost in cutting, gluing and testing: 5 %, at least 2 (common practice).
SPOIL, LEAST_SPOIL = 0.05, 2


@dataclass(frozen=True)
class Stack:
    """Sheets of one stack.

    Args:
        factor: steel share of the height.
        sheets: sheets in the stack, of every kind.
        sheets_to_order: with spoil, of every kind.
        length: finished height in mm.
        basis: where the factor comes from, in words.
        full_sheets, full_to_order: sheets with full teeth, in the stack and with spoil.
        end_sheets, end_to_order: sheets of each end step, both ends together, from the full
            sheets outwards; in the stack and with spoil.
    """

    factor: float
    sheets: int
    sheets_to_order: int
    length: float
    basis: str
    full_sheets: int
    full_to_order: int
    end_sheets: tuple[int, ...]
    end_to_order: tuple[int, ...]

    @property
    def sheet_height(self) -> float:
        """Height of one sheet in the stack with its share of glue and air, mm."""
        return self.length / self.sheets


def stack_of(design: Design) -> Stack:
    """Return the sheet count for the wanted height: round(factor * height / thickness).

    The sheets of end steps are part of that count; each kind of sheet has spares of its own,
    because one kind cannot stand in for another.
    """
    lam = design.lamination
    factor, basis = stacking_factor(design)
    sheets = sheets_at(factor, lam.stack_length, lam.sheet_thickness)
    ends = tuple(2 * step.count for step in design.ends.steps)
    full = max(0, sheets - sum(ends))  # `end_edge` refuses steps that leave no full sheet
    full_to_order, *end_to_order = (n + spare(n) for n in (full, *ends))
    return Stack(
        factor=factor,
        sheets=sheets,
        sheets_to_order=full_to_order + sum(end_to_order),
        length=sheets * lam.sheet_thickness / factor,
        basis=basis,
        full_sheets=full,
        full_to_order=full_to_order,
        end_sheets=ends,
        end_to_order=tuple(end_to_order),
    )


def spare(sheets: int) -> int:
    """Return how many sheets to order on top of `sheets`."""
    return max(LEAST_SPOIL, math.ceil(SPOIL * sheets))


def sheets_at(factor: float, height: float, thickness: float) -> int:
    """Return how many sheets of `thickness` mm make a stack of `height` mm; at least one."""
    return max(1, round(factor * height / thickness))


def stacking_factor(design: Design) -> tuple[float, str]:
    """Return the steel share of the height and where it comes from.

    The design's own figure counts; else what a stack glued by hand has, or less if the measured
    pile says so. Glue only ever takes from the share of a dry pile, so a better pile adds nothing.
    """
    own, pile = (
        design.lamination.stacking_factor,
        measured_stacking_factor(
            design.shop.measured.pile_of_20, design.lamination.sheet_thickness
        ),
    )
    if own is not None:
        return own, "the design file"
    if pile is not None and LEAST_FACTOR <= pile < GLUED_FACTOR:
        return pile, f"measured pile of {PILE} sheets"
    return GLUED_FACTOR, "hand-glued stack, common practice"


def stack(job: Job) -> tuple[Part, ...]:
    """Return the finished stack as one part with a body, and the figures of its card.

    Returns:
        "stack"; its body is one solid, or one for every kind of sheet at each end.

    Raises:
        Refused: a sheet of it cannot be drawn.
    """

    count, lam, slots = job.stack, job.design.lamination, job.design.motor.slots
    step = int(job.parts["lamination"][0].settings["rotation_step_slots"])
    apart = tells_faces_apart(job.parts["lamination"][0].cut[0], slots)
    layers = _layers(job)
    settings: dict[str, float | int | str] = {
        "mass_kg": round(stack_mass(job), 4),
        "length_mm": round(count.length, 3),
        "stacking_factor": count.factor,
        "stacking_factor_from": count.basis,
        "sheets": count.sheets,
        "full_sheets": count.full_sheets,
        **{f"end_sheets_{n}": k for n, k in enumerate(count.end_sheets, 1)},
        "rotation_step_slots": step,
        "rotation_step_deg": round(360 * step / slots, 6),
        "tells_faces_apart": "yes" if apart else "no",
    }
    return (
        Part(
            name="stack",
            cut=(),
            material=lam.steel,
            thickness=0.0,
            quantity=1,
            settings=settings,
            notes=_notes(job, step, apart),
            drawings=Lazy(partial(_drawn, job), count=1),
            solid=layers[0][1] if len(layers) == 1 else Assembly(tuple(layers)),
        ),
    )


def _drawn(job: Job) -> tuple[Drawing, ...]:

    return (stack_drawing(job),)


def _layers(job: Job) -> list[tuple[str, Extruded]]:
    """Return every run of equal sheets from the far side up, with its name."""
    count, full = job.stack, job.parts["lamination"][0]
    kinds = [
        (p.name, p.cut[0], n // 2) for p, n in zip(end_sheets(job), count.end_sheets, strict=True)
    ]
    order = [(f"{name} far side", r, n) for name, r, n in reversed(kinds)]
    order += [(full.name, full.cut[0], count.full_sheets)]
    order += [(f"{name} lead side", r, n) for name, r, n in kinds]
    found, below = [], 0
    for name, region, sheets in order:
        if sheets:
            low, high = (n * count.sheet_height for n in (below, below + sheets))
            found.append((name, Extruded(region, high - low, low)))
            below += sheets
    return found


def end_sheets(job: Job) -> tuple[Part, ...]:
    """Return the parts of the end steps, from the full sheets outwards."""
    return job.parts["end_laminations"]


def _notes(job: Job, step: int, apart: bool) -> tuple[str, ...]:
    slots = job.design.motor.slots
    turn = (
        f"turn each sheet by {step} slots ({360 * step / slots:g} degrees) against the one below: "
        "evens out thickness and rolling direction"
        if step
        else "lay all sheets the same way round: no turn maps this sheet onto itself"
    )
    face = (
        "every sheet with its burr the same way: the notches in the bore line up in no other way"
        if apart
        else "mark one face of every sheet: nothing in the outline shows a sheet turned over"
    )
    return (
        turn,
        face,
        "glue under clamp on a mandrel; no weld across the stack, none at the teeth; bolts through "
        "the hub only, one ring of them insulated",
    )


def stack_mass(job: Job) -> float:
    """Return the mass of the steel in kg; glue left out."""

    count, lam = job.stack, job.design.lamination
    kinds = [(job.parts["lamination"][0], count.full_sheets)]
    kinds += list(zip(end_sheets(job), count.end_sheets, strict=True))
    volume = math.fsum(part.area * n * lam.sheet_thickness for part, n in kinds)  # mm3
    return volume * 1e-9 * steel_density(lam.steel)


def stack_results(job: Job) -> dict[str, float | int | str]:
    """Return the figures of the stack for `results.json`; the pressed count by EN 10106."""

    count, lam = job.stack, job.design.lamination
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
        "stack_mass_kg": stack_mass(job),
    }
    try:
        least = steel_grade(lam.steel).min_stacking_factor
    except TableError:
        return results
    pressed = sheets_at(least, lam.stack_length, lam.sheet_thickness)
    return results | {"sheet_count_pressed_en10106": pressed}
