"""Rows of circles: exact fits, one circle alone, corners that jut in; by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from geometry.packing.region import REACH, Region
from geometry.packing.rows import rows


def laid(polygon: Polygon) -> int:
    """How many rows lay in a polygon, for circles of diameter 1; all are allowed."""
    region = Region(polygon, 1.0)
    found = rows(region)
    apart = np.hypot(*(found[:, None] - found[None]).transpose(2, 0, 1))
    assert apart[~np.eye(len(found), dtype=bool)].min(initial=1.0) > 1 - 1e-9
    assert region.clearance(found).min(initial=1.0) > REACH - 1e-9
    return len(found)


@pytest.mark.parametrize("turn", [0.0, 7.3, 31.7, 64.9, 118.4])
@pytest.mark.parametrize(
    ("width", "height", "count"),
    [
        (6.0, 1.01, 6),
        (7.0, 3.0, 21),
        (6.5, 1 + math.sqrt(3), 18),
        (5.0, 1 + math.sqrt(3), 14),
        (9.0, 1 + math.sqrt(0.75), 17),
    ],
)
def test_a_box_that_fits_is_filled_and_one_a_hair_smaller_is_not(
    width: float, height: float, count: int, turn: float
) -> None:
    """Room of a billionth is room enough; a millionth too little is not."""
    for more, fits in ((1e-9, True), (-1e-6, False)):
        polygon = box(0.3, 0.2, 0.3 + width + more, 0.2 + height + more)
        assert (laid(shapely.affinity.rotate(polygon, turn)) == count) == fits


@pytest.mark.parametrize("turn", [0.0, 23.9])
def test_one_circle_alone_and_none(turn: float) -> None:
    for size, count in ((1.02, 1), (0.98, 0)):
        assert laid(shapely.affinity.rotate(box(0.0, 0.0, size, size + 0.7), turn)) == count


def test_rows_go_on_behind_what_juts_in() -> None:
    """A rib from above leaves 1.01 below it: two rows of three on each side, one under the rib."""
    room = box(0, 0, 7.06, 2.02) - box(3.33, 1.01, 3.73, 2.02)
    assert laid(room) == 7 + 3 + 3


def test_a_row_lies_on_a_ledge_above_a_pit() -> None:
    """Six on a ledge under a roof that leaves 1.03 at the walls; 0.05 higher the ends do not fit."""
    room = Polygon(
        [(2.1, 0), (3.12, 0), (3.12, 0.7), (6.02, 0.7), (6.02, 1.73), (3.01, 1.83), (0, 1.73),
         (0, 0.7), (2.1, 0.7)]
    )  # fmt: skip
    assert laid(room) == 6
    assert laid(shapely.affinity.rotate(room, 57.1)) == 6
