"""Flux lost to an open slot against Carter's factor.

F. W. Carter, "The magnetic field of the dynamo-electric machine", Journal of the IEE 64 (1926)
1115-1138, by conformal mapping: of a smooth gap g beneath iron of any permeability, a slot of
width b and any depth takes away the width gamma g with
gamma = 4/pi [x atan x - ln sqrt(1 + x^2)], x = b / (2 g); the factor of a pitch t is
t / (t - gamma g). In most textbooks of machine design.
"""

import math

import numpy as np
import pytest

from geometry.field.materials import Linear
from geometry.field.mesh import mesh_cell
from geometry.field.results import linkage
from geometry.field.side import make_side
from geometry.field.solve import couple, solve
from geometry.field.triangulate import Size
from geometry.point import Point
from tests.geometry.field.shapes import loop, ring_piece

#: Mean radius and smooth gap in mm: the gap is as good as straight.
RADIUS, GAP, PITCH, DEPTH = 1e5, 1.0, 10.0, 9.0
IRON = 1e7


def flux(width: float) -> float:
    """Flux through half a cell per ampere, Wb/m, with a slot of `width` mm in its middle.

    A current in a narrow open slot at the cell's end drives it; there the field changes its sign.
    """
    cells = 2 * round(math.pi * RADIUS / PITCH)
    end, slot = math.pi / cells, width / 2 / RADIUS
    rim, wire = RADIUS, 0.2 / RADIUS
    low, top, far = rim - DEPTH, rim + GAP, rim + GAP + 20
    inner, outer = rim + 0.3 * GAP, rim + 0.7 * GAP
    feed = ring_piece(low, rim, end - wire, end)
    corners = [(low - 10, 0.0, "left"), (low - 10, end, "line"), (low, end, "right")]
    corners += [(low, end - wire, "line"), (rim, end - wire, "right")]
    air = ring_piece(rim, inner, 0, end)
    one = [("turns", feed), ("air", air)]
    fine = [(Point.polar(rim, end - wire), 0.05)]
    if width:
        one.append(("air", ring_piece(low, rim, 0, slot)))
        corners += [(rim, slot, "line"), (low, slot, "right"), (low, 0.0, "line")]
        fine += [(Point.polar(rim, slot), 0.003)]
    else:
        corners += [(rim, 0.0, "line")]
    one.append(("iron", loop(*corners)))
    two = [("air", ring_piece(outer, top, 0, end)), ("iron", ring_piece(top, far, 0, end))]
    materials = {"iron": Linear(IRON), "air": Linear(), "turns": Linear()}
    sides = []
    for regions, radius, at in ((one, inner, fine), (two, outer, [])):
        size = Size(4.0, 0.4, tuple(at), ((radius, 0.4),))
        mesh = mesh_cell(regions, size.at, end, half=True).mirrored({"turns": "back"})
        sides.append(make_side(mesh, materials | {"back": Linear()}, radius, sign=-1))
    solution = solve(couple(*sides), 0.0, {"turns": np.ones(1), "back": -np.ones(1)})
    return float(linkage(solution, "turns")[0])


@pytest.mark.parametrize("width", [1.0, 2.5])
def test_width_lost_to_a_slot(width: float) -> None:
    x = width / (2 * GAP)
    gamma = 4 / math.pi * (x * math.atan(x) - math.log(math.sqrt(1 + x * x)))
    factor = PITCH / (PITCH - gamma * GAP)
    # One ampere drives each half of the cell, and each loses half the width.
    lost = 2 * (flux(0.0) - flux(width)) / (4e-7 * math.pi) * GAP
    assert lost == pytest.approx(gamma * GAP, rel=2e-3)
    assert PITCH / (PITCH - lost) == pytest.approx(factor, rel=1e-4)
