"""Where a sheet has room for one more text, and whether it can be read: texts apart, large enough, on the paper and in the font."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from geometry.drafting.drawing import Drawing, Item, Stroke, Text
from geometry.drafting.font import SMALLEST_TEXT, missing
from geometry.finding import Finding
from geometry.segment import chord_points

# Where on a sheet there is room for one more text.

#: Clear distance of a text from lines and other texts, mm.
CLEAR = 0.7

#: Edges that are looked for together.
LENGTH = 8


class Occupied:
    """What is drawn already: lines, and the boxes of texts."""

    def __init__(self, items: Iterable[Item]) -> None:
        """Take what is drawn; fills do not count, a text may stand on a tone."""
        self._tree = STRtree([s for item in items for s in _shapes(item)])
        self._more: list[BaseGeometry] = []

    def add(self, items: Iterable[Item]) -> None:
        """Take a few more."""
        self._more += [s for item in items for s in _shapes(item)]

    def free(self, text: Text) -> bool:
        """Tell whether a text keeps clear of all that is there."""
        box = Polygon(text.corners(CLEAR))
        if len(self._tree.query(box, predicate="intersects")):
            return False
        return not any(box.intersects(s) for s in self._more)

    def first_free(self, texts: Iterable[Text]) -> Text | None:
        """Return the first of `texts` that is free, None if none is."""
        return next((t for t in texts if self.free(t)), None)


def _shapes(item: Item) -> Iterator[BaseGeometry]:
    """Yield the box of a text, or a stroke in short lengths, which are found faster than one long."""
    if isinstance(item, Text):
        yield Polygon(item.corners())
    elif isinstance(item, Stroke):
        for k in range(0, len(item.segments), LENGTH):
            some = item.segments[k : k + LENGTH]
            yield LineString(chord_points(some, 0.02))


#: Two boxes that share less than this many mm2 touch; they do not overlap.
TOUCH = 0.01
#: A line must reach this deep into a text box, in mm, to count as running through it.
DEPTH = 0.15


@dataclass(frozen=True)
class Overlap:
    """Two texts that cover each other, or a text and a line that runs through it.

    Args:
        text: the text.
        other: the other text, or the style of the line.
        where: a place inside both, in mm on the sheet.
        size: shared area in mm2 of two texts, shared length in mm of text and line.
    """

    text: str
    other: str
    where: tuple[float, float]
    size: float


def overlaps(drawing: Drawing, *, clearance: float = 0.0) -> list[Overlap]:
    """Return every pair of texts whose boxes overlap.

    Args:
        clearance: grow every box by this much first, mm.
    """
    texts = drawing.texts
    boxes = [Polygon(t.corners(clearance)) for t in texts]
    if not boxes:
        return []
    found = []
    for i, j in sorted(map(tuple, STRtree(boxes).query(boxes, predicate="intersects").T)):
        if i < j:
            shared = boxes[i].intersection(boxes[j])
            if shared.area > TOUCH:
                first, second = texts[i].text, texts[j].text
                spot = shared.representative_point()
                found.append(Overlap(first, second, (spot.x, spot.y), shared.area))
    return found


def crossings(drawing: Drawing) -> list[Overlap]:
    """Return every text that a line runs through."""
    texts, strokes = drawing.texts, drawing.strokes
    boxes = [Polygon(t.corners(-DEPTH)) for t in texts]
    lines = [LineString(chord_points(stroke.segments, 0.02)) for stroke in strokes]
    if not boxes or not lines:
        return []
    found = []
    for i, j in sorted(map(tuple, STRtree(lines).query(boxes, predicate="intersects").T)):
        shared = boxes[i].intersection(lines[j])
        spot = shared.centroid
        found.append(Overlap(texts[i].text, strokes[j].style, (spot.x, spot.y), shared.length))
    return found


def legibility(drawing: Drawing) -> list[Finding]:
    """Return all that makes the sheet hard to read, each with its place."""
    found = [
        _finding("text-overlap", o.text, f"texts {o.text!r} and {o.other!r} overlap", o.where)
        for o in overlaps(drawing)
    ]
    found += [
        _finding("text-crossed", o.text, f"a {o.other} line runs through {o.text!r}", o.where)
        for o in crossings(drawing)
    ]
    for text in drawing.texts:
        place = (text.x, text.y)
        if text.height_mm < SMALLEST_TEXT - 1e-9:
            words = f"{text.text!r} is {text.height_mm:g} mm high, less than {SMALLEST_TEXT} mm"
            found.append(_finding("text-small", text.text, words, place))
        if lacking := missing(text.text):
            words = f"the drawing font has no {' '.join(lacking)} for {text.text!r}"
            found.append(_finding("text-glyph", text.text, words, place))
        if not all(
            0.0 <= x <= drawing.width_mm and 0.0 <= y <= drawing.height_mm
            for x, y in text.corners()
        ):
            words = f"{text.text!r} leaves the sheet"
            found.append(_finding("text-off-sheet", text.text, words, place))
    return found


def _finding(code: str, field: str, message: str, where: tuple[float, float]) -> Finding:
    return Finding(
        level="warn",
        code=code,
        field=field,
        value=None,
        limit=None,
        message=message,
        fix="use a larger sheet or a shorter text",
        source="ISO 3098-1, ISO 129-1",
        confidence="practice",
        where=where,
    )
