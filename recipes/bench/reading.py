"""One measured figure held against the expected one, and what all of them have to say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from geometry.finding import Confidence, Finding
from recipes.refusal import warn

Verdict = Literal["open", "good", "look", "off", "known"]

WORDS: dict[Verdict, str] = {
    "open": "not measured yet",
    "good": "as expected",
    "look": "look again",
    "off": "not as designed",
    "known": "noted",
}


@dataclass(frozen=True)
class Reading:
    """One line: what the design expects, what was measured, and what that says.

    Args:
        field: dotted name in the design file, or of the figure worked out from several.
        label: in words.
        expected: in `unit`; None if the design cannot tell.
        measured: in `unit`; None if it was not typed in.
        unit: of all four numbers; "ohm", "%", "V", "s", ...
        low, high: limits between which `measured` is as expected; None is no limit on that side.
        tolerance: where the limits come from, in words.
        verdict: "open" not measured; "good"; "look" outside what good work gives; "off" far
            outside; "known" measured, and nothing to hold it against.
        meaning: what it says; for a deviation what it usually means and what to do.
        source, confidence: of the limits.
    """

    field: str
    label: str
    expected: float | None
    measured: float | None
    unit: str
    low: float | None
    high: float | None
    tolerance: str
    verdict: Verdict
    meaning: str
    source: str = "common practice"
    confidence: Confidence = "practice"

    @property
    def measured_text(self) -> str:
        """The reading as a bench meter shows it; a dash while there is none."""
        return "–" if self.measured is None else said(self.measured, self.unit)

    @property
    def limits_text(self) -> str:
        """Expectation and limits, as "expected 464 mOhm (425 to 498 mOhm)"."""
        low, high = (None if v is None else said(v, self.unit) for v in (self.low, self.high))
        if low and high:
            number, _, unit = low.partition(" ")
            limits = f"{number if high.endswith(unit) else low} to {high}"
        else:
            limits = f"at least {low}" if low else f"at most {high}" if high else ""
        if self.expected is None or self.unit == "%":
            return limits
        return f"expected {said(self.expected, self.unit)}" + (f" ({limits})" if limits else "")


def judged(
    measured: float | None, low: float | None, high: float | None, far: float = 0.0
) -> Verdict:
    """Return the verdict on a figure, in whatever unit all its values have.

    Args:
        measured: the reading, or None.
        low, high: limits, or None.
        far: more than this beyond a limit is "off"; 0 calls every miss "look".
    """
    if measured is None:
        return "open"
    if low is None and high is None:
        return "known"
    over = measured - high if high is not None else 0.0
    under = low - measured if low is not None else 0.0
    miss = max(over, under)
    if miss <= 0.0:
        return "good"
    return "off" if far and miss > far else "look"


def said(value: float, unit: str) -> str:
    """Return a figure as a bench meter shows it, with its unit."""
    if unit == "ohm" and abs(value) < 1.0:
        return f"{1000.0 * value:.4g} mOhm"
    unit = "°C" if unit == "degC" else unit
    text = f"{value:.4g}"
    if "e+" in text:
        text = f"{value:.0f}"
    return f"{text} {unit}".rstrip()


def measured_findings(readings: Iterable[Reading]) -> list[Finding]:
    """Return one finding for each reading that is not as expected; one cause is told once."""
    found: dict[str, Finding] = {}
    for r in readings:
        # The pile of 20 has rules of its own beside the sheet count.
        off = r.verdict in ("look", "off") and r.field.startswith("measured.")
        if not off or r.measured is None or r.meaning in found or r.meaning.startswith("see "):
            continue
        limit = r.high if r.high is not None and r.measured > r.high else r.low
        value = said(r.measured, r.unit)
        asked = "" if r.expected is None else f", expected {said(r.expected, r.unit)}"
        allowed = "" if limit is None else f", limit {said(limit, r.unit)}"
        found[r.meaning] = warn(
            f"measured-{r.field.split('.')[-1].replace('_', '-')}",
            r.field,
            f"{r.field} = {value}: {r.label}{asked}{allowed} ({r.tolerance})",
            value=r.measured,
            limit=limit,
            fix=r.meaning,
            source=r.source,
            confidence=r.confidence,
        )
    return list(found.values())
