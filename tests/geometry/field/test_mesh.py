"""Meshes of exact outlines: they fill them, follow their arcs, fit together and repeat."""

import hashlib
import math
import subprocess
import sys

import numpy as np
import pytest

from geometry.errors import GeometryError
from geometry.field.materials import Linear
from geometry.field.mesh import Mesh, mesh_cell
from geometry.field.side import make_side
from geometry.field.triangulate import Size
from geometry.outline import Outline, Region
from geometry.point import Point
from tests.geometry.field.shapes import inner_mesh, loop, outer_mesh, pole, ring_piece, tooth
from tests.places import ROOT


def areas(mesh: Mesh) -> dict[str, float]:
    """Area in mm2 by label, by the elements' own quadrature."""
    low, _ = mesh.radii()
    side = make_side(mesh, {n: Linear() for n in mesh.names}, low)
    return {n: float(side.weight[mesh.label == k].sum()) * 1e6 for k, n in enumerate(mesh.names)}


@pytest.mark.parametrize("teeth", [6, 9, 12, 24, 51])
def test_areas_are_those_of_the_outlines(teeth: int) -> None:
    regions, _ = tooth(teeth) if teeth < 24 else pole(teeth)
    half = mesh_cell(regions, Size(2.0, 0.4).at, math.pi / teeth, half=True)
    found = areas(half.mirrored())
    for name, outline in regions:
        assert found[name] == pytest.approx(2 * outline.area, rel=1e-5)


def test_nodes_lie_on_the_arcs() -> None:
    mesh = outer_mesh(14)
    radii = np.hypot(*mesh.nodes.T)
    sides = mesh.triangles[:, [[0, 3, 1], [1, 4, 2], [2, 5, 0]]].reshape(-1, 3)
    for radius in (41.0, 41.4, 44.0, 47.5):
        on = np.abs(radii - radius) < 1e-6
        both = sides[on[sides[:, 0]] & on[sides[:, 2]]]
        # A side between two neighbours on an arc is part of it, or bridges the magnets' gap.
        assert len(both) > 4
        if radius != 41.4:
            assert np.abs(radii[both[:, 1]] - radius).max() < 1e-9


@pytest.mark.parametrize("teeth", [6, 9, 12, 15])
def test_smallest_angle(teeth: int) -> None:
    assert inner_mesh(teeth).smallest_angle() > 18
    assert outer_mesh(2 * teeth).smallest_angle() > 18


def test_mesh_has_the_symmetry_of_the_cell() -> None:
    mesh = inner_mesh(12)
    as_set = {(round(x, 9), round(y, 9)) for x, y in mesh.nodes}
    assert {(x, -y if y else y) for x, y in as_set} == as_set
    assert areas(mesh)["left"] == pytest.approx(areas(mesh)["right"], rel=1e-12)
    left = mesh.nodes[mesh.triangles[mesh.label == mesh.names.index("left"), :3]]
    assert left[..., 1].min() > 0


@pytest.mark.parametrize("copies", [1, 5, 12])
def test_copies_share_their_nodes(copies: int) -> None:
    one = inner_mesh(12)
    mesh = one.repeated(copies)
    whole = copies == 12
    shared = len(one.first)
    assert len(mesh.nodes) == copies * (len(one.nodes) - shared) + (0 if whole else shared)
    assert len(np.unique(np.round(mesh.nodes, 7), axis=0)) == len(mesh.nodes)
    assert len(mesh.first) == len(mesh.last) == (0 if whole else shared)
    c, s = math.cos(mesh.span), math.sin(mesh.span)
    turned = mesh.nodes[mesh.first] @ np.array([[c, s], [-s, c]])
    np.testing.assert_allclose(turned, mesh.nodes[mesh.last], atol=1e-9)
    assert np.bincount(mesh.cell).tolist() == [len(one.triangles)] * copies


def test_cells_that_do_not_fit_are_refused() -> None:
    with pytest.raises(GeometryError, match="do not fit"):
        inner_mesh(12).repeated(13)
    with pytest.raises(GeometryError, match="x axis"):
        inner_mesh(12).mirrored()


def lopsided() -> list[tuple[str, Outline | Region]]:
    """A cell of 40 degrees without mirror axis, with a hole and an end on another's edge."""
    half = math.radians(20)
    hole = Outline.circle(Point.polar(25.0, 0.1), 2.0)
    return [
        ("steel", Region(ring_piece(20, 30, -half, half), (hole,))),
        ("air", hole),
        ("wire", ring_piece(30, 33, -half, 0.07)),
        ("air", ring_piece(30, 33, 0.07, half)),
        ("air", ring_piece(33, 34, -half, half)),
    ]


def test_cell_without_mirror_axis() -> None:
    regions = lopsided()
    size = Size(3.0, 0.4, ((Point.polar(33.0, math.radians(20)), 0.3),)).at
    mesh = mesh_cell(regions, size, math.radians(40))
    whole = mesh.repeated(9)
    assert len(whole.nodes) == 9 * (len(mesh.nodes) - len(mesh.first))
    found = areas(whole)
    hole = math.pi * 4
    assert found["steel"] == pytest.approx(math.pi * 500 - 9 * hole, rel=3e-5)
    assert found["air"] + found["wire"] == pytest.approx(math.pi * 256 + 9 * hole, rel=3e-5)


def test_overlap_and_crossing_are_refused() -> None:
    end = math.pi / 12
    over = [("a", ring_piece(20, 31, 0, end)), ("b", ring_piece(30, 40, 0, end))]
    with pytest.raises(GeometryError, match="overlaps"):
        mesh_cell(over, Size(3.0).at, end, half=True)
    low, high = (20.0, 0.0, "left"), (30.0, end, "right")
    across = [
        ("a", loop(low, (20, end, "line"), high, (30, 0, "line"))),
        ("b", loop((25, -0.05, "line"), (26, 0.1, "line"), (25, 0.1, "line"))),
    ]
    with pytest.raises(GeometryError, match=r"cross|overlaps"):
        mesh_cell(across, Size(3.0).at, end, half=True)


def test_same_bytes_in_every_process() -> None:
    code = (
        "import hashlib; from tests.geometry.field.shapes import inner_mesh; m = inner_mesh(9);"
        "print(hashlib.sha256(m.nodes.tobytes() + m.triangles.tobytes()).hexdigest())"
    )
    mesh = inner_mesh(9)
    here = hashlib.sha256(mesh.nodes.tobytes() + mesh.triangles.tobytes()).hexdigest()
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == here
