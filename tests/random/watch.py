"""No step of a build may hang: an alarm on processor time, where the system has one.

How long a step takes says how quick and how busy the machine is. What it may take is therefore
counted in whole packs of a starter, made in the same process.
"""

from __future__ import annotations

import signal
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import FrameType

from recipes.assess import assess
from recipes.build.write import write_pack
from recipes.catalogue import Parts
from tests.support.design import job

#: Packs that could be made in the time that one step may take.
MOST = 10


class Hang(AssertionError):
    """A step took longer than `MOST` packs do."""


@cache
def one_pack() -> float:
    """Return the processor time of this process for a starter's pack without bodies, s."""
    with tempfile.TemporaryDirectory() as folder:
        for part in ("first", "second"):  # the first loads libraries
            start = time.process_time()
            made = job("potters-wheel")
            write_pack(made, Parts(made), assess(made), Path(folder, part), text="")
    return time.process_time() - start


@contextmanager
def no_hang(what: str, packs: float = MOST) -> Iterator[None]:
    """Raise `Hang`, with the place where it hangs in its traceback, if the block takes too long."""
    if (
        not hasattr(signal, "SIGVTALRM")
        or threading.current_thread() is not threading.main_thread()
    ):
        yield
        return
    most = packs * one_pack()

    def ring(_: int, __: FrameType | None) -> None:
        raise Hang(
            f"{what}: longer than {packs:g} packs of a starter, {most:.1f} s of processor time"
        )

    before = signal.signal(signal.SIGVTALRM, ring)
    signal.setitimer(signal.ITIMER_VIRTUAL, most)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)
        signal.signal(signal.SIGVTALRM, before)
