"""What parts that are printed at true scale share: the paper, and what is said of their pages."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.drafting.drawing import Drawing
from geometry.finding import Finding
from geometry.printing.page import Paper
from recipes.design.shop import Print
from recipes.refusal import note


def printing_paper(printer: Print) -> Paper:
    """Return what a design is printed on."""
    return Paper(printer.page, (printer.measured_x, printer.measured_y))


def sheet_findings(pages: Sequence[Drawing], what: str) -> list[Finding]:
    """Say that something comes on tiles, if it does: nothing else needs several pages here."""
    if len(pages) <= 1:
        return []
    return [
        note(
            "printed-on-tiles",
            "print.page",
            (
                f"{what}: larger than the page, so it comes on {len(pages) - 1} sheets to be taped together "
                "by their crosses, and a map"
            ),
            value=len(pages),
            limit=1,
            fix="have it printed whole on a larger machine, or cut from its DXF where there is one",
            source="common practice",
            confidence="practice",
        )
    ]
