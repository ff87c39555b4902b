"""The bench sheet for the lathe: limits and play of every seat, steps to size, warm fit, keys.

One part without anything to cut; its sheets are drawings for the printer, to be ticked off and
written on. Not said here: how a lathe is set up.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from geometry.drafting.sheet import table
from geometry.part import Part
from geometry.printing.page import live_box
from recipes.design.axle import Axle, Seat
from recipes.drawing_conventions import Imprint, inch_limits
from recipes.shaft.bearing_clearance import ClearanceLeft
from recipes.shaft.key_seat import KeySeats, key_seat_words
from recipes.shaft.seat_fit import (
    COMPOUND_GAP,
    RingFit,
    bar_measured,
    clean_diameter,
    compound_seat,
    seat_places,
    stock_to_work_down,
    which_ring_is_tight,
)
from recipes.shaft.sections import END_BELOW, SAME, Section
from recipes.shaft.shrink_fit import CAUTION, FREEZER, ShrinkFit
from recipes.tables.bearings import Bearing
from recipes.tables.fits import Limits, fit_limits
from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import outside_limits
from recipes.written_sheets import READING, Flow, numbered_sheets

# How a hand builder takes a bearing seat down to size: measure, take, try, the bearing as gauge.

#: Left on the diameter after roughing, and after the fine cuts, mm (common practice).
ROUGH_LEAVES, FINE_LEAVES = 0.5, 0.02

#: What one fine cut, and one pass of abrasive cloth, takes off the diameter, mm (common practice).
FINE_CUT, CLOTH = 0.1, 0.005

#: What one pass of a flat second-cut file right round takes off the diameter, mm, and what it leaves
#: to the cloth (common practice).
FILE_PASS, FILE_LEAVES = 0.05, 0.05

#: At the lathe (usual cautions).
LATHE = (
    "Lathe: eye protection, no gloves, no loose sleeves, long hair tied, key out of the chuck before "
    "the spindle turns. Stop the spindle to measure and to try the bearing."
)

#: Why each ring gets its class, by the ring that is tight (JIS B 1566, DIN 5425-1).
WHY: Final = {
    "outer": "The load stands still on the inner ring and runs round the outer ring. A ring that the load "
    "runs round creeps in its seat unless it is tight: so the hub is the tight one, and the bearings go "
    "onto the axle by hand. The wrong way round, the axle wears and the hub rattles.",
    "inner": "The load turns with the rotor: it stands still on the outer ring and runs round the inner "
    "ring. A ring that the load runs round creeps in its seat unless it is tight: so the axle is the tight "
    "one, and the outer rings may slide in the hub. The wrong way round, the axle wears.",
}

#: What a file can and cannot hold, in words (common practice).
FILING = (
    "A file holds 0.05 mm at best and leaves a seat out of round: file flats and slots, never a "
    "bearing seat. Abrasive cloth on a flat stick takes 0.005 mm at a time and keeps a turned seat "
    "round."
)

#: The same for an axle whose seats are to be filed (common practice).
FILED_SEATS = (
    "A file holds 0.05 mm at best and leaves a seat out of round: turn the work under the file, the "
    "same number of strokes all round, and leave the last 0.05 mm to abrasive cloth. A lathe does it "
    "better; a bearing on a filed seat wants retaining compound."
)


def fit_words(axle: Axle, left: ClearanceLeft | None) -> tuple[str, ...]:
    """Return why each ring has its class, what clearance the bearings need, and what a file can do."""
    tight = which_ring_is_tight(axle.load)
    thin = "In a thin or aluminium hub P7 instead of M7. " if tight == "outer" else ""
    clearance = (
        f"Bearings of clearance {left.group} (ISO 5753-1): {round(left.least)} to {round(left.most)} µm are left once "
        "both rings are fitted; below zero it is preload."
        if left
        else ""
    )
    return tuple(w for w in (WHY[tight], clearance, f"{thin}{filing_words(axle.seats)}") if w)


def filing_words(seats: Sequence[Seat]) -> str:
    """Return what a file can and cannot do, by the way in which the seats are made."""
    return FILED_SEATS if any(s.made == "filed" for s in seats) else FILING


#: Retaining compound, in words (maker data sheets, common practice).
COMPOUND = (
    f"Retaining compound holds a bearing on a seat that came out too small: {COMPOUND_GAP[0]:g} to "
    f"{COMPOUND_GAP[1]:g} mm play on the diameter (the thick kinds; look it up for yours), both faces free "
    "of grease, centred while it sets. It creeps: none may reach the balls or seals. It is freed with "
    "heat that the bearing does not survive. Wear gloves; read its safety sheet."
)


def steps_of_seats(
    fits: Sequence[RingFit], axle: Axle, thickest: float
) -> tuple[tuple[str, ...], ...]:
    """Return the steps of each seat, one sentence or two each, in the order of the design.

    Args:
        fits: of the bearings on their seats.
        axle: the axle as designed.
        thickest: largest diameter that is turned on it, mm.
    """
    places = seat_places(axle.seats)
    return tuple(
        _steps(f, p, s, axle, thickest) for f, p, s in zip(fits, places, axle.seats, strict=True)
    )


def _steps(fit: RingFit, place: str, seat: Seat, axle: Axle, thickest: float) -> tuple[str, ...]:
    top, low = fit.limits.max_size_mm, fit.limits.min_size_mm
    start = stock_to_work_down(axle)
    measure = (
        (_measure_bar(axle, thickest),)
        if axle.stock == "bar"
        else (_measure_tube(axle, top), *_free_end(seat, axle, top))
    )
    rough, fine = top + ROUGH_LEAVES, top + FINE_LEAVES
    return (
        f"Seat: {place}, for bearing {axle.bearing}: {top:.3f} to {low:.3f} mm ({fit.limits.fit}).",
        *measure,
        *(_strokes(start, top) if seat.made == "filed" else _cuts(start, rough, fine)),
        "Let it cool to the hand before each measurement: a seat 30 K warm measures "
        f"{30 * 11e-3 * top:.0f} µm too large.",
        f"From {top + FILE_LEAVES if seat.made == 'filed' else fine:.2f} mm on use abrasive cloth on a flat stick, about {1000 * CLOTH:.0f} µm a pass. "
        "Wipe, measure, try the bearing. Keep hands and sleeves clear of the chuck; hold the stick by "
        "its end, never wrap the cloth round the work.",
        "The bearing is the gauge: straight on, by hand pressure on its inner ring, no rocking. "
        f"Stop there. Do not go below {low:.3f} mm.",
        f"Came out below {low:.3f} mm: retaining compound takes up the play down to "
        f"{compound_seat(fit)[0]:.2f} mm, and holds best below {compound_seat(fit)[1]:.2f} mm; smaller "
        "still, make a sleeve or begin again.",
    )


def _measure_bar(axle: Axle, thickest: float) -> str:
    """Return how the bar is measured; `thickest`: largest diameter that is turned on it, mm."""
    measured = (
        f"as measured it turns clean to {clean_diameter(axle):.2f} mm"
        if bar_measured(axle)
        else "type both into the design file (axle.stock_least, axle.stock_runout)"
    )
    return (
        f"Measure the bar at both ends and the middle, two ways each ({axle.stock_diameter:g} mm wanted), "
        "and read a dial gauge along it as it turns. Least diameter less run-out must stay above "
        f"{thickest:g} mm, the thickest place; {measured}."
    )


def _measure_tube(axle: Axle, top: float) -> str:
    """Return how the tube is measured; `top`: largest size of the seat, mm."""
    least, most = outside_limits(axle)
    measured = axle.stock_least is not None and axle.stock_most is not None
    told = "as measured" if measured else "by its standard"
    spare = (
        "and type least and greatest into the design file (axle.stock_least, axle.stock_most)"
        if not measured
        else "again where the seats will be"
    )
    return (
        f"Measure the {axle.stock} at both ends and the middle, two ways each ({least:.2f} to {most:.2f} mm "
        f"{told}), {spare}. What comes off the diameter is your reading less {top:.3f} mm."
    )


def _free_end(seat: Seat, axle: Axle, top: float) -> tuple[str, ...]:
    """Return what is worked beyond a seat so that its bearing gets there; () for a seat at a face."""
    before, behind = seat.from_face, axle.length - seat.from_face - seat.length
    if min(before, behind) <= SAME:
        return ()
    face, long = ("A", before) if before < behind else ("B", behind)
    return (
        f"First the end beyond the seat, {long:g} mm from face {face}, to "
        f"{top - END_BELOW if axle.end_diameter is None else axle.end_diameter:.2f} mm or less: the bearing "
        "passes over it.",
    )


def _strokes(start: float, top: float) -> tuple[str, ...]:
    """Return the passes of a file from the skin of the stock to what the cloth takes, mm."""
    left = top + FILE_LEAVES
    if start <= left:
        return ("The stock is at size already: cloth only, if at all.",)
    passes = math.ceil((start - left) / FILE_PASS - 1e-6)
    half = math.ceil(passes / 2)
    return (
        "Wind tape or a hose clamp round both edges of the seat as a fence. Blacken the seat with a felt "
        "pen: the file shows where it bites.",
        f"Take {start - left:.2f} mm off the diameter with a flat file in about {passes} passes right "
        f"round, {FILE_PASS:g} mm a pass; the work turns on, the file lies flat. After {half} passes measure "
        f"in three directions, then after every third: high places first, to {left:.2f} mm.",
    )


def _cuts(start: float, rough: float, fine: float) -> tuple[str, ...]:
    """Return the cuts from the bar to what the cloth takes."""
    if start <= fine:
        return ("The bar is at size already: cloth only, if at all.",)
    if start <= rough:
        return (
            f"Take {start - fine:.2f} mm off the diameter in fine cuts of at most {FINE_CUT:g} mm, to "
            f"{fine:.2f} mm; measure after each.",
        )
    passes = round((rough - fine) / FINE_CUT)
    return (
        f"Take {start - rough:.2f} mm off the diameter in rough cuts, to {rough:.2f} mm; measure.",
        f"Take {rough - fine:.2f} mm in about {passes} fine cuts, to {fine:.2f} mm; measure after each.",
    )


# What hangs at the lathe: limits and play of every seat, heat for a tight one, keys; words and figures.


@dataclass(frozen=True)
class SeatRow:
    """One line of the table of seats.

    Args:
        name: such as "bearing seat 1".
        limits: class and limits.
        mate: what goes on or in, with its own limits.
        play: on the diameter in um: loosest and tightest, above 0 loose; None where the mate is
            measured.
    """

    name: str
    limits: Limits
    mate: str
    play: tuple[float, float] | None

    @property
    def play_words(self) -> str:
        """The play in words."""
        return " to ".join(_play(um) for um in self.play) if self.play else "as measured"

    def between(self, inches: bool) -> str:
        """Return both limits in words, behind inches if asked for."""
        high, low = self.limits.max_size_mm, self.limits.min_size_mm
        words = f"{high:.3f} and {low:.3f}"
        if not inches:
            return words
        return f"{' and '.join(inch_limits(high, low))}\n[{words}]"


def _play(um: float) -> str:
    if abs(um) < 0.5:
        return "none"
    return f"{abs(um):.0f} µm {'loose' if um > 0 else 'tight'}"


def seat_table(
    fits: Sequence[RingFit], hub: RingFit | None, ring: Bearing, axle: Axle, stator_bore: float
) -> tuple[SeatRow, ...]:
    """Return limits and play of bearing seats, stator seat and hub, in the order of the work.

    A seat that no table holds is left out; the rules of the axle say so.

    Args:
        fits, hub: of the bearings on their seats, and in the hub.
        ring: the bearing.
        axle: the axle as designed.
        stator_bore: nominal diameter of the stator seat, mm.
    """

    def row(name: str, fit: RingFit, what: str, size: float, upper: float, lower: float) -> SeatRow:
        mate = f"{what} of {axle.bearing}, {size + upper / 1000:.3f} to {size + lower / 1000:.3f}"
        play = 1000 * fit.clearance_most, -1000 * fit.interference_most
        return SeatRow(name, fit.limits, mate, play)

    bore = ring.bore_mm, ring.bore_upper_um, ring.bore_lower_um
    rows = [row(f"bearing seat {k}", fit, "bore", *bore) for k, fit in enumerate(fits, 1)]
    try:
        rows.append(_stack_row(axle, stator_bore))
    except TableError:
        return tuple(rows)
    if hub:
        outside = ring.outside_mm, ring.outside_upper_um, ring.outside_lower_um
        rows.append(row("hub, both bores", hub, "outside", *outside))
    return tuple(rows)


def _stack_row(axle: Axle, stator_bore: float) -> SeatRow:
    """Return the line of the stack's turned seat, or of the bought skin under it.

    Raises:
        TableError: the table does not hold this fit at this size.
    """
    turned, nominal = axle.stator_seat, axle.stock_diameter
    if turned is not None:
        mate = "the glued stack: measure its bore, turn the seat to that"
        return SeatRow("stator seat", fit_limits(stator_bore, turned.fit), mate, None)
    low, high = outside_limits(axle)
    limits = Limits(
        "none",
        "shaft",
        nominal,
        high - nominal,
        low - nominal,
        high,
        low,
        "standard",
        f"outside of the {axle.stock}",
    )
    mate = f"the glued stack, bore {stator_bore:.3f}: measure the {axle.stock} before the sheets are cut"
    return SeatRow("under the stack, as bought", limits, mate, None)


def steps_by_seat(
    steps: Sequence[tuple[str, ...]],
) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """Return (headings, steps) of the seats; seats of one class share their steps."""
    found: dict[tuple[str, ...], list[str]] = {}
    for first, *rest in steps:
        found.setdefault(tuple(rest), []).append(first)
    return tuple((tuple(heads), shared) for shared, heads in found.items())


def warm_steps(fits: Sequence[ShrinkFit], hub: float | None, room: float) -> tuple[str, ...]:
    """Return how warm each tight bearing, and the hub, must be; seats alike share a sentence.

    Args:
        fits: of the bearings that may come out tight.
        hub: temperature that lets the hub take its bearing, degC; None where it is never tight.
        room: temperature of the room, degC.
    """
    found: dict[str, list[str]] = {}
    for fit in fits:
        seat = fit.field.removesuffix(".fit").removeprefix("axle.seats[").rstrip("]")
        found.setdefault(_warm_words(fit, room), []).append(seat)
    steps = [
        f"{'Seats' if len(seats) > 1 else 'Seat'} {' and '.join(seats)}: {words}"
        for words, seats in found.items()
    ]
    if hub is not None:
        steps.append(
            f"Hub: warm the empty hub, not the bearing, to {hub:.0f}°C (steel; aluminium takes half the "
            "rise) and drop the bearing in cold, its outer ring square. Before any magnet or glue is in "
            "it: magnets lose strength for good when hot."
        )
    return tuple(steps)


def _warm_words(warm: ShrinkFit, room: float) -> str:
    start = f"at worst {1000 * warm.interference:.0f} µm tight. "
    if warm.alone <= warm.limit:
        return (
            f"{start}Warm the bearing to {warm.alone:.0f}°C, never above {warm.limit:g}°C; the axle "
            f"stays at {room:g}°C."
        )
    if warm.with_cold_axle <= warm.limit:
        return (
            f"{start}Heat alone would take {warm.alone:.0f}°C, above the bearing's {warm.limit:g}°C. "
            f"Axle from the freezer at {FREEZER:g}°C, bearing at {warm.with_cold_axle:.0f}°C; be quick."
        )
    return f"{start}No allowed temperature opens it: take the seat down with cloth, or choose h6 or g6."


def key_steps(seats: KeySeats | None) -> tuple[str, ...]:
    """Return how keys and their seats are made and fitted; () without keys."""
    if seats is None:
        return ()
    words = key_seat_words(seats)
    return (
        f"{words[0].upper()}{words[1:]}.",
        f"Try the key before the stack: it goes in with light taps and does not rock, and stands "
        f"{seats.proud:.2f} mm out on its middle line. Too tight: file the key, never the seat.",
        "Try the stack over the keys: it slides on by hand, no key touches the back of its notch.",
    )


def stack_steps(axle: Axle, sections: Sequence[Section]) -> tuple[str, ...]:
    """Return how the stack is set on an axle without a shoulder; () with one, which stops it."""
    if axle.shoulder is not None:
        return ()
    stack = next(s for s in sections if s.kind == "stator")
    held = {
        "glue": "Glue it: both faces bare and degreased, three strips of shim at even spacing keep it "
        "central, a stop on the mark keeps it square; do not move it until the glue is hard.",
        "clamp collars": "Push a split clamp collar with its insulating washer against each side and "
        "tighten both screws evenly, in turn, to the collar maker's torque; glue the stack as well.",
        "retaining rings": "Snap a retaining ring into the groove on each side, with eye protection: rings "
        "fly; rings hold no torque, so glue the stack as well.",
    }[axle.stack_held]
    return (
        f"Scribe where the stack begins, {stack.start:.2f} mm from face A; it ends at {stack.end:.2f} mm. "
        "Try it dry first: it goes over by hand.",
        held,
    )


#: Column widths of the table of seats, mm; the mate takes what is left.
NAME, FIT, LIMITS, PLAY = 27.0, 11.0, 37.0, 42.0


def seat_steps(
    rows: Sequence[SeatRow],
    steps: Sequence[tuple[str, ...]],
    warm: Sequence[str],
    keys: Sequence[str],
    words: Sequence[str],
    imprint: Imprint,
) -> tuple[Part, ...]:
    """Return the bench sheet as one part.

    Args:
        rows: of the table of seats.
        steps: of each seat.
        warm, keys: steps for tight bearings and for keys; () leaves their chapter out.
        words: below the table of seats.
        imprint: of the design.
    """
    flow = Flow(live_box(imprint.printer.page), imprint.said)
    _limits(flow, rows, words, imprint.inches)
    flow.title("Take off, measure, try", keep=30.0)
    flow.caution(LATHE)
    for headings, shared in steps_by_seat(steps):
        flow.need(30.0)
        for heading in headings:
            flow.sentence(_kept(heading), READING)
        _ticked(flow, shared)
    flow.title("If a seat came out too small", keep=20.0)
    flow.caution(_kept(COMPOUND))
    if warm:
        flow.title("If a bearing does not go on by hand", keep=30.0)
        flow.caution(CAUTION)
        _ticked(flow, warm)
    if keys:
        flow.title("Keys of the stack", keep=20.0)
        _ticked(flow, keys)
    _record(flow, rows)
    title = f"Bench sheet, seats: {imprint.name}"
    drawings = numbered_sheets(flow.sheets, title, imprint)
    return (
        Part(
            name="seat_steps",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={"sheets": len(drawings)},
            notes=("the bearing is the gauge; tick every step",),
            drawings=drawings,
        ),
    )


def _limits(flow: Flow, seats: Sequence[SeatRow], words: Sequence[str], inches: bool) -> None:
    flow.title("What each seat must measure", keep=40.0)
    rows = [
        (
            "seat",
            "class",
            "between (in) [mm]" if inches else "between (mm)",
            "what goes on it",
            "play on the diameter",
        )
    ]
    rows += [
        (r.name, r.limits.fit, r.between(inches), r.mate, _kept(flow.say(r.play_words)))
        for r in seats
    ]
    widths = (NAME, FIT, LIMITS, flow.width - NAME - FIT - LIMITS - PLAY, PLAY)
    laid = table(flow.left, flow.y, rows, widths=widths)
    flow.add(laid.items, laid.height + 3.0)
    for sentence in words:
        flow.sentence(_kept(sentence))


def _kept(words: str) -> str:
    """Return a sentence whose numbers stay on one line with their unit."""
    return re.sub(r"(\d) (mm|µm)\b", "\\1\u00a0\\2", words)


def _ticked(flow: Flow, steps: Sequence[str]) -> None:
    for step in steps:
        flow.step(_kept(step))


def _record(flow: Flow, seats: Sequence[SeatRow]) -> None:
    """Write an empty table for what was measured."""
    heads = (
        "seat",
        "bar",
        "after roughing",
        "after fine cuts",
        "at last",
        "bearing or stack tried",
    )
    rows = [heads, *((r.name, "", "", "", "", "") for r in seats)]
    first = 32.0
    widths = (first, *((flow.width - first) / (len(heads) - 1),) * (len(heads) - 1))
    flow.title("Measured (mm)", keep=table(flow.left, 0.0, rows, widths=widths).height + 2.0)
    laid = table(flow.left, flow.y, rows, widths=widths)
    flow.add(laid.items, laid.height)
