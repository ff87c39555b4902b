"""Each rule on the axle: one design that trips it, by field, value and limit, and one that does not.

Outside values: bearing 6005 is 25 x 47 x 12 mm (ISO 15:2017); drill point of 118 degrees (common
practice); limits of slot, bore and wall as `common practice` in the rules. Numbers by hand.
"""

import math
import re
from itertools import chain

import pytest

from recipes.catalogue import Parts
from recipes.refusal import Refused
from recipes.shaft.wire_slot_rules import bundle_diameter
from tests.places import ROOT
from tests.support.axle import BUSY, LONG, SHORT, random_axle, seat
from tests.support.design import STARTERS, job

RULES = ("axle_rules", "turning_rules", "wire_slot_rules", "key_seat", "sections", "tube_rules")

#: A design without any finding: the potter's wheel, its slot moved and its key left out.
CLEAN = {
    "hub__keyway": None,
    "axle__wire_slot": {"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5},
}
#: The same with long ends and lands, so that a slot can stand where it should not.
ROOMY = {
    **CLEAN,
    "axle__length": 230,
    "axle__seats": [seat(62, 14), seat(198, 14)],
    "axle__stator_seat": seat(150, 24),
    "axle__shoulder": {"from_face": 174, "length": 8, "diameter": 36},
}


def slot(**changes):
    return {"axle__wire_slot": {**CLEAN["axle__wire_slot"], **changes}}


def groove(from_face, width, diameter):
    return {"axle__grooves": [{"from_face": from_face, "width": width, "diameter": diameter}]}


def flats(from_face, length, across, angle=0):
    return {
        "axle__flats": [
            {"from_face": from_face, "length": length, "across": across, "angle": angle}
        ]
    }


def key(width=6, depth=2.8, **changes):
    return {"hub__keyway": {"width": width, "depth": depth, "count": 2}, **changes}


BUNDLE = 1.2 * math.sqrt(3 * 3.6**2 + 7 * 1.2**2)
COLLAR = {"from_face": 94, "length": 8, "diameter": 36}
#: changes, level, code, field, value, limit
CASES = [
    ({"axle__stock": "pipe", "axle__bore_depth": 100}, "stop", "tube-with-blind-bore",
     "axle.bore_depth", 100, 150),
    ({"axle__stock": "precision tube", "axle__stock_diameter": 36, "axle__bore_diameter": 20}, "warn",
     "tube-not-in-table", "axle.stock_diameter", 36, 35),
    ({"axle__shoulder": None, "axle__stack_held": "retaining rings"}, "warn", "stack-without-rings",
     "axle.stack_held", 0, 2),
    ({"axle__seats": [seat(22, 14)]}, "stop", "two-seats", "axle.seats", 1, 2),
    (
        {"axle__seats": [seat(5, 12), seat(22, 14), seat(118, 14)]},
        "stop", "two-seats", "axle.seats", 3, 2,
    ),
    ({"axle__bearing": "6999"}, "stop", "no-such-bearing", "axle.bearing", "6999", None),
    (
        {"lamination__bore_diameter": 125.0, "lamination__outer_diameter": 250},
        "stop", "no-such-fit", "axle.stator_seat.fit", 125.0, None,
    ),
    ({"axle__length": 130.5}, "stop", "outside-axle", "axle.seats[2].from_face", 132, 130.5),
    (
        {"axle__stator_seat": seat(70, 26.2)},
        "stop", "features-overlap", "axle.shoulder.from_face", 94, 96.2,
    ),
    (flats(20.3, 5.1, 20), "stop", "features-overlap", "axle.seats[1].from_face", 22, 25.4),
    (groove(117.1, 1.3, 22), "stop", "features-overlap", "axle.seats[2].from_face", 118, 118.4),
    (
        {"axle__shoulder": {**COLLAR, "from_face": 97.3}},
        "stop", "collar-apart", "axle.shoulder.from_face", 97.3, 94,
    ),
    (
        {"axle__shoulder": {**COLLAR, "diameter": 29.5}},
        "stop", "collar-too-low", "axle.shoulder.diameter", 29.5, 30,
    ),
    (
        {"axle__shoulder": {**COLLAR, "diameter": 115.2}, "axle__stock_diameter": 120},
        "warn", "collar-under-coils", "axle.shoulder.diameter", 115.2, 114,
    ),
    (
        {"axle__stator_seat": seat(74.7, 19.3)},
        "stop", "stator-seat-short", "axle.stator_seat.length", 19.3, 38 * 0.5 / 0.94,
    ),
    (
        {"axle__seats": [seat(22, 11.2), seat(118, 14)]},
        "warn", "bearing-seat-short", "axle.seats[1].length", 11.2, 12,
    ),
    ({"axle__bore_depth": 60.3}, "stop", "bore-too-short", "axle.bore_depth", 60.3, 66.5),
    (
        {"axle__bore_depth": 147.9},
        "stop", "bore-breaks-out", "axle.bore_depth", 147.9, 149 - 6.5 / math.tan(math.radians(59)),
    ),
    ({"axle__bore_diameter": 23}, "stop", "thin-wall", "axle.bore_diameter", 0.9, 2.48),
    (flats(2.2, 9.1, 14.7), "stop", "thin-wall", "axle.bore_diameter", 0.85, 1.47),
    (groove(10.2, 1.3, 15.1), "stop", "thin-wall", "axle.bore_diameter", 1.05, 1.51),
    (
        {"axle__bore_mouth_radius": 5.6},
        "stop", "bore-mouth", "axle.bore_mouth_radius", 5.6, 5.4,
    ),
    (
        {"axle__seats": [seat(0.5, 14), seat(118, 14)]},
        "stop", "edge-break", "axle.edge_break", 0.4, 0.375,
    ),
    ({"axle__stock_diameter": 35.1}, "stop", "stock-too-thin", "axle.stock_diameter", 35.1, 36.5),
    ({"axle__stock_diameter": 36.2}, "warn", "stock-skin", "axle.stock_diameter", 36.2, 36.5),
    (groove(20, 1.3, 24.9), "stop", "groove-not-cut", "axle.grooves[1].diameter", 24.9, 24.8),
    (groove(1.1, 1.3, 23), "warn", "groove-near-end", "axle.grooves[1].from_face", 1.1, 2.7),
    (flats(0, 9.3, 24.9), "stop", "flats-miss", "axle.flats[1].across", 24.9, 24.8),
    (
        {"axle__end_diameter": 26.1},
        "stop", "bearing-cannot-pass", "axle.end_diameter", 26.1, 25,
    ),
    ({"axle__land_diameter": 31}, "stop", "stack-cannot-pass", "axle.land_diameter", 31, 30),
    (
        {"hub__flats": {"count": 2, "distance": 14.1}},
        "stop", "flat-bore-cannot-pass", "hub.flats.distance", 30, 28.2,
    ),
    (
        {"axle__land_diameter": 27.1},
        "warn", "bearing-not-stopped", "axle.land_diameter", 27.1, 25 + 4 * 0.6,
    ),
    (
        {"lamination__bore_diameter": 34.0},
        "warn", "abutment-too-high", "axle.land_diameter", 34, 25 + 0.35 * 22,
    ),
    (
        key(width=5.6, depth=2.8),
        "note", "key-no-standard", "hub.keyway.width", 5.6, 8,
    ),
    (key(depth=2.5), "warn", "key-too-high", "hub.keyway.depth", 2.5, 6 - 3.5 + 0.1),
    (
        key(axle__key_seat={"length": 5.8}),
        "stop", "key-seat-too-short", "axle.key_seat.length", 5.8, 6,
    ),
    (
        key(axle__key_seat={"from_face": 69.1}),
        "stop", "key-seat-off-stack", "axle.key_seat.from_face", 69.1, 70,
    ),
    (
        key(axle__key_seat={"depth": 0.3}),
        "stop", "key-seat-not-cut", "axle.key_seat.depth", 0.3, 15 - math.sqrt(15**2 - 3**2),
    ),
    (
        # 15 - 5.6 - 0.1 - 6.5
        key(axle__key_seat={"depth": 5.6}),
        "stop", "key-seat-thin-wall", "axle.key_seat.depth", 2.8, 3.0,
    ),
    (
        {**key(), **flats(69.1, 8.3, 28.2), "hub__flats": {"count": 2, "distance": 14.1}},
        "stop", "key-on-flat", "axle.flats[1]", 77.4, 75,
    ),
    (slot(from_face=20.2), "stop", "slot-in-feature", "axle.wire_slot.from_face", 20.2, 36),
    (slot(from_face=60.2), "stop", "slot-in-feature", "axle.wire_slot.from_face", 60.2, 94),
    (slot(from_face=43.1), "warn", "slot-too-near", "axle.wire_slot.from_face", 7.1, 8),
    (
        {**slot(from_face=45.1, width=2.2), **groove(42.2, 1.1, 27)},
        "warn", "slot-too-near", "axle.wire_slot.from_face", 1.8, 3,
    ),
    (slot(length=7.9), "stop", "slot-too-short", "axle.wire_slot.length", 7.9, 8),
    (slot(width=13), "stop", "slot-wider-than-bore", "axle.wire_slot.width", 13, 13),
    (slot(angle=75.5), "warn", "slot-in-load", "axle.wire_slot.angle", 75.5, 30),
    (slot(angle=-100), "warn", "slot-in-load", "axle.wire_slot.angle", -100, 30),
    (slot(mouth_radius=0.8), "warn", "slot-edge-sharp", "axle.wire_slot.mouth_radius", 0.8, 1),
    (
        slot(length=19.3),
        "warn", "slot-short-for-bundle", "axle.wire_slot.length", 19.3, 2.5 * BUNDLE,
    ),
    (slot(from_face=37.6), "stop", "slot-on-step", "axle.wire_slot.from_face", 37.6, None),
    (
        {**ROOMY, **slot(from_face=100, mouth_radius=4.9)},
        "stop", "slot-mouth-too-round", "axle.wire_slot.mouth_radius", 4.9, (15**2 - 6.5**2) / 38,
    ),
    (
        {**ROOMY, **slot(from_face=20.5)},
        "warn", "slot-on-end", "axle.wire_slot.from_face", 20.5, None,
    ),
    (slot(width=10.3), "warn", "slot-wide", "axle.wire_slot.width", 10.3, 9.9),
    (
        {"axle__bore_diameter": 15.2},
        "warn", "bore-wide-at-slot", "axle.bore_diameter", 15.2, 15,
    ),
]  # fmt: skip


def test_clean_design_has_no_finding():
    assert job(**CLEAN).axle_findings == ()
    assert [f.code for f in job(**{**ROOMY, **slot(from_face=100)}).axle_findings] == []


@pytest.mark.parametrize(
    ("changes", "level", "code", "field", "value", "limit"),
    CASES,
    ids=[f"{k}-{c[2]}" for k, c in enumerate(CASES)],
)
def test_rule_names_field_value_limit_and_fix(changes, level, code, field, value, limit):
    found = [f for f in job(**{**CLEAN, **changes}).axle_findings if f.code == code]
    assert found, [f.code for f in job(**{**CLEAN, **changes}).axle_findings]
    f = next(f for f in found if f.field == field)
    assert f.level == level
    assert f.value == (pytest.approx(value, abs=1e-4) if isinstance(value, float) else value)
    assert f.limit == (limit if limit is None else pytest.approx(limit, abs=1e-4))
    assert f.fix
    assert f.source
    assert f.confidence in ("standard", "maker", "practice", "yours")


def test_every_finding_of_the_axles_rules_has_a_case():
    rules = (ROOT / "recipes" / "shaft" / f"{n}.py" for n in RULES)
    text = "".join(p.read_text(encoding="utf-8") for p in rules)
    codes = re.findall(r'(?:stop|warn|note)\(\n *"([a-z-]+)"', text)
    codes += re.findall(r'"(stock-[a-z-]+|slot-wide|bore-wide-at-slot)"', text)
    assert len(codes) > 35
    assert set(codes) - {c[2] for c in CASES} == set()


def test_all_findings_come_at_once():
    changes = {
        **CLEAN, **slot(from_face=20.2, mouth_radius=0.1, angle=90),
        "axle__bearing": "7", "axle__stock_diameter": 20, "axle__seats": [seat(140, 14)],
    }  # fmt: skip
    codes = {f.code for f in job(**changes).axle_findings}
    assert codes >= {
        "two-seats", "no-such-bearing", "outside-axle", "slot-edge-sharp", "slot-in-load",
    }  # fmt: skip
    with pytest.raises(Refused) as caught:
        Parts(job(**changes))["axle"]
    assert {f.level for f in caught.value.findings} == {"stop"}
    assert {"two-seats", "no-such-bearing"} <= {f.code for f in caught.value.findings}


def test_what_cannot_be_drawn_is_told_beside_its_reason():
    """A wall of 5.9 mm at face A: the round of 5.5 and the edge break of 0.4 leave no face."""
    codes = [f.code for f in job(**CLEAN, axle__bore_mouth_radius=5.5).axle_findings]
    assert codes == ["bore-mouth", "impossible-shape"]


def test_a_thin_wall_is_told_once_for_each_diameter_and_field():
    found = job(**CLEAN, axle__bore_diameter=24.0).axle_findings
    told = [f.message for f in found if f.code == "thin-wall"]
    assert len(told) == 2  # both ends are 24.8, both seats 25
    assert ["under 24.8 mm" in m for m in told] == [True, False]


def test_two_pairs_of_flats_on_the_key_are_one_finding():
    two = [{"from_face": z, "length": 4, "across": 28.2} for z in (76, 82)]
    keyed = {**CLEAN, **key(), "axle__flats": two, "hub__flats": {"count": 2, "distance": 14.1}}
    assert [f.code for f in job(**keyed).axle_findings].count("key-on-flat") == 1


def test_a_groove_beyond_the_axle_is_told_once_and_judged_no_further():
    found = job(**{**CLEAN, **groove(151.0, 1.3, 23)}).axle_findings
    assert [(f.level, f.code, f.value, f.limit) for f in found] == [
        ("stop", "outside-axle", 152.3, 150)
    ]


def test_overlap_of_features_leaves_the_rules_on_diameters_unasked():
    codes = {f.code for f in job(**{**CLEAN, "axle__stator_seat": seat(70, 26.2)}).axle_findings}
    assert codes == {"features-overlap"}


@pytest.mark.parametrize("angle", [-120, -60, -59.9999999, 0, 30, 60, 120, 180, 240, 300])
def test_slot_may_stand_thirty_degrees_from_the_vertical(angle):
    assert job(**{**CLEAN, **slot(angle=angle)}).axle_findings == ()


@pytest.mark.parametrize(
    ("direction", "angle", "told"),
    [
        (-90, 0, False),
        (37, 37, True),
        (37, 8, True),
        (37, 127, False),
        (0, 0, True),
        (0, -91, False),
    ],
)
def test_slot_is_judged_by_the_line_of_the_force(direction, angle, told):
    force = {"force": 40.0, "overhang": 215, "torque": 9.3, "grip": 18, "direction": direction}
    found = list(job(**CLEAN | slot(angle=angle) | {"axle__load": force}).axle_findings)
    assert ("slot-in-load" in [f.code for f in found]) == told
    if told:
        ways = [int(w) for w in re.findall(r"-?\d+(?= (?:or|deg))", found[0].fix)[:2]]
        for way in ways:  # both ways out that it names are silent
            again = list(job(**CLEAN | slot(angle=way) | {"axle__load": force}).axle_findings)
            assert "slot-in-load" not in [f.code for f in again]
    turning = {"axle__load": force | {"action": "turns"}}
    assert "slot-in-load" not in [
        f.code for f in job(**CLEAN | slot(angle=angle) | turning).axle_findings
    ]


def test_retaining_ring_beside_the_seat_stops_a_bearing():
    low = {**CLEAN, "axle__land_diameter": 26.6, **slot(width=7.7)}
    both = {
        "axle__grooves": [
            {"from_face": 36.2, "width": 1.2, "diameter": 23.9},
            {"from_face": 116.5, "width": 1.2, "diameter": 23.9},
        ]
    }
    assert [f.code for f in job(**low).axle_findings] == ["bearing-not-stopped"] * 2
    assert "bearing-not-stopped" not in [f.code for f in job(**{**low, **both}).axle_findings]


def test_flat_bore_passes_over_matching_flats_and_slim_lands():
    changes = {
        **CLEAN, "hub__flats": {"count": 2, "distance": 14.1}, "axle__land_diameter": 28.2,
        **flats(70, 24, 28.2, 90),
    }  # fmt: skip
    assert "flat-bore-cannot-pass" not in {f.code for f in job(**changes).axle_findings}
    assert "stop" not in {f.level for f in job(**changes).axle_findings}


def test_bundle_is_the_root_of_the_sum_of_squares():
    assert bundle_diameter(job().design.axle.leads) == pytest.approx(BUNDLE, abs=1e-12)
    assert bundle_diameter(()) == 0.0


def test_shipped_and_tried_axles_can_be_made():
    tried = [job(name) for name in STARTERS] + [job(**c) for c in (SHORT, LONG, BUSY)]
    for j in chain(tried, map(random_axle, range(12))):
        assert [f.message for f in j.axle_findings if f.level == "stop"] == []
