"""The leads: do they pass bore and slot, and what to change if not.

Outside values: NEC chapter 9 Table 1 (53, 31 and 40 %), its note 4 (60 % up to 24 in) and its note
on jamming (2.8 to 3.2, three conductors), published copies; the conduit's least ratios 1.374, 2.540
and 2.739 that follow from them; common practice: three leads of 4.5 mm and five of 1.3 mm need
about 10 mm; packing of three circles 2.1547 (see test_mixed_packing.py).
"""

import math

import pytest

from geometry.drafting.drawing import Drawing
from geometry.drafting.legible import legibility
from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.motor import Motor
from recipes.shaft.lead_bundle import (
    LeadBundle,
    LeadKind,
    lead_bundle_findings,
    lead_bundle_results,
    lead_count_findings,
)
from recipes.shaft.lead_view import Pen, band, lead_view
from recipes.shaft.strength import AxleStrength, axle_strength
from tests.support.axle import LONG, SHORT
from tests.support.design import STARTERS, job


def bundle(*kinds: tuple[int, float], bore: float = 13.0, pull: float = 66.0) -> LeadBundle:
    named = tuple(LeadKind(f"kind {k}", n, d) for k, (n, d) in enumerate(kinds, 1))
    return LeadBundle(named, bore, pull, 8.0, 22.0)


def leads(*kinds: tuple[str, int, float]) -> dict[str, object]:
    return {"axle__leads": [{"name": n, "count": k, "outside_diameter": d} for n, k, d in kinds]}


def judged(j: Motor) -> list[Finding]:
    d = j.design

    def strength(axle: Axle) -> AxleStrength:
        return axle_strength(axle, d.lamination, d.hub, j.stack.length)

    if j.lead_bundle is None:
        return lead_count_findings(d.axle.leads)
    assert lead_count_findings(d.axle.leads) == []
    return lead_bundle_findings(j.lead_bundle, d.axle, j.mouth_radius, strength)


def codes(**changes: object) -> dict[str, str]:
    return {f.code: f.level for f in judged(job(**changes))}


def found(code: str, **changes: object) -> Finding:
    return next(f for f in judged(job(**changes)) if f.code == code)


@pytest.mark.parametrize(
    ("n", "ratio"), [(1, 1.374), (2, 2.540), (3, 2.739), (4, 3.162), (6, 3.873)]
)
def test_conduit_fill_of_the_nec(n: int, ratio: float) -> None:
    long_pull = bundle((n, 3.7), pull=700.0)
    assert long_pull.limit == long_pull.conduit_limit
    assert math.sqrt(n / long_pull.limit) == pytest.approx(ratio, abs=6e-4)
    assert bundle((n, 3.7), pull=600.0).limit == 0.60


def test_survey_example() -> None:
    ten = bundle((3, 4.5), (5, 1.3), bore=10.0)
    assert ten.packing.hole == pytest.approx(9.7, abs=0.05)
    assert ten.hand_diameter == pytest.approx(10.0, abs=0.05)
    assert ten.fill == pytest.approx((3 * 4.5**2 + 5 * 1.3**2) / 100)
    assert ten.fits_bore
    assert not bundle((3, 4.5), (5, 1.3), bore=9.6).fits_bore
    assert ten.smallest_bore == 10.8  # 60 % of the area, not the packing, decides


def test_the_packing_decides_where_the_fill_would_lie() -> None:
    # Two leads of 5 mm fill 50.5 % of a bore of 9.95 mm and yet need 10 mm.
    assert bundle((2, 5.0), bore=9.95).fill < 0.6
    assert not bundle((2, 5.0), bore=9.95).fits_bore
    assert bundle((2, 5.0)).smallest_bore == 10.0
    assert bundle((1, 14.2)).fits_bore is False


def test_jam_ratio_is_for_three_equal_leads_alone() -> None:
    assert bundle((3, 4.3)).jam_ratio == pytest.approx(13 / 4.3)
    assert bundle((1, 4.3), (2, 4.3)).jam_ratio == pytest.approx(13 / 4.3)
    for other in (bundle((4, 4.3)), bundle((3, 4.3), (1, 1.1)), bundle((2, 4.3), (1, 4.2))):
        assert other.jam_ratio is None
    jam = found("leads-jam", **leads(("phase", 3, 4.3)))
    assert (jam.level, jam.field, jam.limit) == ("warn", "axle.bore_diameter", 3.2)
    assert "above 13.76 mm (safety of the axle 2.3" in jam.fix
    assert "leads-jam" not in codes(**leads(("phase", 3, 4.05)))  # 3.21
    assert "leads-jam" not in codes(**leads(("phase", 3, 4.66)))  # 2.79


def test_leads_leave_the_slot_in_rows() -> None:
    # 8 mm wide: 3.6 + 3.6 (0.8 left), 3.6 + 3 x 1.2, 4 x 1.2: 3.6 + 3.6 + 1.2 long
    wheel = job().lead_bundle
    assert wheel is not None
    assert wheel.row_length == pytest.approx(8.4)
    assert bundle((1, 8.1)).row_length == math.inf
    opening = 8 * 14 + math.pi * 16
    assert wheel.slot_fill == pytest.approx(math.pi / 4 * (3 * 3.6**2 + 7 * 1.2**2) / opening)
    assert not wheel.passes_slot_at_once
    assert bundle((3, 3.0)).passes_slot_at_once


@pytest.mark.parametrize("name", STARTERS)
def test_starters_pass(name: str) -> None:
    told = judged(job(name))
    assert [(f.level, f.code) for f in told] == [("note", "thread-leads-singly")]
    figures = lead_bundle_results(job(name).lead_bundle)
    assert figures["bundle_diameter_mm"] < figures["bundle_diameter_by_hand_mm"]
    assert figures["bundle_fill"] < 0.31
    assert figures["smallest_bore_mm"] < job(name).design.axle.bore_diameter


def test_a_small_bore_is_refused_with_ways_that_work() -> None:
    thick = leads(("phase", 3, 5.9), ("Hall", 5, 2.6))
    stop = found("leads-too-thick-for-bore", **thick)
    assert (stop.level, stop.field, stop.value) == ("stop", "axle.bore_diameter", 13.0)
    own = job(**thick).lead_bundle
    assert own is not None
    assert stop.limit == pytest.approx(own.packing.hole, abs=1e-4)
    assert own.packing.hole > 13
    thin = own.largest_insulation()
    assert thin is not None
    assert own.with_thickest(thin).passes
    assert not own.with_thickest(thin + 0.05).passes
    assert f"phase leads of at most {thin:g} mm" in stop.fix
    wider = job(**thick, axle__bore_diameter=own.smallest_bore)
    assert "leads-too-thick-for-bore" not in {f.code for f in judged(wider)}
    assert f"drill {own.smallest_bore:g} mm (safety of the axle" in stop.fix
    assert f"{wider.axle_strength.least.safety:.2f} at the" in stop.fix


def test_a_bore_that_the_axle_cannot_bear_is_said_so() -> None:
    stop = found("leads-too-thick-for-bore", **leads(("phase", 7, 7.9)))
    assert "the axle does not bear it" in stop.fix
    assert (
        "safety"
        not in found("leads-too-thick-for-bore", axle__load=None, **leads(("phase", 7, 7.9))).fix
    )


def test_a_full_bore_is_a_warning() -> None:
    full = found("bore-too-full", **leads(("phase", 3, 5.2), ("Hall", 5, 2.2)))
    assert (full.level, full.limit) == ("warn", 0.6)
    assert full.value == pytest.approx((3 * 5.2**2 + 5 * 2.2**2) / 169, abs=1e-4)
    assert "nipple" in full.message
    room = {f.code for f in judged(job(**leads(("phase", 3, 5.0), ("Hall", 5, 2.2))))}
    assert "bore-too-full" not in room
    slim = leads(("phase", 3, 3.6), ("Hall", 5, 1.36))
    thruster = {f.code: f.level for f in judged(job("kayak-thruster", **slim))}
    assert thruster["no-room-for-sleeve"] == "note"


def test_the_slot_lets_them_out() -> None:
    wide = found("lead-wider-than-slot", **leads(("phase", 1, 8.2)))
    assert (wide.level, wide.value, wide.limit) == ("stop", 8.0, 8.2)
    row = found("slot-too-small-for-leads", **leads(("phase", 5, 4.7)))
    assert (row.level, row.value, row.limit) == ("stop", 22.0, 23.5)
    # 3 x 5.3 in one row each: 15.9 of 16.4 mm fit, but fill more than 60 % of the opening.
    short = {"from_face": 44, "length": 16.4, "width": 5.4, "mouth_radius": 1.5}
    tight = leads(("phase", 3, 5.3))
    assert codes(**tight, axle__wire_slot=short)["slot-too-full"] == "warn"
    short["length"] = 24
    assert "slot-too-full" not in codes(**tight, axle__wire_slot=short)


def test_what_else_people_are_told() -> None:
    assert codes(axle__leads=None) == {"leads-unknown": "note"}
    assert job(axle__leads=None).lead_bundle is None
    assert lead_bundle_results(job(axle__leads=None).lead_bundle) == {}
    many = leads(*((f"kind {k}", 60, 0.6) for k in range(3)))
    assert codes(**many) == {"too-many-leads": "stop"}
    assert lead_bundle_results(job(**many).lead_bundle) == {}
    assert codes(axle__bore_mouth_radius=0.3)["bore-mouth-sharp"] == "warn"
    assert "bore-mouth-sharp" not in codes(axle__bore_mouth_radius=1.0)


@pytest.mark.parametrize("view", [*STARTERS, "long", "short", "full"])
def test_the_picture_can_be_read(view: str) -> None:
    designs = {
        "long": LONG,
        "short": {**SHORT, **leads(("phase", 3, 0.8))},
        "full": leads(("phase", 3, 5.2), ("Hall", 5, 2.2)),
    }
    made = job(**designs[view]) if view in designs else job(view)
    drawing = picture(made)
    told = [f.message for f in legibility(drawing)]
    # Hatching under the white of a lead is covered; no other line may run through a word.
    assert [m for m in told if not m.endswith(("'1'", "'2'", "'3'"))] == []
    words = " ".join(t.text for t in drawing.texts)
    for word in (
        "sleeve",
        "strain relief",
        "drip loop",
        "slot mouth R",
        "bore mouth R",
        "connectors",
    ):
        assert word in words
    own = made.lead_bundle
    assert own is not None
    assert f"⌀{own.packing.hole:.2f}" in words


def picture(j: Motor) -> Drawing:
    assert j.lead_bundle is not None
    return lead_view(j.axle_shape, j.lead_bundle, j.design.name)


def test_the_picture_shows_every_lead_to_scale() -> None:
    drawing = picture(job())
    scale = 42.0 / 15
    rings = [
        2 * s.segments[0].start.distance(s.segments[0].center) / scale
        for s in drawing.strokes
        if s.closed and s.style == "visible" and len(s.segments) == 2
    ]
    assert sum(abs(d - 3.6) < 0.01 for d in rings) == 3
    assert sum(abs(d - 1.2) < 0.01 for d in rings) == 7


def test_a_band_keeps_its_width_round_bends() -> None:
    from geometry.point import Point

    run = Pen(Point(3.0, 4.0), 0.3).ahead(11.0).turn(1.1, 7.0).turn(-0.6, 9.0).ahead(2.0).run
    strokes = band(run, 1.7, "visible")
    assert len(strokes) == 8
    for k in range(3):
        for side in (0, 1):
            one, two = strokes[2 * k + side], strokes[2 * k + 2 + side]
            assert one.segments[0].end.distance(two.segments[0].start) < 1e-9
    for edge, k in zip(run, range(4), strict=True):
        for side in (0, 1):
            middle = strokes[2 * k + side].segments[0].point_at(0.5)
            assert middle.distance(edge.point_at(0.5)) == pytest.approx(1.7)


@pytest.mark.parametrize(
    ("name", "squares", "bore", "slot"),
    # sum of d squared by hand: 3 x 3.6^2 + 7 x 1.2^2; 3 x 2.6^2 + 5 x 0.9^2; 3 x 2.286^2 + 5 x 1.016^2
    [
        ("potters-wheel", 48.96, 13.0, (8.0, 22.0)),
        ("kayak-thruster", 24.33, 9.0, (5.0, 15.0)),
        ("wool-spinner", 20.8387, 9.525, (5.08, 15.24)),
    ],
)
def test_starters_by_hand(
    name: str, squares: float, bore: float, slot: tuple[float, float]
) -> None:
    """Fill: sum d2 / D2 (NEC chapter 9); bundle by hand 1.2 root of the sum (common practice); the
    slot's opening is a rectangle and two half discs."""
    bundle = job(name).lead_bundle
    assert bundle is not None
    assert bundle.squares == pytest.approx(squares, rel=1e-5)
    assert bundle.fill == pytest.approx(squares / bore**2, rel=1e-5)
    assert bundle.hand_diameter == pytest.approx(1.2 * math.sqrt(squares), rel=1e-5)
    width, length = slot
    opening = width * (length - width) + math.pi / 4 * width**2
    assert bundle.slot_fill == pytest.approx(math.pi / 4 * squares / opening, rel=1e-5)
    assert bundle.limit == 0.60  # a nipple: 66, 49 and 51 mm are below 24 in
    assert bundle.jam_ratio is None  # more than three leads
