"""A run repeated all round the origin."""

import math

import pytest

from geometry.errors import GeometryError
from geometry.point import ORIGIN, Point
from geometry.radial import repeated
from geometry.segment import Arc, Line, Segment


def tooth(count: int, reach: float) -> list[Segment]:
    """A run that takes one of `count` equal steps about the origin."""
    a, b = Point.polar(20.3, -0.11), Point.polar(reach, -0.07)
    c, d = Point.polar(reach, 0.05), Point.polar(20.3, 0.13)
    end = a.rotated(2 * math.pi / count)
    return [Line(a, b), Arc(b, c, ORIGIN, True), Line(c, d), Arc(d, end, ORIGIN, True)]


def test_repeated_turns_every_run_one_step_more_and_shares_the_joints() -> None:
    plain, deep, start = tooth(7, 31.7), tooth(7, 30.9), 1.234
    found = repeated([deep if k in (0, 3) else plain for k in range(7)], start)
    assert all(a.end == b.start for a, b in zip(found, [*found[1:], found[0]], strict=True))
    reach = [math.hypot(*found[4 * k].end) for k in range(7)]
    assert reach == pytest.approx([30.9 if k in (0, 3) else 31.7 for k in range(7)])
    first = [math.atan2(e.start.y, e.start.x) % (2 * math.pi) for e in found[::4]]
    wanted = [(start - 0.11 + 2 * math.pi / 7 * k) % (2 * math.pi) for k in range(7)]
    assert first == pytest.approx(wanted)


def test_repeated_lets_no_gap_pass() -> None:
    with pytest.raises(GeometryError, match="mm apart") as caught:
        repeated([tooth(7, 31.7)] * 6)
    # six steps of a sixth meet runs that take a seventh each
    assert caught.value.value == pytest.approx(2 * 20.3 * math.sin(math.pi / 6 - math.pi / 7))
