"""The three lead resistances, and the three phases that follow from them.

Expected is the design's own resistance at the temperature at which it was measured. The limits are
those of the wire's standard, wider by what the meter may be off; the balance of the three does not
suffer from that, because one meter is off the same way three times.

    wye     R_U = (R_UV + R_WU - R_VW) / 2
    delta   the same star, turned into its delta: R_U = r_U + r_V + r_U r_V / r_W, between U and V
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from recipes.job import Job
from recipes.study.bench_row import Beside, judged, said
from recipes.tables.copper import resistance_ratio
from recipes.tables.wire import list_wires
from recipes.winding.circuit import LEAD_RESISTANCE, Connection, parallel_paths
from recipes.winding.resistance import FOUR_WIRE_BELOW_OHM, SPREAD

#     Slips of the hand, and what each does to a resistance: the usual causes of a deviation.
#
# A slip changes one path of a phase by a factor f; with `a` paths in parallel the phase changes by
#
#     a / (a - 1 + 1/f)
#
# Slips that leave the resistance as it is, a coil wound the other way round above all, show only in
# the voltages of the driven motor. All of it common practice put into figures.

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
    circuit = job.circuit
    return 1.0 / (circuit.turns_in_series * circuit.paths)


def one_phase(job: Job, ratio: float) -> list[str]:
    """Name what makes one phase `ratio` times the other two, the likeliest first."""
    circuit = job.circuit
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
    asked, circuit, ratio = job.design.winding, job.circuit, measured / expected
    other: Connection = "delta" if asked.connection == "wye" else "wye"
    slips = [
        (LEAD_RESISTANCE[other] / LEAD_RESISTANCE[asked.connection], f"joined in {other}"),
        *(
            ((circuit.paths / a) ** 2, f"joined in {a} parallel path{'s' if a > 1 else ''}")
            for a in parallel_paths(job.layout)
            if a != circuit.paths
        ),
        *(
            (asked.strands / n, f"wound with {_count(n)} strand{'s' if n > 1 else ''} in hand")
            for n in (asked.strands - 1, asked.strands + 1)
            if n
        ),
        *(
            (
                (asked.turns + n) / asked.turns,
                f"{_count(abs(n))} turn{'s' if abs(n) > 1 else ''} too "
                f"{'many' if n > 0 else 'few'} on every tooth",
            )
            for n in (-2, -1, 1, 2)
            if asked.turns + n > 0
        ),
        *_gauges(job),
    ]
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


PAIRS: Final = (("lead_u_v", "U and V"), ("lead_v_w", "V and W"), ("lead_w_u", "W and U"))

_SOURCE: Final = "resistance band of the wire's standard (IEC 60317-0-1 or NEMA MW 1000); IEC 60028"


@dataclass(frozen=True)
class Leads:
    """Three measured lead resistances, ohm.

    Args:
        values: U-V, V-W, W-U as measured.
        temp_C: of the copper then.
        phases: U, V, W that give these values; None where no winding can.
    """

    values: tuple[float, float, float]
    temp_C: float
    phases: tuple[float, float, float] | None

    @property
    def mean(self) -> float:
        """Mean of the three."""
        return math.fsum(self.values) / 3.0

    @property
    def mean_20C(self) -> float:
        """Mean of the three, in copper of 20 C (IEC 60028)."""
        return self.mean / resistance_ratio(self.temp_C)

    @property
    def spread(self) -> float:
        """Largest deviation from the mean as a share of it."""
        return max(abs(v - self.mean) for v in self.values) / self.mean


def bench_temp_C(job: Job) -> float:
    """Return the temperature of the copper when resistances were measured."""
    own = job.design.measured.room_temperature
    return job.design.winding.room_temperature if own is None else own


def measured_leads(job: Job) -> Leads | None:
    """Return the three readings; None unless all three were typed in."""
    u_v, v_w, w_u = job.design.measured.leads
    if u_v is None or v_w is None or w_u is None:
        return None
    phases = phases_of((u_v, v_w, w_u), job.design.winding.connection)
    return Leads((u_v, v_w, w_u), bench_temp_C(job), phases)


def phases_of(
    leads: tuple[float, float, float], connection: Connection
) -> tuple[float, float, float] | None:
    """Return the phases U, V, W that show `leads` (U-V, V-W, W-U); None if none can.

    In delta, phase U lies between the leads U and V, V between V and W, W between W and U.
    Source: star-delta transformation, any book of circuits.
    """
    u_v, v_w, w_u = leads
    star = ((u_v + w_u - v_w) / 2.0, (u_v + v_w - w_u) / 2.0, (v_w + w_u - u_v) / 2.0)
    if min(star) <= 0.0:
        return None
    if connection == "wye":
        return star
    u, v, w = star
    return u + v + u * v / w, v + w + v * w / u, w + u + w * u / v


def lead_rows(job: Job) -> tuple[Beside, ...]:
    """Return the three readings and their balance.

    Raises:
        Refused: the design has no winding that can be worked out.
    """
    r, bench, temp = job.resistance, job.design.measured, bench_temp_C(job)
    expected, accuracy = r.lead_at(temp), bench.meter_accuracy / 100.0
    low = expected * r.least * (1.0 - accuracy)
    high = expected * r.greatest * (1.0 + accuracy)
    words = (
        f"the wire's standard and {bench.meter_accuracy:g} % of the meter"
        + (", four wires" if r.needs_four_wires else "")
        + f", copper at {temp:g} °C"
    )
    rows = []
    for (key, names), value in zip(PAIRS, bench.leads, strict=True):
        verdict = judged(value, low, high, far=0.1 * expected)
        rows.append(
            Beside(
                f"measured.{key}",
                f"resistance between leads {names}",
                expected,
                value,
                "ohm",
                low,
                high,
                words,
                verdict,
                _level(job, value, expected, verdict),
                _SOURCE,
                "standard",
            )
        )
    return (*rows, _balance(job))


def _level(job: Job, value: float | None, expected: float, verdict: str) -> str:
    """Say what a reading far from the expected one usually means, once all three are known."""
    if value is None or verdict == "good":
        return ""
    leads = measured_leads(job)
    if leads is None:
        return "measure all three pairs: only together do they tell the cause"
    if leads.spread > SPREAD[0][0]:
        return "see the balance of the three"
    causes = all_alike(job, leads.mean, expected)
    return "all three alike; " + (f"usually {' or '.join(causes)}" if causes else _unlike())


def _unlike() -> str:
    return "no single slip gives this figure: check wire size, turns and how the coils are joined"


def _balance(job: Job) -> Beside:
    leads, percent = measured_leads(job), 100.0 * SPREAD[0][0]
    spread = None if leads is None else 100.0 * leads.spread
    verdict = judged(spread, None, percent, far=100.0 * (SPREAD[1][0] - SPREAD[0][0]))
    return Beside(
        "measured.leads",
        "largest deviation of a lead pair from the mean of three",
        0.0,
        spread,
        "%",
        None,
        percent,
        "2 % random-wound; 5 % look for a cause; 10 % wind anew",
        verdict,
        "" if leads is None else _balance_means(job, leads, verdict),
        "ANSI/EASA AR100; alarm and limit for redoing: common practice",
    )


def _balance_means(job: Job, leads: Leads, verdict: str) -> str:
    one = 100.0 * turn_share(job)
    if verdict == "good":
        return f"balanced; one turn too few in a phase would be {one:.2g} % of it" + (
            ": too little to see here, the driven voltages and your tally tell"
            if one < 100.0 * SPREAD[0][0]
            else ""
        )
    if leads.phases is None:
        return "no winding can show these three: read them again, same probes, copper at rest"
    contact = _contact(job, leads)
    if contact:
        return contact
    name, ratio, others = odd_phase(leads.phases)
    excess = said(abs(ratio - 1.0) * others, "ohm")
    causes = one_phase(job, ratio)
    usual = f"; usually {' or '.join(causes)}" if causes else ""
    way = f"{excess} too {'much' if ratio > 1.0 else 'little'}"
    joint = (
        ", or a poor joint: run a small current briefly, switch off, and look for the warm one with a thermometer"
        if ratio > 1.0
        else ""
    )
    side = "above" if ratio > 1.0 else "below"
    return f"phase {name} is {100.0 * abs(ratio - 1.0):.1f} % {side} the other two ({way}){usual}{joint}"


def _contact(job: Job, leads: Leads) -> str:
    """Return the advice for one pair that alone reads too much in wye, "" if that is not so.

    In wye a slip in one phase moves two pairs; a probe that touches badly adds to one.
    """
    if job.design.winding.connection != "wye":
        return ""
    expected = job.resistance.lead_at(leads.temp_C)
    order = sorted(range(3), key=lambda k: leads.values[k])
    low, middle, high = (leads.values[k] for k in order)
    alike = middle - low <= SPREAD[0][0] * low
    others = (low + middle) / 2.0
    if not alike or abs(others - expected) >= abs(high - expected):
        return ""
    return (
        f"only {PAIRS[order[2]][1]} is off, by {said(high - others, 'ohm')}, and one phase alone moves "
        "two pairs: read it again with clean probes; if it stays, look for a poor joint at its leads"
    )


def odd_phase(phases: tuple[float, float, float]) -> tuple[str, float, float]:
    """Return the phase farthest from the other two, its ratio to their mean, and that mean."""
    ratios = []
    for k, name in enumerate("UVW"):
        others = (math.fsum(phases) - phases[k]) / 2.0
        apart = abs(phases[(k + 1) % 3] - phases[(k + 2) % 3])
        ratios.append((apart, name, phases[k] / others, others))
    _, name, ratio, others = min(ratios)
    return name, ratio, others
