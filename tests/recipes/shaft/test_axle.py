"""The axle: sections, exact profile, solid and its part; checked against outside figures.

Sources: ISO 15:2017 (6002: 15 x 32 x 9, 6005: 25 x 47 x 12); ISO 286-2:2010 / JIS B 0401 table of
shaft limits (25 h6: 25.000 / 24.987, 15 g6: 14.994 / 14.983); Pappus' second theorem; exact area of
a disc cut by a strip; slotted tubes 17/10 mm (`reference/slotted_tube_section.csv`, whose areas
come from exact integrals and were confirmed by a finite-element section program).
"""

import csv
import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from geometry.polygon import to_polygon
from geometry.segment import Arc, Line
from geometry.solids import BlindSlot, Flat, RadialSlot, Revolved
from recipes.catalogue import Parts
from recipes.refusal import Refused
from recipes.shaft.corner import seat_band
from recipes.shaft.cross_section import slot_section
from recipes.shaft.sections import bore_end
from tests.places import ROOT
from tests.support.axle import BUSY, LONG, PLAIN_HUB, SHORT, mouth_of, random_axle, solid_of
from tests.support.design import STARTERS, job
from tests.support.solids import kernel_volume

TRIED = {
    **{name: (lambda n=name: job(n)) for name in STARTERS},
    "short": lambda: job(**SHORT),
    "long": lambda: job(**LONG),
    "busy": lambda: job(**BUSY),
    **{f"seed {k}": (lambda k=k: random_axle(k)) for k in range(12)},
}


@pytest.fixture(params=TRIED, scope="module")
def tried(request):
    return TRIED[request.param]()


def test_sections_cover_the_axle_without_a_gap(tried):
    sections = tried.sections
    assert sections[0].start == 0.0
    assert sections[-1].end == tried.design.axle.length
    assert all(a.end == b.start for a, b in pairwise(sections))
    assert all(s.length > 0 for s in sections)


def test_grooves_cut_into_ends_and_lands():
    found = [(p.start, p.end, p.diameter, p.first) for p in job(**BUSY).pieces]
    assert (20.7, 22, 23.9, "groove") in found
    assert (132, 133.3, 23.9, "groove") in found
    assert (36, 94, 30, "land") in found  # land and stator seat are one cylinder


def test_profile_is_closed_simple_and_made_of_right_lengths(tried):
    outline, axle_ = tried.profile.outline, tried.design.axle
    assert outline.ccw
    low, bottom, high, top = outline.box
    assert (low, high) == (0.0, axle_.length)
    assert top == pytest.approx(max(s.diameter for s in tried.sections) / 2, abs=1e-12)
    through = axle_.bore_depth is None
    assert bottom == pytest.approx(axle_.bore_diameter / 2 if through else 0.0, abs=1e-12)
    assert to_polygon(outline, sagitta=1e-4).is_valid
    assert min(s.length for s in outline.segments) > 0.02


def test_rounds_and_chamfers_of_the_kayak_axle():
    """6002 has r_s min 0.3 mm (ISO 15, ISO 582): the round beside the seat must stay below it.

    Nose 0.2 mm (ISO 1832) there and at the stack, 0.4 mm elsewhere.
    """
    j = job("kayak-thruster")
    rounds = sorted(round(s.radius, 9) for s in j.profile.outline.segments if isinstance(s, Arc))
    # two seats, stack against the collar, land against the collar, mouth of the bore
    assert rounds == [0.2, 0.2, 0.2, 0.4, 1.0]
    assert seat_band(j.design.axle, j.bearing).high < j.bearing.chamfer_min_mm == 0.3
    slanted = [
        s for s in j.profile.outline.segments
        if isinstance(s, Line) and abs(s.start.x - s.end.x) > 1e-9
        and abs(abs(s.start.x - s.end.x) - abs(s.start.y - s.end.y)) < 1e-9
    ]  # fmt: skip
    # 0.4 at both ends; 0.1 lead-ins; 0.3 on two lands and the collar
    sizes = sorted(round(abs(s.start.x - s.end.x), 9) for s in slanted)
    assert sizes == [0.1, 0.1, 0.3, 0.3, 0.3, 0.3, 0.4, 0.4]


def test_a_lathe_centre_of_60_degrees_bears_in_the_bore_at_face_b():
    """ISO 866: centres have 60 degrees, so the cone lies at 30 degrees to the axis."""
    j = job("kayak-thruster")
    cone = j.profile.bore[0]
    run, rise = cone.start.x - cone.end.x, cone.start.y - cone.end.y
    assert math.degrees(math.atan2(rise, run)) == pytest.approx(30.0)
    assert (cone.start.x, rise) == pytest.approx((j.design.axle.length, 1.0))
    settings = Parts(j)["axle"][0].settings
    assert settings["centre_chamfer_diameter_mm"] == pytest.approx(2 * cone.start.y) == 11.0
    said = " ".join(t.text for t in Parts(j)["axle"][0].drawings[0].texts)
    assert "60° centre: face B chamfer to ⌀11" in said
    filed = [{"from_face": s, "length": 11, "fit": "h5", "made": "filed"} for s in (18, 95)]
    assert (
        "centre_chamfer_diameter_mm"
        not in Parts(job("kayak-thruster", axle__seats=filed))["axle"][0].settings
    )
    assert "centre_chamfer_diameter_mm" not in Parts(job(axle__bore_depth=80))["axle"][0].settings


def test_arcs_touch_their_neighbours(tried):
    segments = tried.profile.outline.segments
    for before, this, after in zip(
        (segments[-1], *segments[:-1]), segments, (*segments[1:], segments[0]), strict=True
    ):
        if isinstance(this, Arc):
            assert before.direction(1.0).cross(this.direction(0.0)) == pytest.approx(0, abs=1e-9)
            assert this.direction(1.0).cross(after.direction(0.0)) == pytest.approx(0, abs=1e-9)


def test_volume_by_pappus_and_by_discs(tried):
    """Two ways besides the closed form: shapely's centroid (Pappus), and a sum of thin discs."""
    body = Revolved(tried.profile.outline)
    polygon = to_polygon(body.profile, sagitta=1e-5)
    assert body.volume == pytest.approx(2 * math.pi * polygon.area * polygon.centroid.y, rel=1e-5)
    length, n = tried.design.axle.length, 3000
    z = (np.arange(n) + 0.5) * length / n
    discs = 0.0
    for at in z:
        line = shapely.LineString([(at, -1.0), (at, 1e3)])
        for part in shapely.get_parts(polygon.intersection(line)):
            _, low, _, high = part.bounds
            discs += math.pi * (high**2 - low**2) * length / n
    assert body.volume == pytest.approx(discs, rel=2e-3)


def test_volume_is_that_of_plain_cylinders_less_the_small_corners():
    j = job()
    plain = sum(math.pi / 4 * s.diameter**2 * s.length for s in j.sections)
    plain -= math.pi / 4 * 13**2 * 150
    volume = Revolved(j.profile.outline).volume
    # chamfers and the round at the mouth take about 100 mm3, rounds in corners give 15 back
    assert 40 < plain - volume < 140


def test_blind_bore_ends_in_a_drill_point_of_118_degrees():
    j = job(**BUSY)
    tip = 88.8 + 6.5 / math.tan(math.radians(59))
    assert bore_end(j.design.axle) == pytest.approx(tip, abs=1e-12)
    assert any(s.start == (tip, 0.0) or s.end == (tip, 0.0) for s in j.profile.outline.segments)
    assert bore_end(job().design.axle) == 150
    assert j.profile.bore[0].start == (tip, 0.0)  # face B's own edge is not the bore's


def test_mouth_of_the_bore():
    assert mouth_of(job()) == 1.5  # as the wire slot
    assert mouth_of(job(axle__bore_mouth_radius=2.3)) == 2.3
    assert mouth_of(job(axle__bore_diameter=22)) == 0.5  # 0.4 x 1.4, in tenths
    across = [{"from_face": 0, "length": 13.3, "across": 19.7}]
    assert mouth_of(job(axle__flats=across)) == 1.3  # 0.4 x 3.35
    assert mouth_of(job(**SHORT)) == 0.6


def strip(radius: float, half: float) -> float:
    """Half of a disc within `half` of its middle line: a sqrt(R^2 - a^2) + R^2 asin(a / R)."""
    return half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)


def test_section_through_the_slot_against_the_exact_area():
    j = job(axle__wire_slot={"from_face": 44.5, "length": 22, "width": 7.7, "mouth_radius": 0})
    exact = math.pi * (15**2 - 6.5**2) - (strip(15, 3.85) - strip(6.5, 3.85))
    assert slot_section(j.design.axle, 15.0).area == pytest.approx(exact, abs=1e-9)


def test_section_of_slotted_tubes_against_the_table():
    table = ROOT / "tests" / "reference" / "slotted_tube_section.csv"
    lines = [x for x in table.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    checked = 0
    for row in csv.DictReader(lines):
        if float(row["slot_w_mm"]) < 0.5:  # below the range of the design's field
            continue
        slot = {
            "from_face": 44.5, "length": 22, "width": float(row["slot_w_mm"]), "mouth_radius": 0,
        }  # fmt: skip
        j = job(axle__bore_diameter=float(row["d_mm"]), axle__wire_slot=slot)
        area = slot_section(j.design.axle, float(row["D_mm"]) / 2).area
        assert area == pytest.approx(float(row["A_mm2"]), abs=1e-5)
        checked += 1
    assert checked == 2


def test_rounded_mouth_against_morphological_opening():
    """Opening a shape (shapely: shrink, then grow) rounds its outward corners by that radius."""
    mouth = {"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.3}
    edged = job(axle__wire_slot={**mouth, "mouth_radius": 0}).design.axle
    sharp = to_polygon(slot_section(edged, 15.0), sagitta=1e-5)
    outer = shapely.Point(0, 0).buffer(99).difference(shapely.Point(0, 0).buffer(11, 256))
    opened = sharp.buffer(-1.3, 512).buffer(1.3, 512).intersection(outer)
    made = to_polygon(
        slot_section(job(axle__wire_slot=mouth).design.axle, 15.0), 1e-5
    ).intersection(outer)
    assert made.area == pytest.approx(opened.area, abs=2e-3)
    assert sharp.intersection(outer).area - made.area > 1.0


def test_solid_stands_upright_and_opens_to_the_right_of_the_lead_side():
    solid = solid_of(job(axle__wire_slot={
        "from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": 25,
    }, axle__flats=[{"from_face": 0, "length": 13.3, "across": 19.7, "angle": 90}]))  # fmt: skip
    slot, up, down, *keys = solid.cuts
    assert isinstance(slot, RadialSlot)
    assert isinstance(up, Flat)
    assert isinstance(down, Flat)
    # seen from face A the x axis of the solid points to the left
    assert math.cos(slot.angle) == pytest.approx(-math.cos(math.radians(25)))
    assert math.sin(slot.angle) == pytest.approx(math.sin(math.radians(25)))
    assert math.sin(up.angle) == pytest.approx(1)
    assert math.sin(down.angle) == pytest.approx(-1)
    assert (slot.z_start, slot.z_end, slot.width, slot.edge_radius) == (44.5, 66.5, 8, 1.5)
    assert up.distance_from_axis == 9.85
    assert [math.sin(k.angle) for k in keys] == pytest.approx([1, -1])


def test_solid_takes_every_cut(tried):
    solid = solid_of(tried)
    assert solid.z_range == (0.0, tried.design.axle.length)
    assert 0 < solid.volume < solid.base.volume


def test_kernel_agrees_with_the_closed_form():
    """OpenCASCADE builds the same body: volume with a sharp mouth, to 1e-8 of it."""
    slot = {"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 0, "angle": 25}
    keys = {"width": 5.5, "depth": 2.4, "count": 3}
    solid = solid_of(job(**{**BUSY, "axle__wire_slot": slot, "hub__keyway": keys}))
    assert sum(isinstance(c, BlindSlot) for c in solid.cuts) == 3
    assert kernel_volume(solid) == pytest.approx(solid.volume, rel=1e-8)


def test_part_of_the_potters_wheel():
    (part,) = Parts(job())["axle"]
    assert (part.name, part.cut, part.thickness, part.quantity) == ("axle", (), 0.0, 1)
    assert part.material == "C45 normalised"
    assert len(part.drawings) == 1
    assert part.solid == solid_of(job())
    figures = part.settings
    # ISO 286-2: h6 over 24 to 30 is 0 / -13 um
    assert (figures["bearing_seat_A_max_mm"], figures["bearing_seat_A_min_mm"]) == (25.0, 24.987)
    assert (figures["stator_seat_max_mm"], figures["stator_seat_min_mm"]) == (30.0, 29.987)
    assert figures["bearing_seat_B_from_face_A_mm"] == 118
    assert figures["length_mm"] == 150
    words = " ".join(part.notes)
    for said in (
        "never file a seat",
        "push of the hand",
        "inside and out",
        "seats 6 × 3.5 deep, 6.000 to 5.970",
    ):
        assert said in words


def test_limits_of_the_kayak_axle():
    """ISO 286-2, 10 to 18 mm: h5 0 / -8 um."""
    figures = Parts(job("kayak-thruster"))["axle"][0].settings
    assert (figures["bearing_seat_A_max_mm"], figures["bearing_seat_A_min_mm"]) == (15.0, 14.992)
    assert (figures["bearing_seat_B_max_mm"], figures["bearing_seat_B_min_mm"]) == (15.0, 14.992)
    assert "key seat" not in " ".join(Parts(job("kayak-thruster"))["axle"][0].notes)


def test_axle_without_room_is_refused_with_every_reason():
    with pytest.raises(Refused) as caught:
        Parts(job(**PLAIN_HUB, axle__bore_diameter=23, axle__stock_diameter=30))["axle"]
    assert {f.code for f in caught.value.findings} == {"thin-wall", "stock-too-thin"}
