"""Sheets that are laid out only when someone looks at them: a quick look at a part pays nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import overload

from geometry.drafting.drawing import Drawing


class Lazy(Sequence["Drawing"]):
    """Drawings that `make` returns, asked for once.

    A copy that travels to another process leaves its sheets behind: there bodies are written.
    """

    def __init__(self, make: Callable[[], Sequence[Drawing]], count: int | None = None) -> None:
        """Take a function without arguments; whatever it raises comes out at the first look.

        Args:
            make: lays the sheets out.
            count: how many they will be, where that is known before.

        Raises (at the first look):
            ValueError: `make` returned another number of sheets.
        """
        self._make, self._count = make, count

    @cached_property
    def _made(self) -> tuple[Drawing, ...]:
        made = tuple(self._make())
        if self._count is not None and len(made) != self._count:
            raise ValueError(f"{len(made)} sheets were laid out, {self._count} were promised")
        return made

    @overload
    def __getitem__(self, k: int) -> Drawing: ...

    @overload
    def __getitem__(self, k: slice) -> Sequence[Drawing]: ...

    def __getitem__(self, k: int | slice) -> Drawing | Sequence[Drawing]:
        """Return one sheet or several."""
        return self._made[k]

    def __len__(self) -> int:
        """Return how many sheets there are; lays them out unless that was told."""
        return len(self._made) if self._count is None else self._count

    def __bool__(self) -> bool:
        """Tell whether sheets are promised; lays nothing out: who promises has at least one."""
        return self._count != 0

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
