"""The panel beside the box of a 1:1 page: what the lines mean, then notes."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.point import Point
from geometry.sheet.drawing import Item, Items, polyline, text_lines
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, wrap
from geometry.sheet.line_style import STYLES

#: What the panel says of the numbers beside its samples.
ISO_NUMBERS = "Numbers: line types of ISO 128-2."
ISO_CUSTOM = (
    "Numbers: line types of ISO 128-2. Dashed folds follow the custom of the craft, not ISO 128."
)

#: What stands in the panel where notes have no room.
MORE = "There is no room for all notes."

_SAMPLE = 14.0  # length of a sample of a line in the legend
_PARAGRAPH = 0.8  # gap below a note, in heights of lettering

#: Height of the panel of legend and notes: from the box's upper edge to the words of the ruler.
PANEL = 54.0


def legend(
    left: float, top: float, width: float, styles: Sequence[str], notes: Sequence[str]
) -> Items:
    """Return a sample of each line style in use with its meaning, then as many notes as fit.

    Args:
        left, top, width: of the panel, mm.
        styles: in use on the page.
        notes: sentences, the most serious first.
    """
    items: list[Item] = []
    low, numbers = top - PANEL, ISO_NUMBERS
    for name in sorted(styles, key=list(STYLES).index):
        style, middle = STYLES[name], top - SMALLEST_TEXT / 2
        items.append(polyline([Point(left, middle), Point(left + _SAMPLE, middle)], name))
        meaning = style.legend if style.custom else f"{style.legend} ({style.number})"
        lines = wrap(meaning, width - _SAMPLE - 2.0, SMALLEST_TEXT)
        items += text_lines(left + _SAMPLE + 2.0, top, SMALLEST_TEXT, lines)
        top -= _block(lines)
        numbers = ISO_CUSTOM if style.custom else numbers
    blocks = [wrap(note, width, SMALLEST_TEXT) for note in (numbers, *notes)]
    room = top - low
    if sum(map(_block, blocks)) > room:
        blocks.append(wrap(MORE, width, SMALLEST_TEXT))
        while len(blocks) > 1 and sum(map(_block, blocks)) > room:
            del blocks[-2]
    for lines in blocks:
        items += text_lines(left, top, SMALLEST_TEXT, lines)
        top -= _block(lines)
    return tuple(items)


def _block(lines: list[str]) -> float:
    """Return the height in mm that lines of the panel take, with the gap below them."""
    return SMALLEST_TEXT * (1.0 + LINE_PITCH * (len(lines) - 1) + _PARAGRAPH)
