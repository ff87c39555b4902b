"""Solids: closed forms against the kernel, against gmsh and against plain cadquery."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from geometry.errors import GeometryError
from geometry.formats.step_read import planar_loops, read_step
from geometry.formats.step_write import write_step
from geometry.inspection.compare import compare_outlines
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line
from geometry.solids import BlindSlot, Cut, Extruded, Flat, Machined, RadialSlot, Revolved
from geometry.solids.kernel import build
from tests.bench import plain_cadquery as plain
from tests.support.solids import (
    FLATS,
    KEY,
    SLOT,
    axle,
    kernel_volume,
    lamination,
    revolved_with_arcs,
)


def test_a_tube_has_the_volume_of_the_school_book() -> None:
    tube = Revolved(Outline.polygon([(2.7, 3.1), (41.3, 3.1), (41.3, 8.45), (2.7, 8.45)]))
    assert tube.volume == pytest.approx(math.pi * (8.45**2 - 3.1**2) * 38.6, rel=1e-14)
    assert tube.z_range == (2.7, 41.3)


def test_a_ring_has_the_volume_of_pappus() -> None:
    ring = Revolved(Outline.circle(Point(1.9, 13.7), 2.3))
    assert ring.volume == pytest.approx(2 * math.pi * 13.7 * math.pi * 2.3**2, rel=1e-13)


def test_turned_arcs_agree_with_school_book_and_kernel() -> None:
    body = revolved_with_arcs()
    quarter_ball = 2 / 3 * math.pi * 5.1**3
    straight = math.pi * (5.1**2 * 4.1 + 9.2**2 * 11.1)
    cone = math.pi * 7.3 * (6.4**2 + 6.4 * 9.2 + 9.2**2) / 3
    r, away = 4.1, 5.1
    rounded = math.pi * (away**2 * r + 2 * away * math.pi * r**2 / 4 + 2 / 3 * r**3)
    assert body.volume == pytest.approx(quarter_ball + straight + cone + rounded, rel=1e-13)
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-9)


def test_a_hole_right_through_a_bar_matches_the_steinmetz_solid() -> None:
    # Two equal crossed cylinders share 16 r^3 / 3 (Archimedes, The Method; from memory).
    bar = Revolved(Outline.polygon([(0.0, 0.0), (40.1, 0.0), (40.1, 7.3), (0.0, 7.3)]))
    nearly = RadialSlot(
        19.2 - 7.3, 19.2 + 7.3, 2 * 7.3 - 1e-7, 0.3
    )  # takes one half, as long as wide
    assert nearly.removed(bar) == pytest.approx(16 * 7.3**3 / 3 / 2, rel=1e-7)


def test_extruded_lamination_agrees_with_the_kernel() -> None:
    body = Extruded(lamination(12), 17.3, -2.9)
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-10)
    assert body.z_range == pytest.approx((-2.9, 14.4))


@pytest.mark.parametrize(
    "cuts",
    [(), (SLOT,), (KEY,), FLATS, (SLOT, KEY, *FLATS)],
    ids=["plain", "slot", "key seat", "flats", "all"],
)
def test_turned_axle_agrees_with_the_kernel(cuts: tuple[Cut, ...]) -> None:
    body = axle(*cuts)
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-9)


def test_a_flat_that_opens_the_bore_agrees_with_the_kernel() -> None:
    body = axle(Flat(155.5, 171.3, 2.4, 1.1))
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-9)


def test_cuts_across_shoulders_agree_with_the_kernel() -> None:
    body = axle(
        RadialSlot(55.9, 66.6, 3.7, 2.1), Flat(17.9, 24.9, 5.3, 0.2), Flat(0, 21.4, 5.9, 2.9)
    )
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-9)


def test_a_rounded_mouth_is_a_ball_rolled_along_the_edge() -> None:
    def taken(z_end: float) -> float:
        sharp, rounded = (
            axle(RadialSlot(90.3, z_end, 5.2, 0.7, edge_radius=r)) for r in (0.0, 0.83)
        )
        return kernel_volume(sharp) - kernel_volume(rounded)

    # Section across the axis: ball of radius q touches the slot's side y = h and the outside R
    outside, h, q = 8.45, 2.6, 0.83
    ball = Point(math.sqrt((outside - q) ** 2 - (h + q) ** 2), h + q)
    on_side, on_outside = Point(ball.x, h), ball.times(outside / (outside - q))
    corner = Point(math.sqrt(outside**2 - h**2), h)
    section = Outline(
        (
            Line(on_side, corner),
            Arc(corner, on_outside, ORIGIN, True),
            Arc(on_outside, on_side, ball, False),
        )
    )
    sides = 2 * section.area * (113.5 - 104.6)
    assert taken(113.5) - taken(104.6) == pytest.approx(sides, rel=1e-6)


def test_plain_cadquery_with_kernel_fillets_draws_the_same_lamination(tmp_path: Path) -> None:
    figures = plain.build(7, tmp_path)
    body = Extruded(lamination(7), plain.STACK)
    assert body.volume == pytest.approx(figures["volume_mm3"], rel=1e-9)
    content = read_step((tmp_path / "lamination.step").read_bytes())
    assert sum(content.faces.values()) == figures["faces"] == 7 * 14 + 3
    for z in (0.0, plain.STACK):
        assert compare_outlines(body.region.loops, planar_loops(content, z), 1e-6) == []


def test_breaking_the_design_shows_in_the_comparison() -> None:
    content = read_step(write_step(Extruded(lamination(7), 3.1), name="seven"))
    moved = lamination(7).moved(2e-6, 0.0)
    assert compare_outlines(moved.loops, planar_loops(content, 3.1), 1e-6)


@pytest.mark.parametrize(
    ("make", "says", "limit"),
    [
        (lambda: Extruded(Region(Outline.rectangle(3.1, 2.2)), 0.0), "positive height", 0.0),
        (lambda: Revolved(Outline.rectangle(3.1, 2.2)), "crosses the axis: r = -1.1", 0.0),
        (lambda: RadialSlot(1.0, 6.0, 5.2, 0.0), "5 mm long but 5.2 mm wide", 5.2),
        (lambda: RadialSlot(1.0, 6.0, -1.0, 0.0), "slot width must be above 0", 0.0),
        (lambda: RadialSlot(1.0, 6.0, 2.0, 0.0, -0.1), "mouth radius must not", 0.0),
        (lambda: RadialSlot(math.nan, 9.0, 2.0, 0.0), "is not a number", None),
        (lambda: Flat(1.0, 6.0, 0.0, 0.0), "distance of the flat", 0.0),
        (lambda: axle(RadialSlot(90.3, 104.6, 6.2, 0.7)), "bore is 6.2 mm", 6.2),
        (lambda: axle(RadialSlot(160.3, 174.6, 5.2, 0.7)), "leaves the body", 171.3),
        (lambda: axle(Flat(0.0, 13.3, 6.05, 0.7)), "misses the body", 6.05),
        (lambda: axle(RadialSlot(140, 149.9, 5.2, 0.7, 0.4)), "needs a plain cylinder", None),
        (lambda: axle(RadialSlot(90, 99, 5.2, 0.7, 5.4)), "too large for the wall", 5.35),
        (
            lambda: Machined(revolved_with_arcs(), (RadialSlot(12, 15, 2.0, 0),)),
            "needs a bore",
            0.0,
        ),
    ],
)
def test_impossible_solids_are_refused(make: object, says: str, limit: float | None) -> None:
    with pytest.raises(GeometryError, match=says) as caught:
        make()  # type: ignore[operator] # a table of lambdas
    assert caught.value.limit == (pytest.approx(limit) if limit is not None else None)


def test_cuts_that_may_overlap_have_no_volume() -> None:
    with pytest.raises(GeometryError, match="RadialSlot and BlindSlot may overlap"):
        _ = axle(SLOT, BlindSlot(100.1, 112.3, 2.3, 0.9, 6.1)).volume
    apart = axle(SLOT, BlindSlot(100.1, 112.3, 2.3, 0.7 + math.pi, 6.1))
    assert kernel_volume(apart) == pytest.approx(apart.volume, rel=1e-9)


def test_cuts_that_part_the_body_are_refused() -> None:
    with pytest.raises(GeometryError, match="leaves 2 separate bodies"):
        build(axle(*(Flat(10.1, 13.3, 0.1, k * math.pi / 2) for k in range(4))))


def test_a_slot_with_a_floor_agrees_with_the_kernel() -> None:
    """On one cylinder, and over a step and its neighbour; sideways too."""
    one, over = BlindSlot(88.2, 109.9, 4.3, 2.6, 6.1), BlindSlot(47.3, 66.1, 3.9, -0.9, 7.2)
    for cuts in ((one,), (over,), (one, over, SLOT)):
        body = axle(*cuts)
        assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-9)


def test_a_slot_with_a_floor_holds_strip_less_plane() -> None:
    """Half strip of a disc, h sqrt(r2 - h2) + r2 asin(h / r), beyond a chord, times the length."""
    r, h, floor = 8.45, 2.15, 6.1
    area = h * math.sqrt(r * r - h * h) + r * r * math.asin(h / r) - 2 * h * floor
    base = axle().base
    short, long = (BlindSlot(88.2, end, 4.3, 0.3, floor).removed(base) for end in (99.1, 112.4))
    assert long - short == pytest.approx(area * (112.4 - 99.1), rel=1e-9)


@pytest.mark.parametrize(
    ("make", "message", "limit"),
    [
        (lambda: BlindSlot(1.0, 6.0, 5.2, 0.0, 6.0), "5 mm long but 5.2 mm wide", 5.2),
        (lambda: BlindSlot(1.0, 9.0, 5.2, 0.0, 0.0), "slot's floor from the axis must be", 0.0),
        (lambda: axle(BlindSlot(90.0, 99.0, 4.0, 0.0, 3.1)), "breaks into the bore", 3.1),
        (lambda: axle(BlindSlot(90.0, 99.0, 4.0, 0.0, 8.3)), "misses the body", 8.45),
        (lambda: axle(BlindSlot(165.0, 174.0, 4.0, 0.0, 5.0)), "leaves the body", 171.3),
    ],
)
def test_slots_with_a_floor_that_cannot_be(
    make: Callable[[], object], message: str, limit: float
) -> None:
    with pytest.raises(GeometryError, match=message) as caught:
        make()
    assert caught.value.limit == pytest.approx(limit)
