"""Field in the gap when teeth saturate: one tooth, its share of a pole, and the magnet, in one line.

    magnet        (Br - B) t / mu_r  =  B g + mu_0 H L        drops of all three along the flux
    tooth, slot   B a = J w f + mu_0 H a                      flux of the arc a that one tooth gathers

B field in the gap, t and mu_r of the magnet, g gap, L length of the tooth (slot depth), w its
width, f steel share of the stack, J polarization of full steel. With k = a / (w f):

    B = (Br t / mu_r + L J / k) / (t / mu_r + g + L)          where steel is full, else
    B = (Br t / mu_r) / (t / mu_r + g)                        what the ring of magnets has

Both agree at B k = J. J is that at 10000 A/m, the highest that EN 10106 guarantees; the slot beside
a full tooth carries its share. Not counted: leakage between magnets, tips, yoke and ring. Source:
Ampere's law and flux, any book of electrical machines ("apparent" tooth density).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

if TYPE_CHECKING:
    from recipes.job import Job

PLAIN_FULL_T: Final = 1.7
"""Polarization at 10000 A/m of a steel that is not in the table (EN 10106, least of all grades)."""


@dataclass(frozen=True)
class Circuit:
    """What one tooth meets; lengths in mm, T.

    Args:
        remanence, thickness, recoil: of the magnet.
        gap: between magnet and tooth.
        tooth: length of the tooth.
        gathered: flux density in the tooth's steel / field in the gap, k.
        full: polarization of full steel.
    """

    remanence: float
    thickness: float
    recoil: float
    gap: float
    tooth: float
    gathered: float
    full: float

    @property
    def unsaturated(self) -> float:
        """Field in the gap if steel were never full."""
        depth = self.thickness / self.recoil
        return self.remanence * depth / (depth + self.gap)

    @property
    def asked(self) -> float:
        """Flux density that the tooth would need then."""
        return self.unsaturated * self.gathered

    @property
    def field(self) -> float:
        """Field in the gap."""
        if self.asked <= self.full:
            return self.unsaturated
        depth = self.thickness / self.recoil
        drive = self.remanence * depth + self.tooth * self.full / self.gathered
        return drive / (depth + self.gap + self.tooth)


def full_steel_T(job: Job) -> float:
    """Return the polarization at which the design's steel counts as full."""
    try:
        return float(steel_grade(job.design.lamination.steel).polarization_10000_T)
    except TableError:
        return PLAIN_FULL_T
