"""Machines for tests of the field, from starters changed field by field."""

from __future__ import annotations

from typing import Any

from geometry.field.materials import Linear
from recipes.field.figures import Machine, Waves, machine, speed_constant, waves
from recipes.field.materials import Steels
from recipes.motor import Motor, cross_section, phase_turns, steels
from tests.support.design import job

#: Steel that needs next to nothing and never saturates.
UNSATURATED = Steels(Linear(5000.0), Linear(5000.0), 1.0)


def machine_of(made: Motor, steel: Steels | None = None, order: int = 2) -> Machine:
    section = cross_section(made)
    magnet = section.ring.magnet
    nominal = (magnet.remanence_least_t + magnet.remanence_greatest_t) / 2
    return machine(section, phase_turns(made), steel or steels(made), nominal, order=order)


def solved(starter: str, /, order: int = 1, **changes: Any) -> tuple[Motor, Machine, Waves]:
    made = job(starter, **changes)
    built = machine_of(made, order=order)
    return made, built, waves(built)


def constant_of(made: Motor, built: Machine, wave: Waves) -> float:
    return speed_constant(wave, built.pairs, made.circuit.connection)
