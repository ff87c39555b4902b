"""Rows in plain boxes against places worked out by hand, and the way in against a flood fill."""

import math

import numpy as np
import pytest
import shapely
from scipy import ndimage

from recipes.winding.conductor_rows import PASSAGE, Entrance, place_in_rows
from tests.support.stators import a_case


def a_box(width, height):
    """A window under a tooth that runs along y = 0; the opening is at its right end."""
    return shapely.box(0, -height, width, 0)


def test_rows_in_a_box_nest_exactly():
    d = 0.83
    box, entrance = a_box(7.3 * d, 9 * d), Entrance(7.3 * d, -8.4 * d, PASSAGE * d)
    places, rows = place_in_rows(box, d, (0.0, -1.0), entrance)
    pitch = math.sqrt(3) / 2
    for row, count, start in ((1, 7, 0.5), (2, 6, 1.0), (3, 6, 0.5)):
        x, y = (places[rows == row] / d)[:count].T
        assert np.allclose(y, -0.5 - (row - 1) * pitch, atol=1e-9)
        there = start + np.arange(count)
        assert np.allclose(x, there if row % 2 else there[::-1], atol=1e-9)
    # beside the last wire of row 2 there is 0.8 d to the wall: the seventh of row 3 slips in
    seventh = places[rows == 3][6] / d
    assert np.allclose(seventh, (6.8, -0.5 - pitch - 0.6), atol=1e-9)
    assert list(np.bincount(rows)[1:4]) == [7, 6, 7]


def test_a_gap_wider_than_half_a_wire_takes_a_wire_between_row_and_wall():
    d = 0.61
    box, entrance = a_box(5.71 * d, 9 * d), Entrance(5.71 * d, -8.4 * d, PASSAGE * d)
    places, rows = place_in_rows(box, d, (0.0, -1.0), entrance)
    x, y = places[rows == 2][0] / d
    assert x == pytest.approx(5.21, abs=1e-9)
    assert y == pytest.approx(-0.5 - math.sqrt(1 - 0.71**2), abs=1e-9)


@pytest.mark.parametrize(("height", "rows"), [(0.97, 0), (1.14, 0), (1.16, 1), (1.8, 1)])
def test_a_low_box_takes_one_row_only_if_wire_passes(height, rows):
    d = 0.83
    entrance = Entrance(7.3 * d, -(height - PASSAGE / 2) * d, PASSAGE * d)
    places, _ = place_in_rows(a_box(7.3 * d, height * d), d, (0.0, -1.0), entrance)
    assert len(places) == 7 * rows


def test_last_row_fills_from_the_deep_end():
    """Past two rows there are 1.2 wires of room, past the third none: it comes from the root."""
    d = 0.83
    height = 1.0 + math.sqrt(3) / 2 + 1.2
    entrance = Entrance(7.3 * d, -(height - PASSAGE / 2) * d, PASSAGE * d)
    places, rows = place_in_rows(a_box(7.3 * d, height * d), d, (0.0, -1.0), entrance)
    assert list(np.bincount(rows)[1:]) == [7, 6, 7]
    assert (np.diff(places[rows == 3][:, 0]) > 0).all()
    # the second row still runs from tip to root
    assert (np.diff(places[rows == 2][:, 0]) < 0).all()


def test_no_wire_gets_over_a_crest_that_leaves_less_than_a_passage():
    """A third row would nest in this box, but past the second there are 1.1 wires of room."""
    d = 0.83
    height = 1.0 + math.sqrt(3) / 2 + 1.1
    entrance = Entrance(7.3 * d, -(height - PASSAGE / 2) * d, PASSAGE * d)
    _, rows = place_in_rows(a_box(7.3 * d, height * d), d, (0.0, -1.0), entrance)
    # only the one that slips in at the opening
    assert list(np.bincount(rows)[1:]) == [7, 6, 1]


def shut_out(job, places):
    """Places that a disc of 1.15 wires no longer comes near (0.8 wires), past those before them.

    Flood fill on a grid, from the opening; nothing of the project's own way of testing it.
    """
    fill, d = job.window, job.conductors.diameter
    half, step = PASSAGE * d / 2, d / 12
    # no wedge yet: the half slot goes on outwards where the opening is
    x_in = fill.wedge_span[1]
    low = job.design.separator.thickness / 2 if fill.sides == 2 else -job.slot.opening / 2
    high = max(job.slot.opening / 2, low + 2 * half)
    free = shapely.union(fill.polygon, shapely.box(x_in - 1e-6, low, x_in + 3 * d, high))
    x0, y0, x1, y1 = free.bounds
    x, y = np.meshgrid(np.arange(x0, x1, step), np.arange(y0, y1, step), indexing="ij")
    # half a grid step of grace, or a passage of exactly one disc would fall between grid points
    reach = half - step / 2
    clear = shapely.contains_xy(free, x, y)
    clear &= shapely.distance(shapely.points(x, y), free.exterior) >= reach
    outside = x > x_in + d
    missed = []
    for place in places:
        label, _ = ndimage.label(clear, structure=np.ones((3, 3)))
        reached = np.isin(label, np.unique(label[outside & clear]))
        to = np.hypot(x - place[0], y - place[1])
        if not (to[reached & clear] < 0.8 * d).any():
            missed.append(tuple(place))
        clear &= to >= d / 2 + reach
    return missed


@pytest.mark.parametrize("name", ["wheel", "thruster", "spinner", "one side", "parallel slots"])
def test_every_wire_finds_a_way_in_past_those_before_it(name):
    job = a_case(name)
    assert not shut_out(job, job.conductors.places)


def test_the_same_places_laid_backwards_would_shut_wires_out():
    job = a_case("wheel")
    assert len(shut_out(job, job.conductors.places[::-1])) > 20
