"""Room for circles, walls near them, regular fillings and soft contacts: by shapely and by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree
from shapely import Polygon, box

from geometry.packing.contacts import Batch, Contacts, relax
from geometry.packing.region import BLUR, REACH, Region, least_distance, parts
from geometry.packing.rows import many_rows
from tests.support.packing import COMB, DUMBBELL, HOLED, L_SHAPE, STAR

D = 1.3
SHAPES = {"L": L_SHAPE, "hole": HOLED, "star": STAR, "comb": COMB}


def places(polygon: Polygon, count: int, seed: int = 5) -> np.ndarray:
    """Points over the bounding box and a little beyond it, in the units of the polygon."""
    low_x, low_y, high_x, high_y = polygon.bounds
    dice = np.random.default_rng(seed)
    return dice.uniform((low_x - 0.7, low_y - 0.4), (high_x + 0.6, high_y + 0.9), (count, 2))


def true_clearance(polygon: Polygon, points: np.ndarray) -> np.ndarray:
    """Distance to the outline in diameters by shapely, negative outside."""
    spots = shapely.points(points)
    away = shapely.distance(spots, polygon.boundary) / D
    return np.where(shapely.contains(polygon, spots), away, -away)


def scaled(region: Region, points: np.ndarray) -> np.ndarray:
    return (points - region.origin) / region.diameter


# -- places


@pytest.mark.parametrize("name", SHAPES)
def test_clearance_is_shapelys_distance(name: str) -> None:
    polygon = SHAPES[name]
    region, spots = Region(polygon, D), places(polygon, 1500)  # more than are handled at once
    found = region.clearance(scaled(region, spots))
    assert found == pytest.approx(true_clearance(polygon, spots), abs=1e-9)
    assert region.to_units(scaled(region, spots)) == pytest.approx(spots)


@pytest.mark.parametrize("name", SHAPES)
def test_every_allowed_place_is_near_one_of_the_grid(name: str) -> None:
    polygon = SHAPES[name]
    region, spots = Region(polygon, D), places(polygon, 700)
    grid, clear = region.grid
    assert clear == pytest.approx(true_clearance(polygon, region.to_units(grid)), abs=1e-9)
    inside = scaled(region, spots)[true_clearance(polygon, spots) > REACH]
    assert len(inside) > 50
    assert cKDTree(grid).query(inside)[0].max() < BLUR


def test_walls_of_a_frame_by_hand() -> None:
    """12 x 8 with a hole of 3 x 2: eight walls; only corners of the hole jut into the material."""
    polygon = Polygon([(0, 0), (12, 0), (12, 8), (0, 8)], [[(4, 3), (7, 3), (7, 5), (4, 5)]])
    region = Region(polygon, 2.0)
    assert sorted(region.length.round(9).tolist()) == [1.0, 1.0, 1.5, 1.5, 4.0, 4.0, 6.0, 6.0]
    jut = region.to_units(region.start[region.reflex])
    assert sorted(map(tuple, jut.tolist())) == [(4.0, 3.0), (4.0, 5.0), (7.0, 3.0), (7.0, 5.0)]
    inside = region.start + 0.5 * region.length[:, None] * region.along + 0.3 * region.inward
    assert region.clearance(inside) == pytest.approx(np.full(8, 0.3))
    assert (region.weight == 1.0).all()
    assert region.following[region.previous].tolist() == list(range(8))
    ends = region.start + region.length[:, None] * region.along
    assert ends == pytest.approx(region.start[region.following])


def test_short_walls_push_less_and_none_nothing() -> None:
    polygon = Polygon([(0, 0), (3, 0), (3, 2.98), (2.8, 3), (0, 3)])
    region = Region(polygon, 1.0)
    weights = dict(zip(region.length.round(6).tolist(), region.weight.tolist(), strict=True))
    short = math.hypot(0.2, 0.02)
    assert weights[round(short, 6)] == pytest.approx(short / 0.5)
    assert min(Region(polygon, 30.0).weight) == 0.08


def test_two_rooms_joined_by_a_slit_are_two_parts() -> None:
    """Each has one room, and walls beyond the reach of its circles only."""
    found = sorted(parts(DUMBBELL, 3.0), key=lambda part: part.bounds)
    assert len(found) == 2
    for part, room in zip(found, (box(0, 0, 6, 6.2), box(12, 0, 17.7, 6)), strict=True):
        assert part.covers(room)
        assert DUMBBELL.buffer(1e-9).covers(part)
        near = room.buffer(-1.5)
        for line in shapely.get_parts(part.boundary - DUMBBELL.boundary.buffer(1e-9)):
            assert line.distance(near) > 1.5 + 1e-6
    assert parts(HOLED, D) == [HOLED]


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_rooms_whose_circles_may_touch_are_one_part(side: float) -> None:
    """A slit of 3 d keeps rooms apart, two of 0.2 d do not: one part and one of three rooms."""
    rooms = [(0.0, 5.1), (8.1, 4.2), (12.5, 4.9), (17.6, 3.8)]
    shapes = [box(x, 0.0, x + wide, 4.3) for x, wide in rooms]
    whole = shapely.union_all([*shapes, box(1.0, 2.0, 20.0, 2.3)])
    found = parts(shapely.affinity.scale(whole, side, 1.0), 1.0)
    spans = sorted(np.ptp(Region(part, 1.0).grid[0][:, 0]) for part in found)
    assert spans == pytest.approx([5.1 - 0.7, 21.4 - 8.1 - 0.7], abs=0.4)


@pytest.mark.parametrize("count", [2, 3, 17, 93, 640])
@pytest.mark.parametrize("wide", [0.0, 0.04, 9.1])
def test_the_least_distance_is_that_of_a_tree(count: int, wide: float) -> None:
    points = np.random.default_rng(count).random((count, 2)) * (wide, 7.3)
    expected = cKDTree(points).query(points, k=2)[0][:, 1].min()
    assert least_distance(points) == pytest.approx(expected, rel=1e-12)


def test_the_least_distance_may_be_that_of_points_with_another_between_them() -> None:
    zigzag = np.array([(1.1 * k, 3.2 * (k % 2)) for k in range(7)])
    assert least_distance(zigzag) == pytest.approx(2.2, rel=1e-12)
    assert least_distance(zigzag[:1]) == math.inf


# -- regular fillings


def _filled(width: float, height: float, turn: float) -> list[int]:
    """Numbers in the fillings of a box, 0.2 d larger each way than is said, in its own turn."""
    plain = box(0.0, 0.0, (width + 0.2) * D, (height + 0.2) * D)
    region = Region(shapely.affinity.rotate(plain, turn), D)
    return [len(points) for points in many_rows(region)]


@pytest.mark.parametrize("turn", [0.0, 31.7])
@pytest.mark.parametrize(("columns", "lines"), [(7, 2), (4, 4), (5, 3)])
def test_a_box_for_square_rows_is_filled_by_them(columns: int, lines: int, turn: float) -> None:
    found = _filled(columns, lines, turn)
    assert max(found) == columns * lines
    assert len(found) == 6


@pytest.mark.parametrize("turn", [0.0, 17.3])
def test_three_leaning_rows_stand_in_a_box_for_them(turn: float) -> None:
    """6.5 d wide and (1 + sqrt 3) d high: six, six and six, where square rows are two."""
    assert max(_filled(6.5, 1 + math.sqrt(3), turn)) == 18


@pytest.mark.parametrize("name", SHAPES)
def test_regular_fillings_are_allowed(name: str) -> None:
    polygon = SHAPES[name]
    region = Region(polygon, D)
    for points in many_rows(region):
        away = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
        assert away[~np.eye(len(points), dtype=bool)].min(initial=9.9) > 1 - 1e-9
        assert true_clearance(polygon, region.to_units(points)).min() > REACH - 1e-9


# -- soft contacts


def scattered(region: Region, count: int, seed: int) -> np.ndarray:
    """Circles anywhere in a region, overlapping each other and the walls."""
    dice = np.random.default_rng(seed)
    spots = dice.uniform(*np.array(region.polygon.bounds).reshape(2, 2), (40 * count, 2))
    return spots[region.clearance(spots) > 0.05][:count]


@pytest.mark.parametrize("name", ["L", "hole", "comb"])
def test_gradient_of_the_contacts_is_their_difference(name: str) -> None:
    region = Region(SHAPES[name], D)
    points = scattered(region, 24, 3)
    contacts = Contacts(region, 1)
    _, slope = contacts(points)
    assert np.abs(slope).max() > 0.5
    h = 1e-6
    for k in range(0, 24, 2):
        for axis in (0, 1):
            off = np.zeros_like(points)
            off[k, axis] = h
            rise = contacts(points + off)[0].sum() - contacts(points - off)[0].sum()
            assert rise / (2 * h) == pytest.approx(slope[k, axis], abs=2e-5)


@pytest.mark.parametrize("turn", [23.7, 141.0, -88.3])
@pytest.mark.parametrize("name", SHAPES)
def test_contacts_turn_with_the_shape(name: str, turn: float) -> None:
    """The same squeezed circles in a turned shape: the same energies, pushes turned as far."""
    plain = Region(SHAPES[name], D)
    turned = Region(shapely.affinity.rotate(SHAPES[name], turn), D)
    points, angle = scattered(plain, 90, 4), math.radians(turn)
    back = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    middle = (np.array(SHAPES[name].envelope.centroid.coords[0]) - turned.origin) / D
    each, slope = Contacts(plain, 1)(points)
    other, other_slope = Contacts(turned, 1)(points @ back + middle)
    assert other == pytest.approx(each, abs=1e-9)
    assert other_slope == pytest.approx(slope @ back, abs=1e-8)
    assert each.max() > 0.05


def test_energy_in_a_box_is_that_of_overlaps_by_hand() -> None:
    """Overlap squared, for each pair once and for each of four long walls."""
    region = Region(box(0.0, 0.0, 7.3 * D, 5.9 * D), D)
    two = np.stack([scattered(region, 31, 8), scattered(region, 31, 9)])
    each, _ = Contacts(region, 2)(two.reshape(-1, 2))
    for points, found in zip(two, each.reshape(2, 31).sum(axis=1), strict=True):
        apart = [math.dist(p, q) for i, p in enumerate(points) for q in points[:i]]
        energy = math.fsum(max(0.0, 1 - a) ** 2 for a in apart)
        half = np.array([3.65, 2.95])
        room = np.hstack([half + points, half - points])
        energy += float((np.maximum(0.0, REACH - room) ** 2).sum())
        assert found == pytest.approx(energy, rel=1e-9)


def test_a_corner_that_juts_in_pushes_straight_away_from_it() -> None:
    """The corner of an L at (0, 0), material below and left; a centre 0.3 off it by Pythagoras."""
    polygon = Polygon([(-5, -5), (5, -5), (5, 0), (0, 0), (0, 5), (-5, 5)])
    region = Region(polygon, 1.0)
    spot = np.array([[-0.18, -0.24]]) - region.origin
    each, slope = Contacts(region, 1)(spot)
    assert each == pytest.approx([0.2**2])
    assert slope[0] == pytest.approx([0.4 * 0.6, 0.4 * 0.8])  # 2 h, away is downhill


def test_circles_that_have_room_come_apart() -> None:
    region = Region(box(0.0, 0.0, 6.1 * D, 4.3 * D), D)
    start = np.stack([scattered(region, 9, 1), scattered(region, 9, 2)])
    batch = relax(region, start, 200)
    assert batch.points.shape == (2, 9, 2)
    assert batch.energy == pytest.approx(batch.each.sum(axis=1))
    assert batch.energy.min() < 1e-20
    free = batch.points[int(batch.energy.argmin())]
    assert min(math.dist(p, q) for i, p in enumerate(free) for q in free[:i]) > 1 - 1e-9
    assert region.clearance(free).min() > REACH - 1e-9


def test_two_in_a_room_for_one_share_the_lack_alike() -> None:
    """A box 1.6 d by d, two circles: wall, pair and wall each overlap by 0.4 / 3 (equilibrium)."""
    region = Region(box(0.0, 0.0, 1.6, 1.0), 1.0)
    batch = relax(region, np.array([[[-0.21, 0.02], [0.17, -0.03]]]), 200)
    lack = 0.4 / 3
    assert np.sort(batch.points[0, :, 0]) == pytest.approx([-0.3 - lack, 0.3 + lack], abs=1e-5)
    assert batch.points[0, :, 1] == pytest.approx([0, 0], abs=1e-5)
    assert batch.energy == pytest.approx([3 * lack**2], rel=1e-6)


def test_the_most_squeezed_go_and_the_better_stay() -> None:
    points = np.arange(16.0).reshape(2, 4, 2)
    each = np.array([[0.3, 0.1, 0.4, 0.2], [0.0, 0.9, 0.8, 0.7]])
    batch = Batch(points.copy(), each.sum(axis=1), each.copy(), 0)
    assert batch.count == 4
    assert batch.without_worst(2)[:, :, 0].tolist() == [[2.0, 6.0], [8.0, 14.0]]
    other = Batch(points + 100.0, np.array([0.9, 2.5]), each / 2, 0)
    batch.improve(other)
    assert batch.energy == pytest.approx([0.9, 2.4])
    assert batch.points[0, 0].tolist() == [100.0, 101.0]
    assert batch.points[1].tolist() == points[1].tolist()
    assert batch.each[0].tolist() == (each[0] / 2).tolist()
