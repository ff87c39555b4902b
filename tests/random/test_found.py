"""What random designs broke, shrunk to what matters; each has a test beside its module too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from recipes.stator.hub import bore
from tests.random.judge import Seen, judge, pack_holds
from tests.random.shape import chorded
from tests.random.watch import no_hang
from tests.support.design import job, raw


def judged(starter: str = "potters-wheel", /, whole: bool = False, **changes: Any) -> Seen:
    return judge(raw(starter, **changes), whole=whole)


def test_an_orientation_mark_on_the_key_seeks_another_place() -> None:
    """Both stood at one angle, which the circle took for a whole turn between them."""
    from geometry.outline import Region

    hub = {"keyway": {"width": 1.4, "depth": 0.42, "corner_radius": 0.18}, "mark_radius": 0.4}
    j = job("kayak-thruster", lamination__bore_diameter=6.9, lamination__outer_diameter=34.4,
            lamination__slot_depth=4.5, hub=hub)  # fmt: skip
    assert chorded(Region(bore(j.design.hub, j.design.lamination, j.design.motor.slots))).is_valid


def test_turns_far_beyond_the_slot_are_refused_and_not_a_root_of_less_than_nothing() -> None:
    seen = judged("kayak-thruster", winding__turns=1755)
    assert "turns-do-not-fit winding.turns" in seen.codes


def test_a_key_seat_beyond_the_axle_is_refused_by_its_field() -> None:
    """The curve of strength looked for a place that the axle has not."""
    assert "key-seat-off-stack axle.key_seat.from_face" in judged(axle__key_seat={"from_face": 1310.0}).codes  # fmt: skip


def test_paths_that_differ_are_refused_before_the_jig_counts_their_leads() -> None:
    codes = judged(whole=True, winding__parallel_paths=40).codes
    assert set(codes) == {"paths-not-equal winding.parallel_paths"}


def test_a_pack_without_a_load_on_the_axle_has_its_build_sheet(tmp_path: Path) -> None:
    seen = judged("wool-spinner", whole=True, axle__load=None)
    assert seen.job is not None, seen.codes
    pack_holds(seen, tmp_path)


def test_flats_inside_a_groove_are_judged_by_it() -> None:
    """Nothing was left to compare them with."""
    groove = {"from_face": 2.0, "width": 9.0, "diameter": 21.3}
    for across, refused in ((23.1, True), (19.7, False)):
        flats = {"from_face": 4.0, "length": 5.0, "across": across}
        codes = judged(axle__grooves=[groove], axle__flats=[flats]).codes
        assert ("flats-miss axle.flats.across" in codes) == refused, codes


def test_as_many_leads_as_can_be_asked_for_do_not_hang_a_check() -> None:
    leads = [
        {"name": f"lead {k}", "count": 48, "outside_diameter": 0.9 + 0.13 * k} for k in range(3)
    ]
    with no_hang("three times 48 leads"):
        assert any("axle" in code for code in judged(axle__leads=leads).codes)


def test_a_pass_that_finds_no_wire_to_lay_is_not_tried_for_ever() -> None:
    """Two thick wires in the wide, shallow slot of a sheet of six teeth."""
    sheet = {
        "outer_diameter": 60.2, "stack_length": 82.7, "sheet_thickness": 0.65, "steel": "M330-35A",
        "slot_depth": 11.49, "slot_opening": 7.87, "slot_bottom": "flat", "tip_thickness": 1.9,
        "tip_angle": 0, "slot_shape": "parallel teeth", "tooth_width": 7.01, "bore_diameter": 8.6,
    }  # fmt: skip
    wound = {"wire": "1.8 mm", "strands": 2, "turns": 2, "coil_sides": "alternate teeth"}
    with no_hang("two thick wires"):
        seen = judged(
            "kayak-thruster", motor__slots=6, motor__poles=8, lamination=sheet,
            liner__thickness=0.05, wedge=None, separator=None,
            **{f"winding__{key}": value for key, value in wound.items()},
        )  # fmt: skip
    assert any("axle" in code for code in seen.codes)  # the axle is that of a larger sheet


def test_a_bore_wider_than_its_sheet_is_refused_and_not_a_root_of_less_than_nothing() -> None:
    """Faces of negative area cooled the coils by less than nothing."""
    assert "impossible-shape hub.yoke_thickness" in judged(lamination__bore_diameter=200.0).codes


def test_a_bore_no_deeper_than_the_round_of_its_mouth_is_refused_beside_all_else() -> None:
    codes = judged(
        axle__bore_depth=1.0, axle__wire_slot__mouth_radius=1.0, axle__shoulder__diameter=20.1
    ).codes
    assert {"bore-too-short axle.bore_depth", "impossible-shape axle"} < set(codes)


def test_flats_beyond_the_axle_are_refused_by_their_place() -> None:
    """There was no diameter to compare them with."""
    flats = {"from_face": 400.0, "length": 5.0, "across": 12.3}
    assert "outside-axle axle.flats.from_face" in judged(axle__flats=[flats]).codes


def test_a_frame_over_a_bearing_is_refused_also_where_no_load_is_known() -> None:
    """Only the page of the pack met it, when all else was written."""
    load = {"overhang": 9.8, "held": "both ends", "grip": 26.9}
    codes = judged(axle__load=load).codes
    assert set(codes) == {"frame-over-bearing axle.load.grip"}


def test_a_mouth_has_no_larger_round_than_its_section_can_be_drawn_with() -> None:
    """The rule compared it with the wall; the kernel of the section knew better, on the page."""
    from geometry.errors import GeometryError
    from recipes.shaft.cross_section import slot_section

    for mouth, fits in ((4.79, True), (4.83, False)):
        slot = {"from_face": 60.0, "length": 22.0, "width": 8.0, "mouth_radius": mouth}
        j = job(axle__length=190.0, axle__wire_slot=slot, axle__key_seat=None)
        codes = [f.code for f in j.axle_findings]
        try:
            slot_section(j.design.axle, 15.0)
            drawn = True
        except GeometryError:
            drawn = False
        assert drawn == fits
        assert ("slot-mouth-too-round" in codes) != fits, codes


def test_a_lip_whose_underside_leaves_the_sheet_is_refused_by_the_thickness_that_would_do() -> None:
    """The outline crossed itself where the straight underside left the round air-gap face."""
    sheet = {
        "outer_diameter": 70.4, "bore_diameter": 16.2, "stack_length": 13.1, "sheet_thickness": 0.65,
        "steel": "M330-35A", "slot_shape": "parallel slots", "slot_width": 13.05,
        "slot_depth": 16.09, "slot_opening": 6.91, "slot_bottom": "arc", "tip_thickness": 0.2371,
        "tip_angle": 0.0,
    }  # fmt: skip
    tables = {"motor__slots": 9, "motor__poles": 10, "hub": {}, "winding__wire": "0.8 mm"}
    seen = judged("kayak-thruster", lamination=sheet, **tables)
    refusal = "impossible-shape lamination.tip_thickness"
    assert refusal in seen.codes
    # By hand: half of 13.05 mm lies sqrt(35.2^2 - 6.525^2) = 34.590 mm out, the opening's edge 35.030.
    for thickness, refused in ((0.439, True), (0.442, False)):
        codes = judged(
            "kayak-thruster", lamination=sheet | {"tip_thickness": thickness}, **tables
        ).codes
        assert (refusal in codes) == refused, codes
