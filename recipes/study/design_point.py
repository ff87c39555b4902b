"""Judge one combination: the work that a range hands to its engine, pure and small to send."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from recipes.assess import assess
from recipes.design.load import BadInput, validate
from recipes.job import Job
from recipes.study.comparison_figures import (
    BY_NAME,
    KEYS,
    Figures,
    figure_or_none,
    figures_of,
    number,
)
from recipes.study.vary import Place, Value, put

Verdict = Literal["fine", "stop", "refused", "failed"]

#: Figures of every design: those of a comparison that need no bench.
COLUMNS: tuple[str, ...] = tuple(k.name for k in KEYS if k.group != "As measured")


@dataclass(frozen=True)
class Outcome:
    """What became of one combination.

    Args:
        verdict: "fine"; "stop" a rule says no; "refused" the values are not allowed; "failed" the
            program itself did, which is worth a report.
        why: code and message of the first reason; "" if fine.
        figures: numbers by name; missing where there are none.
    """

    verdict: Verdict
    why: str
    figures: dict[str, float]


def try_one(
    raw: Mapping[str, Any], places: Sequence[Place], values: Sequence[Value], names: Sequence[str]
) -> Outcome:
    """Judge the design `raw` with `values` at `places`; return the figures called `names`.

    Relative figures (see `recipes.study.comparison_figures`) come in units of their own.
    """
    try:
        for place, value in zip(places, values, strict=True):
            raw = put(raw, place, value)
        design = validate(raw)
    except BadInput as bad:
        return Outcome("refused", "; ".join(f.message for f in bad.findings), {})
    except ValueError as error:
        return Outcome("refused", str(error), {})

    try:
        job = Job(design)
        seen = assess(job, whole=False)
        figures = figures_of(seen.results, figure_or_none(job))
    except Exception as error:  # one design must not end a run of thousands
        return Outcome("failed", f"{type(error).__name__}: {error}", {})
    stops = [f for f in seen.findings if f.level == "stop"]
    return Outcome(
        "stop" if stops else "fine",
        f"{stops[0].code}: {stops[0].message}" if stops else "",
        _numbers(figures, names),
    )


def _numbers(figures: Figures, names: Sequence[str]) -> dict[str, float]:
    found = {name: number(figures, name) for name in names}
    return {name: value for name, value in found.items() if value is not None}


def relative_to(outcome: Outcome, base: Mapping[str, float]) -> Outcome:
    """Return the outcome with its relative figures as ratios to those of the unvaried design."""
    figures = {
        name: value / base[name] if name in base and _is_relative(name) else value
        for name, value in outcome.figures.items()
    }
    return Outcome(outcome.verdict, outcome.why, figures)


def _is_relative(name: str) -> bool:
    return name in BY_NAME and BY_NAME[name].relative
