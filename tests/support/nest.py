"""Nests for tests: shapes, and an independent look at gaps and margins with shapely."""

from __future__ import annotations

import math
import random

import shapely

from geometry.outline import Outline, Region
from geometry.packing.blank import Nest, NestPiece
from geometry.point import Point
from geometry.polygon import to_polygon

#: Chords of an arc lie inside it by this much at most, mm: gaps look larger by twice as much.
SAGITTA = 1e-3


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
        if {x.angle for x in laid} - {0.0, math.pi / 2 if p.may_turn else 0.0}:
            found.append(f"{p.name}: turned in a way that is not allowed")
    for sheet in dict.fromkeys(nest.sheets):
        polygons = [to_polygon(x.place(regions[x.name].region).outer, SAGITTA) for x in sheet]
        room = shapely.box(0, 0, *nest.size)
        for x, polygon in zip(sheet, polygons, strict=True):
            edge = polygon.distance(room.exterior)
            if not room.contains(polygon) or edge < margin - 1e-5:
                found.append(f"{x.name}: {edge} mm from the edge")
        tree = shapely.STRtree(polygons)
        for i, j in tree.query(polygons, predicate="dwithin", distance=gap + 0.1).T:
            apart = polygons[i].distance(polygons[j])
            shared = polygons[i].intersection(polygons[j])
            if i < j and (apart < gap - 1e-5 or shared.area > 1e-5 * shared.length):
                found.append(f"{sheet[i].name} and {sheet[j].name}: {apart} mm apart")
    return found
