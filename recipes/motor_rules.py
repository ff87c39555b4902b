"""Findings about the task itself: slots and poles, voltage."""

from __future__ import annotations

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import Refused
from recipes.rotor.voltage import TOUCH_LIMIT_V, voltage_findings

__all__ = ["TOUCH_LIMIT_V", "motor_findings"]


def motor_findings(job: Job) -> list[Finding]:
    """Return findings about voltage, and about a slot and pole count that cannot be wound."""
    try:
        _ = job.layout  # refuses what cannot be wound
    except Refused as refused:
        return [*refused.findings, *voltage_findings(job)]
    return voltage_findings(job)
