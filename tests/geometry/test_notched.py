import math

import pytest

from geometry.errors import GeometryError
from geometry.point import ORIGIN, Point
from geometry.radial import (
    arc_with_notch,
    arm_windows,
    at,
    flat_notch,
    groove_notch,
    notched_circle,
    round_notch,
)
from geometry.segment import Arc


def segment_area(radius: float, half_chord: float) -> float:
    theta = 2 * math.asin(half_chord / radius)
    return radius**2 / 2 * (theta - math.sin(theta))


def test_keyway_area_by_circle_segment() -> None:
    # A key slot adds its rectangle beyond the chord, less the circle segment that is bore already.
    r, width, depth = 12.5, 6.2, 2.9
    loop = notched_circle(r, [at(groove_notch(r, width, depth), 0.7, "key")])
    chord_x = math.sqrt(r**2 - (width / 2) ** 2)
    added = width * (r + depth - chord_x) - segment_area(r, width / 2)
    assert loop.area == pytest.approx(math.pi * r**2 + added, rel=1e-12)


def test_flat_area_by_circle_segment() -> None:
    r, d = 9.0, 7.7
    loop = notched_circle(r, [at(flat_notch(r, d), math.pi, "flat")])
    expected = math.pi * r**2 - segment_area(r, math.sqrt(r**2 - d**2))
    assert loop.area == pytest.approx(expected, rel=1e-12)


def test_round_notch_is_half_round_and_centred_on_the_circle() -> None:
    loop = notched_circle(15.0, [at(round_notch(15.0, 0.5), 2.0, "mark")])
    small = [s for s in loop.segments if isinstance(s, Arc) and s.center != ORIGIN]
    assert len(small) == 1
    assert small[0].center.distance(ORIGIN) == pytest.approx(15.0)
    assert small[0].point_at(0.5).distance(ORIGIN) == pytest.approx(15.5)


def test_overlapping_notches_are_named() -> None:
    key, mark = groove_notch(10.0, 4.0, 2.0), round_notch(10.0, 0.5)
    with pytest.raises(GeometryError, match=r"key.*mark|mark.*key"):
        notched_circle(10.0, [at(key, 0.0, "key"), at(mark, 0.22, "mark")])


def test_relief_in_a_tooth_face_takes_a_bottomed_notch_away() -> None:
    face = Arc(Point.polar(30.0, -0.2), Point.polar(30.0, 0.2), ORIGIN, True)
    run = arc_with_notch(face, at(groove_notch(30.0, 1.8, -0.3), 0.0, "relief"))
    assert run[0].start == face.start
    assert run[-1].end == face.end
    assert min(s.point_at(0.5).distance(ORIGIN) for s in run) == pytest.approx(29.7, abs=1e-6)
    with pytest.raises(GeometryError, match="wider"):
        arc_with_notch(face, at(groove_notch(30.0, 14.0, -0.3), 0.0, "relief"))


def test_two_notches_at_one_angle_meet() -> None:
    """They lie 0 apart, which is no whole turn: found by a random design with a mark on its key."""
    key, mark = groove_notch(3.45, 1.4, 0.42, 0.18), round_notch(3.45, 0.4)
    with pytest.raises(GeometryError, match="key and mark meet"):
        notched_circle(3.45, [at(key, 0.7, "key"), at(mark, 0.7, "mark")])
    alone = notched_circle(3.45, [at(mark, 0.7, "mark")])
    assert alone.area > math.pi * 3.45**2


def test_windows_between_arms() -> None:
    inner, outer, n, width, corner = 20.0, 45.5, 5, 7.3, 3.1
    windows = arm_windows(inner, outer, n, width, corner)
    assert len(windows) == n
    # Ring less the arms, each as wide strip between the circles, less four corner roundings.
    sharp = arm_windows(inner, outer, n, width, 1e-6)
    half = width / 2
    strip = 2 * (_sector_strip(outer, half) - _sector_strip(inner, half))
    ring = math.pi * (outer**2 - inner**2)
    assert sum(w.area for w in sharp) == pytest.approx(ring - n * strip, rel=1e-9)
    assert all(w.area < s.area for w, s in zip(windows, sharp, strict=True))
    radii = {round(s.radius, 6) for w in windows for s in w.segments if isinstance(s, Arc)}
    assert radii == {inner, outer, corner}


def _sector_strip(radius: float, half: float) -> float:
    """Area of 0 < y < half within the circle, x > 0 (integral of sqrt(R^2 - y^2))."""
    return (half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)) / 2


def test_arms_that_meet_and_rounds_that_do_not_fit_say_what_would() -> None:
    with pytest.raises(GeometryError, match="arms meet") as caught:
        arm_windows(10.0, 30.0, 6, 11.0, 1.0)
    assert caught.value.limit == pytest.approx(2 * 10.0 * math.sin(math.pi / 6))
    with pytest.raises(GeometryError, match="corner of a window"):
        arm_windows(20.0, 26.0, 6, 4.0, 9.0)
