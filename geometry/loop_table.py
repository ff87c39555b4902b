"""The edges of a loop as rows of complex numbers, for questions that are answered by yes or no.

Much sooner than edge by edge where a loop has hundreds of edges: do two loops agree, do two cuts
come near each other? Sines of a whole row may differ in the last place from those of one number and
from machine to machine, so nothing that is drawn, cut or counted is made from a table.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.segment import Arc, Segment

Row = NDArray[np.complex128]

Floats = NDArray[np.float64]

Ints = NDArray[np.int64]

_NONE = (0.0, 0.0)


class LoopTable(NamedTuple):
    """Edges in order of travel (n,), mm.

    Args:
        start: where each begins; the next begins where it ends.
        center: of an arc; 0 for a line.
        sweep: signed angle of an arc in rad, positive counter-clockwise; 0 for a line.
    """

    start: Row
    center: Row
    sweep: Floats

    @property
    def middle(self) -> Row:
        """Return the middle of each edge."""

        spoke = self.start - self.center
        bent = self.center + spoke * np.exp(0.5j * self.sweep)
        return np.where(self.sweep == 0.0, (self.start + np.roll(self.start, -1)) / 2.0, bent)

    def chords(self, sagitta: float) -> tuple[Row, Ints]:
        """Return corners of polygons whose edges stray at most `sagitta` mm, as `chords` of an
        outline does, and the edge that each lies on."""

        spoke = self.start - self.center
        radius = np.maximum(np.abs(spoke), sagitta)
        step = np.minimum(2.0 * np.arccos(1.0 - sagitta / radius), math.pi / 2.0)
        count = np.maximum(np.ceil(np.abs(self.sweep) / step), 1.0).astype(np.int64)
        edge = np.repeat(np.arange(len(count)), count)
        k = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        turn = np.exp(1j * self.sweep[edge] * k / count[edge])
        return self.center[edge] + spoke[edge] * turn, edge


def polygons(tables: Sequence[LoopTable], sagitta: float) -> list[shapely.Polygon]:
    """Return the polygon of each loop's chords, which stray at most `sagitta` mm.

    They may cross themselves. All at once is much sooner than one by one.
    """

    corners, edge = LoopTable(*map(np.concatenate, zip(*tables, strict=True))).chords(sagitta)
    loop = np.repeat(np.arange(len(tables)), [len(table.start) for table in tables])[edge]
    rings = shapely.linearrings(np.column_stack([corners.real, corners.imag]), indices=loop)
    found: list[shapely.Polygon] = shapely.polygons(rings).tolist()
    return found


def loop_tables(runs: Sequence[Sequence[Segment]]) -> tuple[LoopTable, ...]:
    """Return the edges of each of several closed loops as rows of numbers."""

    flat = [s for run in runs for s in run]
    way = [(1.0 if s.ccw else -1.0) if isinstance(s, Arc) else 0.0 for s in flat]
    centers = [s.center if isinstance(s, Arc) else _NONE for s in flat]
    # one flat list of numbers is read much sooner than pairs or complex numbers
    start = np.array([v for s in flat for v in s.start]).view(np.complex128)
    center = np.array([v for spot in centers for v in spot]).view(np.complex128)
    ends = np.cumsum([len(run) for run in runs])
    after = np.arange(1, len(flat) + 1)
    after[ends - 1] = [0, *ends[:-1]]
    whole = _table(start, start[after], center, np.array(way))
    cuts = ends[:-1]
    return tuple(map(LoopTable, *(np.split(row, cuts) for row in whole)))


def _table(start: Row, end: Row, center: Row, way: Floats) -> LoopTable:

    ends = (end - center) / np.where(way == 0.0, 1.0, start - center)
    # counter-clockwise in (0, 2 pi], clockwise in [-2 pi, 0)
    sweep = np.angle(ends) * way
    sweep = way * np.where(sweep <= 0.0, sweep + 2.0 * math.pi, sweep)
    return LoopTable(start, center, sweep)
