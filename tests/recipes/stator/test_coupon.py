"""The test coupon: true sizes, countable numbers, pieces that every process can cut.

Outside checks: common practice gives sizes and steps; GEOS (shapely) erodes the pieces to find
thin webs; GDAL (pyogrio) reads the files; the preflight judges them as a shop would.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from geometry.outline import Outline
from geometry.part import Part
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Arc, Segment
from recipes.build.files import planned
from recipes.catalogue import Parts
from recipes.manufacturing.preflight import preflight
from recipes.motor import Motor, solve
from recipes.stator.coupon import mark_of
from recipes.tables.process import process
from tests.support.design import STARTERS, job
from tests.support.shop import as_cut

PROCESSES = ("laser", "waterjet", "wire-edm", "own")


def pieces(j: Motor, name: str = "") -> list[Part]:
    return [p for p in Parts(j)["coupon"] if p.name.startswith(name)]


def arcs(part: Part) -> Iterator[Arc]:
    return (s for s in part.cut[0].outer.segments if isinstance(s, Arc))


def notches(part: Part, width: float) -> list[Point]:
    """Middles of the half-round counting notches."""
    half_turns = (s for s in arcs(part) if not s.ccw and abs(abs(s.sweep) - math.pi) < 1e-9)
    return [s.center for s in half_turns if abs(s.radius - width / 2) < 1e-9]


def bore_job(bore: float, **shop: str) -> Motor:
    """The potter's wheel with a plain hub and another bore."""
    return job(
        lamination__bore_diameter=bore, hub__keyway=None, hub__spokes=None,
        hub__yoke_thickness=None, **{f"shop__{k}": v for k, v in shop.items()},
    )  # fmt: skip


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("cut", PROCESSES)
def test_pieces_are_two_each_of_the_sheet_and_fit_an_offcut(name: str, cut: str) -> None:
    j = job(name, shop__process=cut)
    found = Parts(j)["coupon"]
    assert found == Parts(solve(j.design))["coupon"]
    names = [p.name for p in found]
    assert names[0] == "coupon"
    assert {"coupon_bore_1", "coupon_tooth", "coupon_comb"} < set(names)
    assert len(set(names)) == len(names)
    for part in found:
        assert (part.material, part.thickness, part.quantity) == (
            j.design.lamination.steel, j.design.lamination.sheet_thickness, 2,
        )  # fmt: skip
        x0, y0, x1, y1 = part.box
        assert min(x1 - x0, y1 - y0) >= 16.0 - 1e-9
        assert max(x1 - x0, y1 - y0) <= 60.0 + 1e-9
        assert all(note for note in part.notes)
        assert min(s.length for loop in part.loops for s in loop.segments) > 0.05


def test_square_and_hole_are_true_and_one_side_is_marked() -> None:
    square = pieces(job())[0]
    assert square.box == (-10.0, -10.0, 10.0, 10.0)
    assert square.cut[0].holes[0].as_circle() == (Point(0.0, 0.0), 5.0)
    (mark,) = notches(square, 1.0)
    assert mark == pytest.approx((10.0, 0.0))


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("cut", ["laser", "waterjet"])
def test_half_rings_step_by_0_05_and_carry_their_number(name: str, cut: str) -> None:
    j = job(name, shop__process=cut)
    bore, mark = j.design.lamination.bore_diameter, mark_of(process(cut), 0.5)
    seen: dict[int, float] = {}
    for part in pieces(j, "coupon_bore"):
        rings = [s for s in arcs(part) if s.radius > 3.0]
        counts = [0] * len(rings)
        for spot in notches(part, mark.width):
            near = min(range(len(rings)), key=lambda k: rings[k].center.distance(spot))
            counts[near] += 1
        for ring, count in zip(rings, counts, strict=True):
            assert abs(ring.sweep) == pytest.approx(math.pi, abs=1e-9)
            assert not ring.ccw  # hollow
            seen[count] = 2 * ring.radius
            assert part.settings[f"notches_{count}_diameter_mm"] == pytest.approx(2 * ring.radius)
    steps = {n: round(size - bore, 9) for n, size in seen.items()}
    assert steps == {1: 0.0, 2: 0.05, 3: 0.1, 4: 0.15, 5: 0.2}


@pytest.mark.parametrize(("bore", "count"), [(4.0, 2), (9.5, 2), (24.5, 3), (47.0, 3)])
def test_half_rings_fit_whatever_the_bore(bore: float, count: int) -> None:
    found = pieces(bore_job(bore), "coupon_bore")
    assert len(found) == count
    assert all(max(p.box[2], p.box[3]) <= 60.0 for p in found)


def test_a_large_bore_becomes_arcs_of_its_radius() -> None:
    found = pieces(bore_job(61.0), "coupon_bore")
    radii = sorted(2 * s.radius for p in found for s in arcs(p) if s.radius > 20)
    assert radii == pytest.approx([61.0, 61.05, 61.1, 61.15, 61.2])
    assert all(max(p.box[2], p.box[3]) <= 60.0 for p in found)
    assert all("no light" in p.notes[1] for p in found)


def test_a_bore_too_small_to_cut_has_no_gauge() -> None:
    assert pieces(bore_job(1.5, process="waterjet"), "coupon_bore") == []


@pytest.mark.parametrize("name", STARTERS)
def test_comb_gaps_step_about_the_opening_and_carry_their_number(name: str) -> None:
    j = job(name)
    (comb,) = pieces(j, "coupon_comb")
    opening = j.design.lamination.slot_opening
    ends = [s for s in arcs(comb) if s.center.y > 3.0]
    counts: dict[int, float] = {}
    for end in ends:
        near = [m for m in notches(comb, 1.0) if m.y < 1.0 and abs(m.x - end.center.x) < 5.0]
        inside = [
            m for m in near
            if min(ends, key=lambda e: abs(e.center.x - m.x)) is end
        ]  # fmt: skip
        counts[len(inside)] = 2 * end.radius
    steps = {n: round(size - opening, 9) for n, size in counts.items()}
    assert steps == {1: -0.2, 2: -0.1, 3: 0.0, 4: 0.1, 5: 0.2}
    assert {comb.settings[f"notches_{n}_gap_mm"] for n in counts} == {
        round(v, 3) for v in counts.values()
    }


def test_comb_leaves_out_what_cannot_be_cut_or_does_not_matter() -> None:
    (few,) = pieces(job(shop__process="waterjet"), "coupon_comb")
    assert sorted(few.settings) == ["notches_1_gap_mm", "notches_3_gap_mm", "notches_5_gap_mm"]
    narrow = job(lamination__slot_opening=1.1, winding__wire="0.3 mm")
    (comb,) = pieces(narrow, "coupon_comb")
    assert min(float(v) for v in comb.settings.values()) == 1.0  # the laser's least slot
    small = job("wool-spinner", lamination__slot_opening="1.9 mm", shop__kerf_full_width="1.75 mm")
    gaps = [float(v) for v in pieces(small, "coupon_comb")[0].settings.values()]
    assert min(gaps) == pytest.approx(1.9)  # 1.7 and 1.8 would close when the kerf is drawn in
    wide = job(
        motor__slots=6, motor__poles=8, lamination__slot_opening=30.0, lamination__tooth_width=20.0,
    )  # fmt: skip
    assert pieces(wide, "coupon_comb") == []


def middles(segments: tuple[Segment, ...]) -> set[tuple[float, float]]:
    spots = (s.point_at(0.5) for s in segments)
    return {(round(p.x, 6) + 0.0, round(p.y, 6) + 0.0) for p in spots}


@pytest.mark.parametrize("name", STARTERS)
def test_tooth_is_cut_from_the_very_sheet(name: str) -> None:
    """All of its edges but the five that cut it loose are edges of the lamination."""
    j = job(name)
    (tooth,) = pieces(j, "coupon_tooth")
    assert tooth.settings["slots"] == "whole slots"
    whole = middles(Parts(j)["lamination"][0].cut[0].outer.segments)
    own = middles(tooth.cut[0].outer.segments)
    assert len(own - whole) == 5  # two half tips, two cuts, the strip of yoke
    assert len(own & whole) == 4 * (len(j.slot.half) - 2) + 3  # four sides, a tip, two floors


def test_a_large_tooth_stands_between_half_slots_and_a_deep_one_is_longer() -> None:
    large = job(
        motor__slots=12, motor__poles=14, lamination__outer_diameter=180.0,
        lamination__tooth_width=14.0,
    )  # fmt: skip
    (tooth,) = pieces(large, "coupon_tooth")
    assert tooth.settings["slots"] == "half slots"
    whole = middles(Parts(large)["lamination"][0].cut[0].outer.segments)
    assert len(middles(tooth.cut[0].outer.segments) & whole) == 2 * (len(large.slot.half) - 2) + 1
    deep = job(lamination__outer_diameter=300.0, lamination__slot_depth=70.0, hub__spokes=None,
               hub__yoke_thickness=None, lamination__slot_opening=6.0)  # fmt: skip
    (tooth,) = pieces(deep, "coupon_tooth")
    assert tooth.settings["slots"] == "whole slots"  # longer than 60 mm either way
    assert tooth.box[3] - tooth.box[1] > 70.0


@pytest.mark.parametrize(
    ("slots", "shape"),
    [(3, "arc"), (9, "arc"), (9, "flat"), (51, "arc"), (51, "flat"), (120, "arc"), (120, "flat")],
)
def test_every_slot_count_has_a_coupon(slots: int, shape: str) -> None:
    r = max(20.0, slots * 2.2)
    pitch = 2 * math.pi * r / slots
    j = job(
        motor__slots=slots, motor__poles=2 if slots == 3 else slots + slots % 2 + 2 * (slots % 2 == 0),
        lamination__outer_diameter=2 * r, lamination__bore_diameter=10.0,
        lamination__tooth_width=0.42 * pitch, lamination__slot_depth=0.3 * r,
        lamination__slot_opening=0.2 * pitch, lamination__tip_thickness=0.04 * r + 0.5,
        lamination__tip_angle=10.0, lamination__slot_bottom=shape, hub__spokes=None,
        hub__yoke_thickness=None, hub__keyway=None, winding__wire="0.3 mm",
    )  # fmt: skip
    for part in Parts(j)["coupon"]:
        assert to_polygon(part.cut[0]).is_valid


def thinner_than(loop: Outline, web: float) -> float:
    """Area that a disc of diameter `web` cannot reach, sharp corners aside."""
    polygon = to_polygon(loop, sagitta=5e-4)
    core = polygon.buffer(-web / 2 + 2e-3)
    assert core.geom_type == "Polygon"  # in one piece: nothing hangs on less than the web
    return max((g.area for g in shapely.get_parts(polygon - core.buffer(web / 2))), default=0.0)


@pytest.mark.parametrize("cut", PROCESSES)
@pytest.mark.parametrize("thickness", [0.2, 0.5, 1.2])
def test_no_web_is_thinner_than_the_process_leaves(cut: str, thickness: float) -> None:
    web = process(cut).web(thickness)
    for name in STARTERS:
        t = thickness if name != "wool-spinner" else f"{thickness} mm"
        for part in Parts(job(name, shop__process=cut, lamination__sheet_thickness=t))["coupon"]:
            if part.name == "coupon_tooth" and web > 1.0:
                continue  # its lips are the design's own: said by the rules of the sheet
            # A corner of 75 degrees loses 0.095 web^2 to a disc; a thin web loses all of itself.
            assert thinner_than(part.cut[0].outer, web) < 0.11 * web**2 + 0.01, (name, part.name)


@pytest.mark.parametrize("cut", PROCESSES)
def test_a_shop_would_take_every_piece(cut: str) -> None:
    for name in STARTERS:
        j = job(name, shop__process=cut)
        for plan in planned(j, Parts(j)["coupon"], ("cut",), ""):
            data = plan.make()
            assert plan.check(data) == []
            report = preflight(data, cut, plan.part.thickness)
            assert [f for f in report.findings if f.level == "stop"] == [], plan.path
            if plan.part.name != "coupon_tooth":
                assert [f for f in report.findings if f.level == "warn"] == [], plan.path


def test_gdal_reads_the_same_pieces(tmp_path: Path) -> None:
    """GDAL's DXF driver through pyogrio, arcs in chords of 0.5 degrees."""
    os.environ["OGR_ARC_STEPSIZE"] = "0.5"
    pyogrio = pytest.importorskip("pyogrio")
    j = job("kayak-thruster", shop__kerf_full_width=0.15)
    for plan in planned(j, Parts(j)["coupon"], ("cut",), ""):
        file = tmp_path / Path(plan.path).name
        assert "_qty2_kerf0.15" in file.name
        file.write_bytes(plan.make())
        _, _, shapes, _ = pyogrio.raw.read(file)
        rings = [shapely.from_wkb(s) for s in shapes]
        areas = sorted(
            (g if g.geom_type == "Polygon" else shapely.Polygon(g.coords)).area for g in rings
        )
        assert areas == pytest.approx(sorted(loop.area for loop in plan.part.loops), rel=1e-4)


def test_the_kerf_can_be_drawn_into_every_piece() -> None:
    for name, kerf in zip(STARTERS, ("0.15 mm", "0.33 mm", "0.2 mm"), strict=True):
        j = job(name, shop__kerf_full_width=kerf)
        for part in Parts(j)["coupon"]:
            drawn = as_cut(j, part)
            assert to_polygon(drawn.cut[0]).is_valid
            assert drawn.area > part.area


def test_the_half_tooth_beside_a_parallel_slot_is_nowhere_thinner_than_the_web() -> None:
    """It is thinnest in the round at its root, where the cut beyond its axis must leave 1 mm."""
    sheet = {
        "outer_diameter": 53.3, "bore_diameter": 9.9, "stack_length": 70.9, "sheet_thickness": 0.5,
        "steel": "M400-50A", "slot_shape": "parallel slots", "slot_width": 7.53, "slot_depth": 10.76,
        "slot_opening": 4.04, "slot_bottom": "arc", "tip_thickness": 1.3, "tip_angle": 12.0,
    }  # fmt: skip
    j = job(
        "kayak-thruster", lamination=sheet, shop__process="laser", hub={}, winding__wire="0.9 mm"
    )
    (tooth,) = pieces(j, "coupon_tooth")
    assert tooth.settings["slots"] == "whole slots"
    polygon = to_polygon(tooth.cut[0].outer, sagitta=5e-4)
    for web, whole in ((0.99, True), (1.03, False)):
        core = polygon.buffer(-web / 2)
        assert (core.geom_type == "Polygon") == whole
