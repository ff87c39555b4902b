import itertools
import math

import pytest
import shapely

from geometry.fillet import corner_turn
from geometry.segment import Arc
from recipes.refusal import Refused
from recipes.stator.slot import CORNERS
from tests.support.design import STARTERS, job

SHARP = {f"lamination__{name}": 0.0 for name in CORNERS}


def bare_area_by_hand(r: float, depth: float, slots: int, w: float, opening: float, tip: float, angle: float) -> float:  # fmt: skip
    """Area of a sharp-cornered slot between parallel teeth with an arc bottom.

    The sector between the slot bottom's circle and the tips' inner corners, in Cartesian pieces
    of the tooth frame (independent of the outline code): polygon to the origin, less the sector.
    """
    alpha, rb = math.pi / slots, r - depth
    ux, uy = math.cos(alpha), math.sin(alpha)
    face = math.sqrt(r * r - (opening / 2) ** 2)
    c1 = ((face - tip) * ux + opening / 2 * uy, (face - tip) * uy - opening / 2 * ux)
    c2 = (c1[0] - (c1[1] - w / 2) * math.tan(math.radians(angle)), w / 2)
    c3 = (math.sqrt(rb * rb - w * w / 4), w / 2)
    mouth = ((face - tip) * ux, (face - tip) * uy)
    corners = [(0.0, 0.0), c3, c2, c1, mouth]
    polygon = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)) / 2  # fmt: skip
    sector = rb * rb / 2 * (alpha - math.asin(w / 2 / rb))
    return 2 * (polygon - sector)


@pytest.mark.parametrize(
    ("slots", "poles", "r", "depth", "w", "opening", "tip", "angle"),
    [(24, 28, 75.0, 18.0, 7.6, 3.2, 1.5, 14.0), (12, 14, 31.3, 12.1, 5.9, 2.7, 1.2, 0.0), (3, 4, 25.0, 17.3, 6.3, 4.4, 1.9, 4.0)],
)  # fmt: skip
def test_sharp_slot_area_by_hand(slots: int, poles: int, r: float, depth: float, w: float, opening: float, tip: float, angle: float) -> None:  # fmt: skip
    j = job(
        motor__slots=slots, motor__poles=poles, lamination__outer_diameter=2 * r,
        lamination__slot_depth=depth, lamination__tooth_width=w, lamination__slot_opening=opening,
        lamination__tip_thickness=tip, lamination__tip_angle=angle, lamination__bore_diameter=8.0,
        **SHARP,
    )  # fmt: skip
    expected = bare_area_by_hand(r, depth, slots, w, opening, tip, angle)
    assert j.slot.outline.area == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("bottom", ["arc", "flat"])
@pytest.mark.parametrize("shape", ["parallel teeth", "parallel slots"])
@pytest.mark.parametrize("name", STARTERS[:2])
def test_rounds_are_tangent_and_the_wall_is_symmetric(name: str, shape: str, bottom: str) -> None:
    changes = {"lamination__slot_width": 5.5} if shape == "parallel slots" else {}
    j = job(name, lamination__slot_shape=shape, lamination__slot_bottom=bottom, units="mm",
            lamination__outer_diameter=150, lamination__bore_diameter=30, lamination__tooth_width=6.1,
            lamination__slot_depth=17, lamination__slot_opening=2.9, lamination__tip_thickness=1.6,
            **changes)  # fmt: skip
    wall = j.slot.wall
    assert all(a.end == b.start for a, b in itertools.pairwise(wall))
    assert all(abs(corner_turn(a, b)) < 1e-6 for a, b in itertools.pairwise(wall))
    for here, there in zip(wall, reversed(wall), strict=True):
        assert here.start.x == pytest.approx(there.end.x, abs=1e-9)
        assert here.start.y == pytest.approx(-there.end.y, abs=1e-9)
    assert j.slot.opening == pytest.approx(2.9)
    assert j.slot.outline.ccw


def test_parallel_slot_has_its_width_all_the_way() -> None:
    j = job(lamination__slot_shape="parallel slots", lamination__slot_width=6.3)
    assert j.slot.outline.box[3] - j.slot.outline.box[1] == pytest.approx(6.3)


def test_rounds_left_out_follow_the_wire() -> None:
    thin, thick = (
        job(winding__wire="0.4 mm"),
        job(winding__wire="1.25 mm", lamination__tip_thickness=3),
    )
    assert thin.slot.radii["root_radius"] == 0.5
    assert thick.slot.radii["root_radius"] == pytest.approx(thick.wire.overall_max_mm, abs=1e-3)
    assert thick.slot.radii["tip_inner_radius"] == pytest.approx(
        thick.wire.overall_max_mm / 2, abs=1e-3
    )
    rounds = {round(s.radius, 3) for s in thick.slot.half if isinstance(s, Arc)}
    assert set(thick.slot.radii.values()) <= rounds


def test_a_round_left_out_that_does_not_fit_shrinks_with_a_finding() -> None:
    j = job(winding__wire="2.0 mm", winding__strands=1, lamination__tip_thickness=0.6)
    assert j.slot.radii["tip_inner_radius"] < j.wire.overall_max_mm / 2
    assert [f.field for f in j.slot.notes] == ["lamination.tip_inner_radius"]
    assert j.slot.notes[0].level == "warn"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"slot_opening": 19.7}, "lamination.slot_opening"),
        ({"tooth_width": 17.0}, "lamination.tooth_width"),
        ({"tooth_width": 15.1}, "lamination.tooth_width"),
        ({"slot_depth": 75.0}, "lamination.slot_depth"),
        ({"slot_depth": 1.4}, "lamination.slot_depth"),
        ({"tip_angle": 60.0, "slot_depth": 4.0}, "lamination.tip_angle"),
        ({"root_radius": 4.9}, "lamination.root_radius"),
        ({"tip_radius": 1.6}, "lamination.tip_radius"),
        ({"neck_radius": 9.0}, "lamination.neck_radius"),
        ({"tooth_width": None}, "lamination.tooth_width"),
        ({"slot_shape": "parallel slots"}, "lamination.slot_width"),
        ({"slot_shape": "parallel slots", "slot_width": 15.0}, "lamination.slot_width"),
        ({"slot_shape": "parallel slots", "slot_width": 3.1}, "lamination.slot_opening"),
    ],
)  # fmt: skip
def test_impossible_slots_name_field_value_limit_and_fix(
    changes: dict[str, object], field: str
) -> None:
    j = job(**{f"lamination__{k}": v for k, v in changes.items()})
    with pytest.raises(Refused) as caught:
        bool(j.slot)
    found = caught.value.findings[0]
    assert found.field == field
    assert found.level == "stop"
    assert found.fix
    assert field in found.message


def test_the_radius_named_as_limit_fits() -> None:
    with pytest.raises(Refused) as caught:
        bool(job(lamination__root_radius=30.0).slot)
    limit = caught.value.findings[0].limit
    assert isinstance(limit, float)
    assert job(lamination__root_radius=math.floor(limit * 100) / 100).slot


@pytest.mark.parametrize("shape", ["teeth", "slots, round root", "slots, sharp root"])
def test_the_narrowest_tooth_is_what_geos_measures_between_its_sides(shape: str) -> None:
    changes: dict[str, object] = {}
    if shape != "teeth":
        changes = {
            "lamination__slot_shape": "parallel slots", "lamination__tooth_width": None,
            "lamination__slot_width": 9.3, "lamination__root_radius": 2.1 if "round" in shape else 0.0,
        }  # fmt: skip
    slot = job(**changes).slot
    side = shapely.LineString(
        [tuple(p) for s in slot.half[slot.underside : -1] for p in (s.start, *s.chords(1e-7))]
    )
    measured = side.distance(shapely.transform(side, lambda xy: xy * (1, -1)))
    assert slot.tooth_width == pytest.approx(measured, abs=1e-6)
    assert side.distance(shapely.Point(slot.narrowest)) < 1e-6
    flank = 2 * min(slot.flank.start.y, slot.flank.end.y)
    assert (slot.tooth_width < flank - 1e-3) == (shape == "slots, round root")
