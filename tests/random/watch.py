"""No step of a build may hang: an alarm on processor time, where the system has one."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

#: Processor time that one step may take, s.
MOST = 5.0


class Hang(AssertionError):
    """A step took longer than `MOST` seconds of processor time."""


@contextmanager
def no_hang(what: str, most: float = MOST) -> Iterator[None]:
    """Raise `Hang`, with the place where it hangs in its traceback, if the block takes too long."""
    if (
        not hasattr(signal, "SIGVTALRM")
        or threading.current_thread() is not threading.main_thread()
    ):
        yield
        return

    def ring(_: int, __: FrameType | None) -> None:
        raise Hang(f"{what}: more than {most:g} s of processor time")

    before = signal.signal(signal.SIGVTALRM, ring)
    signal.setitimer(signal.ITIMER_VIRTUAL, most)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)
        signal.signal(signal.SIGVTALRM, before)
