"""What the schema says about one field of the design file: meaning, unit, range, and its value.

Read from the models themselves, so that page and schema cannot disagree.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from recipes.design import Design
from recipes.design.units import MM_PER_INCH, format_number, significant

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo


_PLACE = re.compile(r"^(?P<name>\w+)(?:\[(?P<number>[0-9]+)\])?$")


@dataclass(frozen=True)
class FieldNote:
    """One field of the design file, for people.

    Args:
        name: dotted, such as "lamination.tooth_width"; entries of a list count from 1.
        value: as the design has it; "left out" where it leaves the field out.
        limits: allowed range or words.
        meaning, source: from the schema.
    """

    name: str
    value: str
    limits: str
    meaning: str
    source: str


def field_note(design: Design, name: str, taken: str = "") -> FieldNote:
    """Return what is known about a field.

    Args:
        design: the design that the value is read from.
        name: dotted name, such as "axle.seats[1].fit".
        taken: what the tool takes where the field is left out.

    Raises:
        KeyError: the schema has no such field, or the design no such entry.
    """
    table: Any = design
    *above, last = name.split(".")
    for place in above:
        table = _entry(getattr(table, _name(table, place)), place, name)
        if table is None:
            raise KeyError(f"{name}: the design leaves {place} out")
    info: FieldInfo = type(table).model_fields[_name(table, last)]
    value = _entry(getattr(table, _name(table, last)), last, name)
    raw = info.json_schema_extra
    extra: dict[str, Any] = dict(raw) if isinstance(raw, dict) else {}
    unit = str(extra.get("unit", ""))
    said = _said(value, unit, design.units)
    return FieldNote(
        name,
        f"left out; taken: {taken}" if value is None and taken else said,
        _limits(info, extra, unit, design.units),
        info.description or "",
        str(extra.get("source", "")),
    )


def _name(table: Any, place: str) -> str:
    found = _PLACE.match(place)
    if found is None or found["name"] not in type(table).model_fields:
        raise KeyError(f"{type(table).__name__} has no field {place!r}")
    return found["name"]


def _entry(value: Any, place: str, name: str) -> Any:
    found = _PLACE.match(place)
    if found is None or found["number"] is None:
        return value
    number = int(found["number"])
    if not 1 <= number <= len(value):
        raise KeyError(f"{name}: the design has {len(value)} entries")
    return value[number - 1]


def _said(value: Any, unit: str, bare: Literal["mm", "in"]) -> str:
    """Return a value with its unit, lengths of a design in inches in both units."""
    if value is None:
        return "left out"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and unit == "mm":
        return length_text(value, bare)
    if isinstance(value, float | int):
        return _with_unit(f"{value:g}", unit)
    if isinstance(value, str):
        return value or "left out"
    return f"{len(value)} entries" if isinstance(value, tuple) else "as in its table"


_UNITS = {"count": "", "1": "", "deg": "°", "degC": "°C", "ohm": "Ω", "Mohm": "MΩ", "percent": "%"}


def _with_unit(words: str, unit: str) -> str:
    sign = _UNITS.get(unit, unit)
    return f"{words}{sign}" if sign == "°" else f"{words} {sign}".rstrip()


def length_text(mm: float, bare: Literal["mm", "in"], digits: int = 4) -> str:
    """Return a length such as "7.6 mm", or "0.25 in (6.35 mm)" where the design counts in inches."""
    if bare == "mm":
        return f"{_short(mm, digits)} mm"
    return f"{_short(mm / MM_PER_INCH, digits)} in ({_short(mm, 3)} mm)"


def _short(value: float, digits: int) -> str:
    text = format_number(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _limits(info: FieldInfo, extra: dict[str, Any], unit: str, bare: Literal["mm", "in"]) -> str:
    if "range" in extra:
        span = str(extra["range"])
        if unit == "mm" and bare == "in" and (ends := _ends(info)) is not None:
            low, high = (significant(v / MM_PER_INCH, 3) for v in ends)
            return f"{low} to {high} in"
        return span if "'" in span else _with_unit(span, unit)
    words = [str(w) for w in _words(info.annotation)]
    return "one of " + ", ".join(words) if words else ""


def _ends(info: FieldInfo) -> tuple[float, float] | None:
    low = next((m.ge for m in info.metadata if hasattr(m, "ge")), None)
    high = next((m.le for m in info.metadata if hasattr(m, "le")), None)
    return None if low is None or high is None else (float(low), float(high))


def _words(annotation: Any) -> tuple[Any, ...]:
    """Return the words of a `Literal`, also of one that may be left out."""
    if annotation is bool:
        return ("true", "false")
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return tuple(w for a in get_args(annotation) if get_origin(a) is Literal for w in get_args(a))


def in_file_order(design: Design, names: set[str]) -> list[str]:
    """Return dotted names in the order in which the design file lists its tables and fields."""
    tables = list(type(design).model_fields)

    def place(name: str) -> tuple[int, list[tuple[int, int]]]:
        first, *rest = name.split(".")
        table, spots = getattr(design, first), []
        for part in rest:
            found = _PLACE.match(part)
            assert found is not None
            order = list(type(table).model_fields).index(found["name"])
            spots.append((order, int(found["number"] or 0)))
            table = _entry(getattr(table, found["name"]), part, name)
        return tables.index(first), spots

    return sorted(names, key=place)
