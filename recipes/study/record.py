"""`record`: write what was measured into the design file, and say at once what it means."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pydantic.fields import FieldInfo

from geometry.finding import Finding
from recipes.assess import readings
from recipes.bench.reading import WORDS, Reading, Verdict
from recipes.design.bench import Bench
from recipes.design.edit import Entry, edited, replace_text
from recipes.design.fields import Table
from recipes.design.load import BadInput, parse, read_text
from recipes.design.shop import Measured, Print
from recipes.motor import Motor, solve
from recipes.refusal import bad_input
from recipes.terminal import Voice

# What a builder types, `name=value`, as a place in the design file and a value to put there.
#
# Known are the readings of three tables: `[measured]`, `[shop.measured]` (coupon and pile of sheets)
# and `[print]` (rulers). A name may be bare or dotted; no name occurs twice.

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_PAIR = re.compile(r"(?<=_)(?:[uvw]_[uvw])$")
_IN_ORDER = {frozenset(pair.split("_")): pair for pair in ("u_v", "v_w", "w_u")}


@cache
def known_fields() -> dict[tuple[str, ...], FieldInfo]:
    """Return every reading that can be written down, in the order of the design file."""
    tables: dict[tuple[str, ...], type[Table]] = {
        ("measured",): Bench,
        ("shop", "measured"): Measured,
        ("print",): Print,
    }
    return {
        (*place, name): info
        for place, table in tables.items()
        for name, info in table.model_fields.items()
        if place != ("print",) or name.startswith("measured_")
    }


def entries_of(words: Sequence[str]) -> tuple[tuple[Entry, ...], list[Finding]]:
    """Return what `words` say, and a finding for each that is no `name=value`, unknown or twice."""
    found: dict[tuple[str, ...], Entry] = {}
    faults: list[Finding] = []
    for word in words:
        name, equals, text = (part.strip() for part in word.partition("="))
        place = _place(name)
        if not equals:
            faults.append(_fault(word, "no value", f"write it like {name or 'lead_u_v'}=0.47"))
        elif place is None:
            faults.append(_fault(name, "there is no such reading", _advice(name)))
        elif place in found:
            faults.append(_fault(name, "comes twice", "give it once"))
        else:
            found[place] = _entry(place, text)
    return tuple(found.values()), faults


def _place(name: str) -> tuple[str, ...] | None:
    pair = _PAIR.search(name)
    if pair and len(set(pair[0])) == 3:  # between U and W is between W and U
        name = name[: pair.start()] + _IN_ORDER[frozenset(pair[0].split("_"))]
    asked = tuple(name.split("."))
    return next((p for p in known_fields() if asked in (p, p[-1:])), None)


def _advice(name: str) -> str:
    names = [p[-1] for p in known_fields()]
    dotted = {".".join(p): p[-1] for p in known_fields()}
    last = name.split(".")[-1]
    close = difflib.get_close_matches(last, names, n=1) or [
        dotted[d] for d in difflib.get_close_matches(name, dotted, n=1)
    ]
    return f"did you mean '{close[0]}'?" if close else f"known are {', '.join(names)}"


def _entry(place: tuple[str, ...], text: str) -> Entry:
    extra = known_fields()[place].json_schema_extra
    unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
    return Entry(place, text, unit, bool(unit) and _NUMBER.fullmatch(text) is not None)


def _fault(what: str, why: str, fix: str) -> Finding:
    return bad_input(what, what, f"{what}: {why}", fix)


#: The codec mark that some editors put before UTF-8 text.
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Recorded:
    """What the file says now.

    Args:
        job: its design.
        rows: readings held against what was expected.
        written: dotted names of what was written or struck out.
        new_parts: a reading among them changes parts, so that they have another revision.
    """

    motor: Motor
    rows: tuple[Reading, ...]
    written: tuple[str, ...]
    new_parts: bool


def record(path: Path, words: Sequence[str]) -> Recorded:
    """Write `words` ("name=value"; an empty value strikes out) into the file at `path`.

    Without words nothing is written.

    Raises:
        BadInput: the file or a word is wrong, or the new value is; nothing is written.
        OSError: the file cannot be written; it is as it was.
    """
    entries, faults = entries_of(words)
    text = read_text(path)
    if path.suffix.lower() in {".dxf", ".step", ".stp", ".pdf"}:
        raise BadInput(
            [
                bad_input(
                    "file",
                    str(path),
                    f"file {str(path)!r}: the design inside a pack's file is a copy",
                    "name the design file (.toml), or make one: lamwright new FILE --like "
                    + str(path),
                )
            ]
        )
    if not words:
        motor = solve(parse(text))
        return Recorded(motor, readings(motor), (), False)
    before = path.read_bytes()
    mark = _MARK if before.startswith(_MARK) else b""
    earlier = solve(parse(text))  # what was wrong before is said without the new values
    try:
        changed, design = edited(text, entries)
    except BadInput as bad:
        raise BadInput([*faults, *bad.findings]) from None
    if faults:
        raise BadInput(faults)
    if changed != text:
        replace_text(path, before, mark + changed.encode())
    motor = solve(design)
    names = tuple(entry.field for entry in entries)
    return Recorded(motor, readings(motor), names, motor.revision != earlier.revision)


_STYLES: dict[Verdict, str] = {"good": "green", "look": "yellow", "off": "bold red"}


def show_readings(rows: Sequence[Reading], voice: Voice) -> None:
    """Print what was measured, one line each, with what it means below.

    A quiet voice says what deviates, a verbose one also what is not measured yet.
    """
    shown = [r for r in rows if voice.talk == "verbose" or r.verdict != "open"]
    if voice.talk == "quiet":
        shown = [r for r in shown if r.verdict in ("look", "off")]
    wide = max((len(r.label) for r in shown), default=0)
    told = ""
    for r in shown:
        voice.say(
            f"{r.label:{wide}}  {r.measured_text:>12}  {r.limits_text}  {WORDS[r.verdict]}".rstrip(),
            _STYLES.get(r.verdict, ""),
        )
        if r.meaning and r.meaning != told and r.verdict in ("look", "off", "known"):
            told = r.meaning
            voice.say(f"    {r.meaning}")
            voice.say(f"    source: {r.source} ({r.confidence})", "dim")
    left = [r.field.split(".")[-1] for r in rows if r.verdict == "open"]
    if left and voice.talk == "normal":
        voice.say(f"not measured yet: {', '.join(left)}", "dim")
