"""Clearance that is left in a bearing once both rings are fitted: normal, C3, or preload.

  tight on the axle    the inner raceway grows by  I' k (1 - k0^2) / (1 - k^2 k0^2)
                       k = bore / raceway, k0 = bore of the axle / bore of the bearing
  tight in the hub     the outer raceway shrinks by  I' h, h = raceway / outside, thick steel hub
  I' = I d / (d + 3)   what roughness leaves of the interference I of turned seats, d in mm
  raceways             a ball takes 0.29 of the room between bore and outside, midway

Thick cylinders of one material (Lame); the same formulas stand in bearing makers' handbooks (from
memory; roughness and size of the balls: common practice). Probable: every size off its middle at
once by the root of the sum of squares. Heat is left out: an inner ring 5 K hotter than the hub
loses 11e-6 x 5 x its raceway more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.refusal import note, warn
from recipes.shaft.seat_fit import RingFit, ring_in_housing
from recipes.tables.bearing_clearance import GROUPS, Group, group_of, internal_clearance
from recipes.tables.bearings import Bearing
from recipes.tables.reader import TableError

#: Share of the room between bore and outside that a ball takes (common practice).
BALL_SHARE: Final = 0.29

#: Smoothing of turned seats: of an interference d / (d + 3) is left, d in mm (makers' handbooks,
#: from memory).
SMOOTHING: Final = 3.0

#: Preload that a ball bearing under light load bears, um across (common practice).
PRELOAD_BORNE: Final = 5.0

#: Groups that merchants keep, and bores of the hub from tight to loose that are proposed.
KEPT: Final[tuple[Group, ...]] = ("normal", "C3")
HUBS: Final = ("P7", "N7", "M7", "K7", "H7")

_SOURCE: Final = (
    "ISO 5753-1; fits ISO 286-2 and ISO 492; thick cylinders, root of the sum of squares"
)


@dataclass(frozen=True)
class ClearanceLeft:
    """What is left after both fits, um across; below 0 it is preload.

    Args:
        group: of the bearing: as its suffix says, else the first kept one that will do.
        said: whether the suffix says it.
        before: least and most before it is fitted.
        least, most: probable limits after.
        needed: the first kept group that will do; None if none does.
        hub: class of the hub with which C3 would do; "" where none is needed.
    """

    group: Group
    said: bool
    before: tuple[float, float]
    least: float
    most: float
    needed: Group | None
    hub: str = ""


def axle_share(ring: Bearing, hollow: float) -> float:
    """Return how much of an interference on the axle the clearance loses.

    Args:
        ring: the bearing.
        hollow: bore of the axle, mm.
    """
    bore = ring.bore_mm
    k, k0 = bore / (_middle(ring) - _ball(ring)), min(hollow / bore, 0.99)
    return bore / (bore + SMOOTHING) * k * (1 - k0**2) / (1 - (k * k0) ** 2)


def hub_share(ring: Bearing) -> float:
    """Return how much of an interference in a thick steel hub the clearance loses."""
    outside = ring.outside_mm
    return outside / (outside + SMOOTHING) * (_middle(ring) + _ball(ring)) / outside


def _middle(ring: Bearing) -> float:
    return (ring.bore_mm + ring.outside_mm) / 2


def _ball(ring: Bearing) -> float:
    return BALL_SHARE * (ring.outside_mm - ring.bore_mm)


def clearance_left(
    ring: Bearing, seats: Sequence[RingFit], hub: RingFit | None, hollow: float
) -> ClearanceLeft | None:
    """Return what is left in the tighter of both bearings; None beyond the tables.

    Args:
        ring: the bearing.
        seats, hub: its fits on both seats and in the hub.
        hollow: bore of the axle, mm.
    """
    if hub is None or not seats:
        return None
    tight = max(seats, key=lambda fit: fit.interference_most)
    try:
        needed = next(
            (g for g in KEPT if _left(ring, g, tight, hub, hollow)[0] >= -PRELOAD_BORNE), None
        )
        said = group_of(ring.suffix)
        group = said or needed or "C3"
        known = internal_clearance(ring.bore_mm, group)
        other = "" if needed else _looser_hub(ring, tight, hub, hollow)
    except TableError:
        return None
    least, most = _left(ring, group, tight, hub, hollow)
    before = known.least_um, known.most_um
    return ClearanceLeft(group, said is not None, before, least, most, needed, other)


def _left(
    ring: Bearing, group: Group, seat: RingFit, hub: RingFit, hollow: float
) -> tuple[float, float]:
    """Return the probable least and most clearance after both fits, um."""
    known = internal_clearance(ring.bore_mm, group)
    middle, half = (known.least_um + known.most_um) / 2, (known.most_um - known.least_um) / 2
    up, down = half**2, half**2
    for fit, share in ((seat, axle_share(ring, hollow)), (hub, hub_share(ring))):
        most = max(1000 * share * fit.interference_most, 0.0)
        mean = max(500 * share * (fit.interference_most - fit.clearance_most), 0.0)
        least = max(-1000 * share * fit.clearance_most, 0.0)
        middle -= mean
        up, down = up + (mean - least) ** 2, down + (most - mean) ** 2
    return middle - math.sqrt(down), middle + math.sqrt(up)


def _looser_hub(ring: Bearing, seat: RingFit, hub: RingFit, hollow: float) -> str:
    """Return the tightest class of the hub with which C3 would do, "" if none does."""
    looser = HUBS[HUBS.index(hub.limits.fit) + 1 :] if hub.limits.fit in HUBS else ()
    for name in looser:
        if _left(ring, "C3", seat, ring_in_housing(ring, name), hollow)[0] >= -PRELOAD_BORNE:
            return name
    return ""


def clearance_findings(ring: Bearing, left: ClearanceLeft | None) -> Iterator[Finding]:
    """Say which group of clearance is to be ordered, or warn of preload."""
    if left is None:
        return
    number, low, high = ring.designation, *left.before
    told = (
        f"axle.bearing: a {number} of clearance group {left.group} has {low:g} to {high:g} um; after both "
        f"fits {round(left.least)} to {round(left.most)} um are left"
    )
    preloaded = left.needed is None or (
        left.said and GROUPS.index(left.group) < GROUPS.index(left.needed)
    )
    if preloaded:
        hub = f'use axle.hub_fit = "{left.hub}" with {number} C3; ' if left.hub else ""
        looser = f"{hub}or use a looser class on the axle"
        yield warn(
            "bearing-preload",
            "axle.bearing",
            f"{told}: it runs under preload, hot, and not for long",
            value=left.least,
            limit=-PRELOAD_BORNE,
            fix=f"order {number} {left.needed}" if left.needed else looser,
            source=_SOURCE,
            confidence="practice",
        )
    elif not left.said and left.group != "normal":
        yield note(
            "bearing-clearance",
            "axle.bearing",
            f"{told}; normal clearance would run under preload",
            value=left.least,
            limit=-PRELOAD_BORNE,
            fix=f"order {number} {left.group}; type it into the design to have it on every list",
            source=_SOURCE,
            confidence="practice",
        )


def clearance_results(left: ClearanceLeft | None) -> dict[str, float | int | str]:
    """Return the group to order and the probable clearance after both fits."""
    if left is None:
        return {}
    return {
        "bearing_clearance_group": left.group,
        "bearing_clearance_left_least_um": left.least,
        "bearing_clearance_left_most_um": left.most,
    }
