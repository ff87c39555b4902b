"""Rounded edges: volumes by closed form against the kernel, and what cannot be rounded."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest

from geometry.errors import GeometryError
from geometry.fillet import round_corners
from geometry.formats.step_read import planar_loops, read_step
from geometry.formats.step_write import write_step, write_stl
from geometry.formats.stl_read import read_stl
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Line
from geometry.solids import Extruded, Fillet, Filleted
from recipes.build.read_back import check_step
from tests.support.fillets import NECK, plate
from tests.support.gmsh import gmsh_solids
from tests.support.solids import kernel_volume


def ell() -> Outline:
    """An angle with one sharp inner corner, at (4.1, 3.7), between edges 3 and 4."""
    spots = [(6, 0), (13.3, 0), (13.3, 3.7), (4.1, 3.7), (4.1, 9.9), (0, 9.9), (0, 0), (6, 0)]
    run = [Line(Point(*a), Point(*b)) for a, b in itertools.pairwise(spots)]
    return Outline(tuple(round_corners(run, {1: 1.1, 3: 1.7})))


HOLE = Outline.circle(Point(1.2, 0.3), 2.1)
PLATE = Extruded(Region(plate(20.3, 11.7, 2.3, 3.1, 2.9, 2.2), (HOLE,)), 3.3, -1.1)
LOOP = len(PLATE.region.outer.segments)
CASES = {
    "no round": Filleted(PLATE, ()),
    "loop": Filleted(PLATE, (Fillet(0, LOOP, 1.7),)),
    "loop, tight corners": Filleted(PLATE, (Fillet(0, LOOP, 2.199),)),
    "run that stops in smooth places": Filleted(PLATE, (Fillet(1, 3, 1.9),)),
    "as deep as the body": Filleted(Extruded(PLATE.region, 1.7), (Fillet(0, LOOP, 1.7),)),
    "run, as deep as the body": Filleted(Extruded(PLATE.region, 1.7), (Fillet(7, 4, 1.7),)),
    "two radii meet in an inner corner": Filleted(
        Extruded(Region(ell()), 2.9), (Fillet(3, 1, 0.8), Fillet(4, 1, 1.4))
    ),
    "stops in an inner corner": Filleted(Extruded(Region(ell()), 2.9), (Fillet(4, 1, 2.2),)),
    "hollow and full arcs": Filleted(Extruded(Region(NECK), 4.1, 2.3), (Fillet(0, 3, 1.3),)),
}


@pytest.mark.parametrize("name", CASES)
def test_the_kernel_finds_the_closed_form_volume(name: str) -> None:
    body = CASES[name]
    assert kernel_volume(body) == pytest.approx(body.volume, rel=1e-12)


def test_volume_of_a_disc_and_of_a_straight_edge_by_hand() -> None:
    # a disc of radius 9.1, 2.7 high, its edge rounded by 1.4: a plate of radius 7.7 with a rim of
    # a quarter round (Pappus: pi r^2 / 4, centroid 4 r / (3 pi) out) over a ring 1.3 high
    disc = Filleted(Extruded(Region(Outline.circle(ORIGIN, 9.1)), 2.7), (Fillet(0, 2, 1.4),))
    rim = 2 * math.pi * (7.7 + 4 * 1.4 / (3 * math.pi)) * math.pi * 1.4**2 / 4
    by_hand = math.pi * 7.7**2 * 2.7 + rim + math.pi * (9.1**2 - 7.7**2) * 1.3
    assert disc.volume == pytest.approx(by_hand, rel=1e-12)
    # an edge 4.5 long loses (1 - pi / 4) r^2 of its section
    body = CASES["stops in an inner corner"]
    taken = body.base.volume - body.volume
    assert taken == pytest.approx((1 - math.pi / 4) * 2.2**2 * 4.5, rel=1e-12)


@pytest.mark.parametrize("name", ["loop", "two radii meet in an inner corner"])
def test_files_hold_the_body(name: str, tmp_path: Path) -> None:
    body = CASES[name]
    data = write_step(body, name="cap")
    ((found, volume, _),) = gmsh_solids(data, tmp_path)
    assert found == "cap"
    # gmsh integrates curved faces at a fixed order; the kernel's adaptive figure is above
    assert volume == pytest.approx(body.volume, rel=1e-6)
    assert check_step(body, data) == []
    less = tuple(replace(r, radius=0.99 * r.radius) for r in body.fillets)
    assert check_step(Filleted(body.base, less), data) != []
    mesh = read_stl(write_stl(body, 0.004))
    assert mesh.closed
    assert mesh.volume == pytest.approx(body.volume, rel=2e-3)


def test_top_face_is_the_offset_outline() -> None:
    body = CASES["stops in an inner corner"]
    # flank x = 4.1 from y = 3.7 to 8.2 is moved 2.2 into the material, its stop lies on y = 3.7
    assert [p for p in body.edge.top.points if p not in body.base.region.outer.points] == [
        pytest.approx((1.9, 3.7)), pytest.approx((1.9, 8.2)),
    ]  # fmt: skip
    content = read_step(write_step(body, name="x"))
    low, high = body.flat_loops
    assert len(planar_loops(content, low[0])) == 1
    assert planar_loops(content, high[0])[0].area == pytest.approx(body.edge.top.area, rel=1e-12)


@pytest.mark.parametrize(
    ("fillets", "words"),
    [
        ((Fillet(0, 1, 0.5),), "cannot stop in a corner that stands out"),
        ((Fillet(3, 2, 0.5),), "a corner in the run"),
        ((Fillet(3, 1, 0.5), Fillet(3, 1, 0.4)), "only once"),
        ((Fillet(3, 1, 0.0),), "positive radius"),
    ],
)
def test_runs_that_are_none_are_refused(fillets: tuple[Fillet, ...], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        Filleted(Extruded(Region(ell()), 2.9), fillets)


@pytest.mark.parametrize(
    ("base", "fillet", "largest"),
    [
        (PLATE, Fillet(0, LOOP, 2.4, "rim"), 2.2),  # the tightest corner in plan
        (PLATE, Fillet(0, LOOP, 3.5, "rim"), 2.2),
        (Extruded(PLATE.region, 1.2), Fillet(0, LOOP, 1.5, "rim"), 1.2),  # its height
        (Extruded(Region(ell()), 9.0), Fillet(4, 1, 5.0, "rim"), 4.1),  # the far side
    ],
)
def test_a_radius_that_does_not_fit_names_the_largest_that_does(
    base: Extruded, fillet: Fillet, largest: float
) -> None:
    with pytest.raises(GeometryError, match="rim: a radius of") as caught:
        Filleted(base, (fillet,))
    limit = caught.value.limit
    assert limit is not None
    assert largest - 0.02 <= limit < largest
    fits = Filleted(base, (Fillet(fillet.first, fillet.count, limit, "rim"),))
    assert kernel_volume(fits) == pytest.approx(fits.volume, rel=1e-9)


def test_a_filletthat_reaches_a_hole_is_refused() -> None:
    near = Outline.circle(Point(0.7, -3.6), 1.1)
    with pytest.raises(GeometryError, match=r"reaches a hole|meets another edge") as caught:
        Filleted(
            Extruded(Region(plate(20.3, 11.7, 2.3, 3.1, 2.9, 2.2), (near,)), 3.3),
            (Fillet(0, LOOP, 1.6),),
        )
    assert caught.value.limit is not None
    assert 1.12 <= caught.value.limit < 1.15  # 5.85 - 3.6 - 1.1


def test_a_torus_that_touches_its_own_axis_is_refused() -> None:
    """Written as STEP it comes back otherwise from other readers: a part with a wrong volume."""
    with pytest.raises(GeometryError, match="exactly twice") as caught:
        Filleted(PLATE, (Fillet(0, LOOP, 1.1),))
    assert caught.value.limit == pytest.approx(1.09, abs=0.011)
    Filleted(PLATE, (Fillet(0, LOOP, 1.1001),))
