"""What preflight must not mistake for a fault, and chords that it must see."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from geometry.formats.dxf_read import UNITS
from geometry.formats.dxf_write import write_cut_dxf, write_flat_dxf
from geometry.inspection.chords import chord_runs
from geometry.outline import Outline, Region
from geometry.point import Point
from recipes.catalogue import Parts
from recipes.manufacturing.preflight import Report, preflight
from tests.support.design import STARTERS, job
from tests.support.dxf_texts import circle, dxf, entities, line, lwpolyline

MM = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 4)]
SQUARE = [(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0), (0.0, 100.0, 0.0)]


def codes(report: Report) -> set[str]:
    return {f.code for f in report.findings if f.level != "note"}


def ring(count: int, radius: float) -> list[tuple[float, float]]:
    steps = (2 * math.pi * k / count for k in range(count))
    return [(200 + radius * math.cos(a), 200 + radius * math.sin(a)) for a in steps]


def test_a_square_plate_with_a_hole_off_centre_need_not_turn() -> None:
    """Nobody stacks plates; a lamination with one lone hole is told (turning_blocked.dxf)."""
    report = preflight(dxf(entities(lwpolyline(SQUARE), circle(30, 20, 5.0), header=MM)))
    assert {f.code for f in report.findings} <= {"layer-unknown", "small-part"}


@pytest.mark.parametrize(("count", "radius"), [(12, 20.0), (12, 9.0), (8, 50.0), (16, 30.0)])
def test_a_true_polygon_is_no_circle_of_chords(count: int, radius: float) -> None:
    corners = [(x, y, 0.0) for x, y in ring(count, radius)]
    assert codes(preflight(dxf(entities(lwpolyline(corners), header=MM)))) <= {"small-part"}


def test_a_corner_drawn_twice_stops_nothing_wherever_it_is() -> None:
    for k in range(4):
        corners = [*SQUARE[: k + 1], *SQUARE[k:]]
        report = preflight(dxf(entities(lwpolyline(corners), header=MM)))
        assert codes(report) == set()
        assert "repeated-corner" in {f.code for f in report.findings}
        assert report.measures["net_area_mm2"] == pytest.approx(10_000.0)


def test_height_is_noise_below_a_thousandth_and_told_above() -> None:
    def of(z: float) -> set[str]:
        tags = [(c, z) if c == 31 else (c, v) for c, v in line(0, 0, 100, 0)]
        rest = (line(100, 0, 100, 100), line(100, 100, 0, 100), line(0, 100, 0, 0))
        report = preflight(dxf(entities(tags, *rest, header=MM)))
        return {f"{f.level} {f.code}" for f in report.findings if f.code in ("not-flat", "z-noise")}

    assert of(0.0) == set()
    assert of(1e-7) == of(-9e-4) == {"note z-noise"}
    assert of(2e-3) == of(-2e-3) == {"stop not-flat"}


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("sagitta", [0.002, 0.0005])
def test_a_lamination_of_chords_is_seen(name: str, sagitta: float) -> None:
    """1,044 to 4,248 chords, exported with four decimals as programs do that know no arcs."""
    part = Parts(job(name))["lamination"][0]
    region = part.cut[0]
    spots = [(round(p.x, 4), round(p.y, 4)) for p in region.outer.chords(sagitta)]
    rough = replace(part, cut=(Region(Outline.polygon(spots), region.holes),))
    (found,) = (f for f in preflight(write_cut_dxf(rough)).findings if f.code == "chorded-arc")
    assert found.level == "warn"
    assert isinstance(found.value, int)
    assert found.value > 0.85 * len(spots)
    assert "chorded-arc" not in codes(preflight(write_cut_dxf(part)))


def test_runs_of_chords_by_hand() -> None:
    """A stadium of two half circles, each of 40 chords, its straight sides left alone."""
    half = [math.pi * k / 40 - math.pi / 2 for k in range(41)]
    right = [(60 + 25 * math.cos(a), 25 * math.sin(a)) for a in half]
    left = [(-25 * math.cos(a), -25 * math.sin(a)) for a in half]
    for turned in range(0, 82, 9):
        spots = [*right, *left]
        loop = Outline.polygon([*spots[turned:], *spots[:turned]])
        runs = chord_runs(loop)
        assert [r.count for r in runs] == [40, 40]
        for run in runs:
            assert run.radius == pytest.approx(25.0)
            assert min(run.center.distance(Point(x, 0.0)) for x in (0.0, 60.0)) < 1e-6
            assert run.deviation < 1e-9
            assert not run.whole


def test_few_corners_and_flat_bends_are_no_arcs() -> None:
    bevelled = Outline.polygon(
        [(1, 0), (19, 0), (20, 1), (20, 9), (19, 10), (1, 10), (0, 9), (0, 1)]
    )
    assert chord_runs(bevelled) == ()
    almost = Outline.polygon(
        [(0, 0), *((10 * k, -1e-4 * (k - 3) ** 2) for k in range(1, 7)), (30, 50)]
    )
    assert chord_runs(almost) == ()


@pytest.mark.parametrize("name", STARTERS)
def test_our_own_liners_are_accepted(name: str) -> None:
    whole, trial = Parts(job(name))["liner"]
    for part, shop in ((whole, "own"), (whole, "laser"), (trial, "own")):
        report = preflight(write_flat_dxf(part), shop, part.thickness)
        # the notches that tell trial strips apart are sharp, as a knife cuts them
        assert codes(report) <= ({"corner-tight"} if part is trial else set()), report.findings
        assert "fold-layer" in {f.code for f in report.findings}
        assert report.measures["pierces"] == part.pierces


@pytest.mark.parametrize("name", STARTERS)
def test_our_own_sheets_of_slot_paper_are_accepted(name: str) -> None:
    sheets = Parts(job(name))["paper_sheets"]
    assert sheets
    for sheet in sheets:
        report = preflight(write_flat_dxf(sheet), "own", sheet.thickness)
        assert codes(report) == set(), report.findings
        told = [f for f in report.findings if f.code == "fold-layer"]
        assert len(told) == bool(sheet.perforation)
        assert all("perforation" in f.message for f in told)
        assert report.measures["outlines"] == len(sheet.cut)


def test_units_of_the_header() -> None:
    """DXF reference, $INSUNITS; the survey foot is 1200/3937 m (US Metric Law of 1866)."""
    assert UNITS[21][1] == pytest.approx(304.8006096)
    assert UNITS[22][1] * 12 == pytest.approx(UNITS[21][1])
    for number, code in ((21, "unit-unusual"), (99, "unit-unknown"), (0, "unit-missing")):
        header = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, number)]
        assert codes(preflight(dxf(entities(lwpolyline(SQUARE), header=header)))) == {code}
