"""What is dear to make, and made once for all workers of a test run."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """Return a folder that `make` fills; whichever worker asks first makes it, the others wait.

    Nobody may write to it afterwards.
    """
    base = factory.getbasetemp()
    if (
        "PYTEST_XDIST_WORKER" in os.environ
    ):  # each worker has a folder of its own in that of the run
        base = base.parent
    folder = base / name
    with _alone(base / f"{name}.lock"):
        if not folder.exists():
            begun = base / f"{name}.begun"
            make(begun)
            begun.rename(folder)
    return folder


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Let one process after the other in."""
    import fcntl

    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
