"""1:1 pages for paper parts: every copy of every piece, ready to cut with a knife."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.part import Part
from geometry.sheet.drawing import Drawing
from geometry.sheet.page_layout import lay_out
from geometry.sheet.piece import Piece
from recipes.refusal import Refused, misfit

if TYPE_CHECKING:
    from recipes.job import Job

#: Names on the paper, for people.
TITLES = {"liner": "slot liner", "liner_trial": "trial strip", "end_washer": "end washer"}


def template_pages(job: Job, parts: tuple[Part, ...]) -> tuple[Drawing, ...]:
    """Return the pages that hold all pieces of `parts` at true size, printer corrected.

    Raises:
        Refused: a piece is larger than a page, or the printer's rulers are out of range.
    """
    printer = job.design.print
    pieces = [piece for part in parts for piece in _pieces(part)]
    try:
        return tuple(
            lay_out(
                pieces,
                title=f"{job.design.name}: {TITLES.get(parts[0].name, parts[0].name)}",
                page=printer.page,
                revision=job.revision,
                measured=(printer.measured_x, printer.measured_y),
                notes=list(dict.fromkeys(n for p in parts for n in p.notes)),
            )
        )
    except GeometryError as error:
        raise Refused(misfit(error, "print.page")) from None


def _pieces(part: Part) -> list[Piece]:
    """Return one piece for each region, with the folds that lie on it."""
    found = []
    for number, region in enumerate(part.cut, start=1):
        x0, _, x1, _ = region.box
        fold = tuple(
            path for path in part.fold if all(x0 <= s.start.x <= x1 for s in path.segments)
        )
        name = TITLES.get(part.name, part.name)
        found.append(
            Piece(
                (region,),
                f"{name} {number}" if len(part.cut) > 1 else name,
                part.quantity,
                part.material,
                part.thickness,
                fold,
                grain=0.0 if "grain" in part.settings else None,
            )
        )
    return found
