"""Several bodies that lie as they are put together, each with its own name, in one file."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.solid.body import Extruded


@dataclass(frozen=True)
class Assembly:
    """Named extruded bodies that may touch; nothing is fused.

    Args:
        items: name and body of each, at its own place.

    Raises:
        GeometryError: no body, a body without a name, or a name used twice.
    """

    items: tuple[tuple[str, Extruded], ...]

    def __post_init__(self) -> None:
        """Refuse what a reader of the file could not tell apart."""
        object.__setattr__(self, "items", tuple(self.items))
        names = [name.strip() for name, _ in self.items]
        if not names or not all(names):
            raise GeometryError("an assembly needs bodies, each with a name")
        twice = sorted({n for n in names if names.count(n) > 1})
        if twice:
            raise GeometryError(
                f"two bodies are called {twice[0]!r}", hint="give each its own name"
            )

    @property
    def volume(self) -> float:
        """Volume of all bodies in mm3, by closed form."""
        return math.fsum(body.volume for _, body in self.items)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        ranges = [body.z_range for _, body in self.items]
        return min(r[0] for r in ranges), max(r[1] for r in ranges)
