"""What `check` and `build` show on a terminal. Colour only where a terminal can show it."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, TextIO

from geometry.finding import Finding

if TYPE_CHECKING:
    from rich.console import Console

_WORDS = {"stop": "STOP", "warn": "look", "note": "note"}
_STYLES = {"stop": "bold red", "warn": "yellow", "note": "dim"}

#: Results that answer the first questions, with the words for them; all others are in the JSON.
HEADLINES: tuple[tuple[str, str, str], ...] = (
    ("turns_per_coil", "turns asked for", ""),
    ("turns_that_fit", "turns that fit by hand", ""),
    ("turns_possible", "turns that can be packed", ""),
    ("wire_fill_lined", "lined slot taken by wire (sum of D²)", "share"),
    ("copper_fill", "bare slot taken by copper", "share"),
    ("liner_width_mm", "liner, across the slot", "mm"),
    ("liner_length_mm", "liner, along the axle", "mm"),
    ("sheets_to_order", "sheets to order", ""),
    ("stack_length_mm", "stack height", "mm"),
    ("stack_mass_kg", "stack mass", "kg"),
    ("lamination_cut_length_mm", "cut length of one sheet", "mm"),
)


def console(stream: TextIO) -> Console:
    """Return a console on `stream`; plain text unless it is a terminal and NO_COLOR is unset."""
    from rich.console import Console

    plain = not stream.isatty() or bool(os.environ.get("NO_COLOR"))
    width = None if stream.isatty() else 100
    return Console(file=stream, no_color=plain, highlight=False, width=width, soft_wrap=True)


def show_findings(findings: Iterable[Finding], out: Console) -> None:
    """Print one finding a paragraph: level and sentence, then what to do and who says so."""
    for f in findings:
        out.print(
            f"{_WORDS[f.level]:>5}  ", f.message, style=_STYLES[f.level], sep="", markup=False
        )
        if f.fix:
            out.print("       fix: ", f.fix, sep="", markup=False)
        if f.source:
            out.print(f"       source: {f.source} ({f.confidence})", style="dim", markup=False)


def show_results(results: dict[str, float | int | str], out: Console) -> None:
    """Print the figures that answer the first questions."""
    from rich.table import Table

    table = Table(box=None, show_header=False, pad_edge=False)
    table.add_column(justify="left")
    table.add_column(justify="right")
    table.add_column(justify="left")
    for key, words, unit in HEADLINES:
        if key in results:
            value = results[key]
            shown = (
                f"{value:.3g}" if unit == "share" and isinstance(value, float) else _plain(value)
            )
            table.add_row(words, shown, "" if unit == "share" else unit)
    out.print(table)


def verdict(results: dict[str, float | int | str], findings: Iterable[Finding]) -> str:
    """Answer in one sentence whether the wire fits."""
    stops = [f for f in findings if f.level == "stop"]
    asked, fits = results.get("turns_per_coil"), results.get("turns_that_fit")
    if asked is None or fits is None:
        return "Will the wire fit? Not known: the design cannot be made as it stands."
    fits = min(int(fits), int(results.get("turns_possible", fits)))
    if int(asked) > fits:
        return f"Will the wire fit? No: {asked} turns asked for, {fits} fit."
    blocked = [f for f in stops if f.field.startswith(("winding.", "lamination.slot_opening"))]
    if blocked:
        return f"Will the wire fit? No: {blocked[0].message}"
    return f"Will the wire fit? Yes: {asked} turns asked for, {fits} fit."


def _plain(value: float | int | str) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def stderr_console() -> Console:
    """Return the console for errors and progress."""
    return console(sys.stderr)
