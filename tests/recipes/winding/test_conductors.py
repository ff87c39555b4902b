"""Where the wires lie, inside paper, wedge and their own half, and how many turns that makes.

Outside check: no packing of equal circles covers more than pi / sqrt(12) = 0.9069 of a plane
(A. Thue 1910; L. Fejes Toth 1940), and rows nested by hand come close to it in a large slot.
"""

import math
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
import shapely

from recipes.searches import thinner_wire
from recipes.tables.wire import list_wires
from recipes.winding.conductors import (
    RANDOM_SHARE,
    conductor_findings,
    conductor_placement,
    conductor_results,
    flank,
    packing_results,
)
from recipes.winding.window import EXPERT
from tests.places import ROOT
from tests.support.design import STARTERS
from tests.support.design import job as a_starter
from tests.support.stators import CASES, a_case, a_job

TOLERANCE = 1e-6
THUE = math.pi / math.sqrt(12)


def gaps(a, b):
    """Distance of every point of a to every point of b."""
    return np.hypot(a[:, None, 0] - b[None, :, 0], a[:, None, 1] - b[None, :, 1])


def wall_line(job, sagitta=1e-7):
    """The steel wall, chord by chord, from its exact edges."""
    spots = [tuple(job.slot.wall[0].start)]
    for edge in job.slot.wall:
        spots.extend(tuple(p) for p in edge.chords(sagitta))
    return shapely.LineString(spots)


@pytest.mark.parametrize("name", [*CASES, *STARTERS])
def test_wires_keep_clear_of_paper_wedge_each_other_and_the_neighbour(name):
    job = a_starter(name) if name in STARTERS else a_case(name)
    lay = job.conductors
    assert len(lay.places) >= 3
    points, r = lay.places, lay.diameter / 2
    steel = shapely.distance(shapely.points(points), wall_line(job))
    assert steel.min() >= job.design.liner.thickness + r - TOLERANCE
    assert shapely.contains_xy(job.window.polygon, points[:, 0], points[:, 1]).all()
    assert points[:, 0].max() + r <= job.window.wedge_span[1] + TOLERANCE
    between = gaps(points, points)[np.triu_indices(len(points), 1)]
    assert between.min() >= 2 * r - TOLERANCE
    if job.window.sides == 2:
        neighbour = points * (1, -1)
        strip = job.design.separator.thickness
        assert gaps(points, neighbour).min() >= 2 * r + strip - TOLERANCE
        assert points[:, 1].min() - r >= strip / 2 - TOLERANCE


@pytest.mark.parametrize("name", ["wheel", "parallel slots", "one side"])
def test_circles_drawn_as_polygons_do_not_overlap(name):
    lay = a_case(name).conductors
    circles = shapely.buffer(shapely.points(lay.places), lay.diameter / 2, quad_segs=32)
    assert shapely.union_all(circles).area == pytest.approx(shapely.area(circles).sum(), rel=1e-9)


@pytest.mark.parametrize("name", ["wheel", "thruster", "spinner", "parallel slots"])
def test_first_row_lies_on_the_paper_of_the_tooth_and_runs_outwards(name):
    job = a_case(name)
    lay = job.conductors
    first = lay.places[lay.rows == 1]
    assert len(first) >= 10
    run = first[: len(first) - 2]
    touch = job.design.liner.thickness + lay.diameter / 2
    assert np.allclose(shapely.distance(shapely.points(run), wall_line(job)), touch, atol=1e-6)
    assert np.allclose(lay.heights[: len(run)], lay.diameter / 2, atol=1e-9)
    assert np.allclose(np.hypot(*np.diff(run, axis=0).T), lay.diameter, atol=1e-9)
    assert (np.diff(run[:, 0]) > 0).all()
    second = lay.places[lay.rows == 2]
    assert (np.diff(second[:, 0]) < 0).sum() >= len(second) - 3


@pytest.mark.parametrize("name", CASES)
def test_rows_climb_off_the_tooth(name):
    lay = a_case(name).conductors
    heights = [lay.heights[lay.rows == row].mean() for row in range(1, lay.rows.max() + 1)]
    assert (np.diff(heights) > 0.3 * lay.diameter).all()
    assert (lay.heights >= lay.diameter / 2 - TOLERANCE).all()


def test_many_wires_come_close_to_thue_and_never_pass_him():
    lay = a_case("thin wire").conductors
    assert len(lay.places) > 500
    covered = len(lay.places) * math.pi / 4 * lay.diameter**2
    room = a_case("thin wire").window.polygon
    assert 0.9 * THUE < covered / room.area < THUE
    for name in CASES:
        lay, room = a_case(name).conductors, a_case(name).window.polygon
        # a boundary layer of half a wire may be used better than the plane
        around = room.area + room.length * lay.diameter / 4
        assert len(lay.places) * math.pi / 4 * lay.diameter**2 < THUE * around


def test_flank_is_the_lined_flank():
    for name in ("wheel", "parallel slots"):
        job = a_case(name)
        off, distance = flank(job.slot, job.window.paper)
        line = next(e for e in job.slot.wall if len(e.chords(0.01)) == 1 and e.length > 5)
        for p in (line.start, line.end):
            gap = p.x * off[0] + p.y * off[1] - distance
            assert gap == pytest.approx(-job.design.liner.thickness, abs=1e-9)


def test_counts_follow_from_places_crossings_hand_limit_and_strands():
    job = a_job("potters-wheel", winding={"crossing_allowance": 0.23, "turns": 35})
    lay = job.conductors
    places = len(lay.places)
    assert lay.conductors_by_lay == math.floor(0.77 * places)
    assert lay.turns_that_fit == math.floor(0.77 * places) // 2 == 34
    assert (lay.fails_at, lay.free_places) == (35, lay.conductors_possible - 70)
    assert (
        a_job(
            "potters-wheel", winding={"crossing_allowance": 0.23, "turns": 34}
        ).conductors.fails_at
        is None
    )
    full = a_job("potters-wheel", winding={"crossing_allowance": 0.0}).conductors
    room = job.window.polygon.area
    assert full.conductors_possible == math.floor(EXPERT * room / full.diameter**2) < places


def test_places_do_not_depend_on_strands_or_turns():
    one = a_job("kayak-thruster", winding={"strands": 1, "turns": 7}).conductors
    many = a_job("kayak-thruster", winding={"strands": 3, "turns": 17}).conductors
    assert np.array_equal(one.places, many.places)
    assert many.turns_that_fit == many.conductors_possible // 3
    assert len(many.laid) == 51
    assert sum(many.conductors_per_row) == 51
    assert sum(many.turns_per_layer) == 17
    # rows of 17, 18, 16: turn 6 begins as wire 16 in row 1, turn 12 as wire 34 in row 2
    assert many.conductors_per_row == (17, 18, 16)
    assert many.turns_per_layer == (6, 6, 5)


def test_thicker_wire_never_gets_more_turns():
    sizes = ["0.5 mm", "0.56 mm", "0.63 mm", "0.71 mm", "0.8 mm", "0.95 mm", "1.25 mm", "2 mm"]
    fits = [
        a_job("potters-wheel", winding={"wire": s, "strands": 1}).conductors.turns_that_fit
        for s in sizes
    ]
    assert fits == sorted(fits, reverse=True)
    assert fits[0] > 5 * fits[-1]


def findings(job):
    thinner = thinner_wire(job) if job.conductors.fails_at else None
    return conductor_findings(job.window, job.conductors, thinner)


def stops(job):
    return [f for f in findings(job) if f.level == "stop"]


def test_too_many_turns_are_refused_with_the_count_that_fits_and_thinner_wire():
    job = a_job("kayak-thruster", winding={"turns": 19})
    job.window.__dict__["circles"] = np.zeros((88, 2))
    (found,) = stops(job)
    assert (found.code, found.field, found.value, found.limit) == (
        "turns-do-not-fit", "winding.turns", 19, 17,
    )  # fmt: skip
    assert "turn 18 does not go in" in found.message
    assert "22 turns could be packed, but not by hand" in found.message
    assert "at most 17 turns" in found.fix
    assert "0.50 mm" in found.fix
    thinner = a_job("kayak-thruster", winding={"turns": 19, "wire": "0.5 mm"})
    assert not stops(thinner)
    assert not stops(a_job("kayak-thruster", winding={"turns": 17}))


def test_the_thinner_wire_named_is_the_thickest_that_goes_in():
    """Crossings, not the hand limit, decide here; the next size up fails, the one named does not."""
    asked = {"turns": 17, "crossing_allowance": 0.31}
    job = a_job("kayak-thruster", winding=asked)
    thinner = thinner_wire(job)
    assert job.conductors.fails_at
    sizes = list_wires(thinner.standard, thinner.grade)
    up = sizes[1 + next(k for k, w in enumerate(sizes) if w.label == thinner.label)]
    assert thinner.bare_mm < up.bare_mm < job.wire.bare_mm
    fits, fails = (
        a_job("kayak-thruster", winding=asked | {"wire": w.label}).conductors.fails_at
        for w in (thinner, up)
    )
    assert fits is None
    assert fails


def test_wire_too_thick_for_any_turn():
    job = a_job("kayak-thruster", winding={"wire": "2 mm", "strands": 5, "turns": 3})
    job.window.__dict__["circles"] = np.zeros((4, 2))
    (found,) = stops(job)
    assert found.limit == 0
    assert found.fix.startswith("use thinner wire")


def test_tight_fill_is_warned_of():
    def tight(turns):
        job = a_job("kayak-thruster", winding={"turns": turns})
        return [f for f in findings(job) if f.code == "tight-fill"]

    assert not tight(15)
    (found,) = tight(16)
    assert found.level == "warn"
    assert found.value == pytest.approx(
        16 * 4 * 0.6**2 / a_case("thruster").window.polygon.area, abs=1e-4
    )
    assert "at most 15 turns" in found.fix


def with_spots(job, spots):
    job.window.__dict__["circles"] = spots
    winding = job.design.winding
    placed = conductor_placement(job.window, job.slot, winding.lay, winding.crossing_allowance)
    return replace(job, conductors=placed)


def test_random_lay_takes_a_share_of_the_packing_nearest_the_tooth_first():
    spots = a_case("wheel").conductors.places[::-1][3:]
    job = with_spots(a_job("potters-wheel", winding={"lay": "random", "turns": 36}), spots)
    lay = job.conductors
    assert lay.kind == "random"
    assert len(lay.places) == len(spots) == 87
    assert (np.diff(lay.heights) > -TOLERANCE).all()
    assert lay.conductors_by_lay == math.floor(RANDOM_SHARE * 87)
    assert lay.turns_that_fit == 36
    # rows by height, as far apart as nested rows are
    nested = 1 + (lay.heights / lay.diameter - 0.5) / math.sqrt(0.75)
    assert (abs(lay.rows - nested) <= 0.5 + TOLERANCE).all()
    assert lay.rows.max() == 6
    assert sum(lay.conductors_per_row) == 72
    (found,) = stops(
        with_spots(a_job("potters-wheel", winding={"lay": "random", "turns": 37}), spots)
    )
    assert "of 87 circles packed in rows" in found.message
    assert found.limit == 36


def test_random_lay_uses_real_rows():
    job = a_job("wool-spinner", winding={"lay": "random"})
    lay = job.conductors
    assert len(lay.places) == len(job.window.circles) == 103
    assert lay.conductors_by_lay == math.floor(RANDOM_SHARE * 103)
    assert gaps(lay.places, lay.places)[np.triu_indices(len(lay.places), 1)].min() > 0.57658 - 1e-6


def test_results_are_flat_and_add_up():
    job = with_spots(a_case("wheel"), np.zeros((93, 2)))
    results = conductor_results(job.conductors)
    assert all(isinstance(v, int | float | str) for v in results.values())
    assert results["conductors_per_row"] == "17 18 13"
    assert results["turns_per_layer"] == "9 9 6"
    assert results["layers"] == 3
    assert results["turns_that_fit"] == job.conductors.turns_that_fit == 38


def test_what_can_be_packed_is_no_less_than_what_lies_there():
    for circles, turns in ((93, 46), (89, 45), (0, 45)):
        job = with_spots(a_case("wheel"), np.zeros((circles, 2)))
        assert len(job.conductors.places) == 90
        assert packing_results(job.window, job.conductors) == {"turns_possible_at_least": turns}


def test_a_stop_says_how_sure_its_count_is():
    (stop,) = stops(a_job("wool-spinner", winding={"turns": 102}))
    assert "at least 103 turns could be packed" in stop.message


def test_same_places_under_every_hash_seed():
    code = (
        "import hashlib; from tests.support.stators import a_case;"
        "print(hashlib.sha256(a_case('wheel').conductors.places.tobytes()).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PATH": "/usr/bin"},
            cwd=ROOT,
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("1", "7321")
    }  # fmt: skip
    assert len(seen) == 1
