"""Slot papers that can be bought: aramid paper type 410 and polyester film.

Electric strength is a maker's figure for one flat sheet, for comparison only: at the voltages of a
hand-built motor abrasion and cut-through decide, not breakdown (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from geometry.finding import Confidence
from recipes.design.units import MM_PER_INCH, LengthUnit, to_mm
from recipes.tables.reader import TableError, TableRow, finite, load_table

THICKNESS_MATCH_MM: Final = 0.0005
"""A thickness is a stocked one if it is nearer than this to its name in mm or in mil."""

_KINDS: Final = {
    "aramid": ("aramid", "aramid 410", "aramid paper", "aramid paper 410"),
    "polyester": ("polyester", "polyester film", "pet", "pet film"),
}


@dataclass(frozen=True)
class Paper(TableRow):
    """One slot paper or film in one stocked thickness.

    ``thickness_mil`` and ``ac_strength_kv_per_mm`` are None where no figure is known;
    ``strength_is`` says "typical" or "minimum". ``class_C`` is the thermal class (IEC 60085).
    """

    kind: str
    thickness_mm: float
    thickness_mil: float | None
    ac_strength_kv_per_mm: float | None
    strength_is: str | None
    class_C: int
    confidence: Confidence
    source: str


def paper(kind: str, thickness: float | int | str, bare_unit: LengthUnit = "mm") -> Paper:
    """Return a slot paper.

    Args:
        kind: "aramid" (type 410) or "polyester" (film).
        thickness: 0.25, "0.25 mm", "10 mil" or "0.010 in"; a stocked thickness.
        bare_unit: unit of a bare number, "mm" or "in".

    Raises:
        TableError: for another kind, or a thickness that is not stocked (the nearest are named).
        ValueError: if the thickness is no length.

    Source: makers' data sheets, see ``source`` of each row.
    """
    name = _kind(kind)
    mm = to_mm(thickness, bare_unit)
    of_kind = [row for row in list_papers() if row.kind == name]
    for row in of_kind:
        mil = row.thickness_mil
        named = [row.thickness_mm] + ([] if mil is None else [mil * MM_PER_INCH / 1000.0])
        if any(abs(value - mm) <= THICKNESS_MATCH_MM for value in named):
            return row
    near = sorted(of_kind, key=lambda row: abs(row.thickness_mm - mm))[:2]
    names = " and ".join(f"{row.thickness_mm:g} mm" for row in sorted(near, key=_thickness))
    raise TableError(f"{name} {mm:g} mm is not a stocked thickness; nearest: {names}")


def nearest_papers(thickness_mm: float, count: int = 4) -> tuple[Paper, ...]:
    """Return the ``count`` papers of both kinds nearest to ``thickness_mm``, the nearest first.

    Of two equally near ones the thinner comes first, then aramid. Raises TableError for a
    thickness that is not above 0.
    """
    asked = finite("thickness_mm", thickness_mm, "mm")
    if asked <= 0.0:
        raise TableError(f"thickness_mm = {asked:g} is not above 0; give a thickness in mm")

    def distance(row: Paper) -> tuple[float, float, str]:
        return round(abs(row.thickness_mm - asked), 9), row.thickness_mm, row.kind

    return tuple(sorted(list_papers(), key=distance)[:count])


@cache
def list_papers() -> tuple[Paper, ...]:
    """Return every paper, aramid first, thickness rising."""
    table = load_table("slot_papers.csv")
    return tuple(
        Paper(
            kind=cells.text("kind"),
            thickness_mm=cells.number("thickness_mm"),
            thickness_mil=cells.maybe("thickness_mil"),
            ac_strength_kv_per_mm=cells.maybe("ac_strength_kv_per_mm"),
            strength_is=cells.text("strength_is") or None,
            class_C=int(cells.number("class_C")),
            confidence="maker",
            source=table.source(cells),
        )
        for cells in table.rows
    )


def _kind(kind: object) -> str:
    asked = " ".join(str(kind).lower().split())
    for name, aliases in _KINDS.items():
        if asked in aliases:
            return name
    raise TableError(f"paper {kind!r} is not known; choose {' or '.join(map(repr, _KINDS))}")


def _thickness(row: Paper) -> float:
    return row.thickness_mm
