"""Change single values of a design file in place: comments, order and line ends stay as they are.

The changed text is read back by Python's own TOML reader and must say the old design with just the
new values, else nothing is written.
"""

from __future__ import annotations

import os
import tempfile
import tomllib
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from geometry.finding import Finding
from recipes.design import Design
from recipes.design.load import BadInput, validate


@dataclass(frozen=True)
class Entry:
    """One reading to write down.

    Args:
        place: names of the tables and of the key.
        text: as typed; empty to strike the reading out.
        unit: of a bare number, "" for none.
        is_number: the text is a plain number.
    """

    place: tuple[str, ...]
    text: str
    unit: str
    is_number: bool

    @property
    def field(self) -> str:
        """Dotted name."""
        return ".".join(self.place)


def edited(text: str, entries: Sequence[Entry]) -> tuple[str, Design]:
    """Return the text of a design file with `entries` written in, and the design that it says.

    Raises:
        BadInput: the text is no TOML, the new design is not valid, or a value cannot be placed.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    want = tomllib.loads(text)
    for entry in entries:
        _put_plain(want, entry)
    design = validate(want)
    if design.units == "in":  # a bare length is in inches there
        entries = [replace(e, unit="in") if e.unit == "mm" else e for e in entries]
    try:
        document = tomlkit.parse(text)
        for entry in entries:
            _put(document, entry)
        changed = _same_line_ends(text, tomlkit.dumps(document))
        if tomllib.loads(changed) != want:
            raise ValueError("the text does not read back")
    except (TOMLKitError, ValueError, KeyError, TypeError, AttributeError):
        raise BadInput([_by_hand(entry) for entry in entries]) from None
    return changed, design


def _put_plain(tables: dict[str, Any], entry: Entry) -> None:
    table: Any = tables
    for name in entry.place[:-1]:
        table = table.setdefault(name, {})
        if not isinstance(table, dict):
            return  # `validate` says what stands there instead of a table
    if entry.text == "":
        table.pop(entry.place[-1], None)
    else:
        table[entry.place[-1]] = (
            tomllib.loads(f"x = {_number(entry)}")["x"] if entry.is_number else entry.text
        )


def _number(entry: Entry) -> str:
    """Return a number as TOML writes it, with the digits that were typed where it allows them."""
    with suppress(tomllib.TOMLDecodeError):
        tomllib.loads(f"x = {entry.text}")
        return entry.text
    return repr(float(entry.text))  # ".47", "5." and "007" are numbers to people


def _put(document: Any, entry: Entry) -> None:
    import tomlkit

    table = document
    *above, key = entry.place
    for depth, name in enumerate(above):
        if name not in table:
            if entry.text == "":
                return
            _append(table, name, tomlkit.table(is_super_table=depth + 1 < len(above)))
        table = table[name]
    if entry.text == "":
        table.pop(key, None)
        return
    value = tomlkit.item(entry.text)
    if entry.is_number:
        value = tomlkit.parse(f"x = {_number(entry)}\n")["x"]
    if key in table:
        table[key] = value
        return
    if entry.is_number and entry.unit:
        value.comment(entry.unit)
        value.trivia.comment_ws = "  "
    _append(table, key, value)


def _append(table: Any, key: str, value: Any) -> None:
    """Add a key or table after the last one: comments that follow belong to the next table."""
    import tomlkit
    from tomlkit.items import InlineTable, Table

    if isinstance(table, InlineTable):
        table.append(key, value)
        return
    apart = isinstance(value, Table)
    holder = table.value if isinstance(table, Table) else table
    last = holder.body[-1][1] if holder.body else None
    if apart and last is None:
        table.add(key, value)
        return
    after = []
    while not apart and holder.body and holder.body[-1][0] is None:
        after.append(holder.body.pop())
    if apart:
        table.add(tomlkit.nl())
    table.add(key, value)
    holder.body.extend(reversed(after))


def _same_line_ends(before: str, after: str) -> str:
    if "\r\n" in before and "\n" not in before.replace("\r\n", ""):
        return after.replace("\r\n", "\n").replace("\n", "\r\n")
    return after


def _by_hand(entry: Entry) -> Finding:
    table = ".".join(entry.place[:-1])
    return Finding(
        "stop",
        "cannot-place",
        entry.field,
        entry.text,
        None,
        f"{entry.field}: this file is laid out so that the value cannot be written in safely",
        f"write it into [{table}] by hand: {entry.place[-1]} = {_number(entry) if entry.is_number else repr(entry.text)}",
        "",
        "yours",
    )


def replace_text(path: Path, before: bytes, after: bytes) -> None:
    """Replace a file's content in one step; permissions stay, a link keeps pointing at it.

    Args:
        path: the file, or a link to it.
        before: what it held when it was read.
        after: what it shall hold.

    Raises:
        OSError: it cannot be written, or somebody else changed it meanwhile; it is as it was.
    """
    real = path.resolve(strict=True)
    if real.read_bytes() != before:
        raise OSError(0, "changed by somebody else meanwhile; try again", str(path))
    state = real.stat()
    number, name = tempfile.mkstemp(prefix=f".{real.name}.", dir=real.parent)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(after)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, state.st_mode & 0o7777)
        if hasattr(os, "chown"):
            with suppress(OSError):  # only its owner may give a file away
                os.chown(name, state.st_uid, state.st_gid)
        os.replace(name, real)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise
