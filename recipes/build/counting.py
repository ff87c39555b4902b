"""Counting circles beside the main work: the calls of `Job` that take longest.

The library that finds neighbours loads once for all of them, and they share the cores.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from recipes.build.crew import Crew

#: What counting loads, and what that loads late.
MODULES = (
    "shapely",
    "recipes.winding.window",
    "recipes.winding.wire_alternatives",
    "geometry.packing.search",
)


def load_packing() -> None:
    """Load all that packing needs."""
    for module in MODULES:
        import_module(module)


def pack(*args: Any) -> Any:
    """Return centres of circles in a slot; see `recipes.winding.window.pack_room`."""
    from recipes.winding.window import pack_room

    return pack_room(*args)


def count(room: Any, diameter: float) -> int:
    """Return how many circles of `diameter` mm quick packing puts into `room`."""
    from recipes.winding.wire_alternatives import count_circles

    return count_circles(room, diameter)


def bundle(diameters: tuple[float, ...]) -> Any:
    """Return unequal circles in a round hole; see `geometry.packing.mixed.pack_mixed`."""
    from geometry.packing.mixed import pack_mixed

    return pack_mixed(diameters)


class Packing:
    """The full packing of one slot: what `Job` takes as `packing`."""

    def __init__(self, crew: Crew) -> None:
        """Take the crew that packs."""
        self._crew = crew
        self._sent: tuple[Any, ...] = ()

    def send(self, *args: Any) -> None:
        """Begin with what `recipes.winding.window.pack_room` takes."""
        self._sent = args
        self._crew.add("packing", pack, *args)

    def result(self, *args: Any) -> Any:
        """Return the places of circles for the same: from the crew if it was asked just that."""
        return self._crew.result("packing") if args == self._sent else pack(*args)


class Ladder:
    """Counts of other wires in the slot, each a call of its own: what `Job` takes as `ladder`."""

    def __init__(self, crew: Crew) -> None:
        """Take the crew that counts."""
        self._crew = crew
        self._room: Any = None

    def send(self, *args: Any) -> None:
        """Begin with a room and diameters (mm); the thinnest wire first, of which there are most."""
        self._room, diameters = args
        for d in sorted(diameters):
            self._crew.add(f"count {d!r}", count, self._room, d)

    def result(self, *args: Any) -> list[int]:
        """Return the counts for the same: from the crew where it was asked just that."""
        room, diameters = args
        asked = self._room is not None and self._room == room
        return [
            self._crew.result(f"count {d!r}")
            if asked and f"count {d!r}" in self._crew
            else count(room, d)
            for d in diameters
        ]


class Bundle:
    """The leads in their smallest hole: what `Job` takes as `mixed`; asked for many times."""

    def __init__(self, crew: Crew) -> None:
        """Take the crew that packs."""
        self._crew = crew
        self._sent: tuple[Any, ...] = ()
        self._found: Any = None

    def send(self, *args: Any) -> None:
        """Begin with diameters (mm)."""
        self._sent = args
        self._crew.add("bundle", bundle, *args)

    def result(self, *args: Any) -> Any:
        """Return the packing of the same: from the crew if it was asked just that."""
        if args != self._sent:
            return bundle(*args)
        if self._found is None:
            self._found = self._crew.result("bundle")
        return self._found
