"""The Hall sensors' plan in words and rows: chosen set, truth table, every other legal set, timing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.hall.plan import chosen_set, hall_plan_of, legal_sets, truth_table_of

if TYPE_CHECKING:
    from recipes.job import Job

Row = tuple[str, ...]

#: Heads of the tables.
CHOSEN_HEAD: Row = ("sensor", "slot", "between teeth", "from tooth 1", "face")
STATES_HEAD: Row = ("electrical turn", "rotor turn", "H1", "H2", "H3", "U", "V", "W", "seen")
SETS_HEAD: Row = ("apart", "timing", "turned about", "first slot of each set")

#: No sensor of a set is turned face about.
NONE = "none"

#: How the plan is tried before anything is closed.
TRY = (
    "Leads of the motor open, controller off: feed the sensors alone with the voltage on their data "
    "sheet, from a supply that limits the current, a resistor of 1 to 10 kΩ from each signal to it.",
    "Turn the rotor slowly by hand towards rising tooth numbers and write down what H1, H2, H3 say: six "
    "different states, one signal changes at a time, in this order. All values the other way round is as "
    "good: the sensors' other face looks at the magnets.",
    "The same state twice, or 000 and 111 from a 120 degree set (010 and 101 from a 60 degree set): one "
    "sensor sits in a wrong slot, or is turned face about.",
    "First start without load, at low current and low voltage: the motor that runs rough or hot in both "
    "directions has two phases, or two sensors, exchanged.",
)


def chosen_rows(job: Job) -> tuple[Row, ...]:
    """Return where each sensor of the chosen set goes; () if there is none."""
    chosen = chosen_set(job)
    if chosen is None:
        return ()
    slots = job.design.motor.slots
    return tuple(
        (
            f"H{n}",
            str(slot + 1),
            f"{slot + 1} and {(slot + 1) % slots + 1}",
            f"{angle:.2f}°",
            "turned about" if turned else "to the magnets",
        )
        for n, (slot, angle, turned) in enumerate(
            zip(chosen.slots, chosen.mechanical_deg, chosen.inverted, strict=True), 1
        )
    )


def state_rows(job: Job) -> tuple[Row, ...]:
    """Return the six steps of one electrical turn: angles, outputs, signs of the phase voltages."""
    pairs = job.design.motor.poles / 2
    return tuple(
        (
            f"{60 * k} to {60 * (k + 1)}°",
            f"{60 * k / pairs:.2f} to {60 * (k + 1) / pairs:.2f}°",
            *(str(v) for v in step.outputs),
            *(_sign(v) for v in step.phase_voltages),
            "",
        )
        for k, step in enumerate(truth_table_of(job))
    )


def _sign(voltage: float) -> str:
    return "+" if voltage > 0.25 else "−" if voltage < -0.25 else "0"


def set_rows(job: Job) -> tuple[Row, ...]:
    """Return every legal set, best first: one row for all that differ only in their first slot."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for one in legal_sets(job):
        turned = [f"H{n}" for n, inverted in enumerate(one.inverted, 1) if inverted]
        row = str(one.spacing_slots), timing_words(one.timing_deg), " ".join(turned) or NONE
        found.setdefault(row, []).append(str(one.slots[0] + 1))
    return tuple((*row, ", ".join(first)) for row, first in found.items())


def timing_words(degrees: float) -> str:
    """Return a timing in words: neutral, or how late turning towards rising tooth numbers."""
    if abs(degrees) < 1e-9:
        return "neutral"
    return f"{abs(degrees):.3g}° {'late' if degrees > 0 else 'early'}"


def timing_rows(job: Job) -> tuple[tuple[str, str], ...]:
    """Return (timing, slots) for every class of timing, neutral first; () without a winding."""
    found: dict[float, list[str]] = {}
    for slot, timing in enumerate(hall_plan_of(job).timing_by_slot):
        found.setdefault(round(timing, 6), []).append(str(slot + 1))
    ordered = sorted(found.items(), key=lambda item: (abs(item[0]), item[0]))
    return tuple((timing_words(t), ", ".join(slots)) for t, slots in ordered)


def sixty_words(job: Job) -> str:
    """Return what the other kind of controller needs, in one sentence."""
    if job.design.hall.arrangement == 120:
        return (
            "A 60 degree controller (rare) wants H2 of such a set turned face about, or its signal "
            "inverted: its states then include 000 and 111, never 010 and 101. Set hall.arrangement = 60 "
            "for its plan."
        )
    return (
        "This plan is for a 60 degree controller. The usual 120 degree controller shows a fault with it: "
        "set hall.arrangement = 120 for its plan."
    )
