"""Nests for tests: shapes, and an independent look at gaps and margins with shapely."""

from __future__ import annotations

import math
import random

import shapely

from geometry.nest import Nest, NestPiece
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.polygon import to_polygon


def disc(radius: float) -> Region:
    """A disc whose centre is not its origin."""
    return Region(Outline.circle(Point(3.7, -1.9), radius))


def box(width: float, height: float) -> Region:
    return Region(Outline.rectangle(width, height, Point(-2.3, 5.1)))


def shape(*corners: tuple[float, float]) -> Region:
    return Region(Outline.polygon(corners))


TRIANGLE = shape((0, 0), (70, 0), (15, 55))
ELBOW = shape((0, 0), (80, 0), (80, 20), (20, 20), (20, 70), (0, 70))


def star(seed: int) -> Region:
    """A jagged shape, hollow in places."""
    pick = random.Random(seed)
    turns = sorted(pick.uniform(0, 2 * math.pi) for _ in range(pick.randint(7, 15)))
    spots = [(pick.uniform(9, 41), a) for a in turns]
    return shape(*((7 + r * math.cos(a), r * math.sin(a)) for r, a in spots))


def faults(nest: Nest, pieces: list[NestPiece], gap: float, margin: float) -> list[str]:
    """What is wrong with a nest: gaps, margins, numbers, turns; measured by shapely."""
    regions = {p.name: p for p in pieces}
    found = []
    for p in pieces:
        laid = [x for sheet in nest.sheets for x in sheet if x.name == p.name]
        if len(laid) != p.quantity:
            found.append(f"{p.name}: {len(laid)} of {p.quantity}")
        if p.angles is not None and {x.angle for x in laid} - set(p.angles):
            found.append(f"{p.name}: turned in a way that is not allowed")
    for sheet in nest.sheets:
        polygons = [to_polygon(x.place(regions[x.name].region).outer, 1e-4) for x in sheet]
        room = shapely.box(0, 0, *nest.size)
        for x, polygon in zip(sheet, polygons, strict=True):
            edge = polygon.distance(room.exterior)
            if not room.contains(polygon) or edge < margin - 2e-4 - 1e-5:
                found.append(f"{x.name}: {edge} mm from the edge")
        for i, one in enumerate(polygons):
            for other in polygons[:i]:
                apart = one.distance(other)
                if apart < gap - 1e-5 or one.intersection(other).area > 1e-5:
                    found.append(f"{apart} mm apart")
    return found
