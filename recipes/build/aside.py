"""One slow call made beside the main work, in a process that loads its libraries meanwhile.

Counting circles takes longest in a quick look, and most of the rest is loading of modules. Where
the system can fork and has a second core, both go on at once; elsewhere the call is made in place
when its result is asked for. The answer is the same either way.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import threading
from importlib import import_module
from typing import Any, BinaryIO


def can_copy() -> bool:
    """Tell whether a copy of this process can be made safely, and has a core to run on."""
    # A fork copies only the thread that calls it: with others at work it could hang.
    return hasattr(os, "fork") and (os.cpu_count() or 1) > 1 and threading.active_count() == 1


class Aside:
    """A call of `function` of `module` in a process of its own; use as a context manager."""

    def __init__(self, module: str, function: str, libraries: tuple[str, ...] = ()) -> None:
        """Start the process, which loads what it needs and then waits for its arguments.

        Args:
            module, function: what to call.
            libraries: modules that the call will load, to be loaded while it waits.
        """
        self.module, self.function, self.libraries = module, function, libraries
        self._child = 0
        self._to: BinaryIO | None = None
        self._from: BinaryIO | None = None
        self._sent: tuple[Any, ...] | None = None
        if can_copy():
            self._start()

    def __enter__(self) -> Aside:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the process if it still works."""
        self._stop()

    def send(self, *args: Any) -> None:
        """Hand over the arguments; the call begins now if there is a process for it."""
        self._sent = args
        if self._to is not None:
            try:
                pickle.dump(args, self._to)
                self._to.close()
            except OSError:
                self._stop()

    def result(self, *args: Any) -> Any:
        """Return the answer to `args`: from the process if it was asked just that, else in place."""
        if self._from is not None and self._sent is not None and _same(self._sent, args):
            try:
                answer = pickle.load(self._from)
            except (EOFError, OSError, pickle.UnpicklingError):
                answer = None  # the process died: do the work here
            self._stop()
            if answer is not None:
                return answer[0]
        return getattr(import_module(self.module), self.function)(*args)

    def _start(self) -> None:
        ask_read, ask_write = os.pipe()
        answer_read, answer_write = os.pipe()
        self._child = os.fork()
        if self._child == 0:
            os.close(ask_write)
            os.close(answer_read)
            self._serve(os.fdopen(ask_read, "rb"), os.fdopen(answer_write, "wb"))
        os.close(ask_read)
        os.close(answer_write)
        self._to, self._from = os.fdopen(ask_write, "wb"), os.fdopen(answer_read, "rb")

    def _serve(self, ask: BinaryIO, answer: BinaryIO) -> None:
        """Answer one call and end; whatever goes wrong here is done again by the parent."""
        status = 1
        gc.disable()  # it answers once and ends: nothing piles up
        try:
            call = getattr(import_module(self.module), self.function)
            for library in self.libraries:
                import_module(library)
            pickle.dump((call(*pickle.load(ask)),), answer)
            answer.flush()
            status = 0
        finally:
            os._exit(status)

    def _stop(self) -> None:
        for pipe in (self._to, self._from):
            if pipe is not None and not pipe.closed:
                try:
                    pipe.close()
                except OSError:  # the other end is gone already
                    continue
        self._to = self._from = None
        if self._child:
            try:
                os.kill(self._child, signal.SIGKILL)
                os.waitpid(self._child, 0)
            except (ProcessLookupError, ChildProcessError):
                pass
            self._child = 0


def _same(a: tuple[Any, ...], b: tuple[Any, ...]) -> bool:
    return len(a) == len(b) and all(x is y or x == y for x, y in zip(a, b, strict=True))


#: A process for packing that was begun before the command line was read.
_begun: list[Aside] = []


def begin_packing() -> None:
    """Start the process that `packing_aside` will return, as soon as it is known to be wanted."""
    _begun.append(packing_aside())


def packing_aside() -> Aside:
    """Return a process that will pack the slot of a job; it needs nothing that a check loads late."""
    if _begun:
        return _begun.pop()
    return Aside(
        "recipes.build.side_by_side",
        "pack_room",
        ("recipes.winding.window", "shapely", "geometry.packing.search"),
    )


def ladder_aside() -> Aside:
    """Return a process that will count the other wires of a job."""
    return Aside(
        "recipes.winding.wire_alternatives", "count_each", ("shapely", "geometry.packing.search")
    )
