"""Seats for the keys of the stack: sizes, drawing and body."""

from __future__ import annotations

import math

import pytest

from geometry.drafting.view import View
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.solids import BlindSlot
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.shaft.cross_section import key_section, side_view_keys
from recipes.shaft.key_seat import key_words
from tests.support.axle import solid_of
from tests.support.design import STARTERS, job


def test_potters_wheel_seats_by_hand() -> None:
    """DIN 6885-1: 6 x 6, t1 3.5; stack 20.2 mm against the collar at 94; 18 mm is a key length."""
    seats = job().key_seats
    assert seats is not None
    assert (seats.width, seats.depth, seats.height, seats.length) == (6, 3.5, 6, 18)
    assert (seats.start, seats.end) == (75.0, 93.0)
    assert seats.floor == 11.5
    assert seats.width_limits == (6.0, 5.97)  # N9, ISO 286-2
    assert seats.angles == (90.0, 270.0)
    assert (
        key_words(job().key_seats) == "2 keys 6 × 6 × 18 with round ends (DIN 6885-1 A), key steel."
    )


@pytest.mark.parametrize("name", ["kayak-thruster", "wool-spinner"])
def test_no_key_no_seat(name: str) -> None:
    assert job(name).key_seats is None
    assert not any(isinstance(c, BlindSlot) for c in solid_of(job(name)).cuts)
    assert not list(side_view_keys(job(name).axle_shape, View(Point(0.0, 0.0))))


def test_what_is_given_goes_before_what_follows() -> None:
    given = {"from_face": 72.3, "length": 15.4, "depth": 3.1}
    seats = job(axle__key_seat=given).key_seats
    assert seats is not None
    assert (seats.start, seats.length, seats.depth) == pytest.approx((72.3, 15.4, 3.1))
    odd = job(hub__keyway={"width": 5.6, "depth": 2.3}).key_seats
    assert odd is not None
    # no standard key: it fills both seats but for 0.2 mm at its back
    assert odd.height == pytest.approx(odd.depth + 2.3 - 0.2)


def mirrored() -> Motor:
    """The collar before the stack."""
    return job(
        axle__shoulder={"from_face": 62.0, "length": 8, "diameter": 36},
        axle__wire_slot={"from_face": 44.1, "length": 14, "width": 8, "mouth_radius": 1.0},
    )


def test_seats_lie_under_the_stack_on_either_side_of_the_collar() -> None:
    seats, stack = mirrored().key_seats, job().stack.length
    assert seats is not None
    assert seats.start > 70 + 0.7
    assert seats.end < 70 + stack - 0.7


@pytest.mark.parametrize("count", [1, 2, 3])
def test_key_of_the_sheet_meets_the_seat_of_the_axle(count: int) -> None:
    """Sheet and axle laid over each other by shapely, tooth 1 up: notch and seat face each other."""
    j = job(hub__keyway={"width": 6, "depth": 2.8, "count": count}, hub__orientation_mark=False,
            hub__spokes=None, hub__yoke_thickness=None, hub__rim_thickness=None,
            axle__wire_slot={"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5,
                             "angle": 33})  # fmt: skip
    from shapely import affinity

    sheet = to_polygon(Parts(j)["lamination"][0].cut[0], 1e-4)
    # the section looks along the slot's direction: turn it back to the mounted axle
    steel = affinity.rotate(to_polygon(key_section(j.axle_shape), 1e-4), 33, origin=(0, 0))
    for k in range(count):
        way = math.pi / 2 + 2 * math.pi * k / count
        spots = [Point(r * math.cos(way), r * math.sin(way)) for r in (12.0, 14.5, 15.5, 17.3)]
        from shapely.geometry import Point as Spot

        inside = [s.contains(Spot(*p)) for p in spots for s in (sheet, steel)]
        assert not any(inside), (k, inside)
    area = math.pi * (15**2 - 6.5**2)
    strip = 3 * math.sqrt(216) + 225 * math.asin(3 / 15) - 6 * 11.5
    assert steel.area == pytest.approx(area - count * strip, abs=0.01)


def test_body_carries_the_section_along_its_straight_length() -> None:
    long, short = (
        solid_of(job(axle__key_seat={"from_face": 73, "length": n})).volume for n in (17.3, 11.1)
    )
    strip = 3 * math.sqrt(216) + 225 * math.asin(3 / 15) - 6 * 11.5
    assert short - long == pytest.approx(2 * strip * 6.2, rel=1e-9)


def test_side_view_shows_a_mouth_or_a_hidden_floor() -> None:
    view = View(Point(0.0, 0.0))
    up = list(side_view_keys(job().axle_shape, view))
    assert [s.style for s in up] == ["hidden", "hidden"]
    assert {abs(s.segments[1].start.y) for s in up} == {11.5}
    facing = job(axle__wire_slot={"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5,
                                  "angle": 90})  # fmt: skip
    (mouth,) = side_view_keys(facing.axle_shape, view)
    assert mouth.style == "visible"
    boxes = [s.box() for s in mouth.segments]
    sizes = (min(b[0] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))
    assert sizes == pytest.approx((75.0, 93.0, 3.0))
    # seen at 25 degrees from the edge, the straight edges lie at 15 sin(65 +- asin(3 / 15))
    tilted = job(axle__wire_slot={"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5,
                                  "angle": 25})  # fmt: skip
    (seen,) = side_view_keys(tilted.axle_shape, view)
    turn, spread = math.radians(65), math.asin(3 / 15)
    ys = [s.start.y for s in seen.segments]
    edges = [15 * math.sin(turn + k * spread) for k in (-1, 1)]
    assert (min(ys), max(ys)) == pytest.approx(edges)


@pytest.mark.parametrize("name", STARTERS)
def test_drawing_names_the_seats_where_there_are_some(name: str) -> None:
    texts = [t.text for t in Parts(job(name))["axle"][0].drawings[0].texts]
    said = [t for t in texts if "key seat" in t]
    if job(name).design.hub.keyway is None:
        assert said == []
        return
    assert "2 key seats 6 × 18" in said
    assert any(t.startswith("at the key seats (") for t in said)
    assert {"N9, 3.5 +0.1 deep", "at 90° / 270°", "6.000 / 5.970", "75", "93"} <= set(texts)


def test_notches_stand_at_the_ends_of_the_seats() -> None:
    places = job().axle_strength.places
    assert [p.z for p in places if p.name.startswith("key seat")] == [75.0, 93.0]
