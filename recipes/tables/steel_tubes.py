"""Bought steel pipe and tube: sizes that are sold, limits of the outside, least wall.

An axle that is made from one keeps its outside wherever nothing is worked, so its limits decide
what goes over it, and its thinnest wall what it bears.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from geometry.finding import Confidence
from recipes.design.axle import Axle
from recipes.design.units import MM_PER_INCH
from recipes.tables.reader import Cells, TableError, TableRow, load_table

#: Inches where makers and standards count in them.
_UNIT: Final = {"pipe": MM_PER_INCH, "DOM tube": MM_PER_INCH, "precision tube": 1.0}

#: How much thinner than nominal a wall may be, as a share: 12.5 % (ASTM A53), 10 % (EN 10305-1); for
#: DOM tube 10 % is taken (from memory; most walls of ASTM A513 may be 3 to 10 % under).
WALL_UNDER: Final = {"pipe": 0.125, "DOM tube": 0.10, "precision tube": 0.10}

#: The outside of heat-treated precision tube spreads more where the wall is thin: factor on its
#: limits by wall over outside (EN 10305-1, from memory; DIN 2391-1 says that it grows so).
_THIN: Final = ((1 / 20, 1.0), (1 / 40, 1.5), (0.0, 2.0))

#: A size counts as one of the table within this, mm: makers round inches to a hundredth or a tenth.
SAME_OUTSIDE, SAME_WALL = 0.06, 0.06

#: Lower limit of bright drawn bar, h11, by the greatest diameter in mm that it holds for (EN 10278,
#: from memory; IT11 of ISO 286-1).
_BRIGHT_BAR: Final = ((10, 0.09), (18, 0.11), (30, 0.13), (50, 0.16), (80, 0.19), (500, 0.25))

#: What a merchant calls it.
TRADE: Final = {
    "pipe": "NPS {size} pipe schedule {name}",
    "precision tube": "precision tube {outside:g} x {wall:g} mm",
    "DOM tube": "DOM tube {size} in x {wall_in:.3f} in",
}


@dataclass(frozen=True)
class SteelTube(TableRow):
    """One size that is sold, in mm.

    Args:
        name: as a merchant understands it.
        kind: "pipe", "precision tube" or "DOM tube".
        outside_mm, wall_mm, inside_mm: nominal.
        outside_upper_mm, outside_lower_mm: limits of the outside, as deviations.
        wall_least_mm: thinnest that the standard allows.
        confidence: "standard" for pipe; "maker" where walls are what is usually stocked.
        source: where the row is from.
    """

    name: str
    kind: str
    outside_mm: float
    wall_mm: float
    inside_mm: float
    outside_upper_mm: float
    outside_lower_mm: float
    wall_least_mm: float
    confidence: Confidence
    source: str

    @property
    def outside_most_mm(self) -> float:
        """Largest outside that the standard allows."""
        return self.outside_mm + self.outside_upper_mm

    @property
    def outside_least_mm(self) -> float:
        """Smallest outside that the standard allows."""
        return self.outside_mm + self.outside_lower_mm


@cache
def list_tubes(kind: str = "") -> tuple[SteelTube, ...]:
    """Return every size of the table, or of one kind, in its order."""
    rows = load_table("steel_tubes.csv").rows
    return tuple(t for c in rows if kind in ("", c.text("kind")) for t in _tubes(c))


def _tubes(cells: Cells) -> list[SteelTube]:
    kind = cells.text("kind")
    unit, outside = _UNIT[kind], cells.number("outside")
    walls, names = cells.text("walls").split(), cells.text("names").split()
    found = []
    for k, text in enumerate(walls):
        wall = float(text)
        spread = 1.0
        if kind == "precision tube":
            spread = next(f for share, f in _THIN if wall / outside >= share)
        called = {
            "size": cells.text("size"),
            "name": names[k].replace("/", " or ") if names else "",
            "outside": outside,
            "wall": wall,
            "wall_in": wall,
        }
        found.append(
            SteelTube(
                TRADE[kind].format(**called),
                kind,
                round(outside * unit, 4),
                round(wall * unit, 4),
                round((outside - 2 * wall) * unit, 4),
                round(cells.number("upper") * unit * spread, 4),
                round(cells.number("lower") * unit * spread, 4),
                round(wall * unit * (1 - WALL_UNDER[kind]), 4),
                "standard" if kind == "pipe" else "maker",
                load_table("steel_tubes.csv").source(cells),
            )
        )
    return found


def tube_of(kind: str, outside: float, inside: float) -> SteelTube | None:
    """Return the tube of a kind with this outside and inside in mm; None if none is sold."""
    wall = (outside - inside) / 2
    near = [
        t
        for t in list_tubes(kind)
        if abs(t.outside_mm - outside) <= SAME_OUTSIDE and abs(t.wall_mm - wall) <= SAME_WALL
    ]
    return min(near, key=lambda t: abs(t.wall_mm - wall), default=None)


def nearest_tubes(kind: str, outside: float, inside: float) -> tuple[SteelTube, ...]:
    """Return the three sizes of a kind nearest to an outside and inside in mm."""
    wall = (outside - inside) / 2
    ranked = sorted(
        list_tubes(kind),
        key=lambda t: (abs(t.outside_mm - outside) + abs(t.wall_mm - wall), t.name),
    )
    return tuple(ranked[:3])


def tube_of_axle(axle: Axle) -> SteelTube | None:
    """Return the tube that an axle is made from; None for a bar, and for a size that is not sold."""
    if axle.stock == "bar":
        return None
    return tube_of(axle.stock, axle.stock_diameter, axle.bore_diameter)


def outside_limits(axle: Axle) -> tuple[float, float]:
    """Return the least and greatest outside in mm where an axle keeps the skin of its stock.

    As measured; else by the standard of the tube, or of bright bar; as stock_diameter for a tube
    that the table does not hold.
    """
    tube = tube_of_axle(axle)
    nominal = axle.stock_diameter
    least, most = (tube.outside_least_mm, tube.outside_most_mm) if tube else (nominal, nominal)
    if axle.stock == "bar":
        least = nominal - next(under for upto, under in _BRIGHT_BAR if nominal <= upto)
    least = least if axle.stock_least is None else axle.stock_least
    most = max(most, least) if axle.stock_most is None else axle.stock_most
    return min(least, most), most


def find_tube(words: str) -> SteelTube:
    """Return the tube that a merchant's words name.

    Args:
        words: "NPS 3/4 schedule 80", "25 x 3 mm" or "1 in x 0.120 in".

    Raises:
        TableError: no such size; names what would do.
    """
    text = " ".join(words.lower().replace(",", ".").split())
    pipe = re.fullmatch(r"(?:nps )?([\d/ ]+?)(?: in)? (?:pipe )?sch(?:edule|\.)? ?(\w+)", text)
    if pipe:
        size, name = pipe[1].strip(), pipe[2].upper()
        for t in list_tubes("pipe"):
            schedules = t.name.partition(" schedule ")[2].split(" or ")
            if t.name.startswith(f"NPS {size} pipe") and name in schedules:
                return t
        raise TableError(f"no pipe NPS {size} schedule {name}; NPS 1/4 to 3, schedules 5 to XXS")
    sizes = re.fullmatch(r"([\d./ ]+?) ?(mm|in)? ?(?:x|by) ?([\d.]+) ?(mm|in)?", text)
    if sizes is None:
        raise TableError(
            f"tube {words!r}: write 'NPS 3/4 schedule 80', '25 x 3 mm' or '1 in x 0.120 in'"
        )
    inches = "in" in (sizes[2], sizes[4])
    kind, unit = ("DOM tube", MM_PER_INCH) if inches else ("precision tube", 1.0)
    try:
        outside, wall = _number(sizes[1]) * unit, float(sizes[3]) * unit
    except ValueError:
        raise TableError(f"tube {words!r}: no size that can be read; near to it: NPS 1") from None
    found = tube_of(kind, outside, outside - 2 * wall)
    if found is None:
        near = ", ".join(t.name for t in nearest_tubes(kind, outside, outside - 2 * wall))
        raise TableError(f"tube {words!r} is not in the table; near: {near}")
    return found


def _number(text: str) -> float:
    """Return a size such as "1.25", "3/4" or "1 1/4"."""
    total = 0.0
    for part in text.split():
        top, _, bottom = part.partition("/")
        total += float(top) / (float(bottom or 1) or math.inf)
    return total
