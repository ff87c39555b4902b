"""Machines for tests of the field, from starters changed field by field."""

from __future__ import annotations

from typing import Any

from geometry.field.materials import Linear
from recipes.field.figures import Machine, Waves, machine, speed_constant, waves
from recipes.field.materials import Steels, steels
from recipes.field.turns import phase_turns
from recipes.motor import Motor
from tests.support.design import job

#: Steel that needs next to nothing and never saturates.
UNSATURATED = Steels(Linear(5000.0), Linear(5000.0), 1.0)


def steels_of(made: Motor) -> Steels:
    return steels(made.design.lamination.steel, made.stack.factor)


def machine_of(made: Motor, steel: Steels | None = None, order: int = 2) -> Machine:
    section = made.cross_section
    nominal = section.ring.magnet.remanence_T
    turns = phase_turns(made.layout, made.design.winding.turns, made.paths)
    return machine(section, turns, steel or steels_of(made), nominal, order=order)


def solved(starter: str, /, order: int = 1, **changes: Any) -> tuple[Motor, Machine, Waves]:
    made = job(starter, **changes)
    built = machine_of(made, order=order)
    return made, built, waves(built)


def constant_of(made: Motor, built: Machine, wave: Waves) -> float:
    return speed_constant(wave, built.pairs, made.circuit.connection)
