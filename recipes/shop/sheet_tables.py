"""The lamination's loops as rows of numbers, for the rules that look at all of its edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.loop_table import LoopTable, loop_tables

if TYPE_CHECKING:
    from recipes.job import Job


def sheet_tables(job: Job) -> tuple[LoopTable, ...]:
    """Return the tables of the lamination's loops: holes, bore, outline.

    Raises:
        Refused: the sheet cannot be drawn.
    """
    return job.once(_tables)


def _tables(job: Job) -> tuple[LoopTable, ...]:
    region = job.parts["lamination"][0].cut[0]
    return loop_tables([loop.segments for loop in region.loops])
