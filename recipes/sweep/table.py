"""A range as plain data for JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from recipes.sweep.rank import Done, Goal
    from recipes.sweep.trial import Outcome
    from recipes.sweep.vary import Axis


def range_dict(
    axes: Sequence[Axis], done: Sequence[Done], best: Sequence[Done], trade: Sequence[Done],
    goals: Sequence[Goal], base: Outcome,
) -> dict[str, Any]:  # fmt: skip
    """Return counts, the best designs, the front of both goals, and the unvaried design."""
    fields = [axis.field for axis in axes]

    def rows(found: Sequence[Done]) -> list[dict[str, Any]]:
        return [
            {"values": dict(zip(fields, trial.values, strict=True)), "figures": outcome.figures}
            for trial, outcome in found
        ]

    return {
        "varied": fields,
        "designs": len(done),
        "verdicts": dict(sorted(Counter(o.verdict for _, o in done).items())),
        "goals": [asdict(goal) for goal in goals],
        "as_it_is": base.figures,
        "best": rows(best),
        "front": rows(trade),
    }
