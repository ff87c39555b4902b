"""Equal boxes in a rectangle: five blocks of upright or lying boxes about a middle.

        x1     x2
   +----+----------+        Each block holds upright or lying boxes only. Straight rows, two
   | D  |    C     |        blocks side by side and the like are the cases in which some blocks
   |    +-----+----+ y2     are empty. Source: E. Bischoff, W. B. Dowsland, "An application of the
   |    |  E  |    |        micro to product design and distribution", Journal of the Operational
y1 +----+-----+ B  |        Research Society 33 (1982).
   |     A    |    |
   +----------+----+
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: Ways to fill a side that are tried as places of the cuts, those with the least waste first.
_WAYS = 12

#: turned, x, y: lower left corner of a box.
Place = tuple[bool, float, float]


@dataclass(frozen=True)
class _Block:
    """A rectangle filled with rows of equal boxes, all upright or all lying."""

    x: float
    y: float
    width: float
    height: float

    def boxes(self, kinds: tuple[tuple[float, float], ...]) -> list[Place]:
        """Return the boxes from the lower left corner; upright ones if both ways are equal."""
        grids = [(_whole(self.height, h), _whole(self.width, w)) for w, h in kinds]
        turned = max(range(len(kinds)), key=lambda k: (grids[k][0] * grids[k][1], -k))
        w, h = kinds[turned]
        places = product(range(grids[turned][0]), range(grids[turned][1]))
        return [(bool(turned), self.x + j * w, self.y + i * h) for i, j in places]


def _whole(side: float, box: float) -> int:
    """Return how many boxes go along a side; an exact fit counts, whatever the last digit is."""
    return int(side / box + SAME_PLACE)


def box_layout(width: float, height: float, size: tuple[float, float], turn: bool) -> list[Place]:
    """Return equal boxes in a rectangle, as many as five blocks hold.

    Args:
        width, height: of the rectangle.
        size: width and height of a box; two may touch.
        turn: whether boxes may also lie turned by a quarter.

    Returns:
        The boxes from below; empty if none fits.
    """
    w, h = size
    kinds = ((w, h), (h, w)) if turn and w != h else ((w, h),)
    blocks = [_Block(0.0, 0.0, width, height)]
    if len(kinds) > 1:
        blocks = _five_blocks(width, height, kinds)
    boxes = [box for block in blocks for box in block.boxes(kinds)]
    return sorted(boxes, key=lambda box: (box[2], box[1]))


def _five_blocks(
    width: float, height: float, kinds: tuple[tuple[float, float], ...]
) -> list[_Block]:
    """Return the blocks that hold most boxes together."""
    import numpy as np

    xs, ys = _places(width, kinds[0]), _places(height, kinds[0])
    x1, x2, y1, y2 = np.ix_(xs, xs, ys, ys)

    def count(wide: Floats, high: Floats) -> Floats:
        filled = [
            np.floor(wide / a + SAME_PLACE) * np.floor(high / b + SAME_PLACE) for a, b in kinds
        ]
        most: Floats = np.maximum(filled[0], filled[1])
        return most

    total = (
        count(x2, y1)
        + count(width - x2, y2)
        + count(width - x1, height - y2)
        + count(x1, height - y1)
        + count(x2 - x1, y2 - y1)
    )
    total = np.where((x1 <= x2) & (y1 <= y2), total, -1.0)
    i, j, m, n = np.unravel_index(int(np.argmax(total)), total.shape)
    a, b, c, d = float(xs[i]), float(xs[j]), float(ys[m]), float(ys[n])
    return [
        _Block(0.0, 0.0, b, c),
        _Block(b, 0.0, width - b, d),
        _Block(a, d, width - a, height - d),
        _Block(0.0, c, a, height - c),
        _Block(a, c, b - a, d - c),
    ]


def _places(side: float, size: tuple[float, float]) -> Floats:
    """Return where to cut a side: multiples of both box sides that fill it with least waste."""
    import numpy as np

    w, h = size
    ways = [(i, _whole(side - i * w, h)) for i in range(_whole(side, w) + 1)]
    ways.sort(key=lambda way: (side - way[0] * w - way[1] * h, way))
    places = {0.0, side}
    for i, j in ways[:_WAYS]:
        places |= {min(i * w, side), min(j * h, side)}
    return np.array(sorted(places))
