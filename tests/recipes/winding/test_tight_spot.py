"""The worst spot of a slot is found among the wires, not told."""

import math
from dataclasses import replace

import pytest
import shapely

from recipes.report.slot_picture import CIRCLE, slot_picture
from recipes.searches import tight_spots
from recipes.winding.tight_spot import touching_findings
from tests.support.design import STARTERS, job
from tests.support.page import starter_book


@pytest.mark.parametrize("name", STARTERS)
def test_gaps_are_those_that_shapely_measures(name: str) -> None:
    """Discs of the largest overall diameter as polygons of 256 corners, measured one by one."""
    j = job(name)
    spots = {s.name: s for s in tight_spots(j)}
    r = j.wire.overall_max_mm / 2
    discs = [shapely.Point(x, y).buffer(r, quad_segs=64) for x, y in j.conductors.laid.tolist()]
    own = shapely.union_all(discs)
    if j.window.sides == 2:
        other = shapely.affinity.scale(own, 1.0, -1.0, origin=(0.0, 0.0))
        strip = j.design.separator.thickness
        assert spots["coil sides"].gap == pytest.approx(own.distance(other) - strip, abs=2e-3)
    face = shapely.LineString([(j.window.wedge_span[1], -99.0), (j.window.wedge_span[1], 99.0)])
    assert max(0.0, spots["wedge"].gap) == pytest.approx(own.distance(face), abs=2e-3)
    opening = j.design.lamination.slot_opening - 2 * j.design.liner.thickness - 2 * r
    assert spots["opening"].gap == pytest.approx(opening, abs=1e-9)
    edge = spots["bare steel"]
    assert min(math.dist(edge.where, p.centroid.coords[0]) for p in discs) < r + edge.gap


def test_worst_spot_moves_with_the_design() -> None:
    assert tight_spots(job())[0].name == "wedge"
    assert tight_spots(job("kayak-thruster"))[0].name == "coil sides"
    narrow = job(lamination__slot_opening=1.52)  # 0.221 mm left, 0.341 mm wanted
    worst = tight_spots(narrow)[0]
    assert worst.name == "opening"
    assert worst.spare == pytest.approx(1.52 - 0.36 - 0.939 - 0.15 * 0.939 - 0.2)
    few = {s.name: s.gap for s in tight_spots(job(winding__turns=9))}
    many = {s.name: s.gap for s in tight_spots(job(winding__turns=24))}
    assert few["coil sides"] > many["coil sides"] + 0.5


@pytest.mark.parametrize("name", STARTERS)
def test_the_circle_lies_on_the_worst_spot(name: str) -> None:
    """The picture's only circle of that size, at the right distance from the tooth faces."""
    b = starter_book(name)
    picture, worst = slot_picture(b), tight_spots(b.motor)[0]
    rings = [
        s for s in picture.drawing.strokes if s.closed and abs(s.segments[0].box()[3] - s.segments[0].box()[1] - CIRCLE) < 1e-9
    ]  # fmt: skip
    assert len(rings) == 1
    centre = rings[0].segments[0].center  # type: ignore[union-attr]
    slot = b.motor.slot
    top = max(s.rotated(-slot.half_pitch).box()[2] for s in slot.half)
    crown = max(s.box()[3] for stroke in picture.drawing.strokes if stroke != rings[0] for s in stroke.segments)  # fmt: skip
    marks = next(m for m in picture.marks if m.words.startswith("worst spot"))
    assert marks.fields == worst.fields
    scale = (crown - centre.y) / (top - worst.where.x)
    assert abs(centre.x - picture.drawing.width_mm / 2) == pytest.approx(scale * abs(worst.where.y), abs=0.05)  # fmt: skip
    left = "0 mm (fine" if worst.touches else f"{worst.gap:.2f} mm"
    assert any(left in words for words in picture.caption)


def test_coil_sides_that_touch_without_a_separator_are_told() -> None:
    j = job("kayak-thruster")
    spots = tight_spots(j)
    assert not touching_findings(spots, 0.0)
    near = [replace(s, gap=0.0) for s in spots]
    (said,) = touching_findings(near, 0.0)
    assert said.field == "separator.thickness"
    assert not touching_findings(near, 0.13)


def test_nothing_left_under_the_wedge_says_why_that_is_fine() -> None:
    j = job("wool-spinner")
    worst = tight_spots(j)[0]
    assert worst.name == "wedge"
    assert worst.touches
    picture = slot_picture(starter_book("wool-spinner"))
    assert "holds it down" in picture.caption[0]
    assert "-0" not in picture.caption[0]
    assert "Dashed: end cap" in picture.caption[0]
