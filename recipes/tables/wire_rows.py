"""The rows behind ``wire_table``: one Wire from one line of a standard, with what follows from it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from recipes.tables import copper
from recipes.tables.reader import Cells, TableError, TableRow, load_table

if TYPE_CHECKING:
    from geometry.finding import Confidence

IEC: Final = "IEC 60317-0-1"
NEMA: Final = "NEMA MW 1000"

BUILDS: Final = {1: "single", 2: "heavy"}
"""NEMA names of the enamel by grade."""

ENAMEL_DENSITY_G_PER_CM3: Final = 1.35
"""Polyester and polyamide-imide films, from memory; common practice for reel mass."""

MM_PER_MIL: Final = 0.0254
_M_PER_1000_FT: Final = 304.8


@dataclass(frozen=True)
class Wire(TableRow):
    """One standard wire in one grade; lengths in mm, resistance in ohm/m at 20 C.

    ``label`` reads "0.71 mm" or "24 AWG"; ``series`` is "R20" (preferred), "R40" (intermediate,
    harder to buy) or "AWG". ``overall_min_mm`` is the least copper with the least enamel.
    """

    label: str
    standard: str
    series: str
    grade: int
    grade_name: str
    bare_mm: float
    bare_min_mm: float
    bare_max_mm: float
    overall_min_mm: float
    overall_max_mm: float
    copper_area_mm2: float
    resistance_20C_ohm_per_m: float
    resistance_iec_nominal_ohm_per_m: float
    resistance_min_ohm_per_m: float
    resistance_max_ohm_per_m: float
    mass_g_per_m: float
    confidence: Confidence
    source: str


def iec_resistance_ohm_per_m(nominal_mm: float, tolerance_mm: float) -> tuple[float, float, float]:
    """Return least, nominal and greatest resistance in ohm/m at 20 C of a metric winding wire.

    Source: IEC 60317-0-1 (sizes above 0.063 mm): 59 S m/mm2 with the largest, 58.5 with the
    nominal and 58 with the smallest conductor.
    """

    def ohm_per_m(diameter: float, conductivity: float) -> float:
        return 1.0 / (conductivity * math.pi / 4.0 * diameter**2)

    return (
        ohm_per_m(nominal_mm + tolerance_mm, 59.0),
        ohm_per_m(nominal_mm, 58.5),
        ohm_per_m(nominal_mm - tolerance_mm, 58.0),
    )


@cache
def metric_sizes() -> dict[float, Cells]:
    """Return the lines of IEC 60317-0-1 by bare diameter in mm, rising."""
    return {c.number("nominal_mm"): c for c in load_table("iec60317_round.csv").rows}


@cache
def awg_rows() -> dict[int, Cells]:
    """Return the lines of NEMA MW 1000 by AWG number, rising (so the diameter falls)."""
    return {int(c.number("awg")): c for c in load_table("nema_mw1000_round.csv").rows}


@cache
def metric_row(size: float, grade: int) -> Wire:
    """Return the metric wire of a size that is in the table, in grade 1, 2 or 3."""
    table = load_table("iec60317_round.csv")
    series = metric_sizes()[size].text("series")
    # Annex A: an intermediate size borrows from the next larger preferred one.
    lender_size, lender = next(
        (other, cells)
        for other, cells in metric_sizes().items()
        if other >= size and cells.text("series") == "R20"
    )
    tolerance = lender.number("tolerance_mm")
    build = lender.number(f"g{grade}_max_overall_mm") - lender_size
    least, nominal, greatest = iec_resistance_ohm_per_m(size, tolerance)
    rule = "Table 1" if series == "R20" else f"Annex A rule, enamel of {lender_size:.3f} mm"
    return _finish(
        label=f"{size:.2f} mm" if round(size, 2) == size else f"{size:.3f} mm",
        standard=IEC,
        series=series,
        grade=grade,
        grade_name=f"grade {grade}",
        bare=(size - tolerance, size, size + tolerance),
        overall=(
            size - tolerance + lender.number(f"g{grade}_min_increase_mm"),
            size + build,
        ),
        resistance=(least, nominal, greatest),
        source=f"{table.citation} {rule}",
    )


@cache
def awg_row(awg: int, grade: int) -> Wire:
    """Return the AWG wire of a number that is in the table; TableError if the build is not made."""
    table, cells, build = load_table("nema_mw1000_round.csv"), awg_rows()[awg], BUILDS[grade]
    most, increase = (cells.maybe(f"{build}_{key}_mil") for key in ("max_overall", "min_increase"))
    if most is None or increase is None:
        raise TableError(
            f"wire {awg} AWG is not made in single build by {NEMA}, which starts at 14 AWG; "
            "choose heavy build (grade 2)"
        )
    bare_min, bare, bare_max = (
        cells.number(f"bare_{key}_mil") * MM_PER_MIL for key in ("min", "nominal", "max")
    )
    least, greatest = (cells.number(f"resistance_{key}") / _M_PER_1000_FT for key in ("min", "max"))
    return _finish(
        label=f"{awg} AWG",
        standard=NEMA,
        series="AWG",
        grade=grade,
        grade_name=f"{build} build",
        bare=(bare_min, bare, bare_max),
        overall=(bare_min + increase * MM_PER_MIL, most * MM_PER_MIL),
        resistance=(least, iec_resistance_ohm_per_m(bare, 0.0)[1], greatest),
        source=table.citation,
    )


def _finish(
    label: str,
    standard: str,
    series: str,
    grade: int,
    grade_name: str,
    bare: tuple[float, float, float],
    overall: tuple[float, float],
    resistance: tuple[float, float, float],
    source: str,
) -> Wire:
    """Add what follows from the diameters: copper area, resistance by formula, mass."""
    area = math.pi / 4.0 * bare[1] ** 2
    film = math.pi / 4.0 * (((overall[0] + overall[1]) / 2.0) ** 2 - bare[1] ** 2)
    return Wire(
        label=label,
        standard=standard,
        series=series,
        grade=grade,
        grade_name=grade_name,
        bare_mm=round(bare[1], 6),
        bare_min_mm=round(bare[0], 6),
        bare_max_mm=round(bare[2], 6),
        overall_min_mm=round(overall[0], 6),
        overall_max_mm=round(overall[1], 6),
        copper_area_mm2=area,
        resistance_20C_ohm_per_m=copper.resistance_ohm(1.0, area),
        resistance_iec_nominal_ohm_per_m=resistance[1],
        resistance_min_ohm_per_m=resistance[0],
        resistance_max_ohm_per_m=resistance[2],
        mass_g_per_m=copper.mass_g(1.0, area) + ENAMEL_DENSITY_G_PER_CM3 * film,
        confidence="standard",
        source=source,
    )
