"""Magnetising curves of sheet and ring, and the magnets.

Sheet: EN 10106 guarantees the polarisation J at 2500, 5000 and 10000 A/m, the least of each grade, and
so the curve goes; real sheet often has some 0.03 T more. Below 2500 A/m the shape is that of M350-50A
in an Epstein frame at 50 Hz, as a share of its J at 2500 A/m. Above 10000 A/m J approaches its end by
J = Js (1 - a/H), with Js = 2.16 T less 0.05 T for each percent of silicon and aluminium (from memory),
and these from the conventional density of EN 10106, 7865 kg/m3 less 65 for each percent (from memory).

Ring: low-carbon steel AISI 1008, like which plain structural steel is taken to behave.

Source of both measured curves: Modelica Standard Library, Magnetic.FluxTubes.Material.SoftMagnetic,
records M350_50A and AISI_1008: mu_r = 1 + (mu_i - 1 + c_a x) / (1 + c_b x + x^n), x = B / B_m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from geometry.field.materials import MU0, Curve, Linear, Magnet, Material, curve
from recipes.field.cross_section import LEFT, RIGHT, magnet_label
from recipes.refusal import Refused, stop
from recipes.rotor.magnet_ring import places
from recipes.tables.reader import TableError
from recipes.tables.steel import Steel, steel_grade


@dataclass(frozen=True)
class Permeability:
    """Coefficients of a measured curve mu_r(B), see the module; B_m in T."""

    mu_i: float
    b_m: float
    c_a: float
    c_b: float
    n: float

    def field(self, b: float) -> float:
        """Return H in A/m at B in T."""
        x = b / self.b_m
        ratio = (self.mu_i - 1 + self.c_a * x) / (1 + self.c_b * x + math.pow(x, self.n))
        return b / (MU0 * (1 + ratio))


M350_50A: Final = Permeability(1210, 1.16, 24630, 2.44, 14)
AISI_1008: Final = Permeability(200, 1.17, 8100, 2.59, 10)

#: J in T of M350-50A at 2500 A/m by its curve.
M350_50A_AT_2500: Final = 1.563

#: B in T at which the measured curves are read, of sheet and of ring.
SHEET_POINTS: Final = (0.1, 0.2, 0.4, 0.6, 0.8, 1.0, 1.1, 1.2, 1.3, 1.4, 1.45)
RING_POINTS: Final = (0.1, 0.2, 0.4, 0.6, 0.8, 1.0, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0)

#: H in A/m above 10000 at which J approaches its end.
HIGH_FIELDS: Final = (20e3, 50e3, 100e3, 300e3)

#: End of J for iron almost without silicon, T (from memory).
RING_END_T: Final = 2.14


def sheet_points(steel: Steel) -> tuple[list[float], list[float]]:
    """Return H (A/m) and J (T) of a grade, rising."""
    field = [M350_50A.field(b) for b in SHEET_POINTS]
    share = steel.polarization_2500_T / M350_50A_AT_2500
    low = [share * (b - MU0 * h) for b, h in zip(SHEET_POINTS, field, strict=True)]
    alloyed = max(0.0, (7865.0 - steel.density_kg_per_m3) / 65.0)
    most = max(2.16 - 0.05 * alloyed, 1.05 * steel.polarization_10000_T)
    a = 1e4 * (1 - steel.polarization_10000_T / most)
    known = [steel.polarization_2500_T, steel.polarization_5000_T, steel.polarization_10000_T]
    high = [most * (1 - a / h) for h in HIGH_FIELDS]
    return [*field, 2500.0, 5000.0, 10000.0, *HIGH_FIELDS], [*low, *known, *high]


def sheet_curve(name: str, stacking_factor: float) -> Curve:
    """Return the curve of a stack of sheets of a grade, by the steel's share of its height.

    Raises:
        Refused: a grade that is not in EN 10106.
    """
    try:
        steel = steel_grade(name)
    except TableError as error:
        raise Refused(
            stop(
                "no-such-steel",
                "lamination.steel",
                f"lamination.steel = {name!r}: {error}",
                value=name,
                fix="use a grade of EN 10106: the field needs its polarisation",
                source="EN 10106",
            )
        ) from None
    return curve(*sheet_points(steel), stacking_factor)


def ring_points() -> tuple[list[float], list[float]]:
    """Return H (A/m) and J (T) of solid plain steel, rising."""
    field = [AISI_1008.field(b) for b in RING_POINTS]
    low = [b - MU0 * h for b, h in zip(RING_POINTS, field, strict=True)]
    a = field[-1] * (1 - low[-1] / RING_END_T)
    high = [h for h in HIGH_FIELDS if h > 1.2 * field[-1]]
    return [*field, *high], [*low, *(RING_END_T * (1 - a / h) for h in high)]


def ring_curve() -> Curve:
    """Return the curve of a ring of solid plain steel."""
    return curve(*ring_points())


@dataclass(frozen=True)
class Steels:
    """Stack and ring.

    Args:
        sheet: averaged over the stack.
        ring: solid.
        stacking: steel's share of the stack's height.
    """

    sheet: Material
    ring: Material
    stacking: float


def steels(name: str, stacking_factor: float) -> Steels:
    """Return the steels of a design by its grade of sheet and the steel's share of the stack.

    Raises:
        Refused: a grade that is not in EN 10106.
    """
    return Steels(sheet_curve(name, stacking_factor), ring_curve(), stacking_factor)


def materials(
    steels: Steels, remanence: float, recoil: float, poles: int, per_pole: int
) -> dict[str, Material]:
    """Return the material of every label of the cross-section.

    Args:
        steels: of stator and ring.
        remanence: of the magnets, T; each is magnetised across its thickness.
        recoil: their recoil permeability.
        poles: number of poles.
        per_pole: magnets side by side in one pole.
    """
    air = Linear()
    magnets = {
        magnet_label(k): Magnet(remanence, recoil, axis=turn)
        for k, turn in enumerate(places(poles, per_pole, 0))
    }
    plain = {"air": air, "outside": air, LEFT: air, RIGHT: air}
    return {"sheet": steels.sheet, "ring": steels.ring, **plain, **magnets}
