"""Read a design file: TOML in, a validated `Design` out, or every fault of it at once."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from geometry.finding import Finding
from geometry.formats.embedded_design import extract
from recipes.design.model import Design, wording_of, written_fractions
from recipes.refusal import bad_input

#: A design file is a few kilobytes; anything larger is some other file.
LARGEST_FILE = 1_000_000

#: Tables lie at most four deep in a design.
DEEPEST = 20

#: A key of more parts than any design has. It is looked for before the text is parsed: tomllib keeps
#: every beginning of such a key, which takes memory by the square of its parts.
_DEEP_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){20}""")

#: What a value of another kind should be, in words of the file.
_WANTED = {
    "model_type": "a table of keys, such as { key = value }",
    "tuple_type": "a list, such as [ value, value ]",
    "string_type": 'a text in quotes, such as "text"',
    "int_type": "a whole number",
    "float_type": "a number",
    "finite_number": "a finite number",
}

#: Unknown keys of one table, and faults of one file, that are named one by one.
MOST_KEYS, MOST_FAULTS = 12, 200

#: Whole numbers of TOML have 64 bits with sign (TOML 1.0.0, "Integer").
WIDEST = 2**63


class BadInput(Exception):
    """The design cannot be read; `findings` lists every fault with field, value, limit and fix."""

    def __init__(self, findings: list[Finding]) -> None:
        """Keep the findings; the text joins their messages."""
        self.findings = findings
        super().__init__("; ".join(f.message for f in findings))


def load(path: Path | str) -> Design:
    """Read and validate the design file at `path`.

    Raises:
        BadInput: missing, unreadable, not TOML, unknown keys, wrong types, out of range.
    """
    return parse(read_text(Path(path)))


def read_text(path: Path) -> str:
    """Return the text of a design file, or of the design inside any file that a build wrote.

    Raises:
        BadInput: see `load`.
    """
    try:
        with path.open("rb") as file:
            data = file.read(20 * LARGEST_FILE)
    except FileNotFoundError:
        raise _fault("file", str(path), "there is no such file", "check the path") from None
    except IsADirectoryError:
        raise _fault("file", str(path), "that is a folder", "name the .toml file in it") from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise _fault("file", str(path), reason.lower(), "check path and permissions") from None
    except ValueError as error:
        raise _fault("file", str(path), str(error), "check the path") from None
    if path.suffix.lower() in {".dxf", ".step", ".stp", ".pdf"}:
        return _carried(path, data)
    if len(data) > LARGEST_FILE:
        raise _fault("file", str(path), "larger than 1 MB", "name a design file (.toml)")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _fault(
            "file", str(path), f"not a text file (byte {error.start})", "save it as UTF-8 text"
        ) from None


def _carried(path: Path, data: bytes) -> str:
    try:
        text = extract(data)
    except ValueError as error:
        raise _fault("file", str(path), str(error), "use the design file itself") from None
    if text is None:
        raise _fault("file", str(path), "no design travels in this file", "use the design file")
    return text


def parse(text: str) -> Design:
    """Validate the text of a design file.

    Raises:
        BadInput: see `load`.
    """
    if _DEEP_KEY.search(text):
        raise _fault("file", "", "nested too deeply", "name a design file (.toml)")
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        raise _fault("file", "", "nested too deeply", "name a design file (.toml)") from None
    except ValueError as error:  # and a whole number of more digits than Python reads
        reason = str(error).partition(";")[0]
        raise _fault("file", "", f"not valid TOML: {reason}", "mend the line named") from None
    return validate(raw)


def validate(raw: Mapping[str, Any]) -> Design:
    """Turn a plain mapping, as TOML gives it, into a `Design`.

    Raises:
        BadInput: see `load`.
    """
    units = raw.get("units", "mm")
    context = {"units": units if units in ("mm", "in") else "mm"}
    try:
        design = Design.model_validate(_frozen(raw), context=context)
    except ValidationError as error:
        faults, crowds = _without_crowds(error.errors(include_url=False))
        found = [_finding(e) for e in faults[:MOST_FAULTS]]
        if len(faults) > MOST_FAULTS:
            more = f"{len(faults) - MOST_FAULTS} more faults like these"
            crowds.append(bad_input("file", "", more, "mend the first ones and check again"))
        unique = {(f.field, f.message): f for f in (*found, *crowds)}
        say = wording_of(raw)
        raise BadInput([say.finding(f) for f in unique.values()]) from None
    if units == "in":
        design._fractions = written_fractions(raw)
    return design


def _without_crowds(errors: Sequence[Any]) -> tuple[list[Any], list[Finding]]:
    """Return the faults without unknown keys by the dozen, and one finding for each such table."""
    unknown: dict[tuple[Any, ...], list[Any]] = {}
    for error in errors:
        if error["type"] == "extra_forbidden":
            unknown.setdefault(error["loc"][:-1], []).append(error["loc"][-1])
    crowded = {table: keys for table, keys in unknown.items() if len(keys) > MOST_KEYS}
    kept = [e for e in errors if e["type"] != "extra_forbidden" or e["loc"][:-1] not in crowded]
    return kept, [_crowd(list(table), keys) for table, keys in crowded.items()]


def _crowd(table: list[Any], keys: list[Any]) -> Finding:
    field = _dotted([part for part in table if not _is_branch(part)])
    some = ", ".join(_shown(str(key)) for key in keys[:3])
    message = f"{field}: {len(keys)} keys that do not exist: {some} and {len(keys) - 3} more"
    return bad_input(field, "", message, "remove them; `lamwright schema` lists all keys")


def _frozen(value: Any, path: tuple[Any, ...] = ()) -> Any:
    """Return tables and lists that cannot change, without what no field could hold or show."""
    if len(path) > DEEPEST:
        raise _fault(_dotted(list(path[:3])), "", "nested too deeply", "remove the tables within")
    if isinstance(value, bool | float):  # most values: asked first
        return value
    if isinstance(value, dict | Mapping):
        return {k: _frozen(v, (*path, k)) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return tuple(_frozen(v, (*path, k)) for k, v in enumerate(value))
    if isinstance(value, int) and not -WIDEST <= value < WIDEST:
        raise _fault(
            _dotted(list(path)),
            "",
            "more digits than a whole number may have (64 bits)",
            "use a number in the range that lamwright schema names",
        )
    if isinstance(value, str) and not value.isprintable() and any(_is_control(c) for c in value):
        kept = value.replace("\n", "").replace("\t", "") if path[-1:] == ("notes",) else value
        if any(_is_control(c) for c in kept):
            raise _fault(
                _dotted(list(path)),
                value[:60],
                "holds control characters",
                "use letters, digits and signs; only notes may have several lines",
            )
    return value


def _is_control(letter: str) -> bool:
    """Tell whether a terminal or a page would obey a letter instead of showing it."""
    return ord(letter) < 32 or 127 <= ord(letter) < 160 or letter in "\u2028\u2029"


def _fault(field: str, value: str, what: str, fix: str) -> BadInput:
    shown = f"{field} {value!r}" if value else field
    return BadInput([bad_input(field, value, f"{shown}: {what}", fix)])


def _finding(error: Any) -> Finding:
    """Turn one fault that pydantic found into a finding."""
    kind, value, ctx = error["type"], error["input"], error.get("ctx", {})
    key = kind == "extra_forbidden"  # then the last piece is the file's own word, whatever it says
    loc = list(error["loc"])
    path = [p for p in (loc[:-1] if key else loc) if not _is_branch(p)] + (loc[-1:] if key else [])
    field = _dotted(path)
    shown = repr(value) if not isinstance(value, Mapping | tuple) else "..."
    shown = shown if len(shown) <= 60 else shown[:57] + "..."
    limit: float | int | str | None = None
    if kind == "extra_forbidden":
        limit = nearest = _nearest(path)
        message = f"{field}: there is no such key"
        fix = f"did you mean '{nearest}'?" if nearest else "remove it; lamwright schema lists all"
    elif kind == "missing":
        shown, message, fix = "", f"{field}: missing", "add it; lamwright schema says what it is"
    elif kind in ("greater_than_equal", "less_than_equal"):
        limit = ctx.get("ge", ctx.get("le"))
        unit = _unit(path)
        side = "at least" if "ge" in ctx else "at most"
        # The check runs on mm; the value shown is the one in the file.
        message = f"{field} = {shown}: must be {side} {limit:g}{' ' + unit if unit else ''}"
        fix = f"use {side} {limit:g}{' ' + unit if unit else ''}"
    elif kind == "literal_error":
        limit = ctx.get("expected")
        message, fix = f"{field} = {shown}: must be {limit}", f"use {limit}"
    elif kind == "value_error":
        message = f"{field} = {shown}: {ctx.get('error', error['msg'])}"
        fix = str(ctx.get("error", error["msg"]))
    else:
        wanted = _WANTED.get(kind, f"{error['msg'][0].lower()}{error['msg'][1:]}")
        message, fix = f"{field} = {shown}: must be {wanted}", f"write {wanted}"
        limit = wanted
    return bad_input(field, shown, message, fix, limit=limit)


def _is_branch(part: Any) -> bool:
    """Tell whether a piece of a pydantic location names a union branch, not a key."""
    return isinstance(part, str) and ("[" in part or part in ("str", "float", "int"))


def _dotted(path: list[Any]) -> str:
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f"{'.' if text else ''}{_shown(part)}"
    return text or "file"


def _shown(key: str) -> str:
    """Return a key as it can be printed on a terminal, in at most 60 letters."""
    text = key if key.isprintable() else repr(key)[1:-1]
    return text if len(text) <= 60 else f"{text[:57]}..."


def _model_at(path: list[Any]) -> type[BaseModel] | None:
    model: type[BaseModel] | None = Design
    for part in path:
        if isinstance(part, int):
            continue
        info = model.model_fields.get(part) if model else None
        model = table_in(info.annotation) if info else None
    return model


def table_in(annotation: Any) -> type[BaseModel] | None:
    """Return the table that a field holds, alone, in a list or as a choice; None for a plain value."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = table_in(inner)
        if found:
            return found
    return None


def _nearest(path: list[Any]) -> str | None:
    model = _model_at(path[:-1])
    close = difflib.get_close_matches(str(path[-1]), model.model_fields if model else (), n=1)
    return close[0] if close else None


def _unit(path: list[Any]) -> str:
    model = _model_at(path[:-1])
    info = model.model_fields.get(str(path[-1])) if model and path else None
    extra = info.json_schema_extra if info else None
    unit = extra.get("unit", "") if isinstance(extra, dict) else ""
    return "" if unit in ("count", "1") else str(unit)
