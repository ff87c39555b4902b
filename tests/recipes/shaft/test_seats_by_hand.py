"""Fits, take-off and warm fits of the three starters, worked by hand, step by step.

Every figure is typed: limits from JIS B 0401 (= ISO 286-2) shaft and hole tables, bores and outsides
from ISO 492 Normal, bearings from ISO 15; nothing of the product is asked but its answers.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from recipes.shaft.seat_fit import compound_seat, ring_in_housing, seat_fit_results
from recipes.tables.bearings import bearing
from tests.support.design import job


@dataclass(frozen=True)
class Hand:
    """One seat by hand: sizes in mm, deviations in um."""

    starter: str
    seat: int
    bore: float
    upper: int
    lower: int
    bore_lower: int
    stock: float
    hub: float
    hub_upper: int
    hub_lower: int
    outside_lower: int


#: 6005 is 25 x 47, 6002 15 x 32 (ISO 15); h6 over 18 to 30 0/-13, over 10 to 18 0/-11; h5 0/-8;
#: M7 over 30 to 50 0/-25, H7 +25/0; bore 0/-10 over 18 to 30, 0/-8 over 10 to 18; outside 0/-11 over 30 to 50.
HANDS = [
    Hand("potters-wheel", 1, 25, 0, -13, -10, 38, 47, 0, -25, -11),
    Hand("potters-wheel", 2, 25, 0, -13, -10, 38, 47, 0, -25, -11),
    Hand("kayak-thruster", 1, 15, 0, -8, -8, 25, 32, 25, 0, -11),
    Hand("kayak-thruster", 2, 15, 0, -8, -8, 25, 32, 25, 0, -11),
    Hand("wool-spinner", 1, 15, 0, -11, -8, 25.4, 32, 0, -25, -11),
    Hand("wool-spinner", 2, 15, 0, -11, -8, 25.4, 32, 0, -25, -11),
]


@pytest.mark.parametrize("h", HANDS, ids=lambda h: f"{h.starter} {h.seat}")
def test_play_of_a_bearing_on_its_seat(h: Hand) -> None:
    """ISO 286-1: most clearance = largest hole - smallest shaft; most interference the other way."""
    j = job(h.starter)
    got = seat_fit_results(j.seats, j.hub_fit, j.design.axle.stock_diameter)
    assert got[f"seat_{h.seat}_max_mm"] == pytest.approx(h.bore + h.upper / 1000)
    assert got[f"seat_{h.seat}_min_mm"] == pytest.approx(h.bore + h.lower / 1000)
    assert got[f"seat_{h.seat}_clearance_most_um"] == pytest.approx(0 - h.lower)
    assert got[f"seat_{h.seat}_interference_most_um"] == pytest.approx(h.upper - h.bore_lower)
    off = h.stock - (h.bore + h.upper / 1000)
    assert got[f"seat_{h.seat}_take_off_mm"] == pytest.approx(off)
    assert got["housing_clearance_most_um"] == pytest.approx(h.hub_upper - h.outside_lower)
    assert got["housing_interference_most_um"] == pytest.approx(0 - h.hub_lower)
    assert got["housing_max_mm"] == pytest.approx(h.hub + h.hub_upper / 1000)


@pytest.mark.parametrize("h", HANDS, ids=lambda h: f"{h.starter} {h.seat}")
def test_heat_for_a_bearing_and_for_the_hub(h: Hand) -> None:
    """dT = (interference + gap) / (alpha d), any handbook; alpha 10.9e-6 / K, the least published;
    gap 10 um, room 20 C, freezer -18 C."""
    (warm,) = [w for w in job(h.starter).shrink_fits if f"[{h.seat}]" in w.field]
    need = (h.upper - h.bore_lower + 10) / (10.9 * h.bore) * 1000
    assert warm.alone == pytest.approx(20 + need, abs=0.01)
    assert warm.with_cold_axle == pytest.approx(max(20, -18 + need), abs=0.01)
    assert warm.limit == 120.0  # open bearings
    hub = (0 - h.hub_lower + 10) / (10.9 * h.hub) * 1000
    expected = pytest.approx(20 + hub, abs=0.01) if h.hub_lower < 0 else None
    assert job(h.starter).hub_temperature == expected


def test_the_figures_themselves() -> None:
    """The same, as plain numbers: 73.4 K on 25 mm and 110.1 K on 15 mm; hubs 68.3 and 100.3 K."""
    alone = {n: [w.alone for w in job(n).shrink_fits] for n in ("potters-wheel", "wool-spinner")}
    assert alone["potters-wheel"] == pytest.approx([93.4, 93.4], abs=0.05)
    assert alone["wool-spinner"] == pytest.approx([130.1, 130.1], abs=0.05)
    assert job().hub_temperature == pytest.approx(88.3, abs=0.05)
    assert job("wool-spinner").hub_temperature == pytest.approx(120.3, abs=0.05)


def test_a_loose_hub_needs_no_heat() -> None:
    """47 H7 is +25 / 0: never tight on an outside of 0 / -11."""
    assert ring_in_housing(bearing("6005"), "H7").interference_most == pytest.approx(0.0)
    assert ring_in_housing(bearing("6005"), "K7").interference_most == pytest.approx(0.018)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("potters-wheel", 24.85, 24.95), ("kayak-thruster", 14.85, 14.95), ("wool-spinner", 14.85, 14.95)],
)  # fmt: skip
def test_seat_for_compound(name: str, low: float, high: float) -> None:
    """0.05 to 0.15 mm play on the diameter (common practice; 0.002 to 0.005 in for most strength)."""
    for fit in job(name).seats:
        assert compound_seat(fit) == pytest.approx((low, high))
