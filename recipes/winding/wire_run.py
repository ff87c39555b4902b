"""Which coils one wire winds before it is cut, how long it is, and what a bobbin must hold.

    one wire a tooth     a joint between all coils of a path
    one wire a group     neighbouring coils of a phase in one go, a joint from group to group
    one wire a phase     a whole path in one go: nothing is joined but star or delta, and the leads

A wire goes on from the finish of a coil to the start of the next, both on the lead side, in the order
and sense of the circuit: a *crossover* along the slot bottoms (`recipes.winding.resistance`). Parallel
paths are wires of their own: with a paths "one wire a phase" means a wires a phase, each 1/a as long.

    cut = coils x wire of a coil + crossovers + both ends

An end at a terminal is at least `PHASE_TAIL` long. Room on a bobbin: turn beside turn in square order,
length x overall diameter squared; hands want a third more (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from recipes.design.winding import Winding
from recipes.tables.wire import Wire
from recipes.winding.circuit import Join
from recipes.winding.layout import Phase, WindingLayout
from recipes.winding.marks import coil_label
from recipes.winding.resistance import links_of
from recipes.winding.turn_length import PHASE_TAIL

#: Room on a bobbin beyond square order, for hands (common practice).
HANDS: Final = 1.33


@dataclass(frozen=True)
class WireRun:
    """One wire from cut to cut; several strands run side by side.

    Args:
        phase, path: of the circuit.
        teeth: indices, in the order in which they are wound.
        begins, ends: terminal such as "U1", or "" where it is joined to another wire.
        crossovers_m: length from coil to coil, all of them.
        cut_m: one strand, with crossovers and both ends.
        ohm: resistance at 20 C, uncut ends counted, all strands together.
    """

    phase: Phase
    path: int
    teeth: tuple[int, ...]
    begins: str
    ends: str
    crossovers_m: float
    cut_m: float
    ohm: float

    def route(self, layout: WindingLayout) -> str:
        """Return "U1 → 1+ → 2− → 7− → U2": numbers from 1, with their sense."""
        coils = [f"{k + 1}{coil_label(layout.teeth[k])[1:]}" for k in self.teeth]
        return " → ".join(p for p in (self.begins, *coils, self.ends) if p)


def runs_of(
    joints: Sequence[Join],
    slots: int,
    root_radius: float,
    winding: Winding,
    coil_wire_m: float,
    wire: Wire,
) -> tuple[WireRun, ...]:
    """Return every wire of the motor in the order of the circuit.

    Args:
        joints: of all phases, as the winding's run has them.
        slots: of the stator.
        root_radius: of the slot bottoms, mm.
        winding: strands and tails.
        coil_wire_m: one strand of one coil, slack included, no tails.
        wire: of one strand.
    """
    found, teeth, passed = [], list[int](), list[Join]()
    begin = joints[0]
    for join in joints:
        if not join.soldered:
            passed.append(join)
        elif teeth:
            ends = begin.terminal, join.terminal
            tails = sum(max(winding.tail, PHASE_TAIL) if e else winding.tail for e in ends)
            over = sum(x.length_mm for x in links_of(passed, slots, root_radius)) / 1000.0
            cut = len(teeth) * coil_wire_m + over + tails / 1000.0
            ohm = wire.resistance_20C_ohm_per_m * cut / winding.strands
            found.append(WireRun(join.phase, join.path, tuple(teeth), *ends, over, cut, ohm))
            teeth, passed = [], []
        if join.soldered:
            begin = join
        if join.to_tooth is not None:
            teeth.append(join.to_tooth)
    return tuple(found)


@dataclass(frozen=True)
class Bobbin:
    """What the bobbin must hold for the longest wire.

    Args:
        length_m: of all strands, one after the other.
        mass_kg: with enamel.
        copper_cm3: volume of the copper.
        room_cm3: volume to keep between its flanges.
    """

    length_m: float
    mass_kg: float
    copper_cm3: float
    room_cm3: float


def bobbin_of(runs: Sequence[WireRun], strands: int, wire: Wire) -> Bobbin:
    """Return what a bobbin must hold for the longest of some wires, `strands` in hand."""
    metres = strands * max(run.cut_m for run in runs)
    return Bobbin(
        length_m=metres,
        mass_kg=metres * wire.mass_g_per_m / 1000.0,
        copper_cm3=metres * wire.copper_area_mm2,
        room_cm3=HANDS * metres * wire.overall_max_mm**2,
    )


def wire_run_results(runs: Sequence[WireRun], bobbin: Bobbin) -> dict[str, float | int | str]:
    """Return wires and bobbin for `results.json`."""
    cuts = [run.cut_m for run in runs]
    return {
        "wires": len(runs),
        "wire_cut_shortest_m": min(cuts),
        "wire_cut_longest_m": max(cuts),
        "crossovers_m": sum(run.crossovers_m for run in runs),
        "bobbin_length_m": bobbin.length_m,
        "bobbin_mass_kg": bobbin.mass_kg,
        "bobbin_copper_cm3": bobbin.copper_cm3,
        "bobbin_room_cm3": bobbin.room_cm3,
    }
