import math

import pytest

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.radial import joined
from geometry.segment import Arc, Line, mirrored_run


def test_joined_shares_points_and_lets_no_gap_pass() -> None:
    a, b, c = Point(0.0, 0.0), Point(3.0, 0.0), Point(3.0, 2.0)
    noise = Point(3.0, 3e-10)
    run = joined([[Line(a, b)], [Line(noise, c)]])
    assert len(run) == 2
    assert run[0].end is run[1].start
    assert (run[0].start, run[1].end) == (a, c)
    with pytest.raises(GeometryError, match=r"0\.25 mm apart") as caught:
        joined([[Line(a, b)], [Line(Point(3.0, 0.25), c)]])
    assert caught.value.value == pytest.approx(0.25)
    assert caught.value.where == b


def test_joined_looks_at_the_closing_point_only_if_asked() -> None:
    a, b, c = Point(0.0, 0.0), Point(3.0, 0.0), Point(3.0, 2.0)
    sides = [Line(a, b), Line(b, c), Line(c, a)]
    assert joined([sides[:2]]) == sides[:2]
    assert joined([sides], closed=True) == sides
    with pytest.raises(GeometryError) as caught:
        joined([sides[:2]], closed=True)
    assert caught.value.value == pytest.approx(math.hypot(3.0, 2.0))
    assert caught.value.where == c


def test_mirrored_run_follows_the_run() -> None:
    run = [Line(Point(1.0, 0.2), Point(4.0, 0.9)),
           Arc(Point(4.0, 0.9), Point(4.9, 1.8), Point(4.0, 1.8), True)]  # fmt: skip
    axis = run[-1].end.angle()
    image = mirrored_run(run, axis)
    assert image[0].start == pytest.approx(run[-1].end)
    assert image[-1].end == pytest.approx(run[0].start.mirrored(axis))
    assert sum(s.length for s in image) == pytest.approx(sum(s.length for s in run))
    assert isinstance(image[0], Arc)
    # Travelled backwards a mirrored arc turns the same way round.
    assert image[0].ccw
