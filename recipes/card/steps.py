"""Figures and steps of the winding card: wire, pull, lengths, resistance, what to do and to mind."""

from __future__ import annotations

from geometry.sheet.table import table
from recipes.card.flow import Flow
from recipes.drawing_words import plain
from recipes.job import Job
from recipes.units import MM_PER_INCH
from recipes.winding.resistance import winding_resistance_of
from recipes.winding.turn_length import PHASE_TAIL
from recipes.winding.wire_order import tension_of, wire_order_of

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
    order, pull, r = wire_order_of(job), tension_of(job), winding_resistance_of(job)
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
    return " + ".join(str(n) for n in job.lay.turns_per_layer) + " turns"


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
    winding, order, pull = job.design.winding, wire_order_of(job), tension_of(job)
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
    flow.step(f"{how}. Pull {pull.least_N:.2g} to {pull.most_N:.2g}{_NBSP}N on each wire ({balance}): more stretches copper.")  # fmt: skip
    flow.step(
        f"The last turn comes up on the other side of the tooth. Leave {tail} "
        'and tag both tails with number and letter, such as "7 S" and "7 F".'
    )
    flow.step(
        "Before the next tooth: meter between coil and steel. Anything but an open circuit: unwind, "
        'find the bare spot, wind anew. Tick "clear" and write down the resistance of the coil.'
    )
