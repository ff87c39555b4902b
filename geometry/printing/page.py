"""Pages that are printed 1:1: rulers, a box in two units, a legend, a printer's correction.

A printer that "fits to page" shrinks without a word, and some stretch one axis while they shrink
the other. So every page carries two rulers of exactly 100 mm, one along each axis, and what they
really measure can be given back as `measured`: the page is then stretched to undo it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from geometry.drafting.drawing import (
    STYLES,
    Drawing,
    Item,
    Items,
    Stroke,
    Text,
    box,
    line,
    polyline,
    text_lines,
)
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, wrap
from geometry.drafting.sheet import paper_size
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

# The panel beside the box of a 1:1 page: what the lines mean, then notes.

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


Page = Literal["A4", "Letter", "both"]

#: Size of the sheet in mm. A page for "both" is as narrow as A4 and as short as Letter (8.5 x
#: 11 in), so either paper takes it whole, wherever the printer aligns it.
SHEETS: dict[str, tuple[float, float]] = {
    "A4": paper_size("A4"),
    "Letter": paper_size("Letter"),
    "both": (paper_size("A4")[0], paper_size("Letter")[1]),
}

#: Size in mm of the part of a sheet that is drawn on: 10 mm margins (common practice).
LIVE_AREAS: dict[str, tuple[float, float]] = {
    "A4": (190.0, 277.0),
    "Letter": (195.9, 259.4),
    "both": (190.0, 259.0),
}

#: Length of both rulers in mm.
RULER = 100.0
#: Inner box 10 x 5 cm, outer box 4 x 2 in, in mm.
INNER_BOX, OUTER_BOX = (100.0, 50.0), (101.6, 50.8)
#: A ruler that measures within this much of 100 mm needs no correction (common practice).
GOOD_ENOUGH = 0.3
#: Beyond this the page was scaled by the viewer, not by the printer: a setting must be found.
FARTHEST = 5.0

PRINT_AT = "Print at 100 % / actual size. Measure both rulers before you cut."

_LEFT = 9.0  # x of the ruler's zero and of the inner box, from the live area's left edge
_BOX_BOTTOM = 10.4  # y of the inner box, from the live area's lower edge
_SHELF = _BOX_BOTTOM + INNER_BOX[1] + 3.0  # where the room for pieces begins


def correction(measured_x: float, measured_y: float) -> tuple[float, float]:
    """Return the factors (x, y) that make rulers of these measured lengths 100 mm long.

    Raises:
        GeometryError: a length more than 5 mm from 100: that is a print setting, not a printer.
    """
    for axis, measured in (("X", measured_x), ("Y", measured_y)):
        if not abs(measured - RULER) <= FARTHEST:
            raise GeometryError(
                f"the {axis} ruler is said to measure {measured:g} mm",
                value=measured,
                limit=RULER + (FARTHEST if measured > RULER else -FARTHEST),
                hint="set the print dialog to 100 % / actual size, print and measure again",
            )
    return RULER / measured_x, RULER / measured_y


def sheet_size(page: Page, landscape: bool = False) -> tuple[float, float]:
    """Return width and height of the paper in mm.

    Raises:
        GeometryError: an unknown page.
    """
    if page not in SHEETS:
        raise GeometryError(f"unknown page {page!r}", hint=f"choose one of {', '.join(SHEETS)}")
    return _lying(SHEETS[page], landscape)


def _lying(size: tuple[float, float], landscape: bool) -> tuple[float, float]:
    return (size[1], size[0]) if landscape else size


def live_box(
    page: Page, measured: tuple[float, float] = (RULER, RULER), landscape: bool = False
) -> Box:
    """Return the box (x min, y min, x max, y max) that may be drawn on, in mm.

    A correction that enlarges the page shrinks the box, so that nothing leaves the margins.

    Raises:
        GeometryError: an unknown page or a ruler out of range.
    """
    width, height = sheet_size(page, landscape)
    stretch, (wide, high) = correction(*measured), _lying(LIVE_AREAS[page], landscape)
    half = wide / 2 / max(1.0, stretch[0]), high / 2 / max(1.0, stretch[1])
    return (
        width / 2 - half[0],
        height / 2 - half[1],
        width / 2 + half[0],
        height / 2 + half[1],
    )


def x_ruler(zero: Point) -> Items:
    """Return a level ruler of 100 mm with ticks every 10 mm, its zero at `zero`."""
    items: list[Item] = [line(zero, zero.plus(Point(RULER, 0.0)))]
    for k in range(11):
        foot = zero.plus(Point(10.0 * k, 0.0))
        items.append(line(foot, foot.plus(Point(0.0, -3.2 if k % 5 == 0 else -2.2))))
        items.append(Text(foot.x, foot.y - 3.8, SMALLEST_TEXT, str(10 * k), "centre", level="top"))
    items.append(
        Text(zero.x + RULER + 6.0, zero.y, SMALLEST_TEXT, "X: 100 mm", "left", level="top")
    )
    return tuple(items)


def y_ruler(zero: Point) -> Items:
    """Return an upright ruler of 100 mm with ticks every 10 mm, its zero at `zero`."""
    items: list[Item] = [line(zero, zero.plus(Point(0.0, RULER)))]
    for k in range(11):
        foot = zero.plus(Point(0.0, 10.0 * k))
        items.append(line(foot, foot.plus(Point(-3.2 if k % 5 == 0 else -2.2, 0.0))))
        items.append(Text(foot.x - 3.9, foot.y, SMALLEST_TEXT, str(10 * k), "centre", math.pi / 2))
    items.append(Text(zero.x - 3.9, zero.y + RULER + 6.0, 2.5, "Y: 100 mm", "left", math.pi / 2))
    return tuple(items)


def _boxes(inner: Point) -> Items:
    """Return both boxes about one middle; `inner` is the lower left corner of the inner one."""
    (wide, high), (x, y) = INNER_BOX, inner
    dx, dy = (OUTER_BOX[0] - wide) / 2, (OUTER_BOX[1] - high) / 2
    return (
        box(x, y, x + wide, y + high),
        box(x - dx, y - dy, x + wide + dx, y + high + dy),
    )


def _inside(
    corner: Point,
    title: str,
    revision: str,
    number: tuple[int, int],
    measured: tuple[float, float],
) -> Items:
    """Return the lettering in the box: title, how to print, correction, page, revision."""
    left, top, room = corner.x + 3.0, corner.y + INNER_BOX[1] - 3.0, INNER_BOX[0] - 6.0
    blocks = [
        (_title_size(title, room), title),
        (3.5, PRINT_AT),
        (SMALLEST_TEXT, "This box: 10 x 5 cm inside, 4 x 2 in outside."),
        (SMALLEST_TEXT, _correction_words(measured)),
    ]
    items: list[Item] = []
    for size, text in blocks:
        lines = wrap(text, room, size)
        items += text_lines(left, top, size, lines)
        top -= size + (len(lines) - 1) * LINE_PITCH * size + 0.9 * size
    foot = f"Page {number[0]} of {number[1]}"
    if revision:
        foot += f"     Revision {revision}"
    items.append(Text(left, corner.y + 2.5, SMALLEST_TEXT, foot))
    if text_width(foot, SMALLEST_TEXT) > room or top < corner.y + 2.5 + SMALLEST_TEXT:
        raise GeometryError(
            f"the page title {title!r} or revision {revision!r} is too long",
            limit=room,
            hint="shorten it to about 60 characters",
        )
    return tuple(items)


def _title_size(title: str, room: float) -> float:
    return next((s for s in (5.0, 3.5) if text_width(title, s) <= room), SMALLEST_TEXT)


def _correction_words(measured: tuple[float, float]) -> str:
    sx, sy = correction(*measured)
    if sx == sy == 1.0:
        return (
            f"Not corrected. A ruler more than {GOOD_ENOUGH} mm off? Give both measured lengths "
            "and print again."
        )
    return (
        f"Corrected for this printer: X x {sx:.4f}, Y x {sy:.4f} (rulers measured "
        f"{measured[0]:g} and {measured[1]:g} mm). Both must now measure 100 mm."
    )


# What is printed on, and sheets bound into numbered 1:1 pages.

#: Styles that a legend leaves out: rules of tables, crosses.
NOT_TOLD = {"narrow", "visible"}


@dataclass(frozen=True)
class Sheet:
    """What is drawn on one page besides its furniture, whose styles the legend tells.

    Args:
        items: on the page, mm.
        landscape: the page lies on its long side.
        notes: sentences for the panel, the most serious first.
        name: of this page among those of one title.
    """

    items: Items
    landscape: bool = False
    notes: tuple[str, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class Paper:
    """What is printed on.

    Args:
        page: "A4", "Letter", or "both" for pages that either paper takes whole.
        measured: what the X and Y rulers of an uncorrected print measure, mm.
    """

    page: Page = "A4"
    measured: tuple[float, float] = (RULER, RULER)

    def room(self, landscape: bool = False) -> Box:
        """Return the box that is left for pieces above rulers, box and legend, mm."""
        x0, y0, x1, y1 = live_box(self.page, self.measured, landscape)
        return x0 + _LEFT, y0 + _SHELF, x1, y1

    def size(self, landscape: bool = False) -> tuple[float, float]:
        """Return width and height of the room for pieces, mm."""
        x0, y0, x1, y1 = self.room(landscape)
        return x1 - x0, y1 - y0


def bound(sheets: Sequence[Sheet], paper: Paper, title: str, revision: str) -> list[Drawing]:
    """Return the sheets as numbered pages with rulers, box and legend."""
    return [
        _page(sheet, paper, title, revision, (n, len(sheets)))
        for n, sheet in enumerate(sheets, start=1)
    ]


def _page(
    sheet: Sheet, paper: Paper, title: str, revision: str, number: tuple[int, int]
) -> Drawing:
    """Return one page, number n of m, corrected for the printer."""
    name = f"{title}, {sheet.name}" if sheet.name else title
    x0, y0, x1, _ = live_box(paper.page, paper.measured, sheet.landscape)
    zero = Point(x0 + _LEFT, y0 + _BOX_BOTTOM)
    panel = zero.x + INNER_BOX[0] + 4.0
    styles = sorted({i.style for i in sheet.items if isinstance(i, Stroke)} - NOT_TOLD)
    furniture = (
        *x_ruler(Point(zero.x, y0 + 6.5)),
        *y_ruler(Point(x0 + 6.5, zero.y)),
        *_boxes(zero),
        *_inside(zero, name, revision, number, paper.measured),
        *legend(panel, zero.y + INNER_BOX[1], x1 - panel, styles, sheet.notes),
    )
    return Drawing(
        *sheet_size(paper.page, sheet.landscape),
        (*furniture, *sheet.items),
        f"{name}, page {number[0]} of {number[1]}",
        correction(*paper.measured),
    )
