"""What an error about a shape says: the place, the number asked for and the one that would do."""

import math
from collections.abc import Callable

import pytest

from geometry.errors import GeometryError
from geometry.fillet import fillet, largest_radius, offset_outline, round_corners
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.polygon import to_polygon
from geometry.radial import (
    arc_with_notch,
    arm_windows,
    at,
    flat_notch,
    groove_notch,
    notched_circle,
    round_notch,
)
from geometry.segment import Arc, Line


def error(make: Callable[[], object]) -> GeometryError:
    with pytest.raises(GeometryError) as caught:
        make()
    return caught.value


def test_the_text_holds_reason_place_and_hint() -> None:
    said = GeometryError("too thin", where=(1.25, -3.5), value=0.2, limit=0.3, hint="widen it")
    assert str(said) == "too thin at (1.250, -3.500) mm; widen it"
    assert (said.reason, said.where, said.value, said.limit, said.hint) == (
        "too thin", (1.25, -3.5), 0.2, 0.3, "widen it",
    )  # fmt: skip
    bare = GeometryError("too thin")
    assert (str(bare), bare.where, bare.value, bare.limit, bare.hint) == (
        "too thin", None, None, None, "",
    )  # fmt: skip


def test_offset_names_the_edge_that_would_vanish() -> None:
    corners = [(0.0, 0.0), (9.0, 0.0), (9.0, 1.3), (0.0, 1.3)]
    said = error(lambda: offset_outline(Outline.polygon(corners), -0.7))
    assert (said.value, said.limit) == (0.7, None)
    assert said.where in {(9.0, 0.65), (0.0, 0.65)}
    assert said.hint
    half = Outline((Arc(Point(2.0, 0.0), Point(-2.0, 0.0), ORIGIN, True),
                    Line(Point(-2.0, 0.0), Point(2.0, 0.0))))  # fmt: skip
    said = error(lambda: offset_outline(half, -2.5))
    assert (said.value, said.limit) == pytest.approx((2.5, 2.0))
    assert said.where == pytest.approx((0.0, 2.0))
    assert said.hint


def test_offset_whose_parallels_do_not_meet_names_the_corner() -> None:
    # A thin lens: arcs of radius 5 whose parallels 1.2 mm inside no longer cross.
    rise = 1.0
    x = math.sqrt(25.0 - (5.0 - rise) ** 2)
    low, high = Point(0.0, rise - 5.0), Point(0.0, 5.0 - rise)
    lens = Outline((Arc(Point(-x, 0.0), Point(x, 0.0), high, True),
                    Arc(Point(x, 0.0), Point(-x, 0.0), low, True)))  # fmt: skip
    said = error(lambda: offset_outline(lens, -1.2))
    assert "do not meet" in said.reason
    assert said.where in lens.points
    assert said.value == 1.2
    thin = offset_outline(lens, -0.9)
    assert thin.box[3] == pytest.approx(0.1)


def test_fillet_says_where_how_much_and_how_much_would_do() -> None:
    """A right angle with legs 3 and 5 takes a round of 3 (cut-back r / tan 45 degrees)."""
    a = Line(Point(-3.0, 0.0), ORIGIN)
    b = Line(ORIGIN, Point(0.0, 5.0))
    assert largest_radius(a, b) == pytest.approx(3.0, rel=2e-6)
    assert largest_radius(a, b) < 3.0
    for radius in (3.4, 0.0, -1.0):
        said = error(lambda r=radius: fillet(a, b, r))
        assert (said.where, said.value) == (ORIGIN, radius)
        assert said.limit == pytest.approx(3.0, rel=2e-6)
        assert "use at most 3 mm" in said.hint
    named = error(lambda: round_corners([a, b], {0: 3.4}, {0: "tip"}))
    assert named.reason.startswith("tip: a round of 3.4 mm")
    assert (named.where, named.value, named.hint) == (ORIGIN, 3.4, "use at most 3 mm")
    assert named.limit == pytest.approx(3.0, rel=2e-6)
    c = Line(b.end, Point(-3.0, 5.0))
    assert error(lambda: round_corners([a, b, c], {1: 9.0})).reason.startswith("corner 1: ")
    apart = error(lambda: fillet(a, c, 0.5))
    assert apart.where == ORIGIN
    smooth = error(lambda: fillet(a, Line(ORIGIN, Point(4.0, 0.0)), 0.5))
    assert smooth.where == ORIGIN
    assert "no corner" in smooth.reason


def test_rounds_between_a_line_and_an_arc_touch_both() -> None:
    """Inside a circle of R a round of r on a chord through the centre: (R - r)^2 = x^2 + r^2."""
    arc = Arc(Point.polar(6.0, 0.0), Point.polar(6.0, 2.0), ORIGIN, True)
    line = Line(Point(-1.0, 0.0), Point(6.0, 0.0))
    r = 1.1
    before, piece, after = fillet(line, arc, r)
    x = math.sqrt((6.0 - r) ** 2 - r * r)
    assert piece.center == pytest.approx((x, r))
    assert piece.ccw
    assert before.end == pytest.approx((x, 0.0))
    assert before.end is piece.start
    assert after.start is piece.end
    assert after.start == pytest.approx(Point(x, r).times(6.0 / (6.0 - r)))
    assert (before.start, after.end) == (line.start, arc.end)


def test_notches_say_what_would_fit() -> None:
    said = error(lambda: groove_notch(4.0, 8.6, 1.0))
    assert (said.value, said.limit) == (8.6, 8.0)
    for distance in (0.0, 9.0, 9.5):
        said = error(lambda d=distance: flat_notch(9.0, d))
        assert (said.value, said.limit) == (distance, 9.0)
    said = error(lambda: arm_windows(12.0, 12.0, 5, 3.0, 0.5))
    assert (said.value, said.limit) == (0.0, 0.0)
    said = error(lambda: arm_windows(10.0, 30.0, 6, 10.5, 1.0))
    assert (said.value, said.limit) == (10.5, pytest.approx(10.0))
    said = error(lambda: groove_notch(12.0, 4.0, 2.0, 2.6))
    assert said.reason.startswith("corner of the notch: ")
    # The side reaches from the circle down to the bottom (Pythagoras).
    assert said.limit == pytest.approx(14.0 - math.sqrt(140.0), rel=1e-5)


def test_notches_that_meet_say_how_far_apart_they_are() -> None:
    r, a, b = 10.0, round_notch(10.0, 0.5), round_notch(10.0, 0.9)
    assert a.half_angle == pytest.approx(2 * math.asin(0.025))
    room = r * (0.2 - 2 * math.asin(0.025) - 2 * math.asin(0.045))
    assert 0.5 < room < 0.7
    notches = [at(b, 1.3, "second"), at(a, 1.1, "first")]
    loop = notched_circle(r, notches, 0.5)
    assert len(loop.segments) == 4
    assert min(s.length for s in loop.segments) == pytest.approx(room)
    said = error(lambda: notched_circle(r, notches, 0.7))
    assert said.reason.startswith("first and second meet")
    assert (said.value, said.limit) == pytest.approx((room, 0.7))
    assert said.where == pytest.approx(Point.polar(r, 1.3 - 2 * math.asin(0.045)))
    assert said.hint
    # Across the x axis the last is followed by the first.
    said = error(lambda: notched_circle(r, [at(a, 0.1, "low"), at(b, 6.25, "high")]))
    assert said.reason.startswith("high and low meet")


def test_a_notch_beyond_either_end_of_its_arc_is_refused() -> None:
    """Beyond one end only was let through: the room there wrapped round to nearly a whole turn."""
    face = Arc(Point.polar(30.0, 0.4), Point.polar(30.0, 0.9), ORIGIN, True)
    notch = groove_notch(30.0, 1.8, 0.7)
    for angle in (0.41, 0.89):
        said = error(lambda g=angle: arc_with_notch(face, at(notch, g, "relief")))
        assert said.reason == "relief is wider than its arc"
        assert said.where == pytest.approx(Point.polar(30.0, angle - math.asin(0.03)))
    run = arc_with_notch(face, at(notch, 0.5, "relief"))
    assert run[0].length == pytest.approx(30.0 * (0.1 - math.asin(0.03)))
    assert run[-1].length == pytest.approx(30.0 * (0.4 - math.asin(0.03)))
    most = Arc(face.end, face.start, ORIGIN, True)  # far more than half a turn
    run = arc_with_notch(most, at(notch, 1.3, "relief"))
    assert run[0].length == pytest.approx(30.0 * (0.4 - math.asin(0.03)))
    with pytest.raises(GeometryError):
        arc_with_notch(most, at(notch, 0.6, "relief"))


def test_outlines_and_edges_name_the_place() -> None:
    a, b, c = Point(1.0, 2.0), Point(4.0, 2.0), Point(4.0, 6.0)
    said = error(lambda: Outline((Line(a, b), Line(b, c), Line(c, Point(1.0, 2.75)))))
    assert "gap of 0.75 mm" in said.reason
    assert said.where == a
    assert error(lambda: Outline.circle(a, 0.0)).value == 0.0
    assert error(lambda: Outline.circle(a, -1.5)).where == a
    assert error(lambda: Line(a, a)).where == a
    assert error(lambda: Line(a, Point(math.inf, 0.0))).where == a
    assert error(lambda: Arc(a, a, b, True)).where == a
    assert error(lambda: Arc(a, b, a, True)).where == a
    said = error(lambda: Arc(b, c, a, True))
    assert (said.where, said.value, said.limit) == (b, 3.0, 5.0)
    assert error(lambda: to_polygon(Outline.circle(a, 1.0), 0.0)).value == 0.0
    bow = Outline.polygon([(0.0, 0.0), (3.0, 3.0), (3.0, 0.0), (0.0, 3.0)])
    assert "[1.5 1.5]" in error(lambda: to_polygon(bow)).reason
