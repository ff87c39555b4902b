"""Enamelled round copper wire: metric sizes to IEC 60317-0-1, AWG sizes to NEMA MW 1000.

Bare diameter is the copper, overall diameter is copper with enamel. Grade 1, 2, 3 (IEC) and single,
heavy build (NEMA) are thin to thick enamel. What has to go into a slot is ``overall_max_mm``.

Two nominal resistances stand side by side: ``resistance_20C_ohm_per_m`` is the copper formula
(58 S m/mm2, IEC 60028), ``resistance_iec_nominal_ohm_per_m`` the nominal of IEC 60317-0-1
(58.5 S m/mm2), 0.86 % lower. A measured wire lies between ``resistance_min`` and ``_max``.
"""

from __future__ import annotations

import re
from typing import Final, NoReturn

from recipes.tables.reader import TableError, finite
from recipes.tables.wire_rows import (
    BUILDS,
    IEC,
    MM_PER_MIL,
    NEMA,
    Wire,
    awg_row,
    awg_rows,
    iec_resistance_ohm_per_m,
    metric_row,
    metric_sizes,
)
from recipes.units import LengthUnit, to_mm

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
