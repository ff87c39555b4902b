"""What recipes that print at true size share: the paper of a design, and what they say of its pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from geometry.sheet.paper import Paper
from recipes.refusal import finding

if TYPE_CHECKING:
    from geometry.finding import Finding
    from geometry.sheet.drawing import Drawing
    from recipes.job import Job


def job_paper(job: Job) -> Paper:
    """Return what a design is printed on."""
    printer = job.design.print
    return Paper(printer.page, (printer.measured_x, printer.measured_y))


def sheet_findings(pages: Sequence[Drawing], what: str) -> list[Finding]:
    """Say that something comes on tiles, if it does: nothing else needs several pages here."""
    if len(pages) <= 1:
        return []
    return [
        finding(
            "note", "printed-on-tiles", "print.page", len(pages), 1,
            f"{what}: larger than the page, so it comes on {len(pages) - 1} sheets to be taped together "
            "by their crosses, and a map",
            "have it printed whole on a larger machine, or cut from its DXF where there is one",
            "common practice", "practice",
        )
    ]  # fmt: skip
