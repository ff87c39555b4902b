"""Seconds to warm at a known current, against the law of copper that keeps all its heat.

    leads U and V carry I: in wye two phases in series carry I, in delta phase U carries 2/3 I

The law gives the shortest time possible: enamel, paper and iron take heat away in a real coil. A
shorter time has a reason; a time more than twice as long only says that the test ran too long.
The copper's mean temperature follows from its resistance, (234.5 + T) being in proportion to R
(IEC 60028; the method of IEC 60034-1).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recipes.bench.reading import Reading, judged
from recipes.design.bench import Bench
from recipes.heat.adiabatic import seconds_to
from recipes.heat.limits import ADIABATIC_SOURCE, BURN_CAUTION
from recipes.tables.copper import INFERRED_ZERO_C
from recipes.winding.circuit import Circuit, Connection

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

    dc_A: float
    density_A_per_mm2: float
    start_C: float
    end_C: float
    seconds: float

    @property
    def expected_s(self) -> float:
        """Time by the law."""
        return seconds_to(self.density_A_per_mm2, self.start_C, self.end_C)

    @property
    def rate_K_per_s(self) -> float:
        """Mean rise."""
        return (self.end_C - self.start_C) / self.seconds


def warming(bench: Bench, cold_C: float, circuit: Circuit | None) -> Warming | None:
    """Return the run that was measured; None if current, time or end is missing, or no rise.

    Args:
        bench: table of the design.
        cold_C: of the copper when resistances were measured.
        circuit: of the winding; None without a current.
    """
    amperes, seconds, end = bench.warm_current, bench.warm_seconds, bench.warm_end
    end = end_by_resistance_C(bench, cold_C) if end is None else end
    start = cold_C if bench.warm_start is None else bench.warm_start
    if circuit is None or amperes is None or seconds is None or end is None or end <= start:
        return None
    phase = amperes * DC_SHARE[circuit.connection]
    density = phase / (circuit.paths * circuit.strands * circuit.strand_area_mm2)
    return Warming(amperes, density, start, end, seconds)


def temp_by_resistance_C(cold_ohm: float, cold_C: float, warm_ohm: float) -> float:
    """Return the mean temperature in C of copper that showed `cold_ohm` at `cold_C` before.

    Source: IEC 60028, inferred zero -234.5 C.
    """
    return warm_ohm / cold_ohm * (INFERRED_ZERO_C + cold_C) - INFERRED_ZERO_C


def end_by_resistance_C(bench: Bench, cold_C: float) -> float | None:
    """Return the copper's mean temperature at the end by its resistance; None if not measured."""
    if bench.warm_end_u_v is None or bench.lead_u_v is None:
        return None
    return temp_by_resistance_C(bench.lead_u_v, cold_C, bench.warm_end_u_v)


def warming_results(run: Warming | None) -> dict[str, float | int | str]:
    """Return how fast the copper warmed; nothing without a run."""
    return {} if run is None else {"heating_rate_measured_K_per_s": run.rate_K_per_s}


def warming_readings(bench: Bench, cold_C: float, run: Warming | None) -> tuple[Reading, ...]:
    """Return the time to warm, and the temperature by resistance if it was measured.

    Args:
        bench: table of the design.
        cold_C: of the copper when resistances were measured.
        run: as of `warming`.
    """
    low = high = expected = measured = None
    label = "seconds to warm at a known current"
    if run is not None:
        expected, measured = run.expected_s, run.seconds
        low, high = expected * (1.0 - SHORTER), expected * LONGER
        label = f"from {run.start_C:.3g} to {run.end_C:.3g} °C at {run.dc_A:g} A of DC"
    elif bench.warm_seconds is not None:
        label += ": current or a higher end temperature is missing"
    time = Reading(
        "measured.warm_seconds",
        label,
        expected,
        measured,
        "s",
        low,
        high,
        "10 % less (meters), twice as much (heat that leaves)",
        judged(measured, low, high),
        _meaning(run),
        ADIABATIC_SOURCE,
    )
    by, sensor = end_by_resistance_C(bench, cold_C), bench.warm_end
    if by is None:
        return (time,)
    low, high = (None, None) if sensor is None else (sensor - 10.0, sensor + 10.0)
    meaning = "mean of the copper between the two leads; the hottest spot is warmer"
    if sensor is not None and abs(by - sensor) > 10.0:
        meaning += "; the sensor sits badly or lags: press it into the coil, with varnish or paste"
    return (
        time,
        Reading(
            "measured.warm_end_u_v",
            "copper's mean temperature by its resistance",
            sensor,
            by,
            "degC",
            low,
            high,
            "10 K of the sensor",
            judged(by, low, high),
            meaning,
            "IEC 60028; method of IEC 60034-1",
            "standard",
        ),
    )


def _meaning(run: Warming | None) -> str:
    if run is None:
        return BURN_CAUTION
    rate = f"{run.rate_K_per_s:.3g} K/s at {run.density_A_per_mm2:.3g} A/mm2"
    if run.seconds < run.expected_s * (1.0 - SHORTER):
        return (
            f"{rate}, faster than copper that keeps all its heat: usually a strand open, a thinner "
            "wire, a poor joint beside the sensor, or a start that was not at rest"
        )
    if run.seconds > run.expected_s * LONGER:
        return (
            f"{rate}: most of the heat has left the copper; take a higher current or a shorter time"
        )
    return f"{rate}: the copper is there"
