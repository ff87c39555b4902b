"""How long a test waits for another process: until it is sure to hang, however busy the machine."""

from __future__ import annotations

import time
from collections.abc import Callable

#: Seconds without an answer after which a process counts as hung; never how quick it must be.
PATIENCE = 600.0


def until(true: Callable[[], bool], pause: float = 0.02) -> bool:
    """Wait for something to become true; return False when patience is at its end."""
    end = time.monotonic() + PATIENCE
    while not (found := true()) and time.monotonic() < end:
        time.sleep(pause)
    return found
