"""Heating of copper, against IEC 60364-5-54, IEC 60949, burn tables, and what the trade sees."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from geometry.finding import Finding
from recipes.heat.adiabatic import (
    K2_A2_S_PER_MM4,
    MOVING,
    STALLED_AT_PEAK,
    TOUCH_LIMIT_C,
    heat_results,
    heating_rate_K_per_s,
    seconds_to,
)
from recipes.heat.limits import heat_findings
from tests.support.wire import job_of, read_reference

ROOM_C = 20.0
PAIN_C = 44.0  # skin_burns.csv

# 0.64 mm copper, 10 A: the figures of the trade's check (common practice, no source)
TRADE_MM, TRADE_A = 0.64, 10.0
TRADE_DENSITY = TRADE_A / (math.pi / 4 * TRADE_MM**2)
TWO_GAUGES = 92 ** (2 / 39)  # diameters of AWG n and n - 2, ASTM B258


# --- the law ------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", read_reference("adiabatic_k.csv"), ids=lambda r: r["start_C"])
def test_k_of_iec_60364(row: dict[str, str]) -> None:
    """I^2 t = k^2 S^2: at 1 A/mm2 the time is k^2. The standard rounds k to whole numbers."""
    k = math.sqrt(seconds_to(1.0, float(row["start_C"]), float(row["end_C"])))
    assert k == pytest.approx(float(row["k_A_s05_per_mm2"]), abs=0.5)


def test_constant_of_iec_60949() -> None:
    # K = 226 A s^0.5/mm2, rounded there
    assert math.sqrt(K2_A2_S_PER_MM4) == pytest.approx(226.0, abs=0.5)


def test_ten_amperes_per_square_millimetre() -> None:
    """0.4997 K/s at 20 C; 20 to 155 C by K = 226: 226^2 ln(389.5/254.5) / 100 = 217.4 s.

    Unrounded K^2 = 3.45e-3 x 254.5 / 17.241e-6 = 50926 instead of 51076 gives 216.7 s, 0.3 % less.
    """
    assert heating_rate_K_per_s(10.0) == pytest.approx(0.4997, abs=1e-4)
    assert seconds_to(10.0, 20.0, 155.0) == pytest.approx(217.4, rel=4e-3)
    assert seconds_to(10.0, 20.0, 155.0) == pytest.approx(216.7, abs=0.05)


@pytest.mark.parametrize(("density", "start", "seconds"), [(7.3, -12.0, 310.0), (31.7, 23.5, 11.0)])
def test_against_a_numerical_solution(density: float, start: float, seconds: float) -> None:
    """dT/dt = J^2 rho(T) / Qc by scipy, from handbook constants written out here."""

    def slope(_: float, temp: np.ndarray) -> np.ndarray:
        rho = 17.241e-6 * (1 + 0.00393 * (temp - 20.0))
        return density**2 * rho / 3.45e-3

    solved = solve_ivp(slope, (0.0, seconds), [start], rtol=1e-9).y[0, -1]
    assert seconds_to(density, start, solved) == pytest.approx(seconds, rel=4e-4)


def test_no_time_where_nothing_heats() -> None:
    assert seconds_to(13.7, 17.5, 17.5) == 0.0
    assert seconds_to(13.7, 60.0, 51.0) == 0.0
    assert seconds_to(0.0, 17.5, 143.0) == math.inf


def test_warm_copper_heats_faster() -> None:
    assert heating_rate_K_per_s(9.0, 130.0) / heating_rate_K_per_s(9.0) == pytest.approx(
        364.5 / 254.5
    )


# --- what the trade sees ------------------------------------------------------------------------


def test_the_touch_limit_lies_where_burn_tables_put_a_minute() -> None:
    """Serious burns: 49 C over 5 min, 52 C 1.5 to 2 min; pain from 44 C (skin_burns.csv)."""
    table = {float(r["temp_C"]): r for r in read_reference("skin_burns.csv")}
    assert float(table[49.0]["least_s"]) == 300.0
    assert float(table[52.0]["least_s"]) == 90.0
    assert 49.0 < TOUCH_LIMIT_C < 52.0
    assert table[PAIN_C]["what"] == "burning pain begins"


def test_ten_amperes_in_064_take_about_five_seconds() -> None:
    """Common practice: about 5 s from room temperature to the verge of too hot to touch.

    J = 31.1 A/mm2. "About" allows 30 %: a tenth in the current is a fifth in the time, a room may
    have 18 to 25 C, and a hand calls anything between first pain (44 C) and a burn within a minute
    (51 C) the verge. The law itself must lie inside; the middle of that span is 5.4 s.
    """
    assert pytest.approx(31.085, abs=1e-3) == TRADE_DENSITY
    assert heating_rate_K_per_s(TRADE_DENSITY, ROOM_C) == pytest.approx(4.83, abs=0.01)
    first = seconds_to(TRADE_DENSITY, ROOM_C, PAIN_C)
    last = seconds_to(TRADE_DENSITY, ROOM_C, TOUCH_LIMIT_C)
    assert first == pytest.approx(4.75, abs=0.01)
    assert last == pytest.approx(6.06, abs=0.01)
    assert first < 5.0 < last
    assert seconds_to(TRADE_DENSITY, 25.0, TOUCH_LIMIT_C) == pytest.approx(5.0, abs=0.05)
    for time in (first, last):
        assert time == pytest.approx(5.0, rel=0.30)


def wire_temp_C(
    current_A: float, bare_mm: float, air_C: float, seconds: float, film_W_per_m2K: float
) -> float:
    """Temperature of one straight wire in air, heat storage and surface together (linear law).

    dT/dt = a + b (T - air): a from loss at the air's temperature, b from the rise of resistance
    less the loss through the surface. Film: 0 keeps all heat in; 20 to 50 is a thin wire in still
    air (common practice). What `seconds_to` leaves out is the difference between the two.
    """
    gain = (current_A / (math.pi / 4.0 * bare_mm**2)) ** 2 / K2_A2_S_PER_MM4
    cooling = film_W_per_m2K * 1e-6 * 4.0 / bare_mm / 3.45e-3  # J/(K mm3), IEC 60364-5-54
    power = (gain - cooling) * seconds
    return air_C + gain * (234.5 + air_C) * seconds * math.expm1(power) / power


def test_still_air_changes_five_seconds_by_little() -> None:
    # thin wire in still air 20 to 50 W/m2K: the coil of the check is 1 to 6 K cooler after 5 s
    dry = wire_temp_C(TRADE_A, TRADE_MM, ROOM_C, 5.0, 0.0)
    assert seconds_to(TRADE_DENSITY, ROOM_C, dry) == pytest.approx(5.0, rel=1e-9)
    cooler = [dry - wire_temp_C(TRADE_A, TRADE_MM, ROOM_C, 5.0, film) for film in (20.0, 50.0)]
    assert 1.0 < cooler[0] < cooler[1] < 6.0


def current_to_limit(bare_mm: float, seconds: float, film: float) -> float:
    """Current that brings a wire in air to the touch limit just after `seconds`, by bisection."""
    low, high = 0.01, 500.0
    for _ in range(100):
        middle = math.sqrt(low * high)
        hot = wire_temp_C(middle, bare_mm, ROOM_C, seconds, film) > TOUCH_LIMIT_C
        low, high = (low, middle) if hot else (middle, high)
    return low


def test_two_gauges_thicker_carries_half_as_much_again() -> None:
    """Common practice says about 1.5 times, the adiabatic law 92^(4/39) = 1.59, the area.

    Heat stored goes with d^2, heat through the surface with d: from 1.590 at first the ratio falls
    to 92^(3/39) = 1.416 where all heat leaves. It passes 1.5 after 20 to 45 s, films 20 to 40.
    """
    assert pytest.approx(1.590, abs=5e-4) == TWO_GAUGES**2
    assert pytest.approx(1.416, abs=5e-4) == TWO_GAUGES**1.5
    thicker = TRADE_DENSITY * 1.590 / TWO_GAUGES**2  # 1.59 times the current in the thicker wire
    times = [seconds_to(d, ROOM_C, TOUCH_LIMIT_C) for d in (TRADE_DENSITY, thicker)]
    assert times[1] == pytest.approx(times[0], rel=1e-3)
    for film in (20.0, 40.0):
        ratios = [
            current_to_limit(TRADE_MM * TWO_GAUGES, s, film) / current_to_limit(TRADE_MM, s, film)
            for s in (0.01, 5.0, 20.0, 45.0, 900.0)
        ]
        assert ratios[0] == pytest.approx(1.590, abs=1e-3)
        assert ratios[-1] == pytest.approx(1.416, abs=1e-3)
        assert all(a > b for a, b in pairwise(ratios))
        assert ratios[2] >= 1.5 >= ratios[3]


# --- designs ------------------------------------------------------------------------------------


def test_potters_wheel_by_hand() -> None:
    """Stalled: 9 A in 2 x 0.441786 mm2 = 10.186 A/mm2 from 20 C, enamel of class 155."""
    first = job_of("potters-wheel", 1.613).heating[0]
    assert first.density_A_per_mm2 == pytest.approx(10.1859, abs=1e-4)
    assert first.rate_K_per_s == pytest.approx(0.4997 * 1.01859**2, rel=1e-3)
    assert first.to_touch_s == pytest.approx(50926 * math.log(285.5 / 254.5) / 103.753, rel=1e-4)
    assert first.to_class_s == pytest.approx(216.71 / 1.03753, rel=1e-4)
    assert (first.case.hottest, first.case.loss) == (1.0, 2.0)


def test_cases_begin_with_the_duty_and_end_with_the_peak() -> None:
    moving = job_of("kayak-thruster", 0.813).heating
    stalled = job_of("kayak-thruster", 0.813, motor__duty="stalled").heating
    assert moving[0].case is MOVING
    assert stalled[0].case.loss == 1.5  # delta: 1 + 1/4 + 1/4
    assert {h.case.name for h in moving} == {h.case.name for h in stalled}
    for cases in (moving, stalled):
        assert cases[-1].case is STALLED_AT_PEAK
        # 1.41 times the current: twice the rate, half the time; squares 2 + 1/2 + 1/2 in sum 3
        assert cases[-1].rate_K_per_s == pytest.approx(2 * cases[0].rate_K_per_s)
        assert cases[-1].to_class_s == pytest.approx(cases[0].to_class_s / 2)
        assert cases[-1].case.loss == 3.0


def test_paths_and_strands_share_the_current() -> None:
    one = heat_results(job_of("potters-wheel", 1.613, winding__strands=1).heating[0])
    shared = job_of("potters-wheel", 1.613, winding__strands=3, winding__parallel_paths=4)
    many = heat_results(shared.heating[0])
    key = "current_density_A_per_mm2"
    assert float(one[key]) == pytest.approx(12 * float(many[key]))
    assert float(many["seconds_to_touch_limit"]) == pytest.approx(
        144 * float(one["seconds_to_touch_limit"])
    )


def found(**changes: object) -> dict[str, Finding]:
    j = job_of("potters-wheel", 1.613, **changes)
    return {f.code: f for f in heat_findings(j.design.motor, j.heating, j.steady_heat)}


def test_stalled_always_says_how_long_and_warns_of_burns() -> None:
    (slow, quick) = found(), found(motor__phase_current=21.7)
    assert (slow["hot-in-seconds"].level, quick["hot-in-seconds"].level) == ("note", "warn")
    assert "never hold a standing motor on full current" in slow["hot-in-seconds"].fix
    assert "56 s" in slow["hot-in-seconds"].message
    assert "28 s" in slow["hot-in-seconds"].message
    assert "hot-in-seconds" not in found(motor__duty="moving")


def test_enamel_that_burns_at_once_is_stopped() -> None:
    # 10 s to 155 C: J = sqrt(2167.1) = 46.55 A/mm2, 41.13 A in 2 x 0.441786 mm2
    assert "enamel-burns-at-once" not in found(motor__phase_current=41.1)
    stop = found(motor__phase_current=41.2)["enamel-burns-at-once"]
    assert stop.level == "stop"
    assert stop.value == pytest.approx(9.97, abs=0.01)
    assert "use 17 A or less" in stop.fix  # 41.13 sqrt(10/60) = 16.8
    assert "enamel-burns-at-once" not in found(motor__phase_current=41.2, winding__enamel_class=200)


def test_hot_surroundings_leave_no_time() -> None:
    assert heat_results(job_of("potters-wheel", 1.613, motor__ambient=55.0).heating[0])[
        "seconds_to_touch_limit"
    ] == pytest.approx(0.0)
