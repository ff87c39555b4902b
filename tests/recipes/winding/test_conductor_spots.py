import math

import shapely

from geometry.packing.region import Region
from recipes.winding.conductor_rows import Spots, is_clear


def spots(room: shapely.Polygon) -> Spots:
    return Spots(Region(room, 1.0), (0.0, 1.0))


def test_a_wire_rests_on_two_others_above_their_middle_and_not_below() -> None:
    here = spots(shapely.box(-9.0, -9.0, 9.0, 9.0))
    low = here.against_wires(0.3, 0.2, [(1.7, 0.2, 1), (0.3, 3.9, 1)])
    # the pull is along -y: of the two places the one on the side of `off` is held from below
    assert len(low) == 1
    assert math.isclose(low[0][0], 1.0)
    assert math.isclose(low[0][1], 0.2 + math.sqrt(1.0 - 0.7**2))


def test_near_walls_are_those_that_a_touching_wire_may_touch() -> None:
    here = spots(shapely.box(-9.0, -4.0, 9.0, 4.0))
    assert len(here.walls_near(0.0, 0.0)) == 0
    (floor,) = here.walls_near(1.3, -2.6)
    assert (floor[4], floor[5]) == (0.0, 1.0)
    assert is_clear(1.3, -3.5, [floor])
    assert not is_clear(1.3, -3.5001, [floor])
    assert len(here.walls_near(-7.6, -2.6)) == 2
