"""One round of `watch`: the design file as it is now, judged, drawn and written without solids."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recipes.design.load import BadInput, parse, read_text

if TYPE_CHECKING:
    from recipes.job import Job


@dataclass(frozen=True)
class Round:
    """What one save came to.

    Attributes:
        name: of the design, or of its file while the design cannot be read.
        findings: as `Finding.as_dict` gives them, most serious first.
        files: every file of the pack by its path; empty if nothing was written.
        folder: where they were written, or "".
        seconds: from reading the file to the last byte on disk.
    """

    name: str
    findings: list[dict[str, Any]] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)
    folder: str = ""
    seconds: float = 0.0


def rebuild(path: Path, out: Path) -> Round:
    """Read the design at `path`, write its pack without solids below `out`, and say how it went.

    Never raises for what a builder may have typed or for a folder that cannot be written: both
    come back as findings, and an earlier pack is as it was.
    """
    begin = time.perf_counter()
    name = path.stem
    try:
        findings, files, folder, name = _built(path, out)
    except BadInput as bad:
        findings, files, folder = [f.as_dict() for f in bad.findings], {}, ""
    except OSError as error:
        place = error.filename or str(out)
        findings, files, folder = [_fault(str(place), error.strerror or str(error))], {}, ""
    return Round(name, findings, files, folder, time.perf_counter() - begin)


def _built(path: Path, out: Path) -> tuple[list[dict[str, Any]], dict[str, bytes], str, str]:
    from recipes.assess import assess
    from recipes.build.aside import ladder_aside, packing_aside
    from recipes.build.write import write_pack
    from recipes.job import Job

    with packing_aside() as packing, ladder_aside() as ladder:
        text = read_text(path)
        job = Job(parse(text), packing, ladder)
        _draw_ahead(job)
        seen = assess(job)
        findings = [f.as_dict() for f in seen.findings]
        if any(f.level == "stop" for f in seen.findings):
            return findings, {}, "", job.design.name
        done = write_pack(job, seen, out, text=text)
    return findings, {f.path: f.data for f in done.files}, str(done.folder), job.design.name


def _draw_ahead(job: Job) -> None:
    """Make parts and their sheets while circles are counted in another process.

    What cannot be drawn is asked for again when the design is judged, and said then.
    """
    from geometry.errors import GeometryError
    from recipes.catalogue import RECIPES
    from recipes.refusal import Refused

    for recipe in RECIPES:
        with suppress(Refused, GeometryError):
            for part in job.parts[recipe.name]:
                list(part.drawings)


def _fault(place: str, reason: str) -> dict[str, Any]:
    """Return a finding about the disk."""
    return {
        "level": "stop",
        "code": "cannot-write",
        "field": "--out",
        "value": place,
        "limit": None,
        "message": f"{place}: {reason}",
        "fix": "free the folder, or name another with --out",
        "source": "",
        "confidence": "yours",
    }
