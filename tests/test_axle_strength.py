"""Strength of the axle, worked by hand for the three starters, and what people are told.

By hand means: every figure below is typed from the starter, from a published formula named beside
it, or from the finite-element values of tests/test_tube_section.py; nothing of the product is asked.
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from geometry.legible import legibility
from recipes.axle_load import axle_load
from recipes.axle_strength import axle_strength_of, with_bore
from recipes.axle_strength_rules import axle_strength_findings, axle_strength_results
from recipes.axle_strength_view import axle_strength_view
from recipes.refusal import Refused
from tests.axle_support import BUSY, LONG, SHORT, seat
from tests.design_support import STARTERS, job


def w_bending(big: float, small: float) -> float:
    """Section modulus of a tube, mm3 (any textbook)."""
    return math.pi * (big**4 - small**4) / (32 * big)


def roark_deep(ratio: float, share: float) -> float:
    """Kt of a shoulder, bent: Roark Table 17.1, h/r 2 to 20; ratio h/r, share 2 h/D."""
    s = math.sqrt(ratio)
    return (
        (1.225 + 0.831 * s - 0.010 * ratio)
        + (-3.790 + 0.958 * s - 0.257 * ratio) * share
        + (7.374 - 4.834 * s + 0.862 * ratio) * share**2
        + (-3.809 + 3.046 * s - 0.595 * ratio) * share**3
    )


def pilkey_at_4(share: float, beyond: float) -> float:
    """Kt of a shoulder, twisted: Pilkey chart 3.12 at h/r 4, then by the power 0.24."""
    c = (0.905 + 0.783 * 2 - 0.3, -0.437 - 1.969 * 2 + 0.553 * 4, 1.557 + 1.073 * 2 - 0.578 * 4,
         -1.061 + 0.171 * 2 + 0.086 * 4)  # fmt: skip
    return sum(k * share**n for n, k in enumerate(c)) * beyond**0.24


def kirsch(even: float, rising: float, shear: float) -> float:
    """Largest stress round a hole by Kirsch, by a fine walk."""
    return max(
        abs(
            even * (1 - 2 * math.cos(2 * p)) - 4 * shear * math.sin(2 * p)
            + rising * (math.sin(p) - math.sin(3 * p))
        )
        for p in (math.pi * k / 5000 for k in range(10000))
    )  # fmt: skip


def test_potters_wheel_by_hand() -> None:
    # 350 N at 215 mm; bearings at 29 and 125: R2 = 350 (215 - 29) / 96 = 678.125 N.
    # The step at 36 mm is beyond bearing 1: M = 678.125 (125 - 36) = 60353 N mm; T = 12000 N mm.
    # Seat 25, land 30, bore 13; round 0.6 of the least chamfer 0.6 of 6005 (ISO 582) = 0.36;
    # h = 2.5, h/r = 6.944, 2 h/D = 1/6; C45 normalised in 38 mm: 305 MPa (EN 10083-2).
    bending = roark_deep(6.9444, 1 / 6) * 60353.1 / w_bending(25, 13)
    torsion = pilkey_at_4(1 / 6, 6.9444 / 4) * 12000 / (2 * w_bending(25, 13))
    stress = math.hypot(bending, math.sqrt(3) * torsion)
    least = axle_strength_of(job()).least
    assert (least.name, least.z) == ("step beside bearing seat 1", 36.0)
    assert least.stress.static == pytest.approx(stress, rel=1e-3)
    assert least.safety == pytest.approx(305 / stress, rel=1e-3)
    assert least.safety == pytest.approx(2.497, abs=0.002)


def test_potters_wheel_slot_by_hand() -> None:
    # Along the slot 8 x 22 in 30/13: finite elements I = 37945 mm4 about the slot's axis, which the
    # load bends about, J = 11006 mm4. At z 44: M = 678.125 (125 - 44) = 54928 N mm.
    # Outside and in the bore M r / I with the shear of a slit ring, T (r - k / r) / J (Prandtl); at
    # the neutral axis one wall bears V alone: twice V Q / (I t) of the tube.
    k = (15**2 - 6.5**2) / (2 * math.log(15 / 6.5))
    outer = math.hypot(54928.1 * 15 / 37945, math.sqrt(3) * 12000 * (15 - k / 15) / 11006)
    inner = math.hypot(54928.1 * 6.5 / 37945, math.sqrt(3) * 12000 * (k / 6.5 - 6.5) / 11006)
    area = math.pi * (15**2 - 6.5**2)
    slid = 678.125 * 4 / 3 / area * (1 + 15 * 6.5 / (15**2 + 6.5**2))
    across = math.sqrt(3) * (12000 * (k / 6.5 - 6.5) / 11006 + 2 * slid)
    at_slot = axle_strength_of(job()).at_slot
    assert at_slot.name == "wire slot"
    assert at_slot.stress.static == pytest.approx(max(outer, inner, across), rel=0.01)
    # Its ends: the load is across the slot, so only the rise of bending across it, 8/30 of the
    # outer stress, and shear: T / W_t + V by V Q / (I t) of the tube, times Kt/4.
    x, d = 8 / 30, 13 / 30
    kt = 4 + (-6.793 + 1.133 * d - 0.126 * d * d) * x
    kt += (38.382 - 7.242 * d + 6.495 * d * d) * x**2
    kt += (-44.576 - 7.428 * d + 58.656 * d * d) * x**3
    kt *= (11 + math.sqrt(44)) ** 2 / (44 * math.sqrt(44))  # ellipse 22 long, end radius 4
    shear = 12000 / (2 * w_bending(30, 13)) + slid
    edge = kirsch(0.0, 54928.1 / w_bending(30, 13) * x, kt / 4 * shear)
    end = next(p for p in axle_strength_of(job()).places if p.name.endswith("toward face A"))
    assert end.stress.static == pytest.approx(edge, rel=5e-3)


def test_kayak_thruster_by_hand() -> None:
    # 60 N at 140 mm, turning; bearings at 23.5 and 100.5: R2 = 60 x 116.5 / 77 = 90.779 N.
    # Step at 29 mm: M = 90.779 x 71.5 = 6490.7 N mm, T 4000 N mm; 15 to 18 mm, bore 9, round 0.18;
    # h/r = 8.333; 1.4301: 190 MPa (EN 10088-3).
    bending = roark_deep(8.3333, 1 / 6) * 6490.7 / w_bending(15, 9)
    torsion = pilkey_at_4(1 / 6, 8.3333 / 4) * 4000 / (2 * w_bending(15, 9))
    strength = axle_strength_of(job("kayak-thruster"))
    assert strength.least.name == "step beside bearing seat 1"
    assert strength.least.safety == pytest.approx(
        190 / math.hypot(bending, math.sqrt(3) * torsion), rel=1e-3
    )


def test_kayak_thruster_slot_by_hand() -> None:
    # The load turns, so it meets the slot's end from the worst side. z 34, M = 90.779 x 66.5 = 6036.8.
    # w/D = 5/18, d/D = 0.5: Roark's bending and torsion, torsion times the ellipse 15 long.
    x = 5 / 18
    kb = 3 + (-6.690 - 0.81 + 1.108) * x + (44.739 + 5.362 - 4.98175) * x**2
    kb += (-53.307 - 12.999 + 10.8145) * x**3
    kt = 4 + (-6.793 + 0.5665 - 0.0315) * x + (38.382 - 3.621 + 1.62375) * x**2
    kt += (-44.576 - 3.714 + 14.664) * x**3
    b = math.sqrt(7.5 * 2.5)
    kt *= (7.5 + b) ** 2 / (30 * b)
    bent, twist = 6036.8 / w_bending(18, 9), 4000 / (2 * w_bending(18, 9))
    slid = 90.779 * 4 / 3 / (math.pi * (81 - 20.25)) * (1 + 40.5 / (81 + 20.25))
    worst = max(
        kirsch(
            kb / 3 * bent * math.cos(a),
            bent * math.sin(a) * x,
            kt / 4 * (twist + slid * math.sin(a)),
        )
        for a in (math.radians(3 * n) for n in range(31))
    )
    found = axle_strength_of(job("kayak-thruster")).at_slot
    assert found.name == "wire slot, end toward face A"
    assert (found.notch.bending, found.notch.torsion) == pytest.approx((kb, kt), rel=1e-6)
    assert found.safety == pytest.approx(190 / worst, rel=5e-3)


def test_wool_spinner_by_hand() -> None:
    # Both ends held at 10.16 and 116.84 mm; 220 N at 66.04; bearings at 24.765 and 102.235:
    # R2 = 220 x 41.275 / 77.47 = 117.213; frame B carries 115.238 N. At the step at 96.52 mm
    # M = 115.238 x 20.32 - 117.213 x 5.715 = 1671.8; either end may take all of 1500 N mm.
    # 15 to 19.05 mm, bore 9.525, h/r = 2.025 / 0.18 = 11.25; 1045 cold drawn: 530 MPa (Shigley A-20).
    r2 = 220 * (66.04 - 24.765) / 77.47
    frame = ((220 - r2) * (24.765 - 10.16) + r2 * (102.235 - 10.16)) / (116.84 - 10.16)
    moment = frame * (116.84 - 96.52) - r2 * (102.235 - 96.52)
    assert moment == pytest.approx(1671.8, abs=0.1)
    share = 4.05 / 19.05
    bending = roark_deep(11.25, share) * moment / w_bending(15, 9.525)
    torsion = pilkey_at_4(share, 11.25 / 4) * 1500 / (2 * w_bending(15, 9.525))
    least = axle_strength_of(job("wool-spinner")).least
    assert least.z == pytest.approx(96.52)
    assert least.safety == pytest.approx(
        530 / math.hypot(bending, math.sqrt(3) * torsion), rel=1e-3
    )


def test_long_run_by_hand() -> None:
    # Wheel, same step, start and stop: Shigley ch. 6. Rm 580: surface 4.51 x 580^-0.265 = 0.8355;
    # size 1.24 (0.37 x 25)^-0.107 = 0.9772; 99 %: 0.814; Se = 0.8355 x 0.9772 x 0.814 x 290 = 192.7.
    # q at r 0.36 mm, 84.12 kpsi (eq. 6-35): sqrt a = 0.246 - 0.25909 + 0.10685 - 0.01589 = 0.07787
    # sqrt(in) = 0.39245 sqrt(mm); q = 1 / (1 + 0.39245 / 0.6) = 0.6046.
    q = 0.6046
    # torsion (from memory): 0.190 - 0.21114 + 0.09553 - 0.01589 = 0.05850 -> 0.29482; 0.6705
    qs = 0.6705
    kf = 1 + q * (roark_deep(6.9444, 1 / 6) - 1)
    kfs = 1 + qs * (pilkey_at_4(1 / 6, 6.9444 / 4) - 1)
    stress = math.hypot(
        kf * 60353.1 / w_bending(25, 13),
        math.sqrt(3) * kfs * 12000 / (2 * w_bending(25, 13)),
    )
    goodman = 1 / (stress / 2 / 192.7 + stress / 2 / 580)
    found = axle_strength_of(job())
    assert found.trial.judge.endurance(25.0) == pytest.approx(192.7, abs=0.2)
    assert found.least_long_run.long_run == pytest.approx(goodman, rel=2e-3)


def test_a_turning_force_wears_more_and_knows_no_best_angle() -> None:
    still = axle_strength_of(job())
    load = {"force": 350, "overhang": 215, "torque": 12, "grip": 18, "action": "turns"}
    turning = axle_strength_of(job(axle__load=load))
    assert turning.least_long_run.long_run < 0.8 * still.least_long_run.long_run
    assert turning.at_slot.safety < still.at_slot.safety
    assert turning.best_angle() == (0.0, turning.at_slot.safety)


def slot(angle: float = 0.0, **changes: float) -> dict[str, object]:
    given = {"from_face": 44, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": angle}
    return {"axle__wire_slot": {**given, **changes}}


def test_the_slot_belongs_to_the_side_of_the_load() -> None:
    found = {a: axle_strength_of(job(**slot(a))).at_slot.safety for a in (-90, -45, 0, 45, 90, 180)}
    assert found[-90] == pytest.approx(found[90])  # tension and compression yield alike
    assert found[0] == pytest.approx(found[180])
    assert found[90] < found[45] < 0.6 * found[0]
    turned = axle_strength_of(job(**slot(70.0)))
    angle, best = turned.best_angle()
    assert abs(angle) <= 20  # the near side, not 160 or beyond
    assert best >= 0.98 * found[0]
    # A force from the side wants the slot up or down.
    load = {"force": 350, "overhang": 215, "torque": 12, "grip": 18, "direction": 0}
    sideways = axle_strength_of(job(axle__load=load))
    assert abs(abs(sideways.best_angle()[0]) - 90) <= 20
    assert sideways.at_slot.safety == pytest.approx(found[90])


def test_narrower_and_shorter_slots_and_none() -> None:
    now = axle_strength_of(job(**slot(80.0)))
    assert now.least.safety > now.trial.judge.steel.yield_MPa / 1e4
    assert now.half_as_wide == pytest.approx(
        axle_strength_of(job(**slot(80.0, width=4))).at_slot.safety
    )
    shorter = axle_strength_of(job(**slot(80.0, from_face=44 + 22 / 3, length=44 / 3)))
    assert now.two_thirds_as_long == pytest.approx(shorter.at_slot.safety)
    assert now.half_as_wide > now.at_slot.safety
    assert now.two_thirds_as_long > now.at_slot.safety
    assert now.without_slot >= now.least.safety


@pytest.mark.parametrize("design", [{}, BUSY, LONG | {"axle__load": {"force": 900, "overhang": 200, "torque": 60}}])  # fmt: skip
def test_the_curve_holds_its_least_and_covers_the_axle(design: dict[str, object]) -> None:
    found = axle_strength_of(job(**design))
    zs = [z for z, _ in found.curve]
    assert all(b >= a - 1e-6 for a, b in pairwise(zs))
    assert (zs[0], zs[-1]) == (0.0, job(**design).design.axle.length)
    assert min(s for _, s in found.curve) == pytest.approx(found.least.safety)
    assert min(s for _, s in found.long_run_curve) == pytest.approx(found.least_long_run.long_run)
    assert (found.least.z, found.least.safety) in [(z, s) for z, s in found.curve]


def test_double_load_halves_every_safety() -> None:
    one, two = (
        axle_strength_of(job(axle__load={"force": f, "overhang": 215, "torque": t, "grip": 18}))
        for f, t in ((350, 12), (700, 24))
    )
    for a, b in zip(one.places, two.places, strict=True):
        assert b.safety == pytest.approx(a.safety / 2)
        assert b.long_run == pytest.approx(a.long_run / 2)


def test_grooves_flats_and_keys_are_notches() -> None:
    names = {p.name for p in axle_strength_of(job(**BUSY)).places if p.notch.bending > 1}
    assert {"groove", "end of pair of flats 1", "end of pair of flats 2"} <= names
    keyed = {p.name for p in axle_strength_of(job()).places}
    assert "key seat in the stator seat" in keyed
    assert "key seat in the stator seat" not in {
        p.name for p in axle_strength_of(job(hub__keyway=None)).places
    }


@pytest.mark.parametrize("name", STARTERS)
def test_starters_hold(name: str) -> None:
    found = axle_strength_findings(job(name))
    assert [(f.level, f.code) for f in found] == [("note", "axle-long-run")]
    figures = axle_strength_results(job(name))
    assert figures["axle_safety_factor"] > 2.4
    assert figures["axle_long_run_factor"] > 1.5
    assert figures["axle_safety_without_slot"] >= figures["axle_safety_factor"]
    assert all(isinstance(v, str) or math.isfinite(v) for v in figures.values())


def test_too_weak_is_refused_with_ways_out() -> None:
    load = {"force": 900, "overhang": 215, "torque": 40, "grip": 18}
    weak = job(axle__load=load, **slot(80.0), hub__keyway=None)
    stop = next(f for f in axle_strength_findings(weak) if f.level == "stop")
    assert (stop.code, stop.field, stop.limit) == ("axle-too-weak", "axle.bearing", 2.0)
    assert stop.value == pytest.approx(axle_strength_of(weak).least.safety, abs=1e-4)
    assert "step beside bearing seat 1, 36 mm from face A" in stop.message
    assert "4140 quenched and tempered" in stop.fix
    assert "qualified person" in stop.fix
    turn = next(f for f in axle_strength_findings(weak) if f.code == "slot-toward-load")
    assert turn.level == "warn"
    # A thin land makes the slot the weakest: each way out comes with the safety that it gives.
    thin = {
        "axle__land_diameter": 25.4, "hub__keyway": None,
        "axle__load": {"force": 700, "overhang": 215, "torque": 12, "grip": 18},
    }  # fmt: skip
    stop = next(f for f in axle_strength_findings(job(**slot(90.0), **thin)) if f.level == "stop")
    assert stop.field == "axle.wire_slot"
    narrow = axle_strength_of(job(**slot(90.0, width=4), **thin)).least.safety
    turned = axle_strength_of(job(**slot(0.0), **thin)).least.safety
    assert f"turn the wire slot to 0 deg (safety {turned:.2f})" in stop.fix
    assert f"make it 4 mm wide (safety {narrow:.2f})" in stop.fix


def test_the_safety_promised_by_the_fix_is_the_one_that_comes() -> None:
    load = {"force": 900, "overhang": 215, "torque": 40, "grip": 18}
    strong = job(axle__load=load, axle__material="4140 quenched and tempered")
    assert axle_strength_of(strong).least.safety >= 2.0
    share = axle_strength_of(job(axle__load=load)).least.safety / 2
    less = {**load, "force": 900 * share, "torque": 40 * share}
    assert axle_strength_of(job(axle__load=less)).least.safety == pytest.approx(2.0)


def codes(**changes: object) -> dict[str, str]:
    return {f.code: f.level for f in axle_strength_findings(job(**changes))}


def test_what_else_people_are_told() -> None:
    assert codes(axle__load=None) == {"axle-load-unknown": "warn"}
    assert axle_strength_results(job(axle__load=None)) == {}
    assert codes(axle__material="bar from the shed")["axle-steel-open"] == "warn"
    assert codes(axle__material="C45")["axle-steel-open"] == "warn"
    wide = codes(**slot(width=9.2))
    assert wide["slot-beyond-notch-table"] == "warn"
    assert "slot-beyond-notch-table" not in codes(**slot(width=9.0))
    tired = {"force": 500, "overhang": 215, "torque": 12, "grip": 18, "action": "turns"}
    worn = codes(axle__load=tired, axle__material="42CrMo4 +QT")
    assert worn == {"axle-long-run": "note"}
    worn = codes(axle__load={**tired, "force": 1050}, axle__material="42CrMo4 +QT")
    assert worn == {"axle-long-run": "warn"}


def test_an_axle_that_cannot_be_judged_is_refused_with_the_rules_own_words() -> None:
    for changes in (
        {"axle__seats": [seat(22, 14)]},
        {"axle__length": 130.5},
        {"axle__bore_diameter": 24.9},
        {"axle__bearing": "6999"},
        slot(length=5.0),
    ):
        with pytest.raises(Refused) as refused:
            axle_strength_of(job(**changes))
        assert all(f.level == "stop" for f in refused.value.findings)


def test_a_wider_bore_costs_strength() -> None:
    thin = axle_strength_of(with_bore(job(), 18.0))
    assert thin.least.safety < axle_strength_of(job()).least.safety
    assert thin.least.safety == axle_strength_of(job(axle__bore_diameter=18.0)).least.safety


VIEWS = {
    **{name: (name, {}) for name in STARTERS},
    "busy": ("potters-wheel", BUSY),
    "long": ("potters-wheel", {**LONG, "axle__load": {"force": 2000, "overhang": 300, "torque": 90, "held": "both ends"}}),
    "short": ("potters-wheel", {**SHORT, "axle__load": {"force": 90, "overhang": 12, "torque": 0.8, "held": "face B"}}),
    "sideways": ("potters-wheel", {"axle__load": {"force": 90, "overhang": 12, "torque": 0, "direction": 37}}),
}  # fmt: skip


@pytest.mark.parametrize("view", VIEWS)
def test_the_picture_can_be_read(view: str) -> None:
    starter, changes = VIEWS[view]
    drawing = axle_strength_view(job(starter, **changes))
    assert legibility(drawing) == []
    words = " ".join(t.text for t in drawing.texts)
    least = axle_strength_of(job(starter, **changes)).least
    assert f"{least.safety:.2f}" in words
    assert least.name in words


def test_the_weakest_place_is_circled_on_curve_and_axle() -> None:
    drawing = axle_strength_view(job())
    circles = [s.segments[0].center for s in drawing.strokes if _circle(s) == pytest.approx(2.2)]
    assert len(set(circles)) == 2
    assert len({round(c.x, 6) for c in circles}) == 1


def _circle(stroke) -> float:
    first = stroke.segments[0]
    centre = getattr(first, "center", None)
    return first.start.distance(centre) if centre and stroke.closed else 0.0


def test_the_trial_takes_another_slot() -> None:
    strength = axle_strength_of(job())
    plain = strength.trial.slot_stretch(replace(strength.trial.slot, width=0.0))
    load = axle_load(job())
    first = plain[0]
    assert first.forces.moment == pytest.approx(load.moment.at(44.0))
    bending, torsion = load.moment.at(44.0) / w_bending(30, 13), 12000 / (2 * w_bending(30, 13))
    assert first.stress.static == pytest.approx(math.hypot(bending, math.sqrt(3) * torsion))
