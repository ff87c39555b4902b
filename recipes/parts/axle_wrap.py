"""Paper to wrap round the axle, 1:1: where to drill the wire slot, file flats, mill key seats.

What lies on it: see `recipes.axle.wrap`. The scribed axle must agree with its drawing: the wrap is
for the bench, the drawing has the limits. Not drawn: the round of the slot's mouth (it is filed last).
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point
from geometry.sheet.figure import on_pages
from geometry.sheet.later import Later
from geometry.sheet.paper import bound
from recipes.axle.wrap import Wrap, drill_centres, wraps_of
from recipes.axle.wrap_figure import drill_figure, wrap_figure
from recipes.drawing_words import Words, plain
from recipes.printing.paper import job_paper
from recipes.refusal import Refused, misfit

if TYPE_CHECKING:
    from geometry.sheet.drawing import Drawing
    from recipes.job import Job


def axle_wrap(job: Job) -> tuple[Part, ...]:
    """Return the wraps as one part with its pages; none where nothing is to be marked.

    Raises:
        Refused: an unknown bearing, features of the axle that overlap, or the printer's rulers are
            out of range.
    """
    wraps, printer = wraps_of(job), job.design.print
    if not wraps:
        return ()
    return (
        Part(
            name="axle_wrap",
            cut=tuple(_sheet(w) for w in wraps),
            material="office paper",
            thickness=printer.paper_thickness,
            quantity=1,
            settings=_settings(job, wraps),
            notes=_notes(job),
            drawings=Later(partial(_pages, job, wraps)),
        ),
    )


def _pages(job: Job, wraps: tuple[Wrap, ...]) -> list[Drawing]:
    """Return wraps and drill table at true size."""
    words = Words(job.design.units == "in")
    figures = []
    for number, wrap in enumerate(wraps, start=1):
        figures.append(wrap_figure(wrap, number, words))
        if wrap.slot is not None:
            width = job.design.axle.wire_slot.width
            figures.append(drill_figure(wrap, drill_centres(job), width, words))
    paper = job_paper(job)
    try:
        sheets = on_pages(figures, paper, _notes(job))
        return bound(sheets, paper, f"{job.design.name}: axle wrap", job.revision)
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None


def _sheet(wrap: Wrap) -> Region:
    wide, high = wrap.width, wrap.end - wrap.start
    return Region(Outline.rectangle(wide, high, Point(wide / 2, high / 2)))


def _settings(job: Job, wraps: tuple[Wrap, ...]) -> dict[str, float | int | str]:
    found: dict[str, float | int | str] = {"paper_thickness_mm": job.design.print.paper_thickness}
    for number, wrap in enumerate(wraps, start=1):
        found[f"wrap_{number}_diameter_mm"] = round(wrap.diameter, 4)
        found[f"wrap_{number}_width_mm"] = round(wrap.width, 4)
    return found


def _notes(job: Job) -> tuple[str, ...]:
    paper = plain(job.design.print.paper_thickness)
    return (
        "Punch the crosses through the paper, drill small first. Clamp the axle; eye protection.",
        f"Printed side out, face A up. Seams do not just meet? Measure rulers, axle, paper ({paper} mm).",
        "Angles: counter-clockwise as you look at face A, 0° right, 90° up.",
        "Seams lie opposite the wire slot, numbers at the free edge.",
    )
