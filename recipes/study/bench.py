"""What the bench showed, as findings and figures; nothing while nothing is measured."""

from __future__ import annotations

import math
from contextlib import suppress
from typing import TYPE_CHECKING

from geometry.finding import Finding
from recipes.cli.terminal import Voice
from recipes.job import Job
from recipes.refusal import Refused, warn
from recipes.study.bench_leads import lead_rows, measured_leads
from recipes.study.bench_readings import height_rows, insulation_row, warming_of, warming_rows
from recipes.study.bench_row import WORDS, Beside, Verdict, said
from recipes.study.bench_speed import measured_speed_constant, speed_rows, torque_constant

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence


# Measured beside expected, in words on a terminal.

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


# Everything that the bench may show, beside what the design expects, in the order of the bench.

__all__ = ["Beside", "beside"]

_GROUPS: tuple[Callable[[Job], tuple[Beside, ...]], ...] = (
    height_rows,
    lead_rows,
    lambda job: (insulation_row(job),),
    speed_rows,
    warming_rows,
)


def beside(job: Job) -> tuple[Beside, ...]:
    """Return every line, those not measured yet among them (verdict "open").

    Lines that a refused design cannot reach are left out; `check` says why.
    """
    rows: list[Beside] = []
    for group in _GROUPS:
        with suppress(Refused):
            rows += group(job)
    return tuple(rows)


def any_measured(job: Job) -> bool:
    """Tell whether `[measured]` holds a reading."""
    return bool(job.design.measured.model_fields_set - {"meter_accuracy", "notes"})


def measured_findings(job: Job) -> list[Finding]:
    """Return one finding for each reading that is not as expected."""
    if not any_measured(job):
        return []

    found: list[Finding] = []
    said_already: set[str] = set()
    for row in beside(job):
        # The pile of 20 has rules of its own beside the sheet count.
        if row.verdict not in ("look", "off") or not row.field.startswith("measured."):
            continue
        if row.meaning in said_already or row.meaning.startswith("see "):
            continue  # one cause, one finding
        said_already.add(row.meaning)
        assert row.measured is not None
        limit = row.high if row.high is not None and row.measured > row.high else row.low
        value = said(row.measured, row.unit)
        asked = "" if row.expected is None else f", expected {said(row.expected, row.unit)}"
        allowed = "" if limit is None else f", limit {said(limit, row.unit)}"
        found.append(
            warn(
                f"measured-{row.field.split('.')[-1].replace('_', '-')}",
                row.field,
                f"{row.field} = {value}: {row.label}{asked}{allowed} ({row.tolerance})",
                value=row.measured,
                limit=limit,
                fix=row.meaning,
                source=row.source,
                confidence=row.confidence,
            )
        )
    return found


def measured_results(job: Job) -> dict[str, float | int | str]:
    """Return what follows from the readings for `results.json`."""
    if not any_measured(job):
        return {}

    results: dict[str, float | int | str] = {}
    leads, constant = measured_leads(job), measured_speed_constant(job)
    if leads is not None:
        results["lead_resistance_20C_measured_ohm"] = leads.mean_20C
        results["lead_spread_measured"] = leads.spread
    if constant is not None:
        torque = torque_constant(constant)
        results["speed_constant_measured_per_min_V"] = constant
        results["torque_constant_measured_Nm_per_A"] = torque
        if leads is not None:
            results["torque_per_root_watt_measured"] = torque / math.sqrt(leads.mean_20C)
    try:
        run = warming_of(job)
    except Refused:
        run = None
    if run is not None:
        results["heating_rate_measured_K_per_s"] = run.rate_K_per_s
    return results
