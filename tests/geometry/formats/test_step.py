"""STEP and STL: what was written is read back by our own reader, by gmsh and by the kernel."""

from __future__ import annotations

import hashlib
import math
import os
import struct
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from geometry.errors import GeometryError
from geometry.formats.embedded_design import extract
from geometry.formats.step_read import StepError, planar_loops, read_step
from geometry.formats.step_write import write_step, write_stl
from geometry.inspection.compare import compare_outlines
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.solids import Body, Extruded, Fillet, Filleted, RadialSlot, Revolved
from tests.places import ROOT
from tests.support.fillets import NECK
from tests.support.gmsh import gmsh_solids
from tests.support.solids import FLATS, KEY, SLOT, axle, lamination, revolved_with_arcs

HEIGHT, LOW = 17.3, -2.9


@pytest.fixture(scope="module")
def sheet() -> Extruded:
    return Extruded(lamination(18), HEIGHT, LOW)


@pytest.fixture(scope="module")
def sheet_file(sheet: Extruded) -> bytes:
    return write_step(sheet, name="lamination", payload="[motor]\nslots = 18 # µ 'q' */\n" * 9)


def gmsh_volume(data: bytes, folder: Path) -> float:
    ((_, volume, _),) = gmsh_solids(data, folder)
    return volume


def test_gmsh_finds_the_closed_form_volume(
    sheet: Extruded, sheet_file: bytes, tmp_path: Path
) -> None:
    assert gmsh_volume(sheet_file, tmp_path) == pytest.approx(sheet.volume, rel=1e-9)


@pytest.mark.parametrize(
    ("body", "tolerance"),
    [
        (axle(), 1e-9),
        (revolved_with_arcs(), 1e-9),
        (Revolved(Outline.circle(Point(1.9, 13.7), 2.3)), 1e-9),
        (axle(*FLATS), 1e-9),
        # gmsh integrates curved cut faces at a fixed order; the adaptive check to 1e-9 of the
        # same solids is in test_bodies.py
        (axle(SLOT), 1e-6),
        (axle(SLOT, KEY, *FLATS), 1e-6),
    ],
    ids=["axle", "arcs", "ring", "flats", "slot", "all cuts"],
)
def test_gmsh_finds_the_volume_of_turned_bodies(
    body: Body, tolerance: float, tmp_path: Path
) -> None:
    data = write_step(body, name="axle", payload="x" * 1000)
    assert gmsh_volume(data, tmp_path) == pytest.approx(body.volume, rel=tolerance)


def test_our_reader_gets_the_same_outlines_back(sheet: Extruded, sheet_file: bytes) -> None:
    content = read_step(sheet_file)
    for z in (LOW, LOW + HEIGHT):
        loops = planar_loops(content, z)
        assert compare_outlines(sheet.region.loops, loops, 1e-6) == []
        assert [loop.ccw for loop in loops] == [True, False]
        assert loops[0].area - loops[1].area == pytest.approx(sheet.region.area, rel=1e-11)
    assert content.z_range == pytest.approx((LOW, LOW + HEIGHT), abs=1e-9)


def test_the_file_says_what_it_is(sheet_file: bytes) -> None:
    content = read_step(sheet_file)
    assert content.product_names == ("lamination",)
    assert content.length_unit == "mm"
    assert content.schema.startswith("AUTOMOTIVE_DESIGN")  # AP214
    assert content.solid_names == ("lamination",)
    # 8 edges and 6 rounds a slot: tip, bottom and 6 rounds are arcs; two flat ends and a bore
    assert content.faces == {"CYLINDRICAL_SURFACE": 18 * 8 + 1, "PLANE": 18 * 6 + 2}
    assert b"PCURVE" not in sheet_file  # they would double the file and tell nothing new


def cylinders(data: bytes, folder: Path) -> list[tuple[float, Any, Any]]:
    """Radius, a point of the axis and its direction of every cylinder, as the kernel reads them."""
    from cadquery import importers

    path = folder / "read.step"
    path.write_bytes(data)
    faces = (face._geomAdaptor() for face in importers.importStep(str(path)).faces("%CYLINDER"))
    found = [face.Cylinder() for face in faces]
    return [(c.Radius(), c.Axis().Location(), c.Axis().Direction()) for c in found]


def seats(found: list[tuple[float, Any, Any]]) -> list[float]:
    """Radii of the cylinders about the z axis, rising; equal ones once."""
    return sorted({round(r, 6) for r, at, way in found if abs(way.Z()) > 1 - 1e-12 and math.hypot(at.X(), at.Y()) < 1e-6})  # fmt: skip


def test_a_circle_becomes_one_true_cylinder(tmp_path: Path) -> None:
    holes = tuple(Outline.circle(Point(7.1, k * 5.3), 1.0 + 0.3 * k) for k in (-1, 0, 1))
    body = Extruded(Region(Outline.circle(ORIGIN, 21.9), holes), 0.35)
    data = write_step(body, name="disc")
    assert read_step(data).faces == {"CYLINDRICAL_SURFACE": 4, "PLANE": 2}
    found = cylinders(data, tmp_path)
    assert seats(found) == [21.9]
    assert sorted(c[0] for c in found) == pytest.approx([0.7, 1.0, 1.3, 21.9])
    assert compare_outlines(body.region.loops, planar_loops(read_step(data), 0.35), 1e-6) == []


def test_revolved_bodies_show_their_cylinders_and_length(tmp_path: Path) -> None:
    body = axle(SLOT, KEY, *FLATS)
    data = write_step(body, name="axle")
    assert read_step(data).z_range == pytest.approx(body.z_range)
    found = cylinders(data, tmp_path)
    assert seats(found) == [3.1, 6.05, 8.45, 10.3]
    across = [c for c in found if abs(c[2].Z()) < 1e-9]
    assert sorted({round(c[0], 9) for c in across}) == [2.15, 2.6]
    slot_ends = [c for c in across if c[0] == pytest.approx(2.6)]
    assert len(slot_ends) == 2
    for _, at, way in slot_ends:  # the slot looks towards its angle
        assert abs(math.sin(math.atan2(way.Y(), way.X()) - 0.7)) < 1e-9
        assert at.Z() in (pytest.approx(92.9), pytest.approx(102.0))


def test_a_rounded_slot_edge_is_written(tmp_path: Path) -> None:
    slot = RadialSlot(90.3, 104.6, 5.2, 0.7, edge_radius=0.8)
    data = write_step(axle(slot), name="axle")
    splines = (n for kind, n in read_step(data).faces.items() if "B_SPLINE_SURFACE" in kind)
    assert sum(splines) == 2  # at the ends of the slot; along its sides the ball leaves cylinders
    found = cylinders(data, tmp_path)
    sides = [c for c in found if c[0] == pytest.approx(0.8)]
    assert [abs(c[2].Z()) for c in sides] == pytest.approx([1.0, 1.0])
    assert seats(found) == [3.1, 6.05, 8.45, 10.3]


def test_the_design_travels_inside(sheet: Extruded, sheet_file: bytes, tmp_path: Path) -> None:
    assert extract(sheet_file) == "[motor]\nslots = 18 # µ 'q' */\n" * 9
    assert extract(write_step(sheet, name="x")) is None
    from cadquery import importers

    path = tmp_path / "solid.step"
    path.write_bytes(sheet_file)
    assert len(importers.importStep(str(path)).vals()) == 1


def test_a_product_needs_a_name(sheet: Extruded) -> None:
    with pytest.raises(GeometryError, match="needs a name"):
        write_step(sheet, name=" ")


SCRIPT = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from tests.support.solids import FLATS, KEY, SLOT, axle, lamination
from geometry.formats.step_write import write_step, write_stl
from geometry.outline import Region
from geometry.solids import Extruded, Fillet, Filleted, RadialSlot
from tests.support.fillets import NECK
mouth = RadialSlot(90.3, 104.6, 5.2, 0.7, edge_radius=0.8)
cap = Filleted(Extruded(Region(NECK), 4.1), (Fillet(0, 3, 1.3),))
bodies = [Extruded(lamination(12), 17.3), axle(SLOT, KEY, *FLATS), axle(mouth), cap]
for body in bodies[:: int(sys.argv[2])]:
    for data in (write_step(body, name="part", payload="p"), write_stl(body, 0.05)):
        print(len(data), hashlib.sha256(data).hexdigest())
"""


def test_the_same_solid_gives_the_same_bytes_in_every_process() -> None:
    lists = []
    for seed, zone, order in (("1", "UTC", 1), ("4711", "Asia/Kathmandu", -1)):
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT, str(ROOT), str(order)],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"},
            capture_output=True,
            text=True,
            check=True,
        )
        lists.append(sorted(done.stdout.splitlines()))
    assert len(set(lists[0])) == 8  # nothing else, such as kernel chatter, on standard output
    assert lists[0] == lists[1]


def test_writing_twice_gives_the_same_bytes(sheet: Extruded) -> None:
    first, other, again = (
        hashlib.sha256(write_step(body, name="part")).hexdigest()
        for body in (sheet, axle(SLOT), sheet)
    )
    assert first == again != other


def triangles(data: bytes) -> list[tuple[Any, ...]]:
    (count,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * count
    found = [struct.unpack_from("<12f", data, 84 + 50 * k) for k in range(count)]
    return [(t[:3], t[3:6], t[6:9], t[9:]) for t in found]


@pytest.mark.parametrize(
    "body",
    [axle(SLOT, KEY, *FLATS), Filleted(Extruded(Region(NECK), 4.1), (Fillet(0, 3, 1.3),))],
    ids=["axle", "fillets"],
)
def test_stl_is_closed_faces_outward_and_keeps_the_tolerance(body: Body) -> None:
    faces = triangles(write_stl(body, 0.004))
    edges = Counter((t[i], t[j]) for t in faces for i, j in ((1, 2), (2, 3), (3, 1)))
    assert all(n == 1 and edges[b, a] == 1 for (a, b), n in edges.items())
    volume = sum(
        (
            a[0] * (b[1] * c[2] - b[2] * c[1])
            - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
        )
        / 6
        for _, a, b, c in faces
    )
    assert volume == pytest.approx(body.volume, rel=2e-3)
    assert all(math.hypot(*normal) == pytest.approx(1.0, abs=1e-5) for normal, *_ in faces)


def test_stl_needs_a_tolerance(sheet: Extruded) -> None:
    with pytest.raises(GeometryError, match="above 0"):
        write_stl(sheet, 0.0)


def test_a_wrong_height_names_the_right_ones(sheet_file: bytes) -> None:
    content = read_step(sheet_file)
    with pytest.raises(
        StepError, match=r"no flat face at z = 1.1 mm; there are some at -2.9, 14.4"
    ):
        planar_loops(content, 1.1)


def test_an_edge_that_is_no_line_or_circle_is_refused(sheet_file: bytes) -> None:
    content = read_step(sheet_file.replace(b"= LINE(", b"= PARABOLA("))
    with pytest.raises(StepError, match="PARABOLA: a line or a circle expected"):
        planar_loops(content, LOW)


def test_another_unit_is_named_and_refused(sheet_file: bytes) -> None:
    content = read_step(sheet_file.replace(b"SI_UNIT(.MILLI.,.METRE.)", b"SI_UNIT($,.METRE.)"))
    assert content.length_unit == "m"
    with pytest.raises(StepError, match="in m; mm expected"):
        planar_loops(content, LOW)


@pytest.mark.skipif(not hasattr(os, "pipe2"), reason="this system has no such signal")
def test_a_broken_pipe_stays_an_error_after_gmsh_has_read(tmp_path: Path) -> None:
    gmsh_solids(write_step(Extruded(lamination(6), 0.5), name="sheet"), tmp_path)
    read, write = os.pipe()
    os.close(read)
    with pytest.raises(BrokenPipeError):
        os.write(write, b"to nobody")
    os.close(write)
