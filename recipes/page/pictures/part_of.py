"""Part of a picture that the pack shows as well, without the words that stand beside it on the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.sheet.drawing import Drawing, Fill, Stroke, Text

if TYPE_CHECKING:
    from geometry.point import Point
    from geometry.segment import Box
    from geometry.sheet.drawing import Item


def part_of(drawing: Drawing, box: Box, lettering: float = 0.0) -> Drawing:
    """Return the drawing with only those items that begin inside a box of its sheet.

    Args:
        drawing: the whole sheet.
        box: x min, y min, x max, y max, mm.
        lettering: words lower than this, mm, are left out.
    """
    kept = tuple(
        item
        for item in drawing.items
        if _inside(_start(item), box)
        and not (isinstance(item, Text) and item.height_mm < lettering)
    )
    return Drawing(drawing.width_mm, drawing.height_mm, kept, drawing.title)


def _start(item: Item) -> Point:
    if isinstance(item, Stroke):
        return item.segments[0].start
    return item.loops[0].segments[0].start if isinstance(item, Fill) else item.start


def _inside(place: Point, box: Box) -> bool:
    return box[0] <= place.x <= box[2] and box[1] <= place.y <= box[3]
