"""A view with stretches left out: true at both sides, closed up between, broken edges in the gaps."""

from __future__ import annotations

import pytest

from geometry.drafting.drawing import Stroke, Text, line, polyline
from geometry.drafting.view import GAP, ShortView, View, break_lines, opened
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line

#: 1:2; of 700 mm, 90 to 290 and 400.5 to 633.5 are left out.
VIEW = ShortView(Point(31.0, 77.0), (1, 2), left_out=((90.0, 290.0), (400.5, 633.5)))


def test_places_by_hand() -> None:
    """Each stretch of 200 and 233 mm takes 3 mm of the sheet instead of 100 and 116.5."""
    expected = {
        0.0: 31.0, 90.0: 76.0, 190.0: 77.5, 290.0: 79.0, 400.5: 134.25, 633.5: 137.25, 700.0: 170.5,
    }  # fmt: skip
    for x, place in expected.items():
        assert VIEW.at(x, -8.0) == pytest.approx((place, 73.0))
    ends = [x for gap in VIEW.gaps for x in gap]
    assert ends == pytest.approx([76.0, 79.0, 134.25, 137.25])
    assert VIEW.shown(700.0) == pytest.approx(139.5)
    plain, nothing = View(Point(31.0, 77.0), (1, 2)), ShortView(Point(31.0, 77.0), (1, 2))
    for x in (-3.0, 55.5, 612.0):
        assert nothing.at(x, 4.0) == pytest.approx(plain.at(x, 4.0))


def test_shapes_beside_a_gap_keep_their_size() -> None:
    ring = Outline.circle(Point(350.0, 3.0), 20.0)
    (stroke,) = VIEW.edges(ring, "visible")
    for arc in stroke.segments:
        assert isinstance(arc, Arc)
        assert arc.radius == pytest.approx(10.0)


def test_edges_are_cut_and_centre_lines_run_on() -> None:
    gaps = ((40.0, 43.0), (60.0, 63.0))
    edge, axis = (
        line(Point(10.0, 5.0), Point(90.0, 5.0), "visible"),
        line(Point(0, 0), Point(99, 0), "centre"),
    )
    word = Text(41.0, 9.0, 2.5, "stays")
    run = polyline([Point(70.0, 8.0), Point(50.0, 8.0), Point(50.0, 1.0)], "hidden")
    found = opened([edge, axis, word, run], gaps)
    assert axis in found
    assert word in found
    pieces = [
        s for i in found if isinstance(i, Stroke) and i.style == "visible" for s in i.segments
    ]
    ends = [x for s in pieces for x in (s.start.x, s.end.x)]
    assert ends == pytest.approx([10.0, 40.0, 43.0, 60.0, 63.0, 90.0])
    hidden = [i for i in found if isinstance(i, Stroke) and i.style == "hidden"]
    assert [len(i.segments) for i in hidden] == [1, 2]
    assert hidden[0].segments == (Line(Point(70.0, 8.0), Point(63.0, 8.0)),)
    assert hidden[1].segments[0].start.x == pytest.approx(60.0)


def test_what_lies_in_a_gap_vanishes() -> None:
    inside = line(Point(40.5, 5.0), Point(42.0, 5.0), "visible")
    upright = line(Point(39.0, 5.0), Point(39.0, 9.0), "visible")
    assert opened([inside, upright], ((40.0, 43.0),)) == (upright,)


def test_break_lines_stand_out_beyond_the_edges() -> None:
    lines = break_lines((40.0, 40.0 + GAP), 20.0, 31.0)
    assert [s.segments[0].start.x for s in lines] == [40.0, 43.0]
    for s in lines:
        assert s.segments[0].start.y < 20.0 < 31.0 < s.segments[-1].end.y
        assert s.style == "narrow"
