"""Load a library without the parts of it that nothing here uses.

ezdxf brings a parser for queries and a reader of font files, reportlab a reader of photographs: a
third of the time that they take to load. Meanwhile a stand-in holds the place of each part. What
it offers works all the same: the part itself is loaded when it is first used.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import Any


@contextmanager
def standing_in(*parts: str) -> Iterator[None]:
    """Hold the place of modules while others load; one that is loaded already stays itself.

    Args:
        parts: full names of the modules, each imported by name from ("from part import ...").
    """
    held = [name for name in parts if name not in sys.modules]
    sys.modules.update({name: _StandIn(name) for name in held})
    try:
        yield
    finally:
        for name in held:
            if isinstance(sys.modules.get(name), _StandIn):
                del sys.modules[name]


class _StandIn(ModuleType):
    """Offers every name of a module without loading it."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        # `except` wants a class; the widest catches what the true one would
        return Exception if name.endswith(("Error", "Exception")) else _Name(self.__name__, name)


class _Name:
    """A class, function or module of a part, looked up when it is used."""

    def __init__(self, part: str, name: str) -> None:
        self._part, self._name = part, name

    def _true(self) -> Any:
        part = import_module(self._part)
        if hasattr(part, self._name):
            return getattr(part, self._name)
        return import_module(f"{self._part}.{self._name}")

    def __call__(self, *args: Any, **named: Any) -> Any:
        return self._true()(*args, **named)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._true(), name)
