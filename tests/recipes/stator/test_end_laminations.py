"""Stepped end sheets: areas by hand, what stays and what moves, shops, and the proposed steps."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely

from geometry.finding import Finding
from geometry.formats.dxf_read import outlines_of, read_dxf
from geometry.formats.dxf_write import origin_shift, write_cut_dxf
from geometry.inspection.compare import compare_outlines
from geometry.polygon import to_polygon
from recipes.assess import assess
from recipes.catalogue import Parts
from recipes.design.insulation import Ends
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.stator.end_edge import (
    Rounding,
    corners,
    edge_of,
    propose_rounding,
    propose_steps,
    step_results,
    taut_line,
    wished_radius,
)
from recipes.stator.end_edge_view import edge_view, taut_course
from recipes.stator.end_laminations import end_lamination_findings
from recipes.stator.slot import sides_of, slot_shape
from recipes.tables.process import process as process_named
from tests.support.design import STARTERS, design, job


def judged(j: Motor) -> list[Finding]:
    """Every finding on the end sheets."""
    lam, steps = j.design.lamination, j.design.ends.steps
    (full,) = Parts(j)["lamination"]
    return end_lamination_findings(lam, steps, full, j.slot, j.wire.overall_max_mm, j.process)


def proposed(j: Motor) -> list[Finding]:
    """The proposal of steps, as it is judged among all rules."""
    return [f for f in assess(j, whole=False).findings if f.code == "proposed-steps"]


STEPS = [{"count": 2, "narrower_by": "0.17 mm"}, {"count": 1, "narrower_by": "0.71 mm"}]
NARROWER = (0.17, 0.71)
SHARP = {
    "lamination__tip_radius": 0, "lamination__tip_inner_radius": 0, "lamination__neck_radius": 0,
    "lamination__root_radius": 0,
}  # fmt: skip


def test_area_of_sharp_cornered_teeth_by_hand() -> None:
    """One flank loses the strip between y = h and y = h - d, from floor to underside (mid-line)."""
    j = job("wool-spinner", ends__end_cap=None, ends__steps=STEPS, **SHARP)  # flat slot bottom
    lam, d = j.design.lamination, 0.71
    full, last = Parts(j)["lamination"][0], Parts(j)["end_laminations"][-1]
    alpha, gamma = math.pi / 18, math.radians(15)
    r, half_open = lam.outer_diameter / 2, lam.slot_opening / 2
    lip = math.sqrt(r * r - half_open**2) - lam.tip_thickness  # along the slot axis
    lip_x = lip * math.cos(alpha) + half_open * math.sin(alpha)
    lip_y = lip * math.sin(alpha) - half_open * math.cos(alpha)
    y = lam.tooth_width / 2 - d / 2  # type: ignore[operator]
    under = lip_x - (lip_y - y) * math.tan(gamma)
    floor = (r - lam.slot_depth - y * math.sin(alpha)) / math.cos(alpha)
    assert full.area - last.area == pytest.approx(18 * 2 * d * (under - floor), rel=1e-9)


@pytest.mark.parametrize("name", STARTERS)
def test_only_the_flanks_move(name: str) -> None:
    j = job(name, ends__end_cap=None, ends__steps=STEPS)
    full = Parts(j)["lamination"][0].cut[0]
    for part, by in zip(Parts(j)["end_laminations"], NARROWER, strict=True):
        region = part.cut[0]
        assert compare_outlines(full.holes, region.holes, 1e-9) == []
        steel, narrow = to_polygon(full), to_polygon(region)
        lost = steel.difference(narrow)
        # less than the step everywhere but in the root corners, where a round moves sideways
        assert lost.area == pytest.approx(full.area - region.area, rel=1e-2)
        r, slots = j.design.lamination.outer_diameter / 2, j.design.motor.slots
        face = shapely.Point(0, 0).buffer(r + 1, 256).difference(shapely.Point(0, 0).buffer(r - j.design.lamination.tip_thickness, 256))  # fmt: skip
        assert lost.intersection(face).area < 1e-3  # air-gap face and lips stay
        across = shapely.LineString([(-r, r - 0.6 * j.design.lamination.slot_depth)] * 1 + [(r, r - 0.6 * j.design.lamination.slot_depth)])  # fmt: skip
        tooth = [g.intersection(across) for g in (steel, narrow)]
        wide, thin = (
            next(p.length for p in shapely.get_parts(t) if abs(p.centroid.x) < 0.1) for t in tooth
        )
        assert wide - thin == pytest.approx(2 * by, abs=5e-3)
        assert slot_shape(j.design.lamination, slots, 0.9, by).tooth_width == pytest.approx(thin, abs=6e-3)  # fmt: skip
        assert len(region.outer.segments) == len(full.outer.segments) == 16 * slots


def test_parallel_slots_get_wider() -> None:
    changes = {
        "lamination__slot_shape": "parallel slots", "lamination__tooth_width": None,
        "lamination__slot_width": 8.3, "lamination__tip_angle": 10,
    }  # fmt: skip
    j = job(ends__end_cap=None, ends__steps=STEPS, **changes)
    lam, slots = j.design.lamination, j.design.motor.slots
    walls = [slot_shape(lam, slots, 0.9, by).outline.box for by in (0.0, 0.71)]
    assert walls[1][3] - walls[0][3] == pytest.approx(0.71)
    last = Parts(j)["end_laminations"][-1]
    assert last.area < Parts(j)["lamination"][0].area
    assert "slot: 9.72 mm wide, not 8.30 mm" in last.notes[-1]
    half = j.slot.half_pitch
    flank = j.slot.half[-3]
    assert j.slot.tooth_width < 2 * min(flank.start.y, flank.end.y)  # on the round of the root
    assert half == pytest.approx(math.pi / 24)


def test_counts_spares_and_the_rest_of_the_stack() -> None:
    j = job(ends__end_cap=None, ends__steps=STEPS)  # 38 sheets of 0.5 mm
    first, second = Parts(j)["end_laminations"]
    assert (first.name, first.quantity) == ("lamination_end1", 4 + 2)
    assert (second.name, second.quantity) == ("lamination_end2", 2 + 2)
    assert Parts(j)["lamination"][0].quantity == 38 - 6 + 2
    assert second.settings["narrower_by_mm"] == 0.71
    assert "outside end sheet 1" in second.notes[-2]
    assert "6.18 mm wide, not 7.60 mm" in second.notes[-1]
    assert Parts(job())["end_laminations"] == ()


@pytest.mark.parametrize("process", ["laser", "waterjet", "wire-edm", "own"])
@pytest.mark.parametrize("name", STARTERS)
def test_every_shop_takes_the_sheets_or_says_why(name: str, process: str) -> None:
    j = job(name, ends__end_cap=None, ends__steps=STEPS, shop__process=process)
    found = judged(j)
    tolerance = {"laser": 0.10, "waterjet": 0.20, "wire-edm": 0.02, "own": 0.15}[process]
    assert [f.code for f in found] == ["step-within-tolerance"] * (tolerance >= 0.17)
    for part in Parts(j)["end_laminations"]:
        data = write_cut_dxf(part)
        shift = origin_shift(part)
        loops = [loop.moved(shift.x, shift.y) for loop in part.loops]
        assert compare_outlines(loops, outlines_of(read_dxf(data)), 1e-6) == []
    thin = (j.slot.tooth_width - 0.9) / 2  # 0.9 mm is left: too little but for wire EDM
    k = job(name, ends__end_cap=None, ends__steps=[{"count": 1, "narrower_by": f"{thin} mm"}], shop__process=process)  # fmt: skip
    codes = [f.code for f in judged(k)]
    assert codes == ([] if process == "wire-edm" else ["feature-too-small"])


#: Least web in mm of sheets of 0.5 and 1.3 mm, by hand from the head of the table of processes.
WEBS = {"laser": (1.0, 1.3), "waterjet": (1.2, 1.3), "wire-edm": (0.5, 1.3), "own": (1.2, 1.3)}


@pytest.mark.parametrize("sheet", [0.5, 1.3])
@pytest.mark.parametrize("process", WEBS)
def test_the_narrowest_tooth_is_the_least_web_of_the_process(process: str, sheet: float) -> None:
    """A tooth 0.01 mm narrower is refused, 0.01 mm wider is cut; the limit named is the one that fits."""
    web, wide = WEBS[process][sheet == 1.3], 7.6

    def stops(left: float) -> list[Finding]:
        steps = [{"count": 1, "narrower_by": (wide - left) / 2}]
        j = job(ends__end_cap=None, ends__steps=steps, shop__process=process,
                lamination__sheet_thickness=sheet)  # fmt: skip
        assert j.slot.tooth_width == pytest.approx(wide)
        return [f for f in judged(j) if f.level == "stop"]

    assert stops(web + 0.01) == []
    (found,) = stops(web - 0.01)
    assert (found.code, found.field) == ("feature-too-small", "ends.steps[1].narrower_by")
    assert found.limit == pytest.approx((wide - web) / 2)
    assert found.value == pytest.approx((wide - web) / 2 + 0.005)


def test_a_thin_tooth_is_proposed_no_step_that_leaves_less_than_the_web() -> None:
    """Laser, 0.5 mm sheet: a web of 1 mm, so a tooth of 1.8 mm can lose 0.4 mm on each side."""
    shop, count = process_named("laser"), job().stack
    rounding = propose_rounding(2.0, 1.8, count, shop, 0.5)
    assert rounding.radius == pytest.approx(0.4)
    assert 1.8 - 2 * rounding.steps[-1].narrower_by >= 1.0 - 1e-9
    assert propose_rounding(2.0, 1.1, count, shop, 0.5) == Rounding(0.0, ())


def test_a_step_that_cannot_be_drawn_names_its_field() -> None:
    # parallel slots so wide that the last step leaves no tooth at the root
    j = job(
        ends__end_cap=None, ends__steps=[{"count": 1, "narrower_by": 0.4}, {"count": 1, "narrower_by": 3.4}],
        lamination__slot_shape="parallel slots", lamination__tooth_width=None,
        lamination__slot_width=9.1, lamination__tip_angle=0,
    )  # fmt: skip
    with pytest.raises(Refused) as caught:
        Parts(j)["end_laminations"]
    assert [f.field for f in caught.value.findings] == ["ends.steps[2].narrower_by"]
    assert "no tooth is left" in caught.value.findings[0].message
    # a steep underside reaches the slot bottom before it reaches a flank so far in
    tight = job(ends__end_cap=None, ends__steps=[{"count": 1, "narrower_by": 2.9}], lamination__tip_angle=60, lamination__slot_depth=13)  # fmt: skip
    (found,) = judged(tight)
    assert (found.level, found.field) == ("stop", "ends.steps[1].narrower_by")


@pytest.mark.parametrize("radius", [0.8, 1.0, 1.7, 2.6])
@pytest.mark.parametrize("sheet", [0.2, 0.372, 0.532, 0.9])
def test_proposed_corners_lie_on_or_inside_the_circle(radius: float, sheet: float) -> None:
    steps = propose_steps(radius, sheet)
    height = sum(s.count for s in steps) * sheet
    assert radius <= height + 1e-9 < radius + sheet
    assert steps[-1].narrower_by == pytest.approx(radius, abs=0.01)
    for off, deep in corners(steps, sheet)[1:]:
        inside = radius - math.dist((off, deep), (radius, radius))
        assert inside >= -1e-9
        # rounded up to 0.01, drawn 0.05 at least, or shared with a sheet less than 0.05 away
        circle = radius - math.sqrt(radius**2 - (radius - deep) ** 2)
        assert circle - 1e-9 <= off <= max(0.0601, circle + 0.0101)
    gains = np.diff([0.0, *(s.narrower_by for s in steps)])
    assert (gains >= 0.05 - 1e-9).all()
    # so what the wire is reckoned to turn over is never tighter than what was wished for
    assert edge_of(Ends(steps=steps), sheet).radius >= radius


def test_deviation_is_that_of_the_hull() -> None:
    """Against shapely: the distance of a dense hull line from flank, circle and end face."""
    radius, sheet = 1.3, 0.372
    steps = propose_steps(radius, sheet)
    ring = shapely.Point(radius, radius).buffer(radius, quad_segs=4000).exterior
    quarter = shapely.intersection(ring, shapely.box(-0.1, -0.1, radius, radius))
    contour = shapely.union_all([quarter, shapely.LineString([(0, radius), (0, 9)]), shapely.LineString([(radius, 0), (9, 0)])])  # fmt: skip
    hull = shapely.LineString(corners(steps, sheet)).segmentize(0.002)
    worst = max(contour.distance(shapely.Point(p)) for p in hull.coords)
    assert Rounding(radius, steps).deviation(sheet) == pytest.approx(worst, abs=2e-3)
    assert worst < 0.15
    # finer sheets come nearer
    assert Rounding(radius, propose_steps(radius, 0.1)).deviation(0.1) < worst / 2


def test_taut_line_leaves_out_what_it_does_not_touch() -> None:
    spots = [(0.0, 1.0), (1.0, 0.5), (1.2, 0.0)]
    assert taut_line(spots) == [(0.0, 1.0), (1.2, 0.0)]
    assert taut_line([(0.0, 1.0), (0.2, 0.5), (1.2, 0.0)])[1] == (0.2, 0.5)


def test_square_edges_get_a_proposal_that_then_satisfies() -> None:
    for name in STARTERS:
        bare = job(name, ends=None)
        (found,) = proposed(bare)
        radius, steps = bare.proposed_ends.radius, bare.proposed_ends.steps
        assert (found.level, found.limit) == ("note", radius)
        assert radius == wished_radius(bare.wire.bare_mm)
        assert bare.proposed_ends.words in found.message
        assert found.message.endswith("no corner stands out of it")
        rows = [{"count": s.count, "narrower_by": f"{s.narrower_by} mm"} for s in steps]
        assert all(f'narrower_by = "{s.narrower_by:g} mm"' in found.fix for s in steps)
        stepped = job(name, ends={"steps": rows})
        assert proposed(stepped) == []
        assert judged(stepped) == []
        assert stepped.turn_lengths.edge_radius_mm >= radius
        assert (
            step_results(stepped.design.ends, stepped.proposed_ends, stepped.stack.sheet_height)[
                "end_steps"
            ]
            == step_results(bare.design.ends, bare.proposed_ends, bare.stack.sheet_height)[
                "proposed_end_steps"
            ]
        )
    assert proposed(job()) == []  # it has a cap
    capped = job()
    assert step_results(capped.design.ends, capped.proposed_ends, capped.stack.sheet_height) == {}
    # thin wire over thick paper asks for nothing
    assert proposed(job(ends=None, winding__wire="0.2 mm", liner__thickness=0.31)) == []
    # a thin tooth takes less than the wire wishes for
    small = job("kayak-thruster", ends=None, lamination__tooth_width=2.0, winding__wire="0.3 mm")
    assert small.proposed_ends.radius == pytest.approx((2.0 - 0.4) / 2)


def test_a_taut_course_over_discs_is_a_parallel_curve() -> None:
    from geometry.point import Point

    turns = [Point(0.0, -1.4), Point(0.31, -0.42), Point(1.27, 0.0)]
    run = taut_course(turns, 0.53, 3.0)
    line = shapely.LineString([(0.0, -3.0), *turns, (3.0, 0.0)])
    for s in run:
        for f in (0.0, 0.37, 1.0):
            assert line.distance(shapely.Point(s.point_at(f))) == pytest.approx(0.53)
    assert all(a.end == b.start for a, b in itertools.pairwise(run))


@pytest.mark.parametrize("ends", [None, {"steps": STEPS}, {"end_cap": {"thickness": 1.9, "edge_radius": 1.9}}])  # fmt: skip
def test_the_picture_of_the_edge_is_drawn(ends: object) -> None:
    j = job(ends=ends)
    paper, wire = j.design.liner.thickness, j.wire.overall_max_mm
    height = j.stack.sheet_height
    drawing = edge_view(j.design.ends, height, j.proposed_ends, paper, wire, j.design.name)
    words = " ".join(t.text for t in drawing.texts)
    assert "scale" in words
    assert {None: "proposed", "steps": "1 x 0.71", "end_cap": "end cap 1.9 mm"}[
        next(iter(ends)) if isinstance(ends, dict) else None
    ] in words
    for stroke in drawing.strokes:
        for s in stroke.segments:
            x0, y0, x1, y1 = s.box()
            assert 0 <= x0 <= x1 <= drawing.width_mm
            assert 0 <= y0 <= y1 <= drawing.height_mm


def test_sides_narrow_the_tooth_on_both_sides() -> None:
    teeth = sides_of(design().lamination)
    assert (teeth.width, teeth.what, teeth.field) == (7.6, "tooth", "tooth_width")
    assert teeth.narrowed(0.3).width == pytest.approx(7.0)
    assert teeth.narrowed(-0.3).width == pytest.approx(8.2)
    slots = {"lamination__slot_shape": "parallel slots", "lamination__slot_width": 8.3}
    assert sides_of(design(**slots).lamination).narrowed(0.3).width == pytest.approx(8.9)
