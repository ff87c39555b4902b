"""What `--vary` says: a field of the design file and the values that it takes.

    lamination.tooth_width=8:10:0.25            from : to : step, both ends taken if the step meets them
    winding.turns=20,22,26:30:2                 a list, which may hold ranges
    winding.wire=0.80 mm,0.85 mm                texts as in the design file
    lamination.slot_opening=0.12:0.16:0.01 in   a unit at the end is that of all three

Steps are counted in decimals, so 8:10:0.1 holds 9.3 and no 9.299999. Several fields multiply.
"""

from __future__ import annotations

import difflib
import itertools
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from geometry.finding import Finding
from recipes.design import Design
from recipes.design.load import BadInput, table_in
from recipes.refusal import bad_input

#: More designs than anybody waits for; a typing error in a step makes many.
MOST = 100_000

Value = int | float | str | bool
Place = tuple[str | int, ...]

_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_PLAIN = re.compile(_NUMBER)
_RANGE = re.compile(
    rf"({_NUMBER})\s*([^\s:]*)\s*:\s*({_NUMBER})\s*([^\s:]*)\s*:\s*({_NUMBER})\s*([^\s:]*)"
)
_STEP = re.compile(r"(\w+)(?:\[([0-9]+)\])?")


@dataclass(frozen=True)
class Axis:
    """One varied field.

    Args:
        field: dotted, as typed; entries of a list count from 1.
        place: names of tables and key; whole numbers are entries of a list, from 0.
        values: as the design file takes them, in order, none twice.
    """

    field: str
    place: Place
    values: tuple[Value, ...]


@dataclass(frozen=True)
class Trial:
    """One combination: its number in the grid, from 0, and a value for every axis."""

    number: int
    values: tuple[Value, ...]

    @property
    def key(self) -> tuple[str, ...]:
        """The values as they stand in the table."""
        return tuple(value_text(v) for v in self.values)


def value_text(value: Value) -> str:
    """Return a value as it stands in a table: 8, 8.25, "0.85 mm", "true"."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def axes_of(words: Sequence[str]) -> tuple[Axis, ...]:
    """Return the axes that `words`, each FIELD=VALUES, describe.

    Raises:
        BadInput: every word that is none, whose field is unknown or comes twice; no word at all;
            more than `MOST` designs.
    """
    axes: list[Axis] = []
    faults: list[Finding] = []
    for word in words:
        field, equals, spec = (part.strip() for part in word.partition("="))
        try:
            if not equals:
                raise ValueError("no values: write it like lamination.tooth_width=8:10:0.25")
            axis = Axis(field, place_of(field), values_of(spec))
            if any(axis.place == a.place for a in axes):
                raise ValueError("comes twice: give all its values at once, with commas")
            axes.append(axis)
        except ValueError as error:
            what, _, fix = str(error).partition(": ")
            faults.append(_fault(field, f"--vary {word!r}: {what}", fix))
    count = math.prod(len(a.values) for a in axes)
    if not words:
        faults.append(_fault("--vary", "nothing is varied", "add --vary FIELD=FROM:TO:STEP"))
    elif count > MOST:
        faults.append(
            _fault(
                "--vary", f"{count} designs are more than {MOST}", "use wider steps or fewer fields"
            )
        )
    if faults:
        raise BadInput(faults)
    return tuple(axes)


def trials_of(axes: Sequence[Axis]) -> Iterator[Trial]:
    """Yield every combination, the last field running fastest."""
    for number, values in enumerate(itertools.product(*(a.values for a in axes))):
        yield Trial(number, values)


def values_of(spec: str) -> tuple[Value, ...]:
    """Return the values of a specification, in order, none twice.

    Raises:
        ValueError: what is wrong, a colon, and what to write instead.
    """
    found: list[Value] = []
    for item in spec.split(","):
        text = item.strip()
        if not text:
            raise ValueError("an empty value: remove the comma, or put a value beside it")
        found += _range(text) if ":" in text else [_value(text)]
    return tuple(dict.fromkeys(found))


def _value(text: str) -> Value:
    if text in ("true", "false"):
        return text == "true"
    return _number(Decimal(text)) if _PLAIN.fullmatch(text) else text


def _number(value: Decimal) -> int | float:
    whole = value == value.to_integral_value() and abs(value) < 10**15
    return int(value) if whole else float(value)


def _range(text: str) -> list[Value]:
    match = _RANGE.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is no range: write FROM:TO:STEP, such as 8:10:0.25")
    start, end, step = (Decimal(match[k]) for k in (1, 3, 5))
    units = {unit for unit in (match[2], match[4], match[6]) if unit}
    if len(units) > 1:
        raise ValueError(f"{text!r} has two units: use one for all three")
    if step == 0 or (end - start) * step < 0:
        raise ValueError(
            f"step {step} never leads from {start} to {end}: turn its sign or the ends"
        )
    count = int((end - start) / step) + 1
    if count > MOST:
        raise ValueError(f"{text!r} has {count} values, more than {MOST}: use a wider step")
    numbers = [_number(start + k * step) for k in range(count)]
    unit = units.pop() if units else ""
    return [f"{n} {unit}" for n in numbers] if unit else list(numbers)


def place_of(field: str) -> Place:
    """Return the place of a dotted field, such as "axle.seats[1].length".

    Raises:
        ValueError: the design file has no such field; the nearest is named.
    """
    model: Any = Design
    place: list[str | int] = []
    for part in field.split("."):
        match = _STEP.fullmatch(part)
        fields = model.model_fields if model is not None else {}
        if match is None or match[1] not in fields:
            near = difflib.get_close_matches(match[1] if match else part, fields, n=1)
            before = ".".join(str(p) for p in place if isinstance(p, str))
            nearest = f"{before}.{near[0]}".lstrip(".") if near else ""
            fix = f"did you mean {nearest}?" if near else "`lamwright schema` lists all fields"
            raise ValueError(f"the design file has no field {field!r}: {fix}")
        place.append(match[1])
        if match[2]:
            place.append(int(match[2]) - 1)
        model = table_in(fields[match[1]].annotation)
    if model is not None:
        raise ValueError(f"{field!r} is a whole table: name one field of it")
    return tuple(place)


def put(node: Any, place: Place, value: Value) -> Any:
    """Return the raw tables or lists of a design with one value changed; `node` stays as it is.

    Raises:
        ValueError: a list has no such entry, or there stands something else than a table.
    """
    if not place:
        return value
    name, rest = place[0], place[1:]
    if isinstance(name, int):
        if not isinstance(node, list | tuple) or not 0 <= name < len(node):
            raise ValueError(f"there is no entry [{name + 1}] in that list of the design file")
        return [*node[:name], put(node[name], rest, value), *node[name + 1 :]]
    table = node if isinstance(node, Mapping) else {}
    return {**table, name: put(table.get(name), rest, value)}


def _fault(field: str, message: str, fix: str) -> Finding:
    return bad_input(field, field, message, fix)
