"""Sections of the axle against finite elements, exact limits and brute integration.

Outside values: tests/reference/slotted_tube_section.csv (sectionproperties 3.10.2, a general
finite-element library, and exact integrals); the library itself where it is installed; J and the
shear stress of thick slotted tubes measured with it once (mesh 0.02 D), stated at the test.
"""

import csv
import math

import pytest

from recipes.shaft.tube_section import FlatSection, TubeSection
from tests.places import ROOT

TABLE = ROOT / "tests" / "reference" / "slotted_tube_section.csv"
ROWS = list(csv.DictReader(x for x in TABLE.read_text().splitlines() if not x.startswith("#")))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['D_mm']}-{r['d_mm']}-{r['slot_w_mm']}")
def test_reference_sections(row: dict[str, str]) -> None:
    tube = TubeSection(float(row["D_mm"]), float(row["d_mm"]), float(row["slot_w_mm"]))
    assert tube.area == pytest.approx(float(row["A_mm2"]), rel=1e-6)
    assert tube.i_slot_axis == pytest.approx(float(row["I_about_slot_axis_mm4"]), rel=1e-6)
    assert tube.i_across == pytest.approx(float(row["I_other_mm4"]), rel=1e-6)
    assert tube.centroid == pytest.approx(float(row["centroid_offset_mm"]), abs=2e-5)
    assert tube.j_closed == pytest.approx(float(row["J_closed_tube"]), rel=1e-6)
    assert tube.j_open == pytest.approx(float(row["J_end_corrected"]), rel=1e-5)
    assert tube.j_open == pytest.approx(float(row["J_fe"]), rel=2e-3)


#: D, d, w, J in mm4, largest shear stress of 1000 N mm in MPa: sectionproperties 3.10.2.
FINITE_ELEMENTS = [
    (17, 10, 4, 516.35, 7.56317),
    (30, 13, 8, 11006.04, 0.93671),
    (18, 9, 5, 1043.24, 5.02141),
    (19.05, 9.525, 5.08, 1317.92, 4.20677),
    (25, 7, 5, 9571.75, 1.31856),
    (40, 30, 10, 4023.91, 1.3121),
]


@pytest.mark.parametrize(("big", "small", "width", "j", "tau"), FINITE_ELEMENTS)
def test_thick_slotted_tubes_in_torsion(big, small, width, j, tau) -> None:
    tube = TubeSection(big, small, width)
    assert tube.j_open == pytest.approx(j, rel=0.01)
    assert 1000 * max(tube.torsion) == pytest.approx(tau, rel=0.02)


def test_against_the_library_itself() -> None:
    pytest.importorskip("sectionproperties")
    shapely = pytest.importorskip("shapely")
    from sectionproperties.analysis import Section
    from sectionproperties.pre.geometry import Geometry

    big, small, width = 23.7, 11.9, 6.3
    ring = shapely.Point(0, 0).buffer(big / 2, quad_segs=48)
    ring = ring.difference(shapely.Point(0, 0).buffer(small / 2, quad_segs=48))
    ring = ring.difference(shapely.box(0, -width / 2, big, width / 2))
    geometry = Geometry(ring)
    geometry.create_mesh([0.5])
    section = Section(geometry)
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    tube = TubeSection(big, small, width)
    about_x, about_y, _ = section.get_ic()
    assert tube.area == pytest.approx(section.get_area(), rel=2e-3)
    assert tube.centroid == pytest.approx(section.get_c()[0], rel=2e-3)
    assert tube.i_slot_axis == pytest.approx(about_x, rel=2e-3)
    assert tube.i_across == pytest.approx(about_y, rel=2e-3)
    assert tube.j_open == pytest.approx(section.get_j(), rel=0.01)
    for degrees in (0, 37, 90, 150):
        angle, moment = math.radians(degrees), 1000.0
        # The library's moments turn about axes; ours bends in the plane of the load.
        stress = section.calculate_stress(
            mxx=moment * math.sin(angle), myy=moment * math.cos(angle)
        ).get_stress()[0]["sig_zz_m"]
        assert moment * tube.bending(angle) == pytest.approx(max(abs(stress)), rel=5e-3)


@pytest.mark.parametrize("degrees", [0, 17, 45, 71, 90, 133, 180, 260])
def test_bending_peak_against_a_walk_round_the_outline(degrees: int) -> None:
    tube, angle = TubeSection(21.3, 9.7, 6.1), math.radians(degrees)
    found = []
    for k in range(36000):
        x, y = 10.65 * math.cos(math.radians(k / 100)), 10.65 * math.sin(math.radians(k / 100))
        if not (x > 0 and abs(y) < 3.05):
            along = (x - tube.centroid) * math.cos(angle) / tube.i_across
            found.append(abs(along + y * math.sin(angle) / tube.i_slot_axis))
    assert tube.bending(angle) == pytest.approx(max(found), rel=1e-4)


def test_without_a_slot_it_is_the_plain_tube() -> None:
    tube = TubeSection(24.3, 11.1)
    w = math.pi * (24.3**4 - 11.1**4) / (32 * 24.3)
    assert tube.bending(0.7) == pytest.approx(1 / w)
    assert tube.torsion[0] == pytest.approx(1 / (2 * w))
    assert tube.centroid == 0.0
    thin = TubeSection(24.3, 11.1, 1e-6)
    assert thin.i_across == pytest.approx(tube.i_across, rel=1e-5)
    # solid bar: tau = 4/3 V/A; thin tube: 2 V/A (any textbook)
    assert TubeSection(13.7, 0.0).shear(0.3) == pytest.approx(4 / 3 / (math.pi / 4 * 13.7**2))
    assert TubeSection(100.0, 99.9).shear(0.3) == pytest.approx(
        2 / TubeSection(100, 99.9).area, rel=1e-3
    )


def test_a_slot_as_wide_as_the_bar_leaves_half() -> None:
    tube = TubeSection(20.6, 8.2, 20.6)
    assert tube.area == pytest.approx(math.pi / 8 * (20.6**2 - 8.2**2))
    # centroid of half a disc: 4 R / (3 pi)
    first = 2 / 3 * (10.3**3 - 4.1**3)
    assert tube.centroid == pytest.approx(-first / tube.area)


def test_flats_against_brute_integration() -> None:
    flat, step = FlatSection(24.8, 9.3, 19.7), 0.05  # a whole number of steps to the flat
    toward = along = 0.0
    n = int(12.4 / step) + 1
    for i in range(-n, n):
        for j in range(-n, n):
            x, y = (i + 0.5) * step, (j + 0.5) * step
            r = math.hypot(x, y)
            if r < 12.4 and abs(x) < 9.85 and r > 4.65:
                toward += x * x * step * step
                along += y * y * step * step
    assert flat.i_of_faces == pytest.approx((toward, along), rel=2e-3)
    assert flat.bending(0.0) == pytest.approx(9.85 / toward, rel=2e-3)
    assert flat.bending(math.pi / 2) == pytest.approx(12.4 / along, rel=2e-3)
    wide = FlatSection(24.8, 9.3, 24.8)
    assert wide.bending(0.4) == pytest.approx(TubeSection(24.8, 9.3).bending(0.4))
    assert flat.torsion == pytest.approx(TubeSection(19.7, 9.3).torsion[0])
