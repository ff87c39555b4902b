"""Step: measure resistance and insulation before any power."""

from __future__ import annotations

from recipes.heat.adiabatic import TOUCH_LIMIT_C, TOUCH_SOURCE
from recipes.heat.limits import ADIABATIC_SOURCE, BURN_CAUTION
from recipes.report.book import Book
from recipes.report.model import Amount, Blank, Caution, Do, Figure, Step
from recipes.rotor.ring import CAUTIONS
from recipes.rotor.voltage import expected_constant, short
from recipes.shaft.thread_rules import thread_words
from recipes.winding.card import voltage_caution
from recipes.winding.sense import COMPASS, DIRECTION, POLE

# Step: the first run, guarded, on a supply that cannot give much.

#: Current of the first run, share of the design current (common practice).
FIRST_SHARE = 0.1


def run_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "run",
        "First run",
        "Done when it turns both ways, quietly, and nothing gets warm that should not.",
        (
            Caution(CAUTIONS[2]),
            Do(
                "Fix the motor so that it cannot climb; guard round the rotor; a switch within reach that you have tried."
            ),
            *_nuts(book),
            Caution(
                "A battery's short circuit welds tools and burns: fuse at its terminal, sized by the cable; one pole at "
                "a time; nothing metal on hands. Charge it watched. First run on a bench supply instead."
            ),
            Do("Supply with a current limit, set to the first current below; no load; slow."),
            Caution(voltage_caution(book.motor.design.motor.supply_voltage)),
            Do(
                "It jerks or hums: off at once. Two phases swapped, or sensors out of order, look like this."
            ),
            Do(
                "It turns: listen, feel for shake with a rod, not a finger. Then the other way round."
            ),
            Do(f"{DIRECTION}. Two leads exchanged turn it back."),
            Caution(BURN_CAUTION),
            Do(
                "Stop every minute at first; feel stator, bearings and controller with the back of the hand near, not on."
            ),
            Do(
                "Write speed, voltage and current without load down: they are the motor's fingerprint."
            ),
        ),
        figures=(*_supply(book), *_heat(book), *_free(book), *_warm(book)),
        notes=(Blank("first_run", "first run: date, place, who watched", wide=True),),
    )


def _nuts(book: Book) -> tuple[Do | Caution, ...]:
    words = thread_words(book.motor.design.axle)
    if not words:
        return ()
    caution = Caution(
        "A hollow end tears under its nut without warning, and the rotor comes off with it: pull up once, "
        "with a torque spanner, wires clear of thread and nut; begin again with a new axle if it turns on "
        "without getting tighter."
    )
    return (caution, *(Do(w) for w in words))


def _supply(book: Book) -> tuple[Figure, ...]:
    motor = book.motor.design.motor
    found = [
        book.figure(
            "supply, full",
            f"{motor.supply_voltage:g}",
            "V",
            sure="yours",
            source="the design",
            fields=("motor.supply_voltage",),
            blanks=(Blank("supply", "supply used", "V"),),
        ),
        book.figure(
            "current limit of the first run",
            f"{FIRST_SHARE * motor.phase_current:.2g}",
            "A",
            source="a tenth of the design current, common practice",
            fields=("motor.phase_current",),
        ),
        book.figure(
            "current in one lead by design",
            book.amount("lead_current_A", 1),
            "A r.m.s.",
            sure="yours",
            source="motor.phase_current and the connection",
            fields=("motor.phase_current", "winding.connection"),
        ),
    ]
    if "back_emf_peak_V" in book.results:
        found.append(
            book.figure(
                "voltage that it makes at top speed",
                (
                    book.amount("back_emf_peak_V", 1),
                    " V; above ",
                    book.amount("touch_limit_dc_V", 0),
                    " V a touch harms",
                ),
                sure="yours",
                source="top speed / speed constant; limit IEC 62368-1 ES1, from memory",
                fields=("motor.top_speed", "motor.speed_constant"),
            )
        )
    return tuple(found)


def _heat(book: Book) -> tuple[Figure, ...]:
    fields = ("motor.phase_current", "winding.wire", "winding.strands", "motor.ambient")
    return (
        book.figure(
            f"from cold to too hot to touch ({TOUCH_LIMIT_C:g} °C) at design current",
            book.amount("seconds_to_touch_limit", 0),
            "s",
            sure="standard",
            source=f"{ADIABATIC_SOURCE}; {TOUCH_SOURCE}",
            fields=fields,
        ),
        book.figure(
            "to the class of the enamel",
            book.amount("seconds_to_class_limit", 0),
            "s",
            sure="standard",
            source=f"{ADIABATIC_SOURCE}; IEC 60085",
            fields=("winding.enamel_class", *fields),
        ),
        book.figure(
            "current that it bears for long, in still air",
            (
                book.amount("continuous_current_worst_A", 1),
                " A dry to ",
                book.amount("continuous_current_best_A", 1),
                " A varnished",
            ),
            source="one-dimensional layers; conductivities and films by common practice",
            fields=fields,
        ),
    )


def _free(book: Book) -> tuple[Figure, ...]:
    constant = expected_constant(book.motor.design.motor, book.motor.speed_constant)
    speed = "write it down" if constant is None else f"{short(constant)} 1/min for every volt"
    source = "speed constant of the design, as measured or reckoned"
    fields = ("motor.speed_constant",)
    rows = (
        ("without load: voltage", "as set", "V", "no_load_voltage"),
        ("without load: speed", speed, "1/min", "no_load_speed"),
        ("without load: current", "write it down", "A", "no_load_current"),
    )
    return tuple(
        book.figure(
            words,
            shown,
            sure="yours",
            source=source,
            fields=fields,
            blanks=(Blank(key, words, unit, f"measured.{key}"),),
        )
        for words, shown, unit, key in rows
    )


def _warm(book: Book) -> tuple[Figure, ...]:
    rate = book.amount("heating_rate_K_per_s", 3)
    rows = (
        ("warming test: current through U and V, held", "A", "warm_current"),
        ("warming test: for how long", "s", "warm_seconds"),
        ("warming test: leads U – V at its end", "Ω", "warm_end_u_v"),
    )
    return (
        book.figure(
            "rise at design current, at first",
            rate,
            "K/s",
            sure="standard",
            source=ADIABATIC_SOURCE,
            fields=("motor.phase_current", "winding.wire", "winding.strands"),
        ),
        *(
            book.figure(
                words,
                "tells how hot the copper got",
                sure="standard",
                source="copper: resistance by 234.5 + T, IEC 60028",
                fields=("motor.phase_current",),
                blanks=(Blank(key, words, unit, f"measured.{key}"),),
            )
            for words, unit, key in rows
        ),
    )


#: Insulation of a random winding below 1 kV after 1 min, MOhm at 40 degC (IEEE 43, from memory).
LEAST_MEGOHM = 5.0

PAIRS = (("U", "V"), ("V", "W"), ("W", "U"))


def test_step(book: Book) -> Step:
    """Return the step."""
    r = book.motor.resistance
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
            Do(
                f"Measure each pair of leads{four}. Within 2 % of the mean of three is good; 5 % off, look for a "
                "miscounted coil or a poor joint; 10 % off, wind that coil anew."
            ),
            Caution(
                "The insulation tester gives 500 V and leaves the winding charged: it shocks. Clip on first, hands off, "
                "switch on, and short the winding to steel for as long as it was tested before you touch it. Without "
                "practice let a motor shop do it; a surge test is theirs alone."
            ),
            Do(
                "Before Hall sensors or a thermistor are connected: 500 V DC from winding to steel for 1 min."
            ),
            Caution(voltage_caution(book.motor.design.motor.supply_voltage)),
            Do(
                "When the rotor is on, leads open: it spins free. Each pair shorted in turn: the same drag."
            ),
            Do("Turned by a drill: AC volts between the three pairs within 3 % of each other."),
            Do(f"{POLE}: {COMPASS}, before the rotor is on."),
        ),
        figures=(*_leads(book), *_insulation(book), *_driven(book)),
    )


def _leads(book: Book) -> tuple[Figure, ...]:
    r = book.motor.resistance
    milli = r.lead_ohm < 1.0
    scale, unit = (1000.0, "mΩ") if milli else (1.0, "Ω")
    digits = 1 if scale * r.lead_ohm < 100.0 and milli else 0 if milli else 3
    low, high = (
        f"{scale * ohm * r.lead_at(r.room_C) / r.lead_ohm:.{digits}f}" for ohm in r.lead_band_ohm
    )
    fields = ("winding.turns", "winding.wire", "winding.connection", "winding.room_temperature")
    found = [
        book.figure(
            "temperature of the room",
            (f"{r.room_C:g}",),
            "°C",
            sure="yours",
            source="as the design has it",
            fields=("winding.room_temperature",),
            blanks=(Blank("room", "temperature of the room", "°C", "measured.room_temperature"),),
        ),
    ]
    for a, b in PAIRS:
        key = f"lead_{a}_{b}".lower()
        found.append(
            book.figure(
                f"leads {a} – {b} at {r.room_C:g} °C",
                (book.amount("lead_resistance_room_ohm", digits, scale), f" ({low} to {high})"),
                unit,
                sure="standard",
                source="band of the wire's standard, and 4 % slack in length",
                fields=fields,
                blanks=(Blank(key, f"leads {a} to {b}", unit, f"measured.{key}"),),
            )
        )
    found.append(
        book.figure(
            "each pair from the mean of three",
            ("at most ", Amount("2", 2)),
            "%",
            sure="standard",
            source="ANSI/EASA AR100 for random-wound machines; 5 and 10 % common practice",
            fields=fields[:1],
        )
    )
    return tuple(found)


def _insulation(book: Book) -> tuple[Figure, ...]:
    return (
        book.figure(
            "winding to steel after 1 min, at 40 °C",
            ("at least ", Amount("5", LEAST_MEGOHM)),
            "MΩ",
            sure="standard",
            source="IEEE 43, random windings below 1 kV, from memory",
            fields=("liner.paper", "liner.thickness"),
            blanks=(Blank("insulation", "winding to steel", "MΩ", "measured.insulation"),),
        ),
    )


def _driven(book: Book) -> tuple[Figure, ...]:
    constant = expected_constant(book.motor.design.motor, book.motor.speed_constant)
    fields = ("motor.speed_constant",)
    found = [
        book.figure(
            "speed when driven",
            "as your drill turns",
            fields=fields,
            blanks=(Blank("driven_speed", "speed when driven", "1/min", "measured.driven_speed"),),
        ),
    ]
    for a, b in PAIRS:
        key = f"driven_{a}_{b}".lower()
        shown = (
            "all three alike"
            if constant is None
            else f"{100 / constant / 2**0.5:.2g} V for every 100 1/min"
        )
        found.append(
            book.figure(
                f"driven, leads {a} – {b}, AC volts r.m.s.",
                shown,
                sure="practice" if constant is None else "yours",
                source="within 3 %, common practice; peak = speed / speed constant",
                fields=fields,
                blanks=(Blank(key, f"driven, {a} to {b}", "V", f"measured.{key}"),),
            )
        )
    return tuple(found)
