"""Covers: cut file by ezdxf and shapely, body against hand calculation, bolts and rules."""

from __future__ import annotations

import io
import math

import pytest
from ezdxf import recover
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from geometry.drafting.legible import legibility
from geometry.finding import Finding
from geometry.formats.dxf_write import write_cut_dxf
from geometry.part import Part
from geometry.solids import Drilled
from geometry.solids.kernel import build
from recipes.assembly.half_section import half_section
from recipes.assembly.questions import overlaps
from recipes.assess import assess
from recipes.build.files import planned
from recipes.catalogue import Parts
from recipes.covers.closed_rotor import ClosedRotor
from recipes.covers.speed import hoop_at, hoop_at_hole
from recipes.manufacturing.kerf import drawn_part
from recipes.manufacturing.preflight import preflight
from recipes.motor import Motor
from tests.support.design import STARTERS, job

WHEEL = "potters-wheel"


def closed(motor: Motor) -> ClosedRotor:
    found = motor.closed_rotor
    assert found is not None
    return found


def covers(motor: Motor) -> tuple[Part, Part]:
    lead, far = Parts(motor)["cover"]
    return lead, far


def circles(part: Part) -> list[tuple[str, float, float, float]]:
    """Layer, x, y from the middle of the part, and radius of every circle of its cut file."""
    doc, auditor = recover.read(io.BytesIO(write_cut_dxf(part)))
    assert not auditor.has_errors
    found = [e for e in doc.modelspace() if e.dxftype() == "CIRCLE"]
    middle = max(found, key=lambda e: e.dxf.radius).dxf.center
    return [
        (e.dxf.layer, e.dxf.center.x - middle.x, e.dxf.center.y - middle.y, e.dxf.radius)
        for e in found
    ]


def findings_of(motor: Motor) -> tuple[Finding, ...]:
    return assess(motor, whole=False).findings


def test_the_cut_file_holds_outside_and_hole_with_its_allowance() -> None:
    """Potter's wheel: bolt circle 172.711 + 1 + 6.6, outside 1.5 holes beyond: 196.9 at most."""
    lead, far = covers(job(WHEEL))
    for part in (lead, far):
        found = sorted((round(r, 6), layer) for layer, _, _, r in circles(part))
        # lip of 42.6 less 2 for the lathe
        assert found == [(20.3, "CUT_INNER"), (98.45, "CUT_OUTER")]


def test_holes_that_the_cutter_can_cut_stand_on_their_circle() -> None:
    """Wire EDM cuts the 6.6 mm holes of M6 (ISO 273 medium) in 15 mm plate: six at 60 degrees."""
    lead, _ = covers(job(WHEEL, covers__process="wire-edm"))
    holes = [(x, y) for _, x, y, r in circles(lead) if r == pytest.approx(3.3)]
    radii = {round(math.hypot(x, y), 6) for x, y in holes}
    assert radii == {90.16}
    turns = sorted(math.degrees(math.atan2(y, x)) % 360 for x, y in holes)
    assert turns == pytest.approx([30, 90, 150, 210, 270, 330])


def test_every_hole_leaves_plate_between() -> None:
    lead, _ = covers(job("wool-spinner", covers__process="wire-edm"))
    found = [Spot(x, y).buffer(r, 64) for _, x, y, r in circles(lead)]
    plate = max(found, key=lambda s: s.area)
    holes = [s for s in found if s is not plate]
    assert len(holes) == 1 + 6 + 6
    for k, hole in enumerate(holes):
        assert plate.contains(hole.buffer(1.0))
        assert all(hole.distance(other) > 1.0 for other in holes[k + 1 :])


def test_marks_stay_out_of_the_cut_file_unless_asked_for() -> None:
    plain, asked = (covers(job(WHEEL, covers__engrave_marks=e))[0] for e in (False, True))
    assert len(plain.mark) == len(asked.mark) == 6 + 3
    assert plain.settings["marks_engraved"] == "no"
    assert asked.settings["marks_engraved"] == "yes"


@pytest.mark.parametrize("starter", STARTERS)
def test_our_own_preflight_takes_our_own_plate(starter: str) -> None:
    motor = job(starter)
    for part in covers(motor):
        report = preflight(
            write_cut_dxf(part), closed(motor).cutter.name, part.thickness, source="cover.dxf"
        )
        assert [f.code for f in report.findings if f.level != "note"] == []


def test_the_kerf_of_the_plate_is_drawn_in_once() -> None:
    motor = job(WHEEL, covers__kerf_full_width=1.0, shop__kerf_full_width=0.2)
    drawn = drawn_part(covers(motor)[0], motor.design.lamination, motor.kerf)
    assert sorted(r for *_, r in circles(drawn)) == pytest.approx([20.3 - 0.5, 98.45 + 0.5])


def test_the_body_weighs_what_hand_calculation_says() -> None:
    """Plate less lip hole, pocket, rim outside the register, six 6.6 holes and three 4.2 drills."""
    lead, far = covers(job(WHEEL))
    register = math.hypot(
        75 + 1 + 4 + 0.05, 7
    )  # bore of the ring: face, magnet, glue, half a width
    disc = math.pi * (98.45**2 * 13.5 + register**2 * 1.5)
    taken = math.pi * (21.3**2 * 3 + 23.5**2 * 12 + 6 * 3.3**2 * 13.5)
    jack = math.pi * 3 * 2.1**2 * 13.5
    for part, volume in ((lead, disc - taken - jack), (far, disc - taken)):
        assert isinstance(part.solid, Drilled)
        assert build(part.solid).Volume() == pytest.approx(volume, rel=1e-9)


def test_threads_of_the_ring_are_drilled_from_both_ends() -> None:
    motor = job("kayak-thruster")
    (ring,) = Parts(motor)["rotor_ring"]
    length, deep = 69.9, 7.0
    stator = motor.design.lamination.outer_diameter / 2
    bore = math.hypot(stator + 0.7 + 3 + 0.05, 6)  # air gap, magnet, glue; half a magnet's width
    tube = math.pi * ((bore + 5) ** 2 - bore**2) * length
    drilled = 16 * math.pi * 1.025**2 * deep  # M2.5: drill 2.05
    assert isinstance(ring.solid, Drilled)
    assert build(ring.solid).Volume() == pytest.approx(tube - drilled, rel=1e-9)


def test_spacers_and_ring_fill_the_room_between_the_covers() -> None:
    motor = job("wool-spinner")
    at = closed(motor).arranged
    lengths = {p.name: float(p.settings["length_mm"]) for p in Parts(motor)["rotor_ring"]}
    assert set(lengths) == {"rotor_ring", "spacer_ring_lead", "spacer_ring_far"}
    assert sum(lengths.values()) == pytest.approx(at.apart, abs=0.011)
    assert lengths["rotor_ring"] == pytest.approx(0.75 * 25.4)


@pytest.mark.parametrize("starter", STARTERS)
def test_drawings_can_be_read(starter: str) -> None:
    parts = Parts(job(starter))
    for part in (*parts["cover"], *parts["rotor_ring"]):
        assert [legibility(sheet) for sheet in part.drawings] == [[]]


@pytest.mark.parametrize("starter", STARTERS)
def test_covers_fit_into_the_motor(starter: str) -> None:
    """Seen by shapely: nothing of the closed rotor stands in the place of anything else."""
    bodies = half_section(job(starter))
    assert {"cover A", "cover B", "bolts of the covers"} <= {b.name for b in bodies}
    met = [(o.first.name, o.second.name) for o in overlaps(bodies)]
    assert [pair for pair in met if any("cover" in name for name in pair)] == []


def test_bearings_fill_their_pockets() -> None:
    """A 6005 is 47 mm outside and 12 mm wide (ISO 15): each pocket meets its outer ring all along."""
    found = {b.name: b for b in half_section(job(WHEEL))}
    for cover, ring in (("cover A", "bearing 1, outer ring"), ("cover B", "bearing 2, outer ring")):
        plate, bearing = found[cover].polygons[0], found[ring].polygons[0]
        assert isinstance(plate, Polygon)
        assert plate.distance(bearing) < 1e-6
        (z0, _, z1, r1) = bearing.bounds
        assert (z1 - z0, r1) == (pytest.approx(12), pytest.approx(23.5))


@pytest.mark.parametrize(
    ("path", "thread", "least", "length"),
    [
        # 2 x (15 - 1.5) + 85.9 between washers of 1.6, nut 5.2, two turns of 1 mm
        ("past the ring", "M6", 27 + 85.9 + 3.2 + 5.2 + 2.0, 130),
        # 13.5 of plate, washer 0.5, one to two and a half diameters of thread
        ("into the ring", "M3", 13.5 + 0.5 + 3.0, 20),
    ],
)
def test_bolts_are_as_long_as_what_they_clamp(
    path: str, thread: str, least: float, length: float
) -> None:
    bolts = {"thread": thread, "count": 6, "path": path}
    found = closed(job(WHEEL, covers__bolts=bolts)).bolts
    assert found.least == pytest.approx(least)
    assert found.length == length


def test_stress_of_a_disc_that_turns_is_that_of_the_handbook() -> None:
    """Thin steel ring: rho v^2 (any handbook); small hole: (3 + nu) / 4 rho v^2."""
    rho, omega = 7850.0, 1000.0
    thin = rho * (omega * 0.1) ** 2 * 1e-6
    assert hoop_at_hole(99.99, 100.01, rho, omega) == pytest.approx(thin, rel=1e-3)
    small = 3.3 / 4 * rho * (omega * 0.1) ** 2 * 1e-6
    assert hoop_at_hole(0.01, 100.0, rho, omega) == pytest.approx(small, rel=1e-6)
    assert hoop_at(0.01, 0.01, 100.0, rho, omega) == pytest.approx(small, rel=1e-6)


def test_rim_speed_is_way_over_time() -> None:
    """Potter's wheel: 196.9 mm across at 300 1/min: pi 0.1969 x 5 m/s."""
    wheel = job(WHEEL, motor__top_speed=300)
    assert closed(wheel).turned.rim_speed == pytest.approx(math.pi * 0.1969 * 5)


@pytest.mark.parametrize("starter", STARTERS)
def test_the_starters_covers_have_nothing_to_stop_or_warn_of(starter: str) -> None:
    levels = {f.code: f.level for f in findings_of(job(starter)) if f.field.startswith("covers")}
    assert set(levels.values()) <= {"note"}


def test_without_covers_the_tool_says_what_it_cannot_say() -> None:
    motor = job(WHEEL, covers=None)
    assert Parts(motor)["cover"] == ()
    assert "no-covers" in [f.code for f in findings_of(motor)]
    assert "no-covers" not in [f.code for f in findings_of(job(WHEEL))]


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("cover-lip-thin", {"covers__thickness": 13.0}),
        ("cover-lip-bore", {"covers__lip_bore": 30.0}),
        ("cover-lip-bore", {"covers__lip_bore": 46.0}),
        ("cover-pocket-shallow", {"covers__housing_depth": 6.0}),
        ("cover-bolt-circle", {"covers__bolts__circle_diameter": 174.0}),
        ("cover-edge-thin", {"covers__outside_diameter": 189.0}),
        ("cover-bolts-meet", {"covers__bolts__count": 36, "covers__bolts__thread": "M12"}),
        ("cover-not-centred", {"covers__register_depth": 0.0}),
        ("cover-burst", {"motor__top_speed": 30000}),
        ("unknown-plate", {"covers__material": "oak"}),
        ("bearings-preloaded", {"covers__end_float": 0.1}),
        ("rotor-knocks", {"covers__fixed": "neither"}),
        ("ring-too-long", {"covers__ring_length": 100.0}),
        ("covers-without-ring", {"rotor__ring_thickness": None}),
        ("cover-bore-small", {"covers__bore_allowance": 20.0, "covers__thickness": 30.0}),
        ("jack-screws", {"covers__jack_screws__thread": "M12"}),
        (
            "air-holes",
            {"covers__air_holes": {"count": 6, "diameter": 50.0, "circle_diameter": 110.0}},
        ),
    ],
)
def test_each_rule_bites(code: str, changes: dict[str, object]) -> None:
    assert code not in [f.code for f in findings_of(job(WHEEL))]
    assert code in [f.code for f in findings_of(job(WHEEL, **changes))]


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("ring-wall-for-thread", {"covers__bolts__thread": "M4"}),
        ("spacers-and-screws", {"covers__ring_length": 40.0}),
        ("magnets-meet-cover", {"rotor__magnet_length": 68.0}),
    ],
)
def test_each_rule_of_screws_into_the_ring_bites(code: str, changes: dict[str, object]) -> None:
    assert code not in [f.code for f in findings_of(job("kayak-thruster"))]
    assert code in [f.code for f in findings_of(job("kayak-thruster", **changes))]


def test_the_pack_sends_the_plate_without_marks() -> None:
    motor = job(WHEEL)
    plans = planned(motor, Parts(motor)["cover"], ("cut",), "")
    for plan in plans:
        assert b"MARK" not in plan.make()


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("cover-lip-thin", {"covers__thickness": 11.0}),
        ("cover-pocket-shallow", {"covers__housing_depth": 2.0, "covers__register_depth": 3.0}),
        ("cover-lip-bore", {"covers__lip_bore": 48.0}),
        ("cover-edge-thin", {"covers__outside_diameter": 180.0}),
        ("cover-bolt-circle", {"covers__bolts__circle_diameter": 150.0}),
    ],
)
def test_sizes_that_make_no_cover_are_refused(code: str, changes: dict[str, object]) -> None:
    stops = [f.code for f in findings_of(job(WHEEL, **changes)) if f.level == "stop"]
    assert code in stops
