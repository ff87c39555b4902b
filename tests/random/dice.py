"""Throws for the generator, all read off one string of bytes that hypothesis makes and shrinks.

One string and not many draws: hypothesis likes to repeat a draw elsewhere in the same example,
which makes each design much like the last. Bytes of zero give the first or least value of all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")

#: Bytes that a design takes at most; whatever comes after them is thrown as 0.
LENGTH = 1600

#: Where the letters of a text come from: plain, accented, other scripts, signs, beyond 16 bits.
_SCRIPTS = (
    (0x61, 0x7A), (0x20, 0x7E), (0xA1, 0xFF), (0x391, 0x3C9), (0x410, 0x44F), (0x5D0, 0x5EA),
    (0x4E00, 0x4FFF), (0x200B, 0x200F), (0x2200, 0x22FF), (0x300, 0x36F), (0x1F600, 0x1F64F),
)  # fmt: skip


class Dice:
    """What the generator asks for."""

    def __init__(self, data: bytes) -> None:
        """Take the bytes; two for every throw."""
        self._data = data
        self._at = 0

    def whole(self, low: int, high: int) -> int:
        """Return a whole number, both ends allowed."""
        two = self._data[self._at : self._at + 2]
        self._at += 2
        return low + (int.from_bytes(two, "big") * (high - low + 1) >> 16 if len(two) == 2 else 0)

    def share(self) -> float:
        """Return a number from 0 to 1."""
        return self.whole(0, 65535) / 65535

    def between(self, low: float, high: float) -> float:
        """Return a number of a range, evenly spread."""
        return low + (high - low) * self.share()

    def times(self, low: float, high: float) -> float:
        """Return a number of a range, each doubling as likely as the next; both above 0."""
        return min(high, max(low, low * math.exp(self.share() * math.log(high / low))))

    def chance(self, percent: int) -> bool:
        """Return True so often in a hundred."""
        return self.whole(0, 99) >= 100 - percent

    def choice(self, of: Sequence[T]) -> T:
        """Return one of a list."""
        return of[self.whole(0, len(of) - 1)]

    def text(self, most: int) -> str:
        """Return a text in one of many scripts."""
        low, high = self.choice(_SCRIPTS)
        return "".join(chr(self.whole(low, high)) for _ in range(self.whole(0, most)))
