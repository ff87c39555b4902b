"""What every wire passes: steel, end cap, end washer; and a wedge that bites nowhere into the paper."""

from __future__ import annotations

import math

import pytest
import shapely

from geometry.outline import Region
from geometry.polygon import to_polygon
from geometry.solids import Extruded
from geometry.solids.kernel import build
from recipes.assess import assess
from recipes.catalogue import Parts
from recipes.design.load import BadInput, validate
from recipes.motor import Motor, solve
from recipes.refusal import Refused
from recipes.stator.slot import TOOTH_1, SlotShape
from tests.random.designs import design_of
from tests.random.run import bytes_of
from tests.support.design import STARTERS, job


def capped(proud: float, name: str = "potters-wheel", **changes: object) -> Motor:
    cap = {"thickness": "1.5 mm", "proud": f"{proud} mm", "edge_radius": "1.2 mm"}
    return job(name, **{"ends": {"end_cap": cap}, **changes})


@pytest.mark.parametrize("name", STARTERS)
def test_the_section_is_that_of_the_cap_itself(name: str) -> None:
    """The body of the cap, cut over its flat face, takes from the slot what the section says."""
    motor = capped(0.4, name)
    (part,) = Parts(motor)["end_cap"]
    (_, steel), (cap, _) = [(s.slot, s.slot) for s, _ in motor.window.sections]
    outline = steel.outline.rotated(TOOTH_1 + steel.half_pitch)
    high = 0.1  # its rounds begin 0.3 mm up
    assert part.solid is not None
    taken = build(Extruded(Region(outline), high)).intersect(build(part.solid)).Volume() / high
    left = to_polygon(cap.outline).intersection(to_polygon(steel.outline)).area
    assert steel.outline.area - taken == pytest.approx(left, rel=2e-3)
    assert taken > 0.06 * steel.outline.area


def test_a_prouder_cap_leaves_room_for_fewer_turns() -> None:
    motors = [capped(proud) for proud in (0.0, 0.3, 0.8, 1.2)]
    turns = [m.conductors.turns_that_fit for m in motors]
    assert turns == sorted(turns, reverse=True)
    assert turns[0] - turns[-1] >= 6
    fills = [m.window.wire_fill for m in motors]
    assert fills == sorted(fills)
    assert [m.window.decided_by.name for m in motors[1:]] == ["end cap"] * 3
    results = assess(motors[1], whole=False).results
    assert results["winding_window_decided_by"] == "end cap"
    assert float(results["lined_area_in_end_cap_mm2"]) < float(results["lined_area_in_steel_mm2"])


def test_a_cap_too_proud_is_named_before_fewer_turns() -> None:
    motor = capped(1.6)
    (found,) = [f for f in assess(motor, whole=False).findings if f.code == "turns-do-not-fit"]
    assert "the end cap takes" in found.message
    assert "ends.end_cap.proud" in found.fix


def test_a_motor_scaled_down_hears_of_its_teeth_first() -> None:
    """Teeth of 7.6 mm were half of a pitch of 17 mm; in one of 12.5 mm they leave a third."""
    small = job("potters-wheel", lamination__outer_diameter=115.0, ends=None)
    (found,) = [f for f in assess(small, whole=False).findings if f.code == "turns-do-not-fit"]
    pitch = 2 * math.pi * (57.5 - 18 / 2) / 24
    assert "lamination.tooth_width = 7.6 mm leaves the slot" in found.message
    assert found.message.index("tooth_width") < found.message.index("row on row")
    first, *_ = found.fix.split(", or ")
    assert first.startswith("use lamination.tooth_width = ")
    assert float(first.split(" = ")[1].split()[0]) == pytest.approx(pitch / 2, rel=0.05)
    # it helps: more turns than before go in
    half = job(
        "potters-wheel", lamination__outer_diameter=115.0, ends=None, lamination__tooth_width=6.3
    )
    assert half.conductors.turns_that_fit > small.conductors.turns_that_fit


def test_much_paper_is_named() -> None:
    thick = job("kayak-thruster", liner__thickness=0.6, winding__turns=20)
    (found,) = [f for f in assess(thick, whole=False).findings if f.code == "turns-do-not-fit"]
    assert "liner.thickness = 0.6 mm takes" in found.message


@pytest.mark.parametrize("sides", ["parallel teeth", "parallel slots"])
def test_every_wire_keeps_off_the_cap_by_the_paper(sides: str) -> None:
    changes = {"lamination__slot_shape": sides, "lamination__slot_width": 9.0}
    motor = capped(0.6, **changes, winding__turns=12)
    paper, d = motor.design.liner.thickness, motor.conductors.diameter
    (_, _), (cap, _) = motor.window.sections
    wall = shapely.LineString(walls(cap.slot))
    wires = shapely.points(motor.conductors.laid)
    assert float(shapely.distance(wires, wall).min()) == pytest.approx(paper + d / 2, abs=5e-3)
    # the turn goes round the cap: its span across the tooth holds tooth, cap and paper
    tooth = motor.slot.tooth_width if sides == "parallel teeth" else 0.0
    x, y = motor.conductors.laid[0]
    a = motor.slot.half_pitch
    if tooth:
        span = 2 * (x * math.sin(a) - y * math.cos(a))
        assert span >= tooth + 2 * (0.6 + paper + d / 2) - 1e-6


def test_steps_take_no_room_and_a_washer_does() -> None:
    stepped = job("kayak-thruster")
    plain = job("kayak-thruster", ends=None)
    assert stepped.window.lined_area == pytest.approx(plain.window.lined_area)
    washer = {"thickness": 0.5, "extension": 0.5}
    with_washer = job("kayak-thruster", ends=None, end_washer=washer)
    assert with_washer.window.decided_by.name == "end washer"
    assert with_washer.window.lined_area < 0.93 * plain.window.lined_area
    # on the last step, whose teeth are 0.6 mm narrower, the same washer reaches no flank
    assert job("kayak-thruster", end_washer=washer).window.off_flank == 0.0


def walls(slot: SlotShape) -> list[tuple[float, float]]:
    """Chords of the wall, fine enough for a hundredth."""
    first = slot.wall[0].start
    return [tuple(first), *(tuple(p) for s in slot.wall for p in s.chords(1e-3))]  # type: ignore[misc]


def bite(motor: Motor) -> float:
    """How far the wedge, at any place of its thickness, stands in the liner of any section, mm."""
    outer, inner = motor.window.wedge_span
    half, paper = motor.window.wedge_half, motor.window.paper
    strip = shapely.box(inner, -half, outer, half)
    gaps = [
        shapely.LineString(walls(section.slot)).distance(strip)
        for section, _ in motor.window.sections
    ]
    return paper - float(min(gaps))


def test_no_wedge_of_a_random_design_bites_into_the_liner() -> None:
    bites, narrowed = [], 0
    for seed in range(160):
        try:
            motor = solve(validate(design_of(bytes_of(seed))))
            assert motor.window.sides
        except (BadInput, Refused):
            continue
        if motor.window.wedge_half:
            bites.append(bite(motor))
            asked = motor.slot.opening / 2 + motor.design.wedge.overlap
            narrowed += motor.window.wedge_half < asked - 1e-9
    assert len(bites) > 30
    assert max(bites) < 0.005  # chords and offsets of arcs
    assert narrowed > 0


def test_a_wedge_is_as_wide_as_the_narrowest_of_its_thickness() -> None:
    wide = job("kayak-thruster", wedge={"thickness": 2.0, "overlap": 2.8})
    half = wide.window.wedge_half - wide.slot.opening / 2
    assert half < 2.6
    (found,) = [f for f in assess(wide, whole=False).findings if f.code == "wedge-narrowed"]
    assert found.field == "wedge.overlap"
    assert found.limit == pytest.approx(half, abs=1e-3)
    again = job("kayak-thruster", wedge={"thickness": 2.0, "overlap": half})
    assert again.window.wedge_half == pytest.approx(wide.window.wedge_half)
    assert "wedge-narrowed" not in {f.code for f in assess(again, whole=False).findings}
    wedge = next(p for p in Parts(wide)["slot_strips"] if p.name == "wedge")
    assert wedge.settings["wedge_width_mm"] == pytest.approx(2 * wide.window.wedge_half)
    assert bite(wide) < 0.005
