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

B1 = (4/pi) B sin(90 deg x coverage), B by `recipes.study.torque_per_heat`: magnets and full teeth, no
leakage, no slot openings. So the figure is too high, and only ratios of it are shown.

Loss for the same torque goes with 1 / figure^2; how fast the copper warms at that loss, with
1 / (figure^2 x copper volume). Source: flux, torque and loss of a wound stator, any book of
electrical machines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from recipes.job import Job
from recipes.refusal import Refused
from recipes.tables.copper import RESISTIVITY_20C_OHM_MM2_PER_M
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.winding.layout import winding_factors

#     Field in the gap when teeth saturate: one tooth, its share of a pole, and the magnet, in one line.
#
#     magnet        (Br - B) t / mu_r  =  B g + mu_0 H L        drops of all three along the flux
#     tooth, slot   B a = J w f + mu_0 H a                      flux of the arc a that one tooth gathers
#
# B field in the gap, t and mu_r of the magnet, g gap, L length of the tooth (slot depth), w its
# width, f steel share of the stack, J polarization of full steel. With k = a / (w f):
#
#     B = (Br t / mu_r + L J / k) / (t / mu_r + g + L)          where steel is full, else
#     B = (Br t / mu_r) / (t / mu_r + g)                        what the ring of magnets has
#
# Both agree at B k = J. J is that at 10000 A/m, the highest that EN 10106 guarantees; the slot beside
# a full tooth carries its share. Not counted: leakage between magnets, tips, yoke and ring. Source:
# Ampere's law and flux, any book of electrical machines ("apparent" tooth density).

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


@dataclass(frozen=True)
class TorqueFigure:
    """What one design makes of its heat.

    Args:
        per_root_watt: N m per root watt without leakage and slot openings.
        copper_mm3: volume of copper of all phases, links and tails.
        field_T: fundamental of the field in the gap; 1 where the magnets are not known.
        field_known: False where the magnets were refused.
        tooth_T: flux density that a tooth would need if it did not saturate.
        full_T: at which its steel is full.
    """

    per_root_watt: float
    copper_mm3: float
    field_T: float
    field_known: bool
    tooth_T: float
    full_T: float

    def in_equal_field(self) -> TorqueFigure:
        """Return the figure in a field of 1 T, for holding it against one whose field is unknown."""
        return replace(self, per_root_watt=self.per_root_watt / self.field_T, field_T=1.0)


def torque_figure(job: Job) -> TorqueFigure:
    """Return the figure of a design.

    Raises:
        Refused: it has no winding that can be worked out.
    """
    circuit, lam = job.circuit, job.design.lamination
    ohm = job.resistance.phase_ohm
    kw = winding_factors(job.layout, (1,))[1].winding
    gap_m = (lam.outer_diameter + job.design.rotor.air_gap) / 1000.0
    length_m = job.stack.length / 1000.0
    magnetic, share = _circuit(job)
    field = 1.0
    if magnetic is not None:
        field = 4.0 / math.pi * magnetic.field * math.sin(math.pi / 2.0 * share)
    swept = circuit.turns_in_series * kw * field * gap_m * length_m  # V s
    area = circuit.strands * circuit.paths * circuit.strand_area_mm2
    copper_m = ohm * area / RESISTIVITY_20C_OHM_MM2_PER_M
    return TorqueFigure(
        per_root_watt=math.sqrt(1.5) * swept / math.sqrt(ohm),
        copper_mm3=3.0 * copper_m * 1000.0 * area,
        field_T=field,
        field_known=magnetic is not None,
        tooth_T=0.0 if magnetic is None else magnetic.asked,
        full_T=full_steel_T(job),
    )


def _circuit(job: Job) -> tuple[Circuit | None, float]:
    """Return magnet, gap and tooth, and the share of a pole that magnets cover; None if unknown."""
    lam, motor, rotor = job.design.lamination, job.design.motor, job.design.rotor
    try:
        ring = job.rotor_ring
    except Refused:
        ring = None
    if ring is None or rotor.magnet_thickness is None:
        return None, 1.0
    share = min(1.0, ring.coverage)
    arc = min(share / motor.poles, 1.0 / motor.slots) * math.pi * lam.outer_diameter
    return Circuit(
        remanence=ring.magnet.remanence_greatest_t,
        thickness=rotor.magnet_thickness,
        recoil=ring.magnet.recoil_permeability,
        gap=ring.gap,
        tooth=lam.slot_depth,
        gathered=arc / (job.slot.tooth_width * job.stack.factor),
        full=full_steel_T(job),
    ), share
