"""How many sheets make the stack, and what it weighs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.design import Design

#: Steel share of a hand-glued stack (0.90 to 0.95, common practice).
GLUED_FACTOR = 0.94

#: Sheets lost in cutting, gluing and testing: 5 %, at least 2 (common practice, survey rule R33).
SPOIL, LEAST_SPOIL = 0.05, 2


@dataclass(frozen=True)
class Stack:
    """Sheets of one stack.

    Args:
        factor: steel share of the height.
        sheets: sheets in the stack.
        sheets_to_order: with spoil.
        length: finished height in mm.
    """

    factor: float
    sheets: int
    sheets_to_order: int
    length: float


def stack_of(design: Design) -> Stack:
    """Return the sheet count for the wanted height: round(factor * height / thickness)."""
    lam = design.lamination
    factor = lam.stacking_factor if lam.stacking_factor is not None else GLUED_FACTOR
    sheets = max(1, round(factor * lam.stack_length / lam.sheet_thickness))
    spare = max(LEAST_SPOIL, math.ceil(SPOIL * sheets))
    return Stack(factor, sheets, sheets + spare, sheets * lam.sheet_thickness / factor)
