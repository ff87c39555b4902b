"""The stack: sheet counts by hand and by EN 10106, mass, body, rotation step and flip proof."""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path

import pytest

from geometry.formats.step_write import write_step
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.solids import Assembly
from recipes.build.read_back import check_step
from recipes.catalogue import Parts
from recipes.manufacturing.stack_rules import maps_on_itself
from recipes.stator.stack import stack_mass, stack_results, tells_faces_apart
from recipes.stator.stack_count import PILE, Stack, sheets_at, spare
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.gmsh import gmsh_solids
from tests.support.shop import stack_told

STEPS = [{"count": 2, "narrower_by": "0.17 mm"}, {"count": 1, "narrower_by": "0.71 mm"}]


def test_counts_by_hand() -> None:
    # 23.7 mm of 0.5 mm sheet, 93 % steel: 44.08 sheets; 5 % of 44 is 2.2, so 3 more
    s = job(lamination__stack_length=23.7, lamination__stacking_factor=0.93).stack
    assert (s.sheets, s.full_sheets, s.sheets_to_order) == (44, 44, 47)
    assert s.length == pytest.approx(44 * 0.5 / 0.93)
    assert s.sheet_height == pytest.approx(0.5 / 0.93)
    assert s.basis == "the design file"
    # 3 sheets at each end are others: 38 full and 2 more, 4 + 2 and 2 + 2
    s = job(
        lamination__stack_length=23.7, lamination__stacking_factor=0.93, ends={"steps": STEPS}
    ).stack
    assert (s.full_sheets, s.full_to_order) == (38, 40)
    assert (s.end_sheets, s.end_to_order) == ((4, 2), (6, 4))
    assert (s.sheets, s.sheets_to_order) == (44, 50)


def test_spares_are_5_percent_and_at_least_two() -> None:
    assert [spare(n) for n in (1, 40, 41, 60, 61, 200)] == [2, 2, 3, 3, 4, 10]


def rows() -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / "en10106_grades.csv"
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows()[::3], ids=lambda r: r["grade"])
def test_pressed_count_follows_the_least_stacking_factor_of_en_10106(row: dict[str, str]) -> None:
    """EN 10106:1995 table 2: 0.95 for 0.35 mm sheet, 0.97 for 0.50 and 0.65 mm."""
    t = float(row["t_mm"])
    least = {0.35: 0.95, 0.5: 0.97, 0.65: 0.97}[t]
    assert float(row["min_stacking_factor"]) == least
    j = job(
        lamination__steel=row["grade"], lamination__sheet_thickness=t,
        lamination__stack_length=41.3, lamination__stacking_factor=None,
    )  # fmt: skip
    results = stack_results(j.design.lamination, j.stack, Parts(j).sheets)
    assert results["sheet_count_pressed_en10106"] == math.floor(least * 41.3 / t + 0.5)
    assert results["sheet_count"] == math.floor(0.94 * 41.3 / t + 0.5)
    assert results["stacking_factor_from"] == "hand-glued stack, common practice"


def test_a_measured_pile_counts_where_it_is_worse_than_glue() -> None:
    plain = {"lamination__stacking_factor": None}
    burred = job(**plain, shop__measured={"pile_of_20": 11.13})  # 20 x 0.5 / 11.13 = 0.898
    assert burred.stack.factor == pytest.approx(PILE * 0.5 / 11.13, abs=5e-4)
    assert burred.stack.basis == "measured pile of 20 sheets"
    assert burred.stack.sheets == sheets_at(0.898, 20, 0.5) == 36
    # dry and flat: glue takes its share all the same
    assert job(**plain, shop__measured={"pile_of_20": 10.31}).stack.factor == 0.94
    # what the design says was decided with the pile in hand
    own = job(lamination__stacking_factor=0.91, shop__measured={"pile_of_20": 11.13})
    assert own.stack.factor == 0.91
    # 20 sheets of 0.5 mm cannot be 14 mm high
    assert job(**plain, shop__measured={"pile_of_20": 14.0}).stack.factor == 0.94


@pytest.mark.parametrize("name", STARTERS)
def test_mass_is_volume_times_density(name: str) -> None:
    """Density of EN 10106 table 2; area by shapely from fine chords."""
    j = job(name, ends__end_cap=None, ends__steps=STEPS)
    density = {"M400-50A": 7700, "M270-35A": 7650, "M330-35A": 7650}[j.design.lamination.steel]
    t, count = j.design.lamination.sheet_thickness, j.stack
    parts = [*Parts(j)["lamination"], *Parts(j)["end_laminations"]]
    sheets = [count.full_sheets, *count.end_sheets]
    volume = sum(
        to_polygon(p.cut[0], 1e-4).area * n * t for p, n in zip(parts, sheets, strict=True)
    )
    assert stack_mass(j.stack, Parts(j).sheets) == pytest.approx(volume * 1e-9 * density, rel=1e-5)
    (part,) = Parts(j)["stack"]
    assert part.settings["mass_kg"] == pytest.approx(stack_mass(j.stack, Parts(j).sheets), abs=1e-4)
    # the body is as high as the stack, glue included: its steel share is the factor
    assert part.solid is not None
    assert part.solid.volume * count.factor == pytest.approx(volume, rel=1e-5)


def test_body_of_a_stepped_stack_for_readers_of_others(tmp_path: Path) -> None:
    j = job("kayak-thruster", ends__steps=[{"count": 3, "narrower_by": 0.43}])
    (part,) = Parts(j)["stack"]
    assert part.solid is not None
    data = write_step(part.solid, name=part.name)
    assert check_step(part.solid, data) == []
    found = gmsh_solids(data, tmp_path)
    end, full = Parts(j)["end_laminations"][0].area, Parts(j)["lamination"][0].area
    h, low = 0.35 / 0.94, 0.0
    for (name, volume, span), (wanted, area, sheets) in zip(
        found,
        [
            ("lamination_end1 far side", end, 3),
            ("lamination", full, 75),
            ("lamination_end1 lead side", end, 3),
        ],
        strict=True,
    ):
        assert name == wanted
        assert volume == pytest.approx(area * sheets * h, rel=1e-7)
        assert span == pytest.approx((low, low + sheets * h), abs=1e-5)
        low += sheets * h
    assert low == pytest.approx(j.stack.length)


def test_layers_of_a_stepped_stack_narrow_towards_both_ends() -> None:
    (part,) = Parts(job("kayak-thruster"))["stack"]
    assert isinstance(part.solid, Assembly)
    items = part.solid.items
    assert [n.removeprefix("lamination") for n, _ in items] == [
        "_end3 far side", "_end2 far side", "_end1 far side", "",
        "_end1 lead side", "_end2 lead side", "_end3 lead side",
    ]  # fmt: skip
    areas = [b.region.area for _, b in items]
    assert areas[:4] == sorted(areas[:4])
    assert areas[3:] == areas[3::-1]
    for (_, below), (_, above) in itertools.pairwise(items):
        assert below.z_range[1] == pytest.approx(above.z_range[0], abs=1e-12)


def test_a_plain_stack_is_one_solid(tmp_path: Path) -> None:
    (part,) = Parts(job("wool-spinner"))["stack"]
    assert part.solid is not None
    ((name, volume, _),) = gmsh_solids(write_step(part.solid, name=part.name), tmp_path)
    assert name == "stack"
    assert volume == pytest.approx(part.solid.volume, rel=1e-8)


@pytest.mark.parametrize("name", STARTERS)
def test_rotation_step_is_proved_on_the_outlines(name: str) -> None:
    j = job(name)
    (part,) = Parts(j)["stack"]
    step, slots = int(part.settings["rotation_step_slots"]), j.design.motor.slots
    assert step > 1
    assert part.settings["rotation_step_deg"] == pytest.approx(360 * step / slots)
    turn = 2 * math.pi * step / slots
    for sheet in (*Parts(j)["lamination"], *Parts(j)["end_laminations"]):
        assert maps_on_itself(sheet.cut[0], turn) == []
        for other in range(1, step):  # no smaller turn does
            assert maps_on_itself(sheet.cut[0], 2 * math.pi * other / slots)
    assert stack_told(j) == []
    assert "turn each sheet by" in part.notes[0]


def test_a_hole_out_of_place_breaks_the_proof() -> None:
    region = Parts(job("kayak-thruster"))["lamination"][0].cut[0]
    assert maps_on_itself(region, math.pi / 2) == []
    off = next(h for h in region.holes if h.as_circle())
    moved = Region(region.outer, tuple(h.moved(0.01, 0) if h is off else h for h in region.holes))
    faults = maps_on_itself(moved, math.pi / 2)
    assert any(f"loop about ({off.centroid.x:.3f}" in f or "0.01" in f for f in faults)
    spot = Outline.circle(Point(3.1, 11.0), 0.9)
    assert maps_on_itself(Region(region.outer, (*region.holes, spot)), math.pi / 2)


def test_what_the_stack_does_not_guard_against_is_said() -> None:
    # five spokes: no turn by whole slots of 24 maps them, and one key
    odd = job(hub__spokes={"count": 5, "width": 9}, hub__keyway={"width": 6, "depth": 2.8})
    assert [f.code for f in stack_told(odd)] == ["no-rotation"]
    assert "lay all sheets the same way" in Parts(odd)["stack"][0].notes[0]
    plain = job(hub__orientation_mark=False)
    assert [f.code for f in stack_told(plain)] == ["faces-alike"]
    assert not tells_faces_apart(Parts(plain)["lamination"][0].cut[0], 24)
    assert "mark one face" in Parts(plain)["stack"][0].notes[1]


def test_a_stack_without_steps_keeps_its_fields() -> None:
    s = job().stack
    assert isinstance(s, Stack)
    assert s.end_sheets == s.end_to_order == ()
    assert s.full_to_order == s.sheets_to_order == 40
