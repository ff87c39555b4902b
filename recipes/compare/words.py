"""A figure of a comparison as text: the same in terminal, page and CSV."""

from __future__ import annotations

from recipes.compare.keys import Key
from recipes.compare.side import Mark

MARKS: dict[Mark, str] = {
    "better": "better", "worse": "worse", "same": "same", "other": "differs", "": "",
}  # fmt: skip


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
