"""Which sheet a drawing gets: the first paper and scale on which all of it can be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.frame import Sheet, TitleBlock, framed_sheet
from geometry.sheet.legible import legibility
from recipes.drawing_words import fitted
from recipes.refusal import Refused, finding

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from geometry.finding import Finding
    from geometry.sheet.drawing import Drawing
    from recipes.job import Job


def papers(job: Job) -> tuple[str, str]:
    """Return the papers that are tried: A4 (Letter where the design prints on it), then A3."""
    return "Letter" if job.design.print.page == "Letter" else "A4", "A3"


def titled_sheet(job: Job, paper: str, scale: str, *, what: str, kind: str, material: str, edges: str) -> Sheet:  # fmt: skip
    """Return a framed sheet whose title block names a part of the stator.

    Args:
        job: for name and revision.
        paper, scale: as chosen.
        what: the part in one word, first letter small.
        kind: of document, as in ISO 7200.
        material: shortened if it is longer than its field.
        edges: their state, as in ISO 13715.
    """
    design = job.design
    return framed_sheet(
        paper,
        TitleBlock(
            title=fitted(f"{what.capitalize()}, {design.name}", 76.0, 3.5),
            number=fitted(f"{design.slug}-{what}", 46.0, SMALLEST_TEXT),
            document_type=kind,
            revision=job.revision,
            material=fitted(material, 108.0, SMALLEST_TEXT),
            scale=scale,
            edges=edges,
        ),
    )


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
