"""Sheets that are laid out only when someone looks at them: a quick look at a part pays nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, overload

if TYPE_CHECKING:
    from geometry.sheet.drawing import Drawing


class Later(Sequence["Drawing"]):
    """Drawings that `make` returns, asked for once.

    A copy that travels to another process leaves its sheets behind: there bodies are written.
    """

    def __init__(self, make: Callable[[], Sequence[Drawing]]) -> None:
        """Take a function without arguments; whatever it raises comes out at the first look."""
        self._make = make

    @cached_property
    def _made(self) -> tuple[Drawing, ...]:
        return tuple(self._make())

    @overload
    def __getitem__(self, k: int) -> Drawing: ...

    @overload
    def __getitem__(self, k: slice) -> Sequence[Drawing]: ...

    def __getitem__(self, k: int | slice) -> Drawing | Sequence[Drawing]:
        """Return one sheet or several."""
        return self._made[k]

    def __len__(self) -> int:
        """Return how many sheets there are."""
        return len(self._made)

    def __iter__(self) -> Iterator[Drawing]:
        """Walk the sheets in order."""
        return iter(self._made)

    def __eq__(self, other: object) -> bool:
        """Tell whether the sheets are the same, in order; lays both out."""
        return isinstance(other, Sequence) and self._made == tuple(other)

    def __hash__(self) -> int:
        """Return the hash of the sheets."""
        return hash(self._made)

    def __reduce__(self) -> tuple[type[tuple[Drawing, ...]], tuple[()]]:
        """Travel without sheets."""
        return tuple, ()
