"""A warm process that rebuilds: its libraries stay loaded, and it has one thread, so it may fork.

The process that serves the page has threads; rebuilding there could not count circles aside.
"""

from __future__ import annotations

import gc
import multiprocessing
import signal
from multiprocessing.connection import Connection
from pathlib import Path
from types import TracebackType

from recipes.cli.watch_rebuild import Round, rebuild


class Worker:
    """Rebuilds one design file on request, in a process of its own; use as a context manager."""

    def __init__(self, path: Path, out: Path) -> None:
        """Take the design file and the folder that holds packs; start the process."""
        self._path, self._out = path, out
        self._start()

    def _start(self) -> None:
        here, there = multiprocessing.Pipe()
        self._process = multiprocessing.get_context("spawn").Process(
            target=_serve, args=(there, self._path, self._out), daemon=False
        )
        self._process.start()
        there.close()
        self._pipe = here

    def __enter__(self) -> Worker:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Let a round that runs come to its end, then end the process."""
        self._pipe.close()
        self._process.join(10.0)
        if self._process.is_alive():
            self._process.kill()
            self._process.join()

    def round(self) -> Round:
        """Return what a rebuild came to; one that died is told as a finding, and begun anew.

        Raises TypeError if the worker says anything but a round: a fault of this project.
        """
        try:
            self._pipe.send(None)
            answer = self._pipe.recv()
        except (EOFError, OSError):
            self._process.join()
            code = self._process.exitcode
            self._start()
            return Round(self._path.stem, [_died(code)])
        if not isinstance(answer, Round):
            raise TypeError(f"the worker said {answer!r}")
        return answer


def _serve(pipe: Connection, path: Path, out: Path) -> None:
    """Answer requests until the other end closes. Ctrl-C and the like are the parent's to handle."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.SIG_IGN)
    gc.disable()  # its walks over all modules would take a fifth of a round
    while True:
        try:
            pipe.recv()
            pipe.send(rebuild(path, out))
            gc.collect()  # while nobody waits
        except (EOFError, OSError):
            return


def _died(code: int | None) -> dict[str, object]:
    return {
        "level": "stop",
        "code": "rebuild-died",
        "field": "",
        "value": code,
        "limit": None,
        "message": f"the process that rebuilds ended with status {code}",
        "fix": "save once more; if it happens again, run `lamwright build` to see more",
        "source": "",
        "confidence": "yours",
    }
