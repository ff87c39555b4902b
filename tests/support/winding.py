"""Shared by the winding tests: every winding in the range, and sums written out independently."""

import cmath
import csv
import functools
import math
from pathlib import Path

from recipes.winding.layout import COIL_SIDES, WindingLayout, layout

REFERENCE = Path(__file__).parents[1] / "reference"


def read_reference(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def threes(number: int) -> int:
    """How often the factor 3 is in a number."""
    return 0 if number % 3 else 1 + threes(number // 3)


@functools.cache
def all_windings() -> tuple[WindingLayout, ...]:
    """Every pair in the range whose slots hold the factor 3 more often than the pole pairs do."""
    return tuple(
        layout(slots, poles, sides)
        for sides in COIL_SIDES
        for slots in range(3, 121)
        for poles in range(2, 161, 2)
        if threes(slots) > threes(poles // 2) and (sides == "every tooth" or slots % 2 == 0)
    )


def phase_sum(winding: WindingLayout, phase: str, order: int = 1) -> complex:
    """Voltage of a phase, straight from tooth angles; independent of the module's integer steps."""
    return teeth_sum(winding, winding.teeth_of(phase), order)


def teeth_sum(winding: WindingLayout, teeth: tuple[int, ...], order: int = 1) -> complex:
    """Voltage of the coils on some teeth in series, each in its own sense."""
    return sum(
        winding.teeth[k].sense * cmath.exp(1j * order * math.pi * winding.poles * k / winding.slots)
        for k in teeth
    )


def pair_name(row: dict[str, str]) -> str:
    return f"{row['slots']}/{row['poles']} {row.get('coil_sides', '')}"


def closed_form_distribution(winding: WindingLayout, order: int) -> float:
    """Distribution factor without a layout, for the check against the sum of its phasors.

    A belt of 60 degrees holds m spokes, m = z/2 for even z, else z (coils wound the other way fill
    the gaps): |sin(order pi/6) / (m sin(order pi/(6 m)))|. Source: Pyrhonen et al. ch. 2; the
    fundamental also Skaar, Krovel & Nilssen 2006.
    """
    coils = 3 * winding.coils_per_phase
    z = coils // (3 * math.gcd(coils, winding.pole_pairs))
    m = z // 2 if z % 2 == 0 else z
    belt = m * math.sin(order % (12 * m) * math.pi / (6 * m))
    return abs(math.sin(order % 12 * math.pi / 6) / belt)
