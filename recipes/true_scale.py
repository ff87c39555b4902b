"""What parts that are printed at true scale share: the paper, and what is said of their pages."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.drafting.drawing import Drawing
from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.printing.page import Paper, bound
from geometry.printing.tiles import Figure, on_pages
from recipes.design.shop import Print
from recipes.design.units import counted
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit, note


def printing_paper(printer: Print) -> Paper:
    """Return what a design is printed on."""
    return Paper(printer.page, (printer.measured_x, printer.measured_y))


def true_scale_pages(
    figures: Sequence[Figure], imprint: Imprint, what: str, notes: tuple[str, ...]
) -> list[Drawing]:
    """Return the pages that hold all figures 1:1 in their order, on tiles where one is too large.

    Args:
        figures: in order.
        imprint: of the design.
        what: is printed; heading of every page.
        notes: sentences for every page.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    paper = printing_paper(imprint.printer)
    try:
        sheets = on_pages(figures, paper, notes)
        return bound(sheets, paper, f"{imprint.name}: {what}", imprint.revision)
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None


def sheet_findings(pages: Sequence[Drawing], what: str) -> list[Finding]:
    """Say that something comes on tiles, if it does: nothing else needs several pages here."""
    if len(pages) <= 1:
        return []
    return [
        note(
            "printed-on-tiles",
            "print.page",
            (
                f"{what}: larger than the page, so it comes on {counted(len(pages) - 1, 'sheet')} to be taped together "
                "by their crosses, and a map"
            ),
            value=len(pages),
            limit=1,
            fix="have it printed whole on a larger machine, or cut from its DXF where there is one",
            source="common practice",
            confidence="practice",
        )
    ]
