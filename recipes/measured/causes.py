"""Slips of the hand, and what each does to a resistance: the usual causes of a deviation.

A slip changes one path of a phase by a factor f; with `a` paths in parallel the phase changes by

    a / (a - 1 + 1/f)

Slips that leave the resistance as it is, a coil wound the other way round above all, show only in
the voltages of the driven motor. All of it common practice put into figures.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from recipes.measured.row import said
from recipes.winding.circuit import LEAD_RESISTANCE, circuit_of
from recipes.winding.paths import parallel_paths
from recipes.winding.resistance import FOUR_WIRE_BELOW_OHM

if TYPE_CHECKING:
    from recipes.job import Job
    from recipes.winding.circuit import Connection

NAMED: Final = 3
"""Causes named at most."""

METER_LEADS_OHM: Final = (0.05, 0.4)
"""What the two leads of a common meter add (common practice)."""

WARMER_K: Final = 25.0
"""Nobody misjudges the copper's temperature by more (common practice)."""

_CLOSE: Final = 0.02
"""A slip explains a reading that is this near to it, as a share."""


def turn_share(job: Job) -> float:
    """Return what one turn is of the resistance and the voltage of a phase, as a share."""
    circuit = circuit_of(job)
    return 1.0 / (circuit.turns_in_series * circuit.paths)


def one_phase(job: Job, ratio: float) -> list[str]:
    """Name what makes one phase `ratio` times the other two, the likeliest first."""
    circuit = circuit_of(job)
    series, paths, turns = circuit.coils_in_series, circuit.paths, job.design.winding.turns

    def phase(factor: float) -> float:
        return paths / (paths - 1.0 + 1.0 / factor)

    slips: list[tuple[float, str]] = []
    for n in range(1, min(turns, 4)):
        words = f"{_count(n)} turn{'s' if n > 1 else ''}"
        share = n / circuit.turns_in_series
        slips.append((phase(1.0 - share), f"{words} too few in one coil, or shorted there"))
        slips.append((phase(1.0 + share), f"{words} too many in one coil"))
    if series > 1:
        slips.append((phase(1.0 - 1.0 / series), "one coil left out or bridged at its joint"))
    strands = circuit.strands
    if strands > 1:
        lost = strands / (strands - 1.0)
        slips.append((phase(1.0 + (lost - 1.0) / series), "one strand open in one coil"))
        slips.append((phase(lost), "one strand open from end to end of a path"))
    if paths > 1:
        slips.append((paths / (paths - 1.0), "one path not joined"))
    return _nearest(slips, ratio)


def all_alike(job: Job, measured: float, expected: float) -> list[str]:
    """Name what puts all three lead resistances (ohm) off by the same factor, the likeliest first."""
    asked, circuit, ratio = job.design.winding, circuit_of(job), measured / expected
    other: Connection = "delta" if asked.connection == "wye" else "wye"
    slips = [
        (LEAD_RESISTANCE[other] / LEAD_RESISTANCE[asked.connection], f"joined in {other}"),
        *(
            ((circuit.paths / a) ** 2, f"joined in {a} parallel path{'s' if a > 1 else ''}")
            for a in parallel_paths(job.winding)
            if a != circuit.paths
        ),
        *(
            (asked.strands / n, f"wound with {_count(n)} strand{'s' if n > 1 else ''} in hand")
            for n in (asked.strands - 1, asked.strands + 1)
            if n
        ),
        *(
            ((asked.turns + n) / asked.turns, f"{_count(abs(n))} turn{'s' if abs(n) > 1 else ''} too "
             f"{'many' if n > 0 else 'few'} on every tooth")
            for n in (-2, -1, 1, 2)
            if asked.turns + n > 0
        ),
        *_gauges(job),
    ]  # fmt: skip
    found = _nearest(slips, ratio)
    extra = measured - expected
    if METER_LEADS_OHM[0] <= extra <= METER_LEADS_OHM[1] and expected < FOUR_WIRE_BELOW_OHM:
        found.insert(0, f"the meter's own leads ({said(extra, 'ohm')}): measure with four wires")
    warmer = (ratio - 1.0) * (234.5 + job.design.winding.room_temperature)
    if 2.0 < abs(warmer) <= WARMER_K:
        found.append(
            f"copper {abs(warmer):.0f} K {'warmer' if warmer > 0 else 'colder'} than noted"
        )
    return found[:NAMED]


def _gauges(job: Job) -> list[tuple[float, str]]:
    """Return the next sizes of the wire's own standard, thinner and thicker."""
    from recipes.tables.wire_table import list_wires

    own = job.wire
    sizes = list_wires(own.standard, own.grade)
    at = min(range(len(sizes)), key=lambda k: abs(sizes[k].bare_mm - own.bare_mm))
    near = [sizes[k] for k in (at - 2, at - 1, at + 1, at + 2) if 0 <= k < len(sizes)]
    return [
        (w.resistance_20C_ohm_per_m / own.resistance_20C_ohm_per_m, f"wound with {w.label} wire")
        for w in near
    ]


def _nearest(slips: list[tuple[float, str]], ratio: float) -> list[str]:
    """Return the words of the slips nearest to `ratio`, those near enough to explain it."""
    if ratio <= 0.0:
        return []
    # A slip that is nearer to "nothing wrong" than to the reading explains nothing.
    limit = min(_CLOSE, abs(math.log(ratio)) / 2.0)
    near = sorted((abs(math.log(r / ratio)), words) for r, words in slips if r > 0.0)
    return [words for apart, words in near if apart <= limit][:NAMED]


def _count(n: int) -> str:
    return {1: "one", 2: "two", 3: "three", 4: "four"}.get(n, str(n))
