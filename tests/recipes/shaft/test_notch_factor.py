"""Notch factors against tables, charts and exact limits.

Outside values: tests/reference/kt_tube_transverse_hole.csv (Shigley Table A-16 and Roark Table
17.1); R. L. Norton's power fits of Peterson's charts (Machine Design, appendix, from memory); J. M.
Gere, Mechanics of Materials, problem 3.11-3, three factors read from Peterson's chart; Shigley,
Mechanical Engineering Design, example 6-6 (Kf of a shoulder) and page 373 (sharp shoulder 2.7 and
2.2, key seat 2.14 and 3.0); Kirsch's 3 and 4 for small holes; Inglis's ellipse.
"""

import csv
import math

import pytest

from recipes.shaft.notch_factor import (
    HOLE_STRETCH,
    KEY_SEAT,
    edge_peak,
    hole_bending,
    hole_torsion,
    sensitivity,
    slot_stretch,
    step,
    step_bending,
    step_torsion,
)
from tests.places import ROOT

TABLE = ROOT / "tests" / "reference" / "kt_tube_transverse_hole.csv"
ROWS = list(csv.DictReader(x for x in TABLE.read_text().splitlines() if not x.startswith("#")))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['hole_d_over_D']}-{r['bore_d_over_D']}")
def test_hole_in_a_tube(row: dict[str, str]) -> None:
    x, k = float(row["hole_d_over_D"]), float(row["bore_d_over_D"])
    gross = float(row["Kt_net_bending"]) / float(row["A_factor"])
    assert hole_bending(x, k) == pytest.approx(gross, rel=0.009)
    assert hole_bending(x, k) == pytest.approx(float(row["Kt_gross_bending_Roark"]), abs=6e-4)
    torsion = float(row["Kt_gross_torsion_Roark(x tau_nom)"])
    assert hole_torsion(x, k) == pytest.approx(torsion, abs=6e-4)


def test_a_small_hole_has_kirschs_factors() -> None:
    assert len(ROWS) == 20
    assert hole_bending(1e-9, 0.37) == pytest.approx(3.0)
    assert hole_torsion(1e-9, 0.37) == pytest.approx(4.0)


def test_the_stretched_fit_rises_to_its_end_and_stays() -> None:
    for k in (0.2, 0.5, 0.8):
        for factor in (hole_bending, hole_torsion):
            found = [factor(x / 100, k) for x in range(25, 46)]
            assert found == sorted(found)
            assert factor(0.7, k) == factor(HOLE_STRETCH, k)


def test_hole_edge_by_kirsch() -> None:
    assert edge_peak(71.3, 0.0, 0.0) == pytest.approx(3 * 71.3)
    assert edge_peak(0.0, 71.3, 0.0) == pytest.approx(2 * 71.3)
    assert edge_peak(0.0, 0.0, 71.3) == pytest.approx(4 * 71.3)


@pytest.mark.parametrize(
    "parts", [(31.0, 7.0, 11.0), (3.0, 19.0, 5.5), (11.0, 0.0, 17.0), (0, 9, 4)]
)
def test_hole_edge_against_a_fine_walk(parts: tuple[float, float, float]) -> None:
    even, rising, shear = parts
    walk = max(
        abs(
            even * (1 - 2 * math.cos(2 * p))
            - 4 * shear * math.sin(2 * p)
            + rising * (math.sin(p) - math.sin(3 * p))
        )
        for p in (math.pi * k / 50000 for k in range(100000))
    )
    assert edge_peak(*parts) == pytest.approx(walk, rel=2e-3)


def test_a_slot_in_torsion_is_inglis_ellipse() -> None:
    assert slot_stretch(9.3, 9.3) == pytest.approx(1.0)  # a round hole
    # length 22, width 8: a = 11, b = sqrt(44) = 6.633; 17.633^2 / (4 * 72.966) = 1.0653
    assert slot_stretch(22.0, 8.0) == pytest.approx(1.0653, abs=2e-4)


#: D/d, r/d and A, b of Norton's Kt = A (r/d)^b.
NORTON_BENDING = [(1.1, 0.95120, -0.23757), (1.2, 0.97098, -0.21796), (1.5, 0.93836, -0.25759), (2.0, 0.90879, -0.28598)]  # fmt: skip
NORTON_TORSION = [(1.2, 0.83425, -0.21649), (1.33, 0.84897, -0.23161), (2.0, 0.86331, -0.23865)]


@pytest.mark.parametrize("share", [0.02, 0.03, 0.05, 0.1, 0.2])
def test_steps_against_nortons_fits_of_the_same_charts(share: float) -> None:
    for ratio, a, b in NORTON_BENDING:
        # Two fits of one chart; Roark's is the higher except at low steps.
        assert 0.91 < step_bending(ratio, 1.0, share) / (a * share**b) < 1.15
    for ratio, a, b in NORTON_TORSION:
        assert step_torsion(ratio, 1.0, share) == pytest.approx(a * share**b, rel=0.08)


@pytest.mark.parametrize(("small", "radius", "read"), [(0.7, 0.15, 1.20), (0.8, 0.10, 1.29), (0.9, 0.05, 1.41)])  # fmt: skip
def test_gere_problem_3_11_3(small: float, radius: float, read: float) -> None:
    assert step_torsion(1.0, small, radius) == pytest.approx(read, rel=0.03)


def test_shigleys_shoulders() -> None:
    # example 6-6: 38 to 32 mm, r 3 mm: Kt 1.65; Kf 1.55 at 690 MPa
    notch = step(38.0, 32.0, 3.0)
    assert notch.bending == pytest.approx(1.65, abs=0.01)
    assert 1 + sensitivity(690.0, 3.0) * (notch.bending - 1) == pytest.approx(1.55, abs=0.01)
    # page 373: r/d 0.02, D/d 1.5: 2.7 in bending, 2.2 in torsion
    assert step_bending(1.5, 1.0, 0.02) == pytest.approx(2.7, rel=0.09)
    assert step_torsion(1.5, 1.0, 0.02) == pytest.approx(2.2, rel=0.09)
    assert KEY_SEAT == (2.14, 3.0)


def test_sensitivity_grows_with_radius_and_strength() -> None:
    assert sensitivity(500.0, 0.3) < sensitivity(500.0, 2.0) < sensitivity(900.0, 2.0) < 1.0
    assert sensitivity(500.0, math.inf) == 1.0
    assert sensitivity(600.0, 0.5, twisted=True) > sensitivity(600.0, 0.5)
    assert step_bending(20.0, 20.0, 0.5) >= 1.0
