"""Where the turns of each phase lie: in which half of which slot, and which way they run.

Beside every tooth lie two areas: on its left (towards rising angle) and on its right. A coil "+" comes
out of the plane on the left, so that its flux runs outwards (`recipes.winding.sense`). Two coil
sides share a slot, each in the area beside its own tooth; with coils on alternate teeth the one coil
side fills both areas of its slot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from recipes.winding.layout import PHASES, WindingLayout
from recipes.winding.sense import out_of_plane

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PhaseTurns:
    """Turns in series of each phase in each area, out of the plane positive.

    Times the phase current they give an area's ampere-turns, times its mean potential the flux linked.

    Args:
        left, right: (3, slots), phases U, V, W.
    """

    left: Array
    right: Array


def phase_turns(layout: WindingLayout, turns: int, paths: int) -> PhaseTurns:
    """Return where the turns lie.

    Args:
        layout: phase and sense of every tooth.
        turns: of one coil.
        paths: in parallel in each phase: each carries its share of the current.
    """
    shape = (len(PHASES), layout.slots)
    left, right = np.zeros(shape), np.zeros(shape)
    shared = layout.coil_sides == "every tooth"
    for k, tooth in enumerate(layout.teeth):
        if not tooth.phase:
            continue
        phase, strength = PHASES.index(tooth.phase), out_of_plane(tooth.sense) * turns / paths
        if shared:
            left[phase, k] += strength
            right[phase, k] -= strength
        else:
            left[phase, k] += strength / 2
            right[phase, (k + 1) % layout.slots] += strength / 2
            right[phase, k] -= strength / 2
            left[phase, k - 1] -= strength / 2
    return PhaseTurns(left, right)


def sectors(turns: PhaseTurns, poles: int) -> tuple[int, int]:
    """Return into how many equal sectors the circle falls, and the field's sign from one to the next.

    Steel and magnets fall into gcd(slots, poles); the winding must repeat likewise.
    """
    slots = turns.left.shape[1]
    most = math.gcd(slots, poles)
    return next(
        (count, sign)
        for count in range(most, 0, -1)
        if most % count == 0
        for sign in [1 if poles // count % 2 == 0 else -1]
        if all(
            np.allclose(np.roll(a, slots // count, axis=1), sign * a)
            for a in (turns.left, turns.right)
        )
    )


def flux_linked(turns: PhaseTurns, left: Any, right: Any) -> Array:
    """Return the flux linked by each phase (3,), Wb/m, of a sector's mean potentials (cells,), Wb/m."""
    cells = len(left)
    count = turns.left.shape[1] // cells
    return np.asarray(count * (turns.left[:, :cells] @ left + turns.right[:, :cells] @ right))
