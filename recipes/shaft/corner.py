"""Rounds in the inner corners of steps: a band from the sharpest to the roundest that a shop may leave.

insert    nose radius 0.1 0.2 0.4 0.8 1.2 1.6 mm (ISO 1832), worn or ground +-0.1, small ones +-0.05
bearing   its corner must clear the round: the roundest stays below the ring's chamfer (ISO 582)
strength  is judged at the sharp end, the drawing gives both ends, the solid shows the middle
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recipes.design.axle import Axle
from recipes.tables.bearings import Bearing

#: Nose radii of turning inserts, mm (ISO 1832, from memory).
INSERTS: Final = (0.1, 0.2, 0.4, 0.8, 1.2, 1.6)

#: What a round may be off the nose that turns it, mm: below 0.4 mm the first (common practice).
OFF: Final = (0.05, 0.1)

#: Sharpest corner that a file leaves, mm (common practice).
FILED: Final = 0.1


@dataclass(frozen=True)
class RoundBand:
    """Sharpest and roundest corner that the drawing allows, mm."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """The round that is drawn, mm."""
        return (self.low + self.high) / 2


def turned_band(clear: float) -> RoundBand:
    """Return the band of the largest insert whose round stays within `clear` mm; a small one if none."""
    fitting = [b for b in map(_of_insert, INSERTS) if b.high <= clear + 1e-9]
    return max(fitting, key=lambda b: b.high, default=RoundBand(0.5 * clear, 0.9 * clear))


def _of_insert(nose: float) -> RoundBand:
    off = OFF[nose >= 0.4]
    return RoundBand(round(nose - off, 3), round(nose + off, 3))


#: Where the stack meets the collar, whose sheets have no chamfer; other corners.
STATOR_BAND: Final = _of_insert(0.2)
LAND_BAND: Final = _of_insert(0.4)


def is_filed(axle: Axle) -> bool:
    """Tell whether seats are filed by hand, without a lathe."""
    return any(seat.made == "filed" for seat in axle.seats)


def seat_band(axle: Axle, bearing: Bearing) -> RoundBand:
    """Return the band beside a bearing seat: below the ring's chamfer, sharper where one is filed."""
    band = turned_band(bearing.chamfer_min_mm)
    filed = is_filed(axle)
    return RoundBand(min(FILED, band.low), band.high) if filed else band


def corner_band(kind: str, seat: RoundBand) -> RoundBand:
    """Return the band in the corner at the foot of a step, by the kind of its lower side."""
    return {"seat": seat, "stator": STATOR_BAND}.get(kind, LAND_BAND)
