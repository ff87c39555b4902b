"""The winding tooth by tooth: phase and sense of every coil, voltage phasors, winding factors.

Teeth have an **index** 0..Q-1; tooth k stands at the mechanical angle 360 k/Q degrees. Slot k lies
between tooth k and tooth k+1. What is printed for people is the number, index + 1.

Method, the star of slots: the voltage of the coil on tooth k has the electrical angle 360 p k/Q.
Angles are kept as whole numbers of *steps* of 180 t/Q electrical degrees, t = gcd(Q, p), so equal
angles are equal integers and nothing hangs on rounding. Sources: see `recipes.winding.slots_poles`.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from recipes.winding.slots_poles import (
    COIL_SIDES,
    SOURCE,
    CoilSides,
    Feasibility,
    WindingFactor,
    cogging_cycles,
    coil_count,
    feasible,
    nearest_pairs,
    pitch_factor,
    require_odd,
    symmetry,
    winding_factor_closed_form,
)

# The names that need only the two numbers are offered here as well: one place to import from.
__all__ = [
    "COIL_SIDES",
    "PHASES",
    "SOURCE",
    "CoilSides",
    "Feasibility",
    "Phase",
    "Tooth",
    "Winding",
    "WindingFactor",
    "axis_half_steps",
    "cogging_cycles",
    "emf_steps",
    "feasible",
    "layout",
    "nearest_pairs",
    "phasor",
    "radial_pull_balanced",
    "symmetry",
    "winding_factor_closed_form",
    "winding_factors",
]

Phase = Literal["U", "V", "W", ""]

PHASES: tuple[Phase, ...] = ("U", "V", "W")

# The star is cut into six belts of 60 electrical degrees; belt number -> phase and sense.
_BELTS: tuple[tuple[Phase, int], ...] = (
    ("U", 1), ("W", -1), ("V", 1), ("U", -1), ("W", 1), ("V", -1),
)  # fmt: skip


@dataclass(frozen=True)
class Tooth:
    """What one tooth carries.

    phase: "U", "V", "W", or "" for a tooth without coil.
    sense: +1 wound one way, -1 wound the other way, 0 without coil. Which way "+" is, is free, but
    it is the same for the whole stator.
    """

    phase: Phase
    sense: int

    def __str__(self) -> str:
        """Return "U+", "W-", or "." for a bare tooth."""
        return f"{self.phase}{'+' if self.sense > 0 else '-'}" if self.phase else "."


@dataclass(frozen=True)
class Winding:
    """A balanced three-phase tooth-coil winding; made by `layout`.

    teeth: one `Tooth` for each tooth index 0..slots-1.
    Phase V lags phase U by 120 electrical degrees in the direction of rising tooth index, phase W
    by 240: fed in the sequence U, V, W the field turns towards rising tooth index.
    """

    slots: int
    poles: int
    coil_sides: CoilSides
    teeth: tuple[Tooth, ...]

    def __hash__(self) -> int:
        """Return the hash of what makes the layout: that of all teeth takes far longer."""
        return hash((self.slots, self.poles, self.coil_sides))

    @property
    def pole_pairs(self) -> int:
        """Pole pairs p."""
        return self.poles // 2

    @property
    def coils_per_phase(self) -> int:
        """Coils in each phase (equal in all three)."""
        return coil_count(self.slots, self.coil_sides) // 3

    @property
    def pattern(self) -> str:
        """All teeth in one line from tooth 1 on, as "U+ U- V+ ..."; "." is a bare tooth."""
        return " ".join(str(tooth) for tooth in self.teeth)

    def teeth_of(self, phase: Phase) -> tuple[int, ...]:
        """Indices of the teeth that carry `phase`, rising."""
        return tuple(k for k, tooth in enumerate(self.teeth) if tooth.phase == phase)


@lru_cache(maxsize=64, typed=True)  # 12.0 is no 12: it is refused
def layout(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> Winding:
    """Return the balanced winding with the highest fundamental winding factor.

    Each coil goes to the phase and sense whose axis is nearest: the star is cut into six belts of
    60 electrical degrees (U+, W-, V+, U-, W+, V-). For odd z a phase has one coil more in one sense
    than in the other in each repeat, (z+1)/2 to (z-1)/2, and is still exactly balanced.

    Of the equivalent rotations the one is taken whose tooth 1 is U+ and begins the longest run of
    neighbouring U coils, then the lowest rotation: the same numbers always give the same layout.

    Raises ValueError naming motor.slots, motor.poles or winding.coil_sides, its value, the limit
    and the nearest pairs that work.
    """
    answer = feasible(slots, poles, coil_sides)
    if not answer:
        raise ValueError(answer.message)
    coils, p = coil_count(slots, coil_sides), poles // 2
    t = math.gcd(coils, p)
    spokes, turn = coils // t, p // t
    z = spokes // 3
    # Spoke s stands at s/spokes of a turn; a belt is one sixth, that is spokes/6 = z/2 spokes.
    star = [_BELTS[2 * (turn * j % spokes) // z] for j in range(coils)]
    first = _canonical_start(star)
    stride = slots // coils
    teeth = [Tooth("", 0)] * slots
    for j in range(coils):
        teeth[j * stride] = Tooth(*star[(first + j) % coils])
    return Winding(slots, poles, coil_sides, tuple(teeth))


def _canonical_start(star: list[tuple[Phase, int]]) -> int:
    """Coil at which the longest run of neighbouring U coils begins, with a U+; lowest if several.

    That a longest run begins with "+" is not obvious; the tests see it in every winding.
    """
    n = len(star)
    runs = {
        j: next(length for length in range(1, n) if star[(j + length) % n][0] != "U")
        for j in range(n)
        if star[j] == ("U", 1) and star[j - 1][0] != "U"
    }
    return max(runs, key=lambda j: (runs[j], -j))


def emf_steps(winding: Winding) -> dict[int, int]:
    """Electrical angle of every coil's voltage, sense included, as an exact whole number.

    Returns tooth index -> steps, 0 <= steps < 2 Q/t; one step is 180 t/Q electrical degrees with
    t = gcd(Q, p), so 2 Q/t steps make a turn. A coil wound the other way is turned by Q/t steps.
    """
    t = math.gcd(winding.slots, winding.pole_pairs)
    half_turn, pairs = winding.slots // t, winding.pole_pairs // t
    return {
        k: (2 * pairs * k + (half_turn if tooth.sense < 0 else 0)) % (2 * half_turn)
        for k, tooth in enumerate(winding.teeth)
        if tooth.phase
    }


def axis_half_steps(winding: Winding, phase: Phase) -> int:
    """Electrical angle of a phase axis, exact, in half steps of 90 t/Q electrical degrees.

    The axis is the middle of the phase's belt of coil voltages, where their sum points to.
    """
    steps = emf_steps(winding)
    turn = 2 * winding.slots // math.gcd(winding.slots, winding.pole_pairs)
    first, *others = (steps[k] for k in winding.teeth_of(phase))
    # A belt is 60 degrees wide, so differences from one coil, taken to +-180, tell its two edges.
    apart = [0] + [(other - first + turn // 2) % turn - turn // 2 for other in others]
    return (2 * first + min(apart) + max(apart)) % (2 * turn)


def phasor(winding: Winding, phase: Phase, order: int = 1) -> complex:
    """Sum of the unit coil voltages of one phase for the harmonic `order` of the pole-pair wave."""
    t = math.gcd(winding.slots, winding.pole_pairs)
    step = math.pi * t / winding.slots
    angles = emf_steps(winding)
    # steps * order is an integer, so reduce it before it meets pi: exact for high orders.
    turn = 2 * winding.slots // t
    return sum(
        (cmath.rect(1.0, step * (angles[k] * order % turn)) for k in winding.teeth_of(phase)), 0j
    )


def winding_factors(
    winding: Winding, orders: Iterable[int] = (1, 3, 5, 7)
) -> dict[int, WindingFactor]:
    """Winding factors from the phasor sum, for each odd harmonic order of the pole-pair wave.

    Order 1 is the fundamental (p wave pairs round the air gap), order 3 has 3 p, and so on.
    pitch = |sin(order x pi p/Q)|, distribution = |phasor sum| / coils, winding = their product.
    Raises ValueError for an order that is not odd and positive: a rotor of alternating equal poles
    has no even harmonics.
    """
    result = {}
    for order in orders:
        require_odd(order)
        distribution = abs(phasor(winding, "U", order)) / winding.coils_per_phase
        pitch = pitch_factor(winding.slots, winding.pole_pairs, order)
        result[order] = WindingFactor(pitch * distribution, pitch, distribution)
    return result


def radial_pull_balanced(winding: Winding) -> bool:
    """Tell whether the radial pull on the rotor cancels with current flowing.

    Rule used: the pull goes with the square of the field, so it cancels when the field repeats (in
    either sign) in two or more equal sectors, `symmetry` > 1. For alternate teeth the sectors are
    those of the coil layout: 18 slots, 16 poles repeat every 9 teeth in steel and magnets, but
    that turn sets coils on bare teeth, so the pull is not balanced under load. With one sector
    (9/8, 15/14) a rotating side pull remains: noise, and load on the bearings.
    """
    return symmetry(winding.slots, winding.poles, winding.coil_sides) > 1
