"""The packs of all starters, as a user builds them: by commands, in a process of their own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.places import ROOT
from tests.support.design import STARTERS

COMMANDS = """
import sys
from recipes.cli.commands import run
for file in sys.argv[2:]:
    assert run(["build", file, "--out", sys.argv[1]]) == 0
"""


def build_starters(folder: Path, **environment: str) -> None:
    """Build every starter, bodies included, below `folder`."""
    files = [str(ROOT / "recipes" / "starters" / f"{name}.toml") for name in STARTERS]
    subprocess.run(
        [sys.executable, "-c", COMMANDS, str(folder), *files],
        cwd=folder.parent, check=True, capture_output=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
    )  # fmt: skip
