import math
from dataclasses import replace

import pytest

from recipes.catalogue import Parts
from recipes.insulation.liner import CUFF_RADIUS, PAPER_RADIUS, flat_liner
from recipes.refusal import Refused
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_width_is_the_wall_at_mid_thickness(name: str) -> None:
    """The wall's parallel at half a paper's thickness, edge by edge (independent of `develop`)."""
    j = job(name, liner__fold_radius=0.0)
    t = j.design.liner.thickness
    total = 0.0
    for s in j.slot.wall:
        turn = getattr(s, "sweep", 0.0)
        total += s.length - turn * t / 2  # ccw: wall curves in, paper shorter
    assert j.liner_size.width == pytest.approx(total - 2 * j.design.liner.mouth_gap, rel=1e-9)


def test_paper_that_cannot_follow_the_root_is_cut_shorter() -> None:
    follows = job(lamination__root_radius=1.2, liner__thickness=0.25).liner_size
    tight = job(lamination__root_radius=0.2, liner__thickness=0.25).liner_size
    wall = sum(s.length for s in job(lamination__root_radius=0.2).slot.wall)
    assert tight.width < wall
    assert 1.75 * 0.25 > 0.2
    assert PAPER_RADIUS == 1.75
    assert follows.width < tight.width  # a larger steel round cuts the corner further


def test_length_is_stack_and_overhangs_and_cuffs() -> None:
    j = job(liner__overhang=4.1, liner__cuff=3.3, liner__thickness=0.25)
    fold = math.pi * (CUFF_RADIUS * 0.25 + 0.25 / 2)
    expected = j.stack.length + 2 * 4.1 + 2 * (fold + 3.3)
    assert j.liner_size.length == pytest.approx(expected)
    assert job(liner__cuff=0).liner_size.length == pytest.approx(j.stack.length + 2 * 5.0)


def test_folds_lie_at_undersides_roots_and_cuffs() -> None:
    j = job()
    part = Parts(j)["liner"][0]
    upright = [p for p in part.fold if p.segments[0].start.x == p.segments[0].end.x]
    level = [p for p in part.fold if p not in upright]
    assert len(upright) == 4
    assert len(level) == 2
    xs = sorted(p.segments[0].start.x for p in upright)
    width = j.liner_size.width
    assert xs[0] + xs[-1] == pytest.approx(width, abs=1e-9)
    assert xs[1] + xs[2] == pytest.approx(width, abs=1e-9)
    # Flank between the folds at underside and root: flank length and half of either bend.
    flank = xs[1] - xs[0]
    assert 12.0 < flank < 16.0


def test_quantity_and_trial_strips() -> None:
    whole, trial = Parts(job(liner__spare=5))["liner"]
    assert whole.quantity == 24 + 5
    widths = [r.box[2] - r.box[0] for r in trial.cut]
    assert widths[1] == pytest.approx(job().liner_size.width)
    assert widths[1] - widths[0] == pytest.approx(0.5)
    assert widths[2] - widths[1] == pytest.approx(0.5)
    corners = [len(r.outer.segments) for r in trial.cut]
    assert corners == [7, 10, 13]  # one, two and three notches of three corners each


def test_flat_outline_area() -> None:
    size = job().liner_size
    region, _ = flat_liner(size)
    bevel = 1.5
    assert region.area == pytest.approx(size.width * size.length - 2 * bevel**2)
    plain, folds = flat_liner(replace(size, cuff=0.0))
    assert plain.area == pytest.approx(size.width * size.length)
    assert len(folds) == 4


def test_mouth_gap_that_eats_the_liner_is_refused() -> None:
    tiny = job(
        lamination__outer_diameter=20, lamination__bore_diameter=5, lamination__slot_depth=2.2,
        lamination__tooth_width=1.6, lamination__slot_opening=0.6, lamination__tip_thickness=0.5,
        lamination__tip_angle=0, liner__mouth_gap=2.4, hub__spokes=None, hub__keyway=None,
        winding__wire="0.2 mm", lamination__root_radius=0.2,
    )  # fmt: skip
    with pytest.raises(Refused, match="mouth_gap"):
        assert tiny.liner_size
