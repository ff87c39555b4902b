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

from recipes.heat.adiabatic import seconds_to
from recipes.heat.limits import ADIABATIC_SOURCE, BURN_CAUTION
from recipes.job import Job
from recipes.stator.stack_count import PILE
from recipes.study.bench_leads import bench_temp_C
from recipes.study.bench_row import Beside, judged
from recipes.tables.copper import INFERRED_ZERO_C
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.winding.circuit import Connection

#     Insulation resistance from winding to steel, against 5 Mohm at 40 C.
#
# It halves for every 10 K more (IEEE 43, thermoplastic enamel and asphalt; the careful choice), so a
# cold winding must show more:  least = 5 Mohm x 2^((40 - T) / 10)

LEAST_MOHM: Final = 5.0
"""Random-wound, below 1 kV, corrected to 40 C: IEEE 43-2013 table 3."""


def least_insulation_Mohm(temp_C: float) -> float:
    """Return the least reading in Mohm of a winding at `temp_C` that is 5 Mohm at 40 C."""
    return float(LEAST_MOHM * 2.0 ** ((40.0 - temp_C) / 10.0))


def insulation_row(job: Job) -> Beside:
    """Return the insulation resistance beside its least."""
    temp, reading = bench_temp_C(job), job.design.measured.insulation
    least = least_insulation_Mohm(temp)
    verdict = judged(reading, least, None, far=0.8 * least)
    if verdict in ("look", "off"):
        meaning = (
            "do not connect it: usually damp (dry it at 80 °C and measure again), dirt, or a wire "
            "through its paper at a tooth's end edge; part the phases to find the coil"
        )
    else:
        meaning = (
            "measure before Hall sensors or a thermistor are connected; 500 V DC: keep hands off, "
            "then discharge the winding"
        )
    return Beside(
        "measured.insulation",
        "from winding to steel, after 1 min at 500 V DC",
        None,
        reading,
        "Mohm",
        least,
        None,
        f"5 Mohm at 40 °C, halved for every 10 K, copper at {temp:g} °C",
        verdict,
        meaning,
        "IEEE 43-2013, random-wound below 1 kV",
        "standard",
    )


# Height of the pile of 20 sheets and of the glued stack: burr, glue, and sheets forgotten.

BURR_MM: Final = (0.02, 0.05)
"""Burr of one sheet: what an order may ask for, and what bites through the coating (common practice)."""

THICKNESS_OFF: Final = 0.08
"""Thickness of electrical steel may be off by this share (EN 10106, nominal 0.35 to 0.65 mm; from
memory)."""


def height_rows(job: Job) -> tuple[Beside, ...]:
    """Return the pile of 20 sheets and the height of the stack."""
    return _pile(job), _stack(job)


def _pile(job: Job) -> Beside:
    lam, height = job.design.lamination, job.design.shop.measured.pile_of_20
    bare = PILE * lam.sheet_thickness
    try:
        expected = bare / steel_grade(lam.steel).min_stacking_factor
        basis = f"pressed mill stock of {lam.steel} (EN 10106)"
    except TableError:
        expected, basis = bare / 0.96, "pressed mill stock, common practice"
    low, high = bare * (1.0 - THICKNESS_OFF), expected + PILE * BURR_MM[0]
    verdict = judged(height, low, high, far=PILE * (BURR_MM[1] - BURR_MM[0]))
    return Beside(
        "shop.measured.pile_of_20",
        f"height of {PILE} sheets, pressed",
        expected,
        height,
        "mm",
        low,
        high,
        f"{basis}, {BURR_MM[0]:g} mm of burr a sheet, sheet 8 % thin",
        verdict,
        "" if height is None else _pile_means(height, expected, low, bare, verdict),
    )


def _pile_means(height: float, expected: float, low: float, bare: float, verdict: str) -> str:
    share = f"steel is {100.0 * bare / height:.3g} % of the height"
    if height < low:
        return f"{share}: a sheet too few in the pile, or thinner sheet than ordered"
    if verdict == "good":
        return share
    burr = 1000.0 * (height - expected) / PILE
    return (
        f"{share}; {burr:.0f} µm too much a sheet: usually burr (deburr, burr all one way, or ask "
        "the shop), dirt, or sheets not flat; burr through the coating shorts the sheets"
    )


def _stack(job: Job) -> Beside:
    stack, height = job.stack, job.design.measured.stack_height
    one = stack.sheet_height
    low, high = stack.length - one, stack.length + one
    verdict = judged(height, low, high, far=2.0 * one)
    meaning = ""
    if height is not None and verdict != "good":
        sheets = (height - stack.length) / one
        meaning = f"{abs(sheets):.1f} sheets too {'high' if sheets > 0 else 'low'}: " + (
            "usually thick glue, burr or too little clamping; the liners are then too short"
            if sheets > 0
            else "usually sheets forgotten or thinner than ordered; torque falls with the height"
        )
    return Beside(
        "measured.stack_height",
        f"height of the glued stack, {stack.sheets} sheets",
        stack.length,
        height,
        "mm",
        low,
        high,
        "one sheet",
        verdict,
        meaning,
    )


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
    circuit = job.circuit
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
        "measured.warm_seconds",
        label,
        expected,
        measured,
        "s",
        low,
        high,
        "10 % less (meters), twice as much (heat that leaves)",
        verdict,
        _meaning(run, verdict),
        ADIABATIC_SOURCE,
    )
    by = end_by_resistance_C(job)
    if by is None:
        return (time,)
    sensor = bench.warm_end
    low, high = (None, None) if sensor is None else (sensor - 10.0, sensor + 10.0)
    meaning = "mean of the copper between the two leads; the hottest spot is warmer"
    return (
        time,
        Beside(
            "measured.warm_end_u_v",
            "copper's mean temperature by its resistance",
            sensor,
            by,
            "degC",
            low,
            high,
            "10 K of the sensor",
            judged(by, low, high),
            meaning
            + (
                ""
                if sensor is None or abs(by - sensor) <= 10.0
                else "; the sensor sits badly or lags: press it into the coil, with varnish or paste"
            ),
            "IEC 60028; method of IEC 60034-1",
            "standard",
        ),
    )


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
