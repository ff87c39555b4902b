"""Everything that the bench may show, beside what the design expects, in the order of the bench."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from recipes.measured.height import height_rows
from recipes.measured.insulation import insulation_row
from recipes.measured.leads import lead_rows
from recipes.measured.row import Beside
from recipes.measured.speed import speed_rows
from recipes.measured.warming import warming_rows
from recipes.refusal import Refused

if TYPE_CHECKING:
    from collections.abc import Callable

    from recipes.job import Job

__all__ = ["Beside", "beside"]

_GROUPS: tuple[Callable[[Job], tuple[Beside, ...]], ...] = (
    height_rows,
    lead_rows,
    lambda job: (insulation_row(job),),
    speed_rows,
    warming_rows,
)


def beside(job: Job) -> tuple[Beside, ...]:
    """Return every line, those not measured yet among them (verdict "open").

    Lines that a refused design cannot reach are left out; `check` says why.
    """
    rows: list[Beside] = []
    for group in _GROUPS:
        with suppress(Refused):
            rows += group(job)
    return tuple(rows)
