"""What hangs at the lathe: limits and play of every seat, heat for a tight one, keys; words and figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from recipes.axle.key_rules import key_seat_words
from recipes.axle.key_seat import key_seats_of
from recipes.axle.sections import axle_bearing
from recipes.seats.fit import recommended, ring_in_housing, seat_fits_of
from recipes.seats.steps import seat_steps
from recipes.seats.warm_fit import FREEZER, WarmFit, hub_temperature, warm_fits_of
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError

if TYPE_CHECKING:
    from recipes.job import Job


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
    ring, axle = axle_bearing(job), job.design.axle
    bore = (ring.bore_mm + ring.bore_upper_um / 1000, ring.bore_mm + ring.bore_lower_um / 1000)
    rows = [
        SeatRow(
            f"bearing seat {k}", fit.limits.fit, fit.limits.max_size_mm, fit.limits.min_size_mm,
            f"bore of {axle.bearing}, {bore[0]:.3f} to {bore[1]:.3f}",
            1000 * fit.clearance_most, -1000 * fit.interference_most,
        )
        for k, fit in enumerate(seat_fits_of(job), 1)
    ]  # fmt: skip
    try:
        stator = fit_limits(job.design.lamination.bore_diameter, axle.stator_seat.fit)
        rows.append(
            SeatRow(
                "stator seat", stator.fit, stator.max_size_mm, stator.min_size_mm,
                "the glued stack: measure its bore, turn the seat to that", None, None,
            )
        )  # fmt: skip
        hub = ring_in_housing(ring, recommended("outer")[1])
    except TableError:
        return tuple(rows)
    outside = (
        ring.outside_mm + ring.outside_upper_um / 1000,
        ring.outside_mm + ring.outside_lower_um / 1000,
    )
    rows.append(
        SeatRow(
            "hub, both bores", hub.limits.fit, hub.limits.max_size_mm, hub.limits.min_size_mm,
            f"outside of {axle.bearing}, {outside[0]:.3f} to {outside[1]:.3f}",
            1000 * hub.clearance_most, -1000 * hub.interference_most,
        )
    )  # fmt: skip
    return tuple(rows)


def steps_by_seat(job: Job) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """Return (headings, steps) of the seats; seats of one class share their steps.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    found: dict[tuple[str, ...], list[str]] = {}
    for first, *rest in seat_steps(job):
        found.setdefault(tuple(rest), []).append(first)
    return tuple((tuple(heads), steps) for steps, heads in found.items())


def warm_steps(job: Job) -> tuple[str, ...]:
    """Return how warm each tight bearing, and the hub, must be; seats alike share a sentence.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    found: dict[str, list[str]] = {}
    for warm in warm_fits_of(job):
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
    seats = key_seats_of(job)
    if seats is None:
        return ()
    words = key_seat_words(job)
    return (
        f"{words[0].upper()}{words[1:]}.",
        f"Try the key before the stack: it goes in with light taps and does not rock, and stands "
        f"{seats.proud:.2f} mm out on its middle line. Too tight: file the key, never the seat.",
        "Try the stack over the keys: it slides on by hand, no key touches the back of its notch.",
    )
