"""A `watch` that runs in a process of its own, as a builder starts it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

from tests.places import ROOT
from tests.support.patience import PATIENCE

#: Listens to Ctrl-C even where the tests were begun in the background, which ignores it.
AS_IN_A_TERMINAL = """
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from recipes.__main__ import entry
entry()
"""


class Watching:
    """`lamwright watch` on a design file; use as a context manager, which kills what is left."""

    def __init__(self, design: Path, out: Path) -> None:
        self.run = subprocess.Popen(
            [sys.executable, "-c", AS_IN_A_TERMINAL, "watch", str(design), "--out", str(out)],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            start_new_session=True,
        )  # fmt: skip
        assert self.run.stdout is not None
        first = self.run.stdout.readline()
        self.port = int(re.findall(r"http://127\.0\.0\.1:(\d+)/", first)[0])

    def __enter__(self) -> Watching:
        return self

    def __exit__(self, *_: object) -> None:
        if self.run.poll() is None:
            os.killpg(self.run.pid, signal.SIGKILL)
        self.run.communicate()

    def end(self, number: int = signal.SIGINT) -> tuple[int, str]:
        """Send a signal to all of it, as a terminal does; return exit status and complaints."""
        os.killpg(self.run.pid, number)
        _, errors = self.run.communicate(timeout=PATIENCE)
        return self.run.returncode, errors
