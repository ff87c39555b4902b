"""Lengths and angles: the fast path against pint, exact inches, and what is refused."""

from __future__ import annotations

import math

import pint
import pytest

from recipes.design.units import Kind, format_number, to_degrees, to_mm, to_quantity


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", ["mm", "in", "inch", "inches"])
@pytest.mark.parametrize("number", ["0.35", "0.014", "12.7", ".5", "3", "1e-3", "-7.25", "0.0285"])
def test_the_fast_path_equals_pint(registry: pint.UnitRegistry, number: str, unit: str) -> None:
    expected = registry.Quantity(float(number), unit).to("mm").magnitude
    assert to_mm(f"{number} {unit}") == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize("unit", ["cm", "m", "um", "micrometer", "ft", "yard", "thou"])
def test_other_units_equal_pint(registry: pint.UnitRegistry, unit: str) -> None:
    expected = registry.Quantity(3.7, unit).to("mm").magnitude
    assert to_mm(f"3.7 {unit}") == pytest.approx(expected, rel=1e-12)


# 1 in = 25.4 mm exactly (NIST SP 811); 1/64 in = 0.396875 mm, 1 1/4 in = 31.75 mm by hand
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.35 mm", 0.35),
        ("0.35mm", 0.35),
        (" 0.35  mm ", 0.35),
        ("0.35\u00a0mm", 0.35),
        ("0.014 in", 0.3556),
        ('0.5"', 12.7),
        ("1/64 in", 0.396875),
        ("1 1/4 in", 31.75),
        ("1-1/4 in", 31.75),
        ("-1/4 in", -6.35),
        ("14 mil", 0.3556),
        ("14 thou", 0.3556),
        ("350 um", 0.35),
        ("350 µm", 0.35),
        ("350 μm", 0.35),
        ("3.5 cm", 35.0),
        ("1e-3 m", 1.0),
        ("2 ft", 609.6),
        ("2'", 609.6),
        ("+3 MM", 3.0),
        ("7 IN", 177.8),
        ("0.35", 0.35),
        (0.35, 0.35),
        (3, 3.0),
    ],
)
def test_lengths_are_exact(text: float | int | str, mm: float) -> None:
    assert to_mm(text) == mm


def test_a_bare_number_takes_the_unit_of_the_design() -> None:
    assert to_mm(0.014, "in") == to_mm("0.014", "in") == to_mm("0.014 in") == 0.3556
    assert to_mm("1/64", "in") == 0.396875
    assert to_mm("0.35 mm", "in") == 0.35
    with pytest.raises(ValueError, match="bare_unit = 'cm' must be 'mm' or 'in'"):
        to_mm(3.5, "cm")  # type: ignore[arg-type]  # a caller's slip


@pytest.mark.parametrize(
    ("value", "why"),
    [
        (True, "neither a number nor a text"),
        (None, "neither a number nor a text"),
        (math.nan, "not finite"),
        (-math.inf, "not finite"),
        (10**400, "not finite"),
        ("", "is empty"),
        ("  ", "is empty"),
        ("abc", "is not one number with one unit"),
        ("nan", "is not one number with one unit"),
        ("inf mm", "is not one number with one unit"),
        ("mm", "is not one number with one unit"),
        ("5 mm 3 mm", "is not one number with one unit"),
        ("10 mm/2", "is not one number with one unit"),
        ("10 mm^2", "is not one number with one unit"),
        ("10**10**10 mm", "is not one number with one unit"),
        ("9" * 90 + " mm", "is not one number with one unit"),
        ("0,35 mm", "has a decimal comma"),
        ("1e999 mm", "not finite"),
        ("1/0 in", "divides by zero"),
        ("3 kg", "'kg' is another kind of unit"),
        ("3 degC", "'degC' is another kind of unit"),
        ("5 %", "'%' is another kind of unit"),
        ("5 m m", "'m m' is another kind of unit"),
        ("3 wibble", "no known unit 'wibble'"),
        ("3 Mm", "megametres"),
    ],
)
def test_what_is_no_length_is_refused_with_value_and_fix(value: object, why: str) -> None:
    with pytest.raises(ValueError, match="length") as caught:
        to_mm(value)  # type: ignore[arg-type]  # what a design file may hold
    text = str(caught.value)
    assert why in text
    assert "write it like '0.35 mm', '0.014 in' or '1/64 in'" in text
    assert len(text) < 200
    if isinstance(value, str) and 0 < len(value) < 50:
        assert value in text


def test_an_integer_too_long_to_print_is_refused() -> None:
    with pytest.raises(ValueError, match="length of thousands of digits is not finite"):
        to_mm(10**5000)


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        (30, 30.0),
        (-2.5, -2.5),
        ("30", 30.0),
        ("30 deg", 30.0),
        ("30°", 30.0),
        ("0.25 turn", 90.0),
        ("90 arcmin", 1.5),
        ("1/3 deg", 1 / 3),
    ],
)
def test_angles(value: float | int | str, degrees: float) -> None:
    assert to_degrees(value) == pytest.approx(degrees, rel=1e-12)


def test_radians_equal_pint(registry: pint.UnitRegistry) -> None:
    expected = registry.Quantity(0.37, "rad").to("deg").magnitude
    assert to_degrees("0.37 rad") == pytest.approx(expected, rel=1e-14)
    assert to_degrees("0.37 radian") == pytest.approx(math.degrees(0.37), rel=1e-14)


@pytest.mark.parametrize("value", ["30 mm", "30 %", "30 percent", "5 Hz", "3 sr", True, math.inf])
def test_what_is_no_angle_is_refused(value: float | str) -> None:
    with pytest.raises(ValueError, match=r"angle .*; write it like 30, '30 deg' or '0.5 rad'"):
        to_degrees(value)


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (0.35, 2, "0.35"),
        (12.0, 0, "12"),
        (-0.0004, 2, "0.00"),
        (-0.0, 3, "0.000"),
        (-1.26, 1, "-1.3"),
        (123456.7, 1, "123456.7"),
    ],
)
def test_numbers_are_printed_with_a_point_and_no_minus_zero(
    value: float, decimals: int, text: str
) -> None:
    assert format_number(value, decimals) == text


def test_what_cannot_be_printed_is_refused() -> None:
    with pytest.raises(ValueError, match="nan cannot be printed"):
        format_number(math.nan, 2)
    with pytest.raises(ValueError, match="decimals = 10 must be 0 to 9"):
        format_number(1.5, 10)


def test_what_is_printed_reads_back() -> None:
    for k in range(-40, 400, 7):
        mm = k * 0.3137
        assert abs(to_mm(f"{format_number(mm, 4)} mm") - mm) <= 0.5001e-4


@pytest.mark.parametrize(
    ("kind", "number", "unit", "pint_unit", "base"),
    [
        ("resistance", "23.4", "mohm", "milliohm", "ohm"),
        ("resistance", "1.7", "kΩ", "kiloohm", "ohm"),
        ("insulation", "0.35", "GOhm", "gigaohm", "megaohm"),
        ("voltage", "640", "mV", "millivolt", "volt"),
        ("current", "870", "mA", "milliampere", "ampere"),
        ("time", "1.5", "min", "minute", "second"),
        ("time", "0.3", "h", "hour", "second"),
        ("speed", "431", "rpm", "revolutions_per_minute", "1/minute"),
        ("speed", "7.5", "1/s", "revolution/second", "1/minute"),
        ("temperature", "70", "F", "degF", "degC"),
        ("temperature", "-3.5", "°C", "degC", "degC"),
    ],
)
def test_bench_readings_equal_pint(
    registry: pint.UnitRegistry, kind: Kind, number: str, unit: str, pint_unit: str, base: str
) -> None:
    asked = registry.Quantity(float(number), pint_unit)
    expected = asked.to("revolution/minute" if kind == "speed" else base).magnitude
    assert to_quantity(kind, f"{number} {unit}") == pytest.approx(expected, rel=1e-12)
    assert to_quantity(kind, f"{number}{unit}" if unit[0] != "1" else f"{number} {unit}") == (
        pytest.approx(expected, rel=1e-12)
    )


@pytest.mark.parametrize("value", ["23 Mohm", "23 mohms", "ohm", "", "1,5 ohm", "nan", True, "4 V"])
def test_a_resistance_that_is_none_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="resistance"):
        to_quantity("resistance", value)  # type: ignore[arg-type] # wrong on purpose


def test_a_speed_run_into_its_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="speed"):
        to_quantity("speed", "4201/min")
    assert to_quantity("speed", "420 1/min") == 420.0
    assert to_quantity("speed", 420) == 420.0
