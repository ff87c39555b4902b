"""What random designs broke, shrunk to what matters; each has a test beside its module too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from recipes.hub import bore
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
    assert chorded(Region(bore(j.design))).is_valid


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
