"""A comparison on a terminal: answers first, then what differs, then every figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.compare.needs import answers_of, unknowns
from recipes.compare.side import fields_of, rows_of
from recipes.compare.words import MARKS, percent_text, unit_text, value_text
from recipes.measured.beside import beside
from recipes.measured.show import show_beside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from recipes.compare.side import Row, Side
    from recipes.report import Voice

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
        voice.say(f"{f.name:{wide}}  " + "  ->  ".join("left out" if v is None else v for v in f.values))  # fmt: skip
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
        measured = [b for b in beside(side.job) if b.measured is not None]
        if measured:
            voice.say("")
            voice.say(f"{side.letter}  measured beside expected", "bold")
            show_beside(measured, voice)


def _line(row: Row, wide: int) -> str:
    cells = f"{row.key.label:{wide}}"
    for k, value in enumerate(row.values):
        cells += f"{value_text(row.key, value):>12}"
        if k:
            cells += f"{percent_text(row.percents[k]):>9} {MARKS[row.marks[k]]:7}"
    return f"{cells} {unit_text(row.key)}".rstrip()
