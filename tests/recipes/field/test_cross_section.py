"""The regions fill the sheet and the circle, and take only what the design has."""

import math

import pytest

from geometry.outline import Region
from recipes.refusal import Refused
from recipes.rotor.magnet_ring import footprint
from recipes.stator.lamination import toothed_outline
from tests.support.design import STARTERS, job


def area_of(shape: object) -> float:
    return shape.area  # type: ignore[attr-defined, no-any-return]


@pytest.mark.parametrize("starter", STARTERS)
def test_steel_is_the_sheet_outside_its_innermost_circle(starter: str) -> None:
    made = job(starter)
    regions, _ = made.cross_section.tooth()
    areas = {name: area_of(shape) for name, shape in regions}
    slots, section = made.slot.slots, made.cross_section
    sheet = toothed_outline(made.slot, made.design.lamination).area - math.pi * section.inner**2
    assert 2 * slots * areas["sheet"] == pytest.approx(sheet, rel=1e-9)
    whole = math.pi * (section.circles[0] ** 2 - section.inner**2)
    assert 2 * slots * sum(areas.values()) == pytest.approx(whole, rel=1e-9)
    assert areas["left"] < made.slot.outline.area / 2


@pytest.mark.parametrize("shape", ["block", "arc"])
@pytest.mark.parametrize("per_pole", [1, 2, 3])
@pytest.mark.parametrize("glue", [0.0, 0.05])
def test_magnets_lie_whole_in_the_air_of_the_ring(shape: str, per_pole: int, glue: float) -> None:
    made = job(
        rotor__magnet_shape=shape,
        rotor__magnets_per_pole=per_pole,
        rotor__magnet_width=13.5 / per_pole,
        rotor__glue_line=glue,
    )
    section = made.cross_section
    regions, _ = section.pole()
    magnets = sum(area_of(s) for name, s in regions if name.startswith("magnet"))
    one = footprint(section.rotor, section.ring, 0.0).area
    assert 2 * magnets == pytest.approx(per_pole * one, rel=1e-9)
    air = sum(area_of(s) for name, s in regions if name == "air")
    room = math.pi * (section.bore**2 - section.circles[1] ** 2) / (2 * section.poles)
    assert air + magnets == pytest.approx(room, rel=1e-9)
    assert section.bore == pytest.approx(section.ring.bore, abs=0.011)
    assert isinstance(regions[0][1], Region)


@pytest.mark.parametrize("shape", ["block", "arc"])
def test_a_wider_gap_is_a_ring_turned_larger(shape: str) -> None:
    section = job(rotor__magnet_shape=shape).cross_section
    wider = section.with_gap(0.2)
    same = job(rotor__magnet_shape=shape, rotor__air_gap=1.2).cross_section
    assert wider.ring.face == pytest.approx(same.ring.face, abs=1e-12)
    assert wider.bore == pytest.approx(same.bore, abs=1e-9)
    assert wider.ring.half_angle == pytest.approx(same.ring.half_angle, abs=1e-12)
    assert wider.circles == pytest.approx(same.circles)


def test_holes_push_the_innermost_circle_outwards() -> None:
    made = job("wool-spinner")
    windows = made.design.hub.windows
    assert windows is not None
    assert made.cross_section.inner == pytest.approx(windows.circle_diameter / 2 + windows.radius)
    plain = job("kayak-thruster", hub__bolts=None)
    assert plain.cross_section.inner == pytest.approx(9.0 + plain.design.hub.mark_radius)


def test_a_ring_of_no_thickness_is_as_thick_as_the_flux_asks() -> None:
    made = job(rotor__ring_thickness=None)
    assert made.cross_section.ring_thickness == made.cross_section.ring.thickness


def test_without_magnets_there_is_no_field() -> None:
    made = job(rotor__magnet_width=None, rotor__magnet_thickness=None)
    with pytest.raises(Refused) as refused:
        bool(made.cross_section)
    (finding,) = refused.value.findings
    assert finding.field == "rotor.magnet_width"
    assert "magnet_thickness" in finding.fix


def test_magnets_that_meet_are_refused() -> None:
    with pytest.raises(Refused) as refused:
        bool(job(rotor__magnet_width=18.0).cross_section.poles)
    assert refused.value.findings[0].code == "magnets-meet"
