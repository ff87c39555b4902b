"""Plate for turned and cut covers: least proof strength and density."""

from __future__ import annotations

from dataclasses import dataclass

from recipes.tables.reader import TableError, TableRow, load_table, nearest_names


@dataclass(frozen=True)
class Plate(TableRow):
    """One grade of plate: least 0.2 % proof strength, and density."""

    grade: str
    proof_MPa: float
    density_kg_per_m3: float
    source: str


def plate(grade: str) -> Plate:
    """Return a grade of plate by any of its names; TableError names the nearest ones."""
    table = load_table("plates.csv")
    asked, names = grade.strip().casefold(), []
    for row in table.rows:
        every = row.text("grade").split("/")
        names += every
        if asked in (name.casefold() for name in every):
            proof, density = row.number("proof_MPa"), row.number("density_kg_per_m3")
            return Plate(every[0], proof, density, table.source(row))
    raise TableError(
        f"plate {grade!r} is not in the table; perhaps {' or '.join(nearest_names(grade, names))}"
    )
