"""How a hand builder takes a bearing seat down to size: measure, take, try, the bearing as gauge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.seats.fit import (
    COMPOUND_GAP,
    RingFit,
    clean_diameter,
    compound_seat,
    largest_diameter,
    seat_fits_of,
    seat_places,
)

if TYPE_CHECKING:
    from recipes.job import Job

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


def seat_steps(job: Job) -> tuple[tuple[str, ...], ...]:
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
