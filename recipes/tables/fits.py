"""Limits of size to ISO 286 and general tolerances to ISO 2768-1.

A fit class is a letter and a grade: small letters for shafts (h6), capitals for holes (N7).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Final

from recipes.tables.reader import TableError, TableRow, band, finite, load_table, nearest_names

if TYPE_CHECKING:
    from geometry.finding import Confidence

GENERAL_CLASSES: Final = {"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"}
"""Tolerance classes of ISO 2768-1 for linear sizes."""


@dataclass(frozen=True)
class Limits(TableRow):
    """How large a shaft or a hole may be: deviations and sizes in mm."""

    fit: str
    part: str
    nominal_mm: float
    upper_mm: float
    lower_mm: float
    max_size_mm: float
    min_size_mm: float
    confidence: Confidence
    source: str


@dataclass(frozen=True)
class GeneralTolerance(TableRow):
    """What a size without a tolerance of its own may deviate, plus and minus, in mm."""

    tolerance_class: str
    class_name: str
    nominal_mm: float
    plus_minus_mm: float
    max_size_mm: float
    min_size_mm: float
    confidence: Confidence
    source: str


def fit_limits(size_mm: float, fit: str) -> Limits:
    """Return the limits of a shaft or hole.

    Args:
        size_mm: nominal diameter in mm, above 0 up to and including 120.
        fit: class such as "h6" (shaft) or "N7" (hole); ``list_fits`` names all.

    Raises:
        TableError: for a class or a size that the table does not hold.

    Source: ISO 286-2:2010; a size on the edge of two bands belongs to the smaller band.
    """
    size = finite("size_mm", size_mm, "mm")
    name = fit.strip() if isinstance(fit, str) else fit
    if name not in list_fits():
        raise TableError(
            f"fit {fit!r} for {size:g} mm is not in the table; "
            f"shafts: {' '.join(list_fits('shaft'))}; holes: {' '.join(list_fits('hole'))}"
            f" (perhaps {nearest_names(str(fit), list_fits())[0]})"
        )
    return _limits(size, name)


@lru_cache(maxsize=1024)
def _limits(size: float, name: str) -> Limits:
    """Return the limits of a known class; asked for the same few seats many times a design."""
    table = load_table("iso286_limits.csv")
    cells = band(table, size, lambda row: row.text("class") == name)
    if cells is None:
        of_class = [row for row in table.rows if row.text("class") == name]
        raise TableError(
            f"size_mm = {size:g} is outside the table of {name}: over "
            f"{of_class[0].text('over_mm')} up to {of_class[-1].text('up_to_mm')} mm; "
            "choose a size in that range or state the limits yourself"
        )
    upper, lower = cells.number("upper_um") / 1000.0, cells.number("lower_um") / 1000.0
    return Limits(
        fit=name,
        part=_part(name),
        nominal_mm=size,
        upper_mm=upper,
        lower_mm=lower,
        max_size_mm=round(size + upper, 6),
        min_size_mm=round(size + lower, 6),
        confidence="standard",
        source=table.source(cells),
    )


@cache
def list_fits(part: str = "") -> tuple[str, ...]:
    """Return the known classes in the order of the table; ``part`` "shaft" or "hole" for one kind.

    Raises TableError for another ``part``.
    """
    if part not in ("", "shaft", "hole"):
        raise TableError(f"part = {part!r} must be 'shaft' or 'hole'")
    names = dict.fromkeys(row.text("class") for row in load_table("iso286_limits.csv").rows)
    return tuple(name for name in names if part in ("", _part(name)))


def general_tolerance(size_mm: float, tolerance_class: str = "m") -> GeneralTolerance:
    """Return the general tolerance of a linear size.

    Args:
        size_mm: nominal size in mm, from 0.5 up to and including 4000 (f: 2000, v: over 3).
        tolerance_class: "f", "m" (default), "c" or "v".

    Raises:
        TableError: for another class, or a size that the class does not cover.

    Source: ISO 2768-1:1989 Table 1 (linear sizes, not edges and angles).
    """
    size = finite("size_mm", size_mm, "mm")
    if tolerance_class not in GENERAL_CLASSES:
        raise TableError(
            f"tolerance class {tolerance_class!r} is not in ISO 2768-1; "
            f"choose one of {', '.join(GENERAL_CLASSES)}"
        )
    table = load_table("iso2768_linear.csv")
    covered = [row for row in table.rows if row.maybe(tolerance_class) is not None]
    first, last = covered[0].number("over_mm"), covered[-1].number("up_to_mm")
    # The standard's first band reads "0.5 up to 3", all others "over ... up to".
    lowest = table.rows[0].number("over_mm")
    cells = table.rows[0] if size == lowest else band(table, size)
    value = cells.maybe(tolerance_class) if cells else None
    if value is None:
        start = "from" if first == lowest else "over"
        raise TableError(
            f"size_mm = {size:g} has no general tolerance {tolerance_class}: the class goes {start} "
            f"{first:g} up to {last:g} mm; give this size a tolerance of its own"
        )
    return GeneralTolerance(
        tolerance_class=tolerance_class,
        class_name=GENERAL_CLASSES[tolerance_class],
        nominal_mm=size,
        plus_minus_mm=value,
        max_size_mm=round(size + value, 6),
        min_size_mm=round(size - value, 6),
        confidence="standard",
        source=f"{table.citation} Table 1",
    )


def _part(name: str) -> str:
    return "shaft" if name[0].islower() else "hole"
