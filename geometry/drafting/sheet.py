"""Sheets of paper with frame and title block (ISO 216, ISO 5457, ISO 7200), and tables on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Item, Items, Stroke, Text, box, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, widest, wrap
from geometry.drafting.symbol import first_angle
from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

# Tables on a sheet: ruled cells with wrapped lettering.

PAD = 1.2


@dataclass(frozen=True)
class Table:
    """A table that was laid out: its items and the box it takes, in mm."""

    items: Items
    width: float
    height: float


def table(
    x: float,
    top: float,
    rows: Sequence[Sequence[str]],
    *,
    widths: Sequence[float] | None = None,
    header: bool = True,
    height: float = SMALLEST_TEXT,
) -> Table:
    """Return a ruled table whose upper left corner is (x, top).

    Args:
        rows: texts by row; every row has as many cells as the first. A text is wrapped at spaces
            and at line breaks.
        widths: column widths in mm; None makes every column as wide as its longest line.
        header: rule the first row off with a wide line.
        height: lettering in mm.

    Raises:
        GeometryError: rows of different length, or a word wider than its column.
    """
    if not rows or any(len(row) != len(rows[0]) for row in rows):
        raise GeometryError("a table needs rows of equal length", value=len(rows))
    if widths is None:
        columns = [
            max(widest(row[k].split("\n"), height) for row in rows) + 2 * PAD
            for k in range(len(rows[0]))
        ]
    else:
        columns = list(widths)
    items: list[Stroke | Text] = []
    y = top
    for row in rows:
        cells = [
            wrap(text, width - 2 * PAD + 1e-6, height)
            for text, width in zip(row, columns, strict=True)
        ]
        for k, lines in enumerate(cells):
            _check(lines, columns[k] - 2 * PAD, height)
            items += _cell(x + sum(columns[:k]) + PAD, y - PAD, lines, height)
        y -= 2 * PAD + height + (max(len(c) for c in cells) - 1) * LINE_PITCH * height + 0.6
        if row is not rows[-1]:
            style = "visible" if header and row is rows[0] else "narrow"
            items.append(line(Point(x, y), Point(x + sum(columns), y), style))
    for k in range(1, len(columns)):
        edge = x + sum(columns[:k])
        items.append(line(Point(edge, y), Point(edge, top)))
    items.append(box(x, y, x + sum(columns), top, "visible"))
    return Table(tuple(items), sum(columns), top - y)


def _cell(x: float, top: float, lines: list[str], height: float) -> list[Stroke | Text]:
    return [
        Text(x, top - height - k * LINE_PITCH * height, height, words)
        for k, words in enumerate(lines)
        if words
    ]


def _check(lines: list[str], room: float, height: float) -> None:
    for words in lines:
        if text_width(words, height) > room + 1e-3:
            raise GeometryError(
                f"{words!r} is too wide for its table column",
                value=round(text_width(words, height), 1),
                limit=round(room, 1),
                hint="widen the column or shorten the text",
            )


#: Paper sizes, short x long edge in mm. A4 to A2: ISO 216. Letter: 8.5 x 11 in (ANSI Y14.1).
PAPER: dict[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "Letter": (215.9, 279.4),
}

#: Margins of the frame in mm: 20 for filing at the left, 10 elsewhere (ISO 5457).
FILING_MARGIN, MARGIN = 20.0, 10.0

#: Title block: 180 mm wide, so that it fits an upright A4 (ISO 7200), and its height.
BLOCK_WIDTH, BLOCK_HEIGHT = 180.0, 42.0


@dataclass(frozen=True)
class TitleBlock:
    """Data fields of ISO 7200. Empty names and dates stay blank, to be filled in by hand.

    Args:
        title: what the drawing shows.
        number: identification number.
        owner: legal owner of the drawing.
        document_type: such as "part drawing".
        revision: revision index, such as the hash of the design.
        date_of_issue: blank unless given; nothing here reads a clock.
        sheet: this sheet and how many there are.
        created_by, approved_by: names, usually written by hand.
        material: material and its condition.
        scale: main scale, such as "1:2".
        tolerances: general tolerances.
        edges: state of edges that are not dimensioned (in the sense of ISO 13715).
        units: unit of all lengths.
    """

    title: str
    number: str
    owner: str = ""
    document_type: str = "part drawing"
    revision: str = ""
    date_of_issue: str = ""
    sheet: tuple[int, int] = (1, 1)
    created_by: str = ""
    approved_by: str = ""
    material: str = ""
    scale: str = "1:1"
    tolerances: str = "ISO 2768-mK"
    edges: str = "break sharp edges 0.3-0.5"
    units: str = "mm"


@dataclass(frozen=True)
class Sheet:
    """An empty framed sheet: its size, its items, and where there is room.

    Args:
        room: free box above the title block: x min, y min, x max, y max in mm.
        side: free box beside the title block, None on an upright sheet.
    """

    width: float
    height: float
    items: Items
    room: Box
    side: Box | None

    def holds(self, items: Iterable[Item]) -> bool:
        """Tell whether all lettering lies inside the frame and off the title block."""
        left, bottom = FILING_MARGIN, MARGIN
        right, top = self.width - MARGIN, self.height - MARGIN
        for text in items:
            if isinstance(text, Text):
                for x, y in text.corners():
                    if not (left < x < right and bottom < y < top):
                        return False
                    if x > right - BLOCK_WIDTH and y < bottom + BLOCK_HEIGHT:
                        return False
        return True


def paper_size(paper: str, *, landscape: bool = False) -> tuple[float, float]:
    """Return width and height of a sheet in mm.

    Raises:
        GeometryError: a paper that is not in `PAPER`; lists the choices.
    """
    if paper not in PAPER:
        raise GeometryError(
            f"unknown paper {paper!r}", hint=f"choose one of {', '.join(sorted(PAPER))}"
        )
    short, long = PAPER[paper]
    return (long, short) if landscape else (short, long)


def framed_sheet(paper: str, block: TitleBlock, *, landscape: bool = True) -> Sheet:
    """Return a sheet with frame and title block in the lower right corner.

    Raises:
        GeometryError: unknown paper, or a text too long for its field (names field and room).
    """
    width, height = paper_size(paper, landscape=landscape)
    left, right = FILING_MARGIN, width - MARGIN
    bottom, top = MARGIN, height - MARGIN
    x0, y1 = right - BLOCK_WIDTH, bottom + BLOCK_HEIGHT
    gap = 3.0
    side = (left + gap, bottom + gap, x0 - gap, y1) if x0 - left > 30.0 else None
    return Sheet(
        width,
        height,
        (box(left, bottom, right, top, "frame"), *title_block(block, x0, bottom)),
        (left + gap, y1 + gap, right - gap, top - gap),
        side,
    )


#: Rows of the title block from the bottom: height in mm, and (label, field, width in mm).
_ROWS: tuple[tuple[float, tuple[tuple[str, str, float], ...]], ...] = (
    (
        12.0,
        (("Legal owner", "owner", 50.0), ("Title", "title", 80.0), ("Number", "number", 50.0)),
    ),
    (
        10.0,
        (
            ("Created by", "created_by", 40.0),
            ("Approved by", "approved_by", 40.0),
            ("Date of issue", "date_of_issue", 32.0),
            ("Revision", "revision", 48.0),
            ("Sheet", "sheet", 20.0),
        ),
    ),
    (
        10.0,
        (("Material", "material", 112.0), ("Document type", "document_type", 68.0)),
    ),
    (
        10.0,
        (
            ("Units", "units", 14.0),
            ("General tolerances", "tolerances", 38.0),
            ("Edges", "edges", 60.0),
            ("Scale", "scale", 20.0),
            ("Projection", "", 48.0),
        ),
    ),
)


def title_block(block: TitleBlock, x: float, y: float) -> Items:
    """Return the block with its lower left corner at (x, y) mm."""
    values = {name: str(value) for name, value in vars(block).items() if name != "sheet"}
    values["sheet"] = f"{block.sheet[0]} / {block.sheet[1]}"
    items: list[Stroke | Text] = [box(x, y, x + BLOCK_WIDTH, y + BLOCK_HEIGHT, "visible")]
    base = y
    for height, cells in _ROWS:
        left = x
        for label, name, width in cells:
            items.append(Text(left + 1.2, base + height - 1.0, SMALLEST_TEXT, label, level="top"))
            if name:
                items += _value(name, values[name], (left, base, width, height))
            left += width
            if left < x + BLOCK_WIDTH - 1e-9:
                items.append(line(Point(left, base), Point(left, base + height)))
        base += height
        if base < y + BLOCK_HEIGHT - 1e-9:
            items.append(line(Point(x, base), Point(x + BLOCK_WIDTH, base)))
    sign = first_angle(Point(x + BLOCK_WIDTH - 13.0, y + BLOCK_HEIGHT - 5.0), 6.0)
    return (*items, *sign)


def _value(name: str, text: str, cell: tuple[float, float, float, float]) -> list[Stroke | Text]:
    """Return the text of a field, as large as its cell allows, on one or two lines."""
    left, base, width, height = cell
    room, tall = width - 2.4, height - 1.0 - SMALLEST_TEXT - 1.0
    for size in (5.0, 3.5, 2.5) if name in ("title", "number") else (3.5, 2.5):
        if size + 1.2 <= tall and text_width(text, size) <= room:
            return [Text(left + 1.2, base + 1.6, size, text)] if text else []
    lines = wrap(text, room, SMALLEST_TEXT)
    if (
        len(lines) > (2 if tall >= 7.0 else 1)
        or max(text_width(t, SMALLEST_TEXT) for t in lines) > room
    ):
        raise GeometryError(
            f"the title block field {name!r} holds {text!r}, too long for its cell",
            value=round(text_width(text, SMALLEST_TEXT), 1),
            limit=room,
            hint=f"shorten it to about {int(room / 1.9)} characters",
        )
    return [
        Text(left + 1.2, base + 1.2 + 3.7 * k, SMALLEST_TEXT, words)
        for k, words in enumerate(reversed(lines))
    ]
