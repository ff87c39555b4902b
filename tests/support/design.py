"""Designs for tests: a starter's raw tables, changed field by field."""

from __future__ import annotations

import copy
import tomllib
from functools import cache
from typing import Any

from recipes.design import Design
from recipes.design.load import validate
from recipes.design.starter import NAMES, starter_text
from recipes.motor import Motor, solve

STARTERS = NAMES


@cache
def _raw(name: str) -> dict[str, Any]:
    return tomllib.loads(starter_text(name))


def raw(starter: str = "potters-wheel", /, **changes: Any) -> dict[str, Any]:
    """Return a starter's raw tables with changes by dotted name: `hub__spokes=None` drops a key.

    Two underscores stand for the dot; None removes the key.
    """
    tables = copy.deepcopy(_raw(starter))
    for path, value in changes.items():
        *places, key = path.split("__")
        table = tables
        for place in places:
            table = table.setdefault(place, {})
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
    return tables


def design(starter: str = "potters-wheel", /, **changes: Any) -> Design:
    """Return a validated design; see `raw`."""
    return validate(raw(starter, **changes))


def job(starter: str = "potters-wheel", /, **changes: Any) -> Motor:
    """Return a job; see `raw`."""
    return solve(design(starter, **changes))
