"""Strength of the axle, worked by hand for the three starters, step by step.

By hand means: every figure below is typed from the starter, from a published formula named beside
it, or from the finite-element values of test_tube_section.py; nothing of the product is asked.
"""

import math

import pytest

from tests.support.design import job


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
    # Seat 25, land 30, bore 13; insert 0.4 (ISO 1832) below the chamfer 0.6 of 6005 (ISO 582),
    # 0.1 sharper at the sharp end: 0.3;
    # h = 2.5, h/r = 8.333, 2 h/D = 1/6; C45 normalised in 38 mm: 305 MPa (EN 10083-2).
    bending = roark_deep(8.3333, 1 / 6) * 60353.1 / w_bending(25, 13)
    torsion = pilkey_at_4(1 / 6, 8.3333 / 4) * 12000 / (2 * w_bending(25, 13))
    stress = math.hypot(bending, math.sqrt(3) * torsion)
    least = job().axle_strength.least
    assert (least.name, least.z) == ("step beside bearing seat 1", 36.0)
    assert least.stress.static == pytest.approx(stress, rel=1e-3)
    assert least.safety == pytest.approx(305 / stress, rel=1e-3)
    assert least.safety == pytest.approx(2.353, abs=0.002)


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
    at_slot = job().axle_strength.at_slot
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
    end = next(p for p in job().axle_strength.places if p.name.endswith("toward face A"))
    assert end.stress.static == pytest.approx(edge, rel=5e-3)


def test_kayak_thruster_by_hand() -> None:
    # 60 N at 140 mm, turning; bearings at 23.5 and 100.5: R2 = 60 x 116.5 / 77 = 90.779 N.
    # Step at 29 mm: M = 90.779 x 71.5 = 6490.7 N mm, T 4000 N mm; 15 to 18 mm, bore 9, round 0.15
    # (insert 0.2, chamfer 0.3); h/r = 10; 1.4301: 190 MPa (EN 10088-3). Thrust: 90 N on
    # pi/4 (15^2 - 9^2) = 113.10 mm2.
    bending = roark_deep(10.0, 1 / 6) * (6490.7 / w_bending(15, 9) + 90 / 113.10)
    torsion = pilkey_at_4(1 / 6, 10.0 / 4) * 4000 / (2 * w_bending(15, 9))
    strength = job("kayak-thruster").axle_strength
    assert strength.least.name == "step beside bearing seat 1"
    assert strength.least.safety == pytest.approx(
        190 / math.hypot(bending, math.sqrt(3) * torsion), rel=1e-3
    )


def test_kayak_thruster_slot_by_hand() -> None:
    # The load turns, so it meets the slot's end from the worst side. z 34, M = 90.779 x 66.5 = 6036.8.
    # w/D = 5/18, d/D = 0.5: Roark's bending and torsion, torsion times the ellipse 15 long.
    # Thrust: 90 N on pi/4 (18^2 - 9^2) = 190.85 mm2, even across the hole whatever the direction.
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
            kb / 3 * (bent * math.cos(a) + 90 / 190.85),
            bent * math.sin(a) * x,
            kt / 4 * (twist + slid * math.sin(a)),
        )
        for a in (math.radians(3 * n) for n in range(31))
    )
    found = job("kayak-thruster").axle_strength.at_slot
    assert found.name == "wire slot, end toward face A"
    assert (found.notch.bending, found.notch.torsion) == pytest.approx((kb, kt), rel=1e-6)
    assert found.safety == pytest.approx(190 / worst, rel=5e-3)


def test_wool_spinner_by_hand() -> None:
    # Both ends held at 10.16 and 116.84 mm; 220 N at 66.04; bearings at 24.765 and 102.235:
    # R2 = 220 x 41.275 / 77.47 = 117.213; frame B carries 115.238 N. At the step at 96.52 mm
    # M = 115.238 x 20.32 - 117.213 x 5.715 = 1671.8; either end may take all of 1500 N mm.
    # 15 to 19.05 mm, bore 9.525, h/r = 2.025 / 0.15 = 13.5; 1045 cold drawn: 530 MPa (Shigley A-20).
    r2 = 220 * (66.04 - 24.765) / 77.47
    frame = ((220 - r2) * (24.765 - 10.16) + r2 * (102.235 - 10.16)) / (116.84 - 10.16)
    moment = frame * (116.84 - 96.52) - r2 * (102.235 - 96.52)
    assert moment == pytest.approx(1671.8, abs=0.1)
    share = 4.05 / 19.05
    bending = roark_deep(13.5, share) * moment / w_bending(15, 9.525)
    torsion = pilkey_at_4(share, 13.5 / 4) * 1500 / (2 * w_bending(15, 9.525))
    least = job("wool-spinner").axle_strength.least
    assert least.z == pytest.approx(96.52)
    assert least.safety == pytest.approx(
        530 / math.hypot(bending, math.sqrt(3) * torsion), rel=1e-3
    )


def test_long_run_by_hand() -> None:
    # Wheel, same step, start and stop: Shigley ch. 6. Rm 580: surface 4.51 x 580^-0.265 = 0.8355;
    # size 1.24 (0.37 x 25)^-0.107 = 0.9772; 99 %: 0.814; Se = 0.8355 x 0.9772 x 0.814 x 290 = 192.7.
    # q at r 0.3 mm, 84.12 kpsi (eq. 6-35): sqrt a = 0.246 - 0.25909 + 0.10685 - 0.01589 = 0.07787
    # sqrt(in) = 0.39245 sqrt(mm); q = 1 / (1 + 0.39245 / 0.54772) = 0.5826.
    q = 0.5826
    # torsion (from memory): 0.190 - 0.21114 + 0.09553 - 0.01589 = 0.05850 -> 0.29482; 0.6501
    qs = 0.6501
    kf = 1 + q * (roark_deep(8.3333, 1 / 6) - 1)
    kfs = 1 + qs * (pilkey_at_4(1 / 6, 8.3333 / 4) - 1)
    stress = math.hypot(
        kf * 60353.1 / w_bending(25, 13),
        math.sqrt(3) * kfs * 12000 / (2 * w_bending(25, 13)),
    )
    goodman = 1 / (stress / 2 / 192.7 + stress / 2 / 580)
    found = job().axle_strength
    assert found.case.criterion.endurance(25.0) == pytest.approx(192.7, abs=0.2)
    assert found.least_long_run.long_run == pytest.approx(goodman, rel=2e-3)
