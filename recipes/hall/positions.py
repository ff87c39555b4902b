"""Hall sensors of a three-phase motor: which slots to put them in, and what they then say.

Slot k (index 0..Q-1) lies between tooth k and tooth k+1, at the mechanical angle 360 (k+1/2)/Q
degrees; printed for people it is slot k+1, between teeth k+1 and k+2 (the last lies between the
last tooth and the first). Electrical angle = p x mechanical angle.

Two neighbouring slots stand 360 p/Q electrical degrees apart. Three sensors give the usual six
states when they stand 120 (or 240) electrical degrees apart: spacing k with k x 360 p/Q = +-120
modulo 360. *Timing*: the sensors switch when a magnet edge passes them, and that is right (neutral)
where sensor angle - phase axis is a multiple of 60 degrees. A positive timing means that they
switch late by so much when the rotor turns towards rising tooth index, early the other way.

Sources: spacing 120/p mechanical degrees, times any whole number not divisible by 3: common
practice. Neutral timing: six-step conduction is centred on the peak of each phase voltage, which
the tests check by following the voltages through a turn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from recipes.winding.slots_poles import CoilSides, check_numbers, feasible
from recipes.winding.star import Winding, axis_half_steps, layout


@dataclass(frozen=True)
class HallSet:
    """Three sensors in slots at equal steps.

    slots: three slot indices. spacing_slots: step from one to the next.
    mechanical_deg: angles of the three slots. electrical_deg: their angles from the axis of phase
    U, 0 to below 360. timing_deg: above -30 to 30, 0 is neutral; one value, as all three agree.
    inverted: sensors to be turned face about (or output inverted).
    """

    slots: tuple[int, int, int]
    spacing_slots: int
    mechanical_deg: tuple[float, float, float]
    electrical_deg: tuple[float, float, float]
    timing_deg: float
    inverted: tuple[bool, bool, bool] = (False, False, False)


@dataclass(frozen=True)
class HallPlan:
    """All places for the sensors of one motor.

    mechanical_spacing_deg: 120/p; times any whole number not divisible by 3 is as good. It holds
    for sensors on a board of their own, in slots or not.
    spacings: steps in slots, below Q/2 (a step Q - k gives the same set as k).
    timing_by_slot: timing of a sensor in each slot, index 0..Q-1, above -30 to 30 degrees.
    sets: for a 120 degree controller; neutral ones first, then close together, then low slots.
    close_sets: sensors 60 electrical degrees apart, the middle one inverted; they say the same.
    reason: why there are no sets, else empty.
    """

    slots: int
    poles: int
    mechanical_spacing_deg: float
    spacings: tuple[int, ...] = ()
    timing_by_slot: tuple[float, ...] = ()
    sets: tuple[HallSet, ...] = ()
    close_sets: tuple[HallSet, ...] = ()
    reason: str = ""


@dataclass(frozen=True)
class HallStep:
    """One sixth of an electrical turn, rotor turning towards rising tooth index.

    from_deg, to_deg: electrical angle of the middle of a north pole from the axis of phase U, each
    0 to below 360, so the last step may run over zero.
    outputs: the three sensors, 1 while a north pole covers them (0 if inverted).
    phase_voltages: of U, V, W in the middle of the step, open leads, as parts of the peak; positive
    is U1 against U2 for "+" coils that show a north pole to the rotor when current enters at U1.
    """

    from_deg: float
    to_deg: float
    outputs: tuple[int, int, int]
    phase_voltages: tuple[float, float, float]


def hall_spacings(slots: int, poles: int, electrical_deg: int = 120) -> tuple[int, ...]:
    """Steps k in slots, 1 <= k < Q/2, with k x 360 p/Q = +-electrical_deg modulo 360, exact."""
    pairs = poles // 2
    good = {electrical_deg % 360 * slots, -electrical_deg % 360 * slots}
    return tuple(k for k in range(1, (slots + 1) // 2) if k * 360 * pairs % (360 * slots) in good)


def hall_positions(slots: int, poles: int, coil_sides: CoilSides = "every tooth") -> HallPlan:
    """Find every set of three equally spaced slots for the sensors.

    A pair that cannot be wound by this tool has no sets, only mechanical_spacing_deg and a reason:
    120 degree slots exist exactly where a balanced winding does. Raises ValueError naming
    motor.slots, motor.poles or winding.coil_sides for input outside its limits.
    """
    numbers = check_numbers(slots, poles, coil_sides)
    if not numbers:
        raise ValueError(numbers.message)
    spacing = 240.0 / poles
    answer = feasible(slots, poles, coil_sides)
    if not answer:
        return HallPlan(slots, poles, spacing, reason=answer.message)
    winding = layout(slots, poles, coil_sides)
    angles, turn = _angles_from_axis(winding)
    return HallPlan(
        slots,
        poles,
        spacing,
        hall_spacings(slots, poles),
        tuple(_timing_deg(angle, turn) for angle in angles),
        _sets(winding, 120),
        _sets(winding, 60),
    )


def for_60_degree_controller(hall_set: HallSet) -> HallSet:
    """Return the same three places with the middle sensor turned round (or back).

    A 60 degree controller expects states that include 000 and 111 and never 010 and 101.
    """
    first, middle, last = hall_set.inverted
    return replace(hall_set, inverted=(first, not middle, last))


def hall_truth_table(hall_set: HallSet) -> tuple[HallStep, ...]:
    """Six steps of one electrical turn, beginning where the first sensor goes from 0 to 1.

    The rotor turns towards rising tooth index. Which pole makes a real sensor switch on depends on
    the part and on which face looks at the magnets: all outputs may come out inverted.
    """
    begin = hall_set.electrical_deg[0] + (90.0 if hall_set.inverted[0] else -90.0)
    return tuple(_step(hall_set, (begin + 60.0 * i) % 360.0) for i in range(6))


def _step(hall_set: HallSet, from_deg: float) -> HallStep:
    """The outputs do not change within a step, so its middle stands for all of it."""
    middle = from_deg + 30.0
    a, b, c = (
        int((math.cos(math.radians(middle - angle)) > 0.0) != inverted)
        for angle, inverted in zip(hall_set.electrical_deg, hall_set.inverted, strict=True)
    )
    # A north pole ahead of a tooth that shows north is driven on: voltage and current of one sign.
    u, v, w = (math.sin(math.radians(middle - 120.0 * n)) for n in range(3))
    return HallStep(from_deg, (from_deg + 60.0) % 360.0, (a, b, c), (u, v, w))


def _angles_from_axis(winding: Winding) -> tuple[list[int], int]:
    """Angles of all slots from the axis of phase U in half steps, exact; half steps in a turn."""
    t = math.gcd(winding.slots, winding.pole_pairs)
    turn, pairs = 4 * winding.slots // t, winding.pole_pairs // t
    axis = axis_half_steps(winding, "U")
    return [(2 * pairs * (2 * k + 1) - axis) % turn for k in range(winding.slots)], turn


def _timing_deg(angle: int, turn: int) -> float:
    sixth = turn // 6  # whole: a turn has 4 Q/t half steps, and Q/t is a multiple of 3
    late = angle % sixth
    return 360.0 * (late - sixth if 2 * late > sixth else late) / turn


def _sets(winding: Winding, electrical_deg: int) -> tuple[HallSet, ...]:
    q = winding.slots
    angles, turn = _angles_from_axis(winding)
    found = []
    for spacing in hall_spacings(q, winding.poles, electrical_deg):
        # Three equal steps of Q/3 come back to the start: every set would be met three times.
        for a in range(spacing if 3 * spacing == q else q):
            b, c = (a + spacing) % q, (a + 2 * spacing) % q
            found.append(
                HallSet(
                    (a, b, c),
                    spacing,
                    (360.0 * (a + 0.5) / q, 360.0 * (b + 0.5) / q, 360.0 * (c + 0.5) / q),
                    (360.0 * angles[a] / turn, 360.0 * angles[b] / turn, 360.0 * angles[c] / turn),
                    _timing_deg(angles[a], turn),
                    (False, electrical_deg == 60, False),
                )
            )
    return tuple(sorted(found, key=lambda s: (abs(s.timing_deg), s.spacing_slots, s.slots[0])))
