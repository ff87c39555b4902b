"""The assembled motor: bodies in their places, who is in whose place, who turns near whom."""

from __future__ import annotations

import pytest

from geometry.finding import Finding
from geometry.outline import Outline
from recipes.assembly.body import Around, Body, Handle, block
from recipes.assembly.half_section import half_section
from recipes.assembly.questions import clearances, overlaps
from recipes.assembly.rules import assembly_findings
from recipes.assess import assess
from tests.support.design import STARTERS, job
from tests.support.extremes import extreme


def by_name(*args: str, **changes: object) -> dict[str, Body]:
    return {body.name: body for body in half_section(job(*args, **changes))}


@pytest.mark.parametrize("starter", STARTERS)
def test_starters_go_together(starter: str) -> None:
    bodies = half_section(job(starter))
    assert not list(overlaps(bodies))
    assert not assembly_findings(bodies)
    assert {"magnets", "magnet ring", "teeth", "wedge", "collar", "coil ends A"} <= {
        b.name for b in bodies
    }


def test_bodies_stand_where_the_tables_say() -> None:
    """Bearing 6005 is 25 x 47 x 12 mm (ISO 15); a stator stands on its axle and its ring turns."""
    found = by_name("potters-wheel")
    inner, outer = found["bearing 1, inner ring"], found["bearing 1, outer ring"]
    assert inner.box[1] == pytest.approx(12.5)
    assert outer.box == pytest.approx((24.0, outer.box[1], 36.0, 23.5))
    assert not inner.turns
    assert outer.turns
    assert {b.name for b in found.values() if b.turns} == {
        "bearing 1, outer ring", "bearing 2, outer ring", "magnets", "magnet ring", "cover A",
        "cover B", "bolts of the covers",
    }  # fmt: skip


def test_a_cap_lies_between_steel_and_collar() -> None:
    found = by_name("potters-wheel")
    assert found["end cap B"].box[2] == pytest.approx(found["collar"].box[0])
    assert found["teeth"].box[2] == pytest.approx(found["collar"].box[0] - 1.5)


def test_a_collar_that_reaches_the_coils_is_in_their_place() -> None:
    """Slot bottom of the kayak's stator: 31 - 13.5 = 17.5 mm from the axis."""
    motor = job("kayak-thruster", axle__shoulder={"from_face": 85, "length": 5, "diameter": 40})
    (overlap,) = [o for o in overlaps(half_section(motor)) if o.second.name == "coil ends B"]
    assert overlap.first.name == "collar"
    deepest = float(motor.conductors.laid[:, 0].min()) - motor.conductors.diameter / 2
    assert overlap.across == pytest.approx(20.0 - deepest)
    assert overlap.along == pytest.approx(motor.turn_lengths.end_height_mm)
    (found,) = [f for f in assess(motor).findings if f.code == "bodies-overlap"]
    assert "collar and coil ends B" in found.message
    assert f"axle.shoulder.diameter = {round(2 * deepest, 2):g} mm" in found.fix


def test_steel_in_steel_stops_the_motor() -> None:
    """A shorter seat between two larger stretches does not take the bearing."""
    seats = [
        {"from_face": 18, "length": 11, "fit": "h6"},
        {"from_face": 95, "length": 8, "fit": "g6"},
    ]
    changes = {"axle__seats": seats, "axle__end_diameter": 17.0}
    findings = assess(job("kayak-thruster", **changes)).findings
    (found,) = [f for f in findings if f.code == "bodies-overlap"]
    assert found.level == "stop"
    assert found.value == 1.0  # 6002 is 9 mm wide, ISO 15, and its place 8 mm
    assert "end at face B" in found.message
    assert "bearing 2, inner ring" in found.message


def body(name: str, *outline: float, **more: object) -> Body:
    return Body(name, (block(*outline),), **more)  # type: ignore[arg-type]


def test_teeth_and_slots_share_no_direction_but_what_turns_passes_all() -> None:
    teeth, slots = Around(12, 0.2, 0.0), Around(12, 0.2, 3.14159265 / 12)
    tooth = body("tooth", 0, 10, 5, 10, around=teeth)
    wedge = body("wedge", 0, 10, 8, 9, around=slots)
    assert not list(overlaps([tooth, wedge]))
    turning = body("bolt", 0, 10, 8, 9, around=slots, turns=True)
    assert list(overlaps([tooth, turning]))


def test_paper_gives_way_to_wire_but_not_to_steel() -> None:
    paper, wire = body("paper", 0, 1, 5, 6, gives=True), body("wire", 0, 1, 5, 6, gives=True)
    steel = body("steel", 0, 1, 5, 6)
    assert not list(overlaps([paper, wire]))
    assert len(list(overlaps([paper, wire, steel]))) == 2


def test_touching_is_no_overlap_and_the_depth_is_the_shorter_way_out() -> None:
    ring = body("ring", 0, 4, 5, 9)
    assert not list(overlaps([ring, body("next", 4, 8, 5, 9)]))
    (found,) = overlaps([ring, body("next", 3.7, 8, 6, 9)])
    assert found.depth == pytest.approx(0.3)
    assert found.z == pytest.approx(3.85)
    assert found.r == pytest.approx(7.5)


def test_what_turns_too_near_says_how_far_to_move_it() -> None:
    """0.3 mm between a cover and coil ends that want 1 mm: 0.7 mm further on."""
    coil = body("coil ends", 0, 4, 20, 30, keep_off=1.0)
    moved = Handle("covers.from_face", 4.3, 1.0)
    cover = body("cover", 4.3, 8, 10, 40, turns=True, moved_by=moved)
    (near,) = clearances([coil, cover], 1.0)
    assert near.gap == pytest.approx(0.3)
    (found,) = assembly_findings([coil, cover])
    assert found.code == "turns-too-near"
    assert found.fix == "use covers.from_face = 5 mm"
    assert not assembly_findings([coil, body("cover", 5.0, 8, 10, 40, turns=True)])


def test_two_rings_of_one_bearing_keep_their_own_distance() -> None:
    inner = body("inner", 0, 9, 7.5, 10, unit="bearing 1")
    assert not list(clearances([inner, body("b", 0, 9, 10.2, 16, turns=True, unit="bearing 1")], 1))
    assert list(clearances([inner, body("b", 0, 9, 10.2, 16, turns=True)], 1))


def test_outlines_are_exact() -> None:
    found = by_name("wool-spinner")
    ring = found["bearing 2, outer ring"].outlines[0]
    assert isinstance(ring, Outline)
    assert any(s.bulge for s in ring.segments)  # its corners are arcs


def potter(**changes: object) -> list[Finding]:
    findings = assembly_findings(half_section(job("potters-wheel", **changes)))
    return [f for f in findings if f.code in ("bodies-overlap", "turns-too-near")]


def ring_at(z: float) -> dict[str, object]:
    return {"axle__grooves": [{"from_face": z, "ring": 25}]}


def test_a_retaining_ring_too_near_the_cover_is_seen() -> None:
    """Lugs of a ring for 25 mm: free space 34.2 mm (DIN 471: d4 = d1 + 2.1 a, a 4.4; from memory)."""
    found = by_name("potters-wheel", **ring_at(20.6))
    assert 2 * found["retaining ring 1"].box[3] == pytest.approx(33.0, abs=1.3)
    assert not potter(**ring_at(20.6))
    near = potter(**ring_at(20.6), covers__lip_bore=33.2)
    assert any("cover A turns" in f.message and "retaining ring 1" in f.message for f in near)
    met = potter(**ring_at(20.6), covers__lip_bore=30)
    assert any("retaining ring 1 and cover A are in one place" in f.message for f in met)


def test_a_retaining_ring_in_the_bearings_place_is_seen() -> None:
    """Bearing 6005 lies from 24 to 36 mm; a ring of 1.2 mm in a groove of 1.3 mm at 23.5 reaches 24.75."""
    met = potter(**ring_at(23.5))
    assert {f.value for f in met if "inner ring" in f.message} == {0.75}
    assert {f.level for f in met} == {"stop"}


def test_a_nut_stands_against_the_bearing_beside_its_thread_or_at_the_end() -> None:
    """A nut M14 is 21 mm across flats and 12.8 mm high (ISO 4032)."""
    axle = job("kayak-thruster").design.axle
    far = axle.seats[1].from_face + axle.seats[1].length
    thread = {"face": "face B", "thread": "M14x1.5"}
    apart = {"axle__end_diameter": 14.0, "axle__threads": [{**thread, "length": 14}]}
    nut = by_name("kayak-thruster", **apart)["nut on face B"]
    assert nut.box[2] == pytest.approx(axle.length)
    assert nut.box[3] == pytest.approx(21 / 3**0.5)
    beside = {**apart, "axle__threads": [{**thread, "length": axle.length - far}]}
    nut = by_name("kayak-thruster", **beside)["nut on face B"]
    assert nut.box[0] == pytest.approx(far)
    assert nut.box[2] == pytest.approx(far + 12.8)


def test_clamp_collars_stand_beside_the_stack() -> None:
    changes = {
        "axle__shoulder": None,
        "axle__stator_seat": None,
        "axle__stack_held": "clamp collars",
    }
    found = by_name("potters-wheel", **changes)
    assert found["clamp collar A"].box[2] == pytest.approx(found["end cap A"].box[0])
    assert found["clamp collar B"].box[0] == pytest.approx(found["end cap B"].box[2])
    assert "clamp collar A" not in by_name("potters-wheel")


def test_a_frame_that_reaches_the_cover_is_seen() -> None:
    """The cover's outer face turns 21 mm from face A: the bearing at 24 mm less a lip of 3 mm."""
    load = job("potters-wheel").design.axle.load
    assert "frame at face A" in by_name("potters-wheel")
    (met,) = potter(axle__load=load.model_copy(update={"grip": 20.8}))
    assert "cover A" in met.message
    assert "axle.load.grip" in met.fix


def test_sizes_that_make_no_shape_are_a_finding() -> None:
    crossed = Outline.polygon([(0, 5), (4, 9), (4, 5), (0, 9)])
    sized = Handle("covers.thickness", 4.0, 1.0)
    (found,) = assembly_findings([Body("cover", (crossed,), sized_by=sized)])
    assert (found.level, found.code, found.field) == (
        "stop", "impossible-shape", "covers.thickness",
    )  # fmt: skip


@pytest.mark.parametrize("name", ["20 mm, 10 mm high", "20 mm, 200 mm high"])
def test_extremes_get_findings_not_exceptions(name: str) -> None:
    assert assess(extreme(name)).findings
