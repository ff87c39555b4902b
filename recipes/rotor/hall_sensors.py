"""Hall sensors of a three-phase motor: which slots to put them in, what they then say, do they fit.

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
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from geometry.finding import Finding
from recipes.design.axle import Lead
from recipes.design.rotor import Hall
from recipes.refusal import finding, note, warn
from recipes.stator.slot import SlotShape
from recipes.winding.layout import (
    CoilSides,
    WindingLayout,
    axis_half_steps,
    check_numbers,
    feasible,
    layout,
)
from recipes.winding.sense import phase_voltages

#: A pocket may take this share of a tooth's tip, and a face stands back this much, mm
#: (common practice).
TIP_SHARE, LEAST_BACK = 1.0 / 3.0, 0.5

#: Thin wires of three sensors: supply, return, and three signals.
SENSOR_LEADS = 5

_practice = partial(finding, source="common practice", confidence="practice")


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

    @property
    def turned_about(self) -> tuple[int, ...]:
        """Numbers, from 1, of the sensors that are turned face about."""
        return tuple(n for n, inverted in enumerate(self.inverted, 1) if inverted)


@dataclass(frozen=True)
class HallPlan:
    """All places for the sensors of one motor.

    mechanical_spacing_deg: 120/p; times any whole number not divisible by 3 is as good. It holds
    for sensors on a board of their own, in slots or not.
    spacings: steps in slots, below Q/2 (a step Q - k gives the same set as k).
    zero_deg: axis of phase U from tooth 1, mechanical degrees: where electrical degrees begin.
    timing_by_slot: timing of a sensor in each slot, index 0..Q-1, above -30 to 30 degrees.
    sets: for a 120 degree controller; neutral ones first, then close together, then low slots.
    close_sets: sensors 60 electrical degrees apart, the middle one inverted; they say the same.
    reason: why there are no sets, else empty.
    """

    slots: int
    poles: int
    mechanical_spacing_deg: float
    spacings: tuple[int, ...] = ()
    zero_deg: float = 0.0
    timing_by_slot: tuple[float, ...] = ()
    sets: tuple[HallSet, ...] = ()
    close_sets: tuple[HallSet, ...] = ()
    reason: str = ""


@dataclass(frozen=True)
class HallStep:
    """One sixth of an electrical turn, rotor turning towards rising tooth index.

    from_deg, to_deg: electrical angle of the middle of a north pole from the axis of phase U;
    from_deg 0 to below 360, so the last step may run over 360.
    outputs: the three sensors, 1 while a north pole covers them (0 if inverted).
    phase_voltages: of U, V, W in the middle of the step, U1 against U2 with open leads, as parts of
    the peak; a current of that sign drives the rotor on (`recipes.winding.sense`).
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
        _zero_deg(winding),
        tuple(_timing_deg(angle, turn) for angle in angles),
        _sets(winding, 120),
        _sets(winding, 60),
    )


def legal_sets(plan: HallPlan, arrangement: Literal[120, 60]) -> tuple[HallSet, ...]:
    """Return the sets for a kind of controller, best first: neutral, then close together.

    For a 60 degree controller: sets 60 degrees apart, and sets 120 degrees apart whose middle sensor
    is turned face about; those with all faces alike come first.
    """
    if arrangement == 120:
        return (*plan.sets, *plan.close_sets)
    found = [for_60_degree_controller(s) for s in (*plan.close_sets, *plan.sets)]
    found.sort(key=lambda s: (abs(s.timing_deg), sum(s.inverted), s.spacing_slots, s.slots[0]))
    return tuple(found)


def for_60_degree_controller(hall_set: HallSet) -> HallSet:
    """Return the same three places with the middle sensor turned round (or back).

    A 60 degree controller expects states that include 000 and 111 and never 010 and 101.
    """
    first, middle, last = hall_set.inverted
    return replace(hall_set, inverted=(first, not middle, last))


def hall_truth_table(hall_set: HallSet) -> tuple[HallStep, ...]:
    """Six steps of one electrical turn, the first to begin at 0 degrees or after it first.

    The rotor turns towards rising tooth index. Which pole makes a real sensor switch on depends on
    the part and on which face looks at the magnets: all outputs may come out inverted.
    """
    begin = (
        round(hall_set.electrical_deg[0] + 30.0, 9) % 60.0
    )  # a sensor switches 90 degrees off its place
    return tuple(_step(hall_set, begin + 60.0 * i) for i in range(6))


def _step(hall_set: HallSet, from_deg: float) -> HallStep:
    """The outputs do not change within a step, so its middle stands for all of it."""
    middle = from_deg + 30.0
    a, b, c = (
        int((math.cos(math.radians(middle - angle)) > 0.0) != inverted)
        for angle, inverted in zip(hall_set.electrical_deg, hall_set.inverted, strict=True)
    )
    return HallStep(from_deg, from_deg + 60.0, (a, b, c), phase_voltages(middle))


def _zero_deg(winding: WindingLayout) -> float:
    """Return the axis of phase U from tooth 1, mechanical degrees, 0 to below 720/2p."""
    turn = 4 * winding.slots // math.gcd(winding.slots, winding.pole_pairs)
    return axis_half_steps(winding, "U") % turn * 360.0 / turn / winding.pole_pairs


def _angles_from_axis(winding: WindingLayout) -> tuple[list[int], int]:
    """Angles of all slots from the axis of phase U in half steps, exact; half steps in a turn."""
    t = math.gcd(winding.slots, winding.pole_pairs)
    turn, pairs = 4 * winding.slots // t, winding.pole_pairs // t
    axis = axis_half_steps(winding, "U")
    return [(2 * pairs * (2 * k + 1) - axis) % turn for k in range(winding.slots)], turn


def _timing_deg(angle: int, turn: int) -> float:
    sixth = turn // 6  # whole: a turn has 4 Q/t half steps, and Q/t is a multiple of 3
    late = angle % sixth
    return 360.0 * (late - sixth if 2 * late > sixth else late) / turn


def _sets(winding: WindingLayout, electrical_deg: int) -> tuple[HallSet, ...]:
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


@dataclass(frozen=True)
class Pocket:
    """Room for one sensor in the mouth of its slot, mm.

    Args:
        width: that the body and its glue take.
        opening: clear width of the mouth.
        notch: to be cut from the tip on each side; 0 where the mouth is wide enough.
        tip: width of a tooth's tip at the air gap.
        below: how far the body reaches below the straight mouth, into the room of wedge and wire.
    """

    width: float
    opening: float
    notch: float
    tip: float
    below: float

    @property
    def fits(self) -> bool:
        """Whether the body goes into the mouth, notched if need be."""
        return self.notch <= TIP_SHARE * self.tip


def sensor_pocket(hall: Hall, radius: float, tip_thickness: float, slot: SlotShape) -> Pocket:
    """Return the pocket of one sensor.

    Args:
        hall: table of the design.
        radius: of the tooth faces, mm.
        tip_thickness: of a tooth at the mouth, mm.
        slot: exact slot.
    """
    width = hall.body_width + 2 * hall.glue_gap
    # the tip between two mouths of that width, along the circle of the tooth faces
    tip = 2 * radius * (slot.half_pitch - math.asin(slot.opening / 2 / radius))
    below = hall.stand_back + hall.body_thickness - tip_thickness
    notch = max(0.0, (width - slot.opening) / 2)
    return Pocket(width, slot.opening, notch, tip, max(0.0, below))


def hall_findings(
    hall: Hall,
    plan: HallPlan | None,
    chosen: HallSet | None,
    pocket: Pocket | None,
    leads: tuple[Lead, ...],
) -> list[Finding]:
    """Say where sensors have no slots, no neutral slots, no room or no leads.

    Args:
        hall: table of the design.
        plan: None without sensors.
        chosen, pocket: None without sensors or slots for them.
        leads: of the axle.
    """
    if plan is None:
        return []
    if chosen is None or pocket is None:
        return [
            note(
                "hall-no-slots",
                "motor.slots",
                f"no three slots stand 120 electrical degrees apart: {plan.reason}",
                value=plan.slots,
                fix=f"put the sensors {plan.mechanical_spacing_deg:.3f} degrees apart on a plate of their "
                "own, or that times a whole number that 3 does not divide",
                source="spacing 120/p mechanical degrees, common practice",
            )
        ]
    return [*_timing(chosen.timing_deg), *_pocket(pocket), *_back(hall.stand_back), *_leads(leads)]


def _timing(degrees: float) -> Iterator[Finding]:
    if abs(degrees) >= 1e-9:
        yield warn(
            "hall-timing",
            "hall.sensors",
            f"no slots are neutral: the best switch {abs(degrees):.2f} electrical degrees "
            f"{'late' if degrees > 0 else 'early'} turning towards rising tooth numbers, and "
            "as much the other way turning back",
            value=degrees,
            limit=0.0,
            fix="set the sensors on a plate that can be turned until the current without load is least",
            source="star of slots",
        )


def _pocket(pocket: Pocket) -> Iterator[Finding]:
    jig = "glue the sensors in front of the stack's end, held by the jig hall_jig"
    takes = (
        f"hall.body_width: a sensor with glue takes {pocket.width:.2f} mm, the slot's mouth has "
        f"{pocket.opening:.2f} mm"
    )
    found = partial(_practice, field="hall.body_width", value=pocket.width, limit=pocket.opening)
    if not pocket.fits:
        yield found(
            "warn",
            "hall-pocket",
            message=f"{takes}; {pocket.notch:.2f} mm off each tip is more than a third of it "
            f"({pocket.tip:.2f} mm)",
            fix=f"use a smaller body, or {jig}",
        )
    elif pocket.notch > 0:
        deep = (
            f"; in the mouth it reaches {pocket.below:.2f} mm below the tips: end the wedge before it"
            if pocket.below > 0
            else ""
        )
        yield found(
            "note",
            "hall-notch",
            message=takes,
            fix=f"{jig}; or cut {pocket.notch:.2f} mm off both tips there, over the sensor's height "
            f"only{deep}",
        )


def _back(back: float) -> Iterator[Finding]:
    if back < LEAST_BACK:
        yield _practice(
            "warn",
            "hall-stand-back",
            "hall.stand_back",
            f"hall.stand_back = {back:g} mm: a sensor so near the air gap may be touched by a magnet",
            value=back,
            limit=LEAST_BACK,
            fix=f"use at least {LEAST_BACK:g} mm",
        )


def _leads(leads: tuple[Lead, ...]) -> Iterator[Finding]:
    count = sum(lead.count for lead in leads if "hall" in lead.name.lower())
    if count < SENSOR_LEADS:
        yield _practice(
            "note",
            "hall-leads",
            "axle.leads",
            f"axle.leads: {count} leads are named Hall; three sensors take {SENSOR_LEADS}: supply, "
            "return and three signals",
            value=count,
            limit=SENSOR_LEADS,
            fix='add { name = "Hall", count = 5, outside_diameter = ... }, or hall.sensors = false',
        )


def hall_results(
    plan: HallPlan | None, sets: tuple[HallSet, ...], pocket: Pocket | None
) -> dict[str, float | int | str]:
    """Return slots, angles from tooth 1, timing and truth table of the first of the legal sets.

    Slots and sensors are numbered from 1. `hall_states` are the outputs of the three sensors in the
    six steps of one electrical turn, rotor turning towards rising tooth numbers.

    Args:
        plan: None without sensors.
        sets: legal ones, best first.
        pocket: None without sensors or slots for them.
    """
    if plan is None:
        return {}
    results: dict[str, float | int | str] = {"hall_spacing_deg": plan.mechanical_spacing_deg}
    if pocket is None:
        return results
    chosen, states = sets[0], hall_truth_table(sets[0])
    return results | {
        "hall_slots": " ".join(str(k + 1) for k in chosen.slots),
        "hall_angles_deg": " ".join(f"{a:.4g}" for a in chosen.mechanical_deg),
        "hall_timing_deg": chosen.timing_deg,
        "hall_turned_face_about": " ".join(str(n) for n in chosen.turned_about) or "none",
        "hall_states": " ".join("".join(str(v) for v in step.outputs) for step in states),
        "hall_sets": len(sets),
        "hall_sets_neutral": sum(abs(s.timing_deg) < 1e-9 for s in sets),
        "hall_notch_mm": pocket.notch,
        "hall_below_mouth_mm": pocket.below,
    }
