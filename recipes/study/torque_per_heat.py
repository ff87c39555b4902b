"""Torque for the heat it costs: what tells good stators from poor ones, whatever wire is on them.

A field wave of fundamental B1 in a gap of diameter D over a stack of length L makes in a phase of N
turns in series, winding factor kw, at the angular speed omega (flux of a pole: B1 D L / p)

    E = omega N kw B1 D L                                      peak, one phase
    T = (3/2) N kw B1 D L I                                    I peak, in step with E
    P = (3/2) R I^2                                            R of one phase
    T / sqrt(P) = sqrt(3/2) N kw B1 D L / sqrt(R)              N m per root watt

Wye or delta, parallel paths and turns cancel: twice the turns of half the wire have four times R.
For a drive of DC commutated in blocks, torque per ampere over the root of the lead resistance gives
the same figure, which is how it is measured: 30 / (pi k) / sqrt(R_lead), k the speed constant.

B1 = (4/pi) B sin(90 deg x coverage): magnets and full teeth, no leakage, no slot openings. So the
figure is too high, and only ratios of it are shown.

Loss for the same torque goes with 1 / figure^2; how fast the copper warms at that loss, with
1 / (figure^2 x copper volume). Source: flux, torque and loss of a wound stator, any book of
electrical machines.

B is the field in the gap when teeth saturate: one tooth, its share of a pole, and the magnet, in line.

    magnet        (Br - B) t / mu_r  =  B g + mu_0 H L        drops of all three along the flux
    tooth, slot   B a = J w f + mu_0 H a                      flux of the arc a that one tooth gathers

t and mu_r of the magnet, g gap, L length of the tooth (slot depth), w its width, f steel share of the
stack, J polarization of full steel. With k = a / (w f):

    B = (Br t / mu_r + L J / k) / (t / mu_r + g + L)          where steel is full, else
    B = (Br t / mu_r) / (t / mu_r + g)                        what the ring of magnets has

Both agree at B k = J. J is that at 10000 A/m, the highest that EN 10106 guarantees; the slot beside
a full tooth carries its share. Not counted: leakage between magnets, tips, yoke and ring. Source:
Ampere's law and flux, any book of electrical machines ("apparent" tooth density).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from recipes.design.lamination import Lamination
from recipes.design.rotor import Rotor
from recipes.rotor.ring import RotorRing
from recipes.stator.stack_count import Stack
from recipes.tables.copper import RESISTIVITY_20C_OHM_MM2_PER_M
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.winding.circuit import Circuit
from recipes.winding.layout import WindingLayout, winding_factors

PLAIN_FULL_T: Final = 1.7
"""Polarization at 10000 A/m of a steel that is not in the table (EN 10106, least of all grades)."""


@dataclass(frozen=True)
class MagneticCircuit:
    """What one tooth meets; lengths in mm, T.

    Args:
        remanence, thickness, recoil: of the magnet.
        gap: between magnet and tooth.
        tooth: length of the tooth.
        gathered: flux density in the tooth's steel / field in the gap, k.
        full: polarization of full steel.
        cover: share of a pole that magnets cover.
    """

    remanence: float
    thickness: float
    recoil: float
    gap: float
    tooth: float
    gathered: float
    full: float
    cover: float

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

    @property
    def fundamental(self) -> float:
        """Fundamental of the field in the gap."""
        return 4.0 / math.pi * self.field * math.sin(math.pi / 2.0 * self.cover)


def magnetic_circuit(
    ring: RotorRing | None,
    rotor: Rotor,
    lamination: Lamination,
    layout: WindingLayout,
    tooth_width: float,
    steel: float,
) -> MagneticCircuit | None:
    """Return magnet, gap and tooth; None without magnets.

    Args:
        ring: what follows from the magnets; None if the design gives none.
        rotor, lamination: tables of the design.
        layout: gives slots and poles.
        tooth_width: in mm.
        steel: share of the stack's length.
    """
    if ring is None or rotor.magnet_thickness is None:
        return None
    cover = min(1.0, ring.coverage)
    arc = min(cover / layout.poles, 1.0 / layout.slots) * math.pi * lamination.outer_diameter
    try:
        full = float(steel_grade(lamination.steel).polarization_10000_T)
    except TableError:
        full = PLAIN_FULL_T
    return MagneticCircuit(
        remanence=ring.magnet.remanence_greatest_t,
        thickness=rotor.magnet_thickness,
        recoil=ring.magnet.recoil_permeability,
        gap=ring.gap,
        tooth=lamination.slot_depth,
        gathered=arc / (tooth_width * steel),
        full=full,
        cover=cover,
    )


@dataclass(frozen=True)
class TorqueFigure:
    """What one design makes of its heat.

    Args:
        per_root_watt: N m per root watt without leakage and slot openings.
        copper_mm3: volume of copper of all phases, links and tails.
        magnetic: field in gap and teeth; None where the magnets are not known: then 1 T is taken.
    """

    per_root_watt: float
    copper_mm3: float
    magnetic: MagneticCircuit | None

    @property
    def field_T(self) -> float:
        """Fundamental of the field in the gap."""
        return self.magnetic.fundamental if self.magnetic else 1.0

    def in_equal_field(self) -> TorqueFigure:
        """Return the figure in a field of 1 T, for holding it against one whose field is unknown."""
        return replace(self, per_root_watt=self.per_root_watt / self.field_T)


def torque_figure(
    magnetic: MagneticCircuit | None,
    circuit: Circuit,
    layout: WindingLayout,
    phase_ohm: float,
    gap_diameter: float,
    stack: Stack,
) -> TorqueFigure:
    """Return the figure of a design.

    Args:
        magnetic: None where the magnets are not known.
        circuit, layout: of the winding.
        phase_ohm: resistance of one phase at 20 C.
        gap_diameter: of the middle of the air gap, mm.
        stack: the finished one.
    """
    kw = winding_factors(layout, (1,))[1].winding
    field = magnetic.fundamental if magnetic else 1.0
    swept = circuit.turns_in_series * kw * field * (gap_diameter / 1000.0) * (stack.length / 1000.0)
    area = circuit.strands * circuit.paths * circuit.strand_area_mm2
    copper_m = phase_ohm * area / RESISTIVITY_20C_OHM_MM2_PER_M
    return TorqueFigure(
        math.sqrt(1.5) * swept / math.sqrt(phase_ohm), 3.0 * copper_m * 1000.0 * area, magnetic
    )
