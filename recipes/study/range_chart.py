"""The trade-off of two goals as a drawing: every design a dot, the front numbered and joined.

second |    .  .            o---o   front: nothing beats these in both
goal   |  .   .  .      o---'   numbers stand in the list beside it
       |    x base   o
       +------------------------- first goal
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Anchor, Drawing, Fill, Item, Text, box, line, polyline
from geometry.outline import Outline
from geometry.point import Point
from recipes.study.design_point import Outcome
from recipes.study.rank import Done, Goal
from recipes.study.vary import Axis, value_text

WIDTH, HEIGHT = 240.0, 150.0
_LEFT, _RIGHT, _BOTTOM, _TOP = 26.0, 156.0, 22.0, 132.0
_SMALL, _LARGE = 2.5, 3.5
_LISTED = 24
"""Lines that the list has room for."""


@dataclass(frozen=True)
class Scale:
    """One axis: lowest and highest value, and where they stand on the sheet in mm."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return the place of a value."""
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    def ticks(self) -> tuple[float, ...]:
        """Return round values along it: steps of 1, 2 or 5 times a power of ten."""
        raw = (self.high - self.low) / 7.0
        power = 10.0 ** math.floor(math.log10(raw))
        step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= raw * (1.0 - 1e-9))
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(k * step for k in range(first, last + 1))


def trade_off(
    axes: Sequence[Axis],
    done: Sequence[Done],
    trade: Sequence[Done],
    goals: Sequence[Goal],
    base: Outcome,
    title: str,
) -> Drawing | None:
    """Return the drawing; None if no fine design has both figures.

    Args:
        axes: what was varied; named in the list.
        done: every trial; those that are not fine are not drawn.
        trade: the front, numbered in this order.
        goals: first across, second up.
        base: the unvaried design, marked by a cross.
        title: heading.
    """
    first, second = goals[0], goals[1]
    spots = [_spot(o, goals) for _, o in done if o.verdict == "fine"]
    known = [s for s in spots if s is not None]
    if not known:
        return None
    own = _spot(base, goals)
    every = [*known, *([own] if own else [])]
    across = _scale([x for x, _ in every], _LEFT, _RIGHT)
    up = _scale([y for _, y in every], _BOTTOM, _TOP)
    items: list[Item] = [Text(_LEFT, HEIGHT - 8.0, _LARGE, title)]
    items += _frame(across, up, first, second)
    dots = dict.fromkeys((round(across.at(x), 2), round(up.at(y), 2)) for x, y in known)
    items += [Fill((Outline.circle(Point(x, y), 0.55),), "black") for x, y in dots]
    items += _front(trade, goals, across, up)
    if own:
        x, y = across.at(own[0]), up.at(own[1])
        items += [
            line(Point(x - 2, y - 2), Point(x + 2, y + 2), "visible"),
            line(Point(x - 2, y + 2), Point(x + 2, y - 2), "visible"),
        ]
    items += _list(axes, trade, own is not None)
    return Drawing(WIDTH, HEIGHT, tuple(items), title)


def _spot(outcome: Outcome, goals: Sequence[Goal]) -> tuple[float, float] | None:
    x, y = (outcome.figures.get(goal.name) for goal in goals[:2])
    return None if x is None or y is None else (x, y)


def _scale(values: Sequence[float], start: float, end: float) -> Scale:
    low, high = min(values), max(values)
    margin = 0.06 * (high - low) or 0.05 * abs(high) or 1.0
    return Scale(low - margin, high + margin, start, end)


def _frame(across: Scale, up: Scale, first: Goal, second: Goal) -> list[Item]:
    items: list[Item] = [box(_LEFT, _BOTTOM, _RIGHT, _TOP)]
    for value in across.ticks():
        x = across.at(value)
        items += [
            line(Point(x, _BOTTOM), Point(x, _BOTTOM - 1.5)),
            Text(x, _BOTTOM - 5.0, _SMALL, _plain(value, first), "centre"),
        ]
    for value in up.ticks():
        y = up.at(value)
        items += [
            line(Point(_LEFT, y), Point(_LEFT - 1.5, y)),
            Text(_LEFT - 2.5, y, _SMALL, _plain(value, second), "right", level="middle"),
        ]
    middle = (_LEFT + _RIGHT) / 2.0
    items.append(Text(middle, _BOTTOM - 11.5, _SMALL, _named(first, "to the right"), "centre"))
    items.append(
        Text(8.0, (_BOTTOM + _TOP) / 2.0, _SMALL, _named(second, "upward"), "centre", math.pi / 2)
    )
    return items


def _named(goal: Goal, way: str) -> str:
    unit = {"share": ", %", "x": ", design as it is = 1"}.get(
        goal.unit, f", {goal.unit}" if goal.unit else ""
    )
    better = way if goal.sense == "more" else {"to the right": "to the left"}.get(way, "downward")
    return f"{goal.label}{unit} (better {better})"


def _plain(value: float, goal: Goal) -> str:
    """Return a mark of a scale; a mark beside nothing is nothing."""
    shown = 100.0 * value if goal.unit == "share" else value
    return "0" if abs(shown) < 1e-9 else f"{shown:.5g}"


def _front(trade: Sequence[Done], goals: Sequence[Goal], across: Scale, up: Scale) -> list[Item]:
    places = [
        Point(across.at(s[0]), up.at(s[1])) for _, o in trade if (s := _spot(o, goals)) is not None
    ]
    items: list[Item] = []
    if len(places) > 1:
        items.append(polyline(places, "narrow"))
    # Numbers stand on the better side of the front, where no dot can be.
    dx = 2.2 if goals[0].sense == "more" else -2.2
    dy = 2.2 if goals[1].sense == "more" else -2.2
    every = max(1, math.ceil(len(places) / _LISTED))
    for k, p in enumerate(places):
        items += [
            Fill((Outline.circle(p, 1.15),), "black"),
            Fill((Outline.circle(p, 0.65),), "white"),
        ]
        if k % every == 0:
            anchor: Anchor = "left" if dx > 0 else "right"
            items.append(Text(p.x + dx, p.y + dy, _SMALL, str(k + 1), anchor, level="middle"))
    return items


def _list(axes: Sequence[Axis], trade: Sequence[Done], own: bool) -> list[Item]:
    x, y, step = _RIGHT + 8.0, _TOP - _SMALL, 4.4
    items: list[Item] = [Text(x, y, _SMALL, "Nothing beats these in both:")]
    items.append(Text(x, y - step, _SMALL, ", ".join(a.field.split(".")[-1] for a in axes)))
    every = max(1, math.ceil(len(trade) / (_LISTED - 4)))
    row = 2
    for k, (trial, _) in enumerate(trade):
        if k % every == 0:
            words = ", ".join(value_text(v) for v in trial.values)
            items.append(Text(x, y - row * step, _SMALL, f"{k + 1}  {words}"))
            row += 1
    items.append(Text(x, y - row * step, _SMALL, "dots: beaten in both by one of these"))
    if own:
        items.append(Text(x, y - (row + 1) * step, _SMALL, "x  the design as it is"))
    return items
