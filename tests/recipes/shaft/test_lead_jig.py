"""The lead jig: its notches against the winding, its mouth against the axle, its ways by walking them."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from geometry.drafting.legible import legibility
from geometry.finding import Finding
from geometry.point import Point
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.shaft.lead_jig import LeadJig, lead_jig_findings
from recipes.stator.slot import TOOTH_1
from recipes.winding.circuit import joint_list
from tests.support.card import crosses_on
from tests.support.design import STARTERS, job


def judged(j: Motor) -> list[Finding]:
    return lead_jig_findings(Parts(j)["lead_jig"], j.design.lamination.slot_depth)


def plate(j: Motor) -> Polygon:
    region = Parts(j)["lead_jig"][0].cut[0]
    return Polygon(region.outer.chords(0.001), [h.chords(0.001) for h in region.holes])


def dents(j: Motor, jig: LeadJig, depth: float) -> list[float]:
    """Directions in rad of what is cut out of the rim at this depth, by shapely."""
    radius = jig.rim - depth
    circle = [(radius * math.cos(a), radius * math.sin(a))
              for a in (jig.slit + 2 * math.pi * k / 20000 for k in range(20001))]  # fmt: skip
    air = LineString(circle).difference(plate(j))
    found = []
    for piece in getattr(air, "geoms", [air]):
        middle = piece.interpolate(0.5, normalized=True)
        found.append(math.atan2(middle.y, middle.x))
    return sorted(found)


@pytest.mark.parametrize("name", STARTERS)
def test_a_notch_for_every_lead_out_of_a_terminal_beside_its_tooth(name: str) -> None:
    """Which side: the wire that comes up last crosses the tooth's end toward it, as the arrow shows."""
    j = job(name)
    jig, layout = j.lead_jig, j.layout
    joins = joint_list(layout, j.design.winding.parallel_paths)
    wanted = {(x.from_end, x.to_tooth, x.to_end) for x in joins if x.from_tooth is None}
    wanted |= {(x.to_end, x.from_tooth, x.from_end) for x in joins if x.to_tooth is None}
    assert {(t.terminal, t.tooth, t.end) for t in jig.lead_outs} == wanted
    assert len(jig.lead_outs) == 6 * j.design.winding.parallel_paths
    pitch = 2 * math.pi / layout.slots
    for out in jig.lead_outs:
        axis = TOOTH_1 + pitch * out.tooth
        off = math.remainder(out.angle - axis, 2 * math.pi)
        assert 0.25 * pitch < abs(off) < 0.5 * pitch
        arrow = crosses_on(1, layout.teeth[out.tooth].sense, Point.polar(1.0, axis))
        toward = Point.polar(1.0, axis + math.copysign(math.pi / 2, off))
        assert (arrow.dot(toward) > 0) == (out.end == "start")


@pytest.mark.parametrize("name", STARTERS)
def test_the_rim_is_cut_where_tails_come_up_and_over_tooth_1(name: str) -> None:
    j = job(name)
    jig = j.lead_jig
    assert jig.notched
    wrapped = sorted(math.remainder(t.angle, 2 * math.pi) for t in jig.lead_outs)
    assert dents(j, jig, 3.0) == pytest.approx(wrapped, abs=2e-3)
    shallow = dents(j, jig, 0.8)
    assert len(shallow) == len(jig.lead_outs) + 1
    assert min(abs(math.remainder(a - TOOTH_1, 2 * math.pi)) for a in shallow) < 2e-3


@pytest.mark.parametrize("angle", [0.0, 37.0, -120.0])
def test_the_mouth_lies_over_the_wire_slot_and_as_wide(angle: float) -> None:
    j = job(axle__wire_slot__angle=angle)
    jig, turn = j.lead_jig, math.radians(angle)
    at = (jig.hole + jig.ring) / 2
    assert not plate(j).contains(Spot(at * math.cos(turn), at * math.sin(turn)))
    across = LineString(
        [(at * math.cos(turn) - s * math.sin(turn) * 20, at * math.sin(turn) + s * math.cos(turn) * 20)
         for s in (-1, 1)]
    )  # fmt: skip
    air = across.difference(plate(j))
    middle = Spot(at * math.cos(turn), at * math.sin(turn))
    (mouth,) = [g for g in getattr(air, "geoms", [air]) if g.distance(middle) < 0.1]
    assert mouth.length == pytest.approx(j.design.axle.wire_slot.width, abs=0.02)


@pytest.mark.parametrize("name", STARTERS)
def test_the_way_is_what_a_string_measures(name: str) -> None:
    """In to the ring, along it the shorter way, in to the axle; laid out and measured by shapely."""
    j = job(name)
    jig = j.lead_jig
    bore = j.design.lamination.bore_diameter / 2
    for out in jig.lead_outs:
        turn = math.remainder(jig.direction - out.angle, 2 * math.pi)
        bend = [out.angle + turn * k / 400 for k in range(401)]
        path = [
            (jig.rim * math.cos(out.angle), jig.rim * math.sin(out.angle)),
            *((jig.ring * math.cos(a), jig.ring * math.sin(a)) for a in bend),
            (bore * math.cos(jig.direction), bore * math.sin(jig.direction)),
        ]
        assert out.way == pytest.approx(LineString(path).length, rel=1e-3)


@pytest.mark.parametrize("name", STARTERS)
def test_the_page_names_every_lead_out_and_can_be_read(name: str) -> None:
    j = job(name)
    (page,) = Parts(j)["lead_jig"][0].drawings
    assert [f.message for f in legibility(page)] == []
    said = [t.text for t in page.texts]
    for out in j.lead_jig.lead_outs:
        assert (
            sum(words.split()[0] == out.terminal for words in said if words) >= 2
        )  # jig and table
    assert judged(j) == []


def test_the_slit_keeps_off_notches_and_mouth_and_opens_the_hole() -> None:
    for name in STARTERS:
        j = job(name)
        jig, shape = j.lead_jig, plate(j)
        run = LineString(
            [(r * math.cos(jig.slit), r * math.sin(jig.slit)) for r in (jig.hole, jig.rim)]
        )
        assert run.difference(shape).length < 0.01
        others = [jig.direction, *(t.angle for t in jig.lead_outs)]
        assert min(abs(math.remainder(a - jig.slit, 2 * math.pi)) for a in others) > 0.15


def test_left_out_where_no_plate_is_left() -> None:
    thick = job(axle__land_diameter=116.0, axle__stock_diameter=122.0)
    assert Parts(thick)["lead_jig"] == ()
    assert [f.code for f in judged(thick)] == ["lead-jig-left-out"]


def test_a_large_jig_comes_on_tiles() -> None:
    large = job(lamination__outer_diameter=412.0)
    pages = Parts(large)["lead_jig"][0].drawings
    assert "map" in pages[0].title
    assert [f.message for p in pages for f in legibility(p)] == []
    assert [f.code for f in judged(large)] == ["printed-on-tiles"]
