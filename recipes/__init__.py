"""From one design file to the parts and figures of a hand-built motor.

    from recipes import load, solve

    motor = solve(load("wheel.toml"))

Nothing in the rooms before `report` knows a file format; `build` writes and reads back.
"""

from recipes.design.load import load
from recipes.solve import solve

__all__ = ["load", "solve"]
