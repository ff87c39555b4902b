"""The glued stack on the bench: heights of pile and stack, and insulation of the winding to it.

Heights tell burr, glue, and sheets forgotten. Insulation from winding to steel is held against
5 Mohm at 40 C; it halves for every 10 K more (IEEE 43, thermoplastic enamel and asphalt; the careful
choice), so a cold winding must show more:  least = 5 Mohm x 2^((40 - T) / 10)
"""

from __future__ import annotations

from typing import Final

from recipes.bench.reading import Reading, judged
from recipes.design.lamination import Lamination
from recipes.stator.stack_count import PILE, Stack
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

LEAST_MOHM: Final = 5.0
"""Random-wound, below 1 kV, corrected to 40 C: IEEE 43-2013 table 3."""

BURR_MM: Final = (0.02, 0.05)
"""Burr of one sheet: what an order may ask for, and what bites through the coating (common practice)."""

THICKNESS_OFF: Final = 0.08
"""Thickness of electrical steel may be off by this share (EN 10106, nominal 0.35 to 0.65 mm; from
memory)."""


def pile_reading(lamination: Lamination, height: float | None) -> Reading:
    """Return the height in mm of the pile of 20 sheets against that of pressed mill stock."""
    bare = PILE * lamination.sheet_thickness
    try:
        expected = bare / steel_grade(lamination.steel).min_stacking_factor
        basis = f"pressed mill stock of {lamination.steel} (EN 10106)"
    except TableError:
        expected, basis = bare / 0.96, "pressed mill stock, common practice"
    low, high = bare * (1.0 - THICKNESS_OFF), expected + PILE * BURR_MM[0]
    verdict = judged(height, low, high, far=PILE * (BURR_MM[1] - BURR_MM[0]))
    meaning = ""
    if height is not None:
        meaning = f"steel is {100.0 * bare / height:.3g} % of the height"
        if height < low:
            meaning += ": a sheet too few in the pile, or thinner sheet than ordered"
        elif verdict != "good":
            burr = 1000.0 * (height - expected) / PILE
            meaning += (
                f"; {burr:.0f} µm too much a sheet: usually burr (deburr, burr all one way, or ask "
                "the shop), dirt, or sheets not flat; burr through the coating shorts the sheets"
            )
    return Reading(
        "shop.measured.pile_of_20",
        f"height of {PILE} sheets, pressed",
        expected,
        height,
        "mm",
        low,
        high,
        f"{basis}, {BURR_MM[0]:g} mm of burr a sheet, sheet 8 % thin",
        verdict,
        meaning,
    )


def stack_reading(stack: Stack, height: float | None) -> Reading:
    """Return the height in mm of the glued stack against the one that is designed."""
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
    return Reading(
        "measured.stack_height",
        f"height of the glued stack, {stack.sheets} sheets",
        stack.length,
        height,
        "mm",
        low,
        high,
        "one sheet",
        verdict,
        meaning,
    )


def least_insulation_Mohm(temp_C: float) -> float:
    """Return the least reading in Mohm of a winding at `temp_C` that is 5 Mohm at 40 C."""
    return float(LEAST_MOHM * 2.0 ** ((40.0 - temp_C) / 10.0))


def insulation_reading(Mohm: float | None, temp_C: float) -> Reading:
    """Return the insulation resistance of a winding at `temp_C` against its least."""
    least = least_insulation_Mohm(temp_C)
    verdict = judged(Mohm, least, None, far=0.8 * least)
    if verdict in ("look", "off"):
        meaning = (
            "do not connect it: usually damp (dry it at 80 °C and measure again), dirt, or a wire "
            "through its paper at a tooth's end edge; part the phases to find the coil"
        )
    else:
        meaning = (
            "measure before Hall sensors or a thermistor are connected; 500 V DC: keep hands off, "
            "then discharge the winding"
        )
    return Reading(
        "measured.insulation",
        "from winding to steel, after 1 min at 500 V DC",
        None,
        Mohm,
        "Mohm",
        least,
        None,
        f"5 Mohm at 40 °C, halved for every 10 K, copper at {temp_C:g} °C",
        verdict,
        meaning,
        "IEEE 43-2013, random-wound below 1 kV",
        "standard",
    )
