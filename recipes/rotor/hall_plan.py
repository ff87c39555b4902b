"""Plan of the Hall sensors to print: where they go, how they are wired, what they must say.

Picture (not to scale): the slots from the lead side, tooth 1 up, numbers counter-clockwise; a dot
marks a slot with neutral timing, a box each sensor. Then the truth table with room to tick, the
legal sets, and the timing of every slot. The jig that holds them at true size is `hall_jig`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from geometry.drafting.dimension import arrow
from geometry.drafting.drawing import Fill, Item, Stroke, Text, box, line
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.sheet import table
from geometry.outline import Outline
from geometry.part import Part
from geometry.point import Point
from geometry.printing.page import live_box
from recipes.drawing_conventions import Imprint
from recipes.rotor.hall_sensors import HallPlan, HallSet, HallStep, hall_truth_table
from recipes.stator.slot import TOOTH_1
from recipes.winding.sense import DIRECTION, zero_words
from recipes.written_sheets import Flow, numbered_sheets

Row = tuple[str, ...]

#: Heads of the tables.
CHOSEN_HEAD: Row = ("sensor", "slot", "between teeth", "from tooth 1", "face")
STATES_HEAD: Row = ("electrical turn", "rotor turn", "H1", "H2", "H3", "U", "V", "W", "seen")
SETS_HEAD: Row = ("apart", "timing", "turned about", "first slot of each set")

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


#: Radius of the ring of slots on the sheet, and length of a slot's tick, mm.
RING, TICK = 26.0, 4.0

#: Columns of the table of sets, mm; the first slots take what is left.
SET_WIDTHS = (13.0, 21.0, 26.0)

_CAUTION = (
    "Magnets stay away while sensors are glued and wired: the ring snaps in and crushes fingers and "
    "sensors. A phase lead that touches a Hall lead kills sensor and controller: sleeve them apart."
)

#: What the other kind of controller needs, by the kind that a plan is for.
SIXTY_WORDS: dict[Literal[120, 60], str] = {
    120: "A 60 degree controller (rare) wants H2 of such a set turned face about, or its signal "
    "inverted: its states then include 000 and 111, never 010 and 101. Set hall.arrangement = 60 "
    "for its plan.",
    60: "This plan is for a 60 degree controller. The usual 120 degree controller shows a fault with "
    "it: set hall.arrangement = 120 for its plan.",
}


def hall_plan(
    plan: HallPlan | None,
    sets: tuple[HallSet, ...],
    arrangement: Literal[120, 60],
    connection: str,
    imprint: Imprint,
) -> tuple[Part, ...]:
    """Return the plan as one part with its sheets; none without sensors or slots for them.

    Args:
        plan: all places; None without sensors.
        sets: legal ones for the controller, best first.
        arrangement: electrical degrees between sensors that the controller expects.
        connection: "wye" or "delta".
        imprint: of the design.
    """
    if plan is None or not sets:
        return ()
    chosen, flow = sets[0], Flow(live_box(imprint.printer.page), imprint.said)
    _places(flow, plan, chosen)
    _states(flow, plan, connection, chosen)
    flow.title(
        "Legal sets of slots", f"all {len(sets)}, best first; the first is the one above", keep=34.0
    )
    flow.sentence(
        "A set is its first slot, then twice as many slots further as the column 'apart' says, counting on past the "
        "last slot from slot 1."
    )
    _rows(flow, SETS_HEAD, set_rows(sets), (*SET_WIDTHS, flow.width - sum(SET_WIDTHS)))
    flow.sentence(SIXTY_WORDS[arrangement])
    flow.title("Timing of every slot", "as in a 120 degree set; electrical degrees", keep=24.0)
    _rows(flow, ("timing", "slots"), timing_rows(plan), (24.0, flow.width - 24.0))
    drawings = numbered_sheets(flow.sheets, f"Hall sensors: {imprint.name}", imprint)
    return (
        Part(
            name="hall_plan",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={
                "slots": " ".join(str(k + 1) for k in chosen.slots),
                "timing_deg": round(chosen.timing_deg, 4),
                "sheets": len(drawings),
            },
            notes=(SIXTY_WORDS[arrangement],),
            drawings=drawings,
        ),
    )


def chosen_rows(chosen: HallSet, slots: int) -> tuple[Row, ...]:
    """Return where each sensor of a set goes, on a stator of so many slots."""
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


def state_rows(chosen: HallSet, poles: int) -> tuple[Row, ...]:
    """Return the six steps of one electrical turn: angles, outputs, signs of the phase voltages."""
    pairs = poles / 2
    return tuple(
        (
            f"{step.from_deg:.4g} to {step.to_deg:.4g}°",
            f"{step.from_deg / pairs:.2f} to {step.to_deg / pairs:.2f}°",
            *step_cells(step),
            "",
        )
        for step in hall_truth_table(chosen)
    )


def step_cells(step: HallStep) -> Row:
    """Return the outputs of a step and the signs of the phase voltages, 0 at a crossing."""
    signs = ("+" if v > 0.25 else "−" if v < -0.25 else "0" for v in step.phase_voltages)
    return (*(str(v) for v in step.outputs), *signs)


def set_rows(sets: tuple[HallSet, ...]) -> tuple[Row, ...]:
    """Return sets of slots in their order: one row for all that differ only in their first slot."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for one in sets:
        turned = " ".join(f"H{n}" for n in one.turned_about) or "none"
        row = str(one.spacing_slots), timing_words(one.timing_deg), turned
        found.setdefault(row, []).append(str(one.slots[0] + 1))
    return tuple((*row, ", ".join(first)) for row, first in found.items())


def timing_words(degrees: float) -> str:
    """Return a timing in words: neutral, or how late turning towards rising tooth numbers."""
    if abs(degrees) < 1e-9:
        return "neutral"
    return f"{abs(degrees):.3g}° {'late' if degrees > 0 else 'early'}"


def timing_rows(plan: HallPlan) -> tuple[Row, ...]:
    """Return (timing, slots) for every class of timing, neutral first; () without a winding."""
    found: dict[float, list[str]] = {}
    for slot, timing in enumerate(plan.timing_by_slot):
        found.setdefault(round(timing, 6), []).append(str(slot + 1))
    ordered = sorted(found.items(), key=lambda item: (abs(item[0]), item[0]))
    return tuple((timing_words(t), ", ".join(slots)) for t, slots in ordered)


def _places(flow: Flow, plan: HallPlan, chosen: HallSet) -> None:
    """Write the picture and, beside it, the table of places and the wiring."""
    flow.title("Where the sensors go, seen from the lead side", keep=2 * RING + 20.0)
    top = flow.y
    centre = Point(flow.left + RING + TICK + 7.0, top - RING - TICK - 6.0)
    flow.sheets[-1] += _picture(centre, plan, chosen)
    x = centre.x + RING + TICK + 9.0
    laid = table(x, top - 1.0, [CHOSEN_HEAD, *chosen_rows(chosen, plan.slots)])
    flow.sheets[-1] += laid.items
    flow.sheets[-1] += _wiring(Point(x, top - laid.height - 9.0))
    flow.y = centre.y - RING - TICK - 6.0
    flow.sentence(
        f"Slot k lies between teeth k and k + 1. Timing: {timing_words(chosen.timing_deg)}"
        f"{'' if abs(chosen.timing_deg) < 1e-9 else ', turning towards rising tooth numbers'}. "
        f"Sensors on a plate of their own stand {plan.mechanical_spacing_deg:.3f}° apart, or "
        "that times any whole number that 3 does not divide. Dots: slots of neutral timing."
    )
    flow.caution(_CAUTION)


def _picture(centre: Point, plan: HallPlan, chosen: HallSet) -> Iterator[Item]:
    def at(radius: float, slot: int) -> Point:
        return centre.plus(Point.polar(radius, TOOTH_1 + 2 * math.pi * (slot + 0.5) / plan.slots))

    yield Stroke(Outline.circle(centre, RING).segments, "visible")
    for slot, timing in enumerate(plan.timing_by_slot):
        yield line(at(RING - TICK, slot), at(RING, slot))
        if abs(timing) < 1e-9 and slot not in chosen.slots:
            yield Fill((Outline.circle(at(RING + 1.6, slot), 0.5),), "black")
    body = [Point(x, y) for x, y in ((-1.5, -1.3), (0, -1.3), (0, 1.3), (-1.5, 1.3))]
    for n, slot in enumerate(chosen.slots, 1):
        turn = TOOTH_1 + 2 * math.pi * (slot + 0.5) / plan.slots
        yield Fill(
            (Outline.polygon([at(RING, slot).plus(c.rotated(turn)) for c in body]),), "black"
        )
        word, inside = at(RING + 4.4, slot), at(RING - TICK - 2.6, slot)
        yield Text(word.x, word.y, SMALLEST_TEXT, f"H{n}", "centre", level="middle")
        yield Text(inside.x, inside.y, SMALLEST_TEXT, str(slot + 1), "centre", level="middle")
    top = centre.plus(Point.polar(RING, TOOTH_1))
    yield line(top, top.plus(Point(0.0, -TICK)), "visible")
    yield line(centre.plus(Point(0.0, 5.0)), top.plus(Point(0.0, -TICK - 6.0)), "visible")
    yield arrow(top.plus(Point(0.0, -TICK - 6.0)), TOOTH_1)
    for k, words in enumerate(("tooth 1 up", "counter-clockwise")):
        yield Text(centre.x, centre.y - 5.0 * k, SMALLEST_TEXT, words, "centre", level="middle")


def _wiring(corner: Point) -> Iterator[Item]:
    """Yield three sensors on two shared leads: five leads in all; `corner` is the upper left."""
    pitch, high, wide = 24.0, 6.0, 13.0
    rails = (corner.y - high - 11.0, corner.y - high - 15.5)
    right = corner.x + 2 * pitch + wide + 5.0
    for name, y in zip(("supply +", "return −"), rails, strict=True):
        yield line(Point(corner.x, y), Point(right, y), "visible")
        yield Text(right + 1.5, y, SMALLEST_TEXT, name, level="middle")
    for n in range(3):
        x = corner.x + n * pitch
        yield box(x, corner.y - high, x + wide, corner.y, "visible")
        yield Text(
            x + wide / 2, corner.y - high / 2, SMALLEST_TEXT, f"H{n + 1}", "centre", level="middle"
        )
        legs = [x + k * wide / 4 for k in (1, 2, 3)]
        for leg, y in zip(legs[:2], rails, strict=True):
            yield line(Point(leg, corner.y - high), Point(leg, y))
            yield Fill((Outline.circle(Point(leg, y), 0.5),), "black")
        yield line(Point(legs[2], corner.y - high), Point(legs[2], corner.y - high - 5.0))
        yield Text(legs[2] + 1.0, corner.y - high - 4.6, SMALLEST_TEXT, "signal", level="middle")
    low = rails[1] - 3.6
    for k, words in (
        (1.0, "5 leads. Which leg is which: by the sensor's data sheet,"),
        (2.5, "seen on its marked face; makers differ."),
    ):
        yield Text(corner.x, low - k * SMALLEST_TEXT, SMALLEST_TEXT, words)


def _states(flow: Flow, plan: HallPlan, connection: str, chosen: HallSet) -> None:
    widths = (34.0, 38.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0, min(40.0, flow.width - 144.0))
    flow.title(
        "What they say through one electrical turn", "rotor towards rising tooth numbers", keep=60.0
    )
    rows = [STATES_HEAD, *state_rows(chosen, plan.poles)]
    laid = table(flow.left, flow.y, rows, widths=widths, height=3.5)
    flow.add(laid.items, laid.height + 2.0)
    turned = "; a sensor turned about is counted in" if any(chosen.inverted) else ""
    flow.sentence(
        f"{zero_words(plan.zero_deg, plan.slots, plan.poles, connection)}. H: 1 while a north pole covers "
        f"the sensor{turned}. U, V, W: sign of the voltage of U1 against U2, V1 against V2, W1 against W2 in "
        "the middle of the step (0: crossing), measured with open leads; a current of that sign, + in at "
        f"U1, drives the rotor on. {DIRECTION}."
    )
    for words in TRY:
        flow.step(words, SMALLEST_TEXT)


def _rows(flow: Flow, head: Row, rows: tuple[Row, ...], widths: tuple[float, ...]) -> None:
    """Write a table that goes on on the next sheet, its head repeated."""
    left = list(rows)
    while left:
        n = len(left)
        while n > 1 and _height(head, left[:n], widths) > flow.left_over:
            n -= 1
        if _height(head, left[:n], widths) > flow.left_over and flow.y < flow.top:
            flow.new_sheet()
            continue
        laid = table(flow.left, flow.y, [head, *left[:n]], widths=widths)
        flow.add(laid.items, laid.height + 3.0)
        left = left[n:]
        if left:
            flow.new_sheet()


def _height(head: Row, rows: list[Row], widths: tuple[float, ...]) -> float:
    return table(0.0, 0.0, [head, *rows], widths=widths).height
