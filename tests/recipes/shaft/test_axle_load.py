"""Statics of the axle against equilibrium and against textbook beams.

Outside values: Roark's Formulas for Stress and Strain, Table 8.1: cantilever with end load, M = W l
(case 1a), and beam on two supports with one load, M = W a b / l (case 1e); equilibrium of forces
and moments, which no formula of ours takes part in.
"""

from itertools import pairwise

import pytest

from recipes.refusal import Refused
from recipes.shaft.load import Run, axle_load, frame_findings
from tests.support.axle import BUSY, LONG
from tests.support.design import STARTERS, job

#: Length of the stack, mm: asked only where no seat is turned for it.
STACK = 20.0


def load(**changes):
    return {"axle__load": {"force": 731.0, "overhang": 87.3, "torque": 17.3, **changes}}


def test_bearings_share_the_force_by_the_law_of_the_lever() -> None:
    # seats of the wheel at 22 to 36 and 118 to 132: middles 29 and 125
    found = axle_load(job(**load()).design.axle, STACK).bearings
    assert found == (
        (29.0, pytest.approx(731.0 * (125 - 87.3) / 96)),
        (125.0, pytest.approx(731.0 * (87.3 - 29) / 96)),
    )


@pytest.mark.parametrize("held", ["face A", "face B", "both ends"])
@pytest.mark.parametrize("overhang", [0.0, 61.7, 233.0])
@pytest.mark.parametrize("grip", [0.0, 11.3])
def test_the_whole_axle_is_in_equilibrium(held: str, overhang: float, grip: float) -> None:
    found = axle_load(job(**load(held=held, overhang=overhang, grip=grip)).design.axle, STACK)
    at = 150 - overhang if held == "face B" else overhang
    assert found.force_at == pytest.approx(at)
    assert sum(f for _, f, _ in found.frames) == pytest.approx(-731.0)
    moments = sum(f * z + m for z, f, m in found.frames) + 731.0 * at
    assert moments == pytest.approx(0.0, abs=1e-6)
    edges = {"face A": [grip], "face B": [150 - grip], "both ends": [grip, 150 - grip]}[held]
    assert [z for z, _, _ in found.frames] == pytest.approx(edges)


@pytest.mark.parametrize("held", ["face A", "face B", "both ends"])
def test_shear_is_the_slope_of_bending(held: str) -> None:
    found = axle_load(job(**load(held=held, grip=7.7)).design.axle, STACK)
    steps = [(a, b) for a, b in pairwise(found.moment.z) if b - a > 1e-6]
    for a, b in steps:
        rise = (found.moment.at(b, -1) - found.moment.at(a, 1)) / (b - a)
        assert rise == pytest.approx(found.shear.at((a + b) / 2), abs=1e-9)
    assert len(steps) >= 4


def test_force_over_one_bearing_is_a_cantilever() -> None:
    found = axle_load(job(**load(overhang=125.0, grip=13.1)).design.axle, STACK)
    for z in (20.7, 44.0, 99.9):
        assert abs(found.moment.at(z)) == pytest.approx(731.0 * (125.0 - z))
    assert found.moment.at(7.0) == 0.0
    assert found.moment.at(13.1) == pytest.approx(-731.0 * 111.9)


def test_force_over_one_bearing_is_a_beam_with_one_load() -> None:
    found = axle_load(job(**load(overhang=125.0, held="both ends")).design.axle, STACK)
    assert found.moment.most == pytest.approx(731.0 * 125 * 25 / 150)
    assert found.moment.at(125.0) == pytest.approx(731.0 * 125 * 25 / 150)
    assert found.moment.at(60.0) == pytest.approx(731.0 * 25 / 150 * 60)


def test_torque_runs_from_the_stack_to_the_frame() -> None:
    seat_start, seat_end = 70, 94
    at_a = axle_load(job(**load(grip=5.5)).design.axle, STACK).torque
    assert [at_a.at(z) for z in (3.0, 44.0, seat_end - 1)] == [0.0, 17300.0, 17300.0]
    assert at_a.at(seat_end + 1.0) == 0.0
    at_b = axle_load(job(**load(held="face B")).design.axle, STACK).torque
    assert at_b.at(seat_start - 1.0) == 0.0
    assert at_b.at(140.0) == 17300.0
    both = axle_load(job(**load(held="both ends")).design.axle, STACK).torque
    assert {both.at(z) for z in (10.0, 80.0, 140.0)} == {17300.0}


def test_of_both_ends_the_one_with_flats_takes_the_torque() -> None:
    flats = [{"from_face": 139, "length": 11, "across": 20.3}]
    found = axle_load(job(**load(held="both ends"), axle__flats=flats).design.axle, STACK).torque
    assert (found.at(44.0), found.at(137.0)) == (0.0, 17300.0)
    both = axle_load(job(**BUSY, **load(held="both ends")).design.axle, STACK).torque
    assert (both.at(44.0), both.at(137.0)) == (17300.0, 17300.0)


def test_a_frame_keeps_off_the_bearing() -> None:
    stop = frame_findings(job(**load(grip=22.4)).design.axle)
    assert [(f.level, f.field, f.value, f.limit) for f in stop] == [
        ("stop", "axle.load.grip", 22.4, 22.0)
    ]
    assert "at most 22 mm" in stop[0].fix
    both = frame_findings(job(**load(grip=22.4, held="both ends")).design.axle)
    assert [f.limit for f in both] == [22.0, 18.0]
    with pytest.raises(Refused):
        axle_load(job(**load(grip=22.4)).design.axle, STACK)


@pytest.mark.parametrize("name", STARTERS)
def test_starters_are_held_and_loaded(name: str) -> None:
    found = axle_load(job(name).design.axle, STACK)
    assert found.moment.most > 0
    assert found.torque.most > 0


def test_a_long_axle_held_at_both_ends() -> None:
    found = axle_load(
        job(**LONG, **load(held="both ends", overhang=300, grip=30)).design.axle, STACK
    )
    assert found.moment.at(0.0) == found.moment.at(600.0) == 0.0
    assert found.moment.most > 0


def test_a_run_reads_between_knots_and_on_both_sides_of_a_jump() -> None:
    run = Run((0.0, 3.0, 3.0, 7.0), (1.0, 2.5, -4.0, 0.0))
    assert run.at(1.0) == pytest.approx(1.5)
    assert (run.at(3.0, -1), run.at(3.0, 1), run.at(3.0)) == (2.5, -4.0, -4.0)
    assert run.at(5.0) == pytest.approx(-2.0)
    assert (run.at(-0.1), run.at(7.1), run.most) == (0.0, 0.0, 4.0)


@pytest.mark.parametrize("off", [0.0, 4e-7, -4e-7])
@pytest.mark.parametrize("grip", [0.0, 11.3])
@pytest.mark.parametrize("held", ["face A", "face B", "both ends"])
def test_shear_and_bending_jump_by_what_acts_there(held: str, grip: float, off: float) -> None:
    """Equilibrium of a thin slice at each bearing and frame; beyond the frames nothing acts.

    A place that misses them by rounding of inches is still read on its side of the jump.
    """
    found = axle_load(job(**load(held=held, grip=grip)).design.axle, STACK)
    acting = [*found.frames, *((z, force, 0.0) for z, force in found.bearings)]
    for z, force, moment in acting:
        step = [run.at(z + off, 1) - run.at(z + off, -1) for run in (found.shear, found.moment)]
        assert step == pytest.approx([-force, moment], abs=1e-3)
        sides = [abs(found.shear.at(z + off, side)) for side in (-1, 1)]
        assert abs(found.shear.at(z + off)) == pytest.approx(max(sides))
    first, last = min(z for z, *_ in acting), max(z for z, *_ in acting)
    for run in (found.shear, found.moment):
        assert run.at(first, -1) == run.at(last, 1) == pytest.approx(0, abs=1e-9)
    # between the bearings: what the second takes, handed on towards face A, or the first towards B
    by_first, by_second = (force for _, force in found.bearings)
    left = -found.frames[0][1]
    expected = {"face A": by_second, "face B": -by_first, "both ends": left - by_first}[held]
    assert found.shear.at(99.9) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("held", "edges"), [("face A", (5.5, 94)), ("face B", (70, 144.5)), ("both ends", (5.5, 144.5))]
)
def test_torque_begins_and_ends_at_an_edge(held: str, edges: tuple[float, float]) -> None:
    torque = axle_load(job(**load(grip=5.5, held=held)).design.axle, STACK).torque
    for z, sides in zip(edges, ([0.0, 17300.0], [17300.0, 0.0]), strict=True):
        assert [torque.at(z, side) for side in (-1, 1)] == sides
        assert torque.at(z) == 17300.0
    assert torque.most == 17300.0


def test_flats_before_the_middle_take_the_torque_to_face_a() -> None:
    """The middle of the pair counts: 54.1 to 94.5 mm lies nearer to face A, 56 to 94.5 to face B."""
    for start, (low, high) in ((54.1, (0.0, 94)), (56, (70, 150.0))):
        flats = [{"from_face": start, "length": 94.5 - start, "across": 20.3}]
        found = axle_load(
            job(**load(held="both ends"), axle__flats=flats).design.axle, STACK
        ).torque
        assert (found.at(low, 1), found.at(high, -1)) == (17300.0, 17300.0)
        assert (found.at(low - 1.0), found.at(high + 1.0)) == (0.0, 0.0)


def test_a_frame_may_reach_the_bearing_and_says_what_it_would_cover() -> None:
    assert frame_findings(job(**load(grip=22.0, held="face A")).design.axle) == []
    assert frame_findings(job(**load(grip=18.0, held="both ends")).design.axle) == []
    assert axle_load(job(**load(grip=22.0)).design.axle, STACK).frames[0][0] == 22.0
    (found,) = frame_findings(job(**load(grip=18.7, held="face B")).design.axle)
    assert (found.code, found.field) == ("frame-over-bearing", "axle.load.grip")
    assert (found.value, found.limit) == (18.7, 18.0)
    assert "18.7 mm: the frame at face B would reach over the bearing" in found.message
    assert "18 mm from that face" in found.message
