"""One writer a table: a lock beside it, which ends with the process that holds it."""

from __future__ import annotations

import os
from pathlib import Path


class Occupied(Exception):
    """Another process holds the lock."""


def lock(table: Path) -> int:
    """Return the open file whose lock says that `table` is being written; see `unlock`.

    The lock lies on a hidden file of its own, since the table is replaced as a whole at the end.
    The system lets go of it when the process ends, however it ends.

    Raises:
        Occupied: another process writes the table.
        OSError: no file can be made beside it.
    """
    while True:
        handle = os.open(_beside(table), os.O_RDWR | os.O_CREAT, 0o644)
        try:
            _hold(handle)
        except OSError as error:
            os.close(handle)
            raise Occupied from error
        try:
            if os.path.samestat(os.fstat(handle), os.stat(_beside(table))):
                return handle
        except FileNotFoundError:
            pass
        os.close(handle)  # it was held by one that has just removed it: there may be a new one


def unlock(table: Path, handle: int) -> None:
    """Let go of the lock on `table`, and remove its file."""
    _beside(table).unlink(missing_ok=True)
    os.close(handle)


def _beside(table: Path) -> Path:
    return table.with_name(f".{table.name}.lock")


def _hold(handle: int) -> None:
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
