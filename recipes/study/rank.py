"""Which of many designs is best: by one figure, and the front on which two goals trade off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from recipes.design.load import BadInput
from recipes.refusal import bad_input
from recipes.study.comparison_figures import BY_NAME
from recipes.study.design_point import Outcome
from recipes.study.vary import Trial

Done = tuple["Trial", "Outcome"]

_SENSES: tuple[Literal["more", "less"], ...] = ("more", "less")


@dataclass(frozen=True)
class Goal:
    """A figure and which way it is wanted."""

    name: str
    sense: Literal["more", "less"]

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
    for known in _SENSES:
        if sense == known and name:
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
