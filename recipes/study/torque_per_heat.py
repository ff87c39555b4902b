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

B1 and the flux of a pole are those of `recipes.field.magnetic_circuit`.

Loss for the same torque goes with 1 / figure^2; how fast the copper warms at that loss, with
1 / (figure^2 x copper volume). Source: flux, torque and loss of a wound stator, any book of
electrical machines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from recipes.field.magnetic_circuit import MagneticCircuit
from recipes.stator.stack_count import Stack
from recipes.tables.copper import RESISTIVITY_20C_OHM_MM2_PER_M
from recipes.winding.circuit import Circuit
from recipes.winding.layout import WindingLayout, winding_factors


@dataclass(frozen=True)
class TorqueFigure:
    """What one design makes of its heat.

    Args:
        per_root_watt: N m per root watt.
        copper_mm3: volume of copper of all phases, links and tails.
        magnetic: field in gap and teeth; None where the magnets are not known: then 1 T is taken.
        field_T: field in the gap whose fundamental would link the coils as much.
    """

    per_root_watt: float
    copper_mm3: float
    magnetic: MagneticCircuit | None
    field_T: float

    def in_equal_field(self) -> TorqueFigure:
        """Return the figure in a field of 1 T, for holding it against one whose field is unknown."""
        return replace(self, per_root_watt=self.per_root_watt / self.field_T)


def torque_figure(
    magnetic: MagneticCircuit | None,
    linkage_Wb: float | None,
    circuit: Circuit,
    layout: WindingLayout,
    phase_ohm: float,
    diameter: float,
    stack: Stack,
) -> TorqueFigure:
    """Return the figure of a design.

    Args:
        magnetic: None where the magnets are not known.
        linkage_Wb: peak flux linked by a phase, of the field; None until it was solved.
        circuit, layout: of the winding.
        phase_ohm: resistance of one phase at 20 C.
        diameter: of the stator, mm.
        stack: the finished one.
    """
    kw = winding_factors(layout, (1,))[1].winding
    turns = circuit.turns_in_series * kw
    swept = at_1_T = turns * diameter * stack.length * 1e-6  # V s
    if linkage_Wb is not None:
        swept = layout.pole_pairs * linkage_Wb
    elif magnetic is not None:
        swept = layout.pole_pairs * magnetic.phase_flux(turns)
    area = circuit.strands * circuit.paths * circuit.strand_area_mm2
    copper_m = phase_ohm * area / RESISTIVITY_20C_OHM_MM2_PER_M
    return TorqueFigure(
        math.sqrt(1.5) * swept / math.sqrt(phase_ohm),
        3.0 * copper_m * 1000.0 * area,
        magnetic,
        swept / at_1_T,
    )
