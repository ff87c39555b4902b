"""`record`: write what was measured into the design file, and say at once what it means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from recipes.load import BadInput, parse, read_text
from recipes.measured.beside import Beside, beside
from recipes.measured.entry import entries_of
from recipes.pack.edit import edited, replace_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from recipes.job import Job

#: The codec mark that some editors put before UTF-8 text.
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Recorded:
    """What the file says now.

    Args:
        job: its design.
        rows: readings beside what was expected.
        written: dotted names of what was written or struck out.
        new_parts: a reading among them changes parts, so that they have another revision.
    """

    job: Job
    rows: tuple[Beside, ...]
    written: tuple[str, ...]
    new_parts: bool


def record(path: Path, words: Sequence[str]) -> Recorded:
    """Write `words` ("name=value"; an empty value strikes out) into the file at `path`.

    Without words nothing is written.

    Raises:
        BadInput: the file or a word is wrong, or the new value is; nothing is written.
        OSError: the file cannot be written; it is as it was.
    """
    from geometry.finding import Finding
    from recipes.job import Job

    entries, faults = entries_of(words)
    text = read_text(path)
    if path.suffix.lower() in {".dxf", ".step", ".stp", ".pdf"}:
        raise BadInput(
            [
                Finding(
                    "stop", "bad-input", "file", str(path), None,
                    f"file {str(path)!r}: the design inside a pack's file is a copy",
                    "name the design file (.toml), or make one: lamwright new FILE --like " + str(path),
                    "", "yours",
                )
            ]
        )  # fmt: skip
    if not words:
        job = Job(parse(text))
        return Recorded(job, beside(job), (), False)
    before = path.read_bytes()
    mark = _MARK if before.startswith(_MARK) else b""
    earlier = Job(parse(text))  # what was wrong before is said without the new values
    try:
        changed, design = edited(text, entries)
    except BadInput as bad:
        raise BadInput([*faults, *bad.findings]) from None
    if faults:
        raise BadInput(faults)
    if changed != text:
        replace_text(path, before, mark + changed.encode())
    job = Job(design)
    names = tuple(entry.field for entry in entries)
    return Recorded(job, beside(job), names, job.revision != earlier.revision)
