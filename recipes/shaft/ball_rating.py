"""What a deep groove ball bearing carries, estimated from its outside sizes, and how long.

Makers print C0 and C for each bearing; the design may give them. Left out, both follow from the
balls that such a ring takes, a little on the safe side of the printed values:

    ball        Dw = 0.29 (D - d), on the pitch circle Dpw = (D + d) / 2
    balls       Z = 1 + pi / (2 asin(Dw / Dpw)): filled through the gap of shifted rings (Conrad)
    static      C0 = f0 Z Dw^2                     ISO 76, f0 by Dw / Dpw
    dynamic     C  = 1.3 fc Z^(2/3) Dw^1.8         ISO 281, fc by Dw / Dpw, Dw up to 25.4 mm

    equivalent  P = max(Fr, 0.56 Fr + Y Fa), Y by f0 Fa / C0        ISO 281, table 3
                P0 = max(Fr, 0.6 Fr + 0.5 Fa)                       ISO 76
    life        L10 = (C / P)^3 million turns
    along alone Fa <= 0.5 C0; 0.25 C0 for bores up to 12 mm and light series (8, 9, 0, 1): SKF,
                deep groove ball bearings, axial load carrying capacity

Tables of f0, fc and Y from memory, met by printed ratings in the tests.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from typing import Final

from recipes.tables.bearings import Bearing

Curve = tuple[tuple[float, float], ...]

#: Ball size as a share of the room between bore and outside.
BALL: Final = 0.29

#: f0 of ISO 76 and fc of ISO 281 (single row radial, groove radii 0.52 Dw) by Dw / Dpw.
F0: Final[Curve] = (
    (0.05, 15.7), (0.09, 16.5), (0.10, 16.4), (0.12, 15.9), (0.14, 15.4), (0.16, 14.9),
    (0.18, 14.4), (0.20, 14.0), (0.22, 13.5), (0.24, 13.0), (0.26, 12.5), (0.28, 12.1), (0.30, 11.6),
    (0.40, 9.4),
)  # fmt: skip
FC: Final[Curve] = (
    (0.05, 46.7), (0.06, 49.1), (0.07, 51.1), (0.08, 52.8), (0.09, 54.3), (0.10, 55.5), (0.12, 57.5),
    (0.14, 58.8), (0.16, 59.6), (0.18, 59.9), (0.20, 59.9), (0.22, 59.6), (0.24, 59.0), (0.26, 58.2),
    (0.28, 57.1), (0.30, 56.0), (0.40, 48.4),
)  # fmt: skip

#: Y of ISO 281 for a deep groove bearing of normal clearance by f0 Fa / C0; X = 0.56.
Y: Final[Curve] = (
    (0.172, 2.30), (0.345, 1.99), (0.689, 1.71), (1.03, 1.55), (1.38, 1.45), (2.07, 1.31),
    (3.45, 1.15), (5.17, 1.04), (6.89, 1.00),
)  # fmt: skip

#: Share of C0 along the axle alone, of light and of stout bearings; bore up to which all are light.
ALONG_LIGHT, ALONG_STOUT, LIGHT_BORE = 0.25, 0.5, 12.0

#: Series that count as stout: the other radial ones are light, and unknown ones the safe side.
STOUT: Final = ("62", "63", "64")


@dataclass(frozen=True)
class BallRating:
    """Ratings of one bearing in N.

    Args:
        static, dynamic: C0 and C.
        f0: factor of ISO 76.
        along: greatest steady force along the axle.
        estimated: whether C0 follows from the sizes instead of the maker's word.
    """

    static: float
    dynamic: float
    f0: float
    along: float
    estimated: bool

    def equivalent(self, across: float, along: float) -> float:
        """Return the equivalent dynamic load P of forces across and along the axle, all in N."""
        if along <= 0.0:
            return across
        return max(across, 0.56 * across + _at(Y, self.f0 * along / self.static) * along)

    def static_equivalent(self, across: float, along: float) -> float:
        """Return the equivalent static load P0, all in N."""
        return max(across, 0.6 * across + 0.5 * along)

    def life_hours(self, across: float, along: float, speed: float) -> float:
        """Return L10 in hours at a speed in 1/min under forces in N; infinite without load."""
        load = self.equivalent(across, along)
        return math.inf if load <= 0.0 else 1e6 * math.pow(self.dynamic / load, 3) / (60.0 * speed)


def ball_rating(
    ring: Bearing, static: float | None = None, dynamic: float | None = None
) -> BallRating:
    """Return the ratings of a bearing; `static` and `dynamic` in N are its maker's, None if not known."""
    ball, pitch = BALL * (ring.outside_mm - ring.bore_mm), (ring.outside_mm + ring.bore_mm) / 2
    count = 1.0 + math.pi / (2.0 * math.asin(ball / pitch))
    f0 = _at(F0, ball / pitch)
    stand = f0 * count * ball**2 if static is None else static
    turn = 1.3 * _at(FC, ball / pitch) * math.pow(count, 2 / 3) * math.pow(ball, 1.8)
    stout = ring.designation[:2] in STOUT and ring.bore_mm > LIGHT_BORE
    share = ALONG_STOUT if stout else ALONG_LIGHT
    return BallRating(
        stand, turn if dynamic is None else dynamic, f0, share * stand, static is None
    )


def _at(curve: Curve, x: float) -> float:
    """Return the value of a table at `x`, straight between its rows, its ends beyond them."""
    k = bisect_left(curve, (x,))
    if k == 0 or k == len(curve):
        return curve[0 if k == 0 else -1][1]
    (x0, y0), (x1, y1) = curve[k - 1], curve[k]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
