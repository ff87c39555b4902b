"""The table of a range on disk: a row is there for good as soon as its design is judged.

Rows are appended and flushed to the disk one by one, in the order in which they come; a run that
ends rewrites the table once, in the order of the grid. A run that was killed leaves a torn last
line at worst: the next run takes it out, and says so. Rows belong to a design by the hash in
their first column, so that one table can outlive changes of the design without mixing them.
"""

from __future__ import annotations

import csv
import io
import os
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TextIO, get_args

from geometry.finding import Finding
from recipes.design.load import BadInput
from recipes.refusal import bad_input
from recipes.study.comparison_show import safe, write_text
from recipes.study.design_point import By, Outcome, Verdict
from recipes.study.table_lock import Occupied, lock, unlock
from recipes.study.vary import Trial

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path
    from types import TracebackType


_BEFORE, _AFTER = ("base",), ("verdict", "why", "field")
_VERDICTS: tuple[Verdict, ...] = ("fine", "stop", "refused", "failed")
_FIELDS: tuple[By, ...] = get_args(By)


@dataclass
class RangeTable:
    """The table at `path` for one design and one choice of fields; use as a context manager.

    Args:
        path: of the CSV file.
        base: hash of the design whose fields are varied.
        fields: varied fields, dotted.
        names: figures, in the order of the columns.
    """

    path: Path
    base: str
    fields: tuple[str, ...]
    names: tuple[str, ...]
    torn: bool = False
    strangers: int = 0
    _rows: list[list[str]] = field(default_factory=list)
    _known: dict[tuple[str, ...], Outcome] = field(default_factory=dict)
    _file: TextIO | None = None
    _lock: int | None = None

    @property
    def header(self) -> list[str]:
        """Names of the columns."""
        return [*_BEFORE, *self.fields, *_AFTER, *self.names]

    def __enter__(self) -> RangeTable:
        """Read what is there, mend a torn end, and open the table for more rows.

        Raises:
            BadInput: the file is another table, or another range is writing it.
            OSError: it cannot be read or written.
        """
        self.path.parent.mkdir(parents=True, exist_ok=True)
        try:
            self._lock = lock(self.path)
        except Occupied:
            raise BadInput([_occupied(self.path)]) from None
        try:
            text = ""
            if self.path.exists():
                text = self.path.read_text(encoding="utf-8", errors="replace")
            self._read(text)
            if self.torn or not text:
                write_text(self.path, self._text(self._rows))
            self._file = self.path.open("a", encoding="utf-8", newline="")
        except BaseException:
            self._close()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        """Close the file; what was added is on the disk already."""
        self._close()

    def _close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None
        if self._lock is not None:
            unlock(self.path, self._lock)
            self._lock = None

    def known(self, trial: Trial) -> Outcome | None:
        """Return what an earlier run found; None if it is not there, or had failed."""
        found = self._known.get(trial.key)
        return None if found is None or found.verdict == "failed" else found

    def result(self, trial: Trial) -> Outcome | None:
        """Return what is in the table for a trial, a failure too; None if there is nothing."""
        return self._known.get(trial.key)

    def add(self, trial: Trial, outcome: Outcome) -> None:
        """Append one row and wait until the disk has it."""
        assert self._file is not None
        row = self._row(trial, outcome)
        self._rows.append(row)
        self._known[trial.key] = outcome
        self._file.write(_line(row))
        self._file.flush()
        os.fsync(self._file.fileno())

    def sort(self, trials: Iterable[Trial]) -> None:
        """Rewrite the table: rows of other designs and values first, then those of the grid."""
        ours: dict[tuple[str, ...], list[str]] = {}
        others = []
        grid = {trial.key: None for trial in trials}
        width = 1 + len(self.fields)
        for row in self._rows:
            key = tuple(row[1:width])
            if row[0] == self.base and key in grid:
                ours[key] = row  # a later row of the same design replaces a failed or coarser one
            else:
                others.append(row)
        self._rows = [*others, *(ours[key] for key in grid if key in ours)]
        if self._file is not None:
            self._file.close()
        write_text(self.path, self._text(self._rows))
        self._file = self.path.open("a", encoding="utf-8", newline="")

    def _read(self, text: str) -> None:
        if not text:
            return
        whole = text.endswith("\n")
        lines = text.splitlines(keepends=True)
        if not whole:
            self.torn = True
            lines = lines[:-1]
        rows = list(csv.reader(io.StringIO("".join(lines), newline="")))
        if rows and rows[0] != self.header:
            raise BadInput([_other(self.path, rows[0], self.header)])
        for row in rows[1:]:
            outcome = self._outcome(row)
            if outcome is None:
                self.torn = True
                continue
            self._rows.append(row)
            if row[0] == self.base:
                self._known[tuple(row[1 : 1 + len(self.fields)])] = outcome
            else:
                self.strangers += 1

    def _outcome(self, row: Sequence[str]) -> Outcome | None:
        """Return what a row says; None if it is not whole."""
        at = 1 + len(self.fields)
        if len(row) != len(self.header) or row[at] not in _VERDICTS or row[at + 2] not in _FIELDS:
            return None
        try:
            figures = {n: float(v) for n, v in zip(self.names, row[at + 3 :], strict=True) if v}
        except ValueError:
            return None
        verdict = next(v for v in _VERDICTS if v == row[at])
        by = next(v for v in _FIELDS if v == row[at + 2])
        return Outcome(verdict, row[at + 1], figures, by)

    def _row(self, trial: Trial, outcome: Outcome) -> list[str]:
        figures = [safe(outcome.figures.get(name)) for name in self.names]
        return [self.base, *trial.key, outcome.verdict, safe(outcome.why), outcome.field, *figures]

    def _text(self, rows: Iterable[Sequence[str]]) -> str:
        return "".join(_line(row) for row in (self.header, *rows))


def _line(row: Sequence[str]) -> str:
    page = io.StringIO(newline="")
    csv.writer(page, lineterminator="\n").writerow(row)
    return page.getvalue()


def _occupied(path: Path) -> Finding:
    return bad_input(
        "--csv",
        str(path),
        f"{path}: another range is writing this table",
        "wait until it has ended and run again (what it did is not done twice), or name another "
        "file by --csv",
    )


def _other(path: Path, there: Sequence[str], here: Sequence[str]) -> Finding:
    odd = [name for name in there if name not in here] or [n for n in here if n not in there]
    return bad_input(
        "--csv",
        str(path),
        f"{path} holds another table: it differs by {', '.join(odd[:3]) or 'the order of columns'}",
        "name another file by --csv, or move this one away",
    )
