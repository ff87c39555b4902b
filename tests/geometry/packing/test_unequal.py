"""Circles of different sizes in a round hole.

Outside values: best known packings of equal circles, R. L. Graham, B. D. Lubachevsky, K. J. Nurmela
and P. R. J. Ostergard, Discrete Math. 181 (1998), and E. Specht's collection; Descartes' circle
theorem (Soddy's outer circle) for three; S. P. Fekete, P. Keldenich and C. Scheffer (SoCG 2019):
circles of at most half the area of a disc always fit it.
"""

import math
import os
import subprocess
import sys

import pytest

from geometry.errors import GeometryError
from geometry.packing.unequal import MOST_CIRCLES, UnequalPacking, pack_unequal
from tests.places import ROOT

#: Best known hole over circle.
EQUAL = {1: 1.0, 2: 2.0, 3: 2.154701, 4: 2.414214, 5: 2.701302, 6: 3.0, 7: 3.0, 8: 3.304765, 9: 3.613126, 10: 3.813026, 12: 4.029602, 19: 4.863703}  # fmt: skip


def slack(found: UnequalPacking) -> float:
    """Largest overlap of two circles or of one with the hole, as a share of the hole."""
    over = [
        (a + b) / 2 - p.distance(q)
        for i, (p, a) in enumerate(zip(found.centres, found.diameters, strict=True))
        for q, b in list(zip(found.centres, found.diameters, strict=True))[:i]
    ]
    walls = [p.length() + d / 2 - found.hole / 2 for p, d in zip(found.centres, found.diameters, strict=True)]  # fmt: skip
    return max([*over, *walls]) / found.hole


@pytest.mark.parametrize(("n", "best"), EQUAL.items())
def test_equal_circles(n: int, best: float) -> None:
    found = pack_unequal([1.37] * n)
    assert found.hole / 1.37 > best - 1e-6  # no packing beats the best known
    assert found.hole / 1.37 < best * 1.015
    if n in (1, 2, 3, 4, 5, 7):
        assert found.hole / 1.37 == pytest.approx(best, abs=1e-6)
    assert slack(found) < 1e-9


def test_two_circles_lie_side_by_side() -> None:
    assert pack_unequal([3.61, 1.27]).hole == pytest.approx(3.61 + 1.27, rel=1e-8)


@pytest.mark.parametrize("radii", [(2.0, 2.5, 3.1), (1.0, 1.0, 1.3), (2.9, 3.9, 4.1)])
def test_three_circles_have_soddys_hole(radii: tuple[float, float, float]) -> None:
    a, b, c = (1 / r for r in radii)
    soddy = 1 / (2 * math.sqrt(a * b + b * c + c * a) - (a + b + c))
    assert pack_unequal([2 * r for r in radii]).hole == pytest.approx(2 * soddy, rel=1e-7)


def test_a_small_circle_hides_in_the_gap_of_two() -> None:
    # Descartes again: beside 2 and 3 in 5 there is room for r = 1 / (1/2 + 1/3 - 1/5) = 30/19.
    assert pack_unequal([4, 6, 2 * 30 / 19]).hole == pytest.approx(10, rel=1e-6)
    assert pack_unequal([4, 6, 2 * 1.65]).hole > 10.01


@pytest.mark.parametrize("sizes", [[3.6] * 3 + [1.2] * 7, [10.3] + [1.1] * 9, [5, 4, 3, 2, 1] * 5])
def test_bundles_are_tight_and_allowed(sizes: list[float]) -> None:
    found = pack_unequal(sizes)
    assert slack(found) < 1e-9
    assert found.diameters == tuple(float(d) for d in sizes)
    assert math.fsum(d * d for d in sizes) / found.hole**2 > 0.66
    assert math.fsum(d * d for d in sizes) / found.hole**2 < math.pi / math.sqrt(12)


def test_half_the_area_always_fits() -> None:
    for sizes in ([2.0, 1.9, 0.3], [1.0] * 11, [3, 2, 2, 1, 1, 1, 0.5]):
        assert pack_unequal(sizes).hole <= math.sqrt(2 * math.fsum(d * d for d in sizes)) + 1e-6


def test_order_and_scale_do_not_matter() -> None:
    one = pack_unequal([1.2, 3.6, 1.2, 3.6])
    two = pack_unequal([3.6, 3.6, 1.2, 1.2])
    assert one.hole == two.hole
    assert one.centres[1] in two.centres[:2]
    for factor in (10, 0.01):
        other = pack_unequal([factor * d for d in (1.2, 3.6, 1.2, 3.6)])
        assert other.hole == pytest.approx(factor * one.hole, rel=1e-7)


@pytest.mark.parametrize("bad", [[], [1.0] * (MOST_CIRCLES + 1), [1.0, 0.0], [1.0, math.nan], [math.inf]])  # fmt: skip
def test_impossible_requests_are_refused(bad: list[float]) -> None:
    with pytest.raises(GeometryError) as error:
        pack_unequal(bad)
    assert error.value.hint


def test_the_same_bytes_in_every_process() -> None:
    code = "from geometry.packing.unequal import pack_unequal; print(pack_unequal([3.6]*3+[1.2]*4).centres)"
    said = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("0", "4711")
    }  # fmt: skip
    assert len(said) == 1
