"""Circles in odd shapes: bounds, parts, tips, the same bytes everywhere, and bad input."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from geometry.packing import pack_circles
from tests.places import ROOT
from tests.support.packing import (
    COMB,
    CRESCENT,
    DUMBBELL,
    HEXAGONAL_DENSITY,
    HOLED,
    L_SHAPE,
    STAR,
    assert_packed,
    half_slot,
)

SHAPES = {
    "half slot": (half_slot(), 1.03, 88),
    "half slot, thin wire": (half_slot(), 0.47, 460),
    "half slot, thick wire": (half_slot(), 2.1, 18),
    "L": (L_SHAPE, 1.3, 51),
    "hole": (HOLED, 1.7, 49),
    "dumbbell": (DUMBBELL, 1.1, 54),
    "comb with thin slits": (COMB, 1.7, 62),
    "star": (STAR, 1.9, 29),
    "crescent": (CRESCENT, 1.4, 54),
}


@pytest.mark.parametrize("name", SHAPES)
def test_shapes_are_filled_well_but_never_more_than_possible(name: str) -> None:
    polygon, d, least = SHAPES[name]
    centres = pack_circles(polygon, d)
    assert_packed(polygon, d, centres)
    assert len(centres) >= least
    # A circle's share of the plane within 2/sqrt(3) of its radius is at least the hexagon round
    # it, and lies within the polygon grown by 0.155 radius (proof of Thue's theorem).
    grown = polygon.buffer(0.5 * d * (2.0 / math.sqrt(3.0) - 1.0), quad_segs=64).area
    assert len(centres) * math.pi * d**2 / 4.0 <= HEXAGONAL_DENSITY * grown * (1.0 + 1e-4)
    quick = pack_circles(polygon, d, effort="quick")
    assert_packed(polygon, d, quick)
    assert 0.8 * least <= len(quick) <= len(centres)
    rows = pack_circles(polygon, d, effort="rows")
    assert_packed(polygon, d, rows)
    assert 0.8 * least <= len(rows) <= len(centres)


def test_rows_find_the_best_shift_along_a_wall_exactly() -> None:
    """By hand: leaning rows of 5, 4, 5 need 5 diameters, of 5, 5, 5 half a diameter more."""
    d, high = 1.7, 1.0 + math.sqrt(3.0)
    for width, count in ((5.0 + 1e-6, 14), (5.0 - 1e-6, 12), (5.5 + 1e-6, 15)):
        polygon = box(0.3, 0.2, 0.3 + width * d, 0.2 + (high + 1e-6) * d)
        for turned in (polygon, shapely.affinity.rotate(polygon, 71.3)):
            centres = pack_circles(turned, d, effort="rows")
            assert_packed(turned, d, centres)
            assert len(centres) == count
    # Too low to lean: two rows that do not nest, each as long as its own walls let it be.
    stairs = Polygon([(0, 0), (6.2, 0), (6.2, 1.05), (4.4, 1.05), (4.4, 2.05), (0, 2.05)])
    assert len(pack_circles(stairs, 1.0, effort="rows")) == 10
    # The lowest place is the bottom of a shallow V; two rows of six lie above it, against the top.
    trough = Polygon([(0, 0.9), (3, 0.6), (6.01, 0.9), (6.01, 2.91), (0, 2.91)])
    assert len(pack_circles(trough, 1.0, effort="rows")) == 12


@pytest.mark.parametrize("turn", [0.0, 90.0, 23.7])
def test_rows_keep_apart_across_a_bump_narrower_than_a_circle(turn: float) -> None:
    """One row, parted by a bump in the floor that keeps centres 0.2 d away on either side."""
    low = Polygon([(0, 0), (3.6, 0), (3.9, 0.05), (4.2, 0), (6.7, 0), (6.7, 1.02), (0, 1.02)])
    turned = shapely.affinity.rotate(low, turn)
    centres = pack_circles(turned, 1.0, effort="rows")
    assert len(centres) == 6  # as many as 6.7 d of floor hold
    assert_packed(turned, 1.0, centres)


@pytest.mark.parametrize("turn", [0.0, 23.7])
def test_rows_run_along_the_walls_and_not_along_the_chords_of_a_round(turn: float) -> None:
    """Corners of 0.4 d are within every circle that touches both walls: two rows of seven."""
    d = 1.3
    rounded = box(0, 0, 7.02 * d, 2.02 * d).buffer(-0.4 * d, join_style="mitre").buffer(0.4 * d)
    centres = pack_circles(shapely.affinity.rotate(rounded, turn), d, effort="rows")
    assert_packed(shapely.affinity.rotate(rounded, turn), d, centres)
    assert len(centres) == 14


def test_parts_that_cannot_touch_are_filled_like_two_polygons() -> None:
    d = 1.1
    left, right = box(0, 0, 6, 6.2), box(12, 0, 17.7, 6)
    together = pack_circles(DUMBBELL, d)
    assert_packed(DUMBBELL, d, together)
    assert len(together) == len(pack_circles(left, d)) + len(pack_circles(right, d))
    assert (together[:, 0] < 6).any()
    assert (together[:, 0] > 12).any()


@pytest.mark.parametrize(("gap", "count"), [(2.003, 1), (1.997, 0)])
def test_a_jutting_tip_is_rounded_and_not_mitred(gap: float, count: int) -> None:
    """A circle as wide as the shaft fits under a spike that leaves its diameter free.

    The parallel of the spike with a mitre would reach 7 mm further down and leave no place.
    """
    d = 2.0
    shaft = Polygon([(2, 0), (4.001, 0), (4.001, 5), (3.4, 5), (3, gap), (2.6, 5), (2, 5)])
    centres = pack_circles(shaft, d)
    assert_packed(shaft, d, centres)
    assert len(centres) == count


@pytest.mark.parametrize(
    "polygon",
    [box(0, 0, 30, 1.29), Polygon([(0, 0), (30, 0), (15, 1.3)]), box(0, 0, 0.4, 0.3)],
)
def test_too_thin_a_polygon_holds_nothing(polygon: Polygon) -> None:
    for effort in ("rows", "quick", "full"):
        centres = pack_circles(polygon, 1.3, effort=effort)
        assert centres.shape == (0, 2)
        assert centres.dtype == np.float64


def test_result_follows_scale_place_and_direction_of_the_outline() -> None:
    slot, d = half_slot(), 2.7
    plain = pack_circles(slot, d)
    inches = shapely.affinity.scale(slot, 1 / 25.4, 1 / 25.4, origin=(0, 0))
    assert len(pack_circles(inches, d / 25.4)) == len(plain)
    moved = shapely.affinity.translate(slot, 137.0, -55.5)
    assert len(pack_circles(moved, d)) == len(plain)
    assert_packed(moved, d, pack_circles(moved, d))
    assert pack_circles(slot.reverse(), d).tobytes() == plain.tobytes()


def test_centres_come_sorted() -> None:
    centres = pack_circles(L_SHAPE, 1.9)
    assert len(centres) > 10
    assert [tuple(c) for c in centres] == sorted(tuple(c) for c in centres)


def test_from_many_circles_on_quick_and_full_agree() -> None:
    polygon = box(0, 0, 61.3, 40.7)
    full = pack_circles(polygon, 0.9)
    assert len(full) > 2500
    assert full.tobytes() == pack_circles(polygon, 0.9, effort="quick").tobytes()


# -- the same bytes everywhere

SCRIPT = """
import hashlib
from geometry.packing import pack_circles
from tests.support.packing import DUMBBELL, HOLED, container, half_slot
cases = [(half_slot(), 1.6), (container("circle", 31.0), 9.7), (HOLED, 2.9), (DUMBBELL, 1.9)]
for polygon, d in cases:
    print(hashlib.sha256(pack_circles(polygon, d).tobytes()).hexdigest())
"""


def test_same_bytes_in_every_process() -> None:
    printed = []
    for seed in ("0", "424242"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env=environment,
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        printed.append(run.stdout.split())
    here = hashlib.sha256(pack_circles(half_slot(), 1.6).tobytes()).hexdigest()
    assert len(set(printed[0])) == 4
    assert printed[0] == printed[1]
    assert printed[0][0] == here


# -- errors


@pytest.mark.parametrize("diameter", [0.0, -0.3, math.nan, math.inf])
def test_a_bad_diameter_is_named_with_value_and_limit(diameter: float) -> None:
    with pytest.raises(ValueError, match=r"diameter: \S+ mm must be finite and above 0 mm"):
        pack_circles(half_slot(), diameter)


@pytest.mark.parametrize(
    ("polygon", "message"),
    [
        (Polygon(), "polygon: not usable, it is empty"),
        (Polygon([(0, 0), (4, 4), (4, 0), (0, 4)]), "polygon: not usable, Self-intersection"),
        (shapely.MultiPolygon([box(0, 0, 1, 1)]), "polygon: a MultiPolygon was given"),
        ([(0, 0), (1, 0), (1, 1)], "polygon: a list was given"),
        (box(200_000, 0, 200_009, 9), r"polygon: a corner at 200009 mm .*limit 100000 mm"),
    ],
)
def test_a_bad_polygon_is_named(polygon: Polygon, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        pack_circles(polygon, 1.0)


def test_too_many_circles_are_refused_with_a_limit_that_works() -> None:
    slot = half_slot()
    with pytest.raises(
        ValueError, match=r"diameter: 0\.05 mm would give more than 20000"
    ) as caught:
        pack_circles(slot, 0.05)
    assert len(pack_circles(slot, caught.value.limit, effort="quick")) > 10_000


def test_the_limit_for_many_circles_is_that_of_rows_with_a_tenth_to_spare() -> None:
    """20000 circles in leaning rows cover sqrt(3) / 2 d^2 each; a plate of 97 x 83 mm."""
    with pytest.raises(ValueError, match=r"0\.1 mm would give more than 20000 circles") as caught:
        pack_circles(box(0, 0, 97, 83), 0.1)
    limit = 1.1 * math.sqrt(97 * 83 / (20_000 * math.sqrt(3) / 2))
    assert (caught.value.value, caught.value.limit) == (0.1, pytest.approx(limit))
    assert f"about {limit:.3g} mm" in str(caught.value)
    with pytest.raises(ValueError, match="above 0 mm") as caught:
        pack_circles(half_slot(), -0.3)
    assert (caught.value.value, caught.value.limit) == (-0.3, 0.0)
    with pytest.raises(ValueError, match="too far from the origin") as caught:
        pack_circles(box(-130_007, 0, -130_000, 9), 1.3)
    assert (caught.value.value, caught.value.limit) == (130_007.0, pytest.approx(1.3e5))


def test_an_unknown_effort_is_named() -> None:
    with pytest.raises(ValueError, match="effort: 'slow' is not known"):
        pack_circles(half_slot(), 1.0, effort="slow")  # type: ignore[arg-type]
