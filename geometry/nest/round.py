"""Equal circles in a rectangle by rows: square, hexagonal, stretched and mixed.

    square       hexagonal     stretched             mixed
    o o o o      o o o o       o   o   o   o         o o o o    rows of the full number stand
    o o o o       o o o          o   o   o   o        o o o     square on each other where the
    o o o o      o o o o       o   o   o   o         o o o o    lean of a hexagonal row would
                                                     o o o o    cost a circle

Rows that lean are nearer to each other than one diameter d; with the pitch p along the row their
distance is sqrt(d^2 - p^2 / 4). Stretching p over the whole width brings rows nearer still.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

Spots = list[tuple[float, float]]

#: Lean of a hexagonal row over the last, in diameters.
_LEAN = math.sqrt(3.0) / 2.0


@dataclass(frozen=True)
class _Rows:
    """Rows of circles: how many in a full and in a short row, pitch, and which rows are short.

    Args:
        full, short: circles in a row that starts at the wall, and in one that is set back.
        pitch: along the row.
        steps: distance from each row to the next.
        back: for each row, whether it is set back by half a pitch.
    """

    full: int
    short: int
    pitch: float
    steps: tuple[float, ...]
    back: tuple[bool, ...]

    @property
    def count(self) -> int:
        set_back = sum(self.back)
        return self.full * (len(self.back) - set_back) + self.short * set_back

    def spots(self) -> Spots:
        """Return lower left corners of the circles' boxes, row by row from below."""
        found: Spots = []
        y = 0.0
        for step, back in zip((0.0, *self.steps), self.back, strict=True):
            y += step
            start, number = (self.pitch / 2, self.short) if back else (0.0, self.full)
            found += [(start + k * self.pitch, y) for k in range(number)]
        return found


def row_layouts(width: float, height: float, diameter: float) -> list[Spots]:
    """Return layouts of equal circles in a rectangle, the fullest of every pattern.

    Args:
        width, height: of the rectangle; circles may touch its sides.
        diameter: of every circle; two may touch.

    Returns:
        For each pattern and both directions of its rows, the lower left corners of the boxes
        about the circles, from below; empty if not one circle fits.
    """
    if min(width, height) < diameter:
        return []
    along = [rows.spots() for rows in _fullest(width, height, diameter)]
    across = [
        sorted(((y, x) for x, y in rows.spots()), key=lambda p: (p[1], p[0]))
        for rows in _fullest(height, width, diameter)
    ]
    return along + across


def _fullest(width: float, height: float, d: float) -> list[_Rows]:
    """Return the fullest rows of each pattern; those that need less height first if equal."""
    patterns = (
        [_alike(width, height, d, 0.0)],
        list(_mixed(width, height, d)),
        list(_stretched(width, height, d)),
    )
    return [max(p, key=lambda r: (r.count, -sum(r.steps))) for p in patterns if p]


def _alike(width: float, height: float, d: float, lean: float) -> _Rows:
    """Return rows of pitch d; lean 0 is square, 1/2 sets every second row back."""
    number = 1 + int((width - d) / d)
    step = d * (_LEAN if lean else 1.0)
    rows = 1 + int((height - d) / step)
    short = 1 + int((width - 1.5 * d) / d) if width >= 1.5 * d else 0
    back = tuple(bool(lean) and bool(k % 2) for k in range(rows))
    return _Rows(number, short, d, (step,) * (rows - 1), back)


def _mixed(width: float, height: float, d: float) -> Iterator[_Rows]:
    """Yield rows of pitch d with one to all rows between set back, the others square."""
    hexagonal = _alike(width, height, d, 0.5)
    if not hexagonal.short:
        return
    yield hexagonal
    if hexagonal.short == hexagonal.full:
        return
    # Leaning steps between full and short rows; what height is left holds square steps.
    for leaning in range(1, len(hexagonal.back)):
        room = height - d - leaning * _LEAN * d
        if room < 0:
            return
        square = int(room / d)
        back = [bool(k % 2) for k in range(leaning + 1)] + [bool(leaning % 2)] * square
        if leaning % 2:  # square steps between full rows: put them first
            back = [False] * square + [bool(k % 2) for k in range(leaning + 1)]
            steps = (d,) * square + (_LEAN * d,) * leaning
        else:
            steps = (_LEAN * d,) * leaning + (d,) * square
        yield _Rows(hexagonal.full, hexagonal.short, d, steps, tuple(back))


def _stretched(width: float, height: float, d: float) -> Iterator[_Rows]:
    """Yield leaning rows whose pitch takes the whole width."""
    for short_by in (0, 1):
        for number in range(1 + int((width - d) / d), 1, -1):
            pitch = (width - d) / (number - 1 + (0 if short_by else 0.5))
            if pitch < d:
                continue
            if pitch > math.sqrt(3.0) * d:  # rows that lean would meet the row after next
                break
            step = math.sqrt(d * d - pitch * pitch / 4)
            rows = 1 + int((height - d) / step)
            back = tuple(bool(k % 2) for k in range(rows))
            yield _Rows(number, number - short_by, pitch, (step,) * (rows - 1), back)
