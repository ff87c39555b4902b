"""How many sheets of which kind make the stack: its height, and the steel's share of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from recipes.design.insulation import EndStep
from recipes.design.lamination import Lamination

#: Steel share of a hand-glued stack (0.90 to 0.95, common practice).
GLUED_FACTOR = 0.94

#: A pile that says less was measured wrongly (common practice); `kerf_rules` says so.
LEAST_FACTOR = 0.8

#: Sheets in the pile that tells the stacking factor (common practice).
PILE = 20

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


def stack_of(lam: Lamination, steps: Sequence[EndStep], pile_height: float | None) -> Stack:
    """Return the sheet count for the wanted height: round(factor * height / thickness).

    The sheets of end steps are part of that count; each kind of sheet has spares of its own,
    because one kind cannot stand in for another.

    Args:
        lam: the sheet and the height of the stack.
        steps: of both ends.
        pile_height: of a measured pile of `PILE` sheets, mm; None if nobody measured one.
    """
    factor, basis = stacking_factor(lam, measured_stacking_factor(pile_height, lam.sheet_thickness))
    sheets = sheets_at(factor, lam.stack_length, lam.sheet_thickness)
    ends = tuple(2 * step.count for step in steps)
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


def measured_stacking_factor(pile_height: float | None, thickness: float) -> float | None:
    """Return the steel share of the height of a pile of 20 sheets, to three digits; None if unmeasured.

    Args:
        pile_height: of the pile, mm.
        thickness: of one sheet, mm.
    """
    return None if pile_height is None else round(PILE * thickness / pile_height, 3)


def stacking_factor(lam: Lamination, measured: float | None) -> tuple[float, str]:
    """Return the steel share of the height and where it comes from.

    The design's own figure counts; else what a stack glued by hand has, or less if the measured
    pile says so. Glue only ever takes from the share of a dry pile, so a better pile adds nothing.
    """
    if lam.stacking_factor is not None:
        return lam.stacking_factor, "the design file"
    if measured is not None and LEAST_FACTOR <= measured < GLUED_FACTOR:
        return measured, f"measured pile of {PILE} sheets"
    return GLUED_FACTOR, "hand-glued stack, common practice"
