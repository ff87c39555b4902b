"""Circles in a polygon against best known packings and against arrangements known by hand.

Best known packings of equal circles in a circle and in a square come from the two tables
tests/reference/packing_circles_in_*.csv; every row there names its source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from geometry.packing import pack_circles
from tests.support.packing import BEST, EVERYTHING, HEXAGONAL_DENSITY, assert_packed, container

ALWAYS = (*range(1, 21), 27, 37, 48, 52, 61)


def rows(kind: str) -> list[object]:
    skip = pytest.mark.skipif(not EVERYTHING, reason="set EVERY_PACKING=1 for every size")
    return [
        pytest.param(kind, n, marks=[] if n in ALWAYS else [skip], id=f"{kind}-{n}")
        for n in BEST[kind]
        if n <= 61
    ]


# -- the tables themselves


@pytest.mark.parametrize("kind", ["circle", "square"])
def test_reference_sizes_grow_and_stay_below_the_hexagonal_density(kind: str) -> None:
    table = BEST[kind]
    assert list(table) == list(range(1, 71))
    sizes = np.array([table[n][0] for n in table])
    assert (np.diff(sizes) >= 0.0).all()
    n = np.arange(1, 71)
    # A border of 0.155 radius belongs to the circles, see the test of shapes.
    border = sizes + (2.0 / math.sqrt(3.0) - 1.0) * (1.0 if kind == "circle" else 2.0)
    area = border**2 * (math.pi if kind == "circle" else 1.0)
    assert (n * math.pi <= HEXAGONAL_DENSITY * area).all()


def test_reference_sizes_agree_with_their_closed_forms() -> None:
    """Closed forms: Wikipedia, Circle packing in a circle / in a square."""
    circle, square = BEST["circle"], BEST["square"]
    forms = {
        3: 1.0 + 2.0 / math.sqrt(3.0),
        5: 1.0 + math.sqrt(2.0 * (1.0 + 1.0 / math.sqrt(5.0))),
        8: 1.0 + 1.0 / math.sin(math.pi / 7.0),
        9: 1.0 + math.sqrt(2.0 * (2.0 + math.sqrt(2.0))),
        11: 1.0 + 1.0 / math.sin(math.pi / 9.0),
        13: 2.0 + math.sqrt(5.0),
        19: 1.0 + math.sqrt(2.0) + math.sqrt(6.0),
    }
    for n, value in forms.items():
        assert circle[n][0] == pytest.approx(value, abs=1e-10)
    forms = {
        5: 2.0 + 2.0 * math.sqrt(2.0),
        6: 2.0 + 12.0 / math.sqrt(13.0),
        12: 2.0 + 15.0 * math.sqrt(2.0 / 17.0),
        18: 2.0 + 24.0 / math.sqrt(13.0),
        20: (130.0 + 16.0 * math.sqrt(2.0)) / 17.0,
        36: 12.0,
    }
    for n, value in forms.items():
        assert square[n][0] == pytest.approx(value, abs=1e-10)


# -- against the best known packings


@pytest.mark.parametrize(("kind", "n"), [*rows("circle"), *rows("square")])
def test_reaches_the_best_known_number_and_no_record_is_beaten(kind: str, n: int) -> None:
    table = BEST[kind]
    factor = 1.005 if n <= 20 else 1.01
    diameter = 2.0
    polygon = container(kind, factor * table[n][0])
    centres = pack_circles(polygon, diameter)
    assert_packed(polygon, diameter, centres)
    assert len(centres) >= n
    assert table[len(centres)][0] <= factor * table[n][0] * (1.0 + 2e-9)


PROVEN = [
    (kind, n)
    for kind in ("circle", "square")
    for n, (_, status) in BEST[kind].items()
    if status.startswith("proven") and (n <= 13 or n in (16, 19, 20, 36) or EVERYTHING)
]


@pytest.mark.parametrize(("kind", "n"), PROVEN)
def test_never_beats_a_proven_packing(kind: str, n: int) -> None:
    diameter = 2.0
    polygon = container(kind, 0.995 * BEST[kind][n][0], outside=True)
    centres = pack_circles(polygon, diameter)
    assert_packed(polygon, diameter, centres)
    assert len(centres) < n


def test_hexagonal_density_is_the_published_number() -> None:
    """0.906 89 968 21 ..., OEIS A093766."""
    assert pytest.approx(0.9068996821, abs=1e-10) == HEXAGONAL_DENSITY


# -- arrangements known by hand (d = 1.3 mm)


@pytest.mark.parametrize(
    ("width", "height", "count", "why"),
    [
        (7.0, 2.0, 14, "two square rows of 7"),
        (7.5, 1.0 + math.sqrt(3.0) / 2.0, 14, "two leaning rows of 7"),
        (6.0, 1.0 + math.sqrt(3.0), 17, "leaning rows of 6, 5 and 6"),
        (9.0, 1.0, 9, "one row"),
        (1.0, 1.0, 1, "one circle, exactly"),
        (3.0, 3.0, 9, "square of 9, proven best (Schaer 1965)"),
    ],
)
def test_rectangles_known_by_hand_are_filled_exactly(
    width: float, height: float, count: int, why: str
) -> None:
    d = 1.3
    for polygon in (
        box(0.0, 0.0, width * d, height * d),
        shapely.affinity.rotate(box(0.0, 0.0, width * d, height * d), 23.7),
    ):
        centres = pack_circles(polygon, d)
        assert_packed(polygon, d, centres)
        assert len(centres) == count, why
    # A hair less in both directions must not hold as many.
    smaller = box(0.0, 0.0, (width - 1e-6) * d, (height - 1e-6) * d)
    assert len(pack_circles(smaller, d)) < count, why


@pytest.mark.parametrize(
    ("count", "over_r"), [(7, 3.0), (19, 1.0 + math.sqrt(2.0) + math.sqrt(6.0))]
)
def test_round_bundles_fit_a_bore_that_is_hardly_larger(count: int, over_r: float) -> None:
    d = 0.83
    bore = container("circle", over_r * d / 2.0 * (1.0 + 1e-6), outside=True)
    centres = pack_circles(bore, d)
    assert_packed(bore, d, centres)
    assert len(centres) == count


def test_hexagon_is_filled_by_rings() -> None:
    """37 circles: one in the middle and three rings, the corner circles in the corners."""
    d, rings = 0.71, 3
    across = rings * d * math.sqrt(3.0) / 2.0 + d / 2.0
    corner = across / math.cos(math.pi / 6.0)
    angle = math.radians(11.0) + np.arange(6) * math.pi / 3.0
    polygon = Polygon(np.column_stack([5.0 + corner * np.cos(angle), corner * np.sin(angle)]))
    centres = pack_circles(polygon, d)
    assert_packed(polygon, d, centres)
    assert len(centres) == 37


def test_density_bound_is_nearly_reached_by_a_large_leaning_pattern() -> None:
    d, per_row, count = 0.5, 40, 30
    polygon = box(0, 0, (per_row + 0.5) * d, (1 + (count - 1) * math.sqrt(3) / 2) * d)
    centres = pack_circles(polygon, d, effort="quick")
    assert_packed(polygon, d, centres)
    assert len(centres) == per_row * count
    assert len(centres) * math.pi * d**2 / 4.0 > 0.95 * HEXAGONAL_DENSITY * polygon.area
