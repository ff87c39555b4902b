"""Figures of the slot and pole count for `results.json`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.winding.star import cogging_cycles, radial_pull_balanced, winding_factors

if TYPE_CHECKING:
    from recipes.job import Job


def winding_results(job: Job) -> dict[str, float | int | str]:
    """Return winding factors, cogging cycles, balance and legal paths."""
    winding, motor = job.winding, job.design.motor
    factors = winding_factors(winding, (1, 3, 5, 7))
    return {
        "winding_factor": factors[1].winding,
        **{f"winding_factor_{n}": factors[n].winding for n in (3, 5, 7)},
        "cogging_cycles_per_rev": cogging_cycles(motor.slots, motor.poles),
        "radial_pull_balanced": "yes" if radial_pull_balanced(winding) else "no",
    }
