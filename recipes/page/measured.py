"""What the bench showed, beside what was expected: the one place where recorded values come in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.page.fields import field_note

if TYPE_CHECKING:
    from recipes.job import Job


def measured_beside(job: Job, name: str) -> str:
    """Return what is recorded in the design for a field, and what it says; "" if nothing is.

    Args:
        job: the design, with what `lamwright record` wrote into it.
        name: dotted field such as "measured.lead_u_v" or "shop.measured.outer_x"; "" for none.

    Returns:
        such as "471 mOhm, as expected", or the value alone where nothing is known to hold it against.

    Raises:
        KeyError: the schema has no such field.
    """
    if not name:
        return ""
    note = field_note(job.design, name)
    if note.value == "left out":
        return ""
    from recipes.measured.beside import beside
    from recipes.measured.row import WORDS, said

    row = next((r for r in beside(job) if r.field == name and r.measured is not None), None)
    if row is None or row.measured is None:
        return note.value
    return f"{said(row.measured, row.unit)}, {WORDS[row.verdict]}"
