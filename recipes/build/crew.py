"""Calls made beside the main work, by processes that share what they have loaded.

    main work ---- add, add, add ----> first hand: loads a library, then doubles itself
        |                                  |  second hand, third hand ...
        |<------ result, result -----------+  each takes the next call from one queue

Loading a library takes longest, so a crew starts before its calls are known; its hands are copies
of one process that has loaded it. Answers wait in memory until they are asked for, so no hand
waits for the main work. Where the system cannot fork, has one core, or other threads run, and
whenever a hand fails, a call is made in place when its result is asked for: the answer, or the
error, is the same either way.
"""

from __future__ import annotations

import os
import pickle
import select
import signal
import struct
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

from recipes.build.aside import can_copy

#: A call in the queue: its number, and where its pickle lies; length 0 for one known before.
_CALL = struct.Struct("<QQQ")
#: An answer: number of the call, hand, and where its pickle lies; length 0 for a call that failed.
_ANSWER = struct.Struct("<QQQQ")

#: The ends of queues that this process writes to: a new hand closes them, or they would never end.
_QUEUES: set[int] = set()

#: More hands than this find no work: the longest call sets the pace.
MOST_HANDS = 4


def hands() -> int:
    """Return how many hands a crew can use; 0 where no process can be copied safely."""
    return min(os.cpu_count() or 1, MOST_HANDS) if can_copy() and hasattr(os, "pread") else 0


class NotHere(RuntimeError):
    """A hand asked for the answer of another crew: the main work asks for it, in place."""


class Crew:
    """Processes that make calls, each once and in order; use as a context manager."""

    def __init__(self) -> None:
        """Make a crew that has not started: its calls are made in place."""
        self._calls: list[tuple[Callable[..., Any], tuple[Any, ...]]] = []
        self._numbers: dict[str, int] = {}
        self._answers: dict[int, Any] = {}
        self._first = self._waiting = 0
        self._queue = self._taken = self._text = self._told = -1
        self._stores: list[int] = []
        self._written = 0
        self._owner = os.getpid()

    def __enter__(self) -> Crew:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End all hands, whatever they are at."""
        self.stop()

    def start(self, load: Callable[[], object] | None = None, most: int = MOST_HANDS) -> None:
        """Start the hands, if this system can; calls added before are known to them as they are.

        Args:
            load: called once before the hands part: loads what the calls will need.
            most: no more hands than this.
        """
        count = min(most, hands())
        if not count:
            return
        self._taken, self._queue = os.pipe()
        _QUEUES.add(self._queue)
        self._told, told = os.pipe()
        self._text = _scratch()
        self._stores = [_scratch() for _ in range(count)]
        self._first = os.fork()
        if self._first == 0:
            _Hand(self._calls, self._taken, self._text, told).serve(load, self._stores)
        _own_group(self._first)
        os.close(told)
        for number in range(len(self._calls)):
            os.write(self._queue, _CALL.pack(number, 0, 0))
        self._waiting = len(self._calls)

    def add(self, name: str, call: Callable[..., Any], *args: Any) -> None:
        """Put a call into the queue.

        Args:
            name: to ask for its result by.
            call, args: what to call; to be pickled if the crew has started.
        """
        number = self._numbers[name] = len(self._calls)
        self._calls.append((call, args))
        if self._queue >= 0:
            data = pickle.dumps((call, args), pickle.HIGHEST_PROTOCOL)
            try:
                _put(self._text, data, self._written)
                os.write(self._queue, _CALL.pack(number, self._written, len(data)))
            except OSError:  # no hand is left, or no memory for the text
                self.stop()
                return
            self._written += len(data)
            self._waiting += 1

    def close(self) -> None:
        """Say that no call will follow: a hand that finds the queue empty then ends."""
        if self._queue >= 0:
            os.close(self._queue)
            _QUEUES.discard(self._queue)
            self._queue = -1

    def work(self) -> Iterator[str]:
        """Make calls here too until none is left in the queue; yield the name of each."""
        self.close()
        names = {number: name for name, number in self._numbers.items()}
        while self._taken >= 0:
            message = os.read(self._taken, _CALL.size)
            if len(message) < _CALL.size:
                return
            number = _CALL.unpack(message)[0]
            call, args = self._calls[number]
            self._answers[number] = (call(*args),)
            self._waiting -= 1
            yield names[number]

    def __contains__(self, name: str) -> bool:
        """Tell whether a call of this name was added."""
        return name in self._numbers

    def settled(self) -> bool:
        """Tell, without waiting, whether every answer is here: then `result` returns at once."""
        while self._told >= 0 and self._waiting and select.select([self._told], [], [], 0)[0]:
            self._hear()
        return self._told < 0 or not self._waiting

    def result(self, name: str) -> Any:
        """Return what the call of this name returned, or raise what it raised; closes the queue.

        Raises:
            NotHere: a copy of this process asks, which would take answers away from it.
        """
        if os.getpid() != self._owner:
            raise NotHere(f"{name} is answered in another process")
        number = self._numbers[name]
        self.close()
        while self._told >= 0 and number not in self._answers:
            self._hear()
        found = self._answers.pop(number, None)
        if found is not None:
            return found[0]
        call, args = self._calls[number]
        return call(*args)

    def stop(self) -> None:
        """End all hands; what was not asked for is lost."""
        self.close()
        for handle in (self._taken, self._told, self._text, *self._stores):
            if handle >= 0:
                os.close(handle)
        self._taken = self._told = self._text = -1
        self._stores = []
        if self._first:
            with suppress(ProcessLookupError, PermissionError):
                if self._waiting:  # else the hands end by themselves, the first one last
                    os.killpg(self._first, signal.SIGKILL)
            with suppress(ChildProcessError):
                os.waitpid(self._first, 0)
            self._first = 0

    def _hear(self) -> None:
        """Take one answer, waiting for it; stop once every hand has ended."""
        message = os.read(self._told, _ANSWER.size)
        if len(message) < _ANSWER.size:
            self.stop()
        else:
            self._keep(*_ANSWER.unpack(message))

    def _keep(self, number: int, hand: int, start: int, length: int) -> None:
        """Keep an answer; None stands for a call that failed and is to be made in place."""
        self._waiting -= 1
        self._answers[number] = None
        if length:
            data = os.pread(self._stores[hand], length, start)
            if len(data) == length:
                self._answers[number] = pickle.loads(data)


class _Hand:
    """The far side of a crew: a process that makes calls until the queue ends."""

    def __init__(self, calls: list[Any], queue: int, text: int, told: int) -> None:
        self.calls, self.queue, self.text, self.told = calls, queue, text, told

    def serve(self, load: Callable[[], object] | None, stores: list[int]) -> None:
        """Load, double, work, and end the process; whatever goes wrong is done in place again."""
        try:
            for far_end in _QUEUES:
                os.close(far_end)
            _own_group(0)  # so that an interrupt reaches the main work alone, which ends us
            signal.signal(signal.SIGPIPE, signal.SIG_DFL)
            import gc

            gc.disable()
            if load is not None:
                load()
            hand, copies = 0, list[int]()
            for other in range(1, len(stores)):
                copy = os.fork()
                if copy == 0:
                    hand, copies = other, []
                    break
                copies.append(copy)
            self.work(hand, stores[hand])
            for copy in copies:
                os.waitpid(copy, 0)
        finally:
            os._exit(0)

    def work(self, hand: int, store: int) -> None:
        """Take calls from the queue and store their answers."""
        written = 0
        while len(message := os.read(self.queue, _CALL.size)) == _CALL.size:
            number, start, length = _CALL.unpack(message)
            try:
                call, args = (
                    pickle.loads(os.pread(self.text, length, start))
                    if length
                    else self.calls[number]
                )
                data = pickle.dumps((call(*args),), pickle.HIGHEST_PROTOCOL)
                _put(store, data, written)
            except Exception:
                data = b""  # the main work makes this call again, and meets the error itself
            os.write(self.told, _ANSWER.pack(number, hand, written, len(data)))
            written += len(data)


def _own_group(process: int) -> None:
    """Give a process and its copies a group of their own; both sides say so, whoever is first."""
    with suppress(OSError):
        os.setpgid(process, process)


def _scratch() -> int:
    """Return a file without a name."""
    if hasattr(os, "memfd_create"):
        try:
            return os.memfd_create("lamwright")
        except OSError:
            pass
    import tempfile

    with tempfile.TemporaryFile() as file:
        return os.dup(file.fileno())


def _put(file: int, data: bytes, start: int) -> None:
    """Write all of `data` at `start`."""
    view = memoryview(data)
    while view:
        done = os.pwrite(file, view, start)
        view, start = view[done:], start + done
