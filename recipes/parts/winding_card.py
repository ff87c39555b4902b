"""The winding card: what lies beside the stator while it is wound.

sheet 1       the stator from the lead side, every tooth with number, phase, sense, tails and links
sheet 2       figures, steps with cautions where they bite
sheets 3..    every tooth with its tally boxes; then every joint with its tick boxes; last the tests

Not checked here: whether the turns fit (`recipes.winding.lay`) and whether tails reach (`recipes.
winding_resistance`). A design whose turns do not fit still has a card; its tally counts steps.
"""

from __future__ import annotations

from geometry.part import Part
from geometry.point import Point
from geometry.segment import Box
from geometry.sheet.drawing import Item, Text
from geometry.sheet.font import text_width
from geometry.sheet.page import live_box
from recipes.card.flow import HEADING, Flow, numbered_sheets
from recipes.card.joints import joining
from recipes.card.legend import legend
from recipes.card.picture import stator_picture
from recipes.card.steps import figures, steps_before, steps_each
from recipes.card.tables import tooth_table
from recipes.drawing_words import fitted
from recipes.job import Job


def winding_card(job: Job) -> tuple[Part, ...]:
    """Return the card as one part without anything to cut; its sheets are drawings.

    Raises:
        Refused: no winding, no slot, no such wire, no turn that fits, or paths that are not legal.
    """
    page = job.design.print.page
    room = live_box(page)
    flow = Flow(room)
    figures(job, flow)
    steps_before(flow)
    steps_each(job, flow)
    tooth_table(job, flow)
    flow.new_sheet()
    joining(job, flow)
    sheets = [_picture_sheet(job, room), *flow.sheets]
    drawings = numbered_sheets(sheets, f"Winding card: {job.design.name}", page, job.revision)
    winding = job.design.winding
    return (
        Part(
            name="winding_card",
            cut=(),
            material="paper",
            thickness=0.0,
            quantity=1,
            settings={
                "coils": 3 * job.winding.coils_per_phase,
                "turns": winding.turns,
                "strands": winding.strands,
                "parallel_paths": winding.parallel_paths,
                "sheets": len(drawings),
            },
            notes=("teeth numbered counter-clockwise as seen from the lead side, tooth 1 up",),
            drawings=drawings,
        ),
    )


def _picture_sheet(job: Job, room: Box) -> list[Item]:
    left, bottom, right, top = room
    motor, winding = job.design.motor, job.design.winding
    paths = f", {winding.parallel_paths} parallel paths" if winding.parallel_paths > 1 else ""
    strands = f"{winding.strands} × " if winding.strands > 1 else ""
    words = (
        f"Seen from the lead side. {motor.slots} teeth, {motor.poles} poles, {winding.turns} turns of "
        f"{strands}{job.wire.label} on {winding.coil_sides}, {winding.connection}{paths}"
    )
    size = 3.5 if text_width(words, 3.5) <= right - left else 2.5
    line_top = top - HEADING
    radius = (right - left) / 2
    centre = Point((left + right) / 2, line_top - 5.0 - radius)
    picture = stator_picture(job, centre, radius)
    below = centre.y - radius - 0.8
    return [
        Text(left, line_top, size, fitted(words, right - left, size), level="top"),
        *picture.items,
        *legend(job, picture, (left, bottom, right, below)),
    ]
