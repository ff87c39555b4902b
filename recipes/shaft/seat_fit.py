"""Play of the bearings on their seats, least and most, and how much to take off the bar.

                bore of the bearing: nominal, or smaller (ISO 492)
      +------------------------------+
      |   ISO 492   bore_upper = 0 --+---- most bore  ---.
      |             bore_lower     --+---- least bore --.|
    --+------------------------------+                  ||
      | shaft: upper limit (ISO 286) --> interference: upper limit less least bore
      | shaft: lower limit           --> clearance: most bore less lower limit

The axle stands still. A force that keeps its direction stands still on the inner ring and runs round
the outer one; a force that turns with the rotor (unbalance) stands still on the outer ring and runs
round the inner one. The ring that the load runs round sits tight, the other may slide.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geometry.finding import Finding
from recipes.design.axle import Axle, Load, Seat
from recipes.refusal import Refused, finding, stop, warn
from recipes.shaft.sections import AS_BOUGHT, SAME, Section
from recipes.tables.bearings import Bearing
from recipes.tables.fits import Limits, fit_limits
from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import outside_limits


@dataclass(frozen=True)
class LoadedFits:
    """Classes of seat and hub for one kind of load, light as in hand-built motors.

    Args:
        tight: ring that the load runs round.
        shaft, housing: usual classes, small bearings.
        shafts, housings: all that will do.
    """

    tight: Literal["inner", "outer"]
    shaft: str
    housing: str
    shafts: tuple[str, ...]
    housings: tuple[str, ...]


#: Ball bearings up to 100 mm bore: inner ring stands in relation to the load g6, h6, else h5 (light,
#: up to 18 mm), j6, k5; outer ring turns in relation to the load M7 (light), N7 (normal), P7 (heavy),
#: else H7 (JIS B 1566, DIN 5425-1, makers' tables; js6 stands for j6, which our table lacks).
STANDING_LOAD = LoadedFits("outer", "h6", "M7", ("g6", "h5", "h6"), ("M7", "N7", "P7"))
TURNING_LOAD = LoadedFits("inner", "js6", "H7", ("js6", "k5", "k6"), ("H7", "K7"))
SMALL_TURNING_LOAD = replace(TURNING_LOAD, shaft="h5", shafts=("h5", *TURNING_LOAD.shafts))

#: Largest bore at which h5 still holds a ring that a light load runs round, mm (makers' tables).
H5_UP_TO = 18.0


def which_ring_is_tight(load: Load) -> Literal["inner", "outer"]:
    """Return the ring that the load runs round."""
    return "inner" if load.action == "turns" else "outer"


def fits_by_load(load: Load, bore: float) -> LoadedFits:
    """Return which ring of a bearing of this bore in mm sits tight under a load, and the classes."""
    if load.action != "turns":
        return STANDING_LOAD
    return SMALL_TURNING_LOAD if bore <= H5_UP_TO else TURNING_LOAD


#: Tolerance on the diameter that ways of working hold, mm (common practice).
HOLDS = {"filed": 0.05, "turned": 0.01, "ground": 0.005}

#: Play on the diameter that retaining compound bridges, mm: 0.002 to 0.005 in for most strength
#: (gobearings.com, adhesive grooves); thick kinds bridge 0.15 mm (common practice).
COMPOUND_GAP = (0.05, 0.15)


@dataclass(frozen=True)
class RingFit:
    """A bearing ring on its seat or in its housing.

    Args:
        field: dotted name of the seat in the design file, "" for the housing.
        limits: of the axle or of the hole, ISO 286.
        clearance_most, interference_most: on the diameter, mm; below 0: it is always the other.
    """

    field: str
    limits: Limits
    clearance_most: float
    interference_most: float


def ring_on_shaft(ring: Bearing, fit: str, field: str = "") -> RingFit:
    """Return the play of a bearing's bore on a shaft of class `fit`.

    Raises:
        TableError: the table does not hold this fit at this size.
    """
    limits = fit_limits(ring.bore_mm, fit)
    return RingFit(
        field,
        limits,
        ring.bore_upper_um / 1000.0 - limits.lower_mm,
        limits.upper_mm - ring.bore_lower_um / 1000.0,
    )


def ring_in_housing(ring: Bearing, fit: str) -> RingFit:
    """Return the play of a bearing's outside in a housing of class `fit`.

    Raises:
        TableError: the table does not hold this fit at this size.
    """
    limits = fit_limits(ring.outside_mm, fit)
    return RingFit(
        "",
        limits,
        limits.upper_mm - ring.outside_lower_um / 1000.0,
        ring.outside_upper_um / 1000.0 - limits.lower_mm,
    )


def seat_fits(ring: Bearing, seats: Sequence[Seat]) -> tuple[RingFit, ...]:
    """Return the play of the bearing on each seat, in the order of the design.

    Raises:
        Refused: no such fit; the rules of the axle say the same.
    """
    found = []
    for k, seat in enumerate(seats, 1):
        field = f"axle.seats[{k}].fit"
        try:
            found.append(ring_on_shaft(ring, seat.fit, field))
        except TableError as error:
            raise Refused(
                stop(
                    "no-such-fit",
                    field,
                    f"{field} = {seat.fit!r}: {error}",
                    value=ring.bore_mm,
                    fix="use a diameter of the table: lamwright lookup fit lists them",
                    source="ISO 286-2",
                )
            ) from None
    return tuple(found)


def hub_fit(ring: Bearing, axle: Axle) -> RingFit | None:
    """Return the play of the bearing in the bore of the hub; None beyond the table.

    Of the class that the design gives, else of the usual one for its load.
    """
    try:
        return ring_in_housing(ring, axle.hub_fit or fits_by_load(axle.load, ring.bore_mm).housing)
    except TableError:
        return None


def seat_fit_findings(fits: Sequence[RingFit], hub: RingFit | None, axle: Axle) -> list[Finding]:
    """Judge the class of each seat and of the hub by the load, and the way each seat is made."""
    if not fits:
        return []
    asked = fits_by_load(axle.load, fits[0].limits.nominal_mm)
    found = [
        f
        for fit, seat in zip(fits, axle.seats, strict=True)
        for f in (*_class(fit, asked), *_made(fit, seat.made))
    ]
    return [*found, *_hub_class(hub, asked)] if hub and axle.hub_fit else found


_BY_LOAD = "JIS B 1566, DIN 5425-1; the ring that turns against the load sits tight"


def _class(fit: RingFit, asked: LoadedFits) -> Iterator[Finding]:
    """The inner ring sits tight where the load runs round it, and else need not."""
    name, most = fit.limits.fit, fit.interference_most
    if name in asked.shafts:
        return
    if asked.tight == "inner":
        yield warn(
            "loose-turning-ring",
            fit.field,
            f"{fit.field} = {name!r}: up to {1000 * fit.clearance_most:.0f} um loose, but a load that turns "
            "with the rotor (axle.load.action) runs round the inner ring: it creeps on the axle and "
            "wears it",
            value=name,
            limit=asked.shaft,
            fix=f"use {asked.shaft}; the outer ring may slide in the hub, {asked.housing}",
            source=_BY_LOAD,
        )
        return
    yield finding(
        "note" if name == "js6" else "warn",
        "tight-standing-ring",
        fit.field,
        f"{fit.field} = {name!r}: up to {1000 * most:.0f} um interference on the ring that the load "
        "stands still on; it need not be tight, and it takes play out of the bearing",
        value=name,
        limit=asked.shaft,
        fix=f"use {asked.shaft}, or g6 where the ring must slide; the hub's bore is the tight one, "
        f"{asked.housing}",
        source=_BY_LOAD,
    )


def _hub_class(hub: RingFit, asked: LoadedFits) -> Iterator[Finding]:
    """The outer ring sits tight in the hub where the load runs round it, and else may slide."""
    name = hub.limits.fit
    if name in asked.housings:
        return
    loose = asked.tight == "outer"
    yield finding(
        "warn" if loose else "note",
        "loose-turning-ring" if loose else "tight-standing-ring",
        "axle.hub_fit",
        f"axle.hub_fit = {name!r}: the load "
        + (
            f"runs round the outer ring, which is up to {1000 * hub.clearance_most:.0f} um loose: it creeps "
            "and wears the hub"
            if loose
            else f"stands still on the outer ring, which is up to {1000 * hub.interference_most:.0f} um tight: "
            "neither ring can slide when the axle grows warm"
        ),
        value=name,
        limit=asked.housing,
        fix=f"use {asked.housing}",
        source=_BY_LOAD,
    )


def _made(fit: RingFit, made: str) -> Iterator[Finding]:
    wide, holds = fit.limits.upper_mm - fit.limits.lower_mm, HOLDS[made]
    where, (low, high) = fit.field.removesuffix(".fit"), compound_seat(fit)
    fix = "have it turned or ground" if made == "filed" else "grind it, or choose a wider grade"
    if holds > wide + SAME:
        yield warn(
            "seat-not-held",
            f"{where}.made",
            f"{where}.made = {made!r} holds about {holds:g} mm on the diameter, the seat asks for "
            f"{wide:.3f} mm: file flats and slots only",
            value=holds,
            limit=wide,
            fix=f"{fix}; or make it {low:.2f} to {high:.2f} mm and set the bearing in retaining compound",
            source="common practice",
            confidence="practice",
        )


def compound_seat(fit: RingFit) -> tuple[float, float]:
    """Return the least and greatest diameter in mm of a seat for retaining compound."""
    return fit.limits.nominal_mm - COMPOUND_GAP[1], fit.limits.nominal_mm - COMPOUND_GAP[0]


def clean_diameter(axle: Axle) -> float:
    """Return the largest cylinder in mm that the bar turns to: its least diameter less its runout.

    A bar whose surface runs out by r (dial reading, twice its eccentricity) is cut clean r below
    its diameter.
    """
    least = axle.stock_diameter if axle.stock_least is None else axle.stock_least
    return least - (axle.stock_runout or 0.0)


def stock_to_work_down(axle: Axle) -> float:
    """Return the diameter in mm from which a seat is worked down: of a tube the most it may measure."""
    return axle.stock_diameter if axle.stock == "bar" else outside_limits(axle)[1]


def bar_measured(axle: Axle) -> bool:
    """Tell whether the bar was measured, its diameter or how far it runs out."""
    return axle.stock_least is not None or axle.stock_runout is not None


def bar_findings(axle: Axle, sections: Sequence[Section]) -> list[Finding]:
    """Is the bar as measured large and true enough? Its nominal size is judged with the axle."""
    worked = [s for s in sections if s.field != AS_BOUGHT]
    if axle.stock != "bar" or not worked:
        return []  # a tube keeps its skin: `tube_rules`
    largest, clean = max(worked, key=lambda s: s.diameter), clean_diameter(axle)
    if not bar_measured(axle) or clean >= largest.diameter - SAME:
        return []
    short = largest.diameter - clean
    true = clean + (axle.stock_runout or 0.0) >= largest.diameter - SAME
    field = "axle.stock_runout" if true else "axle.stock_least"
    fix = (
        f"straighten it, or set it up to run out {(axle.stock_runout or 0.0) - short:.2f} mm or less; "
        "or use thicker stock"
        if true
        else f"use stock that measures {largest.diameter + (axle.stock_runout or 0.0):.2f} mm or more"
    )
    return [
        stop(
            "stock-out-of-true" if true else "stock-under-size",
            field,
            (
                f"{field}: the bar turns clean to {clean:.2f} mm, {short:.2f} mm below the "
                f"{largest.diameter:g} mm of {largest.field}"
            ),
            value=clean,
            limit=largest.diameter,
            fix=fix,
        )
    ]


def seat_fit_results(
    fits: Sequence[RingFit], hub: RingFit | None, stock_diameter: float
) -> dict[str, float | int | str]:
    """Return play on the seats and in the hub, and what comes off the bar of `stock_diameter` mm."""
    results: dict[str, float | int | str] = {}
    for k, fit in enumerate(fits, 1):
        results |= {
            f"seat_{k}_max_mm": fit.limits.max_size_mm,
            f"seat_{k}_min_mm": fit.limits.min_size_mm,
            f"seat_{k}_clearance_most_um": 1000 * fit.clearance_most,
            f"seat_{k}_interference_most_um": 1000 * fit.interference_most,
            f"seat_{k}_take_off_mm": stock_diameter - fit.limits.max_size_mm,
        }
    if hub is None:
        return results
    return results | {
        "housing_fit": hub.limits.fit,
        "housing_max_mm": hub.limits.max_size_mm,
        "housing_min_mm": hub.limits.min_size_mm,
        "housing_clearance_most_um": 1000 * hub.clearance_most,
        "housing_interference_most_um": 1000 * hub.interference_most,
    }


def seat_places(seats: Sequence[Seat]) -> tuple[str, ...]:
    """Return in words where each seat lies."""
    return tuple(
        f"bearing seat {k}, {s.from_face:g} to {s.from_face + s.length:g} mm from face A"
        for k, s in enumerate(seats, 1)
    )
