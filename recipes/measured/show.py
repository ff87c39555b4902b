"""Measured beside expected, in words on a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.measured.row import WORDS, Beside, Verdict, said

if TYPE_CHECKING:
    from collections.abc import Sequence

    from recipes.report import Voice

_STYLES: dict[Verdict, str] = {"good": "green", "look": "yellow", "off": "bold red"}


def show_beside(rows: Sequence[Beside], voice: Voice) -> None:
    """Print what was measured, one line each, with what it means below.

    A quiet voice says what deviates, a verbose one also what is not measured yet.
    """
    whole, deviant = voice.talk == "verbose", voice.talk == "quiet"
    shown = [r for r in rows if whole or r.verdict != "open"]
    if deviant:
        shown = [r for r in shown if r.verdict in ("look", "off")]
    wide = max((len(r.label) for r in shown), default=0)
    told = ""
    for r in shown:
        voice.say(
            f"{r.label:{wide}}  {r.measured_text:>12}  {limits_text(r)}  {WORDS[r.verdict]}".rstrip(),
            _STYLES.get(r.verdict, ""),
        )
        if r.meaning and r.meaning != told and r.verdict in ("look", "off", "known"):
            told = r.meaning
            voice.say(f"    {r.meaning}")
            voice.say(f"    source: {r.source} ({r.confidence})", "dim")
    left = [r for r in rows if r.verdict == "open"]
    if left and voice.talk == "normal":
        voice.say(f"not measured yet: {', '.join(r.field.split('.')[-1] for r in left)}", "dim")


def limits_text(r: Beside) -> str:
    """Return expectation and limits, as "expected 464 mOhm (425 to 498 mOhm)"."""
    low, high = (None if v is None else said(v, r.unit) for v in (r.low, r.high))
    if low and high:
        number, _, unit = low.partition(" ")
        limits = f"{number if high.endswith(unit) else low} to {high}"
    else:
        limits = f"at least {low}" if low else f"at most {high}" if high else ""
    if r.expected is None or r.unit == "%":
        return limits
    return f"expected {said(r.expected, r.unit)}" + (f" ({limits})" if limits else "")
