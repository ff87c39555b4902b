"""A long part shown shortened: stretches left out of the view between break lines (ISO 128-3).

   a                b           model: 0 ... a ... b ... length
---|---~  /|/  ~----|---        sheet: what lies between a and b takes GAP mm, at whatever scale
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Item, Items, Stroke, polyline
from geometry.drafting.view import View
from geometry.point import Point
from geometry.segment import Line, Segment

#: Width of the gap between two break lines, how far they stand out beyond the edges, and the size of
#: their zigzag, mm (common practice).
GAP, BEYOND, ZIGZAG = 3.0, 2.0, 1.2

Stretch = tuple[float, float]


@dataclass(frozen=True)
class ShortView(View):
    """A view whose model is cut out along its x axis; not turned, not mirrored.

    Args:
        left_out: stretches of the model's x that shrink to `GAP` mm on the sheet, rising, mm.
    """

    left_out: tuple[Stretch, ...] = ()

    def point(self, p: Point) -> Point:
        """Return the place on the sheet of the model's point `p`."""
        x = p[0]
        for a, b in self.left_out:
            inside = min(max(p[0] - a, 0.0), b - a)
            x -= inside * (1.0 - GAP / self.factor / (b - a))
        return super().point(Point(x, p[1]))

    @property
    def gaps(self) -> tuple[Stretch, ...]:
        """Stretches of x on the sheet that stand for what is left out, mm."""
        return tuple((self.at(a, 0.0).x, self.at(b, 0.0).x) for a, b in self.left_out)

    def shown(self, length: float) -> float:
        """Return the length on the sheet of a model of `length` mm."""
        return self.at(length, 0.0).x - self.at(0.0, 0.0).x


def opened(items: Iterable[Item], gaps: Sequence[Stretch]) -> Items:
    """Return the items with every straight edge cut where it passes a gap; centre lines run on."""
    found: list[Item] = []
    for item in items:
        if isinstance(item, Stroke) and item.style != "centre":
            found += _cut(item, gaps)
        else:
            found.append(item)
    return tuple(found)


def _cut(stroke: Stroke, gaps: Sequence[Stretch]) -> list[Stroke]:
    """Return what the gaps leave of a stroke."""
    runs: list[list[Segment]] = [[]]
    for s in stroke.segments:
        pieces: list[Segment] = [s]
        for low, high in gaps:
            pieces = [part for piece in pieces for part in _without(piece, low, high)]
        for piece in pieces:
            if runs[-1] and runs[-1][-1].end != piece.start:
                runs.append([])
            runs[-1].append(piece)
    return [Stroke(tuple(run), stroke.style) for run in runs if run]


def _without(s: Segment, low: float, high: float) -> list[Segment]:
    """Return what lies outside a gap of an edge; only a straight edge can reach across one."""
    x0, _, x1, _ = s.box()
    if not isinstance(s, Line) or x1 <= low or x0 >= high:
        return [s]
    spots = sorted((x - s.start.x) / (s.end.x - s.start.x) for x in (low, high))
    found: list[Segment] = []
    if spots[0] > 1e-9:
        found.append(Line(s.start, s.point_at(spots[0])))
    if spots[1] < 1 - 1e-9:
        found.append(Line(s.point_at(spots[1]), s.end))
    return found


def break_lines(gap: Stretch, low: float, high: float) -> Items:
    """Return the two narrow lines with a zigzag at the sides of a gap (ISO 128-2 type 01.1).

    Args:
        low, high: y of the edges that are broken, mm on the sheet.
    """
    middle, size = (low + high) / 2, min(ZIGZAG, (high - low) / 4)
    return tuple(
        polyline(
            [
                Point(x, low - BEYOND),
                Point(x, middle - size),
                Point(x - size, middle - size / 2),
                Point(x + size, middle + size / 2),
                Point(x, middle + size),
                Point(x, high + BEYOND),
            ]
        )
        for x in gap
    )
