"""The end cap: where it covers and where it stays back, its body, and what cannot be made."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from geometry.formats.step_write import write_step, write_stl
from geometry.formats.stl_read import read_stl
from geometry.inspection.compare import compare_outlines
from geometry.polygon import to_polygon
from geometry.segment import Arc
from geometry.solids import Filleted
from recipes.build.read_back import check_step, check_stl
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.stator.end_cap import end_cap_findings
from recipes.stator.slot import TOOTH_1
from tests.support.design import STARTERS, job
from tests.support.gmsh import gmsh_solids
from tests.support.solids import kernel_volume, shape_volume

CAP = {"thickness": "1.9 mm", "proud": "0.23 mm", "edge_radius": "1.1 mm"}


def capped(name: str = "potters-wheel", **changes: object) -> Motor:
    return job(name, **{"ends": {"end_cap": CAP}, **changes})


def body(j: Motor) -> Filleted:
    (part,) = Parts(j)["end_cap"]
    assert isinstance(part.solid, Filleted)
    return part.solid


@pytest.mark.parametrize("name", STARTERS)
def test_outline_is_proud_in_the_slot_and_back_at_the_air_gap(name: str) -> None:
    j = capped(name)
    steel, cap = (
        to_polygon(p.cut[0], 1e-4) for p in (Parts(j)["lamination"][0], Parts(j)["end_cap"][0])
    )
    lam = j.design.lamination
    r, floor = lam.outer_diameter / 2, lam.outer_diameter / 2 - lam.slot_depth
    assert cap.bounds[3] == pytest.approx(r - 0.5, abs=2e-4)
    beyond = shapely.difference(cap, steel)
    # nowhere prouder than asked but in the corners of root and neck, and not at all at the mouth
    assert beyond.difference(steel.buffer(0.23 + 2e-3)).area < 0.02 * beyond.area
    lips = shapely.Point(0, 0).buffer(r + 1, 512) - shapely.Point(0, 0).buffer(r - lam.tip_thickness + 0.05, 512)  # fmt: skip
    # lips have a round of their own, so a corner may stand out, but not into the opening
    assert beyond.intersection(lips).difference(steel.buffer(0.06)).area < 1e-6
    teeth = shapely.get_parts(cap.intersection(lips))
    assert len(teeth) == j.design.motor.slots
    assert teeth[0].distance(shapely.union_all(teeth[1:])) > lam.slot_opening - 1e-3
    # across a tooth half way up, and along a slot axis
    level = (r - lam.tip_thickness + floor) / 2
    across = shapely.LineString([(-9, level), (9, level)])
    wide = [next(p.length for p in shapely.get_parts(g.intersection(across)) if abs(p.centroid.x) < 0.1) for g in (steel, cap)]  # fmt: skip
    assert wide[1] - wide[0] == pytest.approx(0.46, abs=1e-3)
    spot = TOOTH_1 + math.pi / j.design.motor.slots
    axis = shapely.LineString([(0, 0), (2 * r * math.cos(spot), 2 * r * math.sin(spot))])
    deep = [max(math.hypot(*c) for p in shapely.get_parts(g.intersection(axis)) for c in p.coords) for g in (steel, cap)]  # fmt: skip
    assert deep == pytest.approx([floor, floor + 0.23], abs=1e-3)


@pytest.mark.parametrize("name", STARTERS)
def test_one_shape_fits_both_ends_and_the_axle(name: str) -> None:
    j = capped(name)
    (part,) = Parts(j)["end_cap"]
    region, sheet = part.cut[0], Parts(j)["lamination"][0].cut[0]
    assert part.quantity == 2
    assert compare_outlines(region.loops, region.mirrored(TOOTH_1).loops, 1e-7) == []
    windows = [h for h in sheet.holes if h.centroid.length() > 1]
    assert compare_outlines(windows, [h for h in region.holes if h.centroid.length() > 1], 1e-9) == []  # fmt: skip
    hole, bore = (
        to_polygon(next(h for h in r.holes if h.centroid.length() < 1), 1e-4)
        for r in (region, sheet)
    )
    # the sheet's bore has half-round marks more; nothing of the cap reaches into it
    assert hole.difference(bore).area < 1e-3
    assert 0 <= bore.difference(hole).area < 12 * math.pi * 0.5**2


def test_volume_for_readers_of_others(tmp_path: Path) -> None:
    (part,) = Parts(capped("kayak-thruster"))["end_cap"]
    assert part.solid is not None
    data = write_step(part.solid, name=part.name)
    ((found, volume, _),) = gmsh_solids(data, tmp_path)
    assert found == "end_cap"
    # gmsh integrates curved faces at a fixed order; the kernel's adaptive figure follows
    assert volume == pytest.approx(part.solid.volume, rel=1e-6)
    assert kernel_volume(part.solid) == pytest.approx(part.solid.volume, rel=1e-12)
    assert check_step(part.solid, data) == []
    stl = write_stl(part.solid, 0.02)
    assert check_stl(part.solid, 0.02, stl) == []
    assert read_stl(stl).volume == pytest.approx(part.solid.volume, rel=5e-3)


@pytest.mark.parametrize("name", ["potters-wheel", "wool-spinner"])
def test_caps_of_the_starters_come_back_from_their_file(name: str, tmp_path: Path) -> None:
    """The kernel reads its own file into a new body and integrates that."""
    from cadquery import importers

    (part,) = Parts(job(name))["end_cap"]
    assert part.solid is not None
    path = tmp_path / "cap.step"
    path.write_bytes(write_step(part.solid, name=part.name))
    (shape,) = importers.importStep(str(path)).vals()
    assert shape_volume(shape) == pytest.approx(part.solid.volume, rel=1e-9)
    assert check_step(part.solid, path.read_bytes()) == []


def test_wire_side_edges_are_round_where_the_wire_turns() -> None:
    """Every flank, root and slot bottom has the radius asked for; a lip what it can take."""
    j = capped()
    made = body(j)
    radii, segments = made.edge.radii, made.edge.segments
    lam = j.design.lamination
    floor = lam.outer_diameter / 2 - lam.slot_depth
    for s, r in zip(segments, radii, strict=True):
        out = s.point_at(0.5).length()
        if out < floor + 0.5 * lam.slot_depth + 1:  # flanks (their middle), roots, bottoms
            assert r == 1.1
        else:
            assert 0 < r < 0.3
    assert sum(r == 1.1 for r in radii) == 24 * 5
    (part,) = Parts(j)["end_cap"]
    assert part.settings["edge_radius_mm"] == 1.1
    assert part.settings["lip_edge_radius_mm"] == max(set(radii) - {1.1})


@pytest.mark.parametrize(
    ("slots", "radius", "shape", "bottom"),
    [
        (6, 0.8, "parallel teeth", "arc"),
        (6, 0.8, "parallel slots", "flat"),
        (9, 1.3, "parallel teeth", "flat"),
        (9, 1.3, "parallel slots", "arc"),
        (51, 1.9, "parallel teeth", "arc"),
    ],
)
def test_caps_of_many_stators_are_sound(slots: int, radius: float, shape: str, bottom: str) -> None:
    r = max(20.0, slots * 2.2)
    pitch = 2 * math.pi * r / slots
    wide = {"tooth_width": 0.42 * pitch} if shape == "parallel teeth" else {"slot_width": 0.36 * pitch}  # fmt: skip
    depth = min(0.3 * r, 12.0)
    j = job(
        ends={"end_cap": {"thickness": 1.9, "proud": 0.2, "edge_radius": radius}},
        motor__slots=slots, motor__poles=slots + slots % 2 + 2,
        lamination={
            "outer_diameter": 2 * r, "bore_diameter": 10.0, "stack_length": 11.0,
            "sheet_thickness": 0.5, "steel": "M400-50A", "slot_shape": shape, **wide,
            "slot_depth": depth, "slot_opening": 0.2 * pitch, "slot_bottom": bottom,
            "tip_thickness": 0.04 * r + 0.9, "tip_angle": 14.0,
        },
        hub={}, winding__wire="0.3 mm",
    )  # fmt: skip
    made = body(j)
    assert kernel_volume(made) == pytest.approx(made.volume, rel=1e-10)
    assert len(made.fillets) == 2 * slots


@pytest.mark.parametrize("name", STARTERS)
def test_a_round_as_deep_as_the_cap(name: str) -> None:
    cap = {"thickness": "1.27 mm", "proud": "0.3 mm", "edge_radius": "1.27 mm"}
    made = body(capped(name, ends={"end_cap": cap}))
    assert kernel_volume(made) == pytest.approx(made.volume, rel=1e-12)


def test_a_round_too_large_names_the_largest_that_works() -> None:
    big = {"thickness": 9.0, "proud": 0.23, "edge_radius": 4.9}
    with pytest.raises(Refused) as caught:
        Parts(capped(ends={"end_cap": big}))["end_cap"]
    (found,) = caught.value.findings
    assert found.field == "ends.end_cap.edge_radius"
    assert found.level == "stop"
    limit = float(found.limit)  # type: ignore[arg-type]
    assert limit == pytest.approx(3.8 + 0.23, abs=0.02)  # half the cap's tooth
    assert f"{limit:.2f} mm" in found.fix
    works = body(capped(ends={"end_cap": big | {"edge_radius": limit}}))
    assert kernel_volume(works) == pytest.approx(works.volume, rel=1e-9)


def test_windows_near_the_slots_limit_the_round() -> None:
    near = capped(hub__yoke_thickness=0.8)  # and 0.23 proud
    with pytest.raises(Refused) as caught:
        Parts(near)["end_cap"]
    (found,) = caught.value.findings
    assert found.field == "ends.end_cap.edge_radius"
    assert 0.9 < float(found.limit) < 1.1  # type: ignore[arg-type]


def test_what_a_cap_cannot_cover_is_refused() -> None:
    with pytest.raises(Refused) as caught:
        Parts(capped(lamination__tip_thickness=0.7))["end_cap"]
    (found,) = caught.value.findings
    assert (found.code, found.field) == ("lip-too-thin", "lamination.tip_thickness")
    assert found.limit == pytest.approx(0.8, abs=0.02)
    with pytest.raises(Refused) as caught:
        Parts(capped(ends={"end_cap": CAP | {"proud": 1.99}}, lamination__tooth_width=13.9))[
            "end_cap"
        ]
    assert {f.field for f in caught.value.findings} == {"ends.end_cap.proud"}
    assert all("ends.end_cap.proud: its outline" in f.message for f in caught.value.findings)


def test_no_cap_no_part_and_small_lips_are_noted() -> None:
    assert Parts(job("kayak-thruster"))["end_cap"] == ()
    assert end_cap_findings(Parts(job("kayak-thruster"))["end_cap"]) == []
    assert end_cap_findings(Parts(capped())["end_cap"]) == []
    # teeth nearly as wide as their tips
    stub = capped(
        lamination__tooth_width=13.34, lamination__slot_opening=5.2, lamination__tip_angle=0,
        winding__wire="0.2 mm",
    )  # fmt: skip
    (found,) = end_cap_findings(Parts(stub)["end_cap"])
    assert (found.level, found.code) == ("note", "lip-edge-sharp")
    assert 0.0 in body(stub).edge.radii
    assert kernel_volume(body(stub)) == pytest.approx(body(stub).volume, rel=1e-9)


def test_tips_end_in_an_arc_about_the_axis() -> None:
    made = body(capped())
    tips = [s for s in made.edge.segments if isinstance(s, Arc) and s.radius > 70]
    assert len(tips) == 24
    assert all(s.radius == pytest.approx(74.5) for s in tips)
