"""Steps: turn the axle, and fit the bearings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.page.model import Blank, Caution, Do, Figure, Step
from recipes.seats.fit import seat_fits_of, seat_places
from recipes.seats.steps import COMPOUND, FILING, seat_steps
from recipes.seats.warm_fit import CAUTION, FREEZER
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.units import format_number

if TYPE_CHECKING:
    from recipes.page.book import Book


def axle_step(book: Book) -> Step:
    """Return the step."""
    job = book.job
    seats = seat_steps(job)
    return Step(
        "axle",
        "Axle",
        "Done when bearings and stack go on by a push of the hand, and no edge near the leads leaves a thread.",
        (
            Do("Have both bearings and the glued stack on the bench first: they are the gauges."),
            Caution("Lathe: no gloves, no sleeves, hair tied, key out of the chuck, guard down. Chips cut: hook or "
                    "brush, never fingers."),
            *(Do(f"{n[0].upper()}{n[1:].rstrip('.')}.") for n in job.parts["axle"][0].notes),
            *(Do(words) for words in seats[0]),
            *(Do(steps[0] + " The same way.") for steps in seats[1:]),
            Do(FILING),
            Caution(COMPOUND),
            Caution("A sharp edge at slot or bore cuts the leads, and a phase that touches a Hall wire kills sensor "
                    "and controller: round both mouths, sleeve the bundle."),
            Caution("An axle that carries a person, on the road or at a machine: have it checked by somebody competent, "
                    "fit a torque arm, obey the rules that apply. The safety here is an estimate."),
        ),
        files=tuple(p for p in book.paths("axle", folder="draw/") if p.endswith(".pdf")),
        figures=(*_seats(book), *_stator_seat(book), *_safety(book)),
    )  # fmt: skip


def _seats(book: Book) -> tuple[Figure, ...]:
    found = []
    fits = zip(seat_fits_of(book.job), seat_places(book.job), strict=True)
    for k, (fit, place) in enumerate(fits, 1):
        found.append(
            book.figure(
                f"{place}, {fit.limits.fit}",
                (book.amount(f"seat_{k}_max_mm", 3), " to ", book.amount(f"seat_{k}_min_mm", 3)), "mm",
                sure="standard", source=fit.limits.source,
                fields=(f"axle.seats[{k}].fit", f"axle.seats[{k}].from_face", "axle.bearing"),
                blanks=(Blank(f"seat_{k}", f"seat {k}", "mm"),),
            )
        )  # fmt: skip
    return tuple(found)


def _stator_seat(book: Book) -> tuple[Figure, ...]:
    lam, seat = book.job.design.lamination, book.job.design.axle.stator_seat
    try:
        limits = fit_limits(lam.bore_diameter, seat.fit)
    except TableError:
        return ()
    return (
        book.figure(
            f"stator seat, {seat.fit}: or to the measured bore",
            (f"{format_number(limits.max_size_mm, 3)} to {format_number(limits.min_size_mm, 3)}",), "mm",
            sure="standard", source=limits.source, fields=("axle.stator_seat.fit", "lamination.bore_diameter"),
            blanks=(Blank("stator_seat", "stator seat", "mm"),),
        ),
    )  # fmt: skip


def _safety(book: Book) -> tuple[Figure, ...]:
    fields = ("axle.material", "axle.load.force", "axle.load.torque", "axle.bore_diameter")
    if "axle_safety_factor" not in book.results:  # no load is given: a finding says so
        return ()
    return (
        book.figure("yield strength of the bar", book.amount("axle_yield_MPa", 0), "MPa",
                    sure="standard" if book.job.design.axle.yield_strength is None else "yours",
                    source=f"{book.results['axle_steel']}: least of its standard, or your certificate",
                    fields=("axle.material", "axle.yield_strength"), blanks=(Blank("bar", "bar, heat or certificate", wide=True),)),
        book.figure("least safety against yielding", book.amount("axle_safety_factor", 2),
                    source="von Mises at the notch; an estimate", fields=fields),
    )  # fmt: skip


def bearings_step(book: Book) -> Step:
    """Return the step of fitting the bearings."""
    warm = "warm_fit_bearing_c" in book.results
    cold = "warm_fit_axle_c" in book.results
    heat: tuple[Do | Caution, ...] = (
        (
            Caution(CAUTION),
            Do("Warm the bearing to the temperature below and slide it on at once"
               + (f", the axle from a freezer at {FREEZER:g} °C." if cold else ".")),
        )
        if warm
        else ()
    )  # fmt: skip
    return Step(
        "bearings",
        "Bearings",
        "Done when both turn as freely as before they were fitted, and nothing rocks.",
        (
            Do("Pull the leads through the axle before the second bearing closes the way."),
            Do("Outer ring turns, inner ring stands: it sits tight in the hub and may slide on the axle."),
            Do("Press only on the ring that is being fitted, square, with a sleeve of its diameter."),
            *heat,
            Caution("Never strike a bearing: hardened rings splinter into eyes. Eye protection."),
            Do("Turn each by hand: gritty or stiff means dirt or a bent seal; take it off and look."),
        ),
        figures=(*_fits(book), *_housing(book), *_heat(book)),
    )  # fmt: skip


def _fits(book: Book) -> tuple[Figure, ...]:
    return tuple(
        book.figure(
            f"seat {k}: play to tightness",
            (book.amount(f"seat_{k}_clearance_most_um", 0), " µm loose to ", book.amount(f"seat_{k}_interference_most_um", 0), " µm tight"),
            sure="standard", source="ISO 286-2 and ISO 492, Normal class", fields=(f"axle.seats[{k}].fit",),
        )
        for k in range(1, len(book.job.design.axle.seats) + 1)
    )  # fmt: skip


def _housing(book: Book) -> tuple[Figure, ...]:
    if "housing_fit" not in book.results:
        return ()
    return (
        book.figure(f"bore of the hub, {book.results['housing_fit']}", (book.amount("housing_min_mm", 3), " to ",
                    book.amount("housing_max_mm", 3)), "mm", sure="standard",
                    source="JIS B 1566, DIN 5425-1: the turning ring sits tight; limits ISO 286-2", fields=("axle.bearing",),
                    blanks=(Blank("hub_1", "hub bore, lead side", "mm"), Blank("hub_2", "hub bore, far side", "mm"))),
    )  # fmt: skip


def _heat(book: Book) -> tuple[Figure, ...]:
    found = [
        book.figure("hottest that the bearing may get", book.amount("bearing_heat_limit_c", 0), "°C",
                    source="bearing makers: 120 open, 100 with grease and seals, common practice", fields=("axle.grease_limit",)),
    ] if "bearing_heat_limit_c" in book.results else []  # fmt: skip
    if "warm_fit_bearing_c" in book.results:
        found.append(
            book.figure("warm the bearing to", book.amount("warm_fit_bearing_c", 0), "°C",
                        source="expansion 10.9e-6 / K, lowest published; play to slide by common practice",
                        fields=("axle.mounting_gap", "axle.seats[1].fit"))
        )  # fmt: skip
    return tuple(found)
