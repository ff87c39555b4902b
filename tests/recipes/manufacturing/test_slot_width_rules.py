"""Widths that several fields make together, as random designs broke the cut file with them."""

import math

import pytest

from recipes.manufacturing.sheet_rules import narrow_places
from tests.support.design import STARTERS, job
from tests.support.shop import sheet_told


@pytest.mark.parametrize("name", STARTERS)
def test_places_by_hand(name: str) -> None:
    """Parallel teeth: the tooth as its field; the slot's floor by the root corner's place."""
    j = job(name)
    lip, throat, floor = narrow_places(j.slot)
    lam = j.design.lamination
    assert j.slot.tooth_width == pytest.approx(lam.tooth_width, abs=1e-9)
    assert lip >= lam.tip_thickness
    assert throat < lam.slot_depth - lam.tip_thickness
    root = j.slot.half[-3 if j.slot.radii["root_radius"] else -2].end
    across = abs(root.rotated(-math.pi / j.slot.slots).y)
    assert floor == pytest.approx(2 * across, abs=1e-9)


def test_a_tooth_between_parallel_slots_is_narrowest_at_its_root() -> None:
    parallel = {"lamination__slot_shape": "parallel slots", "lamination__tooth_width": None}
    j = job(**parallel, lamination__slot_width=14.5, wedge__thickness=0, hub__spokes=None)
    tooth = j.slot.tooth_width
    # a slot's flank is a line 7.25 beside the slot axis; across the tooth at the root corner:
    # 2 (r sin(a - asin(7.25 / r))) with r = 75 - 18 and a = 7.5 degrees, less the root's round
    sharp = 2 * 57.0 * math.sin(math.pi / 24 - math.asin(7.25 / 57.0))
    assert sharp < tooth < sharp + 0.6
    found = {f.field: f.value for f in sheet_told(j) if f.code == "slot-place-too-narrow"}
    assert found == {"lamination.slot_width": pytest.approx(tooth, abs=1e-4)}


def test_a_flat_slot_has_no_throat_left() -> None:
    """The tip's underside slopes down nearly onto the slot bottom."""
    for tooth, refused in ((9.0, True), (12.0, False)):
        j = job(lamination__slot_depth=5.0 if refused else 6.2, lamination__tip_angle=25,
                lamination__tip_thickness=2.5, lamination__tooth_width=tooth)  # fmt: skip
        assert (narrow_places(j.slot).throat < 1.0) == refused
        found = {f.field for f in sheet_told(j) if f.code == "slot-place-too-narrow"}
        assert found == ({"lamination.slot_depth"} if refused else set())


def test_a_notch_narrower_than_the_cut_is_refused() -> None:
    """The laser needs 1 mm of slot; found by a random design whose own cut file was refused."""
    found = sheet_told(job(lamination__tab_notch={"width": 0.5}))
    assert [f.limit for f in found if f.field == "lamination.tab_notch.width"] == [1.0]
    found = sheet_told(job(lamination__tab_notch={"width": 1.0}))
    assert "lamination.tab_notch.width" not in {f.field for f in found}


def test_what_is_too_small_by_its_own_field_is_said_once() -> None:
    found = sheet_told(job(lamination__tip_thickness=0.7, wedge__thickness=0))
    assert [f.code for f in found if f.field == "lamination.tip_thickness" and f.level == "stop"] == [
        "feature-too-small"
    ]  # fmt: skip
