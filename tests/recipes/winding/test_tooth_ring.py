"""The paper rings: true size, the same tooth under the same number on both ends, and legible."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from geometry.drafting.drawing import Drawing, Fill
from geometry.drafting.legible import legibility
from geometry.finding import Finding
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.pdf_read import page_paths
from geometry.part import Part
from geometry.point import Point
from geometry.printing.page import Paper
from recipes.build.read_back import check_pdf
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.searches import paper_rings
from recipes.stator.slot import TOOTH_1
from recipes.winding.tooth_ring import ring_shape, tooth_ring_findings
from recipes.winding.tooth_ring_labels import RingShape
from tests.support.card import (
    SIZES,
    STARTERS,
    arrow_direction,
    arrow_middle,
    crosses_on,
    motor,
    outside_live_area,
)
from tests.support.design import job

ENDS = {"tooth_ring_lead": 1, "tooth_ring_far": -1}

CASES: dict[str, tuple[int, dict[str, object]]] = {
    **{str(slots): (slots, {}) for slots in SIZES},
    "alternate 24": (24, {"winding__coil_sides": "alternate teeth", "print__page": "A4"}),
    "halves": (48, {"lamination__outer_diameter": 219.3, "lamination__bore_diameter": 61.0,
                    "print__page": "Letter"}),
    "stretched": (72, {"print__measured_x": 98.7, "print__measured_y": 101.4}),
}  # fmt: skip


@cache
def case(name: str) -> Motor:
    if name in STARTERS:
        return job(name)
    slots, changes = CASES[name]
    return motor(slots, **changes)


@cache
def rings(name: str) -> tuple[Part, Part]:
    lead, far = Parts(case(name))["tooth_ring"]
    assert (lead.name, far.name) == tuple(ENDS)
    return lead, far


def findings(of: Motor) -> list[Finding]:
    return tooth_ring_findings(paper_rings(of), Parts(of)["tooth_ring"], of.design.motor.slots)


def shape_of(of: Motor, narrower_by: float = 0.0) -> RingShape:
    d = of.design
    return ring_shape("lead", d.lamination, of.slot, narrower_by, d.hub, d.axle)


ALL = [*STARTERS, *CASES]


def cut_loops(page: Drawing) -> list[list[Point]]:
    """The closed cut lines of a page as points; the sample in the legend is open."""
    return [
        [p for s in stroke.segments for p in (s.start, *s.chords(0.002))]
        for stroke in page.strokes
        if stroke.style == "cut" and stroke.closed
    ]


def axle_of(page: Drawing) -> Point:
    """The axle on the page: the centre of the arcs of the cut lines."""
    centres = {
        (round(s.center.x, 6), round(s.center.y, 6))
        for stroke in page.strokes
        if stroke.style == "cut" and stroke.closed
        for s in stroke.segments
        if hasattr(s, "center")
    }
    (only,) = centres
    return Point(*only)


def numbers(page: Drawing, outer: float) -> dict[int, Point]:
    """Number -> direction from the axle; the numbers of the rulers lie elsewhere."""
    axle, found = axle_of(page), {}
    room = Paper("both").room()
    for text in page.texts:
        spoke = Point(text.x, text.y).minus(axle)
        inside = spoke.length() < outer and text.y > room[1] - 1.0
        if text.text.isdigit() and inside and text.x > room[0] - 1.0:
            assert int(text.text) not in found
            found[int(text.text)] = spoke
    return found


@pytest.mark.parametrize("name", ALL)
def test_pages_can_be_read_and_printed(name: str) -> None:
    printer = case(name).design.print
    measured = (printer.measured_x, printer.measured_y)
    for part in rings(name):
        for page in part.drawings:
            assert [f.message for f in legibility(page)] == []
            assert outside_live_area(page, printer.page, measured) == []


@pytest.mark.parametrize("name", ALL)
def test_ring_is_true_to_size(name: str) -> None:
    """0.5 mm below the tooth tips or the slot bottom; clear of axle, key and collar."""
    design = case(name).design
    lam, axle = design.lamination, design.axle
    key = design.hub.keyway.depth if design.hub.keyway else 0.0
    for part in rings(name):
        outer, hole = part.settings["outer_diameter_mm"], part.settings["hole_diameter_mm"]
        assert isinstance(outer, float)
        assert isinstance(hole, float)
        fingers = outer > lam.outer_diameter - 2 * lam.slot_depth
        limit = lam.outer_diameter if fingers else lam.outer_diameter - 2 * lam.slot_depth
        assert outer == pytest.approx(limit - 1.0, abs=1e-3)
        assert hole >= lam.bore_diameter + 2 * key + 1.99
        if part.name == "tooth_ring_far":  # these axles have their collar on the far side
            assert hole >= axle.shoulder.diameter + 1.99
        for page in part.drawings:
            middle = axle_of(page)
            reach = [p.distance(middle) for loop in cut_loops(page) for p in loop]
            assert 2 * max(reach) == pytest.approx(outer, abs=1e-3)
            assert 2 * min(reach) == pytest.approx(hole, abs=1e-3)


def test_printed_file_is_true_to_size() -> None:
    """Read by PDFium from the file: the ring of the wheel is 149 mm across, its hole 100 mm."""
    (page,) = page_paths(write_pdf(rings("potters-wheel")[0].drawings, title="ring"))
    loops = sorted(
        (c for path in page.paths if path.stroked for c in path.contours),
        key=lambda c: c.box[2] - c.box[0],
    )
    sizes = [(c.box[2] - c.box[0], c.box[3] - c.box[1]) for c in loops]
    assert any(w == pytest.approx(149.0, abs=0.02) and h == pytest.approx(149.0, abs=0.02) for w, h in sizes)  # fmt: skip
    assert any(w == pytest.approx(100.0, abs=0.02) and h == pytest.approx(100.0, abs=0.02) for w, h in sizes)  # fmt: skip


@pytest.mark.parametrize("name", ALL)
def test_every_tooth_has_its_number_once_and_the_far_ring_is_the_mirror(name: str) -> None:
    of = case(name)
    slots = len(of.layout.teeth)
    for part, way in zip(rings(name), ENDS.values(), strict=True):
        outer = float(part.settings["outer_diameter_mm"]) / 2
        found: dict[int, Point] = {}
        for page in part.drawings:
            here = numbers(page, outer)
            assert not found.keys() & here.keys()
            angles = {n: spoke.angle() for n, spoke in here.items()}
            first = min(here)
            for n, angle in angles.items():
                turn = way * 2 * math.pi * (n - first) / slots
                assert abs(math.remainder(angle - angles[first] - turn, 2 * math.pi)) < 1e-6
            if len(part.drawings) == 1:
                assert angles[1] == pytest.approx(TOOTH_1)
            found |= here
        assert sorted(found) == list(range(1, slots + 1))


@pytest.mark.parametrize("name", ALL)
def test_arrows_and_phases_are_those_of_the_winding_on_either_end(name: str) -> None:
    """Arrows from the definition of "+" alone: it shows opposite ways to the numbers on both ends."""
    of = case(name)
    coils = {k for k, tooth in enumerate(of.layout.teeth) if tooth.phase}
    for part, end in zip(rings(name), ENDS.values(), strict=True):
        outer = float(part.settings["outer_diameter_mm"]) / 2
        seen, labels = set(), 0
        for page in part.drawings:
            axle, spokes = axle_of(page), numbers(page, outer)
            for item in page.items:
                way = arrow_direction(item) if isinstance(item, Fill) else None
                if way is None or not isinstance(item, Fill):
                    continue
                k = _nearest(spokes, arrow_middle(item).minus(axle))
                seen.add(k)
                # Seen from behind x is reversed: compare in the lead side's picture.
                toward, shown = spokes[k + 1].unit(), way
                if end < 0:
                    toward, shown = Point(-toward.x, toward.y), Point(-way.x, way.y)
                assert shown.dot(crosses_on(end, of.layout.teeth[k].sense, toward)) > 0.999
            for text in page.texts:
                if re.fullmatch(r"[UVW][+−]?", text.text):
                    k = _nearest(spokes, Point(text.x, text.y).minus(axle))
                    assert text.text[0] == of.layout.teeth[k].phase
                    assert text.text[1:] in ("", "+" if of.layout.teeth[k].sense > 0 else "−")
                    labels += 1
        assert seen == coils
        assert labels == len(coils)


def _nearest(spokes: dict[int, Point], spoke: Point) -> int:
    return max(spokes, key=lambda n: spokes[n].unit().dot(spoke.unit())) - 1


@pytest.mark.parametrize("name", [*STARTERS, "3", "9", "24", "51", "120"])
def test_no_paper_in_slots_or_air_gap(name: str) -> None:
    of = case(name)
    steel = Polygon(Parts(of)["lamination"][0].cut[0].outer.chords(0.005))
    for part in rings(name):
        (region,) = part.cut
        paper = Polygon(region.outer.chords(0.005), [h.chords(0.005) for h in region.holes])
        assert paper.is_valid
        if part.settings["outer_diameter_mm"] != 2 * shape_of(of).band:
            # tooth 1 of the ring points up as on the sheet
            assert paper.difference(steel).area < 1e-6
        middle = Spot(0.0, 0.0)
        gap = of.design.lamination.outer_diameter / 2
        assert paper.hausdorff_distance(middle) <= gap - 0.5 + 1e-6


@pytest.mark.parametrize(("name", "pieces"), [("halves", 2), ("120", 4), ("24", 1)])
def test_large_rings_come_in_pieces_parted_at_slots(name: str, pieces: int) -> None:
    of = case(name)
    slots = of.design.motor.slots
    notes = findings(of)
    assert [f.code for f in notes] == ["ring-in-pieces"] * (2 if pieces > 1 else 0)
    for part in rings(name):
        assert part.settings["pieces"] == len(part.drawings) == pieces
        areas = 0.0
        for page in part.drawings:
            loops = [s for s in page.strokes if s.style == "cut" and s.closed]
            polygons = sorted((Polygon(p) for p in cut_loops(page)), key=lambda p: -p.area)
            areas += polygons[0].area - sum(p.area for p in polygons[1:])
            if pieces > 1:
                (loop,) = loops
                axle = axle_of(page)
                ends = [s for s in loop.segments if not hasattr(s, "center")]
                radial = [s for s in ends if abs(s.direction().dot(s.start.minus(axle).unit())) > 1 - 1e-9]  # fmt: skip
                assert len(radial) == 2
                shown = numbers(page, float(part.settings["outer_diameter_mm"]) / 2)
                for s in radial:  # half a pitch from the nearest tooth
                    spoke = s.start.minus(axle).unit()
                    nearest = max(spoke.dot(n.unit()) for n in shown.values())
                    assert math.acos(nearest) == pytest.approx(math.pi / slots, abs=1e-6)
        assert areas == pytest.approx(part.area, rel=1e-3)


def test_correction_of_the_printer_reaches_the_page() -> None:
    (page, *_) = rings("stretched")[0].drawings
    assert page.print_scale == pytest.approx((100 / 98.7, 100 / 101.4))


@pytest.mark.parametrize("name", [*STARTERS, "120"])
def test_rings_as_files(name: str) -> None:
    for part in rings(name):
        assert check_pdf(tuple(part.drawings), write_pdf(part.drawings, title="ring")) == []


def test_end_steps_narrow_the_fingers() -> None:
    ends = {"steps": [{"count": 1, "narrower_by": 0.45}]}
    plain, stepped = (
        next(r.labels.shape for r in paper_rings(job("potters-wheel", ends=e)) if r.labels)
        for e in (None, ends)
    )
    assert shape_of(job()).half - shape_of(job(), 0.45).half == pytest.approx(0.45)
    assert plain.half - stepped.half in (0.0, pytest.approx(0.45))


def test_too_small_for_lettering_is_left_out_and_said() -> None:
    of = motor(
        72, lamination__outer_diameter=60.0, lamination__bore_diameter=20.0,
        lamination__slot_depth=8.0, lamination__tooth_width=0.9, lamination__slot_opening=0.8,
        lamination__tip_thickness=0.5, winding__turns=1, ends__end_cap=None,
    )  # fmt: skip
    assert Parts(of)["tooth_ring"] == ()
    found = findings(of)
    assert [f.code for f in found] == ["ring-left-out"] * 2
    assert "marker" in found[0].fix


def three_teeth(outer: float, depth: float) -> Motor:
    return motor(
        3, lamination__outer_diameter=outer, lamination__bore_diameter=60.0,
        lamination__slot_depth=depth, lamination__tooth_width=0.27 * outer,
        lamination__slot_opening=100.0, axle__shoulder={"from_face": 94, "length": 8, "diameter": 70.0},
    )  # fmt: skip


def test_pieces_that_are_too_wide_for_an_upright_page_lie_on_its_side() -> None:
    of = three_teeth(300.0, 33.0)
    for part in Parts(of)["tooth_ring"]:
        assert part.settings["pieces"] == len(part.drawings) == 3
        assert all(page.width_mm > page.height_mm for page in part.drawings)
    assert [f.code for f in findings(of)] == ["ring-in-pieces"] * 2


def test_a_tooth_larger_than_the_page_comes_on_tiles_and_is_said() -> None:
    of = three_teeth(500.0, 86.0)
    for part in Parts(of)["tooth_ring"]:
        assert part.settings["pieces"] == 1
        assert "map" in part.drawings[0].title
        assert [f for page in part.drawings for f in legibility(page)] == []
        shown = {t.text for page in part.drawings for t in page.texts}
        assert {"1", "2", "3"} <= shown
    found = findings(of)
    assert [(f.code, f.field) for f in found] == [("printed-on-tiles", "print.page")] * 2


def test_printer_out_of_range_is_refused_by_name() -> None:
    with pytest.raises(Refused, match=r"print\.measured_x"):
        bool(paper_rings(motor(12, print__measured_x=92.0)))


def test_same_design_same_rings() -> None:
    assert Parts(job())["tooth_ring"] == Parts(job())["tooth_ring"]
