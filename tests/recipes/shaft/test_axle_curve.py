"""The safety curve that is drawn, and the best direction of the wire slot.

Outside values: bending of a tube, 32 M D / (pi (D^4 - d^4)) (any textbook); C45 normalised yields
at 305 MPa (EN 10083-2). Bending alone makes 1 / safety a straight line between two knots.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import pytest

from recipes.shaft.strength import AxleStrength
from tests.support.design import job


def load(force: float, torque: float, **more: object) -> dict[str, object]:
    return {"force": force, "overhang": 215, "torque": torque, "grip": 18, **more}


# --- the curve -----------------------------------------------------------------------------------


def test_the_curve_goes_by_the_textbook_on_both_sides_of_a_notch() -> None:
    """Key seat in the land 30/13: R2 = 350 (215 - 29) / 96 = 678.125 N at 125 mm, no torque."""
    found = job(axle__load=load(350, 0.0)).axle_strength
    modulus = math.pi * (30**4 - 13**4) / (32 * 30)
    for z in (75.0, 93.0):  # key 18 long in the stator seat
        plain = 305 * modulus / (678.125 * (125 - z))
        spike = next(p.safety for p in found.spikes if p.z == z)
        assert spike < 0.5 * plain
        k = [z for z, _ in found.curve].index(z)
        at = found.curve[k : k + 3]
        assert [p[0] for p in at] == [z] * 3
        assert [p[1] for p in at] == pytest.approx([plain, spike, plain], rel=1e-6)


def test_an_unloaded_axle_is_safe_without_end() -> None:
    found = job(axle__load=load(0.0, 0.0)).axle_strength
    assert {s for _, s in found.curve} == {s for _, s in found.long_run_curve} == {math.inf}


@dataclass(frozen=True)
class Spot:
    """What a curve needs of a judged place."""

    z: float
    safety: float
    name: str = ""

    @property
    def long_run(self) -> float:
        return self.safety / 2


def drawn(*spikes: Spot) -> AxleStrength:
    """Two stretches, 3 to 15 mm and on to 19 mm, with a jump between them, and these spikes."""
    runs = [Spot(3.0, 4.0), Spot(15.0, 2.0), Spot(15.0, 5.0), Spot(19.0, 3.5)]
    case: Any = SimpleNamespace(points=lambda points: runs if points > 2 else None)
    places: Any = spikes
    return AxleStrength(case, places, places, math.inf)


@pytest.mark.parametrize(
    ("spike", "expected"),
    [
        # load used up: 1/4 + (1/2 - 1/4) (6 - 3) / (15 - 3) = 5/16 of what it bears
        (Spot(6.0, 1.7), [(3, 4), (6, 3.2), (6, 1.7), (6, 3.2), (15, 2), (15, 5), (19, 3.5)]),
        (Spot(6.0, 3.3), [(3, 4), (6, 3.2), (6, 3.2), (15, 2), (15, 5), (19, 3.5)]),
        # at the jump: hidden by the weaker side, 2, or drawn below both
        (Spot(15.0, 2.1), [(3, 4), (15, 2), (15, 5), (19, 3.5)]),
        (Spot(15.0, 1.9), [(3, 4), (15, 2), (15, 1.9), (15, 5), (19, 3.5)]),
        # at the end there is one side
        (Spot(19.0, 3.6), [(3, 4), (15, 2), (15, 5), (19, 3.5)]),
        (Spot(19.0, 3.4), [(3, 4), (15, 2), (15, 5), (19, 3.5), (19, 3.4)]),
    ],
)
def test_a_spike_is_drawn_where_it_is_the_weaker(
    spike: Spot, expected: list[tuple[float, float]]
) -> None:
    found = drawn(spike)
    assert [v for p in found.curve for v in p] == pytest.approx([v for p in expected for v in p])
    half = [(z, s / 2) for z, s in expected]
    assert [v for p in found.long_run_curve for v in p] == pytest.approx([v for p in half for v in p])  # fmt: skip


def test_a_strong_side_after_the_jump_hides_nothing() -> None:
    """The side before it is the stronger one here: 5 falls to 1.9, the notch of 2.1 stays hidden."""
    found = drawn()
    runs = [Spot(3.0, 9.0), Spot(15.0, 5.0), Spot(15.0, 1.9), Spot(19.0, 8.0)]
    case: Any = SimpleNamespace(points=lambda _: runs)
    for factor, count in ((2.1, 4), (1.8, 5)):
        spikes: Any = (Spot(15.0, factor),)
        assert len(replace(found, case=case, spikes=spikes).curve) == count


# --- the best direction --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("direction", "angle"),
    [(-90.0, 70.0), (37.0, 70.0), (37.0, -20.0), (-112.6, 14.0), (163.0, -171.0), (0.0, 175.0)],
)
@pytest.mark.parametrize("torque", [0.0, 27.0])
def test_no_direction_all_round_is_better_and_no_equal_one_nearer(
    direction: float, angle: float, torque: float
) -> None:
    slot = {"from_face": 44, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": angle}
    found = job(
        axle__load=load(350, torque, direction=direction), axle__wire_slot=slot
    ).axle_strength
    turned, safety = found.best_angle()
    assert -180 < turned <= 180
    assert math.remainder(turned - direction, 5) == pytest.approx(0, abs=1e-6)  # can be set by eye
    assert found.with_slot(angle=turned) == pytest.approx(safety)
    way = abs(math.remainder(turned - angle, 360))
    assert way > 1  # all these stand badly
    for around in range(72):
        other = direction + 5.0 * around
        reached = found.with_slot(angle=other)
        assert reached < (1 + 1e-9) * safety
        if reached > (1 - 1e-9) * safety:
            assert abs(math.remainder(other - angle, 360)) > way - 1e-6


def test_bending_alone_wants_the_slot_on_the_line_that_is_not_stretched() -> None:
    """Seen from the load the least bent fibre lies square to it (any textbook)."""
    slot = {"from_face": 44, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": 61.0}
    found = job(axle__load=load(350, 0.0, direction=37.0), axle__wire_slot=slot).axle_strength
    assert abs(found.best_angle()[0] - (37 + 90)) <= 10


def test_a_slot_that_stands_well_stays() -> None:
    slot = {"from_face": 44, "length": 22, "width": 8, "mouth_radius": 1.5}
    found = job(axle__wire_slot={**slot, "angle": 60.0}).axle_strength
    best, most = found.best_angle()
    assert most > 1.02 * found.at_slot.safety
    near = job(axle__wire_slot={**slot, "angle": best + 5.2}).axle_strength
    assert 1.002 < most / near.at_slot.safety < 1.02
    assert near.best_angle() == (best + 5.2, near.at_slot.safety)
