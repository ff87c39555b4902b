"""Steel of the axle: least yield and tensile strength of a bar, found by the words of the design.

The design names its steel freely, such as "C45 normalised" or "1045 cold drawn". The grade is the
first word that the table knows; the condition decides between its rows. What is left open is
answered on the safe side and said so.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Literal

from recipes.design.axle import Axle
from recipes.tables.reader import Cells, TableRow, load_table

Match = Literal["exact", "condition open", "bar too thick", "unknown", "yours"]


@dataclass(frozen=True)
class AxleSteel(TableRow):
    """Strength of the bar.

    Args:
        name: grade as the table calls it, "unknown steel" if it does not know it.
        condition: as the table calls it.
        yield_MPa, tensile_MPa: least values for the bar's diameter.
        match: how well the design's words were met; "yours" if the design gives the strength
            itself; the others than "exact" lean on the safe side.
        source: where the values are from.
    """

    name: str
    condition: str
    yield_MPa: float
    tensile_MPa: float
    match: Match
    source: str


@lru_cache(maxsize=256)
def axle_steel(words: str, diameter: float) -> AxleSteel:
    """Return the steel that a design's `axle.material` names.

    Args:
        words: such as "C45 normalised"; case and order do not matter.
        diameter: of the bar that the axle is turned from, mm.
    """
    text = words.lower()
    rows = _rows_of(text)
    if not rows:
        return _weakest()
    asked = [c for c in rows if any(_says(text, w) for w in _names(c, "condition"))]
    kinds = {c.text("condition") for c in asked or rows}
    rows = asked or rows
    fitting = [c for c in rows if c.number("over_mm") < diameter <= c.number("up_to_mm")]
    if not fitting:
        thickest = [
            max((c for c in rows if c.text("condition") == k), key=lambda c: c.number("up_to_mm"))
            for k in sorted(kinds)
        ]
        return _steel(min(thickest, key=lambda c: c.number("yield_MPa")), "bar too thick")
    weakest = min(fitting, key=lambda c: c.number("yield_MPa"))
    every = {c.text("condition") for c in _rows_of(text)}
    return _steel(weakest, "exact" if asked or len(every) == 1 else "condition open")


def axle_steel_of(axle: Axle) -> AxleSteel:
    """Return the steel of a design's axle; the strength of a certificate goes before the table's."""
    steel = axle_steel(axle.material, axle.stock_diameter)
    least, most = axle.yield_strength, axle.tensile_strength
    if least is None and most is None:
        return steel
    found = replace(
        steel,
        yield_MPa=min(steel.yield_MPa, most or math.inf) if least is None else least,
        tensile_MPa=max(steel.tensile_MPa, least or 0.0) if most is None else most,
    )
    if least is None:
        return found
    return replace(found, match="yours", source="certificate, as the design says")


def list_axle_steels() -> tuple[AxleSteel, ...]:
    """Return every row of the table in its order."""
    return tuple(_steel(c, "exact") for c in load_table("axle_steels.csv").rows)


def _weakest() -> AxleSteel:
    """Return the lowest yield and the lowest tensile strength of the whole table."""
    rows = list_axle_steels()
    return AxleSteel(
        "unknown steel",
        "",
        min(r.yield_MPa for r in rows),
        min(r.tensile_MPa for r in rows),
        "unknown",
        f"{load_table('axle_steels.csv').citation}; lowest of the table",
    )


def _rows_of(text: str) -> list[Cells]:
    """Return the rows of the grade that the text names first."""
    spots = [
        (spot, c)
        for c in load_table("axle_steels.csv").rows
        if (spot := min((_at(text, n) for n in _names(c, "grade")), default=-1)) < len(text)
    ]
    first = min((spot for spot, _ in spots), default=0)
    return [c for spot, c in spots if spot == first]


@cache
def _pattern(name: str) -> re.Pattern[str]:
    # "+N" may follow the grade without a blank; "1.4301" must not match inside "21.43012".
    edge = "" if name.startswith("+") else r"(?<![\w.])"
    return re.compile(edge + re.escape(name.lower()) + r"(?![\w.]*\d)(?![a-z])")


def _at(text: str, name: str) -> int:
    """Return where `name` stands in the text as a word, past its end if nowhere."""
    found = _pattern(name).search(text)
    return found.start() if found else len(text)


def _says(text: str, name: str) -> bool:
    return _pattern(name).search(text) is not None


def _names(cells: Cells, column: str) -> list[str]:
    return cells.text(column).split("/")


def _steel(cells: Cells, match: Match) -> AxleSteel:
    return AxleSteel(
        name=_names(cells, "grade")[0],
        condition=_names(cells, "condition")[0],
        yield_MPa=cells.number("yield_MPa"),
        tensile_MPa=cells.number("tensile_MPa"),
        match=match,
        source=load_table("axle_steels.csv").source(cells),
    )
