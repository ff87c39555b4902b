"""How the current divides: phase, parallel path, strand; and what two leads see of a phase.

    lead current I_L  ->  phase I  ->  path I / paths  ->  strand I / (paths x strands)

                       wye           delta
    lead current       I             sqrt(3) I     moving: three equal sine currents
                       I             1.5 I         stalled: in at one lead, out at another
    between two leads  2 R           2/3 R         R = resistance of one phase
    turns that act     sqrt(3) N     N             N = turns in series of one phase

`motor.phase_current` is the current in the winding of the hottest phase. Source: three-phase circuit
theory (any textbook).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from recipes.refusal import Refused, finding
from recipes.winding.paths import parallel_paths

if TYPE_CHECKING:
    from recipes.job import Job

Connection = Literal["wye", "delta"]
Duty = Literal["moving", "stalled"]

CONNECTIONS: Final[tuple[Connection, ...]] = ("wye", "delta")

LEAD_RESISTANCE: Final[dict[Connection, float]] = {"wye": 2.0, "delta": 2.0 / 3.0}
"""Resistance between two leads / resistance of one phase."""

LEAD_CURRENT: Final[dict[Duty, dict[Connection, float]]] = {
    "moving": {"wye": 1.0, "delta": math.sqrt(3.0)},
    "stalled": {"wye": 1.0, "delta": 1.5},
}
"""Lead current / current of the hottest phase."""

ACTING_TURNS: Final[dict[Connection, float]] = {"wye": math.sqrt(3.0), "delta": 1.0}
"""Voltage between two leads / voltage of one phase."""


@dataclass(frozen=True)
class Circuit:
    """One way to join the coils, and the currents in it.

    Args:
        connection: "wye" or "delta".
        paths: branches in parallel in one phase.
        coils_in_series: coils of one path.
        turns_in_series: turns of one path, N.
        strands: wires in hand.
        strand_area_mm2: copper of one wire.
        phase_current_A: in the hottest phase, r.m.s. or standing.
        lead_current_A: in one lead.
    """

    connection: Connection
    paths: int
    coils_in_series: int
    turns_in_series: int
    strands: int
    strand_area_mm2: float
    phase_current_A: float
    lead_current_A: float

    @property
    def strand_current_A(self) -> float:
        """Current in one wire."""
        return self.phase_current_A / (self.paths * self.strands)

    @property
    def current_density_A_per_mm2(self) -> float:
        """Current density in every wire of the phase that carries `phase_current_A`."""
        return self.strand_current_A / self.strand_area_mm2

    @property
    def acting_turns(self) -> float:
        """Turns that act between two leads: voltage per speed and torque per lead ampere."""
        return self.turns_in_series * ACTING_TURNS[self.connection]


def circuit_of(job: Job) -> Circuit:
    """Return the circuit of the design.

    Raises:
        Refused: the winding has no such number of equal parallel paths.
    """
    return job.once(_circuit)


def _circuit(job: Job) -> Circuit:
    winding = job.design.winding
    require_legal(job)
    return circuit_for(job, winding.connection, winding.parallel_paths)


def circuit_for(job: Job, connection: Connection, paths: int) -> Circuit:
    """Return the same coils joined another way, at the lead current of the design.

    Args:
        job: the design.
        connection: "wye" or "delta".
        paths: a legal number of parallel paths (see `winding_paths`).
    """
    asked = job.design.winding
    series = job.winding.coils_per_phase // paths
    motor = job.design.motor
    share = LEAD_CURRENT[motor.duty]
    lead = motor.phase_current * share[asked.connection]
    return Circuit(
        connection=connection,
        paths=paths,
        coils_in_series=series,
        turns_in_series=series * asked.turns,
        strands=asked.strands,
        strand_area_mm2=job.wire.copper_area_mm2,
        phase_current_A=lead / share[connection],
        lead_current_A=lead,
    )


def require_legal(job: Job) -> None:
    """Raise Refused for parallel paths whose voltages would differ; the legal numbers are named."""
    asked, legal = job.design.winding.parallel_paths, parallel_paths(job.winding)
    if asked in legal:
        return
    names = " or ".join(str(a) for a in legal)
    raise Refused(
        finding(
            "stop", "paths-not-equal", "winding.parallel_paths", asked, names,
            f"winding.parallel_paths = {asked}: the {job.winding.coils_per_phase} coils of a phase "
            f"do not fall into {asked} paths of equal voltage; current would circulate in the "
            "copper and heat it even with the leads open",
            f"use {names}",
            "star of slots: paths must have equal coil voltages",
        )
    )  # fmt: skip
