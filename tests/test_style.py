"""Style and types, checked with the tests: one command sees everything."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.mark.parametrize(
    "command",
    [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
    ],
    ids=["ruff check", "ruff format", "mypy --strict"],
)
def test_clean(command: list[str]) -> None:
    """A missing tool fails: a check that is skipped is no check."""
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
