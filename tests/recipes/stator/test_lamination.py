import math

import pytest
import shapely

from geometry.inspection.compare import compare_outlines
from geometry.polygon import to_polygon
from recipes.catalogue import Parts
from recipes.refusal import Refused
from recipes.stator.hub import rotation_step
from recipes.stator.slot import TOOTH_1
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_polygon_of_fine_chords_has_the_same_area(name: str) -> None:
    region = Parts(job(name))["lamination"][0].cut[0]
    chords = to_polygon(region, sagitta=1e-4)
    assert chords.is_valid
    assert chords.area == pytest.approx(region.area, rel=5e-6)


@pytest.mark.parametrize("slots", [3, 6, 9, 51, 120])
def test_from_3_to_120_slots(slots: int) -> None:
    r = max(20.0, slots * 2.2)
    pitch = 2 * math.pi * r / slots
    j = job(
        motor__slots=slots, motor__poles=2 if slots == 3 else slots + slots % 2 + 2 * (slots % 2 == 0),
        lamination__outer_diameter=2 * r, lamination__bore_diameter=10.0,
        lamination__tooth_width=0.42 * pitch, lamination__slot_depth=0.3 * r,
        lamination__slot_opening=0.2 * pitch, lamination__tip_thickness=0.04 * r + 0.5,
        lamination__tip_angle=10.0, hub__spokes=None, hub__yoke_thickness=None,
        hub__keyway=None, winding__wire="0.3 mm",
    )  # fmt: skip
    part = Parts(j)["lamination"][0]
    outer = part.cut[0].outer
    # Seven edges on each side of a tooth, its face and one slot bottom, whatever the count.
    assert len(outer.segments) == slots * 16
    assert compare_outlines([outer], [outer.rotated(2 * math.pi / slots)], 1e-7) == []
    assert max(outer.box) == pytest.approx(r, rel=0.2)


def test_tooth_1_points_up() -> None:
    region = Parts(job())["lamination"][0].cut[0]
    top = max(region.outer.points, key=lambda p: p.y)
    mirror = min(region.outer.points, key=lambda p: (p.x + top.x) ** 2 + (p.y - top.y) ** 2)
    assert pytest.approx(math.pi / 2) == TOOTH_1
    assert mirror.y == pytest.approx(top.y)
    assert region.box[3] == pytest.approx(75.0)


@pytest.mark.parametrize("name", STARTERS)
def test_sheet_maps_on_itself_under_its_rotation_step(name: str) -> None:
    j = job(name)
    step = rotation_step(j.design.hub, j.design.lamination, j.design.motor.slots)
    region = Parts(j)["lamination"][0].cut[0]
    turned = region.rotated(2 * math.pi * step / j.design.motor.slots)
    assert compare_outlines(list(region.loops), list(turned.loops), 1e-7) == []
    if step:
        less = region.rotated(2 * math.pi / j.design.motor.slots)
        assert compare_outlines(list(region.loops), list(less.loops), 1e-7) != []


@pytest.mark.parametrize("slots", [24, 120])
@pytest.mark.parametrize("key", [None, {"width": 6, "depth": 2.8, "count": 2}])
def test_the_mark_survives_turning_but_not_flipping(slots: int, key: object) -> None:
    j = job(
        motor__slots=slots, motor__poles=slots + 4, hub__keyway=key,
        lamination__tooth_width=7.6 if slots == 24 else 1.6,
        lamination__slot_opening=3.2 if slots == 24 else 1.1, winding__wire="0.3 mm",
    )  # fmt: skip
    region = Parts(j)["lamination"][0].cut[0]
    bore = region.holes[-1]  # teeth and arms look alike from both faces; the bore carries the mark
    flipped = bore.mirrored(TOOTH_1)
    for k in range(slots):
        turned = flipped.rotated(2 * math.pi * k / slots)
        assert compare_outlines([bore], [turned], 0.05) != []
    plain = Parts(job(hub__orientation_mark=False))["lamination"][0].cut[0]
    assert compare_outlines(list(plain.loops), list(plain.mirrored(TOOTH_1).loops), 1e-6) == []


def test_tab_notches_sit_below_the_tooth_face() -> None:
    tab = {"place": "tip", "count": 4, "depth": 0.3, "width": 1.8}
    j = job(lamination__tab_notch=tab, hub__spokes={"count": 4, "width": 9})
    plain, relieved = (
        Parts(job(hub__spokes={"count": 4, "width": 9}))["lamination"][0],
        Parts(j)["lamination"][0],
    )
    assert relieved.area == pytest.approx(plain.area - 4 * 0.3 * 1.8, rel=1e-4)
    assert relieved.cut[0].outer.box == pytest.approx(plain.cut[0].outer.box, abs=0.31)
    with pytest.raises(Refused, match="tab_notch"):
        Parts(job(lamination__tab_notch={"count": 5}))["lamination"]


def test_rotation_step_that_moves_a_key_is_refused() -> None:
    with pytest.raises(Refused) as caught:
        Parts(job(hub__rotation_step=1))["lamination"]
    assert {f.field for f in caught.value.findings} == {"hub.rotation_step"}
    assert "hub.keyway.count" in caught.value.findings[-1].message
    assert caught.value.findings[0].limit == 12


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"hub__spokes": {"count": 6, "width": 30}}, "hub.spokes.width"),
        ({"hub__spokes": {"count": 6, "width": 9, "fillet_radius": 20}}, "hub.spokes.fillet_radius"),
        ({"hub__yoke_thickness": 40}, "hub.yoke_thickness"),
        ({"hub__yoke_thickness": None}, "hub.yoke_thickness"),
        ({"hub__keyway": {"width": 6, "depth": 2.8, "corner_radius": 3.5}}, "hub.keyway"),
        ({"hub__flats": {"distance": 15.5}}, "hub.flats.distance"),
        ({"hub__spokes": None, "lamination__bore_diameter": 114.5}, "lamination.bore_diameter"),
        ({"hub__spokes": None, "hub__bolts": {"count": 6, "circle_diameter": 113, "hole_diameter": 3}}, "hub.bolts.circle_diameter"),
    ],
)  # fmt: skip
def test_impossible_hubs_name_the_field(changes: dict[str, object], field: str) -> None:
    with pytest.raises(Refused) as caught:
        Parts(job(**changes))["lamination"]
    assert caught.value.findings[0].field == field
    assert caught.value.findings[0].fix


def test_holes_lie_inside_the_sheet_for_every_starter() -> None:
    for name in STARTERS:
        region = Parts(job(name))["lamination"][0].cut[0]
        sheet = to_polygon(region.outer)
        for hole in region.holes:
            assert sheet.contains(to_polygon(hole))
            others = [to_polygon(h) for h in region.holes if h is not hole]
            assert all(shapely.distance(to_polygon(hole), o) > 1.0 for o in others)
