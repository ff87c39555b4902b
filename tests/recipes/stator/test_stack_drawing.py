"""The stack's sheet: section, sizes, tolerances and list agree with the stack.

Sources: ISO 2768-2:1989 class H (squareness; from memory); ISO 286-2 (18 h6: 0 / -11 um); a stator
out of middle by a tenth of the air gap: common practice.
"""

import math
from itertools import pairwise

import pytest

from geometry.drafting.drawing import Drawing, Stroke
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.polygon import to_polygon
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.stator.stack_drawing import items_list
from recipes.stator.stack_section import Layer, Section, ToothEnd, cut_through, layers
from tests.support.design import STARTERS, job
from tests.support.extremes import EXTREMES, extreme


def sheet(j: Motor) -> Drawing:
    (drawing,) = Parts(j)["stack"][0].drawings
    return drawing


def lying(j: Motor) -> tuple[Layer, ...]:
    return layers(j.stack, Parts(j).sheets, (*Parts(j)["end_washer"], *Parts(j)["end_cap"]))


def section(j: Motor) -> Section:
    return Section(j.design, j.stack, lying(j))


def tooth_end(j: Motor) -> ToothEnd:
    ends, washer = j.design.ends, j.design.end_washer
    return ToothEnd(ends, washer, j.slot.tooth_width, j.stack.sheet_height, j.imprint.words)


def said(j: Motor) -> list[str]:
    return [t.text for t in sheet(j).texts]


def test_thruster_says_every_size():
    """75 + 6 sheets of 0.35 mm at 0.94 stand 81 * 0.35 / 0.94 = 30.16 mm; one sheet is 0.37."""
    words = said(job("kayak-thruster"))
    for text in (
        "⌀62 ±0.02", "⌀18 ±0.02", "30.16 ±0.37", "0.14", "0.2", "A", "75", "end sheet 3, 0.35",
        "1 sheet, each side −0.6", "(6)", "tooth 1", "1:1",
    ):  # fmt: skip
        assert text in words, text
    notes = " ".join(" ".join(words).split())
    assert "Axle seat ⌀18 h6 18.000 / 17.989: turned last, to the measured bore." in notes
    assert "Turn each sheet by 90° (3 slots), burrs one way." in notes
    assert "no weld" in notes


def test_capped_stack_says_both_heights():
    """38 sheets of 0.5 mm at 0.94: 20.21 mm, and two caps of 1.5 mm: 23.21."""
    words = said(job("potters-wheel"))
    for text in ("20.21 ±0.53", "(23.21)", "cap 1.5", "proud 0.3", "R1.3", "(cap left out)"):
        assert text in words, text


@pytest.mark.parametrize("name", [*STARTERS, *EXTREMES])
def test_layers_add_up(name):
    j = job(name) if name in STARTERS else extreme(name)
    found = lying(j)
    steel = [x for x in found if x.steel]
    assert sum(x.count for x in steel) == j.stack.sheets
    assert steel[-1].end - steel[0].start == pytest.approx(j.stack.length, abs=1e-9)
    assert all(a.end == b.start for a, b in pairwise(found))
    assert [x.part.name for x in found] == [x.part.name for x in reversed(found)]
    rows = items_list(lying(j), j.imprint.words)[1:]
    assert sum(int(r[1]) for r in rows if "sheet" in r[2] or "lamination" in r[2]) == j.stack.sheets


@pytest.mark.parametrize("name", [*STARTERS, "3 slots", "crowded", "flats", "120 slots"])
def test_section_meets_the_steel_where_the_plane_does(name):
    """Checked against shapely: the plane x = 0 cut through the outline as a fine polygon."""
    from shapely.geometry import LineString

    j = job(name) if name in STARTERS else extreme(name)
    region = Parts(j)["lamination"][0].cut[0]
    far = j.design.lamination.outer_diameter
    met = LineString([(1e-7, -far), (1e-7, far)]).intersection(to_polygon(region, sagitta=1e-5))
    pieces = [p.bounds for p in getattr(met, "geoms", [met])]
    wanted = sorted((b[1], b[3]) for b in pieces)
    found = cut_through(region)
    assert [y for pair in found for y in pair] == pytest.approx(
        [y for pair in wanted for y in pair], abs=1e-3
    )


def test_plane_beside_a_bore_and_a_slot():
    """A ring of radii 7 and 11 with a slot of 3 mm cut into its lower side, by hand."""
    a, b = math.sqrt(121 - 2.25), math.sqrt(49 - 2.25)
    ring = Region(Outline.circle(ORIGIN, 11.0), (Outline.circle(ORIGIN, 7.0),))
    (low, high) = cut_through(ring)
    assert low == pytest.approx((-11.0, -7.0))
    assert high == pytest.approx((7.0, 11.0))
    assert cut_through(ring.moved(1.5, 0.0))[0] == pytest.approx((-a, -b))


def test_section_is_to_scale():
    j = job("potters-wheel")
    items = section(j)._cut(View(Point(50.0, 100.0), (2, 1)))
    runs = [s for i in items if isinstance(i, Stroke) and i.style == "visible" for s in i.segments]
    boxes = [s.box() for s in runs]
    assert min(b[0] for b in boxes) == pytest.approx(50.0)
    assert max(b[2] for b in boxes) == pytest.approx(50.0 + 2 * (j.stack.length + 3.0))
    assert max(b[3] for b in boxes) == pytest.approx(100.0 + 150.0)


def test_tolerances_follow_air_gap_and_size():
    assert section(job("kayak-thruster")).run_out == pytest.approx(0.14)  # a fifth of 0.7
    assert section(job("potters-wheel")).run_out == pytest.approx(0.2)
    sizes = {"kayak-thruster": 0.2, "potters-wheel": 0.3}  # up to 100, up to 300 mm
    assert {name: section(job(name)).squareness for name in sizes} == sizes
    assert section(extreme("400 mm, 10 mm high")).squareness == 0.4


def test_end_of_a_tooth_shows_steps_and_cap():
    steps = tooth_end(job("kayak-thruster"))
    faces = [outline.box for outline, _ in steps._faces()]
    assert sorted(round(b[2] - b[0], 6) for b in faces) == [4.8, 5.4, 5.8, 6.0]
    assert max(b[3] for b in faces) == pytest.approx(0.0)
    cap = tooth_end(job("potters-wheel"))
    assert cap.box[2] == pytest.approx(3.8 + 0.3)
    assert cap.box[3] == pytest.approx(1.5)
    assert not tooth_end(extreme("sharp")).differs


def test_rounded_cap_by_area():
    """Bar less two corners: each (1 - pi / 4) r^2."""
    end = tooth_end(job("potters-wheel"))
    (shape,) = [o for o, lean in end._faces() if lean < 0]
    wide, high, r = 2 * (3.8 + 0.3), 1.5, 1.3
    assert shape.area == pytest.approx(wide * high - 2 * (1 - math.pi / 4) * r * r)
    assert shape.ccw


def test_sheet_is_laid_out_only_when_looked_at(monkeypatch):
    import recipes.stator.stack as module

    def never(*_: object) -> Drawing:
        raise AssertionError("laid out")

    monkeypatch.setattr(module, "stack_drawing", never)
    part = Parts(job("potters-wheel"))["stack"][0]
    assert part.settings["sheets"] == 38
    assert len(part.drawings) == 1
    with pytest.raises(AssertionError, match="laid out"):
        list(part.drawings)


def test_outermost_sheets_are_the_narrowest():
    names = [x.part.name for x in lying(job("kayak-thruster"))]
    ends = ["lamination_end3", "lamination_end2", "lamination_end1"]
    assert names == [*ends, "lamination", *reversed(ends)]
