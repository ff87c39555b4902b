"""Limits of size to ISO 286.

A fit class is a letter and a grade: small letters for shafts (h6), capitals for holes (N7).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, band, finite, load_table, nearest_names


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


def _part(name: str) -> str:
    return "shaft" if name[0].islower() else "hole"
