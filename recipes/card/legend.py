"""What stands below the picture: the two senses as seen on a tooth, hatching, kinds of line, words."""

from __future__ import annotations

from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Box
from geometry.sheet.drawing import Fill, Item, Items, Text, box, line, polyline, text_lines
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, wrap
from recipes.card.marks import (
    LINK_STYLES,
    MINUS,
    PLUS,
    Block,
    Frame,
    block_arrow,
    hatched_block,
)
from recipes.card.picture import Picture
from recipes.design import Design
from recipes.job import Job
from recipes.winding.star import PHASES

#: Widths of the columns for the senses and for the samples, mm.
SENSES, SAMPLES, GAP = 81.0, 40.0, 4.0


def legend(job: Job, picture: Picture, room: Box) -> Items:
    """Return the legend in a box on the sheet, at least 185 x 48 mm."""
    left, _, right, top = room
    words_at = left + SENSES + SAMPLES + 2 * GAP
    return (
        *_senses(left, top),
        *_samples(left + SENSES + GAP, top, picture),
        *_words(job, picture, words_at, top, right - words_at),
    )


def _senses(left: float, top: float) -> Items:
    """Return both senses on the face of a tooth, and what the sides are called."""
    heading = "Tooth seen from the air gap, lead side up"
    items: list[Item] = [Text(left, top, SMALLEST_TEXT, heading, level="top")]
    for sign, name, x in (
        (1, f"{PLUS} clockwise", left + 17.5),
        (-1, f"{MINUS} counter-clockwise", left + 58.0),
    ):
        middle = Point(x, top - 24.5)
        items += _wound_tooth(middle, sign)
        items.append(Text(x, top - 40.5, 3.5, name, "centre", level="top"))
        for side, word in ((-1, "lower no."), (1, "higher no.")):
            spot = Point(x + side * 12.0, middle.y)
            anchor = 1.5707963267948966
            items.append(Text(spot.x, spot.y, SMALLEST_TEXT, word, "centre", anchor, "middle"))
    return tuple(items)


def _wound_tooth(middle: Point, sign: int) -> Items:
    """Return a tooth's face with a turn and a half of wire, start and finish up (lead side).

    sign 1: clockwise; the start goes down on the right. sign -1: the mirror image.
    """

    def at(x: float, y: float) -> Point:
        return Point(middle.x + sign * x, middle.y + y)

    face = box(middle.x - 3.5, middle.y - 8.0, middle.x + 3.5, middle.y + 8.0, "narrow")
    inner, outer, low, high = 5.5, 8.5, 10.0, 9.5
    tail = high + 5.5
    wire = [
        at(inner, high - 1.2), at(inner, -low), at(-inner, -low), at(-inner, high),
        at(outer, high), at(outer, -low - 3.0), at(-outer, -low - 3.0), at(-outer, tail),
    ]  # fmt: skip
    across = 3.141592653589793 if sign < 0 else 0.0
    down, up = -1.5707963267948966, 1.5707963267948966
    return (
        face,
        polyline(wire, "visible"),
        line(at(inner, tail), at(inner, high + 1.2), "visible"),
        block_arrow(at(0.0, high), across, 6.0, 2.6),
        block_arrow(at(outer, 0.0), down, 6.0, 2.6),
        block_arrow(at(-outer, 0.0), up, 6.0, 2.6),
        Text(at(inner, 0.0).x, middle.y + tail + 0.6, SMALLEST_TEXT, "S", "centre"),
        Text(at(-outer, 0.0).x, middle.y + tail + 0.6, SMALLEST_TEXT, "F", "centre"),
    )


def _samples(left: float, top: float, picture: Picture) -> Items:
    heading = "Phase, coil, link" if picture.links or picture.terminals else "Phase, coil"
    items: list[Item] = [Text(left, top, SMALLEST_TEXT, heading, level="top")]
    for row, phase in enumerate(PHASES):
        y = top - 9.0 - 9.0 * row
        items.append(Text(left, y, 5.0, phase, level="middle"))
        frame = Frame(Point(left + 7.5, y), 0.0)
        items += hatched_block(Block(0.0, 13.0, 3.2, 3.2), frame, phase)
        if picture.links or picture.terminals:
            ends = Point(left + 23.0, y), Point(left + 39.0, y)
            items.append(line(*ends, LINK_STYLES[phase]))
        if picture.links:
            items.append(Fill((Outline.circle(Point(left + 36.5, y), 0.75),)))
    notes = ["S start, F finish"]
    if picture.links:
        notes.append("dot: joint of two tails")
    if picture.terminals:
        notes.append("circle: terminal")
    items += text_lines(left, top - 33.5, SMALLEST_TEXT, notes)
    return tuple(items)


def _words(job: Job, picture: Picture, left: float, top: float, width: float) -> Items:
    items: list[Item] = []
    for words in _sentences(job, picture):
        lines = wrap(words, width, SMALLEST_TEXT)
        items += text_lines(left, top, SMALLEST_TEXT, lines)
        top -= SMALLEST_TEXT * (1.0 + LINE_PITCH * (len(lines) - 1) + 0.9)
    return tuple(items)


def _sentences(job: Job, picture: Picture) -> list[str]:
    found = [
        f"Arrow: the way the wire crosses the tooth on the lead side; {PLUS} to the higher number, "
        f"{MINUS} to the lower.",
        "S goes down beside the tooth where the arrow points; F comes up on the other side.",
    ]
    if picture.links:
        found.append("Lines that cross without a dot are not joined.")
    else:
        found.append("Who joins whom: see the joint list.")
    if job.design.winding.parallel_paths > 1 and picture.terminals:
        found.append("In brackets: number of the parallel path.")
    if job.design.winding.coil_sides == "alternate teeth":
        found.append("A tooth without a coil stays bare.")
    return [*found, first_tooth(job.design)]


def first_tooth(design: Design) -> str:
    """Return how to find tooth 1: keys, flats, arms, bolts lie on its axis, windows beside it.

    See `recipes.hub`.
    """
    hub = design.hub
    features = (
        (hub.keyway, "keyway"), (hub.flats, "flat"), (hub.spokes, "arm"), (hub.bolts, "bolt hole"),
    )  # fmt: skip
    for feature, name in features:
        if feature is not None and feature.count == 1:
            return f"Tooth 1 stands over the {name}. Mark it on the steel."
        if feature is not None:
            article = "an" if name[0] in "aeiou" else "a"
            return f"Tooth 1: a tooth over {article} {name}. Mark it on the steel."
    if hub.windows is not None and hub.windows.count > 1:
        return "Tooth 1: a tooth midway between two windows. Mark it on the steel."
    return "Tooth 1: any tooth. Mark it on the steel before you begin."
