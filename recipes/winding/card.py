"""The winding card: what lies beside the stator while it is wound.

sheet 1       the stator from the lead side, every tooth with number, phase, sense, tails and links
sheet 2       figures, steps with cautions where they bite
sheets 3..    every tooth with its tally boxes; then every joint with its tick boxes; last the tests

Not checked here: whether the turns fit (`recipes.winding.conductors`) and whether tails reach
(`recipes.winding.resistance`). A design whose turns do not fit still has a card; its tally counts
steps.

Limits: resistance 2 % (ANSI/EASA AR100), 5 and 10 % (common practice), see
`recipes.winding.resistance`; insulation 5 MOhm at 40 degC for random windings below 1 kV (IEEE 43,
from memory); voltages of a driven motor within 3 % (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from geometry.drafting.drawing import Item
from geometry.drafting.sheet import table
from geometry.part import Part
from geometry.printing.page import Page, live_box
from recipes.design.inches import Wording
from recipes.design.units import significant
from recipes.design.winding import Winding
from recipes.drawing_conventions import Imprint, plain
from recipes.tables.wire import Wire
from recipes.winding.card_run import Row, bobbin_text, route_table, run_steps, several_coils
from recipes.winding.card_tables import ToothRow, joint_table, tooth_table
from recipes.winding.circuit import Join, terminal_links
from recipes.winding.conductors import ConductorPlacement
from recipes.winding.resistance import WindingResistance
from recipes.winding.sense import COMPASS, DIRECTION, POLE
from recipes.winding.turn_length import PHASE_TAIL
from recipes.winding.wire_order import WireOrder, tension_of
from recipes.winding.wire_run import Bobbin
from recipes.written_sheets import Flow, numbered_sheets

Sheets = list[list[Item]]

#: Newton to the kilogram, and to the pound, of a spring balance (exact: standard gravity, 0.45359237 kg).
GRAVITY, POUND = 9.80665, 4.4482216152605

#: Enamel up to this class solders through; above, it has to be stripped (common practice).
SOLDERS_THROUGH = 155

#: Direct voltage above which local rules ask for a qualified person, V (extra-low voltage of EN 61140, from memory).
TOUCH_VOLTAGE = 60.0

#: Widths of the table of tests, mm; its last column takes what the sheet leaves.
TESTS = (26.0, 50.0, 34.0, 42.0)

_NBSP = "\u00a0"


def winding_card(
    sheets: Sheets, coils: int, winding: Winding, imprint: Imprint
) -> tuple[Part, ...]:
    """Return the card as one part without anything to cut; its sheets are drawings.

    Args:
        sheets: `picture_sheet`, `coil_sheets` and `joint_sheets`.
        coils: on the stator.
        winding: turns, strands, paths.
        imprint: of the design.
    """
    drawings = numbered_sheets(sheets, f"Winding card: {imprint.name}", imprint)
    return (
        Part(
            name="winding_card",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={
                "coils": coils,
                "turns": winding.turns,
                "strands": winding.strands,
                "parallel_paths": winding.parallel_paths,
                "sheets": len(drawings),
            },
            notes=("teeth numbered counter-clockwise as seen from the lead side, tooth 1 up",),
            drawings=drawings,
        ),
    )


def coil_sheets(
    figures: Sequence[tuple[str, str]],
    steps: Sequence[str],
    rows: Sequence[ToothRow],
    conductors: ConductorPlacement,
    unit: str,
    routes: tuple[str, Sequence[Row]] | None,
    page: Page,
    say: Callable[[str], str],
) -> Sheets:
    """Return the sheets for winding: figures, what comes first, every coil, the table of teeth.

    Args:
        figures: as `card_figures` gives them, written in two columns.
        steps: as `coil_steps` gives them.
        rows: of the table of teeth.
        conductors: of one coil side.
        unit: of a coil's resistance; "" where one wire winds several.
        routes: of the wires, words and rows of their table; None where each winds one coil.
        page: paper.
        say: writes a sentence in the unit of the design.
    """
    flow = Flow(live_box(page), say)
    half = (len(figures) + 1) // 2
    whole = [
        *((name, say(value)) for name, value in figures),
        *[("", "")] * (2 * half - len(figures)),
    ]
    pairs = [(*a, *b) for a, b in zip(whole[:half], whole[half:], strict=True)]
    name, value = 37.0, flow.width / 2 - 37.0
    flow.title("Figures")
    laid = table(flow.left, flow.y, pairs, widths=(name, value, name, value), header=False)
    flow.add(laid.items, laid.height)
    _before(flow)
    flow.title("Every wire" if routes else "Every coil")
    for words in steps:
        flow.step(words)
    if routes:
        route_table(flow, routes[1])
        flow.sentence(routes[0])
    tooth_table(flow, rows, conductors, unit)
    return flow.sheets


def card_figures(
    winding: Winding,
    wire: Wire,
    conductors: ConductorPlacement,
    order: WireOrder,
    r: WindingResistance,
    inches: bool,
) -> list[tuple[str, str]]:
    """Return the figures that the winder needs at hand, name and value."""
    several = several_coils(winding)
    pull = tension_of(wire.copper_area_mm2, winding.strands)
    least, most = r.lead_band_ohm
    share = (least / r.lead_ohm, most / r.lead_ohm)
    cut = size(order.coil_cut_m, inches)
    rows = [
        ("wire", f"{wire.label}, grade {winding.grade}"),
        ("over enamel, at most", f"{wire.overall_max_mm:.3f} mm"),
        ("wires in hand", f"{winding.strands}, side by side" if winding.strands > 1 else "1"),
        ("turns on one tooth", str(winding.turns)),
        ("layers from the tooth", layers_text(conductors)),
        ("pull on each wire", f"{significant(pull.least_N, 2)} to {significant(pull.most_N, 2)} N"),
        (
            ("longest wire", bobbin_text(order.bobbin, inches))
            if several
            else ("cut for one coil", f"{winding.strands} × {cut}, tails included")
        ),
        (
            ("bobbin", f"{order.bobbin.room_cm3:.0f} cm³ between flanges")
            if winding.run == "one wire a phase"
            else ("tails at joints", size(winding.tail / 1000, inches))
        ),
        ("tails at terminals", size(max(winding.tail, PHASE_TAIL) / 1000, inches)),
        (
            f"one {'wire' if several else 'coil'} at {plain(r.room_C)} °C",
            band(r.coil_at(r.room_C), share),
        ),
        (f"two leads at {plain(r.room_C)} °C", band(r.lead_at(r.room_C), share)),
        ("measure with", "four wires" if r.needs_four_wires else "any good meter"),
        ("reel and batch", ""),
        ("wound by, date", ""),
    ]
    return [(a, b.replace(_NBSP, " ")) for a, b in rows]


def layers_text(conductors: ConductorPlacement) -> str:
    """Return "8 + 8 + 7 + 1 turns", or that turns fall as they like."""
    if conductors.kind == "random":
        return "wound at random"
    return " + ".join(str(n) for n in conductors.turns_per_layer) + " turns"


def size(metres: float, inches: bool) -> str:
    """Return a length of wire, mm below half a metre; feet or inches first where the design asks."""
    text = f"{metres:.2f}{_NBSP}m" if metres >= 0.5 else f"{plain(1000 * metres)}{_NBSP}mm"
    return Wording(inches, {}, frozenset()).said(text)


def band(ohm: float, share: tuple[float, float]) -> str:
    """Return a resistance with its least and greatest value, in mOhm or Ohm."""
    unit, factor = ("mΩ", 1000.0) if ohm < 1.0 else ("Ω", 1.0)
    value, low, high = (three_digits(factor * ohm * part) for part in (1.0, *share))
    return f"{value} {unit} ({low} to {high})"


def three_digits(value: float) -> str:
    """Return a number with three significant digits, zeros kept: 16.0, 429."""
    return f"{value:#.3g}".rstrip(".")


def _before(flow: Flow) -> None:
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
        f"backwards. {POLE}."
    )


def coil_steps(
    winding: Winding, wire: Wire, coil_cut_m: float, bobbin: Bobbin, inches: bool
) -> tuple[str, ...]:
    """Return what is done for every coil, each wire of it `coil_cut_m` long, or for every wire."""
    pull = tension_of(wire.copper_area_mm2, winding.strands)
    several = winding.strands > 1
    cut, tail = size(coil_cut_m, inches), size(winding.tail / 1000, inches)
    extra = max(0.0, PHASE_TAIL - winding.tail)
    longer = (
        f", {size(extra / 1000, inches)} more for every tail that ends at a terminal"
        if extra
        else ""
    )
    wires = f"{winding.strands} wires of {cut} each" if several else f"a wire of {cut}"
    unit, newtons = ("lb", POUND) if inches else ("kg", GRAVITY)
    low, high = (significant(n / newtons, 2) for n in (pull.least_N, pull.most_N))
    balance = f"{low} to {high}{_NBSP}{unit} on a spring balance"
    how = (
        "Lay turn beside turn, the first layer from the root, layer on layer"
        if winding.lay == "layered"
        else "Let the turns fall evenly over the tooth"
    )
    side = f"; keep the {winding.strands} wires side by side, uncrossed" if several else ""
    lay = (
        f"{how}. Count aloud; tick a box when its turns are on{side}. Pull {significant(pull.least_N, 2)} to "
        f"{significant(pull.most_N, 2)}{_NBSP}N on each wire ({balance}): more stretches copper."
    )
    if several_coils(winding):
        end = size(max(winding.tail, PHASE_TAIL) / 1000, inches)
        return run_steps(winding, lay, bobbin, end, tail, inches)
    return (
        f"Cut {wires}{longer}. Leave {tail} as start tail on the lead side; the wire goes down beside "
        "the tooth where the arrow points, close to the root.",
        lay,
        f"The last turn comes up on the other side of the tooth. Leave {tail} and tag both tails with "
        'number and letter, such as "7 S" and "7 F".',
        "Before the next tooth: meter between coil and steel. Anything but an open circuit: unwind, "
        'find the bare spot, wind anew. Tick "clear" and write down the resistance of the coil.',
    )


def joint_sheets(
    winding: Winding,
    joints: Sequence[Join],
    cautions: Sequence[str],
    r: WindingResistance,
    supply_voltage: float,
    page: Page,
    say: Callable[[str], str],
) -> Sheets:
    """Return the last sheets: joining, star or delta, and what to measure before power.

    Args:
        winding: enamel, connection, paths.
        joints: of all phases; what is not soldered is left out.
        cautions: what to mind with this way to join, in sentences.
        r: expected resistances.
        supply_voltage: V.
        page: paper.
        say: writes a sentence in the unit of the design.
    """
    flow = Flow(live_box(page), say)
    flow.title("Joining")
    flow.caution(tinning(winding.enamel_class))
    flow.step(
        "Slide a sleeve over one tail first. Twist about 20 mm, solder, draw the sleeve over, tie "
        "the joint down on the coil ends: nothing may stand out towards the rotor."
    )
    for words in cautions:
        flow.step(f"{words[0].upper()}{words[1:]}.")
    joint_table(flow, [join for join in joints if join.soldered])
    groups = terminal_links(winding.connection)
    wye, paths = winding.connection == "wye", winding.parallel_paths
    flow.title("Star point (wye)" if wye else "Delta", keep=6.3 * (len(groups) + 2))
    if paths > 1:
        flow.step(f"All {paths} tails named U1 are one terminal, and so for U2, V1, V2, W1, W2.")
    for group in groups:
        if wye:
            flow.step(f"Join {', '.join(group)}: the star point, sleeved, tied down.")
            flow.step("U1, V1, W1 go to the leads.")
        else:
            flow.step(f"Join {' and '.join(group)}: lead {group[0]}.")
    _tests(flow, r, supply_voltage)
    return flow.sheets


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


def _tests(flow: Flow, r: WindingResistance, supply_voltage: float) -> None:
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
    flow.caution(voltage_caution(supply_voltage))
    laid = table(flow.left, flow.y, rows, widths=(*TESTS, flow.width - sum(TESTS)))
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
        f"Rotor off, each phase: {COMPASS}. Any tooth that does not is wound, or joined, backwards."
    )
    flow.step(
        "Leads open: the rotor spins free. Each pair shorted in turn: the same drag. Driven by a drill: "
        "the three voltages within 3 %."
    )
    flow.step(
        "First run: rotor guarded, eyes protected, no load, supply limited to a small current. "
        f"{DIRECTION}."
    )


def voltage_caution(supply: float) -> str:
    """Return the caution about voltage, from a supply in V or the turning rotor."""
    words = (
        f"Above {TOUCH_VOLTAGE:g} V DC, from the supply or from a rotor that is turned, local rules "
        "apply: let a qualified person do it. A turning motor makes voltage."
    )
    if supply > TOUCH_VOLTAGE:
        words += f" This supply has {plain(supply)} V."
    return words
