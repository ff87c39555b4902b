"""Turned sections and named stretches of the axle, typed by hand from the starters' drawings."""

from __future__ import annotations

import pytest

from recipes.refusal import Refused
from recipes.shaft.sections import (
    collar_feature,
    flat_features,
    groove_features,
    seat_features,
    slot_feature,
    stator_feature,
    turned_features,
)
from tests.support.axle import BUSY
from tests.support.design import job

#: The wheel: ends that are left out are turned to 24.8 mm, the bore of 6005 less 0.2.
WHEEL = [
    (0, 22, 24.8, "end", "", "axle.end_diameter"),
    (22, 36, 25, "seat", "h6", "axle.bearing"),
    (36, 70, 30, "land", "", "axle.land_diameter"),
    (70, 94, 30, "stator", "h6", "lamination.bore_diameter"),
    (94, 102, 36, "shoulder", "", "axle.shoulder.diameter"),
    (102, 118, 30, "land", "", "axle.land_diameter"),
    (118, 132, 25, "seat", "h6", "axle.bearing"),
    (132, 150, 24.8, "end", "", "axle.end_diameter"),
]


def turned(**changes: object) -> list[tuple[object, ...]]:
    return [
        (round(s.start, 9), round(s.end, 9), round(s.diameter, 9), s.kind, s.fit, s.field)
        for s in job(**changes).sections
    ]


def test_the_wheels_axle_is_turned_in_eight_sections() -> None:
    """Each says which field of the design file sets its diameter."""
    assert turned() == WHEEL
    assert [s.length for s in job().sections] == [22, 14, 34, 24, 8, 16, 14, 18]


def test_diameters_that_are_given_are_kept() -> None:
    found = turned(axle__end_diameter=23.1, axle__land_diameter=28.3)
    assert [s[2] for s in found] == [23.1, 25, 28.3, 30, 36, 28.3, 25, 23.1]


def test_the_stack_passes_what_lies_between_its_seat_and_the_collar() -> None:
    """A collar 3 mm off the seat: that land is no thicker than the seat, others may be."""
    away = {"from_face": 97, "length": 8, "diameter": 36}
    found = turned(axle__shoulder=away, axle__land_diameter=31.7)
    lands = [(s[0], s[1], s[2]) for s in found if s[3] == "land"]
    assert lands == [(36, 70, 31.7), (94, 97, 30), (105, 118, 31.7)]


def test_sections_that_touch_leave_nothing_between_them() -> None:
    """In inches 2.25 and 0.7 meet 2.95 but for rounding; all share their ends to the last bit."""
    sections = job("wool-spinner").sections
    assert sections[0].start == 0
    assert [s.end for s in sections[:-1]] == [s.start for s in sections[1:]]
    assert sections[-1].end == pytest.approx(127)
    assert [s.kind for s in sections if s.start > 57] == ["stator", "shoulder", "land", "seat", "end"]  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "field", "by", "says"),
    [
        (  # the second seat begins 1.3 mm inside the collar, which ends at 102
            {"axle__seats": [{"from_face": 22, "length": 14}, {"from_face": 100.7, "length": 14}]},
            "axle.bearing", 1.3, "the seat from 100.7 to 114.7 mm overlaps",
        ),
        (  # the stator seat begins 2.6 mm inside the first seat
            {"axle__stator_seat": {"from_face": 33.4, "length": 24}},
            "lamination.bore_diameter", 2.6, "the stator from 33.4 to 57.4 mm overlaps",
        ),
        (  # the last seat ends 0.45 mm beyond face B
            {"axle__length": 131.55},
            "axle.bearing", 0.45, "the seat from 118 to 132 mm overlaps its neighbour or leaves",
        ),
    ],
)  # fmt: skip
def test_what_has_no_room_is_named(
    changes: dict[str, object], field: str, by: float, says: str
) -> None:
    with pytest.raises(Refused, match=says) as caught:
        bool(job(**changes).sections)
    (found,) = caught.value.findings
    assert (found.level, found.code, found.field) == ("stop", "features-overlap", field)
    assert (found.value, found.limit) == (pytest.approx(by), 0.0)
    assert f"by {by:.3f} mm" in found.message


def test_stretches_have_names_and_the_tables_they_come_from() -> None:
    """Counted from 1, in the order of the design; starts and lengths typed from it."""
    busy = job(**BUSY)
    features = [
        *turned_features(busy.design.axle, busy.stack.length), slot_feature(busy.design.axle), *groove_features(busy.design.axle), *flat_features(busy.design.axle),
    ]  # fmt: skip
    assert [(f.name, f.field, f.start, pytest.approx(f.end)) for f in features] == [
        ("bearing seat 1", "axle.seats[1]", 22, 36),
        ("bearing seat 2", "axle.seats[2]", 118, 132),
        ("stator seat", "axle.stator_seat", 70, 94),
        ("collar", "axle.shoulder", 94, 102),
        ("wire slot", "axle.wire_slot", 44.5, 66.5),
        ("groove 1", "axle.grooves[1]", 20.7, 22),
        ("groove 2", "axle.grooves[2]", 132, 133.3),
        ("pair of flats 1", "axle.flats[1]", 0, 13.3),
        ("pair of flats 2", "axle.flats[2]", 137.2, 150),
    ]


def test_stretches_overlap_by_what_they_share() -> None:
    busy = job(**BUSY)
    first, _ = seat_features(busy.design.axle)
    groove = groove_features(busy.design.axle)[0]
    assert first.overlap(groove) == groove.overlap(first) == pytest.approx(0)
    assert stator_feature(busy.design.axle, busy.stack.length).overlap(
        slot_feature(busy.design.axle)
    ) == pytest.approx(-3.5)
    moved = job(axle__wire_slot={"from_face": 30.7, "length": 22, "width": 8, "mouth_radius": 1.5})
    assert seat_features(moved.design.axle)[0].overlap(
        slot_feature(moved.design.axle)
    ) == pytest.approx(5.3)
    assert collar_feature(busy.design.axle).overlap(
        collar_feature(busy.design.axle)
    ) == pytest.approx(8)


def test_limits_of_a_section_are_those_of_its_fit() -> None:
    """25 h6: 0 and -0.013 mm (ISO 286-2); what has no fit has no limits."""
    first, seat = job().sections[:2]
    assert first.limits is None
    assert seat.limits is not None
    assert (seat.limits.upper_mm, seat.limits.lower_mm) == (0, -0.013)


def test_a_bearing_that_is_not_in_the_table_is_named() -> None:
    assert job().bearing.bore_mm == 25
    with pytest.raises(Refused, match=r"axle\.bearing = '6999'") as caught:
        bool(job(axle__bearing="6999").bearing)
    (found,) = caught.value.findings
    assert (found.level, found.code, found.field) == ("stop", "no-such-bearing", "axle.bearing")
    assert (found.value, found.limit, found.source) == ("6999", None, "ISO 15, ABMA 20")
    assert "lookup bearing" in found.fix
