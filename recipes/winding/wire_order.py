"""How much wire to buy, on which reels, and how hard to pull it.

    order = wire of the motor, as cut x (1 + margin) + spare phases x wire of one phase

The wire as cut has slack, crossovers, tails and longer phase ends in it, see `recipes.winding.wire_run`. Mass
counts the enamel; reels are sold by mass. Margin, reel sizes and spare phase: common practice.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from recipes.design.winding import Winding
from recipes.tables.wire import Wire
from recipes.winding.turn_length import MARGIN, TurnLengths
from recipes.winding.wire_run import Bobbin, WireRun, bobbin_of

SPOOLS_KG: Final = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0)
"""Reels that dealers of winding wire keep (common practice)."""

TENSION_N_PER_MM2: Final = (35.0, 55.0)
"""Pull on copper while winding by hand, 50 to 80 % of a maker's limit of 69 N/mm2 (common practice)."""


@dataclass(frozen=True)
class WireOrder:
    """Lengths in m, masses in kg with enamel.

    Args:
        strands: wires in hand.
        coils: of the whole motor.
        coil_cut_m: one strand of one coil, with slack, and with both tails where it is cut off.
        phase_m: wire of one phase as it is cut, strands counted singly.
        spare_phases: phases bought on top.
        mass_kg_per_m: of one wire.
        bobbin: for the longest wire from cut to cut.
    """

    strands: int
    coils: int
    coil_cut_m: float
    phase_m: float
    spare_phases: int
    mass_kg_per_m: float
    bobbin: Bobbin

    @property
    def motor_m(self) -> float:
        """Wire of the motor as it is cut."""
        return 3.0 * self.phase_m

    @property
    def order_m(self) -> float:
        """Wire to buy: motor, margin and spare phases."""
        return self.motor_m * (1.0 + MARGIN) + self.spare_phases * self.phase_m

    @property
    def motor_kg(self) -> float:
        """Mass of the wire of the motor as it is cut."""
        return self.motor_m * self.mass_kg_per_m

    @property
    def order_kg(self) -> float:
        """Mass of the wire to buy, before rounding up to reels."""
        return self.order_m * self.mass_kg_per_m

    @property
    def spools_kg(self) -> tuple[float, ...]:
        """Reels that hold the order, largest first; wind them from one batch."""
        return spools_for(self.order_kg)

    @property
    def spool_each_kg(self) -> float:
        """Reel for each strand, for who feeds every strand from a reel of its own."""
        return sum(spools_for(self.order_kg / self.strands))


@dataclass(frozen=True)
class Tension:
    """Pull in N on one strand, and on all strands together."""

    least_N: float
    most_N: float
    strands: int

    @property
    def together_N(self) -> tuple[float, float]:
        """Least and most pull on all strands in hand."""
        return self.least_N * self.strands, self.most_N * self.strands


def spools_for(mass_kg: float) -> tuple[float, ...]:
    """Return reels that hold `mass_kg`: the smallest single one, or largest ones and a rest."""
    largest = SPOOLS_KG[-1]
    whole = max(0, int(mass_kg / largest - 1e-9))
    rest = mass_kg - whole * largest
    last = next((s for s in SPOOLS_KG if s >= rest - 1e-9), largest)
    return (largest,) * whole + (last,)


def wire_order(
    runs: Sequence[WireRun], turns: TurnLengths, wire: Wire, winding: Winding
) -> WireOrder:
    """Return lengths and masses of the wire; of the winding its strands and spare phases are read."""
    strands = winding.strands
    return WireOrder(
        strands=strands,
        coils=sum(len(run.teeth) for run in runs),
        coil_cut_m=turns.coil_total_m / strands,
        phase_m=strands * sum(run.cut_m for run in runs) / 3.0,
        spare_phases=winding.spare_phases,
        mass_kg_per_m=wire.mass_g_per_m / 1000.0,
        bobbin=bobbin_of(runs, strands, wire),
    )


def tension_of(strand_area_mm2: float, strands: int) -> Tension:
    """Return the pull on each strand while winding; more stretches copper and thins enamel."""
    low, high = (stress * strand_area_mm2 for stress in TENSION_N_PER_MM2)
    return Tension(low, high, strands)


def wire_order_results(order: WireOrder, pull: Tension) -> dict[str, float | int | str]:
    """Return order and pull for `results.json`."""
    counted = ((len(list(same)), mass) for mass, same in itertools.groupby(order.spools_kg))
    return {
        "coil_cut_length_m": order.coil_cut_m,
        "wire_length_m": order.motor_m,
        "wire_mass_kg": order.motor_kg,
        "wire_order_m": order.order_m,
        "wire_order_kg": order.order_kg,
        "spool_kg": sum(order.spools_kg),
        "spools": " + ".join(f"{n} x {mass:g} kg" for n, mass in counted),
        "tension_min_N": pull.least_N,
        "tension_max_N": pull.most_N,
    }
