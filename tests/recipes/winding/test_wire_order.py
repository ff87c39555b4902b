"""Lengths, mass, reels and pull, against copper tables and by hand."""

from __future__ import annotations

import pytest

from recipes.refusal import Refused
from recipes.tables import copper
from recipes.tables.wire import awg_wire
from recipes.winding.wire_order import spools_for, wire_order_results
from tests.support.wire import STARTERS, job_of, read_reference

KG_PER_M_OF_LB_PER_KFT = 0.45359237 / 304.8


@pytest.mark.parametrize("row", read_reference("awg_copper_mass.csv"), ids=lambda r: r["awg"])
def test_copper_mass_equals_the_copper_wire_tables(row: dict[str, str]) -> None:
    """NBS Handbook 100 by a stored copy; its density is 8.89, its diameters those of ASTM B258."""
    wire = awg_wire(int(row["awg"]), 2)
    published = float(row["lb_per_1000_ft"]) * KG_PER_M_OF_LB_PER_KFT
    # NEMA names diameters to 0.1 mil, which moves the area of the thinnest here by 0.4 %
    bare = copper.mass_g(1.0, wire.copper_area_mm2) / 1000.0
    assert bare == pytest.approx(published, rel=5e-3)
    # heavy enamel adds 0.5 to 4 % to these sizes: film of 0.03 to 0.1 mm at 1.35 g/cm3
    assert 1.005 * bare < wire.mass_g_per_m / 1000.0 < 1.045 * bare


def test_mass_in_the_order_counts_the_enamel() -> None:
    job = job_of("wool-spinner", 2.317, winding__wire="19 AWG", winding__turns=13)
    per_m = job.wire_order.mass_kg_per_m
    published = 3.899 * KG_PER_M_OF_LB_PER_KFT  # 19 AWG bare, awg_copper_mass.csv
    assert 1.005 * published < per_m < 1.03 * published


def test_order_by_hand() -> None:
    # 4 strands; 4 coils of 0.813 m a phase; tails 2 x 0.15, at the two terminals 0.30
    order = job_of("kayak-thruster", 0.813).wire_order
    assert order.coils == 12
    assert order.coil_cut_m == pytest.approx(0.813 + 0.3)
    phase = 4 * (4 * 1.113 + 2 * 0.15)
    assert order.phase_m == pytest.approx(phase)
    assert order.motor_m == pytest.approx(3 * phase)
    assert order.order_m == pytest.approx(3 * phase * 1.15 + phase)
    # 0.53 mm grade 2 by hand: 8.89 x 0.22062 + 1.35 x film; 2.03 g/m within the film's spread
    assert order.mass_kg_per_m == pytest.approx(2.03e-3, rel=0.01)
    assert order.order_kg == pytest.approx(order.order_m * order.mass_kg_per_m)


@pytest.mark.parametrize(("spare", "phases"), [(0, 3.45), (1, 4.45), (3, 6.45)])
def test_spare_phases_are_bought_on_top(spare: int, phases: float) -> None:
    order = job_of("wool-spinner", 2.317, winding__spare_phases=spare).wire_order
    assert order.order_m == pytest.approx(phases * order.phase_m)


def test_alternate_teeth_have_half_the_coils() -> None:
    job = job_of("kayak-thruster", 0.813, winding__coil_sides="alternate teeth")
    assert job.wire_order.coils == 6


@pytest.mark.parametrize(
    ("mass", "reels"),
    [
        (0.0, (0.1,)),
        (0.0999, (0.1,)),
        (0.1, (0.1,)),
        (0.1001, (0.25,)),
        (0.37, (0.5,)),
        (2.01, (5.0,)),
        (5.0, (5.0,)),
        (5.3, (5.0, 0.5)),
        (10.0, (5.0, 5.0)),
        (12.2, (5.0, 5.0, 5.0)),
    ],
)
def test_reels_hold_the_order(mass: float, reels: tuple[float, ...]) -> None:
    assert spools_for(mass) == reels
    assert sum(reels) >= mass - 1e-9


def test_each_strand_may_have_a_reel_of_its_own() -> None:
    order = job_of("kayak-thruster", 1.613).wire_order
    assert 0.25 < order.order_kg < 0.5
    assert order.spools_kg == (0.5,)
    assert order.spool_each_kg == 0.1
    assert 4 * order.spool_each_kg >= order.order_kg


@pytest.mark.parametrize(
    ("wire", "low", "high"),
    # common practice: a maker's chart of 69 N/mm2 at most, of which 50 to 80 %
    [("0.50 mm", 7.0, 11.0), ("0.80 mm", 18.0, 28.0), ("1.00 mm", 27.0, 43.0)],
)
def test_pull_on_one_strand(wire: str, low: float, high: float) -> None:
    job = job_of("potters-wheel", 1.61, winding__wire=wire, winding__strands=3)
    pull = job.tension
    assert pull.least_N == pytest.approx(low, abs=0.6)
    assert pull.most_N == pytest.approx(high, abs=0.6)
    assert pull.most_N / job.wire.copper_area_mm2 < 69.0
    assert pull.together_N == pytest.approx((3 * pull.least_N, 3 * pull.most_N))


@pytest.mark.parametrize("name", STARTERS)
def test_results_of_the_starters_hang_together(name: str) -> None:
    job = job_of(name, winding__run="one wire a tooth")
    r = wire_order_results(job.wire_order, job.tension)
    winding, turn = job.design.winding, job.turn_lengths
    coils = job.wire_order.coils
    # R41: turns x strands x mean turn with 3 to 5 % slack, tails on top
    bare = coils * winding.strands * winding.turns * turn.mean_turn_mm / 1000.0
    tails = coils * winding.strands * 2 * winding.tail / 1000.0
    ends = 6 * winding.parallel_paths * winding.strands * 0.150  # 300 mm instead of 150
    slack = (float(r["wire_length_m"]) - tails - ends) / bare - 1.0
    assert 0.03 <= slack <= 0.05
    assert float(r["wire_order_m"]) == pytest.approx(float(r["wire_length_m"]) * (1.15 + 1 / 3))
    assert float(r["spool_kg"]) >= float(r["wire_order_kg"])
    assert str(r["spools"]).endswith("kg")
    assert job.circuit.strands == winding.strands


def test_unequal_paths_are_refused() -> None:
    with pytest.raises(Refused, match=r"winding\.parallel_paths = 3: the 8 coils"):
        bool(job_of("potters-wheel", 1.61, winding__parallel_paths=3).wire_order.coils)
