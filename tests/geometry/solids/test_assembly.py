"""Several named bodies in one STEP file."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from geometry.errors import GeometryError
from geometry.formats.embedded_design import extract
from geometry.formats.step_read import read_step
from geometry.formats.step_write import write_step
from geometry.formats.stl_read import read_stl
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.solids import Assembly, Extruded
from recipes.build.read_back import check_step, check_stl
from tests.support.gmsh import gmsh_solids

SIZES = ((3.1, 1.3), (4.3, 0.7), (5.7, 2.9), (4.9, 1.1))


def pile() -> Assembly:
    """Four sheets one on the other, the third the widest."""
    items, low = [], -2.1
    for k, (wide, height) in enumerate(SIZES):
        hole = Outline.circle(Point(0.2 * k, 0.1), 0.8)
        items.append((f"sheet {k + 1} é", Extruded(Region(Outline.rectangle(wide, 2.7), (hole,)), height, low)))  # fmt: skip
        low += height
    return Assembly(tuple(items))


def test_gmsh_finds_every_body_by_name_and_place(tmp_path: Path) -> None:
    found = gmsh_solids(write_step(pile(), name="pile"), tmp_path)
    assert [name for name, _, _ in found] == [name for name, _ in pile().items]
    for (_, volume, span), (_, body) in zip(found, pile().items, strict=True):
        assert volume == pytest.approx(body.volume, rel=1e-9)
        assert span == pytest.approx(body.z_range, abs=1e-5)


def test_names_bytes_and_payload() -> None:
    data = write_step(pile(), name="pile", payload="p = 1")
    assert data == write_step(pile(), name="pile", payload="p = 1")
    content = read_step(data)
    assert content.product_names == ("pile", *(n for n, _ in pile().items))
    assert content.solid_names == tuple(n for n, _ in pile().items)
    assert extract(data) == "p = 1"
    assert check_step(pile(), data) == []


def test_read_back_tells_a_missing_a_renamed_and_a_wrong_body() -> None:
    items = pile().items
    data = write_step(Assembly(items[:3]), name="pile")
    assert any("3 solids, not 4" in f for f in check_step(pile(), data))
    swapped = Assembly(((items[1][0], items[0][1]), (items[0][0], items[1][1]), *items[2:]))
    assert any("solids are called" in f for f in check_step(swapped, write_step(pile(), name="p")))  # fmt: skip
    wide = Extruded(Region(Outline.rectangle(4.31, 2.7)), 0.7, items[1][1].z0)
    other = Assembly((items[0], (items[1][0], wide), *items[2:]))
    assert check_step(other, write_step(pile(), name="p")) != []


def test_an_assembly_needs_names_of_their_own() -> None:
    body = pile().items[0][1]
    with pytest.raises(GeometryError, match="each with a name"):
        Assembly(())
    with pytest.raises(GeometryError, match="each with a name"):
        Assembly(((" ", body),))
    with pytest.raises(GeometryError, match="two bodies are called 'a'"):
        Assembly((("a", body), ("b", body), ("a", body)))


def corner_mesh(*skip: int) -> bytes:
    """A tetrahedron of legs 3, 4 and 5 as binary STL, some of its triangles left out."""
    o, x, y, z = (0, 0, 0), (3, 0, 0), (0, 4, 0), (0, 0, 5)
    faces = [(o, y, x), (o, x, z), (o, z, y), (x, y, z)]
    kept = [f for k, f in enumerate(faces) if k not in skip]
    rows = b"".join(struct.pack("<12fH", 0, 0, 0, *(c for p in f for c in p), 0) for f in kept)
    return bytes(80) + struct.pack("<I", len(kept)) + rows


def test_stl_reader_measures_and_finds_gaps() -> None:
    mesh = read_stl(corner_mesh())
    assert mesh.closed
    assert mesh.volume == pytest.approx(10)  # 3 x 4 x 5 / 6
    assert mesh.area == pytest.approx(6 + 7.5 + 10 + 0.5 * (20**2 + 15**2 + 12**2) ** 0.5)
    assert mesh.z_range == (0.0, 5.0)
    assert not read_stl(corner_mesh(2)).closed
    with pytest.raises(GeometryError, match="no binary STL"):
        read_stl(corner_mesh()[:-1])
    with pytest.raises(GeometryError, match="no binary STL"):
        read_stl(b"solid x")


def test_check_stl_tells_gap_height_and_volume() -> None:
    right = Region(Outline.polygon([(0, 0), (3, 0), (0, 4)]))
    assert check_stl(Extruded(right, 5.0), 0.01, corner_mesh()) == [
        "volume 10.00 mm3, not 30.00 mm3"
    ]
    faults = check_stl(Extruded(right, 5.3), 0.01, corner_mesh(0))
    assert faults[:2] == ["its triangles leave a gap", "length 5.0000 mm, not 5.3000 mm"]
    assert check_stl(Extruded(right, 5.0), 0.01, b"x") == ["no binary STL: 1 bytes for 0 triangles"]
