"""The bench sheet for the lathe: limits and play of every seat, steps to size, warm fit, keys.

One part without anything to cut; its sheets are drawings for the printer, to be ticked off and
written on. Not said here: how a lathe is set up.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from geometry.part import Part
from geometry.sheet.page import live_box
from geometry.sheet.table import table
from recipes.card.flow import READING, Flow, numbered_sheets
from recipes.seats.bench import key_steps, seat_table, steps_by_seat, warm_steps
from recipes.seats.steps import COMPOUND, FILING, LATHE, WHY
from recipes.seats.warm_fit import CAUTION
from recipes.units import MM_PER_INCH

if TYPE_CHECKING:
    from recipes.job import Job
    from recipes.seats.bench import SeatRow

#: Column widths of the table of seats, mm; the mate takes what is left.
NAME, FIT, LIMITS, PLAY = 27.0, 11.0, 37.0, 42.0


def seat_steps(job: Job) -> tuple[Part, ...]:
    """Return the bench sheet as one part.

    Raises:
        Refused: no such bearing or fit, or features of the axle overlap.
    """
    page = job.design.print.page
    flow = Flow(live_box(page))
    _limits(job, flow)
    _seats(job, flow)
    _heat(job, flow)
    _keys(job, flow)
    _record(job, flow)
    title = f"Bench sheet, seats: {job.design.name}"
    drawings = numbered_sheets(flow.sheets, title, page, job.revision)
    return (
        Part(
            name="seat_steps",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={"sheets": len(drawings)},
            notes=("the bearing is the gauge; tick every step",),
            drawings=drawings,
        ),
    )


def _limits(job: Job, flow: Flow) -> None:
    flow.title("What each seat must measure", keep=40.0)
    inches = job.design.units == "in"
    rows = [("seat", "class", "between (mm)", "what goes on it", "play on the diameter")]
    rows += [(r.name, r.fit, _between(r, inches), r.mate, _kept(r.play)) for r in seat_table(job)]
    widths = (NAME, FIT, LIMITS, flow.width - NAME - FIT - LIMITS - PLAY, PLAY)
    laid = table(flow.left, flow.y, rows, widths=widths)
    flow.add(laid.items, laid.height + 3.0)
    flow.sentence(WHY)
    flow.sentence(
        f"In a thin or aluminium hub, or with light load, K7 instead of N7. {FILING}"
        if any(r.fit == "N7" for r in seat_table(job))
        else FILING
    )


def _between(row: SeatRow, inches: bool) -> str:
    words = f"{row.largest:.3f} and {row.smallest:.3f}"
    if not inches:
        return words
    return f"{words}\n[{row.largest / MM_PER_INCH:.4f} and {row.smallest / MM_PER_INCH:.4f}]"


def _kept(words: str) -> str:
    """Return a sentence whose numbers stay on one line with their unit."""
    return re.sub(r"(\d) (mm|µm)\b", "\\1\u00a0\\2", words)


def _seats(job: Job, flow: Flow) -> None:
    flow.title("Take off, measure, try", keep=30.0)
    flow.caution(LATHE)
    for headings, steps in steps_by_seat(job):
        flow.need(30.0)
        for heading in headings:
            flow.sentence(_kept(heading), READING)
        for step in steps:
            flow.step(_kept(step))
    flow.title("If a seat came out too small", keep=20.0)
    flow.caution(_kept(COMPOUND))


def _heat(job: Job, flow: Flow) -> None:
    steps = warm_steps(job)
    if not steps:
        return
    flow.title("If a bearing does not go on by hand", keep=30.0)
    flow.caution(CAUTION)
    for step in steps:
        flow.step(_kept(step))


def _keys(job: Job, flow: Flow) -> None:
    steps = key_steps(job)
    if not steps:
        return
    flow.title("Keys of the stack", keep=20.0)
    for step in steps:
        flow.step(_kept(step))


def _record(job: Job, flow: Flow) -> None:
    """Write an empty table for what was measured."""
    heads = (
        "seat",
        "bar",
        "after roughing",
        "after fine cuts",
        "at last",
        "bearing or stack tried",
    )
    rows = [heads, *((r.name, "", "", "", "", "") for r in seat_table(job))]
    first = 32.0
    rest = (flow.width - first) / (len(heads) - 1)
    laid = table(flow.left, 0.0, rows, widths=(first, *(rest,) * (len(heads) - 1)))
    flow.title("Measured (mm)", keep=laid.height + 2.0)
    laid = table(flow.left, flow.y, rows, widths=(first, *(rest,) * (len(heads) - 1)))
    flow.add(laid.items, laid.height)
