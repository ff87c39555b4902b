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
from typing import TYPE_CHECKING, Final

from recipes.measured.causes import all_alike, one_phase, turn_share
from recipes.measured.row import Beside, judged, said
from recipes.tables.copper import resistance_ratio
from recipes.winding.resistance import SPREAD, winding_resistance_of

if TYPE_CHECKING:
    from recipes.job import Job
    from recipes.winding.circuit import Connection

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
    r, bench, temp = winding_resistance_of(job), job.design.measured, bench_temp_C(job)
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
                f"measured.{key}", f"resistance between leads {names}", expected, value, "ohm",
                low, high, words, verdict, _level(job, value, expected, verdict), _SOURCE, "standard",
            )
        )  # fmt: skip
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
        "measured.leads", "largest deviation of a lead pair from the mean of three", 0.0, spread,
        "%", None, percent, "2 % random-wound; 5 % look for a cause; 10 % wind anew", verdict,
        "" if leads is None else _balance_means(job, leads, verdict),
        "ANSI/EASA AR100; alarm and limit for redoing: common practice",
    )  # fmt: skip


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
    expected = winding_resistance_of(job).lead_at(leads.temp_C)
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
