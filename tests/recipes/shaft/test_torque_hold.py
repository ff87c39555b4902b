"""The way of the torque: keys, glue, flats, clamp, and the motor's own torque.

By hand for the three starters, each step by the formula named beside it.
"""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.assess import assess
from recipes.motor import Motor
from recipes.shaft.torque import TorquePath, torque_findings, torque_results
from tests.support.axle import seat
from tests.support.design import STARTERS, job


def load(torque: float, held: str = "face A", **more: object) -> dict[str, object]:
    return {"force": 1.0, "overhang": 50.0, "torque": torque, "held": held, "grip": 11.0, **more}


def flats(across: float, length: float = 11.0, from_face: float = 0.0) -> dict[str, object]:
    return {"from_face": from_face, "length": length, "across": across}


def path(made: Motor) -> TorquePath:
    assert made.torque_path is not None
    return made.torque_path


def told(made: Motor) -> list[Finding]:
    d = made.design
    current = d.motor.phase_current
    return torque_findings(d.axle, d.hub, current, made.motor_torque, made.torque_path)


def codes(**changes: object) -> list[str]:
    return [f.code for f in told(job(**changes))]


#: Without magnets nothing tells the motor's own torque.
BARE = {"rotor__magnet_width": None, "rotor__magnet_thickness": None}


def only(code: str, **changes: object) -> Finding:
    (found,) = [f for f in told(job(**changes)) if f.code == code]
    return found


# --- by hand -------------------------------------------------------------------------------------


def test_potters_wheel_keys_by_hand() -> None:
    # 12 Nm on 30 mm, two keys that share 0.75 (Roloff/Matek): 2 x 12000 / (30 x 2 x 0.75) = 533.3 N.
    # Key 6 x 6 x 18 with round ends carries on 18 - 6 = 12 mm (DIN 6892): shear 533.3 / 72 = 7.41 MPa.
    # It stands 6 - 3.5 = 2.5 mm into sheets that are 0.94 steel: 533.3 / (2.5 x 12 x 0.94) = 18.9 MPa.
    # The seat's edge lies 15 - sqrt(225 - 9) = 0.303 mm lower: 533.3 / (3.197 x 12) = 13.9 MPa.
    key = path(job()).key
    assert key is not None
    assert (key.force, key.shear) == pytest.approx((533.33, 7.4074), rel=1e-4)
    assert (key.hub_pressure, key.axle_pressure) == pytest.approx((18.913, 13.902), rel=1e-4)


@pytest.mark.parametrize(
    ("name", "shear"),
    # 2 x 4000 / (pi 18^2 30.16) and 2 x 1500 / (pi 19.05^2 15.27); stack heights as `check` shows
    [("kayak-thruster", 0.2606), ("wool-spinner", 0.1724)],
)
def test_glue_by_hand(name: str, shear: float) -> None:
    """Thin layer on a cylinder: T = tau (pi d L) d / 2 (any textbook)."""
    assert path(job(name)).glue_shear == pytest.approx(shear, rel=1e-3)
    assert path(job(name)).key is None


@pytest.mark.parametrize(
    ("name", "newton"),
    # T / (0.15 d) on the end, 0.2 below the bore of 6005 and 6002: 24.8 and 14.8 mm
    [("potters-wheel", 3225.8), ("kayak-thruster", 1801.8), ("wool-spinner", 675.7)],
)
def test_clamp_by_hand(name: str, newton: float) -> None:
    assert path(job(name)).clamp_force == pytest.approx(newton, rel=1e-4)


@pytest.mark.parametrize(
    ("name", "constant", "newton_metre"),
    [
        # 9.549 / 9 = 1.0610 V s between leads, / sqrt 3 a phase; 1.5 x 0.6126 x 1.4142 x 9
        ("potters-wheel", 9.0, 11.6954),
        # delta: 9.549 / 120 = 0.07958 a phase; 1.5 x 0.07958 x 1.4142 x 14
        ("kayak-thruster", 120.0, 2.3633),
        # 9.549 / 60 / sqrt 3 = 0.09189; 1.5 x 0.09189 x 1.4142 x 7.5
        ("wool-spinner", 60.0, 1.46194),
    ],
)
def test_motor_torque_by_hand(name: str, constant: float, newton_metre: float) -> None:
    """Torque times speed is the power of three phases, 3 E I r.m.s. (any motor textbook)."""
    j = job(name, motor__speed_constant=constant)
    assert j.motor_torque == pytest.approx(newton_metre, rel=1e-4)
    speed = 100.0  # rad/s
    between = speed * 30 / math.pi / constant
    phase = between if j.design.winding.connection == "delta" else between / math.sqrt(3)
    power = 3 * phase / math.sqrt(2) * j.design.motor.phase_current
    assert j.motor_torque == pytest.approx(power / speed)


# --- flats ---------------------------------------------------------------------------------------


def test_flats_are_in_equilibrium_with_their_triangles_of_pressure() -> None:
    """Summed strip by strip: the moment of both flats is the torque, their force the spread."""
    j = job(axle__load=load(17.3), axle__flats=[flats(20.7, 9.4)])
    (found,) = path(j).flats
    assert found.width == pytest.approx(math.sqrt(24.8**2 - 20.7**2))
    n = 20000
    step = found.width / 2 / n
    strips = [(k + 0.5) * step for k in range(n)]
    press = [found.pressure * x / (found.width / 2) * step * 9.4 for x in strips]
    assert 2 * sum(p * x for p, x in zip(press, strips, strict=True)) == pytest.approx(
        17300, rel=1e-6
    )
    assert sum(press) == pytest.approx(found.spread, rel=1e-6)


def test_example_of_a_spread_dropout() -> None:
    """R65: a 12 mm axle, 10 mm across flats, 40 Nm: about 4.4 kN spread each of two dropouts."""
    width = math.sqrt(12**2 - 10**2)
    assert 1.5 * 20000 / width == pytest.approx(4400, rel=0.03)
    j = job(axle__load=load(20.0), axle__flats=[flats(10.0)], axle__end_diameter=12.0)
    (found,) = path(j).flats
    assert found.spread == pytest.approx(1.5 * 20000 / width)


def test_flats_count_where_the_frame_is() -> None:
    both = [flats(20.7), flats(19.9, from_face=139.0)]
    for held, fields in (("face A", [1]), ("face B", [2]), ("both ends", [1, 2])):
        j = job(axle__load=load(9.1, held, overhang=60), axle__flats=both)
        assert [f.field for f in path(j).flats] == [f"axle.flats[{k}]" for k in fields]
    # flats on the seat of a stack with a flat bore hold the stack, not the axle
    held = job(hub__keyway=None, hub__flats={"count": 2, "distance": 14.1}, axle__load=load(9.1),
               axle__flats=[flats(28.2, 24.0, 70.0)])  # fmt: skip
    assert path(held).flats == ()


def test_flats_reach_up_to_the_bearing_seats_and_not_onto_them() -> None:
    """The seats begin at 22 and end at 132 mm; what lies on a seat is inside the bearing."""
    up_to = [flats(20.7, 9.3, 22 - 9.3), flats(19.9, 8.1, 132.0)]
    onto = [flats(20.7, 9.3, 22 - 9.2), flats(19.9, 8.1, 131.9)]
    held = load(9.1, "both ends", overhang=60)
    for given, length in ((up_to, [9.3, 8.1]), (onto, [])):
        found = path(job(axle__load=held, axle__flats=given)).flats
        assert [f.length for f in found] == pytest.approx(length)


def test_flats_as_wide_as_the_end_hold_nothing_and_hide_no_others() -> None:
    none = [flats(24.8), flats(25.3), flats(19.9, from_face=139.0)]
    (found,) = path(job(axle__load=load(9.1, "both ends", overhang=60), axle__flats=none)).flats
    assert found.field == "axle.flats[3]"


def test_flats_of_an_axle_without_seats_are_all_in_the_frame() -> None:
    """Rules refuse such an axle, and all that is wrong is told at once: nothing may fall over."""
    j = job(axle__load=load(9.1), axle__flats=[flats(20.7, 9.4, 0.3)], axle__seats=[])
    assert len(path(j).flats) == 1


def test_a_face_is_held_as_far_as_the_middle_of_the_axle() -> None:
    """Seats that end at 62 of 150 mm: flats at 76 lie in the half of face B, at 64 in that of A."""
    seats = [seat(22, 14), seat(48, 14)]
    for start, held in ((71.3, "face B"), (62.9, "face A")):  # middles at 76.45 and 68.05 mm
        for face in ("face A", "face B"):
            j = job(axle__load=load(9.1, face), axle__flats=[flats(20.7, 10.3, start)],
                    axle__seats=seats)  # fmt: skip
            assert len(path(j).flats) == (face == held)


def test_a_groove_beside_flats_takes_nothing_and_one_below_them_does() -> None:
    beside = [{"from_face": 7.0, "width": 1.3, "diameter": 21.9}]
    wide = [{"from_face": 1.1, "width": 9.7, "diameter": 21.9}]
    for start, grooves, size in ((0.0, beside, 24.8), (2.0, wide, 21.9)):
        j = job(axle__load=load(9.1), axle__flats=[flats(18.3, 7.7, start)], axle__grooves=grooves)
        (found,) = path(j).flats
        assert found.width == pytest.approx(math.sqrt(size**2 - 18.3**2))


@pytest.mark.parametrize("held", ["face A", "face B", "both ends"])
def test_the_clamp_grips_the_end_and_not_the_groove_behind_it(held: str) -> None:
    """Friction: F = T / (mu d), mu 0.15 (common practice); ends of 24.8 mm, grooves of 21.3."""
    grooves = [{"from_face": z, "width": 1.3, "diameter": 21.3} for z in (20.7, 132)]
    j = job(axle__load=load(9.1, held, overhang=60), axle__grooves=grooves)
    assert path(j).clamp_force == pytest.approx(9100 / 0.15 / 24.8)


def test_the_clamp_needs_most_on_the_thinner_of_two_ends() -> None:
    grooves = [{"from_face": 145.3, "width": 4.7, "diameter": 19.7}]  # turned down to the face
    for held, size in (("face A", 24.8), ("face B", 19.7), ("both ends", 19.7)):
        j = job(axle__load=load(9.1, held, overhang=60), axle__grooves=grooves)
        assert path(j).clamp_force == pytest.approx(9100 / 0.15 / size)


# --- findings ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", STARTERS)
def test_starters_hold(name: str) -> None:
    assert {f.level for f in told(job(name))} == {"note"}
    judged = [f.code for f in assess(job(name), whole=False).findings]
    assert "axle-held-by-friction" in judged


def test_a_key_is_refused_beyond_yield_and_warned_before() -> None:
    # sheets: 125 MPa are reached at 12 x 125 / 18.913 = 79.3 Nm, 250 MPa at 158.6 Nm
    held = {"axle__flats": [flats(20.0)]}
    assert "key-overloaded" not in codes(axle__load=load(79.0), **held)
    warned = only("key-overloaded", axle__load=load(80.0), **held)
    assert (warned.level, warned.field) == ("warn", "hub.keyway.depth")
    assert warned.limit == pytest.approx(125.0)
    assert warned.value == pytest.approx(18.913 * 80 / 12, rel=1e-3)
    assert only("key-overloaded", axle__load=load(159.0), **held).level == "stop"


def test_one_key_carries_more_than_half_of_two() -> None:
    one = path(job(hub__keyway={"width": 6, "depth": 2.8, "count": 1})).key
    two, three = (path(job(hub__keyway={"width": 6, "depth": 2.8, "count": n})).key for n in (2, 3))
    assert one
    assert two
    assert three
    assert one.force / two.force == pytest.approx(1.5)  # 2 x 0.75
    assert one.force / three.force == pytest.approx(2.01)  # 3 x 0.67


def test_flats_that_crush_name_the_softer_and_the_length_that_does() -> None:
    # C45 normalised yields at 305 MPa, the arm at 235: 117.5 MPa
    found = only("flats-crush", axle__load=load(31.0), axle__flats=[flats(21.0, 6.0)])
    assert found.level == "warn"
    assert found.limit == pytest.approx(117.5)
    assert "the arm yields at 235 MPa" in found.message
    longer = float(found.fix.split("arm ")[1].split(" mm")[0])
    assert "flats-crush" not in codes(
        axle__load=load(31.0), axle__flats=[flats(21.0, longer + 0.5)]
    )
    hard = {**flats(21.0, 6.0), "arm_yield": 600.0}
    assert (
        "the axle yields" in only("flats-crush", axle__load=load(31.0), axle__flats=[hard]).message
    )
    assert (
        only("flats-crush", axle__load=load(50.0), axle__flats=[flats(21.0, 6.0)]).level == "stop"
    )


def test_a_torque_below_the_motors_own_is_told() -> None:
    held = {"axle__flats": [flats(20.0)]}
    found = only("torque-below-motor", axle__load=load(11.0), **held)
    assert found.value == 11.0
    assert "use axle.load.torque = 11.4 or more" in found.fix
    assert codes(axle__load=load(11.4), **held) == []
    assert codes(axle__load=load(0.3), **held, **BARE) == []


def test_glue_alone_is_a_note_then_a_warning() -> None:
    bare = {"hub__keyway": None, "axle__flats": [flats(17.0)]}
    assert only("stack-held-by-glue", axle__load=load(12.0), **bare).level == "note"
    assert only("stack-held-by-glue", axle__load=load(58.0), **bare).level == "warn"
    assert "axle-held-by-friction" not in codes(axle__load=load(12.0), **bare)


def test_a_bore_with_flats_holds_the_stack_without_glue() -> None:
    flat = {"hub__keyway": None, "hub__flats": {"count": 2, "distance": 14.1}}
    told = codes(axle__load=load(12.0), axle__flats=[flats(28.2, 24.0, 70.0)], **flat)
    assert "stack-held-by-glue" not in told


def test_without_torque_there_is_nothing_to_hold() -> None:
    idle = job(axle__load=load(0.0), **BARE)
    assert (told(idle), torque_results(idle.motor_torque, idle.torque_path)) == ([], {})
