import math

import pytest

from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point


def test_figures_of_a_part_sum_over_its_regions() -> None:
    plate = Region(
        Outline.rectangle(9.0, 4.0, Point(1.0, 2.0)), (Outline.circle(Point(2.0, 2.5), 0.7),)
    )
    disc = Region(Outline.circle(Point(-6.0, 3.0), 1.3))
    part = Part("probe", (plate, disc), "steel", 0.35, 2)
    assert part.area == pytest.approx(36.0 - math.pi * 0.49 + math.pi * 1.69)
    assert part.cut_length == pytest.approx(26.0 + 2 * math.pi * 0.7 + 2 * math.pi * 1.3)
    assert part.pierces == 3
    assert part.loops == (*plate.holes, plate.outer, disc.outer)
    assert part.box == pytest.approx((-7.3, 0.0, 5.5, 4.3))
    assert (part.fold, part.mark, part.reference, part.notes, part.drawings) == ((), (), (), (), ())
    assert part.settings == {}
    assert part.solid is None
