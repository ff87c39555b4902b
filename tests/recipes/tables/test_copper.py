"""Copper: IEC 60028 figures against each other and against handbook values."""

from __future__ import annotations

import math

import pytest

from recipes.tables import copper
from recipes.tables.reader import TableError


def test_resistivity_density_and_mass_resistivity_belong_together() -> None:
    # IEC 60028: 0.017241 ohm mm2/m, 0.15328 ohm g/m2, hence 8.89 g/cm3
    assert pytest.approx(0.017241, abs=5e-7) == copper.RESISTIVITY_20C_OHM_MM2_PER_M
    product = copper.RESISTIVITY_20C_OHM_MM2_PER_M * copper.DENSITY_G_PER_CM3
    assert product == pytest.approx(0.15328, abs=5e-6)


def test_ratio_at_100_C() -> None:
    # (234.5 + 100) / 254.5, by hand
    assert copper.resistance_ratio(100.0) == pytest.approx(1.31434, abs=5e-6)


def test_the_slope_at_20_C_is_the_coefficient_of_iec_60028() -> None:
    slope = copper.resistance_ratio(21.0) - copper.resistance_ratio(20.0)
    assert slope == pytest.approx(0.00393, abs=5e-6)
    assert copper.resistance_ratio(20.0) == 1.0


def test_cold_copper_resists_less() -> None:
    assert copper.resistance_ratio(-40.0) == pytest.approx(194.5 / 254.5, rel=1e-12)


def test_resistance_of_a_length() -> None:
    # 58 m of 1 mm2 are 1 ohm, by the meaning of 58 S m/mm2
    assert copper.resistance_ohm(58.0, 1.0) == pytest.approx(1.0, rel=1e-12)
    assert copper.resistance_ohm(29.0, 0.25, 100.0) == pytest.approx(2.0 * 1.314342, rel=1e-6)


def test_heating_rate_at_ten_amperes_per_square_millimetre() -> None:
    # J2 rho / Qc = 100 * 17.241e-6 / 3.45e-3 = 0.4997 K/s (IEC 60364-5-54 Annex A constants)
    rho_ohm_mm = copper.RESISTIVITY_20C_OHM_MM2_PER_M / 1000.0
    assert 100.0 * rho_ohm_mm / copper.HEAT_CAPACITY_J_PER_K_MM3 == pytest.approx(0.4997, abs=1e-4)


def test_adiabatic_constant_of_iec_60949() -> None:
    # K = sqrt(Qc (B + 20) / rho20) = 226 for copper, B = 234.5
    rho_ohm_mm = copper.RESISTIVITY_20C_OHM_MM2_PER_M / 1000.0
    heat = copper.HEAT_CAPACITY_J_PER_K_MM3 * (copper.INFERRED_ZERO_C + 20.0)
    assert math.sqrt(heat / rho_ohm_mm) == pytest.approx(226.0, abs=0.5)


def test_mass() -> None:
    assert copper.mass_g(3.0, 0.7) == pytest.approx(3.0 * 0.7 * 8.89, rel=1e-12)


@pytest.mark.parametrize("temp", [-60.1, 300.5, math.nan, True, "20"])
def test_a_temperature_off_the_straight_line_is_refused(temp: float) -> None:
    with pytest.raises(TableError, match=r"temp_C = .*give a"):
        copper.resistance_ratio(temp)


def test_a_length_or_area_that_cannot_be_is_refused() -> None:
    with pytest.raises(TableError, match="area_mm2 = 0 is not above 0"):
        copper.resistance_ohm(3.0, 0.0)
    with pytest.raises(TableError, match="length_m = -3 is below 0"):
        copper.resistance_ohm(-3.0, 0.5)
