"""`compare`: read designs, judge each, and write the comparison as CSV or as one page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.finding import Finding
from recipes.assess import assess
from recipes.design.load import BadInput, load
from recipes.job import Job
from recipes.study.comparison import LETTERS, Side, sides_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path


def compare(files: Sequence[Path]) -> tuple[Side, ...]:
    """Return the designs in `files` side by side, each judged by every quick rule.

    Raises:
        BadInput: fewer than two or more than eight files, or a file that cannot be read; every
            fault of every file is told, with the file's name.
    """

    if not 2 <= len(files) <= len(LETTERS):
        raise BadInput([_count(len(files), len(LETTERS))])
    designs, faults = [], []
    for path in files:
        try:
            designs.append(load(path))
        except BadInput as bad:
            faults += [_named(path, f) for f in bad.findings]
    if faults:
        raise BadInput(faults)

    jobs = [Job(design) for design in designs]
    seen = [assess(job, whole=False) for job in jobs]
    return sides_of([str(path) for path in files], jobs, seen)


def write_text(path: Path, text: str) -> None:
    """Write a file whole or not at all.

    Raises:
        OSError: it cannot be written; an older file is as it was.
    """
    import os
    import tempfile
    from contextlib import suppress

    number, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(text.encode())
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise


def _count(given: int, most: int) -> Finding:
    return Finding(
        "stop",
        "bad-input",
        "FILE",
        given,
        most,
        f"compare takes 2 to {most} design files, not {given}",
        "name the files to hold side by side",
        "",
        "yours",
    )


def _named(path: Path, fault: Finding) -> Finding:
    from dataclasses import replace

    if str(path) in fault.message:
        return fault
    return replace(fault, message=f"{path}: {fault.message}")
