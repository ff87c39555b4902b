"""The stator as the winder sees it, from the lead side: coils, arrows, tails, links, terminals.

    number                     from outside to inside along one tooth
      U+
    [tip]
    |///| -> arrow: how the wire crosses the tooth on this side
    S   F    where start and finish come up, at the root
    |   |
    (links of phase U, then V, then W on circles of their own; a dot is a joint)
     U1      terminal

The outline is that of the sheet, not to scale; coils, tails and links are drawn for reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.point import Point
from geometry.sheet.drawing import Fill, Item, Items, Text, line
from geometry.sheet.font import text_width
from geometry.sheet.view import View
from recipes.card.links import Inside, LinkDrawer
from recipes.card.marks import (
    Block,
    Frame,
    block_arrow,
    coil_label,
    hatched_block,
)
from recipes.card.stage import LETTER, Stage
from recipes.job import Job
from recipes.winding.paths import Join, joint_list


@dataclass(frozen=True)
class Picture:
    """The finished picture, and what of it the legend must explain."""

    items: Items
    links: bool
    terminals: bool


def stator_picture(job: Job, centre: Point, radius: float) -> Picture:
    """Return the picture inside a circle of `radius` mm on the sheet.

    Raises:
        Refused: the design has no winding, no slot, or no such wire.
    """
    stage = Stage(job, centre, radius)
    joins = joint_list(job.winding, job.design.winding.parallel_paths)
    drawer = LinkDrawer(stage, joins)
    links = drawer.links() if stage.lettered else Inside((), stage.below)
    marks = drawer.terminals(links.free if links.items else stage.below - 1.5)
    items: list[Item] = [*_steel(stage, min(links.free, marks.free)), *_coils(stage)]
    items += _tails(stage, joins) if stage.lettered else []
    items += [*links.items, *marks.items, *_names(stage)]
    return Picture(tuple(items), bool(links.items), bool(marks.items))


def _steel(stage: Stage, free: float) -> list[Item]:
    """Return the sheet's outline, and its bore where nothing else is drawn."""
    region = stage.job.parts["lamination"][0].cut[0]
    view = View(stage.centre, (round(stage.factor * 1_000_000), 1_000_000))
    items: list[Item] = list(view.edges(region.outer, "narrow"))
    if stage.bore < free - 1.0:
        items += view.edges(region.holes[-1], "narrow")
        free = stage.bore
    if free > text_width("lead side", 3.5) / 2 + 2.0:
        items.append(
            Text(stage.centre.x, stage.centre.y, 3.5, "lead side", "centre", level="middle")
        )
    return items


def _coils(stage: Stage) -> list[Item]:
    items: list[Item] = []
    block = stage.block
    middle, deep = (block.inner + block.outer) / 2, block.outer - block.inner
    wide = 2 * block.half_at(middle)
    length, head = 0.78 * min(wide, 22.0), min(4.2, 0.36 * wide + 0.5, 0.75 * deep)
    for k, tooth in enumerate(stage.teeth):
        if not tooth.phase:
            continue
        frame = Frame(stage.centre, stage.angle(k))
        items += hatched_block(block, frame, tooth.phase)
        half = min(length / 2 + 1.0, 0.43 * wide)
        plate = Block(middle - 0.62 * head, middle + 0.62 * head, half, half)
        items.append(Fill((plate.outline(frame),), "white"))
        sense = tooth.sense * math.pi / 2
        items.append(block_arrow(frame.at(middle), frame.angle + sense, length, head))
    return items


def _tails(stage: Stage, joins: tuple[Join, ...]) -> list[Item]:
    """Return the letters S and F under every coil, with the tail that comes up there."""
    items: list[Item] = []
    middle, top = stage.root - 2.7, stage.block.inner / math.cos(stage.tail)
    ends = {(j.from_tooth, j.from_end) for j in joins} | {(j.to_tooth, j.to_end) for j in joins}
    for k, end in sorted((k, e) for k, e in ends if k is not None):
        angle = stage.end_angle(k, end)
        spot = stage.polar(middle, angle)
        letter = {"start": "S", "finish": "F"}[end]
        items.append(line(stage.polar(top, angle), stage.polar(stage.root - 1.0, angle), "visible"))
        items.append(Text(spot.x, spot.y, LETTER, letter, "centre", level="middle"))
    return items


def _names(stage: Stage) -> list[Item]:
    items: list[Item] = []
    outer = stage.radius - stage.numbers.depth / 2
    inner = stage.radius - stage.numbers.depth - 0.8 - stage.phases.depth / 2
    for k, tooth in enumerate(stage.teeth):
        angle = stage.angle(k)
        items.append(stage.numbers.text(stage.centre, outer, angle, str(k + 1)))
        if tooth.phase:
            items.append(stage.phases.text(stage.centre, inner, angle, coil_label(tooth)))
    return items
