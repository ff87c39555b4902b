"""Every way to join the coils: ratios, legality, cautions."""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.winding.circuit import (
    CONNECTIONS,
    Connected,
    connection_findings,
    connection_results,
    parallel_paths,
    third_harmonic_share,
)
from tests.support.winding import phase_sum
from tests.support.wire import STARTERS, job_of


def findings(job: Motor) -> list[Finding]:
    return connection_findings(job.circuit.connection, third_harmonic_share(job.layout))


def by_way(name: str, **changes: object) -> dict[tuple[str, int], Connected]:
    rows = job_of(name, 1.613, **changes).connections
    return {(r.circuit.connection, r.circuit.paths): r for r in rows}


def test_potters_wheel_by_hand() -> None:
    """24/28: four equal sections a phase, so 1, 2 or 4 paths; 8 coils of 24 turns in series."""
    rows = by_way("potters-wheel", motor__duty="moving")
    assert list(rows) == [(c, a) for c in ("wye", "delta") for a in (1, 2, 4)]
    assert [r.circuit.turns_in_series for r in rows.values()] == [192, 96, 48] * 2
    own = rows["wye", 1]
    assert own.own
    assert sum(r.own for r in rows.values()) == 1
    # 9 A in two strands of 0.75 mm: 9 / 2 / 0.441786
    assert own.circuit.current_density_A_per_mm2 == pytest.approx(10.1859, abs=1e-4)
    four = rows["delta", 4]
    assert four.circuit.current_density_A_per_mm2 == pytest.approx(
        10.1859 / 4 / math.sqrt(3), abs=1e-4
    )
    # same lead current, sqrt(3) for delta and 4 for the paths
    assert four.speed_per_volt == pytest.approx(6.9282, abs=1e-4)
    assert four.torque_per_ampere == pytest.approx(1 / 6.9282, abs=1e-5)


def test_delta_against_wye_as_the_trade_has_it() -> None:
    """Common practice and any textbook: delta turns 1.732 times as fast per volt, leads see a third."""
    rows = by_way("wool-spinner", winding__parallel_paths=2)
    for paths in (1, 2):
        wye, delta = rows["wye", paths], rows["delta", paths]
        assert delta.speed_per_volt / wye.speed_per_volt == pytest.approx(1.7320508)
        assert wye.torque_per_ampere / delta.torque_per_ampere == pytest.approx(1.7320508)
        assert wye.lead_resistance_20C_ohm / delta.lead_resistance_20C_ohm == pytest.approx(3.0)
    assert rows["wye", 2].own
    assert rows["wye", 1].speed_per_volt == pytest.approx(0.5)


@pytest.mark.parametrize("duty", ["moving", "stalled"])
@pytest.mark.parametrize("name", STARTERS)
def test_for_equal_torque_every_way_makes_the_same_loss(name: str, duty: str) -> None:
    """No way to join the same copper is better: an invariant of the machine, not of our formulas.

    Loss from first principles: moving 3 I^2 R; standing wye 2 I^2 R, delta (1 + 1/4 + 1/4) I^2 R.
    Resistance of bare coils, without links and ends, which do differ.
    """
    squares = {"moving": {"wye": 3, "delta": 3}, "stalled": {"wye": 2, "delta": 1.5}}[duty]
    job = job_of(name, 1.613, motor__duty=duty)
    losses = []
    for row in job.connections:
        c = row.circuit
        amperes = c.phase_current_A / row.torque_per_ampere  # scaled to the design's torque
        resistance = c.coils_in_series / c.paths
        losses.append(squares[c.connection] * amperes**2 * resistance)
    assert losses == pytest.approx([losses[0]] * len(losses))


def test_standing_delta_carries_two_thirds_of_the_lead_current_in_one_phase() -> None:
    # one phase R beside two in series, 2 R: current divides 2 to 1
    job = job_of("kayak-thruster", 0.813, motor__duty="stalled")
    own = job.circuit
    wye = next(way.circuit for way in job.connections if way.circuit.connection == "wye")
    assert own.lead_current_A == pytest.approx(27.0)
    assert own.phase_current_A == pytest.approx(18.0)
    assert wye.phase_current_A == pytest.approx(27.0)
    moving = job_of("kayak-thruster", 0.813).circuit
    assert moving.lead_current_A == pytest.approx(31.1769, abs=1e-4)


def test_lead_resistance_of_every_row() -> None:
    job = job_of("kayak-thruster", 0.813)
    for row in job.connections:
        phase = job.phase_ohms[row.circuit.paths]
        seen = 2 * phase if row.circuit.connection == "wye" else phase * 2 * phase / (3 * phase)
        assert row.lead_resistance_20C_ohm == pytest.approx(seen)


@pytest.mark.parametrize("name", STARTERS)
def test_third_harmonic_share_from_the_teeth_themselves(name: str) -> None:
    # phasor sum tooth by tooth times pitch factor, square wave: B3 = B1 / 3
    job = job_of(name, 1.613)
    w, p = job.layout, job.layout.pole_pairs

    def factor(order: int) -> float:
        pitch = abs(math.sin(order * math.pi * p / w.slots))
        return pitch * abs(phase_sum(w, "U", order)) / w.coils_per_phase

    assert third_harmonic_share(job.layout) == pytest.approx(factor(3) / factor(1) / 3)
    assert 0.17 < third_harmonic_share(job.layout) < 0.21


def test_a_winding_without_third_harmonic_needs_no_caution() -> None:
    # 2/3 pitch, p/Q = 1/3: sin(3 pi/3) = 0, the third harmonic is not linked at all
    job = job_of("kayak-thruster", 0.813, motor__poles=8)
    assert third_harmonic_share(job.layout) == pytest.approx(0.0, abs=1e-12)
    assert findings(job) == []


def test_delta_is_warned_of_wye_is_not() -> None:
    (found,) = findings(job_of("kayak-thruster", 0.813))
    assert (found.level, found.code, found.value) == ("warn", "delta-circulates", 0.179)
    assert "18 %" in found.message
    assert findings(job_of("kayak-thruster", 0.813, winding__connection="wye")) == []


def test_cautions_go_with_what_can_circulate() -> None:
    rows = by_way("potters-wheel")
    assert rows["wye", 1].cautions == ()
    assert ["third harmonic" in c for c in rows["delta", 1].cautions] == [True]
    assert "the 4 paths" in rows["wye", 4].cautions[0]
    assert len(rows["delta", 2].cautions) == 2


@pytest.mark.parametrize("paths", [3, 5, 8])
def test_unequal_paths_are_stopped_and_the_legal_ones_named(paths: int) -> None:
    job = job_of("potters-wheel", 1.613, winding__parallel_paths=paths)
    for fact in ("joints", "circuit", "connections", "resistance", "wire_order"):
        with pytest.raises(Refused) as caught:
            bool(getattr(job, fact))
        (found,) = caught.value.findings
        assert (found.level, found.code) == ("stop", "paths-not-equal")
        assert (found.value, found.limit) == (paths, "1 or 2 or 4")


def test_results() -> None:
    job = job_of("wool-spinner", 2.317, winding__parallel_paths=2)
    out = connection_results(job.circuit, job.layout)
    assert out["turns_in_series"] == 126  # 6 coils of 42 turns in two paths
    assert out["parallel_paths_legal"] == "1, 2"
    assert out["lead_current_A"] == 3.5
    assert CONNECTIONS == ("wye", "delta")
    assert parallel_paths(job.layout) == (1, 2)
