"""General tolerances of lengths to ISO 2768-1."""

from __future__ import annotations

from typing import Literal

from recipes.tables.reader import TableError, band, load_table

GeneralClass = Literal["f", "m", "c"]


def general_tolerance(length_mm: float, grade: GeneralClass) -> float:
    """Return plus and minus on a length of a general class, mm.

    A length below the table takes its first row: the standard asks for a tolerance of its own there.

    Raises:
        TableError: a length beyond the table.

    Source: ISO 2768-1:1989 table 1.
    """
    table = load_table("iso2768_linear.csv")
    cells = band(table, max(length_mm, table.rows[0].number("up_to_mm")))
    if cells is None:
        raise TableError(f"a length of {length_mm:g} mm is beyond ISO 2768-1; give up to 2000 mm")
    return cells.number(f"{grade}_mm")
