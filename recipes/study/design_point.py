"""One combination of a range: judged, pure and small to send; and which of many is best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from recipes.assess import assess
from recipes.design.load import BadInput, validate
from recipes.kept_field import ranking_figures
from recipes.motor import solve
from recipes.refusal import bad_input, known_or_none
from recipes.study.comparison_figures import (
    BY_NAME,
    KEYS,
    figure_or_none,
    figures_of,
    number,
)
from recipes.study.vary import Place, Trial, Value, put

Verdict = Literal["fine", "stop", "refused", "failed"]

#: What says speed constant and torque: by order of the elements, 0 for none; and where there is none.
By = Literal["circuit", "first order", "second order", "no field"]
ORDERS: tuple[By, ...] = ("circuit", "first order", "second order")

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
        field: what says speed constant and torque.
    """

    verdict: Verdict
    why: str
    figures: dict[str, float]
    field: By = "circuit"


def try_one(
    raw: Mapping[str, Any],
    places: Sequence[Place],
    values: Sequence[Value],
    names: Sequence[str],
    order: int = 0,
) -> Outcome:
    """Judge the design `raw` with `values` at `places`; return the figures called `names`.

    Relative figures (see `recipes.study.comparison_figures`) come in units of their own.

    Args:
        raw, places, values, names: see above.
        order: of the elements of the field, 1 or 2; 0 solves none. What is varied and cannot be
            made has none solved.
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
        motor = solve(design)
        seen = assess(motor, whole=False)
        by: By = "circuit"
        if order and not (places and any(f.level == "stop" for f in seen.findings)):
            by = "no field"
            if answer := known_or_none(lambda: ranking_figures(motor, order)):
                by, motor = ORDERS[order], solve(design, answer)
                seen = assess(motor, whole=False)
        figures = figures_of(seen.results, figure_or_none(motor))
    except Exception as error:  # one design must not end a run of thousands
        return Outcome("failed", f"{type(error).__name__}: {error}", {})
    numbers = {name: v for name in names if (v := number(figures, name)) is not None}
    why = next((f"{f.code}: {f.message}" for f in seen.findings if f.level == "stop"), "")
    return Outcome("stop" if why else "fine", why, numbers, by)


def relative_to(outcome: Outcome, base: Mapping[str, float]) -> Outcome:
    """Return the outcome with its relative figures as ratios to those of the unvaried design."""
    figures = {
        name: value / base[name]
        if name in base and name in BY_NAME and BY_NAME[name].relative
        else value
        for name, value in outcome.figures.items()
    }
    return replace(outcome, figures=figures)


# Which of many designs is best: by one figure, and the front on which two goals trade off.

Done = tuple[Trial, Outcome]
Direction = Literal["more", "less"]


@dataclass(frozen=True)
class Goal:
    """A figure and which way it is wanted."""

    name: str
    sense: Direction

    @property
    def label(self) -> str:
        """The figure in words."""
        return BY_NAME[self.name].label if self.name in BY_NAME else self.name

    @property
    def unit(self) -> str:
        """Unit of the figure; "x" is relative to the unvaried design."""
        return BY_NAME[self.name].unit if self.name in BY_NAME else ""

    def cost(self, outcome: Outcome) -> float:
        """Return the figure so that less is better; infinite where it is missing."""
        value = outcome.figures.get(self.name)
        if value is None:
            return float("inf")
        return -value if self.sense == "more" else value


def goal_of(text: str, option: str) -> Goal:
    """Return the goal of "FIGURE", "FIGURE:more" or "FIGURE:less".

    Raises:
        BadInput: a figure whose better side nobody can know, or another word than those two.
    """
    name, colon, asked = text.strip().partition(":")
    sense = asked if colon else BY_NAME[name].sense if name in BY_NAME else "none"
    for known in get_args(Direction):
        if name and sense == known:
            return Goal(name, known)
    what = f"{asked!r} is neither more nor less" if colon else "which way is better?"
    raise BadInput(
        [bad_input(option, text, f"{option} {text}: {what}", f"write {name}:more or {name}:less")]
    )


def ranked(done: Sequence[Done], goal: Goal) -> list[Done]:
    """Return the fine designs that have the figure, best first; equals in the order of the grid."""
    known = [d for d in done if d[1].verdict == "fine" and goal.name in d[1].figures]
    return sorted(known, key=lambda d: (goal.cost(d[1]), d[0].number))


def front(done: Sequence[Done], first: Goal, second: Goal) -> list[Done]:
    """Return the designs that nobody beats in both goals, along the first goal, best first.

    Of designs with equal figures the first in the grid stands for all.
    """
    known = [d for d in ranked(done, first) if second.name in d[1].figures]
    known.sort(key=lambda d: (first.cost(d[1]), second.cost(d[1]), d[0].number))
    best, found = float("inf"), []
    for item in known:
        if second.cost(item[1]) < best:
            best = second.cost(item[1])
            found.append(item)
    return found
