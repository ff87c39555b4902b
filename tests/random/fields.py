"""The range of every field, read off the design model, so that a new field is walked by itself."""

from __future__ import annotations

import math
import re
import types
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from recipes.design import Design
from recipes.tables.reader import load_table
from tests.random.dice import Dice

Tables = dict[str, Any]

_BRANCHES = (Union, types.UnionType)


@dataclass(frozen=True)
class Field:
    """One key of the design file.

    Args:
        path: tables and key; a table of a list is entered by its key alone.
        info: what pydantic knows of it.
        many: whether it lies in a list of tables.
    """

    path: tuple[str, ...]
    info: FieldInfo
    many: bool

    @property
    def unit(self) -> str:
        """Unit of the field, "" if it has none."""
        extra = self.info.json_schema_extra
        return str(extra.get("unit", "")) if isinstance(extra, dict) else ""

    @property
    def range(self) -> tuple[float, float] | None:
        """Hard limits by the field's description."""
        extra = self.info.json_schema_extra
        words = str(extra.get("range", "")) if isinstance(extra, dict) else ""
        found = re.match(r"(\S+) to ([^\s,]+)", words)
        return (float(found[1]), float(found[2])) if found else None


@cache
def fields(model: type[BaseModel] = Design) -> tuple[Field, ...]:
    """Return every key of the design file that holds a value, tables opened."""
    return tuple(_walk(model, (), False))


def _walk(model: type[BaseModel], path: tuple[str, ...], many: bool) -> Iterator[Field]:
    for name, info in model.model_fields.items():
        inner, listed = table_of(info.annotation)
        if inner is None:
            yield Field((*path, name), info, many)
        else:
            yield from _walk(inner, (*path, name), many or listed)


def table_of(kind: Any) -> tuple[type[BaseModel] | None, bool]:
    """Return the table behind an annotation, and whether it is a list of them."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind, False
    if get_origin(kind) is tuple:
        return table_of(get_args(kind)[0])[0], True
    if get_origin(kind) in _BRANCHES:
        for branch in get_args(kind):
            found = table_of(branch)
            if found[0]:
                return found
    return None, False


#: Texts that name a row of a table, or what people write where any text will do.
def _known_texts() -> dict[str, tuple[str, ...]]:
    def names(table: str, column: str) -> tuple[str, ...]:
        return tuple(row.text(column) for row in load_table(f"{table}.csv").rows)

    return {
        "steel": (*names("en10106_grades", "grade"), "scrap"),
        "bearing": (*names("iso15_bearings", "designation"), "9999"),
        "magnet_grade": (*names("magnet_grades", "grade"), "fridge"),
        "material": (*names("axle_steels", "grade"), "old bar"),
        "currency": ("", "EUR", "$", "£"),
    }


@cache
def known_texts(name: str) -> tuple[str, ...]:
    """Return texts worth trying for the field `name`; empty if any will do."""
    return _known_texts().get(name, ())


def anything(dice: Dice, model: type[BaseModel]) -> Tables:
    """Return a table whose every field lies anywhere in its range, or is left out if it may be."""
    found: Tables = {}
    for name, info in model.model_fields.items():
        if info.default is not PydanticUndefined and dice.chance(40):
            continue
        found[name] = any_value(dice, Field((name,), info, False))
    return found


def any_value(dice: Dice, field: Field) -> Any:
    """Return any value of a field's whole range, both ends more often than the rest."""
    return _value(dice, field, field.info.annotation)


def _value(dice: Dice, field: Field, kind: Any) -> Any:
    origin = get_origin(kind)
    if origin is Annotated:
        return _value(dice, field, get_args(kind)[0])
    if origin in _BRANCHES:
        branches = [b for b in get_args(kind) if b is not type(None)]
        return _value(dice, field, dice.choice(branches))
    if origin is Literal:
        return dice.choice(get_args(kind))
    if origin is tuple:
        table, _ = table_of(kind)
        assert table is not None
        return [anything(dice, table) for _ in range(dice.whole(0, 4))]
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return anything(dice, kind)
    if kind is bool:
        return dice.chance(50)
    if kind is str:
        return _text(dice, field)
    low, high = field.range or (0.05, 5.0)
    if kind is int:
        return dice.choice((dice.whole(int(low), int(high)), int(low), int(high)))
    return _number(dice, low, high)


def _number(dice: Dice, low: float, high: float) -> float:
    way = dice.whole(0, 9)
    if way == 0:
        return low
    if way == 1:
        return high
    if way < 6 and high > 0:
        return _rounded(dice.times(max(low, high / 1e4), high), low, high)
    return _rounded(dice.between(low, high), low, high)


def _rounded(value: float, low: float, high: float) -> float:
    """Return a number as people write it, four digits, still in its range."""
    digits = 3 - math.floor(math.log10(abs(value))) if value else 0
    return min(high, max(low, round(value, max(0, digits))))


def _text(dice: Dice, field: Field) -> str:
    known = known_texts(field.path[-1])
    if known and not dice.chance(10):
        return dice.choice(known)
    if field.path[-1] == "wire":
        return f"{dice.times(0.05, 6.0):.2f} mm"
    return dice.text(40)


def usual_value(dice: Dice, field: Field) -> Any:
    """Return a value near a field's default; None to leave it out.

    A field without default lies anywhere, as nothing is known of what is usual.
    """
    default = field.info.default
    if default is PydanticUndefined:
        return any_value(dice, field)
    if dice.chance(60):
        return None
    if isinstance(default, bool) or not isinstance(default, int | float) or not field.range:
        return None if default is None else any_value(dice, field)
    low, high = field.range
    if isinstance(default, int):
        return min(int(high), max(int(low), default + dice.whole(0, 2)))
    if low > 0 and high < 2 * low:
        near = default + 0.1 * (high - low) * dice.between(-1.0, 1.0)
    else:
        near = default * dice.times(0.6, 1.7) if default else dice.between(0.0, 0.01 * high)
    return _rounded(min(high, max(low, near)), low, high)
