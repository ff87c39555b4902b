"""Magnet grades: remanence, recoil permeability, density and the temperature they stand."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from geometry.finding import Confidence
from recipes.tables.reader import TableError, TableRow, load_table, nearest_names

#: Letters after a neodymium grade and the temperature in degC that they stand for (maker data).
HOTTEST: Final = {"": 80.0, "M": 100.0, "H": 120.0, "SH": 150.0, "UH": 180.0, "EH": 200.0}

#: Intrinsic coercivity in A/m at 20 C by the same letters: least of common makers (from memory).
COERCIVITY: Final = {"": 955e3, "M": 1114e3, "H": 1353e3, "SH": 1592e3, "UH": 1990e3, "EH": 2388e3}

#: That of ferrite, least of both grades of the table (from memory).
FERRITE_COERCIVITY: Final = 180e3

#: Change of remanence and of coercivity for each kelvin, as shares of those at 20 C (from memory).
NEODYMIUM_PER_K: Final = (-0.0012, -0.006)
FERRITE_PER_K: Final = (-0.002, 0.0035)

#: Where the demagnetising curve leaves its straight line: share of the coercivity (common practice).
KNEE: Final = 0.9

_MU0: Final = 4e-7 * math.pi

_GRADE = re.compile(r"([NY][0-9]{2})(|M|H|SH|UH|EH)")


@dataclass(frozen=True)
class Magnet(TableRow):
    """One grade: remanence in T at 20 C, relative recoil permeability, kg/m3, degC, A/m at 20 C."""

    name: str
    remanence_least_t: float
    remanence_greatest_t: float
    recoil_permeability: float
    density_kg_per_m3: float
    hottest_C: float
    coercivity_A_per_m: float
    confidence: Confidence
    source: str

    @property
    def remanence_T(self) -> float:
        """The middle between least and greatest remanence."""
        return (self.remanence_least_t + self.remanence_greatest_t) / 2

    @property
    def ferrite(self) -> bool:
        """Whether it is ferrite: weakest against foreign fields when cold, neodymium when hot."""
        return self.name.startswith("Y")

    def weakened(self, temperature_C: float) -> tuple[float, float]:
        """Return remanence over that at 20 C, and the flux density in T below which some is lost for good."""
        by_K = FERRITE_PER_K if self.ferrite else NEODYMIUM_PER_K
        share, left = (max(0.0, 1 + c * (temperature_C - 20)) for c in by_K)
        straight = _MU0 * self.recoil_permeability * KNEE * left * self.coercivity_A_per_m
        return share, self.remanence_least_t * share - straight


def magnet_grade(name: str) -> Magnet:
    """Return a grade by name, such as "N42", "N42SH" or "Y30" (blanks and case do not matter).

    Raises:
        TableError: for an unknown name; the nearest are named.
    """
    asked = "".join(name.split()).upper() if isinstance(name, str) else ""
    found, rows = _GRADE.fullmatch(asked), _rows()
    if found is None or found[1] not in rows or (asked.startswith("Y") and found[2]):
        raise TableError(
            f"magnet grade {name!r} is not in the table; nearest: "
            f"{', '.join(nearest_names(asked, tuple(rows)))}; letters for heat: "
            f"{', '.join(k for k in HOTTEST if k)}"
        )
    plain = rows[found[1]]
    hottest = HOTTEST[found[2]] if found[2] else plain.hottest_C
    return Magnet(
        asked,
        plain.remanence_least_t,
        plain.remanence_greatest_t,
        plain.recoil_permeability,
        plain.density_kg_per_m3,
        hottest,
        plain.coercivity_A_per_m if plain.ferrite else COERCIVITY[found[2]],
        plain.confidence,
        plain.source,
    )


@cache
def _rows() -> dict[str, Magnet]:
    table = load_table("magnet_grades.csv")
    return {
        c.text("grade"): Magnet(
            name=c.text("grade"),
            remanence_least_t=c.number("least_T"),
            remanence_greatest_t=c.number("greatest_T"),
            recoil_permeability=c.number("recoil"),
            density_kg_per_m3=1000.0 * c.number("density"),
            hottest_C=c.number("hottest_C"),
            coercivity_A_per_m=FERRITE_COERCIVITY
            if c.text("grade").startswith("Y")
            else COERCIVITY[""],
            confidence="maker",
            source=table.source(c),
        )
        for c in table.rows
    }
