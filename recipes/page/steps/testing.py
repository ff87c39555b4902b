"""Step: measure resistance and insulation before any power."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.card.joints import voltage_caution
from recipes.page.model import Amount, Blank, Caution, Do, Figure, Step
from recipes.winding.resistance import winding_resistance_of

if TYPE_CHECKING:
    from recipes.page.book import Book

#: Insulation of a random winding below 1 kV after 1 min, MOhm at 40 degC (IEEE 43, from memory).
LEAST_MEGOHM = 5.0

PAIRS = (("U", "V"), ("V", "W"), ("W", "U"))


def test_step(book: Book) -> Step:
    """Return the step."""
    r = winding_resistance_of(book.job)
    four = (
        " with four wires: a steady current of about 1 A, and the voltage at the copper"
        if r.needs_four_wires
        else ""
    )
    return Step(
        "test",
        "Test before power",
        "Done when the three pairs agree, and winding and steel know nothing of each other.",
        (
            Do("Let the stator rest in the room for an hour; write the room's temperature down."),
            Do(f"Measure each pair of leads{four}. Within 2 % of the mean of three is good; 5 % off, look for a "
               "miscounted coil or a poor joint; 10 % off, wind that coil anew."),
            Caution("The insulation tester gives 500 V and leaves the winding charged: it shocks. Clip on first, hands off, "
                    "switch on, and short the winding to steel for as long as it was tested before you touch it. Without "
                    "practice let a motor shop do it; a surge test is theirs alone."),
            Do("Before Hall sensors or a thermistor are connected: 500 V DC from winding to steel for 1 min."),
            Caution(voltage_caution(book.job.design.motor.supply_voltage)),
            Do("When the rotor is on, leads open: it spins free. Each pair shorted in turn: the same drag."),
            Do("Turned by a drill: AC volts between the three pairs within 3 % of each other."),
        ),
        figures=(*_leads(book), *_insulation(book), *_driven(book)),
    )  # fmt: skip


def _leads(book: Book) -> tuple[Figure, ...]:
    r = winding_resistance_of(book.job)
    milli = r.lead_ohm < 1.0
    scale, unit = (1000.0, "mΩ") if milli else (1.0, "Ω")
    digits = 1 if scale * r.lead_ohm < 100.0 and milli else 0 if milli else 3
    low, high = (
        f"{scale * ohm * r.lead_at(r.room_C) / r.lead_ohm:.{digits}f}" for ohm in r.lead_band_ohm
    )
    fields = ("winding.turns", "winding.wire", "winding.connection", "winding.room_temperature")
    found = [
        book.figure("temperature of the room", (f"{r.room_C:g}",), "°C", sure="yours", source="as the design has it",
                    fields=("winding.room_temperature",),
                    blanks=(Blank("room", "temperature of the room", "°C", "measured.room_temperature"),)),
    ]  # fmt: skip
    for a, b in PAIRS:
        key = f"lead_{a}_{b}".lower()
        found.append(
            book.figure(
                f"leads {a} – {b} at {r.room_C:g} °C",
                (book.amount("lead_resistance_room_ohm", digits, scale), f" ({low} to {high})"), unit,
                sure="standard", source="band of the wire's standard, and 4 % slack in length", fields=fields,
                blanks=(Blank(key, f"leads {a} to {b}", unit, f"measured.{key}"),),
            )
        )  # fmt: skip
    found.append(
        book.figure("each pair from the mean of three", ("at most ", Amount("2", 2)), "%", sure="standard",
                    source="ANSI/EASA AR100 for random-wound machines; 5 and 10 % common practice", fields=fields[:1])
    )  # fmt: skip
    return tuple(found)


def _insulation(book: Book) -> tuple[Figure, ...]:
    return (
        book.figure("winding to steel after 1 min, at 40 °C", ("at least ", Amount("5", LEAST_MEGOHM)), "MΩ",
                    sure="standard", source="IEEE 43, random windings below 1 kV, from memory",
                    fields=("liner.paper", "liner.thickness"),
                    blanks=(Blank("insulation", "winding to steel", "MΩ", "measured.insulation"),)),
    )  # fmt: skip


def _driven(book: Book) -> tuple[Figure, ...]:
    constant = book.job.design.motor.speed_constant
    fields = ("motor.speed_constant",)
    found = [
        book.figure("speed when driven", "as your drill turns", fields=fields,
                    blanks=(Blank("driven_speed", "speed when driven", "1/min", "measured.driven_speed"),)),
    ]  # fmt: skip
    for a, b in PAIRS:
        key = f"driven_{a}_{b}".lower()
        shown = (
            "all three alike"
            if constant is None
            else f"{100 / constant / 2**0.5:.2g} V for every 100 1/min"
        )
        found.append(
            book.figure(f"driven, leads {a} – {b}, AC volts r.m.s.", shown, sure="practice" if constant is None else "yours",
                        source="within 3 %, common practice; peak = speed / speed constant", fields=fields,
                        blanks=(Blank(key, f"driven, {a} to {b}", "V", f"measured.{key}"),))
        )  # fmt: skip
    return tuple(found)
