"""Ranking and trade-off against brute force; the chart."""

from __future__ import annotations

import random

import pytest

from geometry.drafting.drawing import Fill
from recipes.design.load import BadInput
from recipes.study.design_point import Done, Goal, Outcome, front, goal_of, ranked
from recipes.study.range_chart import trade_off
from recipes.study.vary import Trial, axes_of


def some(count: int, seed: int) -> list[Done]:
    pick = random.Random(seed)
    return [
        (
            Trial(k, (k,)),
            Outcome(
                pick.choice(["fine", "fine", "fine", "stop"]), "",
                {"a": float(pick.randint(0, 9)), **({"b": float(pick.randint(0, 9))} if k % 7 else {})},
            ),
        )
        for k in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize(("x", "y"), [("more", "less"), ("less", "less"), ("more", "more")])
def test_front_is_what_nobody_dominates(seed: int, x: str, y: str) -> None:
    """By the definition of Pareto: not worse in both and better in one."""
    done = some(60, seed)
    first, second = goal_of(f"a:{x}", ""), goal_of(f"b:{y}", "")
    fine = [d for d in done if d[1].verdict == "fine" and "b" in d[1].figures]

    def costs(d: Done) -> tuple[float, float]:
        return first.cost(d[1]), second.cost(d[1])

    wanted = {
        costs(d)
        for d in fine
        if not any(
            p[0] <= q[0] and p[1] <= q[1] and p != q
            for p, q in ((costs(e), costs(d)) for e in fine)
        )
    }
    found = front(done, first, second)
    assert {costs(d) for d in found} == wanted
    assert len(found) == len(wanted)
    assert [costs(d)[0] for d in found] == sorted(costs(d)[0] for d in found)


def test_ranked_holds_only_what_can_be_made() -> None:
    done = some(40, 3)
    order = ranked(done, Goal("a", "more"))
    values = [d[1].figures["a"] for d in order]
    assert values == sorted(values, reverse=True)
    assert all(d[1].verdict == "fine" for d in order)


def test_a_goal_needs_a_better_side() -> None:
    assert goal_of("stack_mass_kg", "--rank").sense == "less"
    assert goal_of("turns_in_series:more", "--rank") == Goal("turns_in_series", "more")
    for text in ("turns_in_series", "coil_end_height_mm", "a:most", ":more"):
        with pytest.raises(BadInput, match="--rank"):
            goal_of(text, "--rank")


def test_chart_shows_every_fine_design_and_numbers_the_front() -> None:
    done, goals = some(30, 5), (Goal("a", "more"), Goal("b", "less"))
    trade = front(done, *goals)
    axes = axes_of(["winding.turns=1:30:1"])
    base = Outcome("fine", "", {"a": 4.5, "b": 4.5})
    drawing = trade_off(axes, done, trade, goals, base, "30 designs")
    assert drawing is not None
    spots = {
        (o.figures["a"], o.figures["b"])
        for _, o in done
        if o.verdict == "fine" and "b" in o.figures
    }
    dots = [i for i in drawing.items if isinstance(i, Fill)]
    assert len(dots) == len(spots) + 2 * len(trade)
    texts = [t.text for t in drawing.texts]
    for k, (trial, _) in enumerate(trade, 1):
        assert f"{k}  {trial.values[0]}" in texts
    for text in drawing.texts:
        for p in text.corners():
            assert 0 <= p.x <= drawing.width_mm
            assert 0 <= p.y <= drawing.height_mm
    assert trade_off(axes, [d for d in done if d[1].verdict == "stop"], [], goals, base, "") is None
