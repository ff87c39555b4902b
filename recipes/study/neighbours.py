"""Other slot and pole numbers near a given pair, ranked; and one pair as a flat table row."""

from __future__ import annotations

from dataclasses import dataclass, replace

from recipes.rotor.hall_sensors import hall_positions
from recipes.winding.circuit import parallel_paths
from recipes.winding.layout import (
    POLE_LIMITS,
    SLOT_LIMITS,
    SOURCE,
    CoilSides,
    check_numbers,
    cogging_cycles,
    feasible,
    is_balanced,
    layout,
    nearest_pairs,
    radial_pull_balanced,
    symmetry,
    winding_factors,
)


@dataclass(frozen=True)
class Neighbour:
    """One alternative.

    rank: 1 is best among the pairs looked at. asked: it is the pair asked about.
    winding_factor: of the fundamental. cogging_cycles: in one turn. pull_balanced: under load.
    parallel_paths: legal numbers. pattern: phase and sense, tooth by tooth.
    """

    rank: int
    slots: int
    poles: int
    asked: bool
    winding_factor: float
    cogging_cycles: int
    pull_balanced: bool
    parallel_paths: tuple[int, ...]
    pattern: str


def neighbours(
    slots: int, poles: int, coil_sides: CoilSides = "every tooth", reach: int = 6, top: int = 8
) -> list[Neighbour]:
    """Rank the windable pairs no more than `reach` slots and poles away: "what if it had 30 poles?".

    Ranking, one key after the other:
      1. balanced radial pull first: an unbalanced pair shakes and loads the bearings, and no
         winding factor makes up for that;
      2. winding factor to three decimals: torque for the same copper and current;
      3. cogging cycles: more are usually gentler, but below the winding factor since magnet shape
         and skew change it too;
      4. nearness to the pair asked about, |change of slots| + |change of poles|;
      5. fewer slots, then fewer poles.
    Not weighed: electrical frequency (iron loss, controller limit) rises with poles, and winding
    work with slots.
    Returns the first `top`; the pair asked about follows as one more entry if its rank is lower.
    """
    found = []
    for q in range(max(SLOT_LIMITS[0], slots - reach), min(SLOT_LIMITS[1], slots + reach) + 1):
        for n in range(max(POLE_LIMITS[0], poles - reach), min(POLE_LIMITS[1], poles + reach) + 1):
            if n % 2 == 0 and is_balanced(q, n, coil_sides):
                found.append(_measured(q, n, coil_sides))

    def key(entry: Neighbour) -> tuple[bool, float, int, int, int, int]:
        return (
            not entry.pull_balanced,
            -round(entry.winding_factor, 3),
            -entry.cogging_cycles,
            abs(entry.slots - slots) + abs(entry.poles - poles),
            entry.slots,
            entry.poles,
        )

    ranked = [
        replace(entry, rank=rank, asked=(entry.slots, entry.poles) == (slots, poles))
        for rank, entry in enumerate(sorted(found, key=key), 1)
    ]
    return [entry for entry in ranked if entry.rank <= top or entry.asked]


def as_row(
    slots: int, poles: int, coil_sides: CoilSides = "every tooth"
) -> dict[str, str | int | float | bool]:
    """One pair as a flat row for `lookup winding SLOTS POLES`; plain values, units in the keys.

    A pair that cannot be wound gives a shorter row with feasible False, the reason and the nearest
    pairs that can. Slots in hall_slots and teeth in pattern are numbered from 1. Lists are texts
    with commas. Raises ValueError naming motor.slots or motor.poles for numbers out of range.
    """
    numbers = check_numbers(slots, poles, coil_sides)
    if not numbers:
        raise ValueError(numbers.message)
    answer = feasible(slots, poles, coil_sides)
    row: dict[str, str | int | float | bool] = {
        "slots": slots,
        "poles": poles,
        "coil_sides": coil_sides,
        "feasible": bool(answer),
        "cogging_cycles_per_rev": cogging_cycles(slots, poles),
        "hall_spacing_mechanical_deg": 240.0 / poles,
    }
    if answer:
        row |= _wound(slots, poles, coil_sides)
    else:
        row["reason"] = f"{answer.field} = {answer.value}: {answer.limit}"
        nearest = nearest_pairs(slots, poles, coil_sides)
        row["nearest_slots_poles"] = ", ".join(f"{q}/{n}" for q, n in nearest)
    row["source"] = SOURCE
    return row


def _wound(slots: int, poles: int, coil_sides: CoilSides) -> dict[str, str | int | float | bool]:
    winding = layout(slots, poles, coil_sides)
    factors = winding_factors(winding, (1, 3, 5, 7))
    halls = hall_positions(slots, poles, coil_sides)
    best = halls.sets[0]
    return {
        "winding_factor": factors[1].winding,
        "pitch_factor": factors[1].pitch,
        "distribution_factor": factors[1].distribution,
        **{f"winding_factor_{order}": factors[order].winding for order in (3, 5, 7)},
        "symmetry": symmetry(slots, poles, coil_sides),
        "radial_pull_balanced": radial_pull_balanced(winding),
        "coils_per_phase": winding.coils_per_phase,
        "parallel_paths": ", ".join(str(a) for a in parallel_paths(winding)),
        "pattern": winding.pattern,
        "hall_spacings_slots": ", ".join(str(k) for k in halls.spacings),
        "hall_slots": ", ".join(str(k + 1) for k in best.slots),
        "hall_timing_electrical_deg": best.timing_deg,
    }


def _measured(slots: int, poles: int, coil_sides: CoilSides) -> Neighbour:
    winding = layout(slots, poles, coil_sides)
    return Neighbour(
        0,
        slots,
        poles,
        False,
        winding_factors(winding, (1,))[1].winding,
        cogging_cycles(slots, poles),
        radial_pull_balanced(winding),
        parallel_paths(winding),
        winding.pattern,
    )
