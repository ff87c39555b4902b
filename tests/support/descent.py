"""A descent that finds what a test says, so that every choice of an attempt can be seen."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest
from shapely import box

from geometry.packing import attempt as module
from geometry.packing.attempt import Attempt
from geometry.packing.fillings import quick_fillings
from geometry.packing.region import Floats, Region
from geometry.packing.relax import Herd

ROOM = Region(box(0.0, 0.0, 7.3, 5.9), 1.0)
LARGE_ROOM = Region(box(0.0, 0.0, 21.7, 13.1), 1.0)
WORK = 1700


@dataclass
class Descent:
    """Finds `energy`, the k-th circle of each arrangement squeezed more than the one before."""

    energy: Callable[[int], float]
    asked: list[Floats] = field(default_factory=list)

    def __call__(self, _: Region, starts: Floats, __: int) -> Herd:
        """Stand in for `relax`."""
        self.asked.append(starts.copy())
        systems, count, _ = starts.shape
        each = np.tile(np.arange(1.0, count + 1), (systems, 1))
        energy = np.full(systems, self.energy(len(self.asked)))
        return Herd(
            starts.copy(), energy, each * (energy[:, None] / each.sum(axis=1)[:, None]), WORK
        )

    def rounds(self, parents: Floats) -> list[int]:
        """For each round: how many circles of the first arrangement changed from `parents`."""
        return [int((one[0] != parents[0]).any(axis=1).sum()) for one in self.asked]


def stand_in(monkeypatch: pytest.MonkeyPatch, energy: Callable[[int], float]) -> Descent:
    """Put such a descent in place of the real one; `energy` of its k-th call."""
    made = Descent(energy)
    monkeypatch.setattr(module, "relax", made)
    return made


def attempt(region: Region, count: int, way: int = 0, budget: float = math.inf) -> Attempt:
    """From the first `count` circles of the fullest regular filling."""
    start = quick_fillings(region)[0][:count]
    assert len(start) == count
    return Attempt(region, [start], start, way, budget)


def herd(one: Attempt, count: int, energy: float, systems: int = 3) -> Herd:
    points = np.stack([one._scattered(count) for _ in range(systems)])
    each = np.tile(np.arange(1.0, count + 1), (systems, 1))
    each *= energy / each.sum(axis=1)[:, None]
    return Herd(points, np.full(systems, energy), each, 0)
