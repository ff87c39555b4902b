"""The three lead resistances, the three phases that follow from them, and what puts them off.

Expected is the design's own resistance at the temperature at which it was measured. The limits are
those of the wire's standard, wider by what the meter may be off; the balance of the three does not
suffer from that, because one meter is off the same way three times.

    wye     R_U = (R_UV + R_WU - R_VW) / 2
    delta   the same star, turned into its delta: R_U = r_U + r_V + r_U r_V / r_W, between U and V

A slip of the hand changes one path of a phase by a factor f; with `a` paths in parallel the phase
changes by a / (a - 1 + 1/f). Slips that leave the resistance as it is, a coil wound the other way
round above all, show only in the voltages of the driven motor. All of it common practice put into
figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from recipes.bench.reading import Reading, judged, said
from recipes.design.bench import Bench
from recipes.design.winding import Winding
from recipes.tables.copper import resistance_ratio
from recipes.tables.wire import Wire, list_wires
from recipes.winding.circuit import LEAD_RESISTANCE, Circuit, Connection, parallel_paths
from recipes.winding.layout import WindingLayout
from recipes.winding.resistance import FOUR_WIRE_BELOW_OHM, SPREAD, WindingResistance

NAMED: Final = 3
"""Causes named at most."""

METER_LEADS_OHM: Final = (0.05, 0.4)
"""What the two leads of a common meter add (common practice)."""

WARMER_K: Final = 25.0
"""Nobody misjudges the copper's temperature by more (common practice)."""

PAIRS: Final = (("u_v", "U and V"), ("v_w", "V and W"), ("w_u", "W and U"))
"""Pairs of leads, as in the names of fields and in words."""

_CLOSE: Final = 0.02
"""A slip explains a reading that is this near to it, as a share."""

_BALANCED: Final = SPREAD[0][0]
"""Deviation from the mean of the three that is good, as a share."""

Slip = tuple[float, str]
"""A factor on the resistance, and what causes it."""


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


def measured_leads(bench: Bench, temp_C: float, connection: Connection) -> Leads | None:
    """Return the three readings, taken at `temp_C`; None unless all three were typed in."""
    u_v, v_w, w_u = bench.leads
    if u_v is None or v_w is None or w_u is None:
        return None
    return Leads((u_v, v_w, w_u), temp_C, phases_of((u_v, v_w, w_u), connection))


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


def odd_phase(phases: tuple[float, float, float]) -> tuple[str, float, float]:
    """Return the phase farthest from the other two, its ratio to their mean, and that mean."""
    ratios = []
    for k, name in enumerate("UVW"):
        others = (math.fsum(phases) - phases[k]) / 2.0
        apart = abs(phases[(k + 1) % 3] - phases[(k + 2) % 3])
        ratios.append((apart, name, phases[k] / others, others))
    _, name, ratio, others = min(ratios)
    return name, ratio, others


def lead_results(leads: Leads | None) -> dict[str, float | int | str]:
    """Return mean and spread of the three; nothing unless all are known."""
    if leads is None:
        return {}
    return {
        "lead_resistance_20C_measured_ohm": leads.mean_20C,
        "lead_spread_measured": leads.spread,
    }


def lead_readings(
    bench: Bench, resistance: WindingResistance, temp_C: float, off: str
) -> list[Reading]:
    """Return the three readings.

    Args:
        bench: table of the design.
        resistance: of the design.
        temp_C: of the copper when resistances were measured.
        off: what a reading means that is not as expected, as of `level_meaning`.
    """
    expected, accuracy = resistance.lead_at(temp_C), bench.meter_accuracy / 100.0
    low = expected * resistance.least * (1.0 - accuracy)
    high = expected * resistance.greatest * (1.0 + accuracy)
    words = (
        f"the wire's standard and {bench.meter_accuracy:g} % of the meter"
        + (", four wires" if resistance.needs_four_wires else "")
        + f", copper at {temp_C:g} °C"
    )
    rows = []
    for (pair, names), value in zip(PAIRS, bench.leads, strict=True):
        verdict = judged(value, low, high, far=0.1 * expected)
        rows.append(
            Reading(
                f"measured.lead_{pair}",
                f"resistance between leads {names}",
                expected,
                value,
                "ohm",
                low,
                high,
                words,
                verdict,
                off if verdict in ("look", "off") else "",
                "resistance band of the wire's standard (IEC 60317-0-1 or NEMA MW 1000); IEC 60028",
                "standard",
            )
        )
    return rows


def level_meaning(
    leads: Leads | None,
    expected: float,
    winding: Winding,
    circuit: Circuit,
    layout: WindingLayout,
    wire: Wire,
) -> str:
    """Say what a reading far from the expected one usually means, once all three are known.

    Args:
        leads: all three; None unless they are known.
        expected: between two leads at the temperature of the reading, ohm.
        winding, circuit, layout, wire: of the design.
    """
    if leads is None:
        return "measure all three pairs: only together do they tell the cause"
    if leads.spread > _BALANCED:
        return "see the balance of the three"
    causes = all_alike(winding, circuit, layout, wire, leads.mean, expected)
    if not causes:
        return (
            "all three alike; no single slip gives this figure: check wire size, turns and how the "
            "coils are joined"
        )
    return f"all three alike; usually {' or '.join(causes)}"


def all_alike(
    winding: Winding,
    circuit: Circuit,
    layout: WindingLayout,
    wire: Wire,
    measured: float,
    expected: float,
) -> list[str]:
    """Name what puts all three lead resistances (ohm) off by the same factor, the likeliest first."""
    own, turns, ratio = circuit.connection, winding.turns, measured / expected
    other: Connection = "delta" if own == "wye" else "wye"
    slips: list[Slip] = [(LEAD_RESISTANCE[other] / LEAD_RESISTANCE[own], f"joined in {other}")]
    for paths in parallel_paths(layout):
        if paths != circuit.paths:
            words = f"joined in {paths} parallel path{_s(paths)}"
            slips.append(((circuit.paths / paths) ** 2, words))
    for strands in (winding.strands - 1, winding.strands + 1):
        if strands:
            words = f"wound with {_count(strands)} strand{_s(strands)} in hand"
            slips.append((winding.strands / strands, words))
    for n in (-2, -1, 1, 2):
        if turns + n > 0:
            words = f"{_count(abs(n))} turn{_s(abs(n))} too {'many' if n > 0 else 'few'}"
            slips.append(((turns + n) / turns, f"{words} on every tooth"))
    found = _nearest([*slips, *_gauges(wire)], ratio)
    extra = measured - expected
    if METER_LEADS_OHM[0] <= extra <= METER_LEADS_OHM[1] and expected < FOUR_WIRE_BELOW_OHM:
        found.insert(0, f"the meter's own leads ({said(extra, 'ohm')}): measure with four wires")
    warmer = (ratio - 1.0) * (234.5 + winding.room_temperature)
    if 2.0 < abs(warmer) <= WARMER_K:
        found.append(
            f"copper {abs(warmer):.0f} K {'warmer' if warmer > 0 else 'colder'} than noted"
        )
    return found[:NAMED]


def _gauges(own: Wire) -> list[Slip]:
    """Return the next sizes of the wire's own standard, thinner and thicker."""
    sizes = list_wires(own.standard, own.grade)
    at = min(range(len(sizes)), key=lambda k: abs(sizes[k].bare_mm - own.bare_mm))
    near = [sizes[k] for k in (at - 2, at - 1, at + 1, at + 2) if 0 <= k < len(sizes)]
    return [
        (w.resistance_20C_ohm_per_m / own.resistance_20C_ohm_per_m, f"wound with {w.label} wire")
        for w in near
    ]


def lead_balance(leads: Leads | None, resistance: WindingResistance, circuit: Circuit) -> Reading:
    """Return the balance of the three.

    Args:
        leads: all three; None unless they are known.
        resistance, circuit: of the design.
    """
    percent = 100.0 * _BALANCED
    spread = None if leads is None else 100.0 * leads.spread
    verdict = judged(spread, None, percent, far=100.0 * (SPREAD[1][0] - _BALANCED))
    meaning = ""
    if leads is not None and verdict == "good":
        one = 100.0 * circuit.turn_share
        meaning = f"balanced; one turn too few in a phase would be {one:.2g} % of it" + (
            ": too little to see here, the driven voltages and your tally tell"
            if one < percent
            else ""
        )
    elif leads is not None and leads.phases is None:
        meaning = "no winding can show these three: read them again, same probes, copper at rest"
    elif leads is not None and leads.phases is not None:
        meaning = _contact(leads, resistance) or _phase_off(leads.phases, circuit)
    return Reading(
        "measured.leads",
        "largest deviation of a lead pair from the mean of three",
        0.0,
        spread,
        "%",
        None,
        percent,
        "2 % random-wound; 5 % look for a cause; 10 % wind anew",
        verdict,
        meaning,
        "ANSI/EASA AR100; alarm and limit for redoing: common practice",
    )


def _phase_off(phases: tuple[float, float, float], circuit: Circuit) -> str:
    name, ratio, others = odd_phase(phases)
    much = ratio > 1.0
    causes = one_phase(circuit, ratio)
    return (
        f"phase {name} is {100.0 * abs(ratio - 1.0):.1f} % {'above' if much else 'below'} the other two "
        f"({said(abs(ratio - 1.0) * others, 'ohm')} too {'much' if much else 'little'})"
        + (f"; usually {' or '.join(causes)}" if causes else "")
        + (
            ", or a poor joint: run a small current briefly, switch off, and look for the warm one with "
            "a thermometer"
            if much
            else ""
        )
    )


def one_phase(circuit: Circuit, ratio: float) -> list[str]:
    """Name what makes one phase `ratio` times the other two, the likeliest first."""
    series, paths, strands = circuit.coils_in_series, circuit.paths, circuit.strands
    turns = circuit.turns_in_series

    def phase(factor: float) -> float:
        return paths / (paths - 1.0 + 1.0 / factor)

    slips: list[Slip] = []
    for n in range(1, min(turns // series, 4)):
        words, share = f"{_count(n)} turn{_s(n)}", n / turns
        slips.append((phase(1.0 - share), f"{words} too few in one coil, or shorted there"))
        slips.append((phase(1.0 + share), f"{words} too many in one coil"))
    if series > 1:
        slips.append((phase(1.0 - 1.0 / series), "one coil left out or bridged at its joint"))
    if strands > 1:
        lost = strands / (strands - 1.0)
        slips.append((phase(1.0 + (lost - 1.0) / series), "one strand open in one coil"))
        slips.append((phase(lost), "one strand open from end to end of a path"))
    if paths > 1:
        slips.append((paths / (paths - 1.0), "one path not joined"))
    return _nearest(slips, ratio)


def _contact(leads: Leads, resistance: WindingResistance) -> str:
    """Return the advice for one pair that alone reads too much in wye, "" if that is not so.

    In wye a slip in one phase moves two pairs; a probe that touches badly adds to one.
    """
    if resistance.connection != "wye":
        return ""
    expected = resistance.lead_at(leads.temp_C)
    order = sorted(range(3), key=lambda k: leads.values[k])
    low, middle, high = (leads.values[k] for k in order)
    others = (low + middle) / 2.0
    if middle - low > _BALANCED * low or abs(others - expected) >= abs(high - expected):
        return ""
    return (
        f"only {PAIRS[order[2]][1]} is off, by {said(high - others, 'ohm')}, and one phase alone moves "
        "two pairs: read it again with clean probes; if it stays, look for a poor joint at its leads"
    )


def _nearest(slips: list[Slip], ratio: float) -> list[str]:
    """Return the words of the slips nearest to `ratio`, those near enough to explain it."""
    if ratio <= 0.0:
        return []
    # A slip that is nearer to "nothing wrong" than to the reading explains nothing.
    limit = min(_CLOSE, abs(math.log(ratio)) / 2.0)
    near = sorted((abs(math.log(r / ratio)), words) for r, words in slips if r > 0.0)
    return [words for apart, words in near if apart <= limit][:NAMED]


def _count(n: int) -> str:
    return {1: "one", 2: "two", 3: "three", 4: "four"}.get(n, str(n))


def _s(n: int) -> str:
    return "s" if n > 1 else ""
