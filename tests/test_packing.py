"""Circles in a polygon: against best known packings, by hand, and against what can go wrong.

Best known packings of equal circles in a circle and in a square come from the two tables
tests/reference/packing_circles_in_*.csv; every row there names its source.
"""

from __future__ import annotations

import csv
import hashlib
import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from geometry.packing import HEXAGONAL_DENSITY, pack_circles

REFERENCE = Path(__file__).parent / "reference"
ROOT = Path(__file__).parent.parent
SIDES = 128
#: The remaining sizes are checked too when this variable is set (about one minute more).
EVERYTHING = bool(os.environ.get("EVERY_PACKING"))
ALWAYS = (*range(1, 21), 27, 37, 48, 52, 61)

Table = dict[int, tuple[float, str]]


def _table(name: str) -> Table:
    """Return size of the container over circle radius and status for every n."""
    with (REFERENCE / name).open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    return {int(n): (float(size), status) for n, size, status, _ in rows[1:]}


BEST = {
    "circle": _table("packing_circles_in_circle.csv"),
    "square": _table("packing_circles_in_square.csv"),
}


def container(kind: str, size: float, *, outside: bool = False) -> Polygon:
    """Return a square of side `size`, or a regular polygon in (or round) a circle of that radius."""
    if kind == "square":
        return box(3.0, -2.0, 3.0 + size, -2.0 + size)
    radius = size / math.cos(math.pi / SIDES) if outside else size
    angle = 0.3 + 2.0 * math.pi * np.arange(SIDES) / SIDES
    return Polygon(np.column_stack([1.7 + radius * np.cos(angle), radius * np.sin(angle)]))


def half_slot(foot: float = 3.2, top: float = 6.1, height: float = 21.0) -> Polygon:
    """Return half a slot of the potter's wheel: a long taper with rounded corners, in mm."""
    sharp = Polygon([(0.0, 0.0), (foot, 0.0), (top, height), (0.0, height)])
    return sharp.buffer(-0.8, join_style="mitre").buffer(0.8, quad_segs=8)


def assert_packed(polygon: Polygon, diameter: float, centres: np.ndarray) -> None:
    """Check a result with shapely and with plain arithmetic that the code does not use."""
    assert centres.dtype == np.float64
    assert centres.shape == (len(centres), 2)
    grown = shapely.buffer(polygon, 1e-6 * diameter)
    shapely.prepare(grown)
    discs = shapely.buffer(shapely.points(centres), 0.5 * diameter * (1.0 - 1e-6))
    assert shapely.covers(grown, discs).all()
    walls = [np.asarray(r.coords) for r in (polygon.exterior, *polygon.interiors)]
    for ring in walls:
        start, edge = ring[:-1], np.diff(ring, axis=0)
        for centre in centres:
            t = ((centre - start) * edge).sum(axis=1) / (edge**2).sum(axis=1)
            foot = start + np.clip(t, 0.0, 1.0)[:, None] * edge
            assert np.hypot(*(centre - foot).T).min() >= diameter * (0.5 - 1e-9)
    for k in range(1, len(centres)):
        assert np.hypot(*(centres[:k] - centres[k]).T).min() >= diameter * (1.0 - 1e-9)


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
    area = math.pi * sizes**2 if kind == "circle" else sizes**2
    assert (
        math.pi * np.arange(1, 71) / area <= HEXAGONAL_DENSITY + 1e-9
        if kind == "square"
        else np.arange(1, 71) / sizes**2 <= 1.0
    ).all()


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


# -- shapes


L_SHAPE = Polygon([(0, 0), (13, 0), (13, 4.3), (5.1, 4.3), (5.1, 11), (0, 11)])
HOLED = box(0, 0, 17, 11) - shapely.Point(7, 5).buffer(3.1)
DUMBBELL = shapely.union_all([box(0, 0, 6, 6.2), box(6, 2.6, 12, 3.2), box(12, 0, 17.7, 6)])
COMB = box(0, 0, 20, 10) - box(12, 3, 12.2, 10) - box(7.95, 3, 8, 10)
STAR = Polygon(
    [
        (
            (4.2, 10.0)[k % 2] * math.cos(k * math.pi / 5),
            (4.2, 10.0)[k % 2] * math.sin(k * math.pi / 5),
        )
        for k in range(10)
    ]
)
CRESCENT = shapely.Point(0, 0).buffer(10, quad_segs=20) - shapely.Point(4, 0).buffer(8)
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


def test_density_bound_is_nearly_reached_by_a_large_leaning_pattern() -> None:
    d, per_row, count = 0.5, 40, 30
    polygon = box(0, 0, (per_row + 0.5) * d, (1 + (count - 1) * math.sqrt(3) / 2) * d)
    centres = pack_circles(polygon, d, effort="quick")
    assert_packed(polygon, d, centres)
    assert len(centres) == per_row * count
    assert len(centres) * math.pi * d**2 / 4.0 > 0.95 * HEXAGONAL_DENSITY * polygon.area


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
    for effort in ("quick", "full"):
        centres = pack_circles(polygon, 1.3, effort=effort)
        assert centres.shape == (0, 2)
        assert centres.dtype == np.float64


def test_result_follows_scale_place_and_direction_of_the_outline() -> None:
    slot, d = half_slot(), 1.6
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
from tests.test_packing import DUMBBELL, HOLED, container, half_slot
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


def test_an_unknown_effort_is_named() -> None:
    with pytest.raises(ValueError, match="effort: 'slow' is not known"):
        pack_circles(half_slot(), 1.0, effort="slow")  # type: ignore[arg-type]
