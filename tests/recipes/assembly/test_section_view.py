"""The picture of the assembled motor: hatching, numbers, list of parts."""

from __future__ import annotations

import itertools
import math

import pytest
from shapely.geometry import Point as Spot

from geometry.drafting.drawing import Drawing, Fill, Stroke, Text
from recipes.assembly.body import Body, block
from recipes.assembly.half_section import half_section
from recipes.assembly.section_view import MARGIN, WIDTH, numbered, section_view
from tests.support.design import STARTERS, job


def directions(drawing: Drawing) -> set[int]:
    """Return the directions of all slanted narrow lines that stand alone, whole degrees."""
    runs = [i.segments[0] for i in drawing.items if isinstance(i, Stroke) and i.style == "narrow"]
    ways = (s.end.minus(s.start).angle() % math.pi for s in runs)
    return {round(math.degrees(way)) % 180 for way in ways}


def test_what_turns_is_hatched_the_other_way() -> None:
    """ISO 128-3: adjoining cut parts are told apart by the direction of hatching."""
    standing = Body("axle", (block(0, 40, 2, 10),), part="axle")
    turning = Body("cover", (block(0, 40, 10, 30),), part="cover", turns=True)
    assert 45 in directions(section_view([standing], "x"))
    assert 135 not in directions(section_view([standing], "x"))
    assert 135 in directions(section_view([turning], "x"))
    assert 45 not in directions(section_view([turning], "x"))
    tones = {i.tone for i in section_view([turning], "x").items if isinstance(i, Fill)}
    assert "sky" in tones


@pytest.mark.parametrize("name", STARTERS)
def test_every_body_has_an_item_and_every_number_a_place_of_its_own(name: str) -> None:
    bodies = half_section(job(name))
    items = numbered(bodies)
    assert sum(len(i.bodies) for i in items) == len(bodies)
    assert [i.number for i in items] == list(range(1, len(items) + 1))
    assert len({i.title for i in items}) == len(items)
    drawing = section_view(bodies, name)
    words = [i for i in drawing.items if isinstance(i, Text)]
    assert len({(round(w.x), round(w.y)) for w in words}) == len(items)
    for row in (
        {w.y for w in words if w.level == "base"},
        {w.y for w in words if w.level == "top"},
    ):
        xs = sorted(w.x for w in words if w.y in row)
        assert all(b - a > 5.0 for a, b in itertools.pairwise(xs))
        assert all(MARGIN / 2 <= x <= WIDTH - MARGIN / 2 for x in xs)


@pytest.mark.parametrize("name", STARTERS)
def test_the_dot_of_a_number_lies_in_its_part(name: str) -> None:
    bodies = half_section(job(name))
    drawing = section_view(bodies, name)
    scale = (drawing.height_mm - 28.0) / 2 / max(b.box[3] for b in bodies)
    low, high = min(b.box[0] for b in bodies), max(b.box[2] for b in bodies)
    kept = list(drawing.items)
    for k, item in enumerate(kept):
        if isinstance(item, Text):
            dot = kept[k - 1]
            assert isinstance(dot, Fill)
            x0, y0, x1, y1 = dot.loops[0].box
            z = ((x0 + x1) / 2 - WIDTH / 2) / scale + (low + high) / 2
            r = abs((y0 + y1) / 2 - drawing.height_mm / 2) / scale
            (mine,) = (i for i in numbered(bodies) if str(i.number) == item.text)
            assert any(p.distance(Spot(z, r)) < 0.01 for b in mine.bodies for p in b.polygons)


def test_a_bearing_has_one_ring_of_each_and_unknown_bodies_are_listed_by_name() -> None:
    items = {i.title: i for i in numbered(half_section(job("potters-wheel")))}
    assert items["bearings"].motion == "one ring turning"
    assert items["bearings"].orders("deep groove ball bearing")
    assert not items["slot liners"].orders("liner_trial")
    (odd,) = numbered([Body("something new", (block(0, 1, 1, 2),))])
    assert odd.title == "something new"
