"""Copper as a conductor: resistance, its rise with temperature, mass and heat capacity.

Two nominal resistances are in use and differ by 0.86 %: IEC 60028 annealed copper (58 S m/mm2,
100 % IACS) and the nominal of IEC 60317-0-1 winding wire (58.5 S m/mm2); see ``wire_table``.
"""

from __future__ import annotations

from typing import Final

from recipes.tables.reader import TableError, finite

CONDUCTIVITY_20C_M_PER_OHM_MM2: Final = 58.0
"""Annealed copper, 100 % IACS, IEC 60028:1925; its inverse is 0.017241 ohm mm2/m."""

RESISTIVITY_20C_OHM_MM2_PER_M: Final = 1.0 / CONDUCTIVITY_20C_M_PER_OHM_MM2
"""IEC 60028:1925."""

DENSITY_G_PER_CM3: Final = 8.89
"""IEC 60028:1925; pure copper is 8.96 (CRC Handbook, from memory)."""

INFERRED_ZERO_C: Final = 234.5
"""Minus this many C the straight line of resistance reaches zero; fits 0.00393/K at 20 C."""

HEAT_CAPACITY_J_PER_K_MM3: Final = 3.45e-3
"""Volumetric, at 20 C, IEC 60364-5-54 Annex A."""

COLDEST_C: Final = -60.0
HOTTEST_C: Final = 300.0
"""Ends of the range in which resistance is taken as a straight line here (common practice)."""


def resistance_ratio(temp_C: float) -> float:
    """Return R(``temp_C``) / R(20 C) of copper.

    Args:
        temp_C: temperature of the copper in C, -60 to 300.

    Raises:
        TableError: if the temperature is not a number in that range.

    Source: (k + T) / (k + 20); k = 234.5 from IEC 60028 (reports to IEC 60034-1 take 235).
    """
    temp = finite("temp_C", temp_C, "C")
    if not COLDEST_C <= temp <= HOTTEST_C:
        raise TableError(
            f"temp_C = {temp:g} is outside {COLDEST_C:g} to {HOTTEST_C:g} C, "
            "where copper follows a straight line; give a temperature in that range"
        )
    return (INFERRED_ZERO_C + temp) / (INFERRED_ZERO_C + 20.0)


def resistance_ohm(length_m: float, area_mm2: float, temp_C: float = 20.0) -> float:
    """Return the DC resistance in ohm of ``length_m`` of copper of ``area_mm2`` at ``temp_C``.

    Raises TableError for a length below 0, an area not above 0 or a temperature out of range.
    Source: IEC 60028 (58 S m/mm2 at 20 C).
    """
    length = finite("length_m", length_m, "m")
    area = finite("area_mm2", area_mm2, "mm2")
    if length < 0.0:
        raise TableError(f"length_m = {length:g} is below 0; give a length in m")
    if area <= 0.0:
        raise TableError(f"area_mm2 = {area:g} is not above 0; give a copper area in mm2")
    return RESISTIVITY_20C_OHM_MM2_PER_M * length / area * resistance_ratio(temp_C)


def mass_g(length_m: float, area_mm2: float) -> float:
    """Return the mass in g of ``length_m`` of bare copper of ``area_mm2`` (8.89 g/cm3)."""
    return DENSITY_G_PER_CM3 * finite("length_m", length_m) * finite("area_mm2", area_mm2)
