"""Rules on assembly: what is pushed over what, what stops the bearings, what turns the stack.

Each rule takes sections as given: `recipes.axle.rules` asks them only once features lie in order.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from geometry.finding import Finding
from recipes.axle.key_rules import key_seats
from recipes.axle.sections import (
    SAME,
    Section,
    axle_bearing,
    axle_sections,
    flat_features,
    groove_features,
)
from recipes.job import Job
from recipes.refusal import finding

#: A shoulder for a bearing is at least this many ring chamfers high, and covers at most this
#: share of the space between bore and outside: beyond, it nears the turning ring or the seal. The
#: maker's abutment diameters go before (common practice).
ABUTMENT_CHAMFERS, ABUTMENT_SHARE = 2.0, 0.35

#: A groove this near to a bearing seat, mm, holds a ring that stops the bearing.
RING_BESIDE = 1.0

_PRACTICE: tuple[str, Literal["practice"]] = ("common practice", "practice")
Rule = Callable[[Job], list[Finding]]


def _in_the_way(sections: list[Section], bore: float) -> Section | None:
    return max(
        (s for s in sections if s.diameter > bore + SAME), key=lambda s: s.diameter, default=None
    )


def bearings_pass(job: Job) -> list[Finding]:
    """Each bearing can be pushed from an end over everything before its seat."""
    sections, bore = axle_sections(job), axle_bearing(job).bore_mm
    found, nth = [], 0
    for k, seat in enumerate(sections):
        if seat.kind != "seat":
            continue
        nth += 1
        from_a = _in_the_way(list(sections[:k]), bore)
        from_b = _in_the_way(list(sections[k + 1 :]), bore)
        if from_a and from_b:
            near = from_a if seat.start < job.design.axle.length - seat.end else from_b
            found.append(
                finding(
                    "stop", "bearing-cannot-pass", near.field, near.diameter, bore,
                    f"bearing {job.design.axle.bearing} with its bore of {bore:g} mm cannot reach seat "
                    f"{nth} (counted from face A) over the {near.kind} of {near.diameter:g} mm "
                    f"at {near.start:g} to {near.end:g} mm",
                    f"turn {near.field} to {bore:g} mm or less", "order of assembly",
                )
            )  # fmt: skip
    return found


def stack_passes(job: Job) -> list[Finding]:
    """The stack can be pushed from the side away from the collar over everything before its seat."""
    bore = job.design.lamination.bore_diameter
    way, face = _way_of_stack(job)
    block = _in_the_way(way, bore)
    if block is None:
        return []
    return [
        finding(
            "stop", "stack-cannot-pass", block.field, block.diameter, bore,
            f"the stack with its bore of {bore:g} mm comes from face {face}, away from the collar, and "
            f"cannot pass the {block.kind} of {block.diameter:g} mm at {block.start:g} to "
            f"{block.end:g} mm ({block.field})",
            f"turn that to {bore:g} mm or less, or use a larger lamination.bore_diameter",
            "order of assembly",
        )
    ]  # fmt: skip


def bearing_abutment(job: Job) -> list[Finding]:
    """A shoulder or a ring stops each bearing, and no shoulder nears its turning parts."""
    ring, sections = axle_bearing(job), axle_sections(job)
    least = ring.bore_mm + 2 * ABUTMENT_CHAMFERS * ring.chamfer_min_mm
    most = ring.bore_mm + ABUTMENT_SHARE * (ring.outside_mm - ring.bore_mm)
    found: list[Finding] = []
    for k, seat in enumerate(sections):
        if seat.kind != "seat":
            continue
        beside = [sections[j] for j in (k - 1, k + 1) if 0 <= j < len(sections)]
        step = max(beside, key=lambda s: s.diameter)
        place = f"beside the bearing seat at {seat.start:g} mm"
        if step.diameter > most + SAME:
            found.append(
                finding(
                    "warn", "abutment-too-high", step.field, step.diameter, most,
                    f"{step.field}: {step.diameter:g} mm {place} comes near the turning ring or the seal",
                    f"use at most {most:.2f} mm, or what the bearing's maker allows", *_PRACTICE,
                )
            )  # fmt: skip
        elif step.diameter < least - SAME and not _ringed(job, seat):
            found.append(
                finding(
                    "warn", "bearing-not-stopped", step.field, step.diameter, least,
                    f"{step.field}: {step.diameter:g} mm {place} does not stop the inner ring",
                    f"use at least {least:.2f} mm, or a groove for a retaining ring beside the seat",
                    *_PRACTICE,
                )
            )  # fmt: skip
    return found


def _ringed(job: Job, seat: Section) -> bool:
    """Tell whether a groove touches the seat."""
    return any(
        abs(groove.end - seat.start) < RING_BESIDE or abs(groove.start - seat.end) < RING_BESIDE
        for groove in groove_features(job)
    )


def _way_of_stack(job: Job) -> tuple[list[Section], str]:
    """Return the sections that the stack is pushed over, its seat left out, and the face."""
    sections = axle_sections(job)
    kinds = [s.kind for s in sections]
    k = kinds.index("stator")
    if kinds.index("shoulder") > k:
        return list(sections[:k]), "A"
    return list(sections[k + 1 :]), "B"


def flat_bore_passes(job: Job) -> list[Finding]:
    """A stack whose bore has flats finds flats on its seat, and nothing round in its way."""
    hub = job.design.hub.flats
    if hub is None:
        return []
    across = 2 * hub.distance
    flats = [
        feature
        for feature, cut in zip(flat_features(job), job.design.axle.flats, strict=True)
        if cut.across <= across + SAME
    ]
    seat = next(s for s in axle_sections(job) if s.kind == "stator")
    for s in (seat, *_way_of_stack(job)[0]):
        covered = any(f.start <= s.start + SAME and s.end <= f.end + SAME for f in flats)
        if s.diameter > across + SAME and not covered:
            return [
                finding(
                    "stop", "flat-bore-cannot-pass", "hub.flats.distance", s.diameter, across,
                    f"hub.flats.distance = {hub.distance:g} mm lets {across:g} mm through, but the "
                    f"{s.kind} of {s.diameter:g} mm at {s.start:g} to {s.end:g} mm is round",
                    f"give axle.flats across {across:g} mm there, turn it to {across:g} mm, or hold the "
                    "stack by hub.keyway instead", "order of assembly",
                )
            ]  # fmt: skip
    return []


#: Rules on assembly, asked once the features lie in order.
MOUNTING_RULES: tuple[Rule, ...] = (
    bearings_pass,
    stack_passes,
    flat_bore_passes,
    bearing_abutment,
    key_seats,
)
