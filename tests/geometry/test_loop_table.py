"""Rows of numbers say the same of a loop as its edges do."""

from __future__ import annotations

import math

import pytest
import shapely

from geometry.loop_table import loop_tables, polygons
from geometry.outline import Outline
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.radial import at, groove_notch, notched_circle, round_notch
from geometry.segment import Arc, Line
from tests.support.design import STARTERS, job

KEYED = notched_circle(9.3, [at(groove_notch(9.3, 3.1, 1.7), 0.4, "key")])
HALF = Outline(
    (Line(Point(-2.3, 0.0), Point(2.3, 0.0)), Arc(Point(2.3, 0.0), Point(-2.3, 0.0), Point(0, 0), True))
)  # fmt: skip
LOOPS = {
    "key": KEYED,
    "marks, clockwise": notched_circle(
        7.1, [at(round_notch(7.1, 0.8), a, "mark") for a in (0.2, 0.9)]
    ).reversed(),
    "half disc": HALF,
    "circle": Outline.circle(Point(3.1, -2.2), 4.7),
    "triangle": Outline.polygon([(0, 0), (4.1, 0.3), (1.2, 3.7)]),
    **{name: job(name).parts["lamination"][0].cut[0].outer for name in STARTERS},
}


@pytest.mark.parametrize("name", LOOPS)
def test_sweeps_middles_and_polygon_agree_with_the_edges(name: str) -> None:
    loop = LOOPS[name]
    _, table = loop_tables([KEYED.segments, loop.segments])
    sweeps = [s.sweep if isinstance(s, Arc) else 0.0 for s in loop.segments]
    assert table.sweep.tolist() == pytest.approx(sweeps, abs=1e-12)
    middles = [complex(*s.point_at(0.5)) for s in loop.segments]
    assert abs(table.middle - middles).max() < 1e-11
    for sagitta in (0.05, 0.003):
        _, mine = polygons([loop_tables([KEYED.segments])[0], table], sagitta)
        usual = to_polygon(loop, sagitta)
        assert len(mine.exterior.coords) == len(usual.exterior.coords)
        assert shapely.hausdorff_distance(mine.exterior, usual.exterior) < 1e-11
        assert mine.area == pytest.approx(loop.area, rel=0.2 * math.sqrt(sagitta))
