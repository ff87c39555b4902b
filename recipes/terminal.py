"""What `check` and `build` show on a terminal. Colour only where a terminal can show it."""

from __future__ import annotations

import os
from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING, Literal, TextIO

from geometry.finding import Finding

if TYPE_CHECKING:
    from rich.console import Console

#: How much is said: only what must be mended or looked at; the usual; every figure and file.
Talk = Literal["quiet", "normal", "verbose"]

_WORDS = {"stop": "STOP", "warn": "look", "note": "note"}
_STYLES = {"stop": "bold red", "warn": "yellow", "note": "dim"}

#: Results that answer the first questions, with the words for them; all others are in the JSON.
HEADLINES: tuple[tuple[str, str, str], ...] = (
    ("turns_per_coil", "turns asked for", ""),
    ("turns_that_fit", "turns that fit by hand", ""),
    ("winding_window_decided_by", "winding window decided by", ""),
    ("wire_fill_lined", "lined slot taken by wire (sum of D²)", "share"),
    ("copper_fill", "bare slot taken by copper", "share"),
    ("liner_width_mm", "liner, across the slot", "mm"),
    ("liner_length_mm", "liner, along the axle", "mm"),
    ("sheets_to_order", "sheets to order", ""),
    ("stack_length_mm", "stack height", "mm"),
    ("stack_mass_kg", "stack mass", "kg"),
    ("lamination_cut_length_mm", "cut length of one sheet", "mm"),
)


class Voice:
    """Says lines on a stream: styled by rich on a terminal, plain everywhere else."""

    def __init__(self, stream: TextIO, talk: Talk = "normal") -> None:
        """Take the stream; NO_COLOR in the environment keeps a terminal plain too."""
        self.stream = stream
        self.talk = talk
        self.styled = stream.isatty() and not os.environ.get("NO_COLOR")

    @cached_property
    def console(self) -> Console:
        """The rich console of a terminal, loaded only there."""
        from rich.console import Console

        return Console(file=self.stream, highlight=False, soft_wrap=True)

    def say(self, text: str, style: str = "") -> None:
        """Print one line."""
        if self.styled:
            self.console.print(text, style=style or None, markup=False)
        else:
            print(text, file=self.stream)


def show_findings(findings: Iterable[Finding], voice: Voice) -> None:
    """Print one finding a paragraph: level and sentence, then what to do and who says so."""
    for f in findings:
        if voice.talk == "quiet" and f.level == "note":
            continue
        voice.say(f"{_WORDS[f.level]:>5}  {f.message}", _STYLES[f.level])
        if f.fix:
            voice.say(f"       fix: {f.fix}")
        if f.source:
            voice.say(f"       source: {f.source} ({f.confidence})", "dim")


def show_results(
    results: dict[str, float | int | str], voice: Voice, inch: float | None = None
) -> None:
    """Print the figures that answer the first questions, in columns; to a verbose voice all.

    Args:
        results: of a design.
        voice: says them.
        inch: of how many mm, where lengths are told in inches first.
    """
    if voice.talk == "quiet":
        return
    if voice.talk == "verbose":
        wide = max(map(len, results), default=0)
        for key, value in results.items():
            voice.say(f"{key:{wide}}  {_shown(value, '')[0]}")
        return
    rows = [(words, _shown(results[key], unit)) for key, words, unit in HEADLINES if key in results]
    if inch:
        lengths = {words: results.get(key) for key, words, unit in HEADLINES if unit == "mm"}
        rows = [(w, _inches(lengths.get(w), inch, *shown)) for w, shown in rows]
    if not rows:
        return
    wide = max(len(words) for words, _ in rows)
    figures = max(len(figure) for _, (figure, _) in rows)
    for words, (figure, unit) in rows:
        voice.say(f"{words:{wide}}  {figure:>{figures}}  {unit}".rstrip())


def _shown(value: float | int | str, unit: str) -> tuple[str, str]:
    if unit == "share":
        return f"{100 * float(value):.0f}", "%"
    return (f"{value:.4g}" if isinstance(value, float) else str(value)), unit


def _inches(mm: float | int | str | None, inch: float, figure: str, unit: str) -> tuple[str, str]:
    """Return figure and unit, of a length with inches first."""
    if mm is None:
        return figure, unit
    return f"{float(mm) / inch:.4g}", f"in ({figure} {unit})"


def verdict(results: dict[str, float | int | str], findings: Iterable[Finding]) -> str:
    """Answer in one sentence whether the wire fits."""
    stops = [f for f in findings if f.level == "stop"]
    asked, fits = results.get("turns_per_coil"), results.get("turns_that_fit")
    if asked is None or fits is None:
        return "Will the wire fit? Not known: the design cannot be made as it stands."
    if int(asked) > int(fits):
        return f"Will the wire fit? No: {asked} turns asked for, {fits} fit."
    blocked = [f for f in stops if f.field.startswith(("winding.", "lamination.slot_opening"))]
    if blocked:
        return f"Will the wire fit? No: {blocked[0].message}"
    return f"Will the wire fit? Yes: {asked} turns asked for, {fits} fit."
