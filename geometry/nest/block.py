"""Many equal shapes at once: the best layout for a rectangle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.nest.box import box_layout
from geometry.nest.gaps import Board, Spot
from geometry.nest.round import row_layouts
from geometry.tolerance import READ_BACK

if TYPE_CHECKING:
    from geometry.nest.nofit import NoFit
    from geometry.nest.shape import Pose, Shape

#: Up to this many circles a search may beat rows; beyond, it gains little and takes long.
_SEARCH = 400

#: Ways to choose the lowest place; the one that gives most counts (see `nest_gaps`).
SLOPES = (None, 0.0, 0.3, 1.0)

Key = tuple[int, float, float]


class Blocks:
    """Layouts of shapes in rectangles, each worked out once."""

    def __init__(self, nofit: NoFit) -> None:
        """Take the keeper of no-fit polygons."""
        self._nofit = nofit
        self._even: dict[Key, list[list[Spot]]] = {}
        self._searched: dict[Key, list[Spot]] = {}
        self._shapes: list[Shape] = []  # keeps them alive, so that no number is used twice

    def lowest(self, shape: Shape, width: float, height: float, number: int) -> list[Spot]:
        """Return `number` of a shape, or as many as fit if fewer, as low as they can lie.

        Even rows go before what a search finds, if they are as good.
        """
        even = self._rows(shape, width, height)
        layouts = [layout[:number] for layout in even]
        most = max(map(len, layouts), default=0)
        if most < number or not (shape.round or shape.is_box):
            layouts.append(self._search(shape, width, height, number))
        return max(layouts, key=_rank, default=[])

    def _rows(self, shape: Shape, width: float, height: float) -> list[list[Spot]]:
        key = (id(shape), width, height)
        if key not in self._even:
            self._shapes.append(shape)
            first = shape.poses[0]
            if shape.round:
                rows = row_layouts(width, height, first.width)
                self._even[key] = [[(first, x, y) for x, y in row] for row in rows]
            else:
                self._even[key] = [_boxes(p, shape.poses, width, height) for p in shape.poses]
        return self._even[key]

    def _search(self, shape: Shape, width: float, height: float, number: int) -> list[Spot]:
        """Return what a search finds beyond even rows, at most `number`."""
        if shape.is_box:
            return []
        if not shape.round:
            boards = [Board(width, height, self._nofit) for _ in SLOPES]
            for board, slope in zip(boards, SLOPES, strict=True):
                board.fill(shape, number, height, slope)
            return max((b.spots for b in boards), key=_rank)
        key = (id(shape), width, height)
        if key not in self._searched:
            rows = max(map(len, self._rows(shape, width, height)), default=0)
            found = _packed(shape.poses[0], width, height) if 0 < rows <= _SEARCH else []
            self._searched[key] = found
        return self._searched[key][:number]


def _rank(layout: list[Spot]) -> tuple[int, float]:
    """Order by number, then by how low it lies."""
    top = max((y + pose.height for pose, _, y in layout), default=0.0)
    return len(layout), -round(top, 6)


def _boxes(pose: Pose, poses: tuple[Pose, ...], width: float, height: float) -> list[Spot]:
    """Return boxes about a pose, and about the one that lies turned by a quarter if there is one."""
    lying = next((p for p in poses if _across(p, pose)), None)
    boxes = box_layout(width, height, (pose.width, pose.height), lying is not None)
    return [(lying if turned and lying else pose, x, y) for turned, x, y in boxes]


def _across(one: Pose, other: Pose) -> bool:
    """Return whether two poses have the same box, turned by a quarter."""
    off = abs(one.width - other.height) + abs(one.height - other.width)
    return one is not other and off < READ_BACK


def _packed(pose: Pose, width: float, height: float) -> list[Spot]:
    """Return circles as a search for a dense packing lays them, from below."""
    import shapely

    from geometry.packing import pack_circles

    half = pose.width / 2
    found = pack_circles(shapely.box(0.0, 0.0, width, height), pose.width)
    spots: list[Spot] = [(pose, float(x) - half, float(y) - half) for x, y in found]
    return sorted(spots, key=lambda spot: spot[1:][::-1])
