"""The edges of a loop as rows of complex numbers, for questions that are answered by yes or no.

Much sooner than edge by edge where a loop has hundreds of edges: do two loops agree, do two cuts
come near each other? Sines of a whole row may differ in the last place from those of one number and
from machine to machine, so nothing that is drawn, cut or counted is made from a table.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from geometry.segment import Arc

if TYPE_CHECKING:
    import numpy as np
    import shapely
    from numpy.typing import NDArray

    from geometry.segment import Segment

    Row = NDArray[np.complex128]
    Floats = NDArray[np.float64]
    Number = TypeVar("Number", np.complex128, np.float64, np.bool_)

_NONE = (0.0, 0.0)


class EdgeTable(NamedTuple):
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
        import numpy as np

        spoke = self.start - self.center
        bent = self.center + spoke * np.exp(0.5j * self.sweep)
        return np.where(self.sweep == 0.0, (self.start + following(self.start)) / 2.0, bent)

    def chords(self, sagitta: float) -> Row:
        """Return the corners of a polygon whose edges stray at most `sagitta` mm, as `chords` does."""
        import numpy as np

        spoke = self.start - self.center
        radius = np.maximum(np.abs(spoke), sagitta)
        step = np.minimum(2.0 * np.arccos(1.0 - sagitta / radius), math.pi / 2.0)
        count = np.maximum(np.ceil(np.abs(self.sweep) / step), 1.0).astype(np.int64)
        edge = np.repeat(np.arange(len(count)), count)
        k = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        turn = np.exp(1j * self.sweep[edge] * k / count[edge])
        found: Row = self.center[edge] + spoke[edge] * turn
        return found

    def polygon(self, sagitta: float) -> shapely.Polygon:
        """Return the polygon of these chords; it may cross itself."""
        import numpy as np
        import shapely

        corners = self.chords(sagitta)
        return shapely.Polygon(np.column_stack([corners.real, corners.imag]))


def following(row: NDArray[Number]) -> NDArray[Number]:
    """Return the row whose every entry is the one after it, round the loop."""
    import numpy as np

    return np.concatenate([row[1:], row[:1]])


def edge_table(run: Sequence[Segment]) -> EdgeTable:
    """Return the edges of a closed loop as rows of numbers."""
    import numpy as np

    centers = [s.center if isinstance(s, Arc) else _NONE for s in run]
    way = [(1.0 if s.ccw else -1.0) if isinstance(s, Arc) else 0.0 for s in run]
    # one flat list of numbers is read much sooner than pairs or complex numbers
    start = np.array([v for s in run for v in s.start]).view(np.complex128)
    center = np.array([v for spot in centers for v in spot]).view(np.complex128)
    return table_of(start, center, np.array(way))


def table_of(start: Row, center: Row, way: Floats) -> EdgeTable:
    """Return the table of a closed loop.

    Args:
        start: where each edge begins, mm.
        center: of an arc, mm; 0 for a line.
        way: 1 counter-clockwise, -1 clockwise, 0 for a line.
    """
    import numpy as np

    ends = (following(start) - center) / np.where(way == 0.0, 1.0, start - center)
    # counter-clockwise in (0, 2 pi], clockwise in [-2 pi, 0)
    sweep = np.angle(ends) * way
    sweep = way * np.where(sweep <= 0.0, sweep + 2.0 * math.pi, sweep)
    return EdgeTable(start, center, sweep)
