"""A comparison on a terminal: answers first, then what differs, then every figure."""

from __future__ import annotations

import csv
import io
import os
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

from recipes.assess import readings
from recipes.design.units import is_number
from recipes.study.comparison import Mark, Row, Side, answers_of, fields_of, rows_of, unknowns
from recipes.study.comparison_figures import Key
from recipes.study.record import show_readings
from recipes.terminal import Voice

# A figure of a comparison as text: the same in terminal, page and CSV.

MARKS: dict[Mark, str] = {
    "better": "better",
    "worse": "worse",
    "same": "same",
    "other": "differs",
    "": "",
}


def value_text(key: Key, value: float | str | None) -> str:
    """Return a value without its unit: a share in percent, a missing one as a dash."""
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    if key.unit == "share":
        return f"{100.0 * value:.1f}"
    if key.relative:
        return f"{value:.3f}"
    if float(value).is_integer() and abs(value) < 1e9:
        return f"{value:.0f}"
    return f"{value:.4g}"


def unit_text(key: Key) -> str:
    """Return the unit beside a value."""
    return "%" if key.unit == "share" else "" if key.unit == "x" else key.unit


def percent_text(percent: float | None) -> str:
    """Return a difference as "+3.2 %"; "" where there is none."""
    if percent is None:
        return ""
    text = f"{percent:+.1f}" if abs(percent) < 100.0 else f"{percent:+.0f}"
    return "±0 %" if float(text) == 0.0 else f"{text} %"


# A comparison as plain data: rows for a spreadsheet, and a dict for JSON.

#: A spreadsheet takes a text that begins so for a formula and runs it.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def comparison_csv(sides: Sequence[Side]) -> str:
    """Return the comparison as CSV (RFC 4180): one row a figure, then one row a field.

    Columns: kind ("design", "figure", "field", "measured", "expected"), name, meaning, unit, better ("more", "less" or
    empty), one value for each design, then difference in percent and mark for all but the first.
    Numbers stand in the unit of the row, with all digits; a missing one is empty.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    letters = [s.letter for s in sides]
    writer.writerow(
        ["kind", "name", "meaning", "unit", "better", *letters]
        + [f"{letter} {what}" for letter in letters[1:] for what in ("percent", "mark")]
    )
    blank = [""] * (2 * (len(sides) - 1))
    writer.writerow(["design", "name", "", "", "", *(safe(s.name) for s in sides), *blank])
    writer.writerow(["design", "file", "", "", "", *(safe(s.file) for s in sides), *blank])
    for row in rows_of(sides):
        key = row.key
        after: list[str] = []
        for percent, mark in zip(row.percents[1:], row.marks[1:], strict=True):
            after += ["" if percent is None else f"{percent:.6g}", MARKS[mark]]
        sense = "" if key.sense == "none" else key.sense
        unit = {"x": "relative to A", "share": "1"}.get(key.unit, key.unit)
        cells = [safe(v) for v in row.values]
        writer.writerow(["figure", key.name, key.label, unit, sense, *cells, *after])
    for field in fields_of(sides):
        writer.writerow(["field", field.name, "", "", "", *(safe(v) for v in field.values), *blank])
    _bench_table(writer, sides, blank)
    return page.getvalue()


def _bench_table(writer: Any, sides: Sequence[Side], blank: list[str]) -> None:
    """Write a row "measured" and a row "expected" for every reading that one design has."""
    lines = [{b.field: b for b in readings(s.motor)} for s in sides]
    for name in dict.fromkeys(name for table in lines for name in table):
        found = [table.get(name) for table in lines]
        some = next(b for b in found if b is not None)
        if any(b is not None and b.measured is not None for b in found):
            for kind in ("measured", "expected"):
                cells = [safe(getattr(b, kind) if b else None) for b in found]
                writer.writerow([kind, name, some.label, some.unit, "", *cells, *blank])


def safe(value: float | str | None) -> str:
    """Return a cell that no spreadsheet computes."""
    if value is None:
        return ""
    if isinstance(value, int | float):
        return f"{value:.7g}"
    text = " ".join(value.split())
    return f"'{text}" if text.startswith(_FORMULA) and not is_number(text) else text


def write_text(path: Path, text: str) -> None:
    """Write a file whole or not at all.

    Raises:
        OSError: it cannot be written; an older file is as it was.
    """
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


def comparison_dict(sides: Sequence[Side]) -> dict[str, Any]:
    """Return the comparison for JSON: designs, fields, figures, answers, unknown."""
    letters = [s.letter for s in sides]
    return {
        "designs": [
            {
                "letter": s.letter,
                "name": s.name,
                "file": s.file,
                "revision": s.motor.revision,
                "findings": [f.as_dict() for f in s.assessment.findings],
            }
            for s in sides
        ],
        "fields": [
            {"name": f.name, **dict(zip(letters, f.values, strict=True))} for f in fields_of(sides)
        ],
        "figures": [
            {
                "name": r.key.name,
                "meaning": r.key.label,
                "unit": {"x": "relative", "share": "1"}.get(r.key.unit, r.key.unit),
                "better": r.key.sense,
                "values": dict(zip(letters, r.values, strict=True)),
                "percent": dict(zip(letters[1:], r.percents[1:], strict=True)),
                "marks": dict(zip(letters[1:], r.marks[1:], strict=True)),
            }
            for r in rows_of(sides)
        ],
        "answers": [
            {"need": a.need.words, "figure": a.need.key, "winner": a.winner, "answer": a.words}
            for a in answers_of(sides)
        ],
        "measured": {
            s.letter: [asdict(b) for b in readings(s.motor) if b.measured is not None]
            for s in sides
        },
        "unknown": list(unknowns(sides)),
    }


_STYLES = {"better": "green", "worse": "yellow"}


def show_comparison(sides: Sequence[Side], voice: Voice) -> None:
    """Print the comparison; a quiet voice says only the answers, a verbose one every field too."""
    for side in sides:
        voice.say(f"{side.letter}  {side.name}  ({side.file})", "bold")
        for stop in side.stops:
            voice.say(f"   STOP  {stop.message}", "bold red")
    voice.say("")
    answers = answers_of(sides)
    wide = max((len(a.need.words) for a in answers), default=0)
    for answer in answers:
        voice.say(f"{answer.need.words:{wide}}  {answer.words}")
    if voice.talk == "quiet":
        return
    _fields(sides, voice)
    _rows(sides, voice)
    _bench(sides, voice)
    voice.say("")
    voice.say("What the model does not know", "bold")
    for line in unknowns(sides):
        voice.say(f"- {line}")


def _fields(sides: Sequence[Side], voice: Voice) -> None:
    fields, most = fields_of(sides), 20
    shown = fields if voice.talk == "verbose" else fields[:most]
    voice.say("")
    if not fields:
        voice.say("the design files say the same")
        return
    voice.say("What differs in the design files", "bold")
    wide = max(len(f.name) for f in shown)
    for f in shown:
        voice.say(
            f"{f.name:{wide}}  " + "  ->  ".join("left out" if v is None else v for v in f.values)
        )
    if len(fields) > len(shown):
        voice.say(f"and {len(fields) - len(shown)} more (--verbose shows them)", "dim")


def _rows(sides: Sequence[Side], voice: Voice) -> None:
    rows = rows_of(sides)
    wide = max((len(r.key.label) for r in rows), default=0)
    heads = "".join(f"{s.letter:>12}" + ("" if k == 0 else " " * 17) for k, s in enumerate(sides))
    group = ""
    for row in rows:
        if row.key.group != group:
            group = row.key.group
            voice.say("")
            voice.say(f"{group:{wide}}{heads}".rstrip(), "bold")
        voice.say(_line(row, wide), _STYLES.get(row.marks[-1], "") if len(sides) == 2 else "")


def _bench(sides: Sequence[Side], voice: Voice) -> None:
    for side in sides:
        measured = [b for b in readings(side.motor) if b.measured is not None]
        if measured:
            voice.say("")
            voice.say(f"{side.letter}  measured beside expected", "bold")
            show_readings(measured, voice)


def _line(row: Row, wide: int) -> str:
    cells = f"{row.key.label:{wide}}"
    for k, value in enumerate(row.values):
        cells += f"{value_text(row.key, value):>12}"
        if k:
            cells += f"{percent_text(row.percents[k]):>9} {MARKS[row.marks[k]]:7}"
    return f"{cells} {unit_text(row.key)}".rstrip()
