"""The two lists of the winding card: every tooth with tally boxes, and every joint."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate

from geometry.drafting.drawing import Drawing, Item, Items, Stroke, Text, box, line, text_lines
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, wrap
from geometry.drafting.table import PAD, table
from geometry.outline import Outline
from geometry.point import Point
from geometry.printing.page import SHEETS, Page, live_box
from geometry.segment import Box
from recipes.drawing_conventions import fitted
from recipes.job import Job
from recipes.winding.circuit import Join, joint_list
from recipes.winding.layout import PHASES
from recipes.winding.marks import LINK_STYLES, coil_label

#     Sheets that fill from top to bottom: headings, sentences with tick boxes, tables.
#
# All places in mm on the sheet. A block that does not fit in what is left of a sheet goes to the next.

#: Room that the heading of a sheet takes.
HEADING = 10.0

#: Side of a tick box.
TICK = 3.0

#: Lettering of steps.
READING = 3.5


class Flow:
    """Items of several sheets, and the height `y` down to which the last one is filled."""

    def __init__(self, room: Box) -> None:
        """Start with one empty sheet; `room` is the box that may be drawn on."""
        self.left, self.bottom, self.right, top = room
        self.top = top - HEADING
        self.sheets: list[list[Item]] = []
        self.y = self.top
        self.new_sheet()

    @property
    def width(self) -> float:
        """Width of the room."""
        return self.right - self.left

    @property
    def left_over(self) -> float:
        """Height that is left on the last sheet."""
        return self.y - self.bottom

    def new_sheet(self) -> None:
        """Begin another sheet."""
        self.sheets.append([])
        self.y = self.top

    def need(self, height: float) -> None:
        """Begin another sheet unless `height` is left, or the sheet is still empty."""
        if self.left_over < height and self.y < self.top:
            self.new_sheet()

    def add(self, items: Items | list[Item], height: float) -> None:
        """Put items on the sheet that take `height` from `y` down."""
        self.sheets[-1] += items
        self.y -= height

    def title(self, words: str, beside: str = "", keep: float = 20.0) -> None:
        """Write a heading; it stays on one sheet with `keep` mm of what follows."""
        self.need(8.5 + keep)
        if self.y < self.top:
            self.y -= 3.5
        items: list[Item] = [Text(self.left, self.y - READING, READING, words)]
        if beside:
            x = self.left + text_width(words, READING) + 3.0
            items.append(Text(x, self.y - READING, SMALLEST_TEXT, beside))
        self.add(items, 6.0)

    def sentence(self, words: str, size: float = SMALLEST_TEXT, indent: float = 0.0) -> None:
        """Write a paragraph."""
        lines = wrap(words, self.width - indent, size)
        height = size * (1.0 + LINE_PITCH * (len(lines) - 1)) + 0.75 * size
        self.need(height)
        self.add(text_lines(self.left + indent, self.y, size, lines), height)

    def step(self, words: str, size: float = READING) -> None:
        """Write a sentence with a tick box in front."""
        lines = wrap(words, self.width - TICK - 2.5, size)
        height = size * (1.0 + LINE_PITCH * (len(lines) - 1)) + 0.75 * size
        self.need(height)
        self.sheets[-1].append(tick_box(self.left, self.y - size / 2))
        self.add(text_lines(self.left + TICK + 2.5, self.y, size, lines), height)

    def caution(self, words: str) -> None:
        """Write a caution: a triangle with an exclamation mark in front, a line at the side."""
        lines = wrap(words, self.width - 9.5, READING)
        high = READING * (1.0 + LINE_PITCH * (len(lines) - 1))
        height = max(high, 6.0) + 0.75 * READING
        self.need(height)
        down = (max(high, 6.0) - high) / 2
        self.sheets[-1] += warning_sign(Point(self.left + 3.6, self.y - max(high, 6.0) / 2))
        self.add(text_lines(self.left + 9.5, self.y - down, READING, lines), height)


def tick_box(x: float, middle: float, side: float = TICK) -> Stroke:
    """Return a square to tick, its left edge at x; all in mm."""
    return box(x, middle - side / 2, x + side, middle + side / 2)


def warning_sign(middle: Point, size: float = 6.6) -> Items:
    """Return a triangle with an exclamation mark (in the manner of ISO 7010 W001)."""
    low, high = middle.y - 0.42 * size, middle.y + 0.42 * size
    left, right = middle.x - size / 2, middle.x + size / 2
    corners = [(left, low), (right, low), (middle.x, high)]
    return (
        Stroke(Outline.polygon(corners).segments, "visible"),
        Text(middle.x, low + 0.15 * size, SMALLEST_TEXT, "!", "centre"),
    )


def numbered_sheets(
    sheets: list[list[Item]], title: str, page: Page, revision: str
) -> tuple[Drawing, ...]:
    """Return the drawings of a part that is printed, each with its heading.

    Args:
        sheets: what stands on each sheet, mm.
        title: of all of them.
        page: paper, as in the design.
        revision: of the design.
    """
    room, count = live_box(page), len(sheets)
    return tuple(
        Drawing(
            *SHEETS[page],
            (*sheet_heading(room, title, (number, count), revision), *items),
            f"{title}, sheet {number} of {count}",
        )
        for number, items in enumerate(sheets, start=1)
    )


def sheet_heading(room: Box, title: str, number: tuple[int, int], revision: str) -> Items:
    """Return the heading of a sheet: title, number of the sheet, revision, and a line below."""
    left, _, right, top = room
    facts = f"sheet {number[0]} of {number[1]}, revision {revision}"
    title = fitted(title, right - left - text_width(facts, SMALLEST_TEXT) - 6.0, 5.0)
    return (
        Text(left, top - 5.6, 5.0, title),
        Text(right, top - 5.6, SMALLEST_TEXT, facts, "right"),
        line(Point(left, top - 7.6), Point(right, top - 7.6), "visible"),
    )


#: Column widths of the table of teeth in mm; the boxes take what the sheet leaves.
COLUMNS = (12.0, 12.0, 34.0, 20.0, 17.0, 17.0)
CHECKS = (14.0, 11.0, 11.0)

#: Turns for one box when layers do not serve, and the distance of two boxes in mm.
TALLY_STEPS = tuple(a * 10**n for n in range(1, 5) for a in (1, 2, 5))
TALLY_PITCH = TICK + 1.2

#: Height of one line of the joint list, and where its words begin, mm.
JOIN_PITCH, JOIN_WORDS = 5.2, 8.6

_LETTERS = {"start": "S", "finish": "F"}


@dataclass(frozen=True)
class ToothRow:
    """One line of the table of teeth, as printed."""

    number: str
    coil: str
    sense: str
    crossing: str
    start: str
    finish: str

    @property
    def cells(self) -> tuple[str, ...]:
        """The texts of the line."""
        return (self.number, self.coil, self.sense, self.crossing, self.start, self.finish)


def tooth_rows(job: Job) -> tuple[ToothRow, ...]:
    """Return the line of every tooth, tooth 1 first."""
    joins = job.joints
    several = job.design.winding.parallel_paths > 1
    other: dict[tuple[int, str], str] = {}
    for join in joins:
        path = f" ({join.path})" if several else ""
        if join.from_tooth is not None:
            other[join.from_tooth, join.from_end] = _end(join.to_tooth, join.to_end, path)
        if join.to_tooth is not None:
            other[join.to_tooth, join.to_end] = _end(join.from_tooth, join.from_end, path)
    rows = []
    slots = len(job.layout.teeth)
    for k, tooth in enumerate(job.layout.teeth):
        if not tooth.phase:
            rows.append(ToothRow(str(k + 1), "bare", "", "", "", ""))
            continue
        sense = "↻ clockwise" if tooth.sense > 0 else "↺ counter-clockwise"
        towards = f"to no. {(k + tooth.sense) % slots + 1}"
        ends = other[k, "start"], other[k, "finish"]
        rows.append(ToothRow(str(k + 1), coil_label(tooth), sense, towards, *ends))
    return tuple(rows)


def _end(tooth: int | None, end: str, path: str) -> str:
    return f"{tooth + 1} {_LETTERS[end]}" if tooth is not None else end + path


@dataclass(frozen=True)
class Tally:
    """Boxes to tick while a coil grows.

    Args:
        counts: turns that are on when each box is ticked; the last is all of them.
        name: what a box stands for.
        width: room for all boxes, mm.
    """

    counts: tuple[int, ...]
    name: str
    width: float

    @property
    def _words(self) -> float:
        return max(text_width(str(n), SMALLEST_TEXT) for n in self.counts) + 1.0

    @property
    def pitch(self) -> float:
        """Distance of two boxes in mm: wide enough for a count over each, if there is room."""
        roomy = max(TALLY_PITCH, self._words)
        return roomy if roomy * len(self.counts) <= self.width else TALLY_PITCH

    @property
    def shown(self) -> dict[int, str]:
        """Counts written over their boxes, by the box's index: as many as have room, and the last."""
        stride, last = math.ceil(self._words / self.pitch - 1e-9), len(self.counts) - 1
        return {k: str(n) for k, n in enumerate(self.counts) if (last - k) % stride == 0}


def tally(job: Job, width: float) -> Tally:
    """Return boxes that fit `width` mm: one for each layer, else one for 10, 20, 50 ... turns."""
    turns = job.design.winding.turns
    most = max(1, math.floor((width + TALLY_PITCH - TICK) / TALLY_PITCH))
    layers = tuple(accumulate(n for n in job.conductors.turns_per_layer if n))
    if job.conductors.kind == "layered" and layers and layers[-1] == turns and len(layers) <= most:
        return Tally(layers, "turns; a box a layer", width)
    step = next(s for s in TALLY_STEPS if math.ceil(turns / s) <= most)
    return Tally((*range(step, turns, step), turns), f"turns; a box for {step}", width)


def tooth_table(job: Job, flow: Flow) -> None:
    """Write the table of teeth, on as many sheets as it needs.

    Raises:
        Refused: no winding, no such wire, or no slot.
    """
    rows = tooth_rows(job)
    head = table(flow.left, 0.0, [_header("", "Ω")], widths=_widths(flow)).height
    pitch = (
        table(
            flow.left,
            0.0,
            [_header("", "Ω"), *[r.cells + ("",) * 4 for r in rows[:1]]],
            widths=_widths(flow),
        ).height
        - head
    )
    whole = head + pitch * len(rows) + 12.0
    if flow.left_over < whole:
        flow.need(flow.top - flow.bottom)
    first = 0
    while first < len(rows):
        flow.title("Teeth", "all tails on the lead side; S start, F finish; tick as you go", 30.0)
        count = max(1, math.floor((flow.left_over - head) / pitch))
        part = rows[first : first + count]
        _tooth_part(job, flow, part, head, pitch)
        first += count
        if first < len(rows):
            flow.new_sheet()


def _header(boxes: str, unit: str) -> tuple[str, ...]:
    return (
        "tooth",
        "coil",
        "turns, seen from\nthe air gap",
        "over the\nlead end",
        "S joins",
        "F joins",
        boxes,
        f"coil,\n{unit}",
        "clear",
        "done",
    )


def _widths(flow: Flow) -> tuple[float, ...]:
    return (*COLUMNS, flow.width - sum(COLUMNS) - sum(CHECKS), *CHECKS)


def _tooth_part(
    job: Job, flow: Flow, rows: tuple[ToothRow, ...], head: float, pitch: float
) -> None:
    widths = _widths(flow)
    boxes = tally(job, widths[6] - 2 * PAD - 3.0)
    unit = "mΩ" if job.resistance.coil_ohm < 1.0 else "Ω"
    cells = [_header(boxes.name, unit), *[(*row.cells, "", "", "", "") for row in rows]]
    laid = table(flow.left, flow.y, cells, widths=widths)
    items: list[Item] = list(laid.items)
    # a count over the first box may be wider than the box
    first = flow.left + sum(widths[:6]) + PAD + 1.5
    spots = [first + boxes.pitch * k for k in range(len(boxes.counts))]
    foot = flow.y - head + PAD + 0.3
    items += [
        Text(spots[k] + TICK / 2, foot, SMALLEST_TEXT, words, "centre")
        for k, words in boxes.shown.items()
    ]
    checks = [flow.left + sum(widths[:k]) + (widths[k] - TICK) / 2 for k in (8, 9)]
    for k, row in enumerate(rows):
        middle = flow.y - head - pitch * (k + 0.5)
        if row.coil != "bare":
            items += [tick_box(x, middle) for x in (*spots, *checks)]
    flow.add(items, laid.height)


def joint_rows(job: Job, phase: str) -> tuple[str | Join, ...]:
    """Return the lines of one phase's column: joins, and a heading for each path if several."""
    paths = job.design.winding.parallel_paths
    rows: list[str | Join] = []
    for join in joint_list(job.layout, paths):
        if join.phase != phase:
            continue
        if paths > 1 and join.from_tooth is None:
            rows.append(f"path {join.path} of {paths}")
        rows.append(join)
    return tuple(rows)


def joint_table(job: Job, flow: Flow) -> None:
    """Write the joint list, a column for each phase, on as many sheets as it needs."""
    columns = [joint_rows(job, phase) for phase in PHASES]
    wide = flow.width / len(PHASES)
    first, longest = 0, max(len(c) for c in columns)
    while first < longest:
        flow.title(
            "Joints",
            "first box: sleeve is on the wire; second box: joined, sleeve drawn over it",
            30.0,
        )
        items: list[Item] = []
        for n, phase in enumerate(PHASES):
            x, y = flow.left + n * wide, flow.y - 2.5
            items.append(Text(x, y, 3.5, f"Phase {phase}", level="middle"))
            items.append(line(Point(x + 20.0, y), Point(x + 48.0, y), LINK_STYLES[phase]))
        flow.add(items, 7.0)
        count = max(1, math.floor(flow.left_over / JOIN_PITCH))
        parts = [c[first : first + count] for c in columns]
        items = []
        for n, part in enumerate(parts):
            items += _joint_part(flow.left + n * wide, flow.y, part)
        flow.add(items, JOIN_PITCH * max(len(p) for p in parts) + 1.0)
        first += count
        if first < longest:
            flow.new_sheet()


def _joint_part(x: float, top: float, rows: tuple[str | Join, ...]) -> list[Item]:
    items: list[Item] = []
    for k, row in enumerate(rows):
        middle = top - JOIN_PITCH * (k + 0.5)
        if isinstance(row, str):
            items.append(Text(x, middle, SMALLEST_TEXT, row, level="middle"))
            continue
        items += [tick_box(x, middle), tick_box(x + TICK + 1.0, middle)]
        items.append(Text(x + JOIN_WORDS, middle, SMALLEST_TEXT, row.text, level="middle"))
    return items
