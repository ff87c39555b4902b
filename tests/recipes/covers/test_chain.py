"""The stack-up along the axle against chains made by hand."""

from __future__ import annotations

import csv
import io
import math

import pytest

from recipes.assess import assess
from recipes.covers.chain import Chain, Link
from recipes.covers.chain_rules import chain_csv
from recipes.motor import Motor
from tests.support.design import STARTERS, job

#: ISO 492 Normal: width of a bearing with a bore over 2.5 up to 50 mm, 0 / -0.12 mm (TPI catalogue
#: 2202/TE appendix I, SKF and NSK tables the same).
WIDTH = (0.0, -0.12)

#: ISO 2768-1 m: 6 to 30 mm 0.2, 30 to 120 mm 0.3 (tests/reference/iso2768_linear_mm.csv).
AXLE = 0.3


def chain(motor: Motor, key: str) -> Chain:
    assert motor.closed_rotor is not None
    return next(c for c in motor.closed_rotor.chains if c.key == key)


def by_hand(terms: list[tuple[int, float, float, float]]) -> tuple[float, float, float, float]:
    """Worst and likely ends of sum of sign x (nominal, upper, lower), written out once more."""
    low = sum(n + (lo if s > 0 else -up) if s > 0 else -n - up for s, n, up, lo in terms)
    high = sum(n + up if s > 0 else -n - lo for s, n, up, lo in terms)
    middle = (low + high) / 2
    root = math.sqrt(sum(((up - lo) / 2) ** 2 for _, _, up, lo in terms))
    return low, high, middle - root, middle + root


def check(found: Chain, terms: list[tuple[int, float, float, float]]) -> None:
    low, high, likely_low, likely_high = by_hand(terms)
    assert found.worst == pytest.approx((low, high), abs=1e-9)
    assert found.likely == pytest.approx((likely_low, likely_high), abs=1e-9)


def test_end_float_of_the_potters_wheel_by_hand() -> None:
    """Shoulders at 36 and 118, two 6005 of 12 mm, pockets 10.5 below the seat faces, ring 85.9.

    -118 + 36 - 12 - 12 + 10.5 + 10.5 + 85.9 = 0.9; worst: 0.9 - (0.6 + 0.15) and 0.9 + 0.24 + 0.75.
    """
    found = chain(job("potters-wheel"), "end_float")
    assert found.nominal == pytest.approx(0.9)
    assert found.worst == pytest.approx((0.15, 1.89))
    middle, root = 0.9 + 0.12, math.sqrt(2 * 0.3**2 + 3 * 0.05**2 + 2 * 0.06**2)
    assert found.likely == pytest.approx((middle - root, middle + root))


def test_room_at_the_lead_side_of_the_potters_wheel_by_hand() -> None:
    """Collar at 94, cap 1.5, 38 sheets of 0.5 mm at 0.94, coil end; the cover ends at 36 mm."""
    motor = job("potters-wheel")
    sheets = 38
    length, end = sheets * 0.5 / 0.94, motor.turn_lengths.end_height_mm
    terms = [
        (+1, 94.0, AXLE, -AXLE),
        (-1, 1.5, 0.1, -0.1),
        (-1, length, length / sheets, -length / sheets),
        (-1, end, 1.0, -1.0),
        (-1, 36.0, AXLE, -AXLE),
        (+1, 12.0, *WIDTH),
        (-1, 0.0, 0.0, -0.9),
        (-1, 10.5, 0.05, -0.05),
        (-1, 1.5, 0.05, -0.05),
    ]
    found = chain(motor, "coil_to_lead_cover")
    check(found, terms)
    # the cover's inner face lies where the bearing's inner face does: 36 mm from face A
    assert found.nominal == pytest.approx(94 - 1.5 - length - end - 36)


def test_room_at_the_far_side_of_the_potters_wheel_by_hand() -> None:
    """By way of the lead bearing and the ring; the far pocket is passed there and back."""
    motor = job("potters-wheel")
    end = motor.turn_lengths.end_height_mm
    terms = [
        (+1, 36.0, AXLE, -AXLE),
        (-1, 12.0, *WIDTH),
        (+1, 10.5, 0.05, -0.05),
        (+1, 85.9, 0.05, -0.05),
        (+1, 0.0, 0.0, -0.9),
        (-1, 1.5, 0.05, -0.05),
        (-1, end, 1.0, -1.0),
        (-1, 94.0, AXLE, -AXLE),
        (+1, 1.5, 0.1, -0.1),
    ]
    check(chain(motor, "coil_to_far_cover"), terms)


def test_magnets_off_the_stack_of_the_potters_wheel_by_hand() -> None:
    motor = job("potters-wheel")
    sheets = 38
    length = sheets * 0.5 / 0.94
    middle = 94 - 1.5 - length / 2
    terms = [
        (+1, 36.0, AXLE, -AXLE),
        (-1, 12.0, *WIDTH),
        (+1, 0.0, 0.0, -0.9),
        (+1, 10.5, 0.05, -0.05),
        (+1, middle - 34.5, 0.3, -0.3),
        (-1, 94.0, AXLE, -AXLE),
        (+1, 1.5, 0.1, -0.1),
        (+1, length / 2, length / sheets / 2, -length / sheets / 2),
    ]
    found = chain(motor, "magnet_offset")
    assert found.nominal == pytest.approx(0.0, abs=1e-9)
    check(found, terms)


@pytest.mark.parametrize("fixed", ["lead side", "far side", "neither"])
@pytest.mark.parametrize("starter", STARTERS)
def test_chains_end_where_the_arrangement_puts_things(starter: str, fixed: str) -> None:
    """Nominal gaps are differences of places that were worked out another way; no length counts twice."""
    motor = job(starter, covers__fixed=fixed)
    closed = motor.closed_rotor
    assert closed is not None
    at, end = closed.arranged, motor.turn_lengths.end_height_mm
    gaps = {
        "end_float": at.floors[1]
        - at.floors[0]
        - at.shoulders[1]
        + at.shoulders[0]
        - 2 * motor.bearing.width_mm,
        "coil_to_lead_cover": at.steel[0] - end - at.inners[0],
        "coil_to_far_cover": at.inners[1] - end - at.steel[1],
        "magnet_offset": sum(at.magnets) / 2 - sum(at.steel) / 2,
    }
    for found in closed.chains:
        assert found.nominal == pytest.approx(gaps[found.key], abs=0.011), found.key
        names = [k.name for k in found.links]
        assert len(names) == len(set(names))


def test_a_groove_that_holds_the_fixed_bearing_stops_the_rotor_from_shifting() -> None:
    """6005 on a shoulder at 36 mm begins at 24 mm: a ring in a groove there holds it."""
    groove = {"from_face": 22.6, "width": 1.3, "diameter": 23.9}
    free, held = job("potters-wheel"), job("potters-wheel", axle__grooves=[groove])
    for motor, shifts in ((free, True), (held, False)):
        links = [k.name for k in chain(motor, "magnet_offset").links]
        assert any("shifts" in name for name in links) == shifts
        found = [f.code for f in assess(motor, whole=False).findings]
        assert ("fixed-bearing-not-held" in found) == shifts


def test_coil_ends_too_near_a_cover_are_told_with_a_place_that_mends_it() -> None:
    def motor(far: float) -> Motor:
        seats = [{"from_face": 22, "length": 14}, {"from_face": far, "length": 14}]
        return job("potters-wheel", axle__seats=seats, axle__shoulder__length=3.5)

    near = motor(97.5)
    found = next(f for f in assess(near, whole=False).findings if f.code == "coil-meets-cover")
    assert "far side" in found.message
    assert found.field == "axle.seats[2].from_face"
    word = found.fix.split("axle.seats[2].from_face = ")[1].split(" mm")[0]
    mended = assess(motor(float(word)), whole=False)
    assert "coil-meets-cover" not in [f.code for f in mended.findings]


def test_root_of_squares_stays_inside_the_worst_case() -> None:
    link = Link("one", 1, 10.0, 0.3, -0.1, "hand", "yours", "x")
    one = Chain("k", "one link", (link,))
    assert one.worst == pytest.approx((9.9, 10.3))
    assert one.likely == pytest.approx((9.9, 10.3))
    two = Chain("k", "two links", (link, Link("two", -1, 4.0, 0.0, -0.2, "hand", "yours", "x")))
    assert two.nominal == pytest.approx(6.0)
    assert two.worst == pytest.approx((5.9, 6.5))
    root = math.sqrt(0.2**2 + 0.1**2)
    assert two.likely == pytest.approx((6.2 - root, 6.2 + root))


def test_the_table_of_the_pack_adds_up() -> None:
    motor = job("wool-spinner")
    assert motor.closed_rotor is not None
    rows = list(csv.DictReader(io.StringIO(chain_csv(motor.closed_rotor.chains))))
    for found in motor.closed_rotor.chains:
        mine = [r for r in rows if r["gap"] == found.key]
        links = [r for r in mine if r["sign"] in ("+1", "-1")]
        total = sum(int(r["sign"]) * float(r["nominal_mm"]) for r in links)
        worst = next(r for r in mine if r["link"] == "sum, worst case")
        assert float(worst["nominal_mm"]) == pytest.approx(total, abs=0.005)
        low = sum(
            float(r["lower_mm"]) if r["sign"] == "+1" else -float(r["upper_mm"]) for r in links
        )
        assert float(worst["lower_mm"]) == pytest.approx(low, abs=0.005)
        assert all(r["source"] and r["field"] for r in links)
