"""What mypy says of mutants: it is one of the project's own tests (`tests/test_style.py`)."""

import ast
import json
import subprocess
import sys
from pathlib import Path

#: What a file of mutants brings about by itself, whatever was changed in it.
OWN = {"unused-ignore", "no-redef", "name-defined", "misc", "no-untyped-def", "type-arg"}


def errors(folder: Path, paths: list[Path]) -> dict[Path, set[tuple[int, str]]]:
    """Lines with an error and its code by file; `folder` holds the mutants."""
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--output", "json",
         *(p.relative_to(folder).as_posix() for p in paths)],
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    found: dict[Path, set[tuple[int, str]]] = {p: set() for p in paths}
    for line in done.stdout.splitlines():
        said = json.loads(line)
        path = folder / said["file"]
        if said["severity"] == "error" and said["code"] not in OWN and path in found:
            found[path].add((said["line"], said["code"]))
    return found


def refused(lines: set[tuple[int, str]], old: ast.AST, new: ast.AST) -> bool:
    """Whether mypy finds more in the mutant than in what it was made from."""

    def count(node: ast.AST) -> int:
        first, last = getattr(node, "lineno", 0), getattr(node, "end_lineno", 0)
        return sum(first <= line <= last for line, _ in lines)

    return count(new) > count(old)
