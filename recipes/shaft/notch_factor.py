"""Notch factors: how much higher stress is at a slot end, a step, a groove or a key seat.

Every factor multiplies a nominal stress named beside it.

    slot end    the elongated hole counts as a round hole of its width w through a tube of outside
                D and bore d; nominal stress of the plain tube, both walls pierced (the safe side:
                one wall is). Roark's Formulas for Stress and Strain, Table 17.1, radial hole in a
                shaft; torsion from a published copy, bending from memory and within 0.8 % of
                Shigley, Mechanical Engineering Design, Table A-16. Taking a slot for a hole is
                common practice. Along the bending stress it is safe (an ellipse of the slot's
                length and end radius has 1 + 2 sqrt(r / a) < 3); in torsion it is not, so the
                factor grows by that of the ellipse, (a + b)^2 / (4 a b) (C. E. Inglis 1913).
    step        round of radius r: Roark's Table 17.1 in bending, Pilkey, Peterson's Stress
                Concentration Factors chart 3.12 in torsion; nominal stress of the thinner side.
    groove, key seat, end of a flat
                estimates for a first pass: Shigley Table 7-1 (groove 5.0 and 3.0, key seat 2.14
                and 3.0, sharp shoulder 2.7 and 2.2).
    thread      Kf of cut threads, Shigley Table 8-16: 2.8 for soft steel (property class up to 5.8,
                Rm below 600 MPa), 3.8 above (from memory); on the section of the root. In torsion
                the single groove's 3.0 at most, the safe side: its neighbours shade each turn.
    hole edge   Kirsch's exact stress round a hole (1898), with that of a stress which rises across
                the hole (bending in the plane, factor 2); finite size by the factors above.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

#: Largest w/D of the slot's table in bending and torsion; beyond the first the fit is stretched,
#: up to HOLE_STRETCH, where it still rises.
HOLE_BENDING_LIMIT: Final = 0.30
HOLE_STRETCH: Final = 0.45

#: Kt in bending and torsion (Shigley Table 7-1).
GROOVE: Final = (5.0, 3.0)
KEY_SEAT: Final = (2.14, 3.0)
FLAT_END: Final = (2.7, 2.2)


@dataclass(frozen=True)
class Notch:
    """Factors on nominal bending and torsion, and the radius that makes them.

    Args:
        bending, torsion: Kt.
        radius: at the root of the notch, mm.
    """

    bending: float
    torsion: float
    radius: float


PLAIN: Final = Notch(1.0, 1.0, math.inf)

#: Kf of a cut thread in bending for soft and for strong steel, and the tensile strength between, MPa.
THREAD: Final = (2.8, 3.8)
STRONG: Final = 600.0


def thread_notch(tensile: float) -> Notch:
    """Return the notch of a cut thread in steel of this tensile strength, MPa.

    Its factors are those of fatigue already, so no sensitivity lowers them.
    """
    bending = THREAD[tensile >= STRONG]
    return Notch(bending, min(bending, GROOVE[1]), math.inf)


def hole_bending(width: float, bore: float) -> float:
    """Return Kt of a radial hole in a bent tube; both sizes as shares of the outside diameter.

    Nominal stress 32 M D / (pi (D^4 - d^4)) of the plain tube.
    """
    x, k = min(width, HOLE_STRETCH), bore
    return (
        3.0
        + (-6.690 - 1.620 * k + 4.432 * k * k) * x
        + (44.739 + 10.724 * k - 19.927 * k * k) * x**2
        + (-53.307 - 25.998 * k + 43.258 * k * k) * x**3
    )


def hole_torsion(width: float, bore: float) -> float:
    """Return Kt of a radial hole in a twisted tube; both sizes as shares of the outside diameter.

    The stress at the hole's edge is Kt times the nominal shear 16 T D / (pi (D^4 - d^4)).
    """
    x, k = min(width, HOLE_STRETCH), bore
    return (
        4.0
        + (-6.793 + 1.133 * k - 0.126 * k * k) * x
        + (38.382 - 7.242 * k + 6.495 * k * k) * x**2
        + (-44.576 - 7.428 * k + 58.656 * k * k) * x**3
    )


def slot_stretch(length: float, width: float) -> float:
    """Return by how much a slot's torsion factor exceeds that of a hole of its width.

    By the ellipse of the same length and end radius: half axes a = length / 2, b = sqrt(a w / 2).
    """
    a = max(length, width) / 2
    b = math.sqrt(a * width / 2)
    return (a + b) ** 2 / (4 * a * b)


def edge_peak(even: float, rising: float, shear: float) -> float:
    """Return the largest stress round the edge of a hole.

    Args:
        even: stress along the bar at the hole's centre times Kt/3.
        rising: difference of that stress from the hole's centre to its side, undisturbed.
        shear: shear stress times Kt/4.

    Kirsch: even (1 - 2 cos 2p) - 4 shear sin 2p, with rising (sin p - sin 3p), p from the bar's
    direction; by 48 places and a parabola through the best three.
    """
    found = [
        abs(even * cos + 4.0 * abs(shear) * sin) + abs(rising * rise) for cos, sin, rise in _EDGE
    ]
    k = max(range(len(found)), key=found.__getitem__)
    low, top, high = found[k - 1], found[k], found[(k + 1) % len(found)]
    bow = 2 * top - low - high
    return top + (high - low) ** 2 / (8 * bow) if bow > 0 else top


#: What each part gives at 48 places over half a turn; the other half repeats it.
_EDGE: Final = [
    (1.0 - 2.0 * math.cos(2 * p), math.sin(2 * p), math.sin(p) - math.sin(3 * p))
    for p in (math.pi * k / 48 for k in range(48))
]


_BENDING_SHALLOW: Final = (
    (0.927, 1.149, -0.086),
    (0.015, -3.281, 0.837),
    (0.847, 1.716, -0.506),
    (-0.790, 0.417, -0.246),
)
_BENDING_DEEP: Final = (
    (1.225, 0.831, -0.010),
    (-3.790, 0.958, -0.257),
    (7.374, -4.834, 0.862),
    (-3.809, 3.046, -0.595),
)
_TORSION: Final = (
    (0.905, 0.783, -0.075),
    (-0.437, -1.969, 0.553),
    (1.557, 1.073, -0.578),
    (-1.061, 0.171, 0.086),
)


def step_bending(large: float, small: float, radius: float) -> float:
    """Return Kt of a round of `radius` mm between two diameters in mm, bent; never below 1.

    The chart goes from height over radius 0.25, which lower steps take, to 20; for a smaller
    radius the factor grows as its power -0.26, as R. L. Norton's fits do (from memory).
    """
    asked = (large - small) / 2 / radius
    ratio = min(max(asked, 0.25), 20.0)
    rows = _BENDING_SHALLOW if ratio <= 2.0 else _BENDING_DEEP
    beyond = math.pow(max(asked / 20.0, 1.0), 0.26)
    return max(1.0, _series(rows, ratio, (large - small) / large) * beyond)


def step_torsion(large: float, small: float, radius: float) -> float:
    """Return Kt of a round between two diameters, twisted; see `step_bending`.

    Chart from 0.25 to 4; beyond it the factor grows as the radius' power -0.24.
    """
    asked = (large - small) / 2 / radius
    ratio = min(max(asked, 0.25), 4.0)
    beyond = math.pow(max(asked / 4.0, 1.0), 0.24)
    return max(1.0, _series(_TORSION, ratio, (large - small) / large) * beyond)


def _series(rows: tuple[tuple[float, float, float], ...], ratio: float, share: float) -> float:
    c = [p + q * math.sqrt(ratio) + r * ratio for p, q, r in rows]
    return c[0] + c[1] * share + c[2] * share**2 + c[3] * share**3


def step(large: float, small: float, radius: float) -> Notch:
    """Return the notch of a step with a round in its inner corner; sizes in mm."""
    return Notch(step_bending(large, small, radius), step_torsion(large, small, radius), radius)


def sensitivity(tensile: float, radius: float, twisted: bool = False) -> float:
    """Return the notch sensitivity q of steel: Kf = 1 + q (Kt - 1).

    Args:
        tensile: strength Rm in MPa.
        radius: at the root of the notch in mm.
        twisted: for shear stress.

    Neuber's equation with the constants of Shigley eq. 6-35 (bending from a published copy,
    torsion from memory), fitted to 340 to 1700 MPa.
    """
    if math.isinf(radius):
        return 1.0
    s = min(max(tensile, 340.0), 1700.0) / 6.894757  # in kpsi
    root = (
        0.190 - 2.51e-3 * s + 1.35e-5 * s**2 - 2.67e-8 * s**3
        if twisted
        else 0.246 - 3.08e-3 * s + 1.51e-5 * s**2 - 2.67e-8 * s**3
    )
    return 1.0 / (1.0 + max(root, 0.0) * math.sqrt(25.4 / radius))
