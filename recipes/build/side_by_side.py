"""Calls made two at a time: one here, the next in a copy of this process.

Counting circles looks for one circle more in several ways that know nothing of each other. Where
the system can fork and has a second core, the second way goes on beside the first, in case the
first finds nothing; the answers, and their order, are those of `map`.
"""

from __future__ import annotations

import os
import pickle
import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from itertools import islice
from typing import Any, BinaryIO, TypeVar

from recipes.build.aside import can_copy

Way = TypeVar("Way")
Answer = TypeVar("Answer")


def side_by_side(call: Callable[[Way], Answer], ways: Iterable[Way], /) -> Iterator[Answer]:
    """Yield `call(way)` for each way, in order; when closed, end what still goes on beside."""
    rest = iter(ways)
    while pair := list(islice(rest, 2)):
        beside = _Copy(call, pair[1]) if len(pair) == 2 and can_copy() else None
        try:
            yield call(pair[0])
            if beside is not None:
                yield beside.answer()
            elif len(pair) == 2:
                yield call(pair[1])
        finally:
            if beside is not None:
                beside.end()


def pack_room(room: Any, diameter: float) -> Any:
    """Return centres of circles in a slot, as `recipes.winding.window.pack_room`, on two cores."""
    from recipes.winding.window import pack_room

    return pack_room(room, diameter, side_by_side)


class _Copy:
    """One call in a copy of this process."""

    def __init__(self, call: Callable[[Any], Any], way: Any) -> None:
        self._call, self._way = call, way
        read, write = os.pipe()
        self._process = os.fork()
        if self._process == 0:
            os.close(read)
            self._serve(os.fdopen(write, "wb"))
        os.close(write)
        self._from: BinaryIO = os.fdopen(read, "rb")

    def _serve(self, to: BinaryIO) -> None:
        """Answer and end; whatever goes wrong here is done again by the one that copied."""
        status = 1
        try:
            signal.signal(signal.SIGINT, signal.SIG_IGN)  # who copied us ends us
            pickle.dump((self._call(self._way),), to)
            to.flush()
            status = 0
        finally:
            os._exit(status)

    def answer(self) -> Any:
        """Return the answer of the copy, or make the call here if it gave none."""
        try:
            return pickle.load(self._from)[0]
        except (EOFError, OSError, pickle.UnpicklingError):
            return self._call(self._way)

    def end(self) -> None:
        """End the copy if it still works."""
        self._from.close()
        with suppress(ProcessLookupError, ChildProcessError):
            os.kill(self._process, signal.SIGKILL)
            os.waitpid(self._process, 0)
