"""Findings about the task itself: slots and poles, voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.finding import Finding
from recipes.refusal import finding

if TYPE_CHECKING:
    from recipes.job import Job

#: Above this DC voltage a touch may harm (IEC 62368-1 ES1 and SELV limit; from memory).
TOUCH_LIMIT_V = 60.0


def motor_findings(job: Job) -> list[Finding]:
    """Return findings about voltage, and about a slot and pole count that cannot be wound."""
    found: list[Finding] = []
    _ = job.winding  # refuses what cannot be wound
    volts = job.design.motor.supply_voltage
    if volts > TOUCH_LIMIT_V:
        found.append(
            finding(
                "warn", "hazardous-voltage", "motor.supply_voltage", volts, TOUCH_LIMIT_V,
                f"motor.supply_voltage = {volts:g} V is above {TOUCH_LIMIT_V:g} V DC: hazardous voltage",
                "stop here unless local rules and a qualified person cover this work, or use a lower "
                "voltage",
                "IEC 62368-1 ES1 limit, from memory; local codes decide",
            )
        )  # fmt: skip
    return found
