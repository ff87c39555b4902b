"""Warm fit: how hot a bearing must be to slide onto its seat, and what a cold axle adds.

    rise = (interference + mounting gap) / (expansion x diameter)

Expansion of bearing steel: makers quote 11 to 12.5e-6 / K; a published table of bore growth
(25 mm bore, 20 to 100 C: 0.0218 mm; scribd.com/doc/215986287) gives 10.9e-6. The lowest asks for
the most heat, so it is used. Ceiling: 120 C, common bearings (introtoindustrialmaintenance,
passetra.com); 100 C with shields or seals, or less by the maker (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import note, warn
from recipes.shaft.seat_fit import RingFit, recommended, ring_in_housing, seat_fits_of
from recipes.tables.reader import TableError

#: Lowest published expansion of bearing steel, 1/K; also used for the axle, whose steel is near.
EXPANSION = 10.9e-6

#: Hottest an open bearing, and one with grease in it, may get, degC.
OPEN_LIMIT, GREASED_LIMIT = 120.0, 100.0

#: A household freezer, degC.
FREEZER = -18.0

_SOURCE = "expansion 10.9e-6 / K, lowest published; ceiling by bearing makers"

CAUTION = (
    "Warm it in an oven or on a bearing heater with a thermometer, never in a flame; gloves, no open "
    "flame near grease. Push on the inner ring, hold it against its shoulder until it grips. A frozen "
    "axle burns bare skin and gathers dew: wipe and oil it."
)


@dataclass(frozen=True)
class WarmFit:
    """Temperatures that let one bearing slide on at worst case.

    Args:
        field: dotted name of the seat's fit.
        interference: most, mm.
        alone: temperature of the bearing with the axle at room temperature, degC.
        with_cold_axle: the same with the axle from a freezer, degC.
        limit: hottest that the bearing may get, degC.
    """

    field: str
    interference: float
    alone: float
    with_cold_axle: float
    limit: float


def rise(interference: float, gap: float, diameter: float, expansion: float = EXPANSION) -> float:
    """Return the rise of temperature in K that opens a bore by interference and gap, all in mm."""
    return (interference + gap) / (expansion * diameter)


def heat_limit(job: Job) -> float:
    """Return the hottest in degC that the bearings may get.

    Raises:
        Refused: no such bearing.
    """
    given = job.design.axle.grease_limit
    if given is not None:
        return given
    return OPEN_LIMIT if job.bearing.closure == "open" else GREASED_LIMIT


def shrink_fits_of(job: Job) -> tuple[WarmFit, ...]:
    """Return the warm fit of every seat that may come out tight.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    return tuple(_warm(job, fit) for fit in seat_fits_of(job) if fit.interference_most > 0)


def _warm(job: Job, fit: RingFit) -> WarmFit:
    room, size = job.design.winding.room_temperature, fit.limits.nominal_mm
    need = rise(fit.interference_most, job.design.axle.mounting_gap, size)
    alone, cold = room + need, FREEZER + need
    # a cold axle counts in full: both grow by the same share of the same diameter
    return WarmFit(fit.field, fit.interference_most, alone, max(room, cold), heat_limit(job))


def hub_temperature(job: Job) -> float | None:
    """Return how warm in degC a steel hub must be to take its bearing at worst; None if never tight.

    Raises:
        Refused: no such bearing.
    """
    try:
        fit = ring_in_housing(job.bearing, recommended()[1])
    except TableError:  # larger than the table: nothing to say
        return None
    if fit.interference_most <= 0:
        return None
    need = rise(fit.interference_most, job.design.axle.mounting_gap, fit.limits.nominal_mm)
    return job.design.winding.room_temperature + need


def shrink_fit_findings(job: Job) -> list[Finding]:
    """Say where heat alone is not enough, or no allowed temperature is.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    return [f for warm in shrink_fits_of(job) for f in _judge(warm)]


def _judge(warm: WarmFit) -> list[Finding]:
    if warm.alone <= warm.limit:
        return []
    um = 1000 * warm.interference
    if warm.with_cold_axle <= warm.limit:
        return [
            note(
                "warm-fit-cold-axle",
                warm.field,
                (
                    f"{warm.field}: at worst {um:.0f} um tight; heat alone would take {warm.alone:.0f} C, "
                    f"above the bearing's {warm.limit:g} C"
                ),
                value=warm.alone,
                limit=warm.limit,
                fix=(
                    f"if it does not push on by hand: axle at {FREEZER:g} C, bearing at "
                    f"{warm.with_cold_axle:.0f} C"
                ),
                source=_SOURCE,
                confidence="practice",
            )
        ]
    return [
        warn(
            "warm-fit-refused",
            warm.field,
            (
                f"{warm.field}: at worst {um:.0f} um tight; even with the axle at {FREEZER:g} C the bearing "
                f"would need {warm.with_cold_axle:.0f} C, above its {warm.limit:g} C: no warm fit"
            ),
            value=warm.with_cold_axle,
            limit=warm.limit,
            fix="use h6 or g6, or press it on cold with a sleeve on the inner ring only",
            source=_SOURCE,
            confidence="practice",
        )
    ]


def shrink_fit_results(job: Job) -> dict[str, float | int | str]:
    """Return the temperature of hub and tightest bearing, with the axle warm and cold; none if loose.

    A temperature above the bearing's limit is left out.

    Raises:
        Refused: no such bearing, or no such fit.
    """
    found, hub = shrink_fits_of(job), hub_temperature(job)
    results: dict[str, float | int | str] = {} if hub is None else {"warm_fit_hub_c": hub}
    if not found:
        return results
    worst = max(found, key=lambda w: w.alone)
    results["bearing_heat_limit_c"] = worst.limit
    if worst.alone <= worst.limit:
        results["warm_fit_bearing_c"] = worst.alone
    elif worst.with_cold_axle <= worst.limit:
        results |= {
            "warm_fit_bearing_c": worst.with_cold_axle,
            "warm_fit_axle_c": FREEZER,
        }
    return results
