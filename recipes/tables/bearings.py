"""Deep groove ball bearings: boundary dimensions, tolerances to ISO 492 Normal.

Metric ones to ISO 15, inch ones of the R series to ABMA 20, whose class ABEC 1 is ISO 492 Normal in
inches. Their numbers are trade designations.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from geometry.finding import Confidence
from recipes.design.units import MM_PER_INCH
from recipes.tables.reader import Cells, TableError, TableRow, band, load_table

Closure = Literal["open", "one shield", "two shields", "one seal", "two seals"]

_NUMBER: Final = re.compile(r"(R[0-9]{1,2}A?|[0-9]{2}/[0-9]{2}|[0-9]{3,5})(?:[-\s./]*)(.*)")
_CLOSURES: Final[tuple[tuple[Closure, re.Pattern[str]], ...]] = (
    ("two seals", re.compile(r"2RS[HLR]?[0-9]?(?![A-Z])|2RZ|LL[UBHE]|DDU|VV")),
    ("two shields", re.compile(r"2Z|ZZ")),
    ("one seal", re.compile(r"RS[HLR]?[0-9]?(?![A-Z])|RZ|L[UBHE](?![A-Z])|DU(?![A-Z])")),
    ("one shield", re.compile(r"Z(?![A-Z])")),
)
"""The usual suffixes of bearing makers, in the order in which they are looked for."""

_BORE_BY_CODE: Final = {"00": 10, "01": 12, "02": 15, "03": 17}


@dataclass(frozen=True)
class Bearing(TableRow):
    """One bearing: sizes in mm, deviations in um.

    ``chamfer_min_mm`` is r_s min, of an inch bearing the largest fillet that clears it: a shaft
    fillet must stay below it. ``closure`` is what the suffix
    says; ``sealed`` is true if both sides are closed: greased for life, neither washed out nor
    heated in oil. ``suffix`` is kept as it was written.
    """

    designation: str
    suffix: str
    closure: Closure
    sealed: bool
    bore_mm: float
    outside_mm: float
    width_mm: float
    chamfer_min_mm: float
    bore_upper_um: float
    bore_lower_um: float
    outside_upper_um: float
    outside_lower_um: float
    width_upper_um: float
    width_lower_um: float
    confidence: Confidence
    source: str


def bearing(designation: str) -> Bearing:
    """Return a bearing by its number.

    Args:
        designation: such as "6004", "6004-2RS", "6004 ZZ" or "608"; 618xx and 619xx read as 68xx
            and 69xx; "R16" or "R16ZZ" of the inch series. A suffix does not change the boundary
            dimensions of a metric bearing; shields and seals make most inch bearings wider.

    Raises:
        TableError: for a number that is not in the table (the nearest by bore are named), for a
            text without a number, and for suffix K, a tapered bore.

    Source: ISO 15:2017, ISO 582 (chamfer), ABMA 20, ISO 492:2014 Normal class (deviations of mean
    bore, mean outside diameter and width).
    """
    found = _NUMBER.fullmatch(designation.strip().upper()) if isinstance(designation, str) else None
    if found is None:
        raise TableError(f"bearing {designation!r} is no bearing number; write it like '6004-2RS'")
    number, suffix = found[1], found[2].strip()
    if len(number) == 5 and number[:3] in ("618", "619"):
        number = "6" + number[2:]
    if number not in _rows():
        raise TableError(f"bearing {designation!r} is not in the table; {_suggestion(number)}")
    if re.match(r"K(?![A-Z])", suffix):
        raise TableError(
            f"bearing {designation!r} has a tapered bore (suffix K), which fits no plain shaft; "
            f"choose {number} without K"
        )
    return _bearing(number, suffix)


@cache
def _rows() -> dict[str, Cells]:
    files = ("iso15_bearings.csv", "inch_bearings.csv")
    return {row.text("designation"): row for file in files for row in load_table(file).rows}


def is_inch(number: str) -> bool:
    """Tell whether a bearing's number is one of the inch series."""
    return number.strip().upper().startswith("R")


def _sizes(cells: Cells, closure: Closure) -> tuple[float, float, float, float]:
    """Return bore, outside, width and chamfer in mm."""
    if is_inch(cells.text("designation")):
        width = "width_in" if closure == "open" else "closed_width_in"
        inches = [cells.number(c) for c in ("bore_in", "outside_in", width, "fillet_in")]
        bore, outside, wide, fillet = (round(v * MM_PER_INCH, 4) for v in inches)
        return bore, outside, wide, fillet
    metric = ("bore_mm", "outside_mm", "width_mm", "chamfer_min_mm")
    bore, outside, wide, fillet = (cells.number(c) for c in metric)
    return bore, outside, wide, fillet


@cache
def _bearing(number: str, suffix: str) -> Bearing:
    cells, closure = _rows()[number], _closure(suffix)
    bore, outside, width, chamfer = _sizes(cells, closure)
    limits = {
        "bore": _deviations("bore", bore),
        "outside": _deviations("outside", outside),
        "width": _deviations("width", bore),
    }
    return Bearing(
        designation=number,
        suffix=suffix,
        closure=closure,
        sealed=closure.startswith("two"),
        bore_mm=bore,
        outside_mm=outside,
        width_mm=width,
        chamfer_min_mm=chamfer,
        bore_upper_um=limits["bore"][0],
        bore_lower_um=limits["bore"][1],
        outside_upper_um=limits["outside"][0],
        outside_lower_um=limits["outside"][1],
        width_upper_um=limits["width"][0],
        width_lower_um=limits["width"][1],
        confidence="standard",
        source=f"{load_table(cells.file).source(cells)}; "
        f"{load_table('iso492_normal.csv').citation}",
    )


def _deviations(surface: str, size: float) -> tuple[float, float]:
    cells = band(load_table("iso492_normal.csv"), size, lambda row: row.text("surface") == surface)
    if cells is None:
        raise TableError(
            f"no ISO 492 deviation for {surface} {size:g} mm; choose a smaller bearing"
        )
    return cells.number("upper_um"), cells.number("lower_um")


def _closure(suffix: str) -> Closure:
    return next((closure for closure, pattern in _CLOSURES if pattern.search(suffix)), "open")


def _suggestion(number: str) -> str:
    bore = _bore_of(number)
    rows = _rows()
    if bore is None:
        series = sorted({name[:2] for name in rows if len(name) > 3})
        return f"series known: {', '.join(series)}, inch R4 to R24, and small ones such as 608"
    sizes = {name: _sizes(cells, "open")[:3] for name, cells in rows.items()}

    def distance(name: str) -> tuple[bool, float, bool]:
        other = is_inch(name) != is_inch(number)
        return other, abs(sizes[name][0] - bore), name[:2] != number[:2]

    near = sorted(rows, key=distance)[:3]
    shown = ", ".join(
        f"{name} ({'x'.join(f'{v:g}' for v in sizes[name])})"
        for name in sorted(near, key=lambda name: sizes[name][1])
    )
    return f"nearest to its bore of {bore:g} mm: {shown}"


def _bore_of(number: str) -> float | None:
    """Return the bore in mm that the number stands for (ISO 15 bore code), if it tells."""
    if is_inch(number):  # sixteenths of an inch
        return float(re.sub(r"\D", "", number)) / 16 * MM_PER_INCH
    if "/" in number:
        return float(number.split("/")[1])
    if len(number) == 3:
        return float(number[-1])
    code = number[-2:]
    return float(_BORE_BY_CODE.get(code, 5 * int(code)))
