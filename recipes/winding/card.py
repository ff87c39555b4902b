"""The winding card: what lies beside the stator while it is wound.

sheet 1       the stator from the lead side, every tooth with number, phase, sense, tails and links
sheet 2       figures, steps with cautions where they bite
sheets 3..    every tooth with its tally boxes; then every joint with its tick boxes; last the tests

Not checked here: whether the turns fit (`recipes.winding.conductors`) and whether tails reach (`recipes.
winding_resistance`). A design whose turns do not fit still has a card; its tally counts steps.
"""

from __future__ import annotations

from geometry.drafting.drawing import Item, Text
from geometry.drafting.font import text_width
from geometry.drafting.table import table
from geometry.part import Part
from geometry.point import Point
from geometry.printing.page import live_box
from geometry.segment import Box
from recipes.design.units import MM_PER_INCH
from recipes.drawing_conventions import fitted, plain
from recipes.job import Job
from recipes.winding.card_picture import legend, stator_picture
from recipes.winding.card_tables import HEADING, Flow, joint_table, numbered_sheets, tooth_table
from recipes.winding.circuit import terminal_links
from recipes.winding.turn_length import PHASE_TAIL

# Figures and steps of the winding card: wire, pull, lengths, resistance, what to do and to mind.

#: Newton to the kilogram, and to the pound, of a spring balance (exact: standard gravity, 0.45359237 kg).
GRAVITY, POUND = 9.80665, 4.4482216152605

_NBSP = "\u00a0"


def figures(job: Job, flow: Flow) -> None:
    """Write the figures that the winder needs at hand, in two columns.

    Raises:
        Refused: no winding, no such wire, no turn that fits, or paths that are not legal.
    """
    rows = _figure_rows(job)
    half = (len(rows) + 1) // 2
    rows += [("", "")] * (2 * half - len(rows))
    pairs = [(*a, *b) for a, b in zip(rows[:half], rows[half:], strict=True)]
    name, value = 37.0, flow.width / 2 - 37.0
    flow.title("Figures")
    laid = table(flow.left, flow.y, pairs, widths=(name, value, name, value), header=False)
    flow.add(laid.items, laid.height)


def _figure_rows(job: Job) -> list[tuple[str, str]]:
    winding, wire = job.design.winding, job.wire
    order, pull, r = job.wire_order, job.tension, job.resistance
    several = winding.strands > 1
    least, most = r.lead_band_ohm
    share = (least / r.lead_ohm, most / r.lead_ohm)
    rows = [
        ("wire", f"{wire.label}, grade {winding.grade}"),
        ("over enamel, at most", f"{wire.overall_max_mm:.3f} mm"),
        ("wires in hand", f"{winding.strands}, side by side" if several else "1"),
        ("turns on one tooth", str(winding.turns)),
        ("layers from the tooth", layers_text(job)),
        ("pull on each wire", f"{pull.least_N:.2g} to {pull.most_N:.2g} N"),
        ("cut for one coil", f"{winding.strands} × {size(order.coil_cut_m, job)}, tails included"),
        ("tails", f"{size(winding.tail / 1000, job)} at both ends"),
        ("tails at terminals", size(max(winding.tail, PHASE_TAIL) / 1000, job)),
        (f"one coil at {plain(r.room_C)} °C", band(r.coil_at(r.room_C), share)),
        (f"two leads at {plain(r.room_C)} °C", band(r.lead_at(r.room_C), share)),
        ("measure with", "four wires" if r.needs_four_wires else "any good meter"),
        ("reel and batch", ""),
        ("wound by, date", ""),
    ]
    return [(a, b.replace(_NBSP, " ")) for a, b in rows]


def layers_text(job: Job) -> str:
    """Return "8 + 8 + 7 + 1 turns", or that turns fall as they like."""
    if job.design.winding.lay == "random":
        return "wound at random"
    return " + ".join(str(n) for n in job.conductors.turns_per_layer) + " turns"


def size(metres: float, job: Job) -> str:
    """Return a length of wire, mm below half a metre, with inches where the design counts in them."""
    text = f"{metres:.2f}{_NBSP}m" if metres >= 0.5 else f"{plain(1000 * metres)}{_NBSP}mm"
    if job.design.units == "in":
        text += f" ({1000 * metres / MM_PER_INCH:.3g}{_NBSP}in)"
    return text


def band(ohm: float, share: tuple[float, float]) -> str:
    """Return a resistance with its least and greatest value, in mOhm or Ohm."""
    unit, factor = ("mΩ", 1000.0) if ohm < 1.0 else ("Ω", 1.0)
    value, low, high = (three_digits(factor * ohm * part) for part in (1.0, *share))
    return f"{value} {unit} ({low} to {high})"


def three_digits(value: float) -> str:
    """Return a number with three significant digits, zeros kept: 16.0, 429."""
    return f"{value:#.3g}".rstrip(".")


def steps_before(flow: Flow) -> None:
    """Write what comes before the first coil, cautions where they bite."""
    flow.title("Before the first coil")
    flow.caution(
        "Lamination edges are razor-sharp: wear gloves. Wear eye protection whenever wire is cut; "
        "ends spring back."
    )
    flow.step("Round or cap the end edges of all teeth, so that no wire turns a square steel edge.")
    flow.step(
        "Number the teeth on both ends: stick the paper rings on, or use a marker. On the lead side "
        "the numbers run counter-clockwise, on the far side clockwise."
    )
    flow.step("Put a liner into every slot, cuffs folded back.")
    flow.step(
        "Wind one trial turn on every tooth first, with thread or hook-up wire, by the arrows. "
        "Compare every tooth with the picture, then take it off: whole phases have been wound "
        "backwards."
    )


def steps_each(job: Job, flow: Flow) -> None:
    """Write what is done for every coil."""
    winding, order, pull = job.design.winding, job.wire_order, job.tension
    several = winding.strands > 1
    cut, tail = size(order.coil_cut_m, job), size(winding.tail / 1000, job)
    extra = max(0.0, PHASE_TAIL - winding.tail)
    longer = (
        f", {size(extra / 1000, job)} more for every tail that ends at a terminal" if extra else ""
    )
    wires = f"{winding.strands} wires of {cut} each" if several else f"a wire of {cut}"
    unit, newtons = ("lb", POUND) if job.design.units == "in" else ("kg", GRAVITY)
    low, high = (f"{n / newtons:.2g}" for n in (pull.least_N, pull.most_N))
    balance = f"{low} to {high}{_NBSP}{unit} on a spring balance"
    flow.title("Every coil")
    flow.step(
        f"Cut {wires}{longer}. Leave {tail} as start tail on the lead side; "
        "the wire goes down beside the tooth where the arrow points, close to the root."
    )
    how = (
        "Lay turn beside turn, the first layer from the root, layer on layer. Count aloud; tick a box when "
        "its turns are on"
        if winding.lay == "layered"
        else "Let the turns fall evenly over the tooth. Count aloud; tick a box when its turns are on"
    )
    if several:
        how += f"; keep the {winding.strands} wires side by side, uncrossed"
    flow.step(
        f"{how}. Pull {pull.least_N:.2g} to {pull.most_N:.2g}{_NBSP}N on each wire ({balance}): more stretches copper."
    )
    flow.step(
        f"The last turn comes up on the other side of the tooth. Leave {tail} "
        'and tag both tails with number and letter, such as "7 S" and "7 F".'
    )
    flow.step(
        "Before the next tooth: meter between coil and steel. Anything but an open circuit: unwind, "
        'find the bare spot, wind anew. Tick "clear" and write down the resistance of the coil.'
    )


#     The last sheets of the winding card: joining, star or delta, and what to measure before power.
#
# Limits: resistance 2 % (ANSI/EASA AR100), 5 and 10 % (common practice), see
# `recipes.winding.resistance`; insulation 5 MOhm at 40 degC for random windings below 1 kV (IEEE 43,
# from memory); voltages of a driven motor within 3 % (common practice).

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
    for words in next(row for row in job.connections if row.own).cautions:
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
    r = job.resistance
    least, most = (ohm / r.lead_ohm for ohm in r.lead_band_ohm)
    rows = [
        (
            "leads",
            f"expected at {plain(r.room_C)} °C",
            "measured",
            "turned, shorted: drag",
            "drill-driven: V AC",
        )
    ]
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


def winding_card(job: Job) -> tuple[Part, ...]:
    """Return the card as one part without anything to cut; its sheets are drawings.

    Raises:
        Refused: no winding, no slot, no such wire, no turn that fits, or paths that are not legal.
    """
    page = job.design.print.page
    room = live_box(page)
    flow = Flow(room)
    figures(job, flow)
    steps_before(flow)
    steps_each(job, flow)
    tooth_table(job, flow)
    flow.new_sheet()
    joining(job, flow)
    sheets = [_picture_sheet(job, room), *flow.sheets]
    drawings = numbered_sheets(sheets, f"Winding card: {job.design.name}", page, job.revision)
    winding = job.design.winding
    return (
        Part(
            name="winding_card",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={
                "coils": 3 * job.layout.coils_per_phase,
                "turns": winding.turns,
                "strands": winding.strands,
                "parallel_paths": winding.parallel_paths,
                "sheets": len(drawings),
            },
            notes=("teeth numbered counter-clockwise as seen from the lead side, tooth 1 up",),
            drawings=drawings,
        ),
    )


def _picture_sheet(job: Job, room: Box) -> list[Item]:
    left, bottom, right, top = room
    motor, winding = job.design.motor, job.design.winding
    paths = f", {winding.parallel_paths} parallel paths" if winding.parallel_paths > 1 else ""
    strands = f"{winding.strands} × " if winding.strands > 1 else ""
    words = (
        f"Seen from the lead side. {motor.slots} teeth, {motor.poles} poles, {winding.turns} turns of "
        f"{strands}{job.wire.label} on {winding.coil_sides}, {winding.connection}{paths}"
    )
    size = 3.5 if text_width(words, 3.5) <= right - left else 2.5
    line_top = top - HEADING
    radius = (right - left) / 2
    centre = Point((left + right) / 2, line_top - 5.0 - radius)
    picture = stator_picture(job, centre, radius)
    below = centre.y - radius - 0.8
    return [
        Text(left, line_top, size, fitted(words, right - left, size), level="top"),
        *picture.items,
        *legend(job, picture, (left, bottom, right, below)),
    ]
