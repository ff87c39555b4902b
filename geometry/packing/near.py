"""Which points are near each other: by plain tables for few, by scipy's trees for many.

For a slot of a hundred wires a table of all pairs is as quick as a tree, and scipy, whose loading
takes longer than the whole packing of a small slot, is not needed at all.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from geometry.packing.region import Floats, Ints

#: Up to so many circles in one arrangement, tables.
FEW = 200


def pairs_within(points: Floats, reach: float) -> Ints:
    """Return the pairs (k, 2) of points of one arrangement that lie within `reach`, in order.

    Args:
        points: (systems, count, 2); pairs are of the same system. The index is that of all
            points one after the other; the first of a pair is the smaller.
    """
    count = points.shape[1]
    if count > FEW:
        return _by_tree(points, reach)
    i, j = _each_pair(count)
    x, y = points[..., 0], points[..., 1]
    square = (x[:, i] - x[:, j]) ** 2
    square += (y[:, i] - y[:, j]) ** 2
    s, k = np.nonzero(square <= reach * reach)
    return np.column_stack([s * count + i[k], s * count + j[k]])


@lru_cache(maxsize=4)
def _each_pair(count: int) -> tuple[Ints, Ints]:
    i, j = np.triu_indices(count, 1)
    return i, j


def _by_tree(points: Floats, reach: float) -> Ints:
    from scipy.spatial import cKDTree

    systems, count, _ = points.shape
    layer = np.repeat(np.arange(systems) * 10.0, count)
    tree = cKDTree(np.column_stack([points.reshape(-1, 2), layer]))
    pairs: Ints = tree.query_pairs(reach, output_type="ndarray")
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def nearest(points: Floats, places: Floats) -> Floats:
    """Return the distance from each place (n, 2) to the nearest of the points (at least one)."""
    if len(points) > FEW:
        from scipy.spatial import cKDTree

        found: Floats = cKDTree(points).query(places)[0]
        return found
    px, py = np.ascontiguousarray(places[:, 0]), np.ascontiguousarray(places[:, 1])
    best = np.full(len(places), np.inf)
    off, across = np.empty_like(px), np.empty_like(py)
    for x, y in points.tolist():
        np.subtract(px, x, out=off)
        np.subtract(py, y, out=across)
        off *= off
        across *= across
        off += across
        np.minimum(best, off, out=best)
    distance: Floats = np.sqrt(best, out=best)
    return distance


def least_gap(points: Floats) -> float:
    """Return the least distance of two of the points, at least two.

    Points are taken from left to right, each with the next, then with the next but one, until all
    of those are further to the right than the least distance so far.
    """
    x, y = points[np.argsort(points[:, 0], kind="stable")].T
    least = math.inf
    for k in range(1, len(x)):
        aside = x[k:] - x[:-k]
        if aside.min() > least:
            break
        least = min(least, float(np.hypot(aside, y[k:] - y[:-k]).min()))
    return least


class Fixed:
    """Points that stay, such as those along the walls, asked again and again who is near them."""

    def __init__(self, points: Floats) -> None:
        """Take points (n, 2)."""
        self.points = points
        self._tree: Any = None

    def near(self, others: Floats, reach: float) -> tuple[Ints, Ints]:
        """Return the indices of others and of points that lie within `reach` of each other."""
        if len(others) * len(self.points) > 600 * FEW:
            return self._near_by_tree(others, reach)
        square = (others[:, 0, None] - self.points[:, 0]) ** 2
        square += (others[:, 1, None] - self.points[:, 1]) ** 2
        i, j = np.nonzero(square <= reach * reach)
        return i, j

    def _near_by_tree(self, others: Floats, reach: float) -> tuple[Ints, Ints]:
        from scipy.spatial import cKDTree

        if self._tree is None:
            self._tree = cKDTree(self.points)
        pairs = cKDTree(others).sparse_distance_matrix(self._tree, reach, output_type="ndarray")
        return pairs["i"].astype(np.int64), pairs["j"].astype(np.int64)


def islands(free: np.ndarray[Any, np.dtype[np.bool_]]) -> tuple[Ints, int]:
    """Return a number for every cell of a table, and how many: free cells that touch share one.

    Cells touch at sides and corners. Cells that are not free have the number 0; the others count
    from 1 in the order of their first cell.
    """
    if free.size > 40_000:
        from scipy.ndimage import label

        marks, found = label(free, structure=np.ones((3, 3)))
        return marks.astype(np.int64), int(found)
    wide = free.shape[1] + 2
    state = np.zeros((free.shape[0] + 2, wide), dtype=np.int64)
    state[1:-1, 1:-1] = np.where(free, -1, 0)
    cells: list[int] = state.ravel().tolist()
    steps = (-wide - 1, -wide, -wide + 1, -1, 1, wide - 1, wide, wide + 1)
    found = 0
    for first in np.flatnonzero(state.ravel()).tolist():
        if cells[first] != -1:
            continue
        found += 1
        cells[first] = found
        edge = [first]
        while edge:
            here = edge.pop()
            for step in steps:
                if cells[here + step] == -1:
                    cells[here + step] = found
                    edge.append(here + step)
    marks = np.array(cells, dtype=np.int64).reshape(state.shape)
    return marks[1:-1, 1:-1], found
