"""What turning asks of the covers: rim speed, stress, and the energy that a guard must stop.

Stress of a flat disc with a hole that turns, nu = 0.3 (any handbook of strength of materials):

    at the hole         rho omega^2 / 4 [(3 + nu) b^2 + (1 - nu) a^2]
    at the radius r     rho omega^2 (3 + nu) / 8 [a^2 + b^2 + a^2 b^2 / r^2 - (1 + 3 nu) / (3 + nu) r^2]

The second, at the bolt circle, counts three times: a small round hole in a plate under tension. Not
judged: ring and magnets pulling on the bolts, cracks, a cover that is bent or out of balance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.covers.arrangement import Arrangement, CoverShape
from recipes.rotor.ring import STEEL, RotorRing
from recipes.tables.plates import Plate

#: Poisson's ratio of metals, and stress beside a small round hole over that without it (handbooks).
NU, HOLE_FACTOR = 0.3, 3.0

#: Stress that turning may cause, as a share of the plate's least proof strength (common practice).
STRESS_SHARE = 0.33


@dataclass(frozen=True)
class Turning:
    """At top speed.

    Args:
        rim_speed: of the outermost edge, m/s.
        stress: greatest in a cover, MPa; None if the plate is in no table.
        limit: that it may have, MPa; None as above.
        energy: of covers, ring, spacers and magnets, J; None as above.
    """

    rim_speed: float
    stress: float | None
    limit: float | None
    energy: float | None


def turning(
    arranged: Arrangement, ring: RotorRing, plate: Plate | None, per_minute: float
) -> Turning:
    """Return what turning asks of the covers at a speed in 1/min; `plate` None if it is in no table."""
    shape, omega = arranged.shape, per_minute * math.pi / 30
    rim = omega * max(shape.outside, shape.ring_outside) * 1e-3
    if plate is None:
        return Turning(rim, None, None, None)
    density = plate.density_kg_per_m3
    at_hole = hoop_at_hole(shape.lip, shape.outside, density, omega)
    at_bolts = hoop_at(shape.circle, shape.lip, shape.outside, density, omega)
    inertia = (
        2 * _disc(shape, density)
        + _hollow(STEEL, shape.spigot, shape.ring_outside, arranged.apart)
        + ring.count * ring.mass * (ring.bore * 1e-3) ** 2
    )
    return Turning(
        rim,
        max(at_hole, HOLE_FACTOR * at_bolts),
        STRESS_SHARE * plate.proof_MPa,
        inertia * omega**2 / 2,
    )


def hoop_at_hole(a: float, b: float, density: float, omega: float) -> float:
    """Return the stress in MPa at the hole of a disc of radii `a`, `b` in mm, kg/m3, rad/s."""
    return density * omega**2 / 4 * ((3 + NU) * b**2 + (1 - NU) * a**2) * 1e-12


def hoop_at(r: float, a: float, b: float, density: float, omega: float) -> float:
    """Return the same at the radius `r` in mm."""
    shape = a**2 + b**2 + (a * b / r) ** 2 - (1 + 3 * NU) / (3 + NU) * r**2
    return density * omega**2 * (3 + NU) / 8 * shape * 1e-12


def _disc(shape: CoverShape, density: float) -> float:
    return _hollow(density, shape.lip, shape.outside, shape.thickness)


def _hollow(density: float, a: float, b: float, length: float) -> float:
    """Return the moment of inertia of a hollow cylinder in kg m2; radii and length in mm."""
    return density * math.pi / 2 * (b**4 - a**4) * length * 1e-15
