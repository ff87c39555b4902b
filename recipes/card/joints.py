"""The last sheets of the winding card: joining, star or delta, and what to measure before power.

Limits: resistance 2 % (ANSI/EASA AR100), 5 and 10 % (common practice), see
`recipes.winding.resistance`; insulation 5 MOhm at 40 degC for random windings below 1 kV (IEEE 43,
from memory); voltages of a driven motor within 3 % (common practice).
"""

from __future__ import annotations

from geometry.sheet.table import table
from recipes.card.flow import Flow
from recipes.card.steps import band
from recipes.card.tables import joint_table
from recipes.drawing_words import plain
from recipes.job import Job
from recipes.winding.connection import connection_table
from recipes.winding.paths import terminal_links
from recipes.winding.resistance import winding_resistance_of

#: Enamel up to this class solders through; above, it has to be stripped (common practice).
SOLDERS_THROUGH = 155

#: Direct voltage above which local rules ask for a qualified person, V (extra-low voltage of EN 61140, from memory).
TOUCH_VOLTAGE = 60.0


def joining(job: Job, flow: Flow) -> None:
    """Write cautions, joint list, star or delta, and the tests.

    Raises:
        Refused: no winding, no such wire, no turn that fits, or paths that are not legal.
    """
    flow.title("Joining")
    flow.caution(tinning(job.design.winding.enamel_class))
    flow.step(
        "Slide a sleeve over one tail first. Twist about 20 mm, solder, draw the sleeve over, tie "
        "the joint down on the coil ends: nothing may stand out towards the rotor."
    )
    for words in next(row for row in connection_table(job) if row.own).cautions:
        flow.step(f"{words[0].upper()}{words[1:]}.")
    joint_table(job, flow)
    _links(job, flow)
    _tests(job, flow)


def tinning(enamel_class: int) -> str:
    """Return the caution for soldering enamelled ends."""
    if enamel_class <= SOLDERS_THROUGH:
        return (
            "Tinning burns the enamel off and its fumes irritate eyes and lungs: extract them or "
            "work outdoors, with eye protection. Hot ends drip."
        )
    return (
        f"Enamel of class {enamel_class} does not solder through: scrape or strip every strand bright. "
        "Heated enamel gives off irritant fumes: extract them, and wear eye protection."
    )


def _links(job: Job, flow: Flow) -> None:
    winding = job.design.winding
    groups = terminal_links(winding.connection)
    lines = 6.3 * (len(groups) + 2)
    several = winding.parallel_paths > 1
    together = f"All {winding.parallel_paths} tails named U1 are one terminal, and so for U2, V1, V2, W1, W2."
    if winding.connection == "wye":
        flow.title("Star point (wye)", keep=lines)
        if several:
            flow.step(together)
        flow.step(f"Join {', '.join(groups[0])}: the star point, sleeved, tied down.")
        flow.step("U1, V1, W1 go to the leads.")
        return
    flow.title("Delta", keep=lines)
    if several:
        flow.step(together)
    for group in groups:
        flow.step(f"Join {' and '.join(group)}: lead {group[0]}.")


def _tests(job: Job, flow: Flow) -> None:
    r = winding_resistance_of(job)
    least, most = (ohm / r.lead_ohm for ohm in r.lead_band_ohm)
    rows = [("leads", f"expected at {plain(r.room_C)} °C", "measured", "turned, shorted: drag", "drill-driven: V AC")]  # fmt: skip
    rows += [
        (f"{a} – {b}", band(r.lead_at(r.room_C), (least, most)), "", "", "")
        for a, b in (("U1", "V1"), ("V1", "W1"), ("W1", "U1"))
    ]
    flow.title("Before power", keep=60.0)
    flow.caution(voltage_caution(job.design.motor.supply_voltage))
    laid = table(flow.left, flow.y, rows, widths=_columns(flow.width))
    flow.add(laid.items, laid.height + 3.0)
    method = ", measured with four wires" if r.needs_four_wires else ""
    flow.step(
        f"Resistance{method}: each pair within 2 % of the mean of the three is good; 5 % off, look for "
        "a miscounted coil or a poor joint; 10 % off, wind that coil anew."
    )
    flow.step(
        "Insulation, before Hall sensors or a thermistor are connected: 500 V DC from winding to steel "
        "for 1 min, at least 5 MΩ corrected to 40 °C. Keep hands off, then discharge the winding."
    )
    flow.step(
        "Leads open: the rotor spins free. Each pair shorted in turn: the same drag. Driven by a drill: "
        "the three voltages within 3 %."
    )
    flow.step(
        "First run: rotor guarded, eyes protected, no load, supply limited to a small current."
    )


def _columns(width: float) -> tuple[float, ...]:
    return (26.0, 50.0, 34.0, 42.0, width - 152.0)


def voltage_caution(supply: float) -> str:
    """Return the caution about voltage, from a supply in V or the turning rotor."""
    words = (
        f"Above {TOUCH_VOLTAGE:g} V DC, from the supply or from a rotor that is turned, local rules "
        "apply: let a qualified person do it. A turning motor makes voltage."
    )
    if supply > TOUCH_VOLTAGE:
        words += f" This supply has {plain(supply)} V."
    return words
