"""Height of the pile of 20 sheets and of the glued stack: burr, glue, and sheets forgotten."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from recipes.measured.row import Beside, judged
from recipes.shop.kerf import PILE
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

if TYPE_CHECKING:
    from recipes.job import Job

BURR_MM: Final = (0.02, 0.05)
"""Burr of one sheet: what an order may ask for, and what bites through the coating (common practice)."""

THICKNESS_OFF: Final = 0.08
"""Thickness of electrical steel may be off by this share (EN 10106, nominal 0.35 to 0.65 mm; from
memory)."""


def height_rows(job: Job) -> tuple[Beside, ...]:
    """Return the pile of 20 sheets and the height of the stack."""
    return _pile(job), _stack(job)


def _pile(job: Job) -> Beside:
    lam, height = job.design.lamination, job.design.shop.measured.pile_of_20
    bare = PILE * lam.sheet_thickness
    try:
        expected = bare / steel_grade(lam.steel).min_stacking_factor
        basis = f"pressed mill stock of {lam.steel} (EN 10106)"
    except TableError:
        expected, basis = bare / 0.96, "pressed mill stock, common practice"
    low, high = bare * (1.0 - THICKNESS_OFF), expected + PILE * BURR_MM[0]
    verdict = judged(height, low, high, far=PILE * (BURR_MM[1] - BURR_MM[0]))
    return Beside(
        "shop.measured.pile_of_20", f"height of {PILE} sheets, pressed", expected, height, "mm", low,
        high, f"{basis}, {BURR_MM[0]:g} mm of burr a sheet, sheet 8 % thin", verdict,
        "" if height is None else _pile_means(height, expected, low, bare, verdict),
    )  # fmt: skip


def _pile_means(height: float, expected: float, low: float, bare: float, verdict: str) -> str:
    share = f"steel is {100.0 * bare / height:.3g} % of the height"
    if height < low:
        return f"{share}: a sheet too few in the pile, or thinner sheet than ordered"
    if verdict == "good":
        return share
    burr = 1000.0 * (height - expected) / PILE
    return (
        f"{share}; {burr:.0f} µm too much a sheet: usually burr (deburr, burr all one way, or ask "
        "the shop), dirt, or sheets not flat; burr through the coating shorts the sheets"
    )


def _stack(job: Job) -> Beside:
    stack, height = job.stack, job.design.measured.stack_height
    one = stack.sheet_height
    low, high = stack.length - one, stack.length + one
    verdict = judged(height, low, high, far=2.0 * one)
    meaning = ""
    if height is not None and verdict != "good":
        sheets = (height - stack.length) / one
        meaning = f"{abs(sheets):.1f} sheets too {'high' if sheets > 0 else 'low'}: " + (
            "usually thick glue, burr or too little clamping; the liners are then too short"
            if sheets > 0
            else "usually sheets forgotten or thinner than ordered; torque falls with the height"
        )
    return Beside(
        "measured.stack_height", f"height of the glued stack, {stack.sheets} sheets", stack.length,
        height, "mm", low, high, "one sheet", verdict, meaning,
    )  # fmt: skip
