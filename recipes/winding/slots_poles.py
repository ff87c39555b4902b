"""What the slot and pole numbers alone decide: can it be wound, winding factor, cogging, symmetry.

Words: Q slots (= teeth), 2p poles, p pole pairs. A *tooth coil* embraces one tooth. "Every tooth"
carries a coil (two coil sides share a slot), or "alternate teeth" do (one coil side a slot).
The layout itself, tooth by tooth, is made in `recipes.winding.star`.

Sources (from memory): N. Bianchi, M. Dai Pre, "Use of the star of slots in designing
fractional-slot single-layer synchronous motors", IEE Proc. Electr. Power Appl. 153, 2006;
J. Pyrhonen, T. Jokinen, V. Hrabovcova, "Design of Rotating Electrical Machines", ch. 2;
S. E. Skaar, O. Krovel, R. Nilssen, "Distribution, coil-span and winding factors for PM machines
with concentrated windings", 2006; Z. Q. Zhu, D. Howe, "Influence of design parameters on cogging
torque in permanent magnet machines", IEEE Trans. Energy Conv. 15(4), 2000.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

CoilSides = Literal["every tooth", "alternate teeth"]

COIL_SIDES: tuple[CoilSides, ...] = ("every tooth", "alternate teeth")
SLOT_LIMITS = (3, 120)
POLE_LIMITS = (2, 160)
SOURCE = (
    "star of slots: Bianchi & Dai Pre, IEE Proc. Electr. Power Appl. 153, 2006; Pyrhonen, Jokinen "
    "& Hrabovcova, Design of Rotating Electrical Machines, ch. 2; cogging cycles lcm(Q, 2p): "
    "Zhu & Howe, IEEE Trans. Energy Conv. 15(4), 2000"
)


@dataclass(frozen=True)
class Feasibility:
    """Answer of `feasible`; true when the winding exists, otherwise it says what to change.

    field: design field at fault; value: what it holds; limit: the rule; fix: what would do.
    """

    ok: bool
    field: str = ""
    value: str = ""
    limit: str = ""
    fix: str = ""

    def __bool__(self) -> bool:
        """Return `ok`."""
        return self.ok

    @property
    def message(self) -> str:
        """One sentence: field, value, limit, fix; empty when feasible."""
        return "" if self.ok else f"{self.field} = {self.value}: {self.limit}; {self.fix}"


@dataclass(frozen=True)
class WindingFactor:
    """Winding factor of one harmonic: winding = pitch x distribution, all between 0 and 1."""

    winding: float
    pitch: float
    distribution: float


def coil_count(slots: int, coil_sides: CoilSides = "every tooth") -> int:
    """Coils on the whole stator: Q, or Q/2 on alternate teeth."""
    return slots if coil_sides == "every tooth" else slots // 2


def is_balanced(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> bool:
    """Bare rule of `feasible` for numbers already checked."""
    if coil_sides == "alternate teeth" and slots % 2:
        return False
    coils, pairs = coil_count(slots, coil_sides), poles // 2
    return coils % (3 * math.gcd(coils, pairs)) == 0


def nearest_pairs(
    slots: int, poles: int, coil_sides: CoilSides = "every tooth", count: int = 4
) -> tuple[tuple[int, int], ...]:
    """Return the `count` windable (slots, poles) closest to the given numbers.

    Closest by |change of slots| + |change of poles|; among equals the higher winding factor of
    the fundamental comes first, then fewer slots, then fewer poles. The pair itself is left out.
    """
    found = [
        (
            abs(q - slots) + abs(poles_tried - poles),
            -round(winding_factor_closed_form(q, poles_tried, coil_sides).winding, 6),
            q,
            poles_tried,
        )
        for q in range(SLOT_LIMITS[0], SLOT_LIMITS[1] + 1)
        for poles_tried in range(POLE_LIMITS[0], POLE_LIMITS[1] + 1, 2)
        if (q, poles_tried) != (slots, poles) and is_balanced(q, poles_tried, coil_sides)
    ]
    return tuple((q, n) for _, _, q, n in sorted(found)[:count])


def check_numbers(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> Feasibility:
    """Check words, type, range and evenness only, not whether the pair can be wound."""
    if coil_sides not in COIL_SIDES:
        limit = "must be " + " or ".join(f'"{name}"' for name in COIL_SIDES)
        return Feasibility(False, "winding.coil_sides", f'"{coil_sides}"', limit, "choose one")
    for field, value, (low, high) in (
        ("motor.slots", slots, SLOT_LIMITS),
        ("motor.poles", poles, POLE_LIMITS),
    ):
        if not isinstance(value, int) or not low <= value <= high:
            limit = f"must be a whole number from {low} to {high}"
            return Feasibility(False, field, repr(value), limit, f"choose {low} to {high}")
    if poles % 2:
        fix = f"use {poles - 1} or {poles + 1} poles"
        return Feasibility(False, "motor.poles", str(poles), "must be even (N and S in turn)", fix)
    return Feasibility(True)


def feasible(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> Feasibility:
    """Say whether a balanced three-phase tooth-coil winding exists, and if not, why.

    Rule: with n coils (n = Q, or Q/2 on alternate teeth) and t = gcd(n, p), z = n/(3 t) must be a
    whole number: z coils a phase in each of the t repeats of the star. It amounts to: Q holds the
    factor 3 more often than p does. Alternate teeth also need an even Q. All coils are equal and
    every tooth (or every second one) is wound; windings with idle teeth elsewhere are not covered.

    Range: slots 3..120, poles 2..160, even. Never raises for numbers; `layout` does.
    Source: Bianchi & Dai Pre 2006; Pyrhonen et al. ch. 2.
    """
    numbers = check_numbers(slots, poles, coil_sides)
    if not numbers:
        return numbers
    if is_balanced(slots, poles, coil_sides):
        return Feasibility(True)
    pairs = nearest_pairs(slots, poles, coil_sides)
    fix = "nearest that work (slots/poles): " + ", ".join(f"{q}/{n}" for q, n in pairs)
    if slots % 3:
        limit = "three equal phases need a multiple of 3"
        return Feasibility(False, "motor.slots", str(slots), limit, fix)
    if coil_sides == "alternate teeth" and slots % 2:
        limit = "coils on alternate teeth need an even number of slots"
        if is_balanced(slots, poles, "every tooth"):
            fix = f'set winding.coil_sides = "every tooth", or {fix}'
        return Feasibility(False, "motor.slots", str(slots), limit, fix)
    coils, p = coil_count(slots, coil_sides), poles // 2
    t = math.gcd(coils, p)
    limit = (
        f"{coils} coils and {p} pole pairs give t = gcd({coils}, {p}) = {t} and "
        f"z = {coils}/(3 x {t}) = {coils / (3 * t):.3f} coils a phase and repeat, "
        "which must be a whole number for three equal phases"
    )
    return Feasibility(False, "motor.poles", f"{poles} with motor.slots = {slots}", limit, fix)


def winding_factor_closed_form(
    slots: int, poles: int, coil_sides: CoilSides = "every tooth", order: int = 1
) -> WindingFactor:
    """Winding factor without a layout; slots and poles must be feasible.

    A belt of 60 degrees holds m spokes, m = z/2 for even z, else z (coils wound the other way fill
    the gaps): distribution = |sin(order pi/6) / (m sin(order pi/(6 m)))|; pitch as `pitch_factor`.
    Raises ValueError for an order that is not odd and positive.
    Source: Pyrhonen et al. ch. 2; the fundamental also Skaar, Krovel & Nilssen 2006.
    """
    require_odd(order)
    coils, p = coil_count(slots, coil_sides), poles // 2
    z = coils // (3 * math.gcd(coils, p))
    m = z // 2 if z % 2 == 0 else z
    # The lower sine vanishes when order is a multiple of 6 m, which an odd order never is.
    distribution = abs(math.sin(order % 12 * math.pi / 6)) / (
        m * abs(math.sin(order % (12 * m) * math.pi / (6 * m)))
    )
    pitch = pitch_factor(slots, p, order)
    return WindingFactor(pitch * distribution, pitch, distribution)


def require_odd(order: int) -> None:
    """Raise ValueError for a harmonic order that a rotor of alternating equal poles cannot have."""
    if order < 1 or order % 2 == 0:
        raise ValueError(f"order = {order}: must be odd and positive; use 1, 3, 5, 7, ...")


def pitch_factor(slots: int, pole_pairs: int, order: int = 1) -> float:
    """Part of the flux wave that a coil round one tooth embraces, |sin(order x pi p/Q)|."""
    return abs(math.sin(math.pi * (order * pole_pairs % (2 * slots)) / slots))


def cogging_cycles(slots: int, poles: int) -> int:
    """Cogging torque cycles in one turn, lcm(Q, 2p); more cycles usually mean less cogging.

    Source: Zhu & Howe, IEEE Trans. Energy Conv. 15(4), 2000.
    """
    return math.lcm(slots, poles)


def symmetry(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> int:
    """Equal sectors of the loaded machine: gcd(Q, 2p), or gcd(Q/2, 2p) with alternate teeth wound.

    Turned by one sector, steel and coils lie on themselves and all fields keep or all change sign.
    """
    return math.gcd(coil_count(slots, coil_sides), poles)
