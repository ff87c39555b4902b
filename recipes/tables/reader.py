"""One way to read the standard tables in ``recipes/tables/data``.

Each file is UTF-8 text: ``# key: value`` lines (standard, edition, unit, checked, sources), then
one line of column names, then the rows. A file is read once, when it is first asked for; nothing
is read at import and the machine's locale plays no part.

The tables themselves live in ``wire_table``, ``fits``, ``bearings``, ``steel``, ``paper`` and
``insulation``; this file knows no standard.
"""

from __future__ import annotations

import dataclasses
import math
import numbers
from collections.abc import Callable, Iterator, Mapping
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from typing import Final

DATA: Final = Path(__file__).parent / "data"
"""Where the tables lie."""

HEADER_KEYS: Final = ("standard", "edition", "unit", "checked")
"""Every data file must state these."""


class TableError(ValueError):
    """A question that a table cannot answer; the text names value, limit and fix."""


class TableFileError(RuntimeError):
    """A data file that cannot be read as a table: a fault of the project, not of its user."""


@dataclasses.dataclass(frozen=True)
class TableRow:
    """Base of every row that a table hands out."""

    def as_row(self) -> dict[str, float | int | str]:
        """Return one flat mapping of field name to plain value; unknown (None) fields left out."""
        pairs = ((field.name, getattr(self, field.name)) for field in dataclasses.fields(self))
        return {name: value for name, value in pairs if value is not None}


@dataclasses.dataclass(frozen=True)
class Cells:
    """One line of a data file; the methods turn its text into numbers."""

    file: str
    line: int
    values: Mapping[str, str]

    def text(self, column: str) -> str:
        """Return the text of ``column`` (may be empty); TableFileError if there is no such one."""
        try:
            return self.values[column]
        except KeyError:
            raise TableFileError(f"{self.file}: no column {column!r}") from None

    def number(self, column: str) -> float:
        """Return ``column`` as a finite number; TableFileError names file and line otherwise."""
        value = self.maybe(column)
        if value is None:
            raise TableFileError(f"{self.file} line {self.line}: {column} is empty")
        return value

    def maybe(self, column: str) -> float | None:
        """Return ``column`` as a finite number, None where it is empty; TableFileError if it is neither."""
        text = self.text(column)
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise TableFileError(f"{self.file} line {self.line}: {column} = {text!r} is no number")
        return value


@dataclasses.dataclass(frozen=True)
class Table:
    """A data file: what its head says, and its lines in the order of the file."""

    name: str
    header: Mapping[str, str]
    rows: tuple[Cells, ...]

    @property
    def citation(self) -> str:
        """Standard with its edition, such as ``ISO 286-2:2010``, or what the head calls for."""
        return self.header.get("citation") or f"{self.header['standard']}:{self.header['edition']}"

    def source(self, cells: Cells) -> str:
        """Return where a row is from: the citation, and what its ``source`` code stands for.

        Raises TableFileError for a code that the head does not explain.
        """
        code = cells.values.get("source", "")
        if not code:
            return self.citation
        try:
            return f"{self.citation}; {self.header[f'source {code}']}"
        except KeyError:
            raise TableFileError(
                f"{self.name} line {cells.line}: no '# source {code}:' in the head"
            ) from None


@cache
def load_table(name: str) -> Table:
    """Read ``recipes/tables/data/<name>`` once and keep it; TableFileError if it is not a table."""
    text = (DATA / name).read_text(encoding="utf-8")
    return parse_table(name, text)


def parse_table(name: str, text: str) -> Table:
    """Turn the ``text`` of a data file into a Table.

    Raises TableFileError if a head line is missing or a row has too few or too many cells.
    """
    header: dict[str, str] = {}
    columns: list[str] | None = None
    rows: list[Cells] = []
    for line, raw in enumerate(text.splitlines(), start=1):
        if raw.startswith("#"):
            key, _, value = raw[1:].partition(":")
            header[key.strip()] = value.strip()
        elif raw.strip():  # no cell holds a comma, so no quoting either
            cells = [cell.strip() for cell in raw.split(",")]
            if columns is None:
                columns = cells
                continue
            if len(cells) != len(columns):
                raise TableFileError(
                    f"{name} line {line}: {len(cells)} cells, but {len(columns)} columns"
                )
            rows.append(Cells(name, line, dict(zip(columns, cells, strict=True))))
    missing = [key for key in HEADER_KEYS if not header.get(key)]
    if missing or not rows:
        raise TableFileError(f"{name}: no {', '.join(missing) or 'rows'}")
    return Table(name, header, tuple(rows))


def finite(name: str, value: object, unit: str = "") -> float:
    """Return ``value`` as a float.

    Raises TableError, which names the field, for a bool, a text, NaN or an infinite number.
    """
    fix = f"give a finite number in {unit}" if unit else "give a finite number"
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        raise TableError(f"{name} = {value!r} is not a number; {fix}")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise TableError(f"{name} = {number} is not finite; {fix}")
    return number


def band(table: Table, size: float, keep: Callable[[Cells], bool] = lambda _: True) -> Cells | None:
    """Return the first row with over_mm < ``size`` <= up_to_mm that ``keep`` accepts, or None.

    A size on the edge between two bands belongs to the smaller one, as in ISO 286 and ISO 492.
    """
    for cells in table.rows:
        if keep(cells) and cells.number("over_mm") < size <= cells.number("up_to_mm"):
            return cells
    return None


def nearest_names(asked: str, known: Iterator[str] | list[str] | tuple[str, ...]) -> list[str]:
    """Return up to three of the ``known`` names that look most like ``asked``."""

    def likeness(name: str) -> float:
        return -SequenceMatcher(None, asked.upper(), name.upper()).ratio()

    return sorted(known, key=lambda name: (likeness(name), name))[:3]
