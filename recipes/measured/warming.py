"""Seconds to warm at a known current, against the law of copper that keeps all its heat.

    leads U and V carry I: in wye two phases in series carry I, in delta phase U carries 2/3 I

The law gives the shortest time possible: enamel, paper and iron take heat away in a real coil. A
shorter time has a reason; a time more than twice as long only says that the test ran too long.
The copper's mean temperature follows from its resistance, (234.5 + T) being in proportion to R
(IEC 60028; the method of IEC 60034-1).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from recipes.heat.adiabatic import seconds_to
from recipes.heat.rules import ADIABATIC_SOURCE, BURN_CAUTION
from recipes.measured.leads import bench_temp_C
from recipes.measured.row import Beside, judged
from recipes.tables.copper import INFERRED_ZERO_C
from recipes.winding.circuit import circuit_of

if TYPE_CHECKING:
    from recipes.job import Job
    from recipes.winding.circuit import Connection

DC_SHARE: Final[dict[Connection, float]] = {"wye": 1.0, "delta": 2.0 / 3.0}
"""Current in the hottest phase / DC current through two leads (parallel circuit of 1 and 2 phases)."""

SHORTER: Final = 0.10
"""Shorter than the law by more than this has a reason: 2 % of current counts twice, and a kelvin
or two of thermometer (common practice)."""

LONGER: Final = 2.0
"""So many times the law, and most heat has left the copper (common practice)."""


@dataclass(frozen=True)
class Warming:
    """One run at a steady current: temperatures in C, time in s."""

    density_A_per_mm2: float
    start_C: float
    end_C: float
    seconds: float
    expected_s: float

    @property
    def rate_K_per_s(self) -> float:
        """Mean rise."""
        return (self.end_C - self.start_C) / self.seconds


def temp_by_resistance_C(cold_ohm: float, cold_C: float, warm_ohm: float) -> float:
    """Return the mean temperature in C of copper that showed `cold_ohm` at `cold_C` before.

    Source: IEC 60028, inferred zero -234.5 C.
    """
    return warm_ohm / cold_ohm * (INFERRED_ZERO_C + cold_C) - INFERRED_ZERO_C


def end_by_resistance_C(job: Job) -> float | None:
    """Return the copper's mean temperature at the end by its resistance; None if not measured."""
    bench = job.design.measured
    if bench.warm_end_u_v is None or bench.lead_u_v is None:
        return None
    return temp_by_resistance_C(bench.lead_u_v, bench_temp_C(job), bench.warm_end_u_v)


def warming_of(job: Job) -> Warming | None:
    """Return the run that was measured; None if current, time or end is missing, or no rise.

    Raises:
        Refused: the design has no winding that can be worked out.
    """
    bench, end = job.design.measured, job.design.measured.warm_end
    end = end_by_resistance_C(job) if end is None else end
    start = bench_temp_C(job) if bench.warm_start is None else bench.warm_start
    if bench.warm_current is None or bench.warm_seconds is None or end is None or end <= start:
        return None
    density = dc_density(job, bench.warm_current)
    return Warming(density, start, end, bench.warm_seconds, seconds_to(density, start, end))


def dc_density(job: Job, amperes: float) -> float:
    """Return A/mm2 in the hottest phase with `amperes` of DC through leads U and V."""
    circuit = circuit_of(job)
    phase = amperes * DC_SHARE[circuit.connection]
    return phase / (circuit.paths * circuit.strands * circuit.strand_area_mm2)


def warming_rows(job: Job) -> tuple[Beside, ...]:
    """Return the time to warm, and the temperature by resistance if it was measured.

    Raises:
        Refused: see `warming_of`.
    """
    run, bench = warming_of(job), job.design.measured
    low = high = expected = measured = None
    label = "seconds to warm at a known current"
    if run is not None and bench.warm_current is not None:
        expected, measured = run.expected_s, run.seconds
        low, high = expected * (1.0 - SHORTER), expected * LONGER
        label = f"from {run.start_C:.3g} to {run.end_C:.3g} °C at {bench.warm_current:g} A of DC"
    elif bench.warm_seconds is not None:
        label += ": current or a higher end temperature is missing"
    verdict = judged(measured, low, high)
    time = Beside(
        "measured.warm_seconds", label, expected, measured, "s", low, high,
        "10 % less (meters), twice as much (heat that leaves)", verdict,
        _meaning(run, verdict), ADIABATIC_SOURCE,
    )  # fmt: skip
    by = end_by_resistance_C(job)
    if by is None:
        return (time,)
    sensor = bench.warm_end
    low, high = (None, None) if sensor is None else (sensor - 10.0, sensor + 10.0)
    meaning = "mean of the copper between the two leads; the hottest spot is warmer"
    return (
        time,
        Beside(
            "measured.warm_end_u_v", "copper's mean temperature by its resistance", sensor, by,
            "degC", low, high, "10 K of the sensor", judged(by, low, high),
            meaning + ("" if sensor is None or abs(by - sensor) <= 10.0 else
            "; the sensor sits badly or lags: press it into the coil, with varnish or paste"),
            "IEC 60028; method of IEC 60034-1", "standard",
        ),
    )  # fmt: skip


def _meaning(run: Warming | None, verdict: str) -> str:
    if run is None:
        return BURN_CAUTION
    rate = f"{run.rate_K_per_s:.3g} K/s at {run.density_A_per_mm2:.3g} A/mm2"
    if verdict == "good":
        return f"{rate}: the copper is there"
    if run.seconds < run.expected_s:
        return (
            f"{rate}, faster than copper that keeps all its heat: usually a strand open, a thinner "
            "wire, a poor joint beside the sensor, or a start that was not at rest"
        )
    return f"{rate}: most of the heat has left the copper; take a higher current or a shorter time"
