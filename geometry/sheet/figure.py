"""Figures with lettering of their own on 1:1 pages: below each other, or alone in the middle.

A figure that no page holds, upright or on its long side, is spread over tiles.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.outline import Region
from geometry.point import Point
from geometry.segment import Box
from geometry.sheet.drawing import Fill, Item, Items, Stroke, Text
from geometry.sheet.paper import Paper, Sheet

#: Clear height between two figures, mm.
BETWEEN = 7.0


@dataclass(frozen=True)
class Figure:
    """Something to print at true size.

    Args:
        items: in the figure's own coordinates, mm.
        regions: its material; empty for a table or a text.
        name: what a map of tiles calls it.
    """

    items: Items
    regions: tuple[Region, ...] = ()
    name: str = ""

    @property
    def box(self) -> Box:
        """Box of lines and lettering, mm."""
        spots = [p for i in self.items if isinstance(i, Text) for p in i.corners()]
        boxes = [s.box() for i in self.items if isinstance(i, Stroke) for s in i.segments]
        xs = [*(p.x for p in spots), *(b[k] for b in boxes for k in (0, 2))]
        ys = [*(p.y for p in spots), *(b[k] for b in boxes for k in (1, 3))]
        return min(xs), min(ys), max(xs), max(ys)


def moved(item: Item, dx: float, dy: float) -> Item:
    """Return an item of a drawing shifted by (dx, dy) mm."""
    if isinstance(item, Stroke):
        return Stroke(tuple(s.moved(dx, dy) for s in item.segments), item.style)
    if isinstance(item, Fill):
        return Fill(tuple(loop.moved(dx, dy) for loop in item.loops), item.tone)
    return Text(item.x + dx, item.y + dy, item.height_mm, item.text, item.anchor, item.angle,
                item.level)  # fmt: skip


def on_pages(figures: Sequence[Figure], paper: Paper, notes: tuple[str, ...] = ()) -> list[Sheet]:
    """Return the pages that hold all figures in their order, a single one in the middle.

    Args:
        figures: in order.
        paper: what is printed on.
        notes: sentences for every page; tiles share them.
    """
    sheets: list[Sheet] = []
    row: list[Figure] = []
    lying = False
    for figure in figures:
        if row and _fits([*row, figure], paper, lying):
            row.append(figure)
            continue
        sheets += [_stacked(row, paper, lying, notes)] if row else []
        row = [figure]
        lying = not _fits(row, paper, False)
        if lying and not _fits(row, paper, True):
            sheets += _tiled(figure, paper, notes)
            row = []
    return [*sheets, _stacked(row, paper, lying, notes)] if row else sheets


def _size(figure: Figure) -> tuple[float, float]:
    x0, y0, x1, y1 = figure.box
    return x1 - x0, y1 - y0


def _height(figures: Sequence[Figure]) -> float:
    return sum(_size(f)[1] for f in figures) + BETWEEN * (len(figures) - 1)


def _fits(figures: Sequence[Figure], paper: Paper, landscape: bool) -> bool:
    """Tell whether a page holds figures below each other."""
    wide, high = paper.size(landscape)
    return max(_size(f)[0] for f in figures) <= wide + 1e-9 and _height(figures) <= high + 1e-9


def _stacked(
    figures: Sequence[Figure], paper: Paper, landscape: bool, notes: tuple[str, ...]
) -> Sheet:
    """Return one page: figures below each other from the top, one alone in the middle."""
    x0, y0, x1, y1 = paper.room(landscape)
    spare = y1 - y0 - _height(figures)
    top = y1 - (spare / 2 if len(figures) == 1 else 0.0)
    items: list[Item] = []
    for figure in figures:
        a, b, c, d = figure.box
        shift = Point((x0 + x1 - a - c) / 2, top - d)
        items += [moved(i, *shift) for i in figure.items]
        top -= d - b + BETWEEN
    return Sheet(tuple(items), landscape, notes)


def _tiled(figure: Figure, paper: Paper, notes: tuple[str, ...]) -> list[Sheet]:
    from geometry.sheet.tiles import tiled

    return tiled(figure.items, figure.regions, paper, figure.name, notes)
