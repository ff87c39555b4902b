"""Rules and results of the rotor's room for a whole design, as `recipes.assess` gives them their values."""

from __future__ import annotations

from geometry.finding import Finding
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.rotor import hall_jig, hall_sensors, ring, voltage

Results = dict[str, float | int | str]


def ring_findings(j: Motor) -> list[Finding]:
    """Return what is said of the magnets."""
    return ring.rotor_ring_findings(j.design.rotor, j.design.motor, j.rotor_ring)


def hall_findings(j: Motor) -> list[Finding]:
    """Return what is said of the sensors."""
    leads = j.design.axle.leads
    return hall_sensors.hall_findings(j.design.hall, j.hall_plan, j.hall_set, j.hall_pocket, leads)


def hall_results(j: Motor) -> Results:
    """Return the figures of the sensors."""
    return hall_sensors.hall_results(j.hall_plan, j.hall_sets, j.hall_pocket)


def jig_findings(j: Motor) -> list[Finding]:
    """Return what is said of the sensors' jig."""
    width = j.design.hall.body_width
    return hall_jig.hall_jig_findings(j.hall_jig_plate, width, Parts(j)["hall_jig"])


def voltage_findings(j: Motor) -> list[Finding]:
    """Return what is said of battery and back-EMF."""
    return voltage.voltage_findings(j.design.motor, j.speed_constant)


def back_emf(j: Motor) -> float | None:
    """Return the back-EMF at top speed, V."""
    return j.speed_constant.back_emf(j.design.motor.top_speed)
