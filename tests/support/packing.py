"""Containers, shapes and checks for the tests and the benchmark of circle packing."""

from __future__ import annotations

import csv
import math
import os
from pathlib import Path

import numpy as np
import shapely
from shapely import Polygon, box

REFERENCE = Path(__file__).parents[1] / "reference"
SIDES = 128
#: Part of the plane that equal circles can cover at most, pi / sqrt(12) = 0.9069: A. Thue 1910,
#: first complete proof by L. Fejes Toth 1940 (so H.-C. Chang and L.-C. Wang, "A simple proof of
#: Thue's theorem on circle packing", arXiv:1009.4322, 2010).
HEXAGONAL_DENSITY = math.pi / math.sqrt(12.0)
#: The remaining sizes are checked too when this variable is set (about one minute more).
EVERYTHING = bool(os.environ.get("EVERY_PACKING"))

Table = dict[int, tuple[float, str]]


def _table(name: str) -> Table:
    """Return size of the container over circle radius and status for every n."""
    with (REFERENCE / name).open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    return {int(n): (float(size), status) for n, size, status, _ in rows[1:]}


BEST = {
    "circle": _table("packing_circles_in_circle.csv"),
    "square": _table("packing_circles_in_square.csv"),
}


def container(kind: str, size: float, *, outside: bool = False) -> Polygon:
    """Return a square of side `size`, or a regular polygon in (or round) a circle of that radius."""
    if kind == "square":
        return box(3.0, -2.0, 3.0 + size, -2.0 + size)
    radius = size / math.cos(math.pi / SIDES) if outside else size
    angle = 0.3 + 2.0 * math.pi * np.arange(SIDES) / SIDES
    return Polygon(np.column_stack([1.7 + radius * np.cos(angle), radius * np.sin(angle)]))


def half_slot(foot: float = 3.2, top: float = 6.1, height: float = 21.0) -> Polygon:
    """Return half a slot of the potter's wheel: a long taper with rounded corners, in mm."""
    sharp = Polygon([(0.0, 0.0), (foot, 0.0), (top, height), (0.0, height)])
    return sharp.buffer(-0.8, join_style="mitre").buffer(0.8, quad_segs=8)


def assert_packed(polygon: Polygon, diameter: float, centres: np.ndarray) -> None:
    """Check a result with shapely and with plain arithmetic that the code does not use."""
    assert centres.dtype == np.float64
    assert centres.shape == (len(centres), 2)
    grown = shapely.buffer(polygon, 1e-6 * diameter)
    shapely.prepare(grown)
    discs = shapely.buffer(shapely.points(centres), 0.5 * diameter * (1.0 - 1e-6))
    assert shapely.covers(grown, discs).all()
    walls = [np.asarray(r.coords) for r in (polygon.exterior, *polygon.interiors)]
    for ring in walls:
        start, edge = ring[:-1], np.diff(ring, axis=0)
        for centre in centres:
            t = ((centre - start) * edge).sum(axis=1) / (edge**2).sum(axis=1)
            foot = start + np.clip(t, 0.0, 1.0)[:, None] * edge
            assert np.hypot(*(centre - foot).T).min() >= diameter * (0.5 - 1e-9)
    for k in range(1, len(centres)):
        assert np.hypot(*(centres[:k] - centres[k]).T).min() >= diameter * (1.0 - 1e-9)


L_SHAPE = Polygon([(0, 0), (13, 0), (13, 4.3), (5.1, 4.3), (5.1, 11), (0, 11)])
HOLED = box(0, 0, 17, 11) - shapely.Point(7, 5).buffer(3.1)
DUMBBELL = shapely.union_all([box(0, 0, 6, 6.2), box(6, 2.6, 12, 3.2), box(12, 0, 17.7, 6)])
COMB = box(0, 0, 20, 10) - box(12, 3, 12.2, 10) - box(7.95, 3, 8, 10)
STAR = Polygon(
    [
        (
            (4.2, 10.0)[k % 2] * math.cos(k * math.pi / 5),
            (4.2, 10.0)[k % 2] * math.sin(k * math.pi / 5),
        )
        for k in range(10)
    ]
)
CRESCENT = shapely.Point(0, 0).buffer(10, quad_segs=20) - shapely.Point(4, 0).buffer(8)
