"""The two lists of the winding card: every tooth with tally boxes, and every joint."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass
from itertools import accumulate

from geometry.drafting.drawing import Item, Text, line
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.sheet import PAD, table
from geometry.point import Point
from recipes.winding.circuit import Join
from recipes.winding.conductors import ConductorPlacement
from recipes.winding.layout import PHASES, WindingLayout
from recipes.winding.marks import LINK_STYLES, coil_label
from recipes.winding.sense import Way, over_end, seen_from_gap
from recipes.written_sheets import TICK, Flow, tick_box

#: Column widths of the table of teeth in mm; the boxes take what the sheet leaves.
COLUMNS = (12.0, 12.0, 34.0, 20.0, 17.0, 17.0)
CHECKS = (14.0, 11.0, 11.0)

#: Turns for one box when layers do not serve, and the distance of two boxes in mm.
TALLY_STEPS = tuple(a * 10**n for n in range(1, 5) for a in (1, 2, 5))
TALLY_PITCH = TICK + 1.2

#: Height of one line of the joint list, and where its words begin, mm.
JOIN_PITCH, JOIN_WORDS = 5.2, 8.6

_LETTERS = {"start": "S", "finish": "F"}

#: Sign of either sense of winding.
TURNS: dict[Way, str] = {"clockwise": "↻", "counter-clockwise": "↺"}


@dataclass(frozen=True)
class ToothRow:
    """One line of the table of teeth, as printed."""

    number: str
    coil: str
    sense: str = ""
    crossing: str = ""
    start: str = ""
    finish: str = ""


def tooth_rows(layout: WindingLayout, joints: Sequence[Join]) -> tuple[ToothRow, ...]:
    """Return the line of every tooth: tooth 1 first, or as the wire goes where it winds several."""
    several = any(join.path > 1 for join in joints)
    other: dict[tuple[int | None, str], str] = {}
    for join in joints:
        path = f" ({join.path})" if several else ""
        one, two = (join.from_tooth, join.from_end), (join.to_tooth, join.to_end)
        if join.soldered:
            other[one], other[two] = _end(*two, path), _end(*one, path)
        else:
            other[one], other[two] = f"→ {_number(two[0])}", f"{_number(one[0])} →"
    order = list(range(layout.slots))
    if not all(join.soldered for join in joints):
        routed = [join.to_tooth for join in joints if join.to_tooth is not None]
        order = [*routed, *(k for k in order if not layout.teeth[k].phase)]
    rows = []
    for k in order:
        tooth = layout.teeth[k]
        if not tooth.phase:
            rows.append(ToothRow(str(k + 1), "bare"))
            continue
        way = seen_from_gap(tooth.sense)
        sense = f"{TURNS[way]} {way}"
        towards = f"to no. {(k + over_end(tooth.sense)) % layout.slots + 1}"
        ends = other[k, "start"], other[k, "finish"]
        rows.append(ToothRow(str(k + 1), coil_label(tooth), sense, towards, *ends))
    return tuple(rows)


def _number(tooth: int | None) -> int:
    assert tooth is not None
    return tooth + 1


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


def tally(conductors: ConductorPlacement, width: float) -> Tally:
    """Return boxes that fit `width` mm: one for each layer, else one for 10, 20, 50 ... turns."""
    turns = conductors.turns
    most = max(1, math.floor((width + TALLY_PITCH - TICK) / TALLY_PITCH))
    layers = tuple(accumulate(n for n in conductors.turns_per_layer if n))
    if conductors.kind == "layered" and layers and layers[-1] == turns and len(layers) <= most:
        return Tally(layers, "turns; a box a layer", width)
    step = next(s for s in TALLY_STEPS if math.ceil(turns / s) <= most)
    return Tally((*range(step, turns, step), turns), f"turns; a box for {step}", width)


def tooth_table(
    flow: Flow, rows: Sequence[ToothRow], conductors: ConductorPlacement, unit: str
) -> None:
    """Write the table of teeth, on as many sheets as it needs.

    Args:
        flow: the sheets.
        rows: of every tooth.
        conductors: of one coil side; they say how turns are counted.
        unit: of a coil's resistance; "" where one wire winds several.
    """
    widths = (*COLUMNS, flow.width - sum(COLUMNS) - sum(CHECKS), *CHECKS)
    boxes = tally(conductors, widths[6] - 2 * PAD - 3.0)
    header = (
        *("tooth", "coil", "turns, seen from\nthe air gap", "over the\nlead end"),
        *("S joins", "F joins", boxes.name, f"coil,\n{unit}" if unit else "", "clear", "done"),
    )
    blank = ("",) * 4
    head, two = (
        table(
            flow.left, 0.0, [header, *((*astuple(r), *blank) for r in part)], widths=widths
        ).height
        for part in ((), rows[:1])
    )
    pitch = two - head
    if flow.left_over < head + pitch * len(rows) + 12.0:
        flow.need(flow.top - flow.bottom)
    first = 0
    while first < len(rows):
        if first:
            flow.new_sheet()
        flow.title("Teeth", "all tails on the lead side; S start, F finish; tick as you go", 30.0)
        part = rows[first : first + max(1, math.floor((flow.left_over - head) / pitch))]
        first += len(part)
        laid = table(
            flow.left, flow.y, [header, *((*astuple(r), *blank) for r in part)], widths=widths
        )
        items: list[Item] = list(laid.items)
        # a count over the first box may be wider than the box
        start = flow.left + sum(widths[:6]) + PAD + 1.5
        spots = [start + boxes.pitch * k for k in range(len(boxes.counts))]
        foot = flow.y - head + PAD + 0.3
        items += [
            Text(spots[k] + TICK / 2, foot, SMALLEST_TEXT, words, "centre")
            for k, words in boxes.shown.items()
        ]
        checks = [flow.left + sum(widths[:k]) + (widths[k] - TICK) / 2 for k in (8, 9)]
        for k, row in enumerate(part):
            middle = flow.y - head - pitch * (k + 0.5)
            if row.sense:
                items += [tick_box(x, middle) for x in (*spots, *checks)]
        flow.add(items, laid.height)


def _column(joints: Iterable[Join], phase: str) -> list[str | Join]:
    """Return the lines of one phase: joins, and a heading for each path if several."""
    mine = [join for join in joints if join.phase == phase]
    paths = mine[-1].path
    rows: list[str | Join] = []
    for join in mine:
        if paths > 1 and join.from_tooth is None:
            rows.append(f"path {join.path} of {paths}")
        rows.append(join)
    return rows


def joint_table(flow: Flow, joints: Sequence[Join]) -> None:
    """Write the joint list, a column for each phase, on as many sheets as it needs."""
    columns = [_column(joints, phase) for phase in PHASES]
    wide = flow.width / len(PHASES)
    first, longest = 0, max(len(c) for c in columns)
    while first < longest:
        if first:
            flow.new_sheet()
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
        items = []
        for n, column in enumerate(columns):
            for k, row in enumerate(column[first : first + count]):
                x, middle = flow.left + n * wide, flow.y - JOIN_PITCH * (k + 0.5)
                if isinstance(row, str):
                    items.append(Text(x, middle, SMALLEST_TEXT, row, level="middle"))
                    continue
                items += [tick_box(x, middle), tick_box(x + TICK + 1.0, middle)]
                items.append(Text(x + JOIN_WORDS, middle, SMALLEST_TEXT, row.text, level="middle"))
        flow.add(items, JOIN_PITCH * min(count, longest - first) + 1.0)
        first += count
