"""Turns beside the teeth, and the sectors that they and the magnets leave."""

import math

import numpy as np
import pytest

from recipes.field.turns import flux_linked, phase_turns, sectors
from recipes.winding.layout import CoilSides, layout, phasor


@pytest.mark.parametrize("sides", ["every tooth", "alternate teeth"])
@pytest.mark.parametrize(("slots", "poles"), [(12, 14), (24, 28), (18, 20), (24, 20)])
def test_turns_sum_to_the_star_of_slots(slots: int, poles: int, sides: CoilSides) -> None:
    """A wave of potential along the slots links what the phasors of the coil voltages say."""
    made = layout(slots, poles, sides)
    turns = phase_turns(made, 10, 1)
    angle = poles / 2 * 2 * math.pi / slots * np.arange(slots)
    half = poles / 2 * math.pi / slots
    # A of a radial wave cos(p theta) is sin(p theta) / p; conductors sit in the slot's middle.
    flux = flux_linked(turns, np.sin(angle + half), np.sin(angle - half))
    for k, phase in enumerate(("U", "V", "W")):
        coils = phasor(made, phase)  # type: ignore[arg-type]
        assert flux[k] == pytest.approx(20 * math.sin(half) * coils.real, abs=1e-9)
    assert np.abs(turns.left.sum(axis=1) + turns.right.sum(axis=1)).max() < 1e-9


def test_paths_share_the_turns() -> None:
    made = layout(24, 28)
    one, two = phase_turns(made, 24, 1), phase_turns(made, 24, 2)
    np.testing.assert_allclose(two.left, one.left / 2)
    assert np.abs(one.left).max() == 24


@pytest.mark.parametrize(
    ("slots", "poles", "sides", "expected"),
    [
        (24, 28, "every tooth", (4, -1)),
        (18, 20, "every tooth", (2, 1)),
        (12, 14, "every tooth", (2, -1)),
        (9, 8, "every tooth", (1, 1)),
        (36, 42, "every tooth", (6, -1)),
        # Steel and magnets repeat after nine teeth, but a coil would come to lie on a bare one.
        (18, 16, "alternate teeth", (1, 1)),
    ],
)
def test_sectors(slots: int, poles: int, sides: CoilSides, expected: tuple[int, int]) -> None:
    assert sectors(phase_turns(layout(slots, poles, sides), 1, 1), poles) == expected
