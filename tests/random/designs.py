"""Whole designs, as a design file gives them: proportioned, with fields thrown anywhere."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from recipes.design import Design
from tests.random.axles import axle, covers
from tests.random.dice import Dice
from tests.random.fields import Field, any_value, anything, fields, table_of, usual_value
from tests.random.proportions import Sizes, hub, insulation, lamination, motor, rotor, winding

Tables = dict[str, Any]

#: How many fields are thrown anywhere in their range; the list is drawn from evenly.
_THROWN = (0, 0, 0, 0, 0, 1, 1, 1, 2, 4)


def design_of(data: bytes) -> Tables:
    """Return the design that a string of bytes stands for."""
    dice = Dice(data)
    if dice.chance(3):
        found = anything(dice, Design)
    else:
        found = proportioned(dice)
        for _ in range(dice.choice(_THROWN)):
            _throw(dice, found)
    found["units"] = dice.choice(("mm", "mm", "mm", "in"))
    return in_units(found, found["units"])


def proportioned(dice: Dice) -> Tables:
    """Return a design in mm whose fields fit each other, more or less."""
    size = Sizes()
    found: Tables = {
        "name": "random",
        "motor": motor(dice, size),
        "lamination": lamination(dice, size),
        "hub": hub(dice, size),
        **insulation(dice, size),
        "winding": winding(dice, size),
        "axle": axle(dice, size),
        "rotor": rotor(dice, size),
    }
    area = 0.785 * size.wire**2 * found["winding"]["strands"]
    found["motor"]["phase_current"] = round(max(0.02, area * dice.between(1.0, 6.0)), 3)
    _fill_up(dice, Design, found)
    if "magnet_width" in found["rotor"]:
        del found["motor"]["speed_constant"]  # the outline tells it; a drawn one is soon refused
        if dice.chance(60):
            found["covers"] = covers(dice, found["axle"])
    return found


def _fill_up(dice: Dice, model: type[BaseModel], table: Tables) -> None:
    """Give every field that the proportions leave open a usual value, or leave it out."""
    for name, info in model.model_fields.items():
        inner, listed = table_of(info.annotation)
        if inner is not None and not listed:
            if name not in table and (
                info.default is None or (info.default is not PydanticUndefined and dice.chance(50))
            ):
                continue
            _fill_up(dice, inner, table.setdefault(name, {}))
        elif inner is None and name not in table:
            value = usual_value(dice, Field((name,), info, False))
            if value is not None:
                table[name] = value


def _throw(dice: Dice, found: Tables) -> None:
    """Put one field anywhere in its range, or leave it out."""
    field = dice.choice(fields())
    table: Any = found
    for step in field.path[:-1]:
        table = table.setdefault(step, {}) if isinstance(table, dict) else table
        if isinstance(table, list | tuple):
            if not table:
                table.append({})
            table = dice.choice(table)
    if dice.chance(10):
        table.pop(field.path[-1], None)
    else:
        table[field.path[-1]] = any_value(dice, field)


def in_units(tables: Tables, units: str) -> Tables:
    """Return the tables with every length in the file's unit."""
    return _converted(tables, Design, 25.4 if units == "in" else 1.0)


def _converted(table: Tables, model: type[BaseModel], factor: float) -> Tables:
    found: Tables = {}
    for name, value in table.items():
        info = model.model_fields[name]
        inner, _ = table_of(info.annotation)
        if inner is not None and isinstance(value, dict):
            found[name] = _converted(value, inner, factor)
        elif inner is not None and isinstance(value, list | tuple):
            found[name] = [_converted(v, inner, factor) for v in value]
        elif type(value) in (int, float) and Field((name,), info, False).unit == "mm":
            found[name] = value / factor
        else:
            found[name] = value
    return found
