"""Labels in a row: as near to their places as they can be without touching each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from geometry.errors import GeometryError


def spread(
    middles: Sequence[float],
    widths: Sequence[float],
    *,
    gap: float,
    room: tuple[float, float],
) -> tuple[float, ...]:
    """Return the middles of boxes in a row, in the order given.

    The sum of the squared moves from `middles` is the least possible (pool adjacent violators,
    isotonic regression); then the row is kept inside `room`.

    Args:
        middles: wanted middles in mm, rising or not; the order stays.
        widths: widths of the boxes in mm.
        gap: clear distance between neighbours, mm.
        room: least and greatest coordinate that a box may touch.

    Raises:
        GeometryError: together they are wider than the room.
    """
    if not middles:
        return ()
    total = sum(widths) + gap * (len(widths) - 1)
    if total > room[1] - room[0] + 1e-9:
        raise GeometryError(
            f"{total:.1f} mm of labels do not fit into {room[1] - room[0]:.1f} mm",
            value=total,
            limit=room[1] - room[0],
            hint="use a larger sheet",
        )
    # Offsets turn "neighbours must not touch" into "values must not fall".
    offsets = [0.0]
    for a, b in pairwise(widths):
        offsets.append(offsets[-1] + (a + b) / 2 + gap)
    blocks: list[tuple[float, int]] = []
    for wanted, offset in zip(middles, offsets, strict=True):
        value, count = wanted - offset, 1
        while blocks and blocks[-1][0] > value:
            other, n = blocks.pop()
            value, count = (other * n + value * count) / (n + count), n + count
        blocks.append((value, count))
    level = [value for value, count in blocks for _ in range(count)]
    low = room[0] + widths[0] / 2
    high = room[1] - widths[-1] / 2 - offsets[-1]
    return tuple(min(max(v, low), high) + o for v, o in zip(level, offsets, strict=True))
