"""`preflight` on broken files written by hand and on clean files of other libraries."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from geometry.finding import Finding
from geometry.formats.dxf_write import Version, write_cut_dxf
from recipes.catalogue import Parts
from recipes.manufacturing.preflight import MOST_OF_A_KIND, Report, preflight
from recipes.tables.process import process
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.dxf_texts import circle, dxf, entities, line, lwpolyline

BROKEN = sorted((ROOT / "tests" / "broken_dxf").glob("*.dxf"))
VERSIONS: tuple[Version, ...] = ("R12", "R2000", "R2010")
MM = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 4)]


def _told(path: Path, word: str) -> list[list[str]]:
    """Return what the comments of a hand-written file announce."""
    lines = path.read_text(encoding="ascii").splitlines()
    return [text.split()[1:] for text in lines if text.startswith(f"{word} ")]


def _is(finding: Finding, expected: list[str]) -> bool:
    level, code, *place = expected
    if (finding.level, finding.code) != (level, code):
        return False
    if not place:
        return True
    x, y = map(float, place)
    return finding.where is not None and math.dist(finding.where, (x, y)) < 1e-3


@pytest.mark.parametrize("path", BROKEN, ids=lambda p: p.stem)
def test_what_is_broken_is_found_at_its_place_and_nothing_else(path: Path) -> None:
    expected = _told(path, "expect")
    judged = _told(path, "judge")
    shop, thickness = (judged[0][0], float(judged[0][1])) if judged else ("laser", None)
    report = preflight(path.read_bytes(), shop, thickness)
    assert expected
    for one in expected:
        assert any(_is(f, one) for f in report.findings), (one, report.findings)
    surplus = {f.code for f in report.findings if f.level != "note"} - {e[1] for e in expected}
    assert not surplus
    for f in report.findings:
        assert f.message
        assert f.fix
        assert f.source


def test_every_broken_file_says_what_is_wrong() -> None:
    assert len(BROKEN) > 50
    for path in BROKEN:
        code, text = path.read_text(encoding="ascii").splitlines()[:2]
        assert code == "999", path
        assert not text.startswith("expect"), path


@pytest.mark.parametrize(("name", "version"), list(zip(STARTERS, VERSIONS, strict=True)))
def test_our_own_laminations_pass(name: str, version: Version) -> None:
    made = job(name)
    part = Parts(made)["lamination"][0]
    data = write_cut_dxf(part, version=version)
    report = preflight(data, made.design.shop.process, part.thickness)
    assert [f for f in report.findings if f.level != "note"] == []
    assert report.measures["net_area_mm2"] == pytest.approx(part.area, rel=1e-6)
    assert report.measures["cut_length_mm"] == pytest.approx(part.cut_length, rel=1e-6)
    assert report.measures["pierces"] == part.pierces
    assert report.measures["holes"] == part.pierces - 1
    assert report.measures["flip_mark"] is True
    inch = preflight(write_cut_dxf(part, unit="in"), made.design.shop.process, part.thickness)
    assert {f.code for f in inch.findings if f.level != "note"} == set()
    for key, value in report.measures.items():
        if key.endswith("_mm") and isinstance(value, float):
            assert inch.measures[key] == pytest.approx(value, rel=1e-5, abs=1e-9)


def _ezdxf(draw: Callable[[Any], None], version: str = "R2010") -> bytes:
    doc = ezdxf.new(version, units=4)
    draw(doc)
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode()


def _plain_plate(doc: Any) -> None:
    """Draw a rounded plate with two holes and a slot as plain LINE, ARC and CIRCLE."""
    space = doc.modelspace()
    w, h, r = 131.7, 88.3, 7.1
    space.add_line((w - r, h), (r, h))
    space.add_arc((r, r), r, 180, 270)
    space.add_line((r, 0), (w - r, 0))
    space.add_arc((w - r, h - r), r, 0, 90)
    space.add_line((w, h - r), (w, r))
    space.add_arc((r, h - r), r, 90, 180)
    space.add_line((0, r), (0, h - r))
    space.add_arc((w - r, r), r, 270, 360)
    space.add_circle((30, 30), 4.25)
    space.add_arc((90, 30), 3.3, 0, 360)
    space.add_line((50, 60), (80, 60))
    space.add_arc((80, 62.5), 2.5, -90, 90)
    space.add_line((50, 65), (80, 65))
    space.add_arc((50, 62.5), 2.5, 90, 270)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_plain_lines_and_arcs_of_ezdxf_are_judged_fairly(version: str) -> None:
    report = preflight(_ezdxf(_plain_plate, version), "laser", 3.0)
    assert {f.code for f in report.findings} <= {"unit-missing"}
    assert [f.level for f in report.findings] == (["note"] if version == "R12" else [])
    w, h, r = 131.7, 88.3, 7.1
    holes = math.pi * (4.25**2 + 3.3**2 + 2.5**2) + 30 * 5
    assert report.measures["net_area_mm2"] == pytest.approx(w * h - (4 - math.pi) * r * r - holes, rel=1e-6)  # fmt: skip
    assert (report.measures["outlines"], report.measures["holes"]) == (4, 3)
    assert report.measures["smallest_hole_mm"] == pytest.approx(5.0, abs=0.01)
    assert report.measures["narrowest_slot_mm"] == pytest.approx(5.0)
    assert report.measures["narrowest_web_mm"] == pytest.approx(88.3 - 65.0)
    assert report.measures["smallest_corner_radius_mm"] == pytest.approx(2.5)
    assert report.measures["width_mm"] == pytest.approx(w)


def test_a_file_that_ezdxf_leaves_in_metres_is_read_in_millimetres_with_a_warning() -> None:
    doc = ezdxf.new("R2010")
    _plain_plate(doc)
    text = io.StringIO()
    doc.write(text)
    report = preflight(text.getvalue().encode())
    assert [(f.level, f.code) for f in report.findings] == [("warn", "unit-unusual")]
    assert report.measures["unit"] == "m"
    assert report.measures["width_mm"] == pytest.approx(131.7)


def test_the_exporter_of_cadquery_is_judged_fairly(tmp_path: Path) -> None:
    import cadquery as cq

    plate = (
        cq.Workplane().rect(117.3, 91.9).extrude(2).edges("|Z").fillet(6.2)
        .faces(">Z").workplane().polarArray(23.5, 0, 360, 5).hole(7.7)
        .faces(">Z").workplane().slot2D(20.5, 4.4).cutThruAll()
    )  # fmt: skip
    cq.exporters.export(plate.section(), str(tmp_path / "plate.dxf"))
    report = preflight((tmp_path / "plate.dxf").read_bytes(), "laser", 2.0)
    assert [f for f in report.findings if f.level == "stop"] == []
    area = plate.val().Volume() / 2
    assert report.measures["net_area_mm2"] == pytest.approx(area, rel=1e-6)
    assert report.measures["holes"] == 6
    assert report.measures["narrowest_slot_mm"] == pytest.approx(4.4, abs=1e-3)


def test_a_spline_of_cadquery_is_refused_by_name_and_place(tmp_path: Path) -> None:
    import cadquery as cq

    egg = cq.Workplane().ellipse(40.1, 25.3).extrude(1)
    cq.exporters.export(egg.section(), str(tmp_path / "egg.dxf"))
    report = preflight((tmp_path / "egg.dxf").read_bytes())
    (curve,) = [f for f in report.findings if f.code == "curve"]
    assert curve.level == "stop"
    assert curve.value in ("ELLIPSE", "SPLINE")


def _plate(*holes: tuple[float, float, float], thickness: float | None = None) -> Report:
    """Return the report of a plate 120.5 x 110.25 with round holes (x, y, radius)."""
    corners = [(0.0, 0.0, 0.0), (120.5, 0.0, 0.0), (120.5, 110.25, 0.0), (0.0, 110.25, 0.0)]
    rings = [circle(*hole) for hole in holes]
    return preflight(dxf(entities(lwpolyline(corners), *rings, header=MM)), "laser", thickness)


@pytest.mark.parametrize("name", ["laser", "waterjet", "wire-edm", "own"])
def test_limits_are_those_of_the_process(name: str) -> None:
    shop = process(name)
    for t in (0.35, 4.0):
        corners = [(0.0, 0.0, 0.0), (120.5, 0.0, 0.0), (120.5, 110.25, 0.0), (0.0, 110.25, 0.0)]
        for factor, stops in ((0.97, True), (1.03, False)):
            hole = circle(60.0, 50.0, factor * shop.hole(t) / 2)
            data = dxf(entities(lwpolyline(corners), hole, header=MM))
            found = [f for f in preflight(data, name, t).findings if f.code == "hole-small"]
            assert bool(found) is stops
            if found:
                assert found[0].limit == pytest.approx(shop.hole(t))
                assert found[0].source == shop.source


def test_the_thickness_raises_the_limits() -> None:
    assert "hole-small" not in {f.code for f in _plate((60.0, 50.0, 1.4)).findings}
    assert "hole-small" in {f.code for f in _plate((60.0, 50.0, 1.4), thickness=3.0).findings}


def test_many_of_a_kind_are_counted_not_listed() -> None:
    holes = [(5.0 + 2.5 * (k % 40), 10.0 + 9.0 * (k // 40), 0.3) for k in range(200)]
    small = [f for f in _plate(*holes).findings if f.code == "hole-small"]
    assert len(small) == MOST_OF_A_KIND + 1
    assert "175 more" in small[-1].message


def test_findings_come_most_serious_first_and_places_are_in_mm() -> None:
    inches = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 1)]
    edges = [line(0, 0, 4, 0), line(4, 0, 4, 3), line(4, 3, 0, 3), line(0, 3, 0, 0.01)]
    report = preflight(dxf(entities(*edges, circle(2, 1, 0.01), header=inches)))
    levels = [f.level for f in report.findings]
    assert levels == sorted(levels, key=["stop", "warn", "note"].index)
    (gap,) = [f for f in report.findings if f.code == "open-end"]
    assert gap.value == pytest.approx(0.254)
    assert gap.where in [(0.0, 0.0), (0.0, 0.254)]
    assert "drawn at (0.0000, 0.0" in gap.message
