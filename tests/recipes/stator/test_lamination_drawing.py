"""The lamination's sheet says what the design says, and shows it to scale.

Sources: ISO 5455 scales; ISO 128-3 detail with letter and turn (from memory). That a square corner
at the slot cuts enamel: common practice.
"""

import math

import pytest

from geometry.drafting.drawing import Drawing, Fill, Items, Stroke, Text
from geometry.drafting.view import View
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.polygon import to_polygon
from geometry.segment import Arc
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.stator.lamination_drawing import detail_slot, front_view
from recipes.stator.lamination_notes import front_notes
from recipes.stator.slot_detail import SlotDetail
from recipes.tables.process import process
from tests.support.design import STARTERS, job
from tests.support.extremes import EXTREMES, extreme


def sheet(j: Motor) -> Drawing:
    (drawing,) = Parts(j)["lamination"][0].drawings
    return drawing


def detail_of(j: Motor, factor: float) -> SlotDetail:
    return SlotDetail(j.design, j.slot, factor)


def front(j: Motor, view: View) -> Items:
    lam, hub, region = j.design.lamination, j.design.hub, Parts(j)["lamination"][0].cut[0]
    return front_view(lam, hub, j.slot, region, view)


def said(j: Motor) -> list[str]:
    return [t.text for t in sheet(j).texts]


def test_wheel_says_every_size():
    """Sizes as typed in the starter; +-0.1 is what a laser holds (process table)."""
    words = said(job("potters-wheel"))
    for text in (
        "⌀150 ±0.1", "24 teeth, 15° apart", "tooth 7.6 ±0.1", "bore ⌀30 ±0.1", "yoke 7", "rim 9",
        "6 arms, each 9", "24 × R4", "2 × key way 6 × 2.8", "corners R0.3", "2 × mark R0.5",
        "opening 3.2 ±0.1", "18", "1.5", "slope 14°", "bottom ⌀114", "face R0.3", "lip R0.47",
        "neck R0.47", "root R0.94", "1:2", "B (5:1) ↺ 52.5°", "ISO 2768-mK", "M400-50A, sheet 0.5",
    ):  # fmt: skip
        assert text in words, text


def test_inches_stand_in_brackets():
    """1 in = 25.4 mm exactly: 88.9 mm are 3.5 in."""
    words = said(job("wool-spinner"))
    for text in (
        "⌀3.500 ±0.004", "bore ⌀0.750 ±0.004", "tooth 0.250 ±0.004", "opening 0.100 ±0.004", "[88.9 ±0.1]", "0.550 [13.97]",
        "0.050 [1.27]", "6 × ⌀0.340", "[8.636]", "on ⌀1.450", "[36.83]", "flat bottom",
    ):  # fmt: skip
        assert text in words, text


def test_what_cuts_the_enamel_is_named():
    notes = " ".join(said(job("kayak-thruster")))
    assert "Leave no square corner at face, lip, neck and root: it cuts the enamel." in " ".join(
        notes.split()
    )
    assert "the DXF cut file rules" in notes
    assert "Leave no square" not in " ".join(said(extreme("sharp")))
    assert not any(t.startswith(("lip", "neck", "root", "face")) for t in said(extreme("sharp")))


@pytest.mark.parametrize("name", [*STARTERS, *EXTREMES])
def test_detail_is_the_very_slot(name):
    """The cut-out part of the lamination itself, opening turned up: same area, sheet for sheet."""
    j = job(name) if name in STARTERS else extreme(name)
    detail = detail_of(j, 2.0)
    steel, cut = detail.steel
    shape = to_polygon(Outline((*steel, *cut)))
    slots, turn = j.design.motor.slots, detail_slot(j.design.motor.slots)
    region = to_polygon(Parts(j)["lamination"][0].cut[0].rotated(math.pi / 2 - turn))
    rays = [
        Point.polar(2 * detail.radius, math.pi / 2 + k * detail.edge) for k in (-1, -0.5, 0, 0.5, 1)
    ]
    sector = to_polygon(Outline.polygon([ORIGIN, *rays]))
    hole = to_polygon(Outline.circle(ORIGIN, detail.low))
    wanted = region.intersection(sector).difference(hole)
    tab = 0.02 * wanted.area if j.design.lamination.tab_notch else 2e-3 * wanted.area
    assert shape.symmetric_difference(wanted).area < tab
    assert detail.edge <= math.pi / slots + 1e-12


def strokes(items, style="visible"):
    return [i for i in items if isinstance(i, Stroke) and i.style == style]


@pytest.mark.parametrize("name", STARTERS)
def test_front_view_is_the_sheet_to_scale(name):
    j = job(name)
    view = View(Point(140.0, 90.0), (1, 2))
    region = Parts(j)["lamination"][0].cut[0]
    drawn = {s.segments for s in strokes(front(j, view))}
    assert {loop.segments for loop in view.region(region).loops} <= drawn
    boxes = [s.box() for run in drawn for s in run]
    wide = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    assert wide == pytest.approx(j.design.lamination.outer_diameter / 2, abs=0.3)


def test_close_teeth_are_left_out_and_circles_drawn():
    j = extreme("120 slots")
    items = front(j, View(ORIGIN, (1, 5)))
    tips = [
        s for i in strokes(items) for s in i.segments
        if isinstance(s, Arc) and abs(s.radius - 40.0) < 1e-6
    ]  # fmt: skip
    assert 8 <= len(tips) <= 12
    circles = [Outline(i.segments).as_circle() for i in strokes(items, "narrow") if i.closed]
    assert {round(c[1], 6) for c in circles if c} >= {40.0, 36.2}


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("name", [*STARTERS, "crowded", "flats"])
def test_notes_point_at_what_they_name(name, side):
    """Each arrow ends on an edge of the sheet; each mark of two arrows lies across its size."""
    j = job(name) if name in STARTERS else extreme(name)
    edge = to_polygon(Parts(j)["lamination"][0].cut[0], sagitta=1e-4).boundary
    from shapely.geometry import Point as Spot

    for note in front_notes(j.design, j.slot, Parts(j)["lamination"][0].cut[0], View(ORIGIN), side):
        assert note.tips, note.lines
        for tip in note.tips:
            if note.end == "arrow":
                assert edge.distance(Spot(*tip.at)) < 2e-3, note.lines
            else:
                arrows = [f.loops[0].points[0] for f in tip.items if not isinstance(f, Stroke)]
                if "(" in note.lines[0] and "yoke" in note.lines[0]:
                    continue  # what is left of the yoke: between two circles, not two edges
                assert max(edge.distance(Spot(*a)) for a in arrows) < 0.02, note.lines


def test_tolerance_is_that_of_the_process():
    for name in ("waterjet", "wire-edm"):
        words = said(job("potters-wheel", shop__process=name))
        assert f"bore ⌀30 ±{process(name).tolerance_mm:g}" in words


@pytest.mark.parametrize("name", [*STARTERS, "deep slots", "3 slots"])
def test_tip_and_depth_are_dimensioned_to_scale(name):
    """Arrows of the two upright sizes stand as far apart as the slot is deep and the tip is thick."""
    j = job(name) if name in STARTERS else extreme(name)
    lam, k = j.design.lamination, 4.0
    detail = detail_of(j, k)
    items = detail.lengths(View(ORIGIN, (4, 1)))
    heights: dict[float, list[float]] = {}
    for item in items:
        if isinstance(item, Fill):
            tip = item.loops[0].points[0]
            heights.setdefault(round(tip.x, 6), []).append(tip.y)
    sizes = sorted(max(ys) - min(ys) for ys in heights.values())
    assert sizes == pytest.approx([k * lam.tip_thickness, k * lam.slot_depth])
    face = math.sqrt(lam.outer_diameter**2 - lam.slot_opening**2) / 2
    assert max(max(ys) for ys in heights.values()) == pytest.approx(k * lam.outer_diameter / 2)
    assert min(max(ys) for ys in heights.values()) == pytest.approx(k * face)


def test_a_sheet_that_cannot_be_read_is_tried_smaller(monkeypatch):
    import recipes.drawing_conventions as module

    real, seen = module.legibility, []

    def first_fails(drawing: Drawing) -> list[object]:
        seen.append(drawing)
        return ["overlap"] if len(seen) == 1 else real(drawing)

    j = job("potters-wheel")
    wanted = [t.text for t in sheet(j).texts if t.text.startswith("B (")]
    monkeypatch.setattr(module, "legibility", first_fails)
    (drawing,) = Parts(job("potters-wheel"))["lamination"][0].drawings
    found = [t.text for t in drawing.texts if t.text.startswith("B (")]
    assert wanted == ["B (5:1) ↺ 52.5°"]
    assert found == ["B (2:1) ↺ 52.5°"]


@pytest.mark.parametrize("name", ["deep slots in inches", "20 mm, 10 mm high in inches", "3 slots"])
def test_name_of_the_detail_stands_over_its_sizes(name):
    detail = detail_of(extreme(name), 2.0)
    items = detail.lengths(View(ORIGIN, (2, 1)))
    high = max(y for t in items if isinstance(t, Text) for _, y in t.corners())
    assert high - 2.0 * detail.radius <= detail.over + 0.01
