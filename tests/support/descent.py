"""A relaxation that finds what a test says, so that every choice of a search can be seen."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest
from shapely import box

from geometry.packing import search as module
from geometry.packing.contacts import Batch
from geometry.packing.region import Floats, Region
from geometry.packing.search import Search

ROOM = Region(box(0.0, 0.0, 7.3, 5.9), 1.0)
LARGE_ROOM = Region(box(0.0, 0.0, 21.7, 13.1), 1.0)
WORK = 1700


@dataclass
class Descent:
    """Finds `energy`, the k-th circle of each arrangement squeezed more than the one before."""

    energy: Callable[[int], float]
    asked: list[Floats] = field(default_factory=list)

    def __call__(self, _: Region, starts: Floats, __: int) -> Batch:
        """Stand in for `relax`."""
        self.asked.append(starts.copy())
        systems, count, _ = starts.shape
        each = np.tile(np.arange(1.0, count + 1), (systems, 1))
        energy = np.full(systems, self.energy(len(self.asked)))
        return Batch(
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


def search(region: Region, count: int, work: float = math.inf) -> Search:
    """From the first `count` circles of the fullest regular filling."""
    made = Search(region, 9999)
    start = made.best[:count]
    assert len(start) == count
    made.fillings, made.best, made.work_left = [start], start, work
    return made


def batch(one: Search, count: int, energy: float, systems: int = 3) -> Batch:
    """Scattered circles, the last squeezed most."""
    points = np.stack([one._scattered(count) for _ in range(systems)])
    each = np.tile(np.arange(1.0, count + 1), (systems, 1))
    each *= energy / each.sum(axis=1)[:, None]
    return Batch(points, np.full(systems, energy), each, 0)
