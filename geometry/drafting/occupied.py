"""Where on a sheet there is room for one more text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from geometry.drafting.drawing import Item, Stroke, Text

#: Clear distance of a text from lines and other texts, mm.
CLEAR = 0.7

#: Edges that are looked for together.
LENGTH = 8


class Taken:
    """What is drawn already: lines, and the boxes of texts."""

    def __init__(self, items: Iterable[Item]) -> None:
        """Take what is drawn; fills do not count, a text may stand on a tone."""
        self._items = tuple(items)
        self._tree: STRtree | None = None
        self._more: list[BaseGeometry] = []

    def add(self, items: Iterable[Item]) -> None:
        """Take a few more."""
        self._more += [s for item in items for s in _shapes(item)]

    def free(self, text: Text) -> bool:
        """Tell whether a text keeps clear of all that is there."""
        if self._tree is None:
            self._tree = STRtree([s for i in self._items for s in _shapes(i)])
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
            yield LineString([some[0].start, *(p for s in some for p in s.chords(0.02))])
