"""Findings on the ring of magnets: room, coverage, gap, flux, glue, heat."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from recipes.refusal import finding
from recipes.rotor.ring import RING_FLUX, RotorRing, rotor_ring_of

if TYPE_CHECKING:
    from geometry.finding import Finding
    from recipes.job import Job

#: Share of the pole pitch that magnets usefully cover (common practice).
LEAST_COVER, MOST_COVER = 0.65, 0.97

#: Clear gap that must be left at worst case, mm; the gap may differ from that asked for by so much.
LEAST_GAP, SAME_GAP = 0.3, 0.05

#: Stress that a ring of plain steel, perhaps welded, may carry by turning, MPa (common practice).
HOOP_LIMIT = 60.0

#: A magnet is kept this far below the temperature of its grade, K (common practice).
HEAT_MARGIN = 20.0

#: Said at the step where magnets are handled (common practice).
CAUTIONS = (
    "Magnets jump together and pinch or shatter: one at a time, eye protection, 30 cm from cards, "
    "watches and pacemakers. Never grind or drill them: the dust burns.",
    "Ring and stator slam together: guide the ring over the stator with jacking screws, fingers out.",
    "First run behind a guard, nobody in line with the ring; at rest, tap each magnet and listen "
    "for a loose one.",
)

_MODEL = "simple model: smooth stator, no leakage, steel without resistance; common practice"


def rotor_ring_findings(job: Job) -> list[Finding]:
    """Return every finding on the magnets; one note if the design gives none.

    Raises:
        Refused: an unknown grade, or a ring too small for its magnets.
    """
    ring = rotor_ring_of(job)
    if ring is None:
        return [
            finding(
                "note", "no-magnets", "rotor.magnet_width", None, None,
                "no magnet sizes are given: coverage, air gap at worst case, ring thickness and glue "
                "are not judged",
                "give rotor.magnet_width and rotor.magnet_thickness", "common practice", "practice",
            )
        ]  # fmt: skip
    return [f for rule in (_room, _gap, _flux, _glue, _hoop, _heat) for f in rule(job, ring)]


def _room(job: Job, ring: RotorRing) -> list[Finding]:
    width = job.design.rotor.magnet_width
    if ring.coverage > 1.0:
        block = job.design.rotor.magnet_shape == "block"
        most = 2 * ring.face * (math.tan if block else math.sin)(math.pi / ring.count)
        return [
            finding(
                "stop", "magnets-meet", "rotor.magnet_width", width, most,
                f"rotor.magnet_width = {width:g} mm: {ring.count} magnets do not go round; their inner "
                "corners meet",
                f"use less than {most:.2f} mm, or fewer magnets_per_pole",
            )
        ]  # fmt: skip
    if LEAST_COVER <= ring.coverage <= MOST_COVER:
        return []
    few = ring.coverage < LEAST_COVER
    return [
        finding(
            "note", "magnet-coverage", "rotor.magnet_width", ring.coverage,
            LEAST_COVER if few else MOST_COVER,
            f"magnets cover {100 * ring.coverage:.0f} % of a pole pitch: "
            + ("less field than the ring has room for" if few else "flux leaks from pole to pole, and "
               "glue has no room between them"),
            f"{100 * LEAST_COVER:.0f} to {100 * MOST_COVER:.0f} % is usual", "common practice", "practice",
        )
    ]  # fmt: skip


def _gap(job: Job, ring: RotorRing) -> list[Finding]:
    asked, found = job.design.rotor.air_gap, []
    if abs(ring.gap - asked) > SAME_GAP:
        need = 2 * math.sqrt((math.sqrt(ring.bore**2 - _half(job) ** 2) + asked - ring.gap) ** 2
                             + _half(job) ** 2)  # fmt: skip
        found.append(
            finding(
                "warn", "ring-bore-and-gap", "rotor.ring_bore", ring.gap, asked,
                f"rotor.ring_bore = {2 * ring.bore:g} mm leaves an air gap of {ring.gap:.2f} mm, "
                f"rotor.air_gap says {asked:g} mm",
                f"use ring_bore = {need:.2f} mm, or air_gap = {ring.gap:.2f} mm",
            )
        )  # fmt: skip
    if ring.gap_least < LEAST_GAP:
        found.append(
            finding(
                "stop" if ring.gap_likely <= 0.0 else "warn", "air-gap-worst", "rotor.air_gap",
                ring.gap_least, LEAST_GAP,
                f"air gap of {ring.gap:.2f} mm: {ring.gap_least:.2f} mm is left if magnet, glue, ring, "
                f"sheet and bearings all err the wrong way ({ring.gap_likely:.2f} mm is likely); "
                f"nothing may rub, {LEAST_GAP:g} mm is the least",
                f"use air_gap {asked + LEAST_GAP - ring.gap_least:.2f} mm, or measure every magnet and "
                "give closer tolerances",
                "common practice", "practice",
            )
        )  # fmt: skip
    return found


def _half(job: Job) -> float:
    rotor = job.design.rotor
    return (rotor.magnet_width or 0.0) / 2 if rotor.magnet_shape == "block" else 0.0


def _flux(job: Job, ring: RotorRing) -> list[Finding]:
    given = job.design.rotor.ring_thickness
    if given is None or ring.ring_field is None or ring.ring_field <= RING_FLUX:
        return []
    return [
        finding(
            "warn", "ring-saturated", "rotor.ring_thickness", given, ring.thickness,
            f"rotor.ring_thickness = {given:g} mm would have to carry {ring.ring_field:.2f} T, more than "
            f"{RING_FLUX:g} T: part of the field leaks outside (iron filings, watches), and less reaches the "
            "teeth",
            f"use {ring.thickness:.1f} mm or more", _MODEL, "practice",
        )
    ]  # fmt: skip


def _glue(job: Job, ring: RotorRing) -> list[Finding]:
    allowed = job.design.rotor.glue_strength
    if ring.glue_stress <= allowed:
        return []
    teeth = ring.pull_in >= ring.pull_out
    pull = max(ring.pull_in, ring.pull_out)
    what = "the teeth pull" if teeth else f"at {job.design.motor.top_speed:g} 1/min turning pulls"
    return [
        finding(
            "warn", "glue-line", "rotor.glue_strength", ring.glue_stress, allowed,
            f"{what} {pull:.0f} N on one magnet: {ring.glue_stress:.2f} MPa on its glue, more than "
            f"{allowed:g} MPa; a magnet that comes off jams the motor or flies",
            "bind the magnets with a sleeve or pocket them in steel, use a lower top_speed or thinner "
            "magnets; run it behind a guard, nobody in line with the ring",
            _MODEL, "practice",
        )
    ]  # fmt: skip


def _hoop(job: Job, ring: RotorRing) -> list[Finding]:
    if ring.hoop is None or ring.hoop <= HOOP_LIMIT:
        return []
    return [
        finding(
            "warn", "ring-burst", "rotor.ring_thickness", ring.hoop, HOOP_LIMIT,
            f"at {job.design.motor.top_speed:g} 1/min the ring carries {ring.hoop:.0f} MPa by turning, more "
            f"than {HOOP_LIMIT:g} MPa of a plain, perhaps welded ring: it may burst",
            "use a seamless ring and have it judged by a competent person, or a lower top_speed",
            "thin rotating ring, any handbook of mechanics; limit common practice", "practice",
        )
    ]  # fmt: skip


def _heat(job: Job, ring: RotorRing) -> list[Finding]:
    ambient, limit = job.design.motor.ambient, ring.magnet.hottest_c
    if ambient <= limit - HEAT_MARGIN:
        return []
    return [
        finding(
            "warn", "magnet-heat", "rotor.magnet_grade", ambient, limit - HEAT_MARGIN,
            f"rotor.magnet_grade = {ring.magnet.name!r} loses strength for good above {limit:g} C, and "
            f"the motor's surroundings are at {ambient:g} C",
            "use a grade with letters for heat (M, H, SH)", ring.magnet.source, "maker",
        )
    ]  # fmt: skip
