"""Code in a process with one thread, where a fork is made; test runners have several."""

import subprocess
import sys

from tests.places import ROOT


def alone(code: str) -> str:
    """Run Python code, which must print nothing to standard error; return what it prints."""
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return done.stdout.strip()
