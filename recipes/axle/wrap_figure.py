"""One wrap as a figure: its edge, its marks and scale, and the words that must stay on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.sheet.drawing import Stroke, Text, edges, line
from geometry.sheet.figure import Figure
from geometry.sheet.font import SMALLEST_TEXT, text_width
from geometry.sheet.table import table
from geometry.sheet.taken import Taken
from recipes.axle.wrap import Mark, Wrap, slot_edge
from recipes.drawing_words import Words, plain

#: Ticks of the scale of angles: every so many degrees, their length, and that of a numbered one, mm.
STEP, TICK, LONG_TICK = 10, 1.5, 2.5

#: Steps of the numbers on the scale, degrees.
NUMBER_STEPS = (30, 45, 90, 180)

#: Half the length of a drill centre's cross over the radius of its hole.
CROSS_SHARE = 0.6

#: The middle line of the slot goes beyond its ends by this much, mm.
OVER = 2.0

_QUARTER = math.pi / 2


def wrap_figure(wrap: Wrap, number: int, words: Words) -> Figure:
    """Return the wrap at true size, its name above it; lower left corner at the origin."""
    width, height = wrap.width, wrap.end - wrap.start
    sheet = Region(Outline.rectangle(width, height, Point(width / 2, height / 2)))
    lines: list[Stroke] = [s for s in edges(sheet, "cut") if isinstance(s, Stroke)]
    lines += _ticks(wrap, height)
    lines += [s for m in wrap.marks for s in _mark(wrap, m)]
    lines += _slot(wrap)
    taken, texts = Taken(lines), list[Text]()
    against = taken.first_free(
        p for p in _edge_places(wrap, words, height) if _inside(p, width, height)
    )
    above = 2.0
    if against is None:  # no room on the paper: beside the edge
        y = height + above if wrap.edge == "start" else -above - SMALLEST_TEXT
        against = Text(width / 2, y, SMALLEST_TEXT, f"this edge to {edge_words(wrap)}", "centre")
        above += 4.0 if wrap.edge == "start" else 0.0
    texts.append(against)
    taken.add(texts)
    for places in _texts(wrap, number, words, height):
        spot = taken.first_free(p for p in places if _inside(p, width, height))
        if spot is not None:
            texts.append(spot)
            taken.add((spot,))
    name = wrap_name(wrap, number, words)
    title = Text(width / 2, height + above, SMALLEST_TEXT, name, "centre")
    return Figure((*lines, *texts, title), (sheet,), name)


def wrap_name(wrap: Wrap, number: int, words: Words) -> str:
    """Return what stands above a wrap."""
    return (
        f"wrap {number}: ⌀{words.size(wrap.diameter)}, {plain(wrap.start)} to "
        f"{plain(wrap.end)} mm from face A"
    )


def drill_figure(wrap: Wrap, centres: tuple[float, float], width: float, words: Words) -> Figure:
    """Return the table of the two drill centres of the wire slot, `width` mm wide."""
    assert wrap.slot is not None
    rows = [("hole", f"from {edge_words(wrap)}, {words.unit}", "from face A", "direction", "drill")]
    for k, z in enumerate(centres, start=1):
        off = abs(z - wrap.at_edge)
        rows.append(
            (
                str(k), words.size(off), words.size(z), f"{plain(wrap.slot.angle)}°",
                words.size(width, "⌀"),
            )
        )  # fmt: skip
    return Figure(table(0.0, 0.0, rows).items)


def edge_words(wrap: Wrap) -> str:
    """Return what the edge is laid against, for the reader."""
    return wrap.against if wrap.against.startswith("face") else f"the {wrap.against}"


def _ticks(wrap: Wrap, height: float) -> list[Stroke]:
    """Return the scale of angles at both edges."""
    found = []
    numbered = _number_step(wrap)
    for degrees in range(0, 360, STEP if wrap.width > 60.0 else 3 * STEP):
        x = wrap.x(degrees)
        if min(x, wrap.width - x) < 0.3:
            continue  # the seam itself
        long = LONG_TICK if degrees % numbered == 0 else TICK
        for foot, way in ((0.0, 1.0), (height, -1.0)):
            found.append(line(Point(x, foot), Point(x, foot + way * long), "mark"))
    return found


def _number_step(wrap: Wrap) -> int:
    wide = text_width("330°", SMALLEST_TEXT) + 1.5
    return next((s for s in NUMBER_STEPS if s / 360 * wrap.width >= wide), NUMBER_STEPS[-1])


def _mark(wrap: Wrap, mark: Mark) -> Iterator[Stroke]:
    """Yield the edges of a flat, groove or key seat, parted where it crosses the seam."""
    low, high = wrap.y(mark.end), wrap.y(mark.start)
    if mark.half >= math.pi:
        for y in (low, high):
            if 0.0 < y < wrap.end - wrap.start:
                yield line(Point(0.0, y), Point(wrap.width, y), "mark")
        return
    reach = mark.half / (2 * math.pi) * wrap.width
    middle = wrap.x(mark.angle)
    for shift in (-wrap.width, 0.0, wrap.width):
        a, b = middle + shift - reach, middle + shift + reach
        left, right = max(a, 0.0), min(b, wrap.width)
        if right - left < 1e-9:
            continue
        for x in (x for x in (a, b) if 0.0 < x < wrap.width):
            yield line(Point(x, low), Point(x, high), "mark")
        for y in (low, high):
            if 1e-9 < y < wrap.end - wrap.start - 1e-9:
                yield line(Point(left, y), Point(right, y), "mark")


def _slot(wrap: Wrap) -> Iterator[Stroke]:
    """Yield the slot's edge, its middle line, and a cross at both drill centres."""
    if wrap.slot is None:
        return
    height, x = wrap.end - wrap.start, wrap.x(wrap.slot.angle)
    half = wrap.diameter / 2 * math.sin(wrap.slot.half)
    spots = [Point(*p) for p in slot_edge(wrap, 2 * half)]
    yield Stroke(Outline.polygon(spots).segments, "mark")
    ends = wrap.y(wrap.slot.end) - OVER, wrap.y(wrap.slot.start) + OVER
    low, high = max(ends[0], LONG_TICK), min(ends[1], height - LONG_TICK)
    yield line(Point(x, low), Point(x, high), "centre")
    arm = CROSS_SHARE * half
    for y in (wrap.y(wrap.slot.start) - half, wrap.y(wrap.slot.end) + half):
        yield line(Point(x - arm, y), Point(x + arm, y), "mark")


def _inside(text: Text, width: float, height: float) -> bool:
    return all(0.5 <= p.x <= width - 0.5 and 0.5 <= p.y <= height - 0.5 for p in text.corners())


def _texts(wrap: Wrap, number: int, words: Words, height: float) -> Iterator[Iterator[Text]]:
    """Yield for every further text its places, best first; the most needed texts come first."""
    low = wrap.edge == "start"  # numbers stand at the free edge, the words at the other
    for degrees in range(0, 360, _number_step(wrap)):
        spot, away = Point(wrap.x(degrees), 0.0), LONG_TICK + 0.8 + SMALLEST_TEXT / 2
        rows = (away, height - away) if low else (height - away, away)
        yield (_text(spot.x, y, f"{degrees}°") for y in rows)
    for mark in (*wrap.marks, *((wrap.slot,) if wrap.slot else ())):
        yield _mark_places(wrap, mark)
    for x in (2.2, wrap.width - 2.2):
        yield (_text(x, s * height, "seam", _QUARTER) for s in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8))
    yield _anywhere(
        wrap, height, (f"wrap {number}: ⌀{words.size(wrap.diameter)}", f"wrap {number}")
    )
    yield _anywhere(wrap, height, ("↑ face A", "↑ A"))


def _text(x: float, y: float, words: str, turn: float = 0.0) -> Text:
    return Text(x, y, SMALLEST_TEXT, words, "centre", turn, "middle")


def _edge_places(wrap: Wrap, words: Words, height: float) -> Iterator[Text]:
    """Yield places for the words at the edge that is laid against something."""
    against = "step" if wrap.against == "step" else wrap.against
    verb = "this edge to" if against != "step" else "this edge flush with"
    long = f"{verb} {against}, {words.size(wrap.at_edge)} from face A"
    if wrap.against.startswith("face"):
        long = f"{verb} {against}"
    first = TICK + 0.8 + SMALLEST_TEXT / 2
    for said in (long, f"{verb} {against}", f"to {against}"):
        for k in range(4):
            off = first + 3.4 * k
            y = off if wrap.edge == "end" else height - off
            for n in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7):
                yield _text((0.5 + 0.06 * n) * wrap.width, y, said)


def _mark_places(wrap: Wrap, mark: Mark) -> Iterator[Text]:
    """Yield places for a name: within the mark, upright in it, then beside it."""
    x, y = wrap.x(mark.angle), (wrap.y(mark.start) + wrap.y(mark.end)) / 2
    if mark.half >= math.pi:
        off = (mark.end - mark.start) / 2 + 0.8 + SMALLEST_TEXT / 2
        for s in (0.5, 0.35, 0.65, 0.2, 0.8):
            for dy in (0.0, off, -off):
                yield _text(s * wrap.width, y + dy, mark.name)
        return
    reach = min(mark.half / (2 * math.pi), 0.5) * wrap.width
    for turn in (0.0, _QUARTER):
        for dx in (0.0, 0.4 * reach, -0.4 * reach):
            yield _text(x + dx, y, mark.name, turn)
    for away in (2.4, 3.5, 6.0):
        for side in (1.0, -1.0):
            for dy in (0.0, 4.0, -4.0):
                yield _text(x + side * (reach + away), y + dy, mark.name, _QUARTER)


def _anywhere(wrap: Wrap, height: float, sayings: Sequence[str]) -> Iterator[Text]:
    for said in sayings:
        for a, b in ((0.3, 0.5), (0.7, 0.5), (0.2, 0.5), (0.8, 0.5)):
            for dy in (0.0, 0.12, -0.12, 0.24, -0.24):
                for dx in (0.0, 0.06, -0.06):
                    yield _text((a + dx) * wrap.width, (b + dy) * height, said)
