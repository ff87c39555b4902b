"""Axes of charts: round marks, straight and logarithmic scales, and what stands at them."""

from __future__ import annotations

import math

import pytest

from geometry.drafting.drawing import Stroke, Text
from geometry.drafting.view import Axis, Chart


def test_ticks_are_round_and_inside() -> None:
    assert Axis(0.68, 1.17, 0, 1).ticks() == pytest.approx((0.7, 0.8, 0.9, 1.0, 1.1))
    assert Axis(0.63, 1.19, 0, 1).ticks() == pytest.approx((0.7, 0.8, 0.9, 1.0, 1.1))
    assert Axis(-37, 61, 0, 1).ticks() == pytest.approx((-20, 0, 20, 40, 60))


def test_a_straight_axis_goes_beyond_its_ends_a_logarithmic_one_stops_there() -> None:
    straight = Axis(-2.0, 3.0, 10.0, 60.0)
    assert [straight.at(v) for v in (-2.0, 0.0, 3.0, 4.0)] == pytest.approx([10, 30, 60, 70])
    ratios = Axis(0.5, 50.0, 10.0, 70.0, logarithmic=True)
    assert [ratios.at(v) for v in (0.1, 0.5, 5.0, 50.0, math.inf)] == [10, 10, 40, 70, 70]


def test_marks_stand_at_their_values() -> None:
    chart = Chart(Axis(0.0, 10.0, 20.0, 120.0), Axis(0.5, 50.0, 30.0, 90.0, logarithmic=True))
    items = list(chart.levels((0.5, 5.0), 2.5, 5.0))
    lines, words = items[::2], items[1::2]
    assert all(isinstance(i, Stroke) for i in lines)
    assert [i.style for i in lines] == ["narrow", "frame"]
    assert [(i.text, i.y) for i in words] == [("0.5", 30.0), ("5", 60.0)]
    chart = Chart(chart.across, Axis(-1.0, 1.0, 30.0, 90.0))
    texts = [i for i in chart.frame("{:g}".format, "{:.1f}".format, 2.5) if isinstance(i, Text)]
    at = {i.text: (i.x, i.y) for i in texts}
    assert at["10"][0] == pytest.approx(120.0)
    assert at["0.0"][1] == pytest.approx(60.0)
