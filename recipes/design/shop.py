"""[rotor], [shop] and [print]: the ring of magnets, the cutting shop and the printer."""

from __future__ import annotations

from typing import Literal

from recipes.design.fields import Length, Table, a_choice, a_length

Process = Literal["laser", "waterjet", "wire-edm", "own"]


class Rotor(Table):
    """Ring of magnets round the stator."""

    air_gap: Length = a_length("between tooth tips and magnets", 0.1, 10.0, 0.8)


class Shop(Table):
    """Where the sheet is cut."""

    process: Process = a_choice("how", "laser")


class Print(Table):
    """The printer for templates."""

    page: Literal["A4", "Letter", "both"] = a_choice("paper; 'both' fits either", "both")
    measured_x: Length = a_length(
        "what the printed 100 mm ruler across really measures", 90.0, 110.0, 100.0
    )
    measured_y: Length = a_length(
        "what the printed 100 mm ruler upward really measures", 90.0, 110.0, 100.0
    )
