"""The bench sheet for the lathe: limits and play of every seat, steps to size, warm fit, keys.

One part without anything to cut; its sheets are drawings for the printer, to be ticked off and
written on. Not said here: how a lathe is set up.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from geometry.drafting.table import table
from geometry.part import Part
from geometry.printing.page import live_box
from recipes.design.units import MM_PER_INCH
from recipes.job import Job
from recipes.shaft.key_seat import key_seat_words
from recipes.shaft.seat_fit import (
    COMPOUND_GAP,
    RingFit,
    clean_diameter,
    compound_seat,
    largest_diameter,
    recommended,
    ring_in_housing,
    seat_fits_of,
    seat_places,
)
from recipes.shaft.shrink_fit import CAUTION, FREEZER, WarmFit, hub_temperature, shrink_fits_of
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.winding.card_tables import READING, Flow, numbered_sheets

# How a hand builder takes a bearing seat down to size: measure, take, try, the bearing as gauge.

#: Left on the diameter after roughing, and after the fine cuts, mm (common practice).
ROUGH_LEAVES, FINE_LEAVES = 0.5, 0.02

#: What one fine cut, and one pass of abrasive cloth, takes off the diameter, mm (common practice).
FINE_CUT, CLOTH = 0.1, 0.005

#: At the lathe (usual cautions).
LATHE = (
    "Lathe: eye protection, no gloves, no loose sleeves, long hair tied, key out of the chuck before "
    "the spindle turns. Stop the spindle to measure and to try the bearing."
)

#: Why each ring gets its class (JIS B 1566, DIN 5425-1).
WHY = (
    "The load stands still on the inner ring and runs round the outer ring. A ring that the load runs "
    "round creeps in its seat unless it is tight: so the hub is the tight one, and the bearings go onto "
    "the axle by hand. The wrong way round, the axle wears and the hub rattles."
)

#: What a file can and cannot hold, in words (common practice).
FILING = (
    "A file holds 0.05 mm at best and leaves a seat out of round: file flats and slots, never a "
    "bearing seat. Abrasive cloth on a flat stick takes 0.005 mm at a time and keeps a turned seat "
    "round."
)

#: Retaining compound, in words (maker data sheets, common practice).
COMPOUND = (
    f"Retaining compound holds a bearing on a seat that came out too small: {COMPOUND_GAP[0]:g} to "
    f"{COMPOUND_GAP[1]:g} mm play on the diameter (the thick kinds; look it up for yours), both faces free "
    "of grease, centred while it sets. It creeps: none may reach the balls or seals. It is freed with "
    "heat that the bearing does not survive. Wear gloves; read its safety sheet."
)


def seat_steps_steps(job: Job) -> tuple[tuple[str, ...], ...]:
    """Return the steps of each seat, one sentence or two each, in the order of the design.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    return tuple(
        _steps(job, fit, place)
        for fit, place in zip(seat_fits_of(job), seat_places(job), strict=True)
    )


def _steps(job: Job, fit: RingFit, place: str) -> tuple[str, ...]:
    axle, limits = job.design.axle, fit.limits
    start, top, low = axle.stock_diameter, limits.max_size_mm, limits.min_size_mm
    rough, fine = top + ROUGH_LEAVES, top + FINE_LEAVES
    return (
        f"Seat: {place}, for bearing {axle.bearing}: {top:.3f} to {low:.3f} mm ({limits.fit}).",
        f"Measure the bar at both ends and the middle, two ways each ({start:g} mm wanted), and read a "
        "dial gauge along it as it turns. Least diameter less run-out must stay above "
        f"{largest_diameter(job):g} mm, the thickest place{_measured(job)}.",
        *_cuts(start, rough, fine),
        "Let it cool to the hand before each measurement: a seat 30 K warm measures "
        f"{30 * 11e-3 * top:.0f} µm too large.",
        f"From {fine:.2f} mm on use abrasive cloth on a flat stick, about {1000 * CLOTH:.0f} µm a pass. "
        "Wipe, measure, try the bearing. Keep hands and sleeves clear of the chuck; hold the stick by "
        "its end, never wrap the cloth round the work.",
        "The bearing is the gauge: straight on, by hand pressure on its inner ring, no rocking. "
        f"Stop there. Do not go below {low:.3f} mm.",
        f"Came out below {low:.3f} mm: retaining compound takes up the play down to "
        f"{compound_seat(fit)[0]:.2f} mm, and holds best below {compound_seat(fit)[1]:.2f} mm; smaller "
        "still, make a sleeve or begin again.",
    )


def _measured(job: Job) -> str:
    """Return what the design file knows of the bar, in words."""
    axle = job.design.axle
    if axle.stock_least is None and axle.stock_runout is None:
        return "; type both into the design file (axle.stock_least, axle.stock_runout)"
    return f"; as measured it turns clean to {clean_diameter(job):.2f} mm"


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
        name, fit: such as "bearing seat 1" and "h6".
        largest, smallest: limits in mm.
        mate: what goes on or in, with its own limits.
        loosest, tightest: play on the diameter in um, above 0 loose; None where the mate is measured.
    """

    name: str
    fit: str
    largest: float
    smallest: float
    mate: str
    loosest: float | None
    tightest: float | None

    @property
    def play(self) -> str:
        """The play in words."""
        if self.loosest is None or self.tightest is None:
            return "as measured"
        return f"{_play(self.loosest)} to {_play(self.tightest)}"


def _play(um: float) -> str:
    if abs(um) < 0.5:
        return "none"
    return f"{abs(um):.0f} µm {'loose' if um > 0 else 'tight'}"


def seat_table(job: Job) -> tuple[SeatRow, ...]:
    """Return limits and play of bearing seats, stator seat and hub, in the order of the work.

    A seat that no table holds is left out; the rules of the axle say so.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    ring, axle = job.bearing, job.design.axle
    bore = (ring.bore_mm + ring.bore_upper_um / 1000, ring.bore_mm + ring.bore_lower_um / 1000)
    rows = [
        SeatRow(
            f"bearing seat {k}",
            fit.limits.fit,
            fit.limits.max_size_mm,
            fit.limits.min_size_mm,
            f"bore of {axle.bearing}, {bore[0]:.3f} to {bore[1]:.3f}",
            1000 * fit.clearance_most,
            -1000 * fit.interference_most,
        )
        for k, fit in enumerate(seat_fits_of(job), 1)
    ]
    try:
        stator = fit_limits(job.design.lamination.bore_diameter, axle.stator_seat.fit)
        rows.append(
            SeatRow(
                "stator seat",
                stator.fit,
                stator.max_size_mm,
                stator.min_size_mm,
                "the glued stack: measure its bore, turn the seat to that",
                None,
                None,
            )
        )
        hub = ring_in_housing(ring, recommended("outer")[1])
    except TableError:
        return tuple(rows)
    outside = (
        ring.outside_mm + ring.outside_upper_um / 1000,
        ring.outside_mm + ring.outside_lower_um / 1000,
    )
    rows.append(
        SeatRow(
            "hub, both bores",
            hub.limits.fit,
            hub.limits.max_size_mm,
            hub.limits.min_size_mm,
            f"outside of {axle.bearing}, {outside[0]:.3f} to {outside[1]:.3f}",
            1000 * hub.clearance_most,
            -1000 * hub.interference_most,
        )
    )
    return tuple(rows)


def steps_by_seat(job: Job) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """Return (headings, steps) of the seats; seats of one class share their steps.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    found: dict[tuple[str, ...], list[str]] = {}
    for first, *rest in seat_steps_steps(job):
        found.setdefault(tuple(rest), []).append(first)
    return tuple((tuple(heads), steps) for steps, heads in found.items())


def warm_steps(job: Job) -> tuple[str, ...]:
    """Return how warm each tight bearing, and the hub, must be; seats alike share a sentence.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    found: dict[str, list[str]] = {}
    for warm in shrink_fits_of(job):
        seat = warm.field.removesuffix(".fit").removeprefix("axle.seats[").rstrip("]")
        found.setdefault(_warm_words(job, warm), []).append(seat)
    seats_found = [
        f"{'Seats' if len(seats) > 1 else 'Seat'} {' and '.join(seats)}: {words}"
        for words, seats in found.items()
    ]
    return (*seats_found, *_hub_words(job))


def _hub_words(job: Job) -> tuple[str, ...]:
    """Return how warm the hub must be to take its bearings; () where they are never tight."""
    warm = hub_temperature(job)
    if warm is None:
        return ()
    return (
        f"Hub: warm the empty hub, not the bearing, to {warm:.0f}°C (steel; aluminium takes half the "
        "rise) and drop the bearing in cold, its outer ring square. Before any magnet or glue is in it: "
        "magnets lose strength for good when hot.",
    )


def _warm_words(job: Job, warm: WarmFit) -> str:
    room = job.design.winding.room_temperature
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


def key_steps(job: Job) -> tuple[str, ...]:
    """Return how keys and their seats are made and fitted; () without keys."""
    seats = job.key_seats
    if seats is None:
        return ()
    words = key_seat_words(job.key_seats)
    return (
        f"{words[0].upper()}{words[1:]}.",
        f"Try the key before the stack: it goes in with light taps and does not rock, and stands "
        f"{seats.proud:.2f} mm out on its middle line. Too tight: file the key, never the seat.",
        "Try the stack over the keys: it slides on by hand, no key touches the back of its notch.",
    )


#: Column widths of the table of seats, mm; the mate takes what is left.
NAME, FIT, LIMITS, PLAY = 27.0, 11.0, 37.0, 42.0


def seat_steps(job: Job) -> tuple[Part, ...]:
    """Return the bench sheet as one part.

    Raises:
        Refused: no such bearing or fit, or features of the axle overlap.
    """
    page = job.design.print.page
    flow = Flow(live_box(page))
    _limits(job, flow)
    _seats(job, flow)
    _heat(job, flow)
    _keys(job, flow)
    _record(job, flow)
    title = f"Bench sheet, seats: {job.design.name}"
    drawings = numbered_sheets(flow.sheets, title, page, job.revision)
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


def _limits(job: Job, flow: Flow) -> None:
    flow.title("What each seat must measure", keep=40.0)
    inches = job.design.units == "in"
    rows = [("seat", "class", "between (mm)", "what goes on it", "play on the diameter")]
    rows += [(r.name, r.fit, _between(r, inches), r.mate, _kept(r.play)) for r in seat_table(job)]
    widths = (NAME, FIT, LIMITS, flow.width - NAME - FIT - LIMITS - PLAY, PLAY)
    laid = table(flow.left, flow.y, rows, widths=widths)
    flow.add(laid.items, laid.height + 3.0)
    flow.sentence(WHY)
    flow.sentence(
        f"In a thin or aluminium hub, or with light load, K7 instead of N7. {FILING}"
        if any(r.fit == "N7" for r in seat_table(job))
        else FILING
    )


def _between(row: SeatRow, inches: bool) -> str:
    words = f"{row.largest:.3f} and {row.smallest:.3f}"
    if not inches:
        return words
    return f"{words}\n[{row.largest / MM_PER_INCH:.4f} and {row.smallest / MM_PER_INCH:.4f}]"


def _kept(words: str) -> str:
    """Return a sentence whose numbers stay on one line with their unit."""
    return re.sub(r"(\d) (mm|µm)\b", "\\1\u00a0\\2", words)


def _seats(job: Job, flow: Flow) -> None:
    flow.title("Take off, measure, try", keep=30.0)
    flow.caution(LATHE)
    for headings, steps in steps_by_seat(job):
        flow.need(30.0)
        for heading in headings:
            flow.sentence(_kept(heading), READING)
        for step in steps:
            flow.step(_kept(step))
    flow.title("If a seat came out too small", keep=20.0)
    flow.caution(_kept(COMPOUND))


def _heat(job: Job, flow: Flow) -> None:
    steps = warm_steps(job)
    if not steps:
        return
    flow.title("If a bearing does not go on by hand", keep=30.0)
    flow.caution(CAUTION)
    for step in steps:
        flow.step(_kept(step))


def _keys(job: Job, flow: Flow) -> None:
    steps = key_steps(job)
    if not steps:
        return
    flow.title("Keys of the stack", keep=20.0)
    for step in steps:
        flow.step(_kept(step))


def _record(job: Job, flow: Flow) -> None:
    """Write an empty table for what was measured."""
    heads = (
        "seat",
        "bar",
        "after roughing",
        "after fine cuts",
        "at last",
        "bearing or stack tried",
    )
    rows = [heads, *((r.name, "", "", "", "", "") for r in seat_table(job))]
    first = 32.0
    rest = (flow.width - first) / (len(heads) - 1)
    laid = table(flow.left, 0.0, rows, widths=(first, *(rest,) * (len(heads) - 1)))
    flow.title("Measured (mm)", keep=laid.height + 2.0)
    laid = table(flow.left, flow.y, rows, widths=(first, *(rest,) * (len(heads) - 1)))
    flow.add(laid.items, laid.height)
