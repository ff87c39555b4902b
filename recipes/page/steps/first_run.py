"""Step: the first run, guarded, on a supply that cannot give much."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.card.joints import voltage_caution
from recipes.heat.adiabatic import TOUCH_LIMIT_C, TOUCH_SOURCE
from recipes.heat.rules import ADIABATIC_SOURCE, BURN_CAUTION
from recipes.page.model import Blank, Caution, Do, Figure, Step
from recipes.rotor.rules import CAUTIONS

if TYPE_CHECKING:
    from recipes.page.book import Book

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
            Do("Fix the motor so that it cannot climb; guard round the rotor; a switch within reach that you have tried."),
            Caution("A battery's short circuit welds tools and burns: fuse at its terminal, sized by the cable; one pole at "
                    "a time; nothing metal on hands. Charge it watched. First run on a bench supply instead."),
            Do("Supply with a current limit, set to the first current below; no load; slow."),
            Caution(voltage_caution(book.job.design.motor.supply_voltage)),
            Do("It jerks or hums: off at once. Two phases swapped, or sensors out of order, look like this."),
            Do("It turns: listen, feel for shake with a rod, not a finger. Then the other way round."),
            Caution(BURN_CAUTION),
            Do("Stop every minute at first; feel stator, bearings and controller with the back of the hand near, not on."),
            Do("Write speed, voltage and current without load down: they are the motor's fingerprint."),
        ),
        figures=(*_supply(book), *_heat(book), *_free(book), *_warm(book)),
        notes=(Blank("first_run", "first run: date, place, who watched", wide=True),),
    )  # fmt: skip


def _supply(book: Book) -> tuple[Figure, ...]:
    motor = book.job.design.motor
    found = [
        book.figure("supply, full", f"{motor.supply_voltage:g}", "V", sure="yours", source="the design",
                    fields=("motor.supply_voltage",), blanks=(Blank("supply", "supply used", "V"),)),
        book.figure("current limit of the first run", f"{FIRST_SHARE * motor.phase_current:.2g}", "A",
                    source="a tenth of the design current, common practice", fields=("motor.phase_current",)),
        book.figure("current in one lead by design", book.amount("lead_current_A", 1), "A r.m.s.", sure="yours",
                    source="motor.phase_current and the connection", fields=("motor.phase_current", "winding.connection")),
    ]  # fmt: skip
    if "back_emf_peak_v" in book.results:
        found.append(
            book.figure("voltage that it makes at top speed", (book.amount("back_emf_peak_v", 1), " V; above ", book.amount("touch_limit_dc_v", 0), " V a touch harms"),
                        sure="yours", source="top speed / speed constant; limit IEC 62368-1 ES1, from memory",
                        fields=("motor.top_speed", "motor.speed_constant"))
        )  # fmt: skip
    return tuple(found)


def _heat(book: Book) -> tuple[Figure, ...]:
    fields = ("motor.phase_current", "winding.wire", "winding.strands", "motor.ambient")
    return (
        book.figure(f"from cold to too hot to touch ({TOUCH_LIMIT_C:g} °C) at design current", book.amount("seconds_to_touch_limit", 0), "s",
                    sure="standard", source=f"{ADIABATIC_SOURCE}; {TOUCH_SOURCE}", fields=fields),
        book.figure("to the class of the enamel", book.amount("seconds_to_class_limit", 0), "s", sure="standard",
                    source=f"{ADIABATIC_SOURCE}; IEC 60085", fields=("winding.enamel_class", *fields)),
        book.figure("current that it bears for long, in still air", (book.amount("continuous_current_worst_A", 1), " A dry to ",
                    book.amount("continuous_current_best_A", 1), " A varnished"),
                    source="one-dimensional layers; conductivities and films by common practice", fields=fields),
    )  # fmt: skip


def _free(book: Book) -> tuple[Figure, ...]:
    constant = book.job.design.motor.speed_constant
    speed = "write it down" if constant is None else f"{constant:g} 1/min for every volt"
    source = "speed constant of the design, as measured or reckoned"
    fields = ("motor.speed_constant",)
    rows = (
        ("without load: voltage", "as set", "V", "no_load_voltage"),
        ("without load: speed", speed, "1/min", "no_load_speed"),
        ("without load: current", "write it down", "A", "no_load_current"),
    )
    return tuple(
        book.figure(words, shown, sure="yours", source=source, fields=fields,
                    blanks=(Blank(key, words, unit, f"measured.{key}"),))
        for words, shown, unit, key in rows
    )  # fmt: skip


def _warm(book: Book) -> tuple[Figure, ...]:
    rate = book.amount("heating_rate_K_per_s", 3)
    rows = (
        ("warming test: current through U and V, held", "A", "warm_current"),
        ("warming test: for how long", "s", "warm_seconds"),
        ("warming test: leads U – V at its end", "Ω", "warm_end_u_v"),
    )
    return (
        book.figure("rise at design current, at first", rate, "K/s", sure="standard", source=ADIABATIC_SOURCE,
                    fields=("motor.phase_current", "winding.wire", "winding.strands")),
        *(
            book.figure(words, "tells how hot the copper got", sure="standard", source="copper: resistance by 234.5 + T, IEC 60028",
                        fields=("motor.phase_current",), blanks=(Blank(key, words, unit, f"measured.{key}"),))
            for words, unit, key in rows
        ),
    )  # fmt: skip
