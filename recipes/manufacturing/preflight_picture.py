"""The picture of a preflight: the part in grey, every spot circled and numbered, the list below."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, missing, text_width, wrap
from geometry.drafting.view import View, pick_scale
from geometry.finding import Finding
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Box
from recipes.manufacturing.preflight_facts import Facts

#: Sheet, margin and the square for the part (mm).
WIDTH, MARGIN, PART = 210.0, 10.0, 190.0
#: Radius of the ring round a spot, height of its number (mm).
RING, NUMBER = 2.5, 3.5
#: Where the further lines of a finding begin, in the list (mm).
INDENT = 8.0
#: At most so many findings are drawn and listed.
MOST = 60
#: A place in a message, and the blank at which no line is broken.
_PLACE = re.compile(r"at \(-?[0-9.]+, -?[0-9.]+\)( mm)?")
_NO_BREAK = "\u00a0"
_WORDS = {"stop": "STOP", "warn": "look", "note": "note"}
#: Room between the part and the frame of its square, for numbers (mm).
_ROOM = 14.0


@dataclass(frozen=True)
class _Label:
    """A number beside its ring: the middle of its text on the sheet, and its half size."""

    middle: Point
    half: tuple[float, float]

    def gap(self, spot: Point, radius: float) -> float:
        """Return how far (mm) the box of the label stays from a ring; negative inside it."""
        dx = max(abs(spot.x - self.middle.x) - self.half[0], 0.0)
        dy = max(abs(spot.y - self.middle.y) - self.half[1], 0.0)
        return math.hypot(dx, dy) - radius

    def covers(self, other: _Label) -> bool:
        """Tell whether two labels overlap."""
        return all(
            abs(a - b) < p + q + 0.4
            for a, b, p, q in zip(self.middle, other.middle, self.half, other.half, strict=True)
        )


def preflight_picture(findings: Sequence[Finding], facts: Facts, name: str) -> Drawing:
    """Return the marked picture of a file.

    Args:
        findings: what `preflight` found; they carry the numbers of this order, and those without a
            place are only listed.
        facts: of the file.
        name: name of the file, for the title.
    """
    shown = list(enumerate(findings[:MOST], start=1))
    words = _list(shown, len(findings) - len(shown))
    height = MARGIN + len(words) * LINE_PITCH * SMALLEST_TEXT + 6.0 + PART + 12.0 + MARGIN
    middle = Point(WIDTH / 2, height - MARGIN - 12.0 - PART / 2)
    items: list[Item] = []
    view = _view(facts.box, [f.where for _, f in shown if f.where], middle)
    scale = ""
    if view:
        items += _part(facts, view)
        items += _marks(shown, view, middle)
        scale = f", {view.label}"
    w, h = facts.size
    head = f"{_plain(name)}: {w:.2f} x {h:.2f} mm{scale}, judged for {facts.process.name}, {facts.steel}"
    items.append(Text(MARGIN, height - MARGIN - 3.5, 3.5, wrap(head, PART, 3.5)[0]))
    top = middle.y - PART / 2 - 6.0
    for k, text in enumerate(words):
        y = top - k * LINE_PITCH * SMALLEST_TEXT
        indent = INDENT if text[:1] == " " else 0.0
        items.append(Text(MARGIN + indent, y, SMALLEST_TEXT, text.strip()))
    return Drawing(WIDTH, height, tuple(items), f"preflight of {_plain(name)}")


def _view(box: Box | None, places: Sequence[tuple[float, float]], middle: Point) -> View | None:
    if box is None and not places:
        return None
    if box is None:
        xs, ys = [p[0] for p in places], [p[1] for p in places]
        box = (min(xs), min(ys), max(xs), max(ys))
    box = _with_places(box, places)
    extent = max(box[2] - box[0], 1e-3), max(box[3] - box[1], 1e-3)
    free = PART - 2 * _ROOM
    scale = pick_scale(extent, (free, free)) if max(extent) < 1e6 else (1, 10_000)
    return View(middle, scale, Point((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))


def _with_places(box: Box, places: Sequence[tuple[float, float]]) -> Box:
    """Return the box grown to hold places that lie not too far off."""
    reach = max(box[2] - box[0], box[3] - box[1])
    x0, y0, x1, y1 = box
    for x, y in places:
        if box[0] - reach <= x <= box[2] + reach and box[1] - reach <= y <= box[3] + reach:
            x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
    return x0, y0, x1, y1


def _part(facts: Facts, view: View) -> list[Item]:
    regions = [view.region(r) for r in facts.regions]
    items: list[Item] = [Fill((r.outer, *r.holes), "grey") for r in regions]
    items += [view.stroke(c.segments, "narrow") for c in (*facts.chains.loops, *facts.chains.runs)]
    return items


def _marks(shown: Sequence[tuple[int, Finding]], view: View, middle: Point) -> list[Item]:
    """Return a ring for each place, and beside it the numbers of all findings there."""
    here: dict[tuple[float, float], list[int]] = {}
    for number, f in shown:
        if f.where:
            here.setdefault(f.where, []).append(number)
    spots = {place: _kept_inside(view.at(*place), middle) for place in here}
    labels: list[_Label] = []
    items: list[Item] = []
    for place, numbers in here.items():
        spot = spots[place]
        text = ", ".join(map(str, numbers))
        label = _free_place(text, spot, middle, labels, list(spots.values()))
        labels.append(label)
        items.append(Stroke(Outline.circle(spot, RING).segments, "visible"))
        way = label.middle.minus(spot)
        reach = (
            way.length()
            - min(
                label.half[0] / max(abs(way.unit().x), 1e-9),
                label.half[1] / max(abs(way.unit().y), 1e-9),
            )
            - 0.4
        )
        if reach > RING + 0.5:
            items.append(line(spot.plus(way.unit(), RING), spot.plus(way.unit(), reach)))
        x, y = label.middle
        a, b = label.half
        corners = [(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)]
        items.append(Fill((Outline.polygon(corners),), "white"))
        items.append(Text(x, y, NUMBER, text, "centre", level="middle"))
    return items


def _kept_inside(spot: Point, middle: Point) -> Point:
    """Return the spot, or the nearest one inside the square if it lies far off the part."""
    reach = PART / 2 - RING
    return Point(
        min(max(spot.x, middle.x - reach), middle.x + reach),
        min(max(spot.y, middle.y - reach), middle.y + reach),
    )


def _free_place(
    text: str, spot: Point, middle: Point, labels: Sequence[_Label], spots: Sequence[Point]
) -> _Label:
    """Return the nearest place for a number that covers no other number and no ring."""
    half = text_width(text, NUMBER) / 2 + 0.5, NUMBER / 2 + 0.5
    outward = spot.minus(middle).angle()
    best: _Label | None = None
    for distance in (7.0, 10.0, 13.0, 17.0, 22.0, 28.0):
        for turn in (0, 1, -1, 2, -2, 3, -3, 4):
            label = _Label(spot.plus(Point.polar(distance, outward + turn * math.pi / 4)), half)
            off = label.middle.minus(middle)
            if abs(off.x) + half[0] > PART / 2 or abs(off.y) + half[1] > PART / 2:
                continue
            best = best or label
            clear = all(label.gap(s, RING) > 0.3 for s in spots)
            if clear and not any(label.covers(other) for other in labels):
                return label
    return best or _Label(spot, half)


def _list(shown: Sequence[tuple[int, Finding]], unlisted: int) -> list[str]:
    """Return the lines of the list; those that go on with a finding start with a blank."""
    lines: list[str] = []
    for number, f in shown:
        text = f"{number}  {_WORDS[f.level]}: {_plain(f.message)}"
        fix = f"fix: {_plain(f.fix)}" if f.fix else ""
        first, *rest = wrap(text, PART, SMALLEST_TEXT)
        rest = wrap(" ".join(rest), PART - INDENT, SMALLEST_TEXT) if rest else []
        lines += [first, *(f" {r}" for r in rest)]
        lines += [f" {r}" for r in wrap(fix, PART - INDENT, SMALLEST_TEXT)] if fix else []
    if unlisted > 0:
        lines.append(f"and {unlisted} more: see the list on screen")
    return lines or ["nothing found: a shop would take this file as it is"]


def _plain(text: str) -> str:
    """Return a text with the characters that the font has; a place stays on one line."""
    known = "".join("?" if missing(c) else c for c in " ".join(text.split()))
    return _PLACE.sub(lambda m: m[0].replace(" ", _NO_BREAK), known)
