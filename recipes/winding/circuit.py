"""How the coils are joined, how the current divides, and what other ways to join them would give.

    lead current I_L  ->  phase I  ->  path I / paths  ->  strand I / (paths x strands)

                       wye           delta
    lead current       I             sqrt(3) I     moving: three equal sine currents
                       I             1.5 I         stalled: in at one lead, out at another
    between two leads  2 R           2/3 R         R = resistance of one phase
    turns that act     sqrt(3) N     N             N = turns in series of one phase

`motor.phase_current` is the current in the winding of the hottest phase. Source: three-phase circuit
theory (any textbook).

Parallel paths, and which coil end is joined to which: teeth are indices 0..Q-1 in all data;
`Join.text` prints numbers, index + 1. Terminals U1 U2 V1 V2 W1 W2 follow IEC 60034-8. Paths may be
joined in parallel only if their voltages are equal in size and angle; otherwise current circulates
in the copper even with the leads open.

Which numbers of paths are legal, and why the list is complete: the coil voltages of one phase lie
on n different angles, and m coils share each angle: n coils make one *section* of Q/m neighbouring
teeth, and the winding is m sections in a row, every second one wound the other way round if the
star has opposite spokes. Dealing out whole sections makes a equal paths for every divisor a of m.
No other split exists: the n angles are neighbouring powers of one root of unity of order N, and
with n <= phi(N) such powers are linearly independent over the rationals (they are part of the power
basis of the cyclotomic field, any textbook of algebra). So equal voltages mean the same number of
coils at each angle, m/a, and a must divide m. n <= phi(N) holds for every winding of 3 to 120
slots; the tests check it, and try all splits of small ones.

The same coils joined in every legal way: all rows are fed with the lead current of the design. With
N turns in series and c = sqrt(3) in wye, 1 in delta:

    speed per volt       ~ 1 / (c N)       relative to the design's own connection
    torque per ampere    ~ c N             (lead ampere)

so a way that turns faster pulls less by as much, and for equal torque every way makes the same loss
in the copper: nothing is gained but the match to supply and controller.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from geometry.finding import Finding
from recipes.design.winding import Motor, Winding
from recipes.refusal import Refused, stop, warn
from recipes.winding.layout import PHASES, Phase, WindingLayout, emf_steps, winding_factors

Paths = dict[Phase, tuple[tuple[int, ...], ...]]
Connection = Literal["wye", "delta"]
Run = Literal["one wire a tooth", "one wire a group", "one wire a phase"]
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

SQUARE_FIELD_THIRD: Final = 1.0 / 3.0
"""Third harmonic of a square field wave / its fundamental: most that plain magnets can give."""

THIRD_MATTERS: Final = 0.05
"""Third harmonic of the voltage / fundamental from which delta is warned of (common practice)."""


@dataclass(frozen=True)
class Join:
    """One link of the circuit: a joint to make, or a crossover where the wire goes on uncut.

    phase: "U", "V" or "W"; path: 1, 2, ... within the phase; tooth: index, or None for a terminal;
    end: "start" or "finish" of the coil on that tooth, or the terminal's name, "U1".
    soldered: False where the wire goes on.
    """

    phase: Phase
    path: int
    from_tooth: int | None
    from_end: str
    to_tooth: int | None
    to_end: str
    soldered: bool = True

    @property
    def terminal(self) -> str:
        """Its terminal, such as "U1"; "" between two coils."""
        ends = ((self.from_tooth, self.from_end), (self.to_tooth, self.to_end))
        return next((end for tooth, end in ends if tooth is None), "")

    @property
    def text(self) -> str:
        """As read at the bench, tooth numbers from 1: "tooth 3 finish to tooth 4 start"."""
        begin = _end_text(self.from_tooth, self.from_end)
        return f"{begin} to {_end_text(self.to_tooth, self.to_end)}"


def sections(winding: WindingLayout) -> int:
    """Number m of equal sections in a row round the stator: coils of a phase at each angle."""
    steps = emf_steps(winding)
    return min(Counter(steps[k] for k in winding.teeth_of("U")).values())


def parallel_paths(winding: WindingLayout) -> tuple[int, ...]:
    """Legal numbers of parallel paths, rising: the divisors of `sections`; always begins with 1.

    Each path has equally many coils and the same voltage, size and angle. Complete: see the module.
    """
    m = sections(winding)
    return tuple(a for a in range(1, m + 1) if m % a == 0)


def paths_for(winding: WindingLayout, paths: int) -> Paths:
    """Split each phase into `paths` equal paths.

    Returns phase -> one tuple of tooth indices for each path, in winding order, starting at the
    phase's first run of neighbouring coils. Sections are dealt out in turn (1, 2, 1, 2, ...), not
    in blocks: each path then reaches all round, and a rotor a little off centre gives all paths
    nearly the same voltage. Between such sections the link wires are longer.

    Raises ValueError naming winding.parallel_paths, its value and the legal numbers.
    """
    legal = parallel_paths(winding)
    if paths not in legal:
        names = ", ".join(str(a) for a in legal)
        raise ValueError(
            f"winding.parallel_paths = {paths}: {winding.slots} slots and {winding.poles} poles, "
            f"coils on {winding.coil_sides}, have {legal[-1]} equal sections a phase, so other "
            f"paths would differ in voltage and current would circulate; use {names}"
        )
    span = winding.slots // legal[-1]
    result: Paths = {}
    for phase in PHASES:
        first = _first_run(winding, phase)
        ordered = sorted((k - first) % winding.slots for k in winding.teeth_of(phase))
        result[phase] = tuple(
            tuple((k + first) % winding.slots for k in ordered if k // span % paths == path)
            for path in range(paths)
        )
    return result


def _first_run(winding: WindingLayout, phase: Phase) -> int:
    """Lowest tooth index at which a run of neighbouring coils of the phase begins."""
    wound = [k for k, tooth in enumerate(winding.teeth) if tooth.phase]
    before = {k: wound[i - 1] for i, k in enumerate(wound)}
    return next(k for k in winding.teeth_of(phase) if winding.teeth[before[k]].phase != phase)


def joint_list(
    winding: WindingLayout, paths: int = 1, run: Run = "one wire a tooth"
) -> tuple[Join, ...]:
    """All links from the first terminal of a phase to its second, each path on its own.

    The start of a coil is the wire end at which its winding began, whichever way round. Coils are
    wound as the layout says, "-" teeth the other way round, so every link goes from a finish to a
    start.

    Returns joins in order of phase, path, and place in the chain: U1 to the first coil, the links,
    the last coil to U2. The paths of a phase share its terminals. Between which coils the wire goes on
    uncut, `run` says: none, neighbours in the row of wound teeth, or all. Raises ValueError as `paths_for`.
    Terminal names: IEC 60034-8.
    """
    joins: list[Join] = []
    step = 2 if winding.coil_sides == "alternate teeth" else 1
    for phase, groups in paths_for(winding, paths).items():
        for number, teeth in enumerate(groups, 1):
            at: tuple[int | None, str] = (None, f"{phase}1")
            for k in teeth:
                apart = None if at[0] is None else (k - at[0]) % winding.slots
                goes_on = run == "one wire a phase" or (run == "one wire a group" and apart == step)
                soldered = apart is None or not goes_on
                joins.append(Join(phase, number, *at, k, "start", soldered))
                at = (k, "finish")
            joins.append(Join(phase, number, *at, None, f"{phase}2"))
    return tuple(joins)


def terminal_links(connection: str) -> tuple[tuple[str, ...], ...]:
    """Return the groups of terminals to be joined: "wye" one star point, "delta" three corners.

    In delta each group is also a supply lead. Source: IEC 60034-8. Raises ValueError naming
    winding.connection for any other word.
    """
    if connection == "wye":
        return (("U2", "V2", "W2"),)
    if connection == "delta":
        return (("U1", "W2"), ("V1", "U2"), ("W1", "V2"))
    raise ValueError(f'winding.connection = "{connection}": must be "wye" or "delta"; choose one')


def _end_text(tooth: int | None, end: str) -> str:
    return end if tooth is None else f"tooth {tooth + 1} {end}"


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
    def turn_share(self) -> float:
        """What one turn is of the resistance and the voltage of a phase, as a share."""
        return 1.0 / (self.turns_in_series * self.paths)

    @property
    def acting_turns(self) -> float:
        """Turns that act between two leads: voltage per speed and torque per lead ampere."""
        return self.turns_in_series * ACTING_TURNS[self.connection]


def legal_paths(winding: WindingLayout, asked: int) -> int:
    """Return `asked` parallel paths.

    Raises:
        Refused: their voltages would differ; the legal numbers are named.
    """
    legal = parallel_paths(winding)
    if asked in legal:
        return asked
    names = " or ".join(str(a) for a in legal)
    raise Refused(
        stop(
            "paths-not-equal",
            "winding.parallel_paths",
            f"winding.parallel_paths = {asked}: the {winding.coils_per_phase} coils of a phase do not "
            f"fall into {asked} paths of equal voltage; current would circulate in the copper and heat "
            "it even with the leads open",
            value=asked,
            limit=names,
            fix=f"use {names}",
            source="star of slots: paths must have equal coil voltages",
        )
    )


def circuit(
    layout: WindingLayout,
    paths: int,
    connection: Connection,
    winding: Winding,
    motor: Motor,
    strand_area_mm2: float,
) -> Circuit:
    """Return the coils joined one way, at the lead current of the design.

    Args:
        layout: phase and sense of every tooth.
        paths: a legal number of parallel paths, see `legal_paths`.
        connection: "wye" or "delta".
        winding: turns, strands, and the connection at which the phase carries `motor.phase_current`.
        motor: current and duty.
        strand_area_mm2: copper of one wire.
    """
    series = layout.coils_per_phase // paths
    share = LEAD_CURRENT[motor.duty]
    lead = motor.phase_current * share[winding.connection]
    return Circuit(
        connection=connection,
        paths=paths,
        coils_in_series=series,
        turns_in_series=series * winding.turns,
        strands=winding.strands,
        strand_area_mm2=strand_area_mm2,
        phase_current_A=lead / share[connection],
        lead_current_A=lead,
    )


@dataclass(frozen=True)
class Connected:
    """One way to join the coils.

    Args:
        circuit: currents and turns at the lead current of the design.
        lead_resistance_20C_ohm: between two leads.
        speed_per_volt, torque_per_ampere: relative to the design's own way.
        own: this is the design's own way.
        cautions: what to mind, in sentences.
    """

    circuit: Circuit
    lead_resistance_20C_ohm: float
    speed_per_volt: float
    torque_per_ampere: float
    own: bool
    cautions: tuple[str, ...]


def connections(
    own: Circuit,
    layout: WindingLayout,
    winding: Winding,
    motor: Motor,
    phase_ohms: Mapping[int, float],
) -> tuple[Connected, ...]:
    """Return every legal way, wye before delta, parallel paths rising.

    Args:
        own: the design's own way.
        layout, winding, motor: as `circuit` takes them.
        phase_ohms: resistance of one phase by legal number of parallel paths.
    """
    third = third_harmonic_share(layout)
    rows = []
    for connection in CONNECTIONS:
        for paths, ohm in phase_ohms.items():
            way = circuit(layout, paths, connection, winding, motor, own.strand_area_mm2)
            ratio = way.acting_turns / own.acting_turns
            rows.append(
                Connected(
                    circuit=way,
                    lead_resistance_20C_ohm=LEAD_RESISTANCE[connection] * ohm,
                    speed_per_volt=1.0 / ratio,
                    torque_per_ampere=ratio,
                    own=(connection, paths) == (own.connection, own.paths),
                    cautions=_cautions(way, third),
                )
            )
    return tuple(rows)


def third_harmonic_share(layout: WindingLayout) -> float:
    """Return the largest third harmonic of a phase voltage / its fundamental.

    A square field wave round the air gap, weighted with the winding factors of order 1 and 3. It
    is equal in all three phases and drives a current round a delta, at any load. Source: winding
    factors by star of slots; Fourier series of a square wave.
    """
    factors = winding_factors(layout, (1, 3))
    return SQUARE_FIELD_THIRD * factors[3].winding / factors[1].winding


def _cautions(way: Circuit, third: float) -> tuple[str, ...]:
    found = []
    if way.connection == "delta":
        found.append(
            f"third harmonic up to {100.0 * third:.0f} % of a phase's voltage drives current round the "
            "delta: leave one corner open, turn the rotor, and measure across the gap before you "
            "close it"
        )
    if way.paths > 1:
        found.append(
            f"measure the {way.paths} paths of each phase before joining them: equal within "
            "2 %; a miscounted coil or a rotor off centre makes current circulate with leads open"
        )
    return tuple(found)


def connection_results(own: Circuit, layout: WindingLayout) -> dict[str, float | int | str]:
    """Return how the coils are joined for `results.json`."""
    return {
        "turns_in_series": own.turns_in_series,
        "parallel_paths_legal": ", ".join(str(a) for a in parallel_paths(layout)),
        "lead_current_A": own.lead_current_A,
        "third_harmonic_share": third_harmonic_share(layout),
    }


def connection_findings(connection: Connection, third: float) -> list[Finding]:
    """Judge a delta by the share of the third harmonic in a phase's voltage."""
    if connection != "delta" or third < THIRD_MATTERS:
        return []
    return [
        warn(
            "delta-circulates",
            "winding.connection",
            f"winding.connection = 'delta': the third harmonic, up to {100 * third:.0f} % of a "
            "phase's voltage, drives a current round the delta that heats and brakes at any load",
            value=round(third, 3),
            limit=THIRD_MATTERS,
            fix="use wye with more parallel paths or fewer turns for the same speed, or measure across "
            "one open corner of the delta before closing it",
            source="star of slots, order 3; square field of the magnets as the worst case",
            confidence="practice",
        )
    ]
