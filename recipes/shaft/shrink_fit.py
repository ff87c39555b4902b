"""Shrink fit: how hot a bearing must be to slide onto its seat, and what a cold axle adds.

    rise = (interference + mounting gap) / (expansion x diameter)

Expansion of bearing steel: makers quote 11 to 12.5e-6 / K; a published table of bore growth
(25 mm bore, 20 to 100 C: 0.0218 mm; scribd.com/doc/215986287) gives 10.9e-6. The lowest asks for
the most heat, so it is used. Ceiling: 120 C, common bearings (introtoindustrialmaintenance,
passetra.com); 100 C with shields or seals, or less by the maker (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.finding import Finding
from recipes.refusal import note, warn
from recipes.shaft.seat_fit import RingFit
from recipes.tables.bearings import Bearing

#: Lowest published expansion of bearing steel, 1/K; also used for the axle, whose steel is near.
EXPANSION = 10.9e-6

#: Hottest an open bearing, and one with grease in it, may get, degC.
OPEN_LIMIT, GREASED_LIMIT = 120.0, 100.0

#: A household freezer, degC.
FREEZER = -18.0

CAUTION = (
    "Warm it in an oven or on a bearing heater with a thermometer, never in a flame; gloves, no open "
    "flame near grease. Push on the inner ring, hold it against its shoulder until it grips. A frozen "
    "axle burns bare skin and gathers dew: wipe and oil it."
)


@dataclass(frozen=True)
class ShrinkFit:
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


def heat_limit(ring: Bearing, grease_limit: float | None) -> float:
    """Return the hottest in degC that a bearing may get: as given, else by its closure."""
    if grease_limit is not None:
        return grease_limit
    return OPEN_LIMIT if ring.closure == "open" else GREASED_LIMIT


def shrink_fits(
    fits: Sequence[RingFit], gap: float, room: float, limit: float
) -> tuple[ShrinkFit, ...]:
    """Return the shrink fit of every seat that may come out tight.

    Args:
        fits: of the bearings on their seats.
        gap: play on the diameter that a warm bearing needs to slide on, mm.
        room: temperature of the room, degC.
        limit: hottest that the bearing may get, degC.
    """
    found = []
    for fit in fits:
        if fit.interference_most > 0:
            need = rise(fit.interference_most, gap, fit.limits.nominal_mm)
            # a cold axle counts in full: both grow by the same share of the same diameter
            cold = max(room, FREEZER + need)
            found.append(ShrinkFit(fit.field, fit.interference_most, room + need, cold, limit))
    return tuple(found)


def hub_temperature(hub: RingFit | None, gap: float, room: float) -> float | None:
    """Return how warm in degC a steel hub must be to take its bearing at worst; None if never tight.

    Args: as those of `shrink_fits`; `hub` is None for a bearing beyond the table.
    """
    if hub is None or hub.interference_most <= 0:
        return None
    return room + rise(hub.interference_most, gap, hub.limits.nominal_mm)


def shrink_fit_findings(fits: Sequence[ShrinkFit]) -> list[Finding]:
    """Say where heat alone is not enough, or no allowed temperature is."""
    found = []
    for fit in fits:
        tight = f"{fit.field}: at worst {1000 * fit.interference:.0f} um tight"
        source = "expansion 10.9 um per m and K, lowest published; ceiling by bearing makers"
        if fit.alone > fit.limit >= fit.with_cold_axle:
            found.append(
                note(
                    "warm-fit-cold-axle",
                    fit.field,
                    f"{tight}; heat alone would take {fit.alone:.0f} C, above the bearing's {fit.limit:g} C",
                    value=fit.alone,
                    limit=fit.limit,
                    fix=f"if it does not push on by hand: axle at {FREEZER:g} C, bearing at "
                    f"{fit.with_cold_axle:.0f} C",
                    source=source,
                    confidence="practice",
                )
            )
        elif fit.alone > fit.limit:
            found.append(
                warn(
                    "warm-fit-refused",
                    fit.field,
                    f"{tight}; even with the axle at {FREEZER:g} C the bearing would need "
                    f"{fit.with_cold_axle:.0f} C, above its {fit.limit:g} C: no warm fit",
                    value=fit.with_cold_axle,
                    limit=fit.limit,
                    fix="use h6 or g6, or press it on cold with a sleeve on the inner ring only",
                    source=source,
                    confidence="practice",
                )
            )
    return found


def shrink_fit_results(
    fits: Sequence[ShrinkFit], hub: float | None
) -> dict[str, float | int | str]:
    """Return the temperature of hub and tightest bearing, with the axle warm and cold; none if loose.

    A temperature above the bearing's limit is left out.
    """
    results: dict[str, float | int | str] = {} if hub is None else {"warm_fit_hub_C": hub}
    if not fits:
        return results
    worst = max(fits, key=lambda f: f.alone)
    results["bearing_heat_limit_C"] = worst.limit
    if worst.alone <= worst.limit:
        results["warm_fit_bearing_C"] = worst.alone
    elif worst.with_cold_axle <= worst.limit:
        results |= {"warm_fit_bearing_C": worst.with_cold_axle, "warm_fit_axle_C": FREEZER}
    return results
