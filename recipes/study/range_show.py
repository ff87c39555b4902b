"""A range on a terminal: the best, the trade-off, and what was refused and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from recipes.study.comparison_figures import BY_NAME
from recipes.study.comparison_show import value_text as shown
from recipes.study.design_point import Done, Goal, Outcome
from recipes.study.range import RangeDone
from recipes.study.vary import Axis, value_text
from recipes.terminal import Voice


def range_dict(
    out: RangeDone, best: Sequence[Done], trade: Sequence[Done], goals: Sequence[Goal]
) -> dict[str, Any]:
    """Return counts, the best designs, the front of both goals, and the unvaried design."""
    fields = [axis.field for axis in out.axes]

    def rows(found: Sequence[Done]) -> list[dict[str, Any]]:
        return [
            {
                "values": dict(zip(fields, trial.values, strict=True)),
                "figures": outcome.figures,
                "field": outcome.field,
            }
            for trial, outcome in found
        ]

    return {
        "varied": fields,
        "designs": len(out.done),
        "verdicts": dict(sorted(Counter(o.verdict for _, o in out.done).items())),
        "goals": [asdict(goal) for goal in goals],
        "as_it_is": out.base.figures,
        "best": rows(best),
        "front": rows(trade),
    }


#: Shown beside the goals: what decides whether it can be wound and held.
BESIDE = (
    "wire_fill_lined",
    "spare_turns",
    "seconds_to_touch_limit",
    "tooth_full",
    "active_mass_kg",
)


def show_range(
    out: RangeDone,
    best: Sequence[Done],
    trade: Sequence[Done],
    goals: Sequence[Goal],
    voice: Voice,
    top: int,
) -> None:
    """Print counts, the `top` best by the first goal, the front of both, and reasons of refusals."""
    counts = Counter(outcome.verdict for _, outcome in out.done)
    voice.say(", ".join(f"{n} {verdict}" for verdict, n in sorted(counts.items())) or "no design")
    voice.say(_said_by(out), "dim")
    numbers = {trial.number: str(k) for k, (trial, _) in enumerate(trade, 1)}
    names = list(dict.fromkeys([g.name for g in goals] + list(BESIDE)))
    if best:
        voice.say("")
        way = "most" if goals[0].sense == "more" else "least"
        voice.say(f"Best by {goals[0].label}, {way} first", "bold")
        _table(out.axes, best[:top], names, voice, out.base, numbers)
    full = any(o.figures.get("tooth_full", 0.0) > 1.0 for _, o in best[:top])
    if full:
        voice.say("tooth flux above 100 %: teeth saturate, torque may be less than shown", "yellow")
    if voice.talk == "quiet":
        return
    if len(trade) > 1:
        voice.say("")
        voice.say(
            f"Trade-off: {goals[0].label} against {goals[1].label}; nothing beats these in both",
            "bold",
        )
        few = trade if voice.talk == "verbose" else _evenly_chosen(trade, top)
        _table(out.axes, few, names, voice, None, numbers)
        if len(few) < len(trade):
            voice.say(f"{len(few)} of {len(trade)}; --verbose shows all", "dim")
    _reasons(out.done, voice)


def _said_by(out: RangeDone) -> str:
    """Return what says speed constant and torque of the designs that can be made."""
    counts = Counter(o.field for _, o in out.done if o.verdict == "fine")
    told = ", ".join(f"{n} by {_BY[by]}" for by, n in sorted(counts.items()))
    return f"speed constant and torque: {told}" if told else ""


#: What says so, in words.
_BY = {
    "circuit": "the magnetic circuit",
    "no field": "the magnetic circuit (no field could be solved)",
    "first order": "a field of first order",
    "second order": "a field of second order",
}


def _evenly_chosen(rows: Sequence[Done], most: int) -> list[Done]:
    """Return at most so many rows, both ends among them, evenly chosen."""
    if len(rows) <= most or most < 2:
        return list(rows[:most])
    return [rows[round(k * (len(rows) - 1) / (most - 1))] for k in range(most)]


def _table(
    axes: Sequence[Axis],
    rows: Sequence[Done],
    names: Sequence[str],
    voice: Voice,
    base: Outcome | None,
    numbers: dict[int, str],
) -> None:
    heads = ["", *(a.field.split(".")[-1] for a in axes), *(_head(n) for n in names), "field"]
    lines = [
        [
            numbers.get(t.number, ""),
            *(value_text(v) for v in t.values),
            *(_cell(n, o) for n in names),
            o.field,
        ]
        for t, o in rows
    ]
    if base is not None:
        lines.append(
            ["", *("as it is" for _ in axes), *(_cell(n, base) for n in names), base.field]
        )
    wide = [max(len(line[k]) for line in (heads, *lines)) for k in range(len(heads))]
    for k, line in enumerate((heads, *lines)):
        text = "  ".join(f"{cell:>{w}}" for cell, w in zip(line, wide, strict=True))
        voice.say(text.rstrip(), "dim" if k == 0 else "")


def _head(name: str) -> str:
    key = BY_NAME.get(name)
    unit = {"share": " %", "x": ""}.get(key.unit, f" {key.unit}" if key.unit else "") if key else ""
    short = {
        "torque_per_root_watt": "torque/√W",
        "active_mass_kg": "mass",
        "spare_turns": "spare turns",
        "wire_fill_lined": "slot fill",
        "seconds_to_touch_limit": "touch limit",
        "tooth_full": "tooth flux",
    }
    return f"{short.get(name, key.label if key else name)}{unit}"


def _cell(name: str, outcome: Outcome) -> str:
    value, key = outcome.figures.get(name), BY_NAME.get(name)
    if value is None:
        return "–"
    return shown(key, value) if key else f"{value:.5g}"


def _reasons(done: Sequence[Done], voice: Voice) -> None:
    """Print the commonest reasons why designs are out, each with one example."""
    for verdict, words in (
        ("stop", "cannot be made"),
        ("refused", "refused"),
        ("failed", "failed in this program: please report"),
    ):
        out = [(t, o) for t, o in done if o.verdict == verdict]
        if not out:
            continue
        voice.say("")
        voice.say(f"{len(out)} {words}", "bold")
        kinds = Counter(_kind(o.why, verdict) for _, o in out)
        for kind, n in kinds.most_common(5):
            example = next((t, o) for t, o in out if _kind(o.why, verdict) == kind)
            at = ", ".join(value_text(v) for v in example[0].values)
            voice.say(f"{n:>6} x  {at}: {example[1].why}")
        if len(kinds) > 5:
            voice.say(f"       and {len(kinds) - 5} more kinds", "dim")


def _kind(why: str, verdict: str) -> str:
    return why.partition(":")[0] if verdict != "refused" else why.partition(" = ")[0]
