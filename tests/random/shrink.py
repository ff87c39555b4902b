"""Make a failing string of bytes small: every byte that may be 0 without mending it becomes 0.

Hypothesis would do so too, but takes minutes over a string this long.
"""

from __future__ import annotations

import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import tomli_w

from tests.random.designs import design_of


def shrink(data: bytes, fails: Callable[[bytes], bool], seconds: float = 60.0) -> bytes:
    """Return `data` with as many zero bytes as still fail, found in the time given.

    Args:
        data: bytes of a failing design.
        fails: whether bytes still fail in the same way.
        seconds: processor time to spend at most.
    """
    end = time.process_time() + seconds
    size = len(data) // 2
    while size >= 2:
        for start in range(0, len(data), size):
            if time.process_time() > end:
                return data
            if not any(data[start : start + size]):
                continue
            shorter = data[:start] + bytes(len(data[start : start + size])) + data[start + size :]
            if fails(shorter):
                data = shorter
        size //= 2
    return data


def kind_of(error: Exception) -> str:
    """Return what an error is and where it came from, to tell one failure from another."""
    steps = [
        f
        for f in traceback.extract_tb(error.__traceback__)
        if any(f"/{layer}/" in f.filename for layer in ("geometry", "recipes", "tests"))
    ]
    place = f"{Path(steps[-1].filename).name}:{steps[-1].name}" if steps else "?"
    return f"{type(error).__name__} in {place}"


def holds(data: bytes, check: Callable[[dict[str, Any]], object], seconds: float = 20.0) -> None:
    """Check the design of some bytes; a failure carries the smallest design that fails alike."""
    try:
        check(design_of(data))
    except Exception as error:
        kind = kind_of(error)
        small = shrink(data, lambda d: _failure(d, check) == kind, seconds)
        error.add_note(f"smallest design found:\n{tomli_w.dumps(design_of(small))}")
        raise


def _failure(data: bytes, check: Callable[[dict[str, Any]], object]) -> str:
    try:
        check(design_of(data))
    except Exception as error:
        return kind_of(error)
    return ""
