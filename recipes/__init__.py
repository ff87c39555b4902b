"""From one design file to the parts and figures of a hand-built motor.

from recipes import load, solve

motor = solve(load("wheel.toml"))
motor.conductors.turns_that_fit, motor.resistance.phase_ohm
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from recipes.design.load import load
    from recipes.motor import solve

__all__ = ["load", "solve"]


def __getattr__(name: str) -> Any:
    """Load what a notebook asks for when it asks: a command sets its process up first (PEP 562).

    Raises:
        AttributeError: there is no such name.
    """
    where = {"load": "recipes.design.load", "solve": "recipes.motor"}.get(name)
    if where is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(where), name)
