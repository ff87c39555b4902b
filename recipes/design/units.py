"""Lengths and angles as people write them, to mm and degrees and back.

``to_mm("0.014 in")`` and ``to_mm("1 1/4 in")`` give millimetres; a bare number takes the unit of
the design file. Decimals in mm and inch are read here, every other unit by pint, which is loaded
when it is first needed. Numbers are printed with a point in every locale, and never as ``-0``.
"""

from __future__ import annotations

import math
import numbers
import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    import pint

LengthUnit = Literal["mm", "in"]

MM_PER_INCH: Final = 25.4
"""Exact: international inch of 1959 (ISO 31-1, NIST SP 811)."""

_DECIMAL: Final = r"(?P<decimal>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?)"
_RATIO: Final = r"(?:(?P<whole>[0-9]+)[ -]+)?(?P<above>[0-9]+)\s*/\s*(?P<below>[0-9]+)"
_UNIT: Final = r"(?P<unit>[^\s\d.+*/^-][^\d.+*/^-]*)?"
_QUANTITY: Final = re.compile(rf"\s*(?P<sign>[+-]?)(?:{_RATIO}|{_DECIMAL})\s*{_UNIT}")
_LONGEST_TEXT: Final = 80
#: A whole number below this is a float to the last digit.
_PLAIN: Final = 1e15
_LENGTH_FIX: Final = "write it like '0.35 mm', '0.014 in' or '1/64 in'"
_ANGLE_FIX: Final = "write it like 30, '30 deg' or '0.5 rad'"
_FAST_LENGTHS: Final = {
    **dict.fromkeys(("mm", "MM"), Fraction(1)),
    **dict.fromkeys(("in", "IN", "inch", "Inch", "INCH", "inches", '"', "″"), Fraction("25.4")),
}
# "mil" is an angle to pint, and a thousandth of an inch to everybody who winds or insulates.
_PINT_NAMES: Final = {"mil": "thou", "mils": "thou", "thous": "thou", "'": "foot", "′": "foot"}
_FAST_ANGLES: Final = {
    **dict.fromkeys(("deg", "degree", "degrees", "°"), Fraction(1)),
    **dict.fromkeys(("rad", "radian", "radians"), Fraction(180.0 / math.pi)),
}

_OHM: Final = ("ohm", "Ohm", "Ω", "Ω")  # the last is the Unicode ohm sign


def _ohms(prefix: str, factor: Fraction) -> dict[str, Fraction]:
    return {prefix + ohm: factor for ohm in _OHM}


#: What a bench meter shows, by kind; the first unit of each is that of a bare number.
_BENCH_UNITS: Final[dict[str, dict[str, Fraction]]] = {
    "resistance": _ohms("", Fraction(1))
    | _ohms("m", Fraction(1, 1000))
    | _ohms("k", Fraction(1000)),
    "insulation": _ohms("M", Fraction(1))
    | _ohms("G", Fraction(1000))
    | _ohms("k", Fraction(1, 1000)),
    "voltage": {"V": Fraction(1), "mV": Fraction(1, 1000), "kV": Fraction(1000)},
    "current": {"A": Fraction(1), "mA": Fraction(1, 1000)},
    "time": {"s": Fraction(1), "min": Fraction(60), "ms": Fraction(1, 1000), "h": Fraction(3600)},
    "speed": {"1/min": Fraction(1), "rpm": Fraction(1), "r/min": Fraction(1), "1/s": Fraction(60)},
    "temperature": dict.fromkeys(("degC", "C", "°C"), Fraction(1))
    | dict.fromkeys(("degF", "F", "°F"), Fraction(5, 9)),
}

Kind = Literal["resistance", "insulation", "voltage", "current", "time", "speed", "temperature"]


def to_mm(value: float | int | str, bare_unit: LengthUnit = "mm") -> float:
    """Return a length in mm.

    Args:
        value: a number, or a text with a decimal, a fraction ("1/64 in") or a mixed number
            ("1 1/4 in") and a unit: mm, cm, m, um, in, inch, ", thou, mil, ft and what pint knows.
        bare_unit: unit of a number without one, "mm" or "in".

    Raises:
        ValueError: for a bool, an empty text, NaN, an infinite number, a text that is not one
            number with one unit, and a unit that is not a length. The text names value and fix.

    Source: 1 in = 25.4 mm exactly.
    """
    if bare_unit not in ("mm", "in"):
        raise ValueError(f"bare_unit = {bare_unit!r} must be 'mm' or 'in'")
    if (
        type(value) is not bool
        and isinstance(value, float | int)
        and -_PLAIN < value < _PLAIN
        and bare_unit == "mm"
    ):
        return float(value) + 0.0  # what most fields hold: its decimal is itself; never -0
    number, unit = _split("length", value, _LENGTH_FIX)
    factor = _FAST_LENGTHS.get(unit or bare_unit)
    if factor is None:
        factor = _pint_factor("length", value, unit, _LENGTH_FIX)
    return _product("length", value, number, factor, _LENGTH_FIX)


def to_degrees(value: float | int | str) -> float:
    """Return an angle in degrees; a bare number is in degrees.

    Args:
        value: a number, or a text such as "30 deg", "30°", "0.5 rad" or "0.25 turn".

    Raises:
        ValueError: as ``to_mm``, and for a unit that is not an angle.
    """
    number, unit = _split("angle", value, _ANGLE_FIX)
    factor = _FAST_ANGLES.get(unit or "deg")
    if factor is None:
        factor = _pint_factor("angle", value, unit, _ANGLE_FIX)
    return _product("angle", value, number, factor, _ANGLE_FIX)


def to_quantity(kind: Kind, value: float | int | str) -> float:
    """Return a bench reading in the unit that its field names; a bare number is in that unit.

    Args:
        kind: "resistance" (ohm), "voltage" (V), "current" (A), "time" (s), "speed" (1/min),
            "insulation" (Mohm) or "temperature" (degC).
        value: a number, or a text such as "23.4 mohm", "1.5 min", "420 rpm" or "70 F".

    Raises:
        ValueError: as ``to_mm``, and for a unit that is not listed for that kind.

    Source: SI; 0 C = 32 F, 100 C = 212 F.
    """
    units = _BENCH_UNITS[kind]
    fix = f"write a plain number in {next(iter(units))}, or add {', '.join(list(units)[:4])}"
    text = value.strip() if isinstance(value, str) else value
    unit = next(iter(units))
    if isinstance(text, str):
        # "4201/min" is refused, not read as 420: a unit with a digit stands apart.
        known = [
            u
            for u in units
            if text.endswith(u)
            and text[: -len(u)].strip()
            and not (u + text[-len(u) - 1])[:: len(u)].isdigit()
        ]
        if known:
            unit = max(known, key=len)
            text = text[: -len(unit)]
    number, rest = _split(kind, text, fix)
    if rest:
        raise _refusal(kind, value, f"has no known unit {rest!r}", fix)
    if unit in ("F", "°F", "degF"):
        number -= 32
    return _product(kind, value, number, units[unit], fix)


def is_number(text: str) -> bool:
    """Tell whether a text is a plain number without a unit."""
    try:
        float(text)
    except ValueError:
        return False
    return True


def format_number(value: float, decimals: int) -> str:
    """Print ``value`` with a point and so many ``decimals`` (0 to 9), in every locale, never "-0".

    Raises ValueError if the value is not finite or the decimals are out of range.
    """
    if not 0 <= decimals <= 9:
        raise ValueError(f"decimals = {decimals} must be 0 to 9")
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be printed: it is not finite")
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def significant(value: float, digits: int) -> str:
    """Return a number with so many digits that count, never with an exponent."""
    if value == 0 or not math.isfinite(value):
        return f"{value + 0.0:g}"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def ended(sentence: str) -> str:
    """Return a sentence with one full stop at its end."""
    return sentence if sentence.endswith((".", "!", "?", "…")) else f"{sentence}."


def counted(number: int, noun: str) -> str:
    """Return "1 sheet" or "2 sheets"; `noun` makes its plural with an s."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _split(kind: str, value: object, fix: str) -> tuple[Fraction, str]:
    """Return the number, exactly as it is written, and the text of the unit ("" if none)."""
    if isinstance(value, numbers.Real) and not isinstance(value, bool):
        return _as_written(kind, value, fix), ""
    if not isinstance(value, str):
        raise _refusal(kind, value, "is neither a number nor a text", fix)
    if not value.strip():
        raise _refusal(kind, value, "is empty", fix)
    found = _QUANTITY.fullmatch(value) if len(value) <= _LONGEST_TEXT else None
    if found is None:
        comma = re.search(r"[0-9],[0-9]", value)
        what = "has a decimal comma" if comma else "is not one number with one unit"
        raise _refusal(kind, value, what, fix)
    if found["decimal"]:
        number = Fraction(found["decimal"])
    elif int(found["below"]) == 0:
        raise _refusal(kind, value, "divides by zero", fix)
    else:
        number = int(found["whole"] or 0) + Fraction(int(found["above"]), int(found["below"]))
    return -number if found["sign"] == "-" else number, (found["unit"] or "").strip()


def _as_written(kind: str, value: numbers.Real, fix: str) -> Fraction:
    """Return the decimal that people see: 0.014 is 14/1000, so 0.014 in equals "0.014 in"."""
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _refusal(kind, value, "is not finite", fix)
    return Fraction(repr(number))


def _pint_factor(kind: str, value: object, unit: str, fix: str) -> Fraction:
    """Return mm (or degrees) in one ``unit``, from pint."""
    if unit == "Mm":
        raise _refusal(kind, value, "is in megametres", fix)
    registry = _registry()
    base, target = ("meter", "millimeter") if kind == "length" else ("radian", "degree")
    try:
        asked = registry.parse_units(_PINT_NAMES.get(unit, unit))
        # A ratio counts as an angle for pint; "30 %" is none for us.
        if str(registry.get_root_units(asked)[1]) == base:
            factor = float(registry.Quantity(1.0, asked).to(target).magnitude)
            return Fraction(f"{factor:.14g}")  # 0.0254 for a thou, not 0.025399999999999999
    except Exception:  # pint's errors share no base with its tokenizer's
        raise _refusal(kind, value, f"has no known unit {unit!r}", fix) from None
    raise _refusal(kind, value, f"is no {kind}: {unit!r} is another kind of unit", fix)


@cache
def _registry() -> pint.UnitRegistry:
    """Return the one registry of units; building it takes longer than all other tables do."""
    import pint

    return pint.UnitRegistry()


def _product(kind: str, value: object, number: Fraction, factor: Fraction, fix: str) -> float:
    try:
        return float(number * factor)
    except OverflowError:
        raise _refusal(kind, value, "is not finite", fix) from None


def _refusal(kind: str, value: object, what: str, fix: str) -> ValueError:
    try:
        shown = repr(value)
    except ValueError:  # an integer of thousands of digits refuses to be printed
        shown = "of thousands of digits"
    shown = shown if len(shown) <= 60 else shown[:57] + "..."
    return ValueError(f"{kind} {shown} {what}; {fix}")
