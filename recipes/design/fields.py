"""Kinds of field: how a number in the design file becomes mm, degrees or a plain figure.

Bare lengths follow the file's `units`; a length may also be a text with its unit. The unit is
handed down as validation context, so one model serves both.
"""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo
from pydantic_core import core_schema

from recipes.design.units import Kind, to_degrees, to_mm, to_quantity

BareUnit = Literal["mm", "in"]


class Table(BaseModel):
    """Base of every table: frozen, and a key that it does not know is an error."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        allow_inf_nan=False,
        defer_build=True,  # only the whole design is ever validated: build one validator, once
    )


class Read:
    """A number of the design file that one of our functions reads before it is judged.

    The same as pydantic's `BeforeValidator`, with its schema written down instead of inferred for
    each of two hundred fields: every command begins by building the validator of a whole design.
    """

    def __init__(self, read: Any, *, text: bool = True, told: bool = False) -> None:
        """Take the function; whether it also takes a text, and whether it is told the context."""
        self.read, self.text, self.told = read, text, told

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        """Return the schema: a float with the range of its field, read by the function."""
        number: core_schema.CoreSchema = handler(source)
        shown: core_schema.CoreSchema = core_schema.float_schema()
        if self.text:
            shown = core_schema.union_schema([shown, core_schema.str_schema()])
        if self.told:
            return core_schema.with_info_before_validator_function(
                self.read, number, json_schema_input_schema=shown
            )
        return core_schema.no_info_before_validator_function(
            self.read, number, json_schema_input_schema=shown
        )


def _length(value: object, info: ValidationInfo) -> float:
    unit: BareUnit = (info.context or {}).get("units", "mm")
    if not isinstance(value, int | float | str):
        raise ValueError("a length is a number or a text with its unit, such as 0.35 or '0.35 mm'")
    return to_mm(value, unit)


def _angle(value: object) -> float:
    if not isinstance(value, int | float | str):
        raise ValueError(
            "an angle is a number of degrees or a text with its unit, such as '12 deg'"
        )
    return to_degrees(value)


def _figure(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError("this is a plain number without unit or quotes")
    return float(value)


def _reading(kind: Kind) -> Read:
    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise ValueError("a reading is a number or a text with its unit")
        return to_quantity(kind, value)

    return Read(read)


#: Readings of a bench meter; see `recipes.design.units.to_quantity` for the units of a text.
Ohms = Annotated[float, _reading("resistance")]
Megohms = Annotated[float, _reading("insulation")]
Volts = Annotated[float, _reading("voltage")]
Amperes = Annotated[float, _reading("current")]
Seconds = Annotated[float, _reading("time")]
PerMinute = Annotated[float, _reading("speed")]
Celsius = Annotated[float, _reading("temperature")]

#: A length in mm.
Length = Annotated[float, Read(_length, told=True)]
#: An angle in degrees.
Degrees = Annotated[float, Read(_angle)]
#: A plain number in the unit that its field names.
Figure = Annotated[float, Read(_figure, text=False)]

_MISSING: Any = ...


def a_length(
    meaning: str, low: float, high: float, default: Any = _MISSING, *, source: str = ""
) -> Any:
    """Describe a length field: meaning, hard range in mm (both ends allowed), default in mm."""
    return _field(meaning, low, high, default, "mm", source)


def an_angle(
    meaning: str, low: float, high: float, default: Any = _MISSING, *, source: str = ""
) -> Any:
    """Describe an angle field in degrees."""
    return _field(meaning, low, high, default, "deg", source)


def a_figure(
    meaning: str, unit: str, low: float, high: float, default: Any = _MISSING, *, source: str = ""
) -> Any:
    """Describe a plain number in `unit`."""
    return _field(meaning, low, high, default, unit, source)


def a_count(meaning: str, low: int, high: int, default: Any = _MISSING, *, source: str = "") -> Any:
    """Describe a whole number."""
    return _field(meaning, low, high, default, "count", source)


def a_choice(meaning: str, default: Any = _MISSING, *, source: str = "") -> Any:
    """Describe a field that takes one of a few words, or a free text."""
    return Field(default, description=meaning, json_schema_extra=_extra("", source))


def a_table(meaning: str, default: Any = _MISSING) -> Any:
    """Describe a field that is a table of its own."""
    return Field(default, description=meaning)


def _field(meaning: str, low: float, high: float, default: Any, unit: str, source: str) -> Any:
    extra = _extra(unit, source) | {"range": f"{low:.10g} to {high:.10g}"}
    return Field(default, ge=low, le=high, description=meaning, json_schema_extra=extra)


def _extra(unit: str, source: str) -> dict[str, Any]:
    extra: dict[str, Any] = {}
    if unit:
        extra["unit"] = unit
    extra["source"] = source or "sane range of hand-built motors, common practice"
    return extra
