"""A comparison as plain data: rows for a spreadsheet, and a dict for JSON."""

from __future__ import annotations

import csv
import io
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from recipes.compare.needs import answers_of, unknowns
from recipes.compare.side import fields_of, rows_of
from recipes.compare.words import MARKS
from recipes.measured.beside import beside
from recipes.units import is_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from recipes.compare.side import Side

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
    _bench(writer, sides, blank)
    return page.getvalue()


def _bench(writer: Any, sides: Sequence[Side], blank: list[str]) -> None:
    """Write a row "measured" and a row "expected" for every reading that one design has."""
    lines = [{b.field: b for b in beside(s.job)} for s in sides]
    for name in dict.fromkeys(name for table in lines for name in table):
        found = [table.get(name) for table in lines]
        some = next(b for b in found if b is not None)
        if any(b is not None and b.measured is not None for b in found):
            head = [name, some.label, some.unit, ""]
            writer.writerow(
                ["measured", *head, *(safe(b.measured if b else None) for b in found), *blank]
            )
            writer.writerow(
                ["expected", *head, *(safe(b.expected if b else None) for b in found), *blank]
            )


def safe(value: float | str | None) -> str:
    """Return a cell that no spreadsheet computes."""
    if value is None:
        return ""
    if isinstance(value, int | float):
        return f"{value:.7g}"
    text = " ".join(value.split())
    return f"'{text}" if text.startswith(_FORMULA) and not is_number(text) else text


def comparison_dict(sides: Sequence[Side]) -> dict[str, Any]:
    """Return the comparison for JSON: designs, fields, figures, answers, unknown."""
    letters = [s.letter for s in sides]
    return {
        "designs": [
            {
                "letter": s.letter,
                "name": s.name,
                "file": s.file,
                "revision": s.job.revision,
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
            s.letter: [asdict(b) for b in beside(s.job) if b.measured is not None] for s in sides
        },
        "unknown": list(unknowns(sides)),
    }
