"""Slots and poles, and the winding tooth by tooth: phase and sense of every coil, winding factors.

Words: Q slots (= teeth), 2p poles, p pole pairs. A *tooth coil* embraces one tooth. "Every tooth"
carries a coil (two coil sides share a slot), or "alternate teeth" do (one coil side a slot).

Teeth have an **index** 0..Q-1; tooth k stands at the mechanical angle 360 k/Q degrees. Slot k lies
between tooth k and tooth k+1. What is printed for people is the number, index + 1.

Method, the star of slots: the voltage of the coil on tooth k has the electrical angle 360 p k/Q.
Angles are kept as whole numbers of *steps* of 180 t/Q electrical degrees, t = gcd(Q, p), so equal
angles are equal integers and nothing hangs on rounding.

Sources (from memory): N. Bianchi, M. Dai Pre, "Use of the star of slots in designing
fractional-slot single-layer synchronous motors", IEE Proc. Electr. Power Appl. 153, 2006;
J. Pyrhonen, T. Jokinen, V. Hrabovcova, "Design of Rotating Electrical Machines", ch. 2;
S. E. Skaar, O. Krovel, R. Nilssen, "Distribution, coil-span and winding factors for PM machines
with concentrated windings", 2006; Z. Q. Zhu, D. Howe, "Influence of design parameters on cogging
torque in permanent magnet machines", IEEE Trans. Energy Conv. 15(4), 2000.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from recipes.refusal import Refused, stop

CoilSides = Literal["every tooth", "alternate teeth"]
Phase = Literal["U", "V", "W", ""]

COIL_SIDES: tuple[CoilSides, ...] = ("every tooth", "alternate teeth")
PHASES: tuple[Phase, ...] = ("U", "V", "W")

#: The star is cut into six belts of 60 electrical degrees: phase and sense of each.
Coil = tuple[Phase, int]
BELTS: tuple[Coil, ...] = (("U", 1), ("W", -1), ("V", 1), ("U", -1), ("W", 1), ("V", -1))

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
    away = {
        (q, n): abs(q - slots) + abs(n - poles)
        for q in range(SLOT_LIMITS[0], SLOT_LIMITS[1] + 1)
        for n in range(POLE_LIMITS[0], POLE_LIMITS[1] + 1, 2)
        if (q, n) != (slots, poles) and is_balanced(q, n, coil_sides)
    }
    farthest = sorted(away.values())[count - 1]

    def key(pair: tuple[int, int]) -> tuple[int, float, tuple[int, int]]:
        factor = winding_factors(layout(*pair, coil_sides), (1,))[1].winding
        return away[pair], -round(factor, 6), pair

    return tuple(sorted((p for p, far in away.items() if far <= farthest), key=key)[:count])


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


@dataclass(frozen=True)
class Tooth:
    """What one tooth carries.

    phase: "U", "V", "W", or "" for a tooth without coil.
    sense: +1 wound one way, -1 wound the other way, 0 without coil. Which way "+" is:
    `recipes.winding.sense`.
    """

    phase: Phase
    sense: int

    def __str__(self) -> str:
        """Return "U+", "W-", or "." for a bare tooth."""
        return f"{self.phase}{'+' if self.sense > 0 else '-'}" if self.phase else "."


@dataclass(frozen=True)
class WindingLayout:
    """A balanced three-phase tooth-coil winding; made by `layout`.

    teeth: one `Tooth` for each tooth index 0..slots-1.
    Phase V lags phase U by 120 electrical degrees in the direction of rising tooth index, phase W
    by 240: fed in the sequence U, V, W the field turns towards rising tooth index.
    """

    slots: int
    poles: int
    coil_sides: CoilSides
    teeth: tuple[Tooth, ...]

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


def layout(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> WindingLayout:
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
    star = [BELTS[2 * (turn * j % spokes) // z] for j in range(coils)]
    first = _canonical_start(star)
    stride = slots // coils
    teeth = [Tooth("", 0)] * slots
    for j in range(coils):
        teeth[j * stride] = Tooth(*star[(first + j) % coils])
    return WindingLayout(slots, poles, coil_sides, tuple(teeth))


def layout_or_refuse(slots: int, poles: int, coil_sides: CoilSides) -> WindingLayout:
    """Return `layout`; Refused instead of ValueError."""
    try:
        return layout(slots, poles, coil_sides)
    except ValueError as error:
        raise Refused(
            stop(
                "not-a-winding",
                "motor.poles",
                str(error),
                value=poles,
                fix="change slots or poles; lamwright lookup winding ranks neighbours",
                source="balanced three-phase tooth-coil windings, star of slots",
            )
        ) from None


def _canonical_start(star: list[Coil]) -> int:
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


def emf_steps(winding: WindingLayout) -> dict[int, int]:
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


def axis_half_steps(winding: WindingLayout, phase: Phase) -> int:
    """Electrical angle of a phase axis, exact, in half steps of 90 t/Q electrical degrees.

    The axis is the middle of the phase's belt of coil voltages, where their sum points to.
    """
    steps = emf_steps(winding)
    turn = 2 * winding.slots // math.gcd(winding.slots, winding.pole_pairs)
    first, *others = (steps[k] for k in winding.teeth_of(phase))
    # A belt is 60 degrees wide, so differences from one coil, taken to +-180, tell its two edges.
    apart = [0] + [(other - first + turn // 2) % turn - turn // 2 for other in others]
    return (2 * first + min(apart) + max(apart)) % (2 * turn)


def phasor(winding: WindingLayout, phase: Phase, order: int = 1) -> complex:
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
    winding: WindingLayout, orders: Iterable[int] = (1, 3, 5, 7)
) -> dict[int, WindingFactor]:
    """Winding factors from the phasor sum, for each odd harmonic order of the pole-pair wave.

    Order 1 is the fundamental (p wave pairs round the air gap), order 3 has 3 p, and so on.
    pitch = |sin(order x pi p/Q)|, distribution = |phasor sum| / coils, winding = their product.
    Raises ValueError for an order that is not odd and positive: a rotor of alternating equal poles
    has no even harmonics.
    """
    result = {}
    for order in orders:
        if order < 1 or order % 2 == 0:
            raise ValueError(f"order = {order}: must be odd and positive; use 1, 3, 5, 7, ...")
        distribution = abs(phasor(winding, "U", order)) / winding.coils_per_phase
        turns = order * winding.pole_pairs % (2 * winding.slots)
        pitch = abs(math.sin(math.pi * turns / winding.slots))
        result[order] = WindingFactor(pitch * distribution, pitch, distribution)
    return result


def radial_pull_balanced(winding: WindingLayout) -> bool:
    """Tell whether the radial pull on the rotor cancels with current flowing.

    Rule used: the pull goes with the square of the field, so it cancels when the field repeats (in
    either sign) in two or more equal sectors, `symmetry` > 1. For alternate teeth the sectors are
    those of the coil layout: 18 slots, 16 poles repeat every 9 teeth in steel and magnets, but
    that turn sets coils on bare teeth, so the pull is not balanced under load. With one sector
    (9/8, 15/14) a rotating side pull remains: noise, and load on the bearings.
    """
    return symmetry(winding.slots, winding.poles, winding.coil_sides) > 1


def winding_results(winding: WindingLayout) -> dict[str, float | int | str]:
    """Return winding factors, cogging cycles and balance of the pull for `results.json`."""
    factors = winding_factors(winding)
    return {
        "winding_factor": factors[1].winding,
        **{f"winding_factor_{n}": factors[n].winding for n in (3, 5, 7)},
        "cogging_cycles_per_rev": cogging_cycles(winding.slots, winding.poles),
        "radial_pull_balanced": "yes" if radial_pull_balanced(winding) else "no",
    }
