"""Which sheet a drawing gets: the first paper and scale on which all of it can be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.sheet.legible import legibility
from recipes.refusal import Refused, finding

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from geometry.finding import Finding
    from geometry.sheet.drawing import Drawing
    from recipes.job import Job


def papers(job: Job) -> tuple[str, str]:
    """Return the papers that are tried: A4 (Letter where the design prints on it), then A3."""
    return "Letter" if job.design.print.page == "Letter" else "A4", "A3"


def first_legible(tries: Iterable[Callable[[], Drawing]], field: str, value: float, what: str) -> Drawing:  # fmt: skip
    """Return the first drawing without a fault in its lettering, else the first there is.

    Args:
        tries: each makes one drawing; one that raises `GeometryError` has no room.
        field, value: dotted design field that is to blame if there is none, and its value in mm.
        what: name of the part.

    Raises:
        Refused: no try gave a drawing.
    """
    best: Drawing | None = None
    for make in tries:
        try:
            drawing = make()
        except GeometryError:
            continue
        if not legibility(drawing):
            return drawing
        best = best or drawing
    if best is None:
        raise Refused(_no_sheet(field, value, what))
    return best


def _no_sheet(field: str, value: float, what: str) -> Finding:
    return finding(
        "stop", "no-sheet", field, value, None,
        f"{field} = {value:g} mm: no drawing of this {what} can be read on A4 or A3 at a standard "
        "scale",
        "leave out holes, keys or marks", "ISO 5455",
    )  # fmt: skip
