"""The trade-off of two goals as a drawing: every design a dot, the front numbered and joined.

second |    .  .            o---o   front: nothing beats these in both
goal   |  .   .  .      o---'   numbers stand in the list beside it
       |    x base   o
       +------------------------- first goal
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from geometry.drafting.drawing import Anchor, Drawing, Fill, Item, Text, line, polyline
from geometry.drafting.view import Axis, Chart
from geometry.formats.drawing_svg import write_svg
from geometry.outline import Outline
from geometry.point import Point
from recipes.design.load import BadInput
from recipes.refusal import bad_input
from recipes.study.design_point import Done, Goal, Outcome
from recipes.study.range import RangeDone
from recipes.study.vary import Axis as Varied
from recipes.study.vary import value_text

WIDTH, HEIGHT = 240.0, 150.0
_LEFT, _RIGHT, _BOTTOM, _TOP = 26.0, 156.0, 22.0, 132.0
_SMALL, _LARGE = 2.5, 3.5
_LISTED = 24
"""Lines that the list has room for."""


def trade_off_svg(out: RangeDone, trade: Sequence[Done], goals: Sequence[Goal]) -> str:
    """Return the trade-off as SVG.

    Raises:
        BadInput: no design has both figures.
    """
    title = f"{', '.join(axis.field for axis in out.axes)}: {len(out.done)} designs"
    drawing = trade_off(out.axes, out.done, trade, goals, out.base, title)
    if drawing is None:
        message = "--plot: no design that can be made has both figures"
        fix = "vary other fields, or choose other figures by --rank and --against"
        raise BadInput([bad_input("--plot", "", message, fix)])
    return write_svg(drawing)


def trade_off(
    axes: Sequence[Varied],
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
    chart = Chart(
        _axis([x for x, _ in every], _LEFT, _RIGHT), _axis([y for _, y in every], _BOTTOM, _TOP)
    )
    items: list[Item] = [Text(_LEFT, HEIGHT - 8.0, _LARGE, title)]
    items += chart.frame(partial(_plain, first), partial(_plain, second), _SMALL)
    middle = (_LEFT + _RIGHT) / 2.0, (_BOTTOM + _TOP) / 2.0
    words = _named(first, "to the right"), _named(second, "upward")
    items.append(Text(middle[0], _BOTTOM - 11.5, _SMALL, words[0], "centre"))
    items.append(Text(8.0, middle[1], _SMALL, words[1], "centre", math.pi / 2))
    places = [chart.point(*spot) for spot in known]
    dots = dict.fromkeys((round(p.x, 2), round(p.y, 2)) for p in places)
    items += [Fill((Outline.circle(Point(x, y), 0.55),), "black") for x, y in dots]
    items += _front(trade, goals, chart)
    if own:
        x, y = chart.point(*own)
        items += [
            line(Point(x - 2, y - 2), Point(x + 2, y + 2), "visible"),
            line(Point(x - 2, y + 2), Point(x + 2, y - 2), "visible"),
        ]
    items += _list(axes, trade, own is not None)
    return Drawing(WIDTH, HEIGHT, tuple(items), title)


def _spot(outcome: Outcome, goals: Sequence[Goal]) -> tuple[float, float] | None:
    x, y = (outcome.figures.get(goal.name) for goal in goals[:2])
    return None if x is None or y is None else (x, y)


def _axis(values: Sequence[float], start: float, end: float) -> Axis:
    low, high = min(values), max(values)
    margin = 0.06 * (high - low) or 0.05 * abs(high) or 1.0
    return Axis(low - margin, high + margin, start, end)


def _named(goal: Goal, way: str) -> str:
    unit = {"share": ", %", "x": ", design as it is = 1"}.get(
        goal.unit, f", {goal.unit}" if goal.unit else ""
    )
    better = way if goal.sense == "more" else {"to the right": "to the left"}.get(way, "downward")
    return f"{goal.label}{unit} (better {better})"


def _plain(goal: Goal, value: float) -> str:
    """Return a mark of a scale; a mark beside nothing is nothing."""
    shown = 100.0 * value if goal.unit == "share" else value
    return "0" if abs(shown) < 1e-9 else f"{shown:.5g}"


def _front(trade: Sequence[Done], goals: Sequence[Goal], chart: Chart) -> list[Item]:
    places = [chart.point(*s) for _, o in trade if (s := _spot(o, goals)) is not None]
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


def _list(axes: Sequence[Varied], trade: Sequence[Done], own: bool) -> list[Item]:
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
