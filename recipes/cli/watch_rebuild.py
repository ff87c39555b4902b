"""One round of `watch`: the design file as it is now, judged, drawn and written without solids."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from recipes.assess import assess
from recipes.build.write import write_pack
from recipes.catalogue import Parts
from recipes.design.load import BadInput, parse, read_text
from recipes.motor import solve
from recipes.refusal import Refused


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

    Whatever goes wrong comes back as a finding, and an earlier pack is as it was.
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
    except Exception as error:  # a fault of ours: the next save may avoid it
        findings, files, folder = [_died(f"{type(error).__name__}: {error}")], {}, ""
    return Round(name, findings, files, folder, time.perf_counter() - begin)


def _built(path: Path, out: Path) -> tuple[list[dict[str, Any]], dict[str, bytes], str, str]:
    text = read_text(path)
    motor = solve(parse(text))
    parts = Parts(motor)
    seen = assess(motor, parts)
    findings = [f.as_dict() for f in seen.findings]
    if any(f.level == "stop" for f in seen.findings):
        return findings, {}, "", motor.design.name
    try:
        done = write_pack(motor, parts, seen, out, text=text)
    except Refused as refused:  # a sheet that no paper holds
        return [f.as_dict() for f in refused.findings] + findings, {}, "", motor.design.name
    return findings, {f.path: f.data for f in done.files}, str(done.folder), motor.design.name


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


def _died(reason: str) -> dict[str, Any]:
    """Return a finding about this program."""
    return {
        "level": "stop",
        "code": "rebuild-died",
        "field": "",
        "value": None,
        "limit": None,
        "message": f"rebuilding ended with {reason}",
        "fix": "save once more; if it happens again, run `lamwright build` to see more",
        "source": "",
        "confidence": "yours",
    }
