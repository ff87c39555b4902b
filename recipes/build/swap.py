"""Put a finished folder in the place of an older one, whole or not at all."""

from __future__ import annotations

import glob
import os
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

#: Every pack holds this file; a folder without it is not ours and is never replaced.
MARK = "manifest.json"

#: A hidden folder that nobody holds is left alone for so long, s: its build may just have begun.
STALE = 60.0

#: Files that are waited for at once: one by one takes many times as long on a disk with a journal.
WAITING = 8


class NotOurs(OSError):
    """The folder to replace holds something else than a pack."""


def swap_in(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write `files` (relative path to bytes) as the new content of `folder`.

    The files are written into a hidden folder beside it, flushed to disk, and exchanged with it
    by one rename, so that at every moment the old or the new pack is there whole.

    Raises:
        NotOurs: `folder` exists and is no pack.
        OSError: no permission, no space; `folder` is as it was.
    """
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise NotOurs(f"{folder} is no plain folder; move it away or choose another --out")
    _recover(folder)
    _sweep(folder)
    if folder.exists() and any(folder.iterdir()) and not (folder / MARK).is_file():
        raise NotOurs(f"{folder} holds other files and no {MARK}; move it away or choose --out")
    folder.parent.mkdir(parents=True, exist_ok=True)
    fresh = Path(tempfile.mkdtemp(prefix=_hidden(folder), dir=folder.parent))
    held = _hold(fresh)
    try:
        for path, data in files.items():
            target = fresh / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        _flush([fresh / path for path in files])
        fresh.chmod(0o755)
        _exchange(fresh, folder)
    finally:
        _remove(fresh)
        if held is not None:
            os.close(held)


def _flush(paths: Sequence[Path]) -> None:
    """Wait until the disk holds all files; asked for many at once, it writes its journal once.

    Raises:
        OSError: that of the first file which the disk refused.
    """

    def flush(path: Path) -> None:
        with path.open("r+b") as file:
            os.fsync(file.fileno())

    refused = _many_at_once(flush, paths)
    if refused:
        raise refused[min(refused)]


def _remove(folder: Path) -> None:
    """Remove a folder of ours, as far as the system lets us; files wait for the journal too."""
    files = [Path(place, name) for place, _, names in os.walk(folder) for name in names]
    _many_at_once(Path.unlink, files)
    shutil.rmtree(folder, ignore_errors=True)


def _many_at_once(do: Callable[[Path], None], paths: Sequence[Path]) -> dict[int, OSError]:
    """Do something to every file, several at a time; return the errors by number of the file."""
    refused: dict[int, OSError] = {}

    def every(first: int) -> None:
        for k in range(first, len(paths), WAITING):
            try:
                do(paths[k])
            except OSError as error:
                refused[k] = error

    threads = [threading.Thread(target=every, args=(k,)) for k in range(min(WAITING, len(paths)))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return refused


def _hidden(folder: Path) -> str:
    return f".{folder.name}.new-"


def _hold(fresh: Path) -> int | None:
    """Lock a new folder for as long as this process lives; None where the system cannot."""
    try:
        import fcntl

        handle = os.open(fresh, os.O_RDONLY)
    except (ImportError, OSError):
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:  # some network drives have no locks
        os.close(handle)
        return None
    return handle


def _sweep(folder: Path) -> None:
    """Remove what killed runs left beside `folder`: a build at work holds a lock on its own."""
    for left in folder.parent.glob(f"{glob.escape(_hidden(folder))}*"):
        try:
            if time.time() - left.stat().st_mtime < STALE:
                continue
        except OSError:  # its build has just ended
            continue
        held = _hold(left)
        if held is not None:
            shutil.rmtree(left, ignore_errors=True)
            os.close(held)


def _recover(folder: Path) -> None:
    """Bring back a pack that a killed run had moved aside on a system without exchange."""
    aside = _aside(folder)
    if not folder.exists() and aside.is_dir():
        aside.rename(folder)
    elif aside.is_dir():
        shutil.rmtree(aside, ignore_errors=True)


def _aside(folder: Path) -> Path:
    return folder.with_name(f".{folder.name}.previous")


def _exchange(fresh: Path, folder: Path) -> None:
    if not folder.exists():
        try:
            fresh.rename(folder)
            return
        except OSError:
            if not folder.exists():  # else another build was first: take its place
                raise
    if sys.platform == "linux" and _renameat2(fresh, folder):
        return  # `fresh` now holds the older pack and is removed by the caller
    aside = _aside(folder)
    folder.rename(aside)
    try:
        fresh.rename(folder)
    except OSError:
        aside.rename(folder)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _renameat2(a: Path, b: Path) -> bool:
    """Exchange two folders by the kernel call renameat2; False where it is not supported."""
    import ctypes

    try:
        call = ctypes.CDLL(None).renameat2
    except (OSError, AttributeError):
        return False
    at_cwd, exchange = -100, 2  # AT_FDCWD and RENAME_EXCHANGE of the Linux kernel
    return int(call(at_cwd, os.fsencode(a), at_cwd, os.fsencode(b), exchange)) == 0
