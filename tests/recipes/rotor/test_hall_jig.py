"""The jig for the Hall sensors: pockets at the right angles and depth, off the magnets, on paper."""

from __future__ import annotations

import math

import pytest
from shapely.affinity import rotate
from shapely.geometry import LineString, box
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon as Shape

from geometry.drafting.legible import legibility
from geometry.printing.page import Paper
from recipes.catalogue import Parts
from recipes.motor import Motor
from tests.support.design import STARTERS, job
from tests.support.rotor import hall_results, jig_findings


def plate(j: Motor) -> Shape:
    region = Parts(j)["hall_jig"][0].cut[0]
    return Shape(region.outer.chords(0.0005), [h.chords(0.0005) for h in region.holes])


def pockets(j: Motor) -> list[float]:
    """Angles from tooth 1 in degrees of the dents in the rim wider than a sight notch, by shapely."""
    hall, lam = j.design.hall, j.design.lamination
    radius = lam.outer_diameter / 2 - hall.stand_back - 0.6 * hall.body_thickness
    circle = [(radius * math.cos(a), radius * math.sin(a))
              for a in (2 * math.pi * k / 14400 for k in range(14401))]  # fmt: skip
    air = LineString(circle).difference(plate(j))
    found = []
    for piece in getattr(air, "geoms", [air]):
        if abs(piece.length - hall.body_width - 2 * hall.glue_gap) < 0.1:
            middle = piece.interpolate(0.5, normalized=True)
            found.append((math.degrees(math.atan2(middle.y, middle.x)) - 90) % 360)
    return sorted(found)


@pytest.mark.parametrize("name", STARTERS)
def test_pockets_stand_over_the_slots_of_the_results(name: str) -> None:
    j = job(name)
    said = [float(v) for v in str(hall_results(j)["hall_angles_deg"]).split()]
    assert pockets(j) == pytest.approx(sorted(said), abs=0.03)


@pytest.mark.parametrize("name", STARTERS)
def test_a_sensor_goes_in_and_stays_behind_the_teeth(name: str) -> None:
    """The body as a rectangle: inside its pocket with the glue, nothing of it beyond stand_back."""
    j = job(
        name, hall__body_width="3.7 mm", hall__body_thickness="1.63 mm", hall__stand_back="0.57 mm"
    )
    chosen, hall, steel = j.hall_set, j.design.hall, plate(j)
    assert chosen is not None
    limit = j.design.lamination.outer_diameter / 2 - hall.stand_back
    face = math.sqrt(limit**2 - (hall.body_width / 2) ** 2)
    for degrees in chosen.mechanical_deg:
        body = box(face - hall.body_thickness, -1.85, face, 1.85)
        body = rotate(body, 90 + degrees, origin=(0, 0))
        assert body.intersection(steel).area < 1e-3
        assert body.distance(steel) < 1e-3  # rests on the floor
        assert max(Spot(0, 0).distance(Spot(p)) for p in body.exterior.coords) <= limit + 1e-9
    assert max(math.hypot(*p) for p in steel.exterior.coords) <= limit + 1e-6


@pytest.mark.parametrize("name", STARTERS)
def test_it_slides_on_the_axle_and_shows_tooth_1(name: str) -> None:
    j = job(name)
    part, steel = Parts(j)["hall_jig"][0], plate(j)
    assert steel.is_valid
    assert Spot(0, 0).distance(steel) == pytest.approx(
        (j.design.lamination.bore_diameter + 0.2) / 2, abs=1e-3
    )
    rim = j.design.lamination.outer_diameter / 2 - j.design.hall.stand_back
    assert not steel.covers(Spot(0, rim - 0.8))
    assert steel.covers(Spot(0, rim - 1.8))
    assert part.thickness == 3.0


@pytest.mark.parametrize("name", STARTERS)
def test_page_is_true_to_size_and_legible(name: str) -> None:
    j = job(name)
    part = Parts(j)["hall_jig"][0]
    (page,) = part.drawings
    assert legibility(page) == []
    room = Paper(j.design.print.page).room()
    loops = [s for s in page.strokes if s.style == "cut" and s.closed]
    assert len(loops) == 2
    points = [p for s in loops for e in s.segments for p in (e.start, *e.chords(0.01))]
    assert min(p.x for p in points) >= room[0] - 1e-6
    assert max(p.y for p in points) <= room[3] + 1e-6
    across = max(p.x for p in points) - min(p.x for p in points)
    assert across == pytest.approx(part.box[2] - part.box[0], abs=0.01)
    texts = " ".join(t.text for t in page.texts)
    for slot in str(hall_results(j)["hall_slots"]).split():
        assert f"slot {slot}" in texts


def test_a_plate_larger_than_the_page_comes_on_tiles() -> None:
    large = job(lamination__outer_diameter=412.0)
    pages = Parts(large)["hall_jig"][0].drawings
    assert "map" in pages[0].title
    assert len(pages) == 5
    assert [f for page in pages for f in legibility(page)] == []
    said = [t.text for page in pages for t in page.texts]
    for slot in str(hall_results(large)["hall_slots"]).split():
        assert any(words.endswith(f"slot {slot}") for words in said)
    assert [f.code for f in jig_findings(large)] == ["printed-on-tiles"]


def test_left_out_where_it_cannot_be() -> None:
    assert Parts(job(hall__sensors=False))["hall_jig"] == ()
    assert jig_findings(job(hall__sensors=False)) == []
    wide = job(hall__body_thickness=9.9, hall__body_width=14.9, lamination__outer_diameter=62.3)
    assert Parts(wide)["hall_jig"] == ()
    assert [f.code for f in jig_findings(wide)] == ["jig-left-out"]


def test_sensors_spread_all_round() -> None:
    """12/14: slots 2, 6, 10 stand a third of a turn apart."""
    j = job("kayak-thruster")
    assert pockets(j) == pytest.approx([45, 165, 285], abs=0.03)
    assert [f.code for f in jig_findings(j)] == []
