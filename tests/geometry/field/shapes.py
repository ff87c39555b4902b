"""Outlines for the tests: rings, and a made-up machine of invented proportions."""

from __future__ import annotations

import math

from geometry.field.materials import Curve, Linear, Magnet, Material, curve
from geometry.field.mesh import Mesh, mesh_cell
from geometry.field.side import Side, make_side
from geometry.field.solve import Pair, couple
from geometry.field.triangulate import Size
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line

Regions = list[tuple[str, Outline]]

#: The gap's two circles, mm.
INNER, OUTER = 40.9, 41.0


def loop(*corners: tuple[float, float, str]) -> Outline:
    """Return an outline of (radius mm, angle rad, edge to the next: "line", "left" or "right")."""
    spots = [Point.polar(r, a) for r, a, _ in corners]
    edges: list[Line | Arc] = []
    for k, (_, _, kind) in enumerate(corners):
        a, b = spots[k], spots[(k + 1) % len(spots)]
        edges.append(Line(a, b) if kind == "line" else Arc(a, b, ORIGIN, kind == "left"))
    return Outline(tuple(edges))


def ring_piece(low: float, high: float, start: float, end: float) -> Outline:
    """Return the piece of a ring between two radii (mm) and two angles (rad)."""
    return loop(
        (low, start, "left"), (low, end, "line"), (high, end, "right"), (high, start, "line")
    )


def tooth(teeth: int, circle: float = INNER) -> tuple[Regions, list[Point]]:
    """Return half a tooth pitch with the left half of its slot, and its sharp corners."""
    bore, root, under, rim, half = 18.0, 24.0, 37.5, 40.5, 42 / teeth
    mouth = min(1.3, 15 / teeth)
    end, tip = math.pi / teeth, math.pi / teeth - mouth / rim
    at = [(r, math.asin(half / r)) for r in (root, under, under + 0.3)]
    sheet = loop(
        (bore, 0, "line"), (rim, 0, "left"), (rim, tip, "line"), (rim - 0.9, tip, "line"),
        (*at[2], "line"), (*at[0], "left"), (root, end, "line"), (bore, end, "right"),
    )  # fmt: skip
    slot = loop((*at[0], "line"), (*at[1], "left"), (under, end, "line"), (root, end, "right"))
    air = loop(
        (*at[1], "line"), (*at[2], "line"), (rim - 0.9, tip, "line"), (rim, tip, "right"),
        (rim, 0, "line"), (circle, 0, "left"), (circle, end, "line"), (under, end, "right"),
    )  # fmt: skip
    return [("sheet", sheet), ("left", slot), ("air", air)], [
        Point.polar(r, tip) for r in (rim, rim - 0.9)
    ]


def pole(poles: int, circle: float = OUTER, cover: float = 0.86) -> tuple[Regions, list[Point]]:
    """Return half a magnet pitch in its ring, and the magnet's corners."""
    face, back, rim, end = 41.4, 44.0, 47.5, math.pi / poles
    edge = cover * end
    air = loop(
        (circle, 0, "left"), (circle, end, "line"), (back, end, "right"), (back, edge, "line"),
        (face, edge, "right"), (face, 0, "line"),
    )  # fmt: skip
    regions = [
        ("magnet", ring_piece(face, back, 0, edge)),
        ("air", air),
        ("ring", ring_piece(back, rim, 0, end)),
    ]
    return regions, [Point.polar(r, edge) for r in (face, back)]


SHEET: Curve = curve(
    # Invented, of the shape that non-oriented sheet has.
    [20, 40, 60, 80, 120, 200, 400, 800, 2000, 5000, 10000, 20000, 50000, 100000],
    [0.15, 0.5, 0.8, 1.0, 1.18, 1.3, 1.4, 1.47, 1.55, 1.65, 1.75, 1.88, 2.02, 2.05],
    0.96,
)
RING: Curve = curve([200, 400, 800, 1500, 3000, 6000, 15000, 40000, 1e5], [0.3, 0.7, 1.1, 1.35, 1.5, 1.6, 1.75, 1.95, 2.05])  # fmt: skip
STEEL: dict[str, Material] = {
    "sheet": SHEET, "ring": RING, "left": Linear(), "right": Linear(), "air": Linear(),
    "magnet": Magnet(1.25, 1.05),
}  # fmt: skip
UNSATURATED = STEEL | {"sheet": Linear(2000.0), "ring": Linear(500.0)}


def inner_mesh(teeth: int, fine: float = 1.0, circle: float = INNER) -> Mesh:
    """Return one tooth pitch; `fine` below 1 divides every length."""
    regions, sharp = tooth(teeth, circle)
    size = Size(2 * fine, 0.5, tuple((p, 0.3 * fine) for p in sharp), ((circle, 0.8 * fine),))
    return mesh_cell(regions, size.at, math.pi / teeth, half=True).mirrored({"left": "right"})


def outer_mesh(poles: int, fine: float = 1.0, circle: float = OUTER) -> Mesh:
    """Return one magnet pitch."""
    regions, sharp = pole(poles, circle)
    size = Size(2 * fine, 0.5, tuple((p, 0.3 * fine) for p in sharp), ((circle, 0.8 * fine),))
    return mesh_cell(regions, size.at, math.pi / poles, half=True).mirrored()


def machine(
    teeth: int,
    poles: int,
    sectors: int,
    materials: dict[str, Material] = STEEL,
    *,
    fine: float = 1.0,
    order: int = 2,
    circles: tuple[float, float] = (INNER, OUTER),
) -> Pair:
    """Return so many sectors' worth of a machine of invented proportions."""
    sign = 1 if poles // sectors % 2 == 0 else -1
    sides: list[Side] = []
    for mesh, count, radius in (
        (inner_mesh(teeth, fine, circles[0]), teeth, circles[0]),
        (outer_mesh(poles, fine, circles[1]), poles, circles[1]),
    ):
        sides.append(make_side(mesh.repeated(count // sectors), materials, radius, sign=sign, order=order))  # fmt: skip
    return couple(sides[0], sides[1])
