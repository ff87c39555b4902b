"""Screw threads for the ends of an axle: ISO metric (ISO 261, 965) and unified inch (ASME B1.1).

Both have the 60 degree profile of ISO 68-1, H = 0.866 P:

                    metric                          unified
    pitch d2        d - 0.6495 P                    the same
    root  d3        d - 1.2269 P (ISO 898-1)        d - 1.1908 P (UNR, ASME B1.1)
    stress area     pi/4 ((d2 + d3) / 2)^2          pi/4 (d - 0.9743 P)^2
    class           6g: es = 15 + 11 P um,          2A: 0.3 x pitch tolerance,
                    Td = 180 P^(2/3) - 3.15 P^-0.5  0.060 P^(2/3) inch

Undercut behind the thread by DIN 76-1, external, form A (from memory; g2 = 3.5 P in a published copy).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from geometry.finding import Confidence
from recipes.tables.reader import Cells, TableError, TableRow, load_table, nearest_names

_INCH: Final = 25.4

#: DIN 76-1 form A by pitch, mm: floor below the thread's diameter, greatest length g2, round.
UNDERCUTS: Final = (
    (0.75, 1.2, 2.6, 0.4),
    (0.8, 1.3, 2.8, 0.4),
    (1.0, 1.6, 3.5, 0.6),
    (1.25, 2.0, 4.4, 0.6),
    (1.5, 2.3, 5.2, 0.8),
    (1.75, 2.6, 6.1, 1.0),
    (2.0, 3.0, 7.0, 1.0),
    (2.5, 3.6, 8.7, 1.2),
    (3.0, 4.4, 10.5, 1.6),
    (3.5, 5.0, 12.0, 1.6),
    (4.0, 5.7, 14.0, 2.0),
    (4.5, 6.4, 16.0, 2.0),
    (5.0, 7.0, 17.5, 2.5),
)


@dataclass(frozen=True)
class ScrewThread(TableRow):
    """One external thread; sizes in mm, `nut_across_mm` None where no hexagon nut is common.

    `major_max_mm` and `major_min_mm` are of class 6g or 2A: what is turned before the thread is cut.
    """

    name: str
    series: str
    diameter_mm: float
    pitch_mm: float
    pitch_diameter_mm: float
    root_mm: float
    stress_area_mm2: float
    tolerance: str
    major_max_mm: float
    major_min_mm: float
    undercut_mm: float
    undercut_length_mm: float
    undercut_round_mm: float
    nut_across_mm: float | None
    nut_height_mm: float | None
    confidence: Confidence
    source: str

    @property
    def depth_mm(self) -> float:
        """Depth of the thread, mm."""
        return (self.diameter_mm - self.root_mm) / 2

    @property
    def designation(self) -> str:
        """Thread with its tolerance class, such as "M14x1.5-6g"."""
        return f"{self.name}-{self.tolerance}"


def screw_thread(name: str) -> ScrewThread:
    """Return a thread by its name, such as "M14x1.5", "M10" or "1/2-20 UNF".

    Raises:
        TableError: no such thread; names those that look most like it.
    """
    rows = {_spelt(row.text("name")): row for row in load_table("screw_threads.csv").rows}
    wanted = _spelt(name)
    coarse = next(
        (r for r in rows.values() if r.text("series") == "coarse" and _pitched(r) == wanted), None
    )
    found = rows.get(wanted) or coarse
    if found is None:
        near = nearest_names(name, [row.text("name") for row in rows.values()])
        raise TableError(f"no thread {name!r} in the table; nearest: {', '.join(near)}")
    return _thread(found)


def _spelt(name: str) -> str:
    """Return a name as the table compares it: "M 14 × 1,5" as "M14X1.5"."""
    return re.sub(r"\s+", "", name.upper().replace("×", "X").replace(",", "."))


def _pitched(row: Cells) -> str:
    return _spelt(f"{row.text('name')}x{row.text('pitch_mm')}")


def _thread(row: Cells) -> ScrewThread:
    d, p = row.number("diameter_mm"), row.number("pitch_mm")
    metric = row.text("name").startswith("M")
    d2 = d - 0.75 * math.sqrt(0.75) * p
    d3 = d - (17 / 12 if metric else 11 / 8) * math.sqrt(0.75) * p
    stress = (d2 + d3) / 2 if metric else d - 0.9743 * p
    high, low = _metric_6g(p) if metric else _unified_2a(d, p, row.text("series"))
    _, under, length, round_ = next(u for u in UNDERCUTS if u[0] >= p - 1e-9)
    return ScrewThread(
        name=row.text("name"),
        series=row.text("series"),
        diameter_mm=d,
        pitch_mm=p,
        pitch_diameter_mm=d2,
        root_mm=d3,
        stress_area_mm2=math.pi / 4 * stress**2,
        tolerance="6g" if metric else "2A",
        major_max_mm=d - high,
        major_min_mm=d - low,
        undercut_mm=d - under,
        undercut_length_mm=length,
        undercut_round_mm=round_,
        nut_across_mm=row.maybe("nut_across_mm"),
        nut_height_mm=row.maybe("nut_height_mm"),
        confidence="standard",
        source=load_table("screw_threads.csv").source(row),
    )


def _metric_6g(p: float) -> tuple[float, float]:
    """Return by how much a major diameter of class 6g is smaller at least and at most, mm."""
    allowance = (15.0 + 11.0 * p) / 1000
    return allowance, allowance + (180.0 * math.pow(p, 2 / 3) - 3.15 / math.sqrt(p)) / 1000


def _unified_2a(d: float, p: float, series: str) -> tuple[float, float]:
    """Return the same of class 2A; length of engagement one diameter (UNC, UNF)."""
    inch, pitch = d / _INCH, p / _INCH
    assert series in ("UNC", "UNF")
    tolerance = 0.0015 * (math.cbrt(inch) + math.sqrt(inch)) + 0.015 * math.pow(pitch, 2 / 3)
    return _INCH * 0.3 * tolerance, _INCH * (0.3 * tolerance + 0.060 * math.pow(pitch, 2 / 3))
