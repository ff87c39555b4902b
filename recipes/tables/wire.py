"""Enamelled round copper wire: metric sizes to IEC 60317-0-1, AWG sizes to NEMA MW 1000.

Bare diameter is the copper, overall diameter is copper with enamel. Grade 1, 2, 3 (IEC) and single,
heavy build (NEMA) are thin to thick enamel. What has to go into a slot is ``overall_max_mm``.

Two nominal resistances stand side by side: ``resistance_20C_ohm_per_m`` is the copper formula
(58 S m/mm2, IEC 60028), ``resistance_iec_nominal_ohm_per_m`` the nominal of IEC 60317-0-1
(58.5 S m/mm2), 0.86 % lower. A measured wire lies between ``resistance_min`` and ``_max``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Final, NoReturn

from geometry.finding import Confidence
from recipes.design.units import LengthUnit, to_mm
from recipes.tables import copper
from recipes.tables.reader import Cells, TableError, TableRow, finite, load_table

# The rows behind ``wire_table``: one Wire from one line of a standard, with what follows from it.

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


__all__ = [
    "IEC",
    "NEMA",
    "Wire",
    "awg_wire",
    "find_wire",
    "iec_resistance_ohm_per_m",
    "list_wires",
    "metric_wire",
]

SIZE_MATCH_MM: Final = 0.0005
"""A metric size is a standard one if it is nearer than this: sizes are named to 0.001 mm."""

SIZE_MATCH_MIL: Final = 0.05
"""An inch size is an AWG size if it is nearer than this: NEMA names them to 0.1 mil."""

_AWG_TEXT: Final = re.compile(r"(?:awg\s*#?\s*([0-9]{1,2})|#?\s*([0-9]{1,2})\s*awg)", re.IGNORECASE)


def metric_wire(diameter_mm: float, grade: int | str) -> Wire:
    """Return the IEC 60317-0-1 wire of a bare diameter.

    Args:
        diameter_mm: nominal bare diameter in mm, an R20 or R40 size from 0.200 to 2.000.
        grade: 1, 2 or 3.

    Raises:
        TableError: for a diameter that is no standard size (the two nearest are named), a grade
            that does not exist, or a value that is no number.

    Source: IEC 60317-0-1:2013 Table 1; for R40 sizes its Annex A rule: tolerance, minimum increase
    and largest overall increase of the next larger R20 size.
    """
    number = _metric_grade(grade)
    asked = finite("wire diameter", diameter_mm, "mm")
    for size in metric_sizes():
        if abs(size - asked) <= SIZE_MATCH_MM:
            return metric_row(size, number)
    raise TableError(f"wire {asked:g} mm is no standard size; nearest: {_neighbours_mm(asked)}")


def awg_wire(awg: int, grade: int | str) -> Wire:
    """Return the NEMA MW 1000 wire of an AWG number.

    Args:
        awg: 10 to 35.
        grade: "single" or 1, "heavy" or 2.

    Raises:
        TableError: for a number outside the table, a grade that does not exist, and for single
            build below AWG 14, which the standard does not make.

    Source: NEMA MW 1000 (bare diameter, minimum increase, maximum overall diameter, resistance).
    """
    number = _awg_grade(grade)
    rows = awg_rows()
    if isinstance(awg, bool) or not isinstance(awg, int) or awg not in rows:
        raise TableError(
            f"wire {awg!r} AWG is not in the table; give a whole number from "
            f"{min(rows)} to {max(rows)}"
        )
    return awg_row(awg, number)


def find_wire(wire: float | int | str, grade: int | str, bare_unit: LengthUnit = "mm") -> Wire:
    """Return a wire from what a person writes.

    Args:
        wire: "0.71 mm", 0.71 (in ``bare_unit``), "24 AWG", "AWG 24" or "0.0201 in". A length in
            inches, thou or mil is an AWG size first, a metric one second.
        grade: 1, 2, 3 for metric; 1 or "single", 2 or "heavy" for AWG.
        bare_unit: unit of a bare number, "mm" or "in".

    Raises:
        TableError: if there is no such size (the nearest are named) or no such grade.
        ValueError: if the text is no length and no AWG number.
    """
    if isinstance(wire, str) and (found := _AWG_TEXT.fullmatch(wire.strip())):
        return awg_wire(int(found[1] or found[2]), grade)
    if isinstance(wire, str) and "awg" in wire.lower():
        raise TableError(f"wire {wire!r} is no AWG size; write a whole number like '24 AWG'")
    mm = to_mm(wire, bare_unit)
    if not _in_inches(wire, bare_unit):
        return metric_wire(mm, grade)
    for awg, cells in awg_rows().items():
        if abs(cells.number("bare_nominal_mil") - mm / MM_PER_MIL) <= SIZE_MATCH_MIL:
            return awg_wire(awg, grade)
    for size in metric_sizes():
        if abs(size - mm) <= SIZE_MATCH_MM:
            return metric_wire(size, grade)
    raise TableError(
        f"wire {wire!r} = {mm:.4f} mm is no standard size; nearest: {_neighbours_mm(mm)}, "
        f"or {_neighbours_awg(mm)}"
    )


def list_wires(standard: str, grade: int | str = 2) -> tuple[Wire, ...]:
    """Return every wire of ``standard`` in ``grade``, bare diameter rising.

    Args:
        standard: "IEC 60317-0-1" or "NEMA MW 1000".
        grade: as for ``metric_wire`` and ``awg_wire``; sizes not made in single build are left out.

    Raises TableError for another standard or grade.
    """
    if standard == IEC:
        number = _metric_grade(grade)
        return tuple(metric_row(size, number) for size in metric_sizes())
    if standard == NEMA:
        number = _awg_grade(grade)
        column = f"{BUILDS[number]}_max_overall_mil"
        made = [awg for awg, cells in awg_rows().items() if cells.text(column)]
        return tuple(awg_row(awg, number) for awg in sorted(made, reverse=True))
    raise TableError(f"standard {standard!r} has no wire table; choose {IEC!r} or {NEMA!r}")


def _metric_grade(grade: object) -> int:
    text = str(grade).strip().lower().removeprefix("grade").strip()
    if isinstance(grade, int | str) and not isinstance(grade, bool) and text in ("1", "2", "3"):
        return int(text)
    build = next((n for n, name in BUILDS.items() if name in text), None)
    fix = f"; {text.split()[0]} build belongs to AWG, grade {build} is its like" if build else ""
    return _no_grade(grade, f"metric wire is made in grade 1, 2 and 3{fix}")


def _awg_grade(grade: object) -> int:
    text = str(grade).strip().lower().removeprefix("grade").removesuffix("build").strip()
    if isinstance(grade, int | str) and not isinstance(grade, bool):
        for number, name in BUILDS.items():
            if text in (str(number), name):
                return number
    return _no_grade(grade, "AWG wire is made here in single (1) and heavy (2) build: choose one")


def _no_grade(grade: object, fix: str) -> NoReturn:
    raise TableError(f"grade {grade!r} does not exist; {fix}")


def _in_inches(wire: object, bare_unit: LengthUnit) -> bool:
    if isinstance(wire, str) and (unit := wire.strip().lstrip("0123456789.,/+- ").lower()):
        return unit.startswith(("in", '"', "thou", "mil")) and not unit.startswith("milli")
    return bare_unit == "in"


def _neighbours_mm(mm: float) -> str:
    two = sorted(sorted(metric_sizes(), key=lambda size: abs(size - mm))[:2])
    return " and ".join(f"{size:.3f} mm" for size in two)


def _neighbours_awg(mm: float) -> str:
    nominal = {awg: c.number("bare_nominal_mil") for awg, c in awg_rows().items()}
    two = sorted(nominal, key=lambda awg: abs(nominal[awg] - mm / MM_PER_MIL))[:2]
    return " and ".join(f"{awg} AWG ({nominal[awg] / 1000.0:.4f} in)" for awg in sorted(two))
