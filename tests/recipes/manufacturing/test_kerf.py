"""Kerf: which way it goes, that rounds stay exact, and what the coupon's measures make of it.

Outside checks: Steiner's formula for parallel outlines; GEOS (shapely) buffers the same sheet;
GDAL (pyogrio) reads the inch and R12 twins; 1 in = 25.4 mm exactly (NIST SP 811).
"""

from __future__ import annotations

import math
import os
from pathlib import Path
from typing import Any

import pytest
import shapely

from geometry.formats.dxf_read import outlines_of, read_dxf
from geometry.part import Part
from geometry.polygon import to_polygon
from geometry.segment import Arc
from recipes.build.files import Planned, planned
from recipes.build.read_back import check_dxf
from recipes.catalogue import Parts
from recipes.design.load import BadInput
from recipes.motor import Motor
from recipes.refusal import Refused
from tests.support.design import STARTERS, design, job
from tests.support.shop import as_cut, kerf_figures, kerf_told

MEASURED = {"outer_x": 19.86, "outer_y": 19.87, "hole_x": 10.13, "hole_y": 10.15}


def sheets(name: str = "potters-wheel", **shop: Any) -> tuple[Part, Part]:
    """The lamination as designed, and as its cut file draws it."""
    j = job(name, **{f"shop__{key}": value for key, value in shop.items()})
    part = Parts(j)["lamination"][0]
    return part, as_cut(j, part)


def codes(j: Motor) -> dict[str, str]:
    return {f.code: f.level for f in kerf_told(j)}


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("kerf", ["0.13 mm", "0.27 mm"])
def test_outer_grows_and_holes_shrink_by_half_a_kerf_a_side(name: str, kerf: str) -> None:
    nominal, drawn = sheets(name, kerf_full_width=kerf)
    side = float(kerf.split()[0]) / 2
    (a,), (b,) = nominal.cut, drawn.cut
    assert b.box[3] == pytest.approx(a.box[3] + side, abs=1e-9)  # tooth 1 points up
    assert b.outer.area > a.outer.area
    for hole, other in zip(a.holes, b.holes, strict=True):
        assert other.area < hole.area
        assert other.box[0] == pytest.approx(hole.box[0] + side, abs=1e-9)
        assert other.box[2] == pytest.approx(hole.box[2] - side, abs=1e-9)


@pytest.mark.parametrize("name", STARTERS)
def test_every_arc_stays_an_arc_about_its_centre(name: str) -> None:
    nominal, drawn = sheets(name, kerf_full_width="0.18 mm")
    arcs = [s for loop in drawn.loops for s in loop.segments if isinstance(s, Arc)]
    for loop in nominal.loops:
        for s in loop.segments:
            if isinstance(s, Arc):
                radius = s.radius + (0.09 if s.ccw else -0.09)
                assert any(
                    t.ccw == s.ccw
                    and t.center.distance(s.center) < 1e-9
                    and abs(t.radius - radius) < 1e-9
                    for t in arcs
                )


def test_round_holes_stay_true_circles() -> None:
    _, drawn = sheets("kayak-thruster", kerf_full_width=0.17)
    found = [c[1] for h in drawn.cut[0].holes if (c := h.as_circle())]
    assert found == pytest.approx([2.2 / 2 - 0.085] * 4, abs=1e-9)


@pytest.mark.parametrize("name", STARTERS)
def test_area_changes_by_perimeter_times_half_a_kerf_to_second_order(name: str) -> None:
    """Steiner: A(d) = A + P d + c d^2, with one c for all d that change no edge's kind."""
    second = []
    for d in (0.02, 0.04, 0.08):
        nominal, drawn = sheets(name, kerf_full_width=f"{2 * d} mm")
        second.append((drawn.area - nominal.area - nominal.cut_length * d) / d**2)
    assert second == pytest.approx([second[0]] * 3, rel=2e-2)


@pytest.mark.parametrize("name", STARTERS)
def test_geos_buffers_the_same_sheet(name: str) -> None:
    nominal, drawn = sheets(name, kerf_full_width="0.21 mm")
    buffered = to_polygon(nominal.cut[0], sagitta=2e-4).buffer(0.105, quad_segs=48)
    exact = to_polygon(drawn.cut[0], sagitta=2e-4)
    assert exact.area == pytest.approx(buffered.area, rel=1e-5)
    # Chords lie off their arcs by 2e-4 mm; a wrong side would differ by 0.2 mm of the cut length.
    assert exact.symmetric_difference(buffered).area < 4e-4 * drawn.cut_length


def test_nominal_unless_asked_and_paper_never() -> None:
    for shop in ({}, {"kerf_full_width": 0}, {"measured": MEASURED}):
        nominal, drawn = sheets(**shop)
        assert drawn is nominal
    j = job(shop__kerf_full_width=0.15)
    for part in Parts(j)["liner"]:
        assert as_cut(j, part) is part
    _, drawn = sheets(kerf_full_width=0.15)
    assert not any("nominal" in note for note in drawn.notes)
    assert any("0.15 mm full kerf" in note for note in drawn.notes)


def test_the_coupon_measures_become_the_kerf() -> None:
    kerf = job(shop__measured=MEASURED).kerf
    assert [round(r.width, 9) for r in kerf.readings] == [0.14, 0.13, 0.13, 0.15]
    assert (kerf.width, kerf.drawn, kerf.confidence) == (0.14, 0.0, "yours")
    assert kerf.mean(axis="x") == pytest.approx(0.135)
    assert kerf.mean(axis="y") == pytest.approx(0.14)
    assert kerf.mean(kind="hole") == pytest.approx(0.14)
    asked = job(shop__kerf_full_width="measured", shop__measured=MEASURED)
    assert asked.kerf.drawn == 0.14
    assert kerf_figures(asked)["kerf_full_width_mm"] == 0.14


def test_a_coupon_drawn_with_kerf_hides_that_much() -> None:
    known = {"outer_x": 20.03, "hole_y": 9.98, "drawn_kerf": 0.15}
    assert [round(r.width, 9) for r in job(shop__measured=known).kerf.readings] == [0.12, 0.13]


def test_without_a_coupon_the_profile_speaks() -> None:
    kerf = job(shop__process="waterjet").kerf
    assert (kerf.width, kerf.drawn, kerf.confidence) == (0.9, 0.0, "practice")
    assert "metalcreature.com" in kerf.source


def test_measures_in_inches() -> None:
    j = job("wool-spinner", shop__measured={"outer_x": 19.87 / 25.4, "hole_x": "10.12 mm"})
    assert [round(r.width, 6) for r in j.kerf.readings] == [0.13, 0.12]
    shop = design("wool-spinner", shop__kerf_full_width=0.006).shop
    assert shop.kerf_full_width == pytest.approx(0.1524)


@pytest.mark.parametrize("value", [-0.1, 3.1, "wide", True, [0.1], "0.1 kg"])
def test_a_kerf_that_is_none_is_refused(value: object) -> None:
    with pytest.raises(BadInput) as caught:
        design(shop__kerf_full_width=value)
    assert [f.field for f in caught.value.findings] == ["shop.kerf_full_width"]


def test_measured_without_measures_is_refused_by_field() -> None:
    with pytest.raises(Refused) as caught:
        kerf_told(job(shop__kerf_full_width="measured", shop__measured={"bore_step": 0.05}))
    assert caught.value.findings[0].field == "shop.kerf_full_width"
    assert "outer_x" in caught.value.findings[0].fix


def test_findings_show_the_effect() -> None:
    assert codes(job()) == {}
    (note,) = kerf_told(job(shop__kerf_full_width=0.15))
    assert "grows by 0.075 mm a side, holes shrink by 0.075 mm" in note.message
    uncompensated = codes(job(shop__measured=MEASURED))
    assert uncompensated == {"kerf-measured": "note", "kerf-left-over": "warn"}
    agreed = job(shop__kerf_full_width="measured", shop__measured=MEASURED)
    assert codes(agreed) == {"kerf-drawn": "note", "kerf-measured": "note"}
    twice = {"outer_x": 20.01, "hole_x": 9.99}  # the shop compensates by itself
    found = {f.code: f for f in kerf_told(job(shop__kerf_full_width=0.15, shop__measured=twice))}
    assert "0.16 mm large" in found["kerf-left-over"].message


def test_spread_over_0_05_is_a_finding_that_names_the_cause() -> None:
    axes = {"outer_x": 19.80, "outer_y": 19.87, "hole_x": 10.20, "hole_y": 10.13}
    kinds = {"outer_x": 19.88, "outer_y": 19.88, "hole_x": 10.20, "hole_y": 10.20}
    near = {"outer_x": 19.85, "hole_y": 10.10}
    for measured, cause in ((axes, "axes"), (kinds, "holes and outer"), (near, None)):
        found = {f.code: f for f in kerf_told(job(shop__measured=measured))}
        assert ("kerf-spread" in found) == (cause is not None)
        if cause:
            assert cause in found["kerf-spread"].message


@pytest.mark.parametrize("kerf", [None, 0.15])
@pytest.mark.parametrize("before", [0.0, 0.11])
def test_the_bore_is_drawn_like_the_half_ring_that_fits(kerf: float | None, before: float) -> None:
    measured = {"bore_step": 0.15, "drawn_kerf": before}
    _, drawn = sheets(kerf_full_width=kerf, measured=measured)
    bore = drawn.cut[0].holes[-1]
    radii = {round(2 * s.radius, 9) for s in bore.segments if isinstance(s, Arc) and not s.ccw}
    assert round(30.0 + 0.15 - before, 9) in radii
    assert drawn.settings["bore_drawn_mm"] == pytest.approx(30.15 - before)
    other = (kerf or 0.0) / 2
    assert drawn.cut[0].box[3] == pytest.approx(75.0 + other)  # nothing else moves with the bore


def test_pile_and_comb_speak() -> None:
    """ASTM A719: stacking factor = steel / pile; 20 x 0.5 mm in 10.35 mm are 0.966."""
    j = job(shop__measured={"pile_of_20": 10.35, "opening_step": 0.1})
    assert kerf_figures(j)["stacking_factor_measured"] == 0.966
    found = {f.code: f for f in kerf_told(j)}
    assert "39 sheets, not 38" in found["stacking-factor-measured"].message
    assert found["opening-measured"].limit == pytest.approx(3.3)
    assert codes(job(shop__measured={"pile_of_20": 10.64})) == {}
    assert codes(job(shop__measured={"pile_of_20": 9.2})) == {"pile-height": "warn"}
    assert codes(job(shop__measured={"opening_step": -0.1})) == {"opening-measured": "note"}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"shop__kerf_full_width": 0.9}, "hub.keyway.corner_radius"),
        ({"shop__kerf_full_width": 1.0}, "lamination.neck_radius"),
        ({"shop__kerf_full_width": 1.9}, "lamination.root_radius"),
        ({"shop__kerf_full_width": 1.0}, "hub.mark_radius"),
        ({"shop__kerf_full_width": 1.6, "lamination__slot_opening": 1.5}, "lamination.slot_opening"),
        ({"shop__kerf_full_width": 2.3, "hub__bolts": {"count": 6, "circle_diameter": 40, "hole_diameter": 2.2}}, "hub.bolts.hole_diameter"),
    ],
)  # fmt: skip
def test_what_would_vanish_is_a_stop_by_field(changes: dict[str, object], field: str) -> None:
    stops = {f.field: f for f in kerf_told(job(**changes)) if f.level == "stop"}
    assert field in stops
    assert stops[field].fix
    assert isinstance(stops[field].value, float)
    assert stops[field].value <= float(stops[field].limit or 0) + 1e-9


def files_of(j: Motor, name: str = "lamination") -> dict[str, Planned]:
    return {p.path: p for p in planned(j, Parts(j)[name], ("cut",), "")}


def test_file_names_say_kerf_version_and_unit() -> None:
    assert list(files_of(job())) == ["cut/lamination_0.5mm_qty40_kerf0.dxf"]
    j = job(shop__kerf_full_width=0.15, shop__inch_twin=True, shop__r12_twin=True)
    stem = "cut/lamination_0.5mm_qty40_kerf0.15"
    assert list(files_of(j)) == [f"{stem}.dxf", f"{stem}_R12_mm.dxf", f"{stem}_inch.dxf"]
    assert all("_kerf0" in path and "kerf0.15" not in path for path in files_of(j, "liner"))
    old = job(shop__dxf_version="R12", shop__inch_twin=True, shop__r12_twin=True)
    stem = "cut/lamination_0.5mm_qty40_kerf0_R12"
    assert list(files_of(old)) == [f"{stem}_mm.dxf", f"{stem}_inch.dxf"]
    bore = job(shop__measured={"bore_step": 0.1})
    assert list(files_of(bore)) == ["cut/lamination_0.5mm_qty40_kerf0_bore30.1.dxf"]


@pytest.mark.parametrize("recipe", ["lamination", "liner"])
def test_every_twin_is_read_back_against_what_is_drawn(recipe: str) -> None:
    j = job("kayak-thruster", shop__kerf_full_width=0.15, shop__inch_twin=True, shop__r12_twin=True)
    for path, plan in files_of(j, recipe).items():
        data = plan.make()
        assert plan.check(data) == [], path
        flat = recipe == "liner"
        assert check_dxf(plan.part, flat, data, "mm" if "inch" in path else "in"), path
        if recipe == "lamination":
            assert check_dxf(Parts(j)[recipe][0], False, data, "in" if "inch" in path else "mm")


def test_an_inch_twin_is_the_same_outline_over_25_4() -> None:
    j = job("wool-spinner", shop__inch_twin=True)
    metric, inch = (read_dxf(p.make()) for p in files_of(j).values())
    assert (inch.insunits, inch.measurement) == (1, 0)  # $INSUNITS 1 is inches (DXF reference)
    a, b = outlines_of(metric), outlines_of(inch, mm_per_unit=1.0)
    for one, other in zip(a, b, strict=True):
        assert other.perimeter * 25.4 == pytest.approx(one.perimeter, rel=1e-10)
        assert other.area * 25.4**2 == pytest.approx(one.area, rel=1e-10)
        assert [v * 25.4 for v in other.box] == pytest.approx(one.box, abs=1e-8)


def test_gdal_reads_inch_and_r12_twins(tmp_path: Path) -> None:
    """GDAL's DXF driver through pyogrio, arcs in chords of 0.5 degrees."""
    os.environ["OGR_ARC_STEPSIZE"] = "0.5"
    pyogrio = pytest.importorskip("pyogrio")
    kerf = {"shop__kerf_full_width": 0.16, "shop__inch_twin": True, "shop__r12_twin": True}
    for name in STARTERS[:2]:
        for path, plan in files_of(job(name, **kerf)).items():
            file = tmp_path / Path(path).name
            file.write_bytes(plan.make())
            _, _, shapes, fields = pyogrio.raw.read(file)
            scale = 25.4 if "inch" in path else 1.0
            areas = {"CUT_OUTER": 0.0, "CUT_INNER": 0.0}
            for layer, shape in zip(fields[0], shapes, strict=True):
                ring = shapely.from_wkb(shape)
                solid = ring if ring.geom_type == "Polygon" else shapely.Polygon(ring.coords)
                areas[layer] += solid.area * scale**2
            (region,) = plan.part.cut
            assert areas["CUT_OUTER"] == pytest.approx(region.outer.area, rel=1e-4)
            inner = math.fsum(h.area for h in region.holes)
            assert areas["CUT_INNER"] == pytest.approx(inner, rel=1e-4)
            header = file.read_bytes().replace(b"\r\n", b"\n").split(b"ENDSEC")[0]
            if "R12" in path:
                assert b"$INSUNITS" not in header
            else:
                code = header.split(b"$INSUNITS\n")[1].split(b"\n")[1].strip()
                assert code == (b"1" if "inch" in path else b"4")


def test_the_coupon_gets_the_kerf_of_the_sheets() -> None:
    j = job(shop__kerf_full_width=0.15)
    square = as_cut(j, Parts(j)["coupon"][0])
    assert square.box == pytest.approx((-10.075, -10.075, 10.075, 10.075))
    assert (square.cut[0].holes[0].as_circle() or (None, 0))[1] == pytest.approx(4.925)
