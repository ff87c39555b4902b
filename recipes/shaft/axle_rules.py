"""Can this axle be made, and can rotor and stack be put on it? One small function a rule.

`stop` where it cannot be made or mounted, `warn` where a careful person would look again. Here:
what sits where. Lathe, assembly and wire slot have files of their own: `axle_turning_rules`,
`axle_mounting_rules`, `axle_slot_rules`. Not judged: strength, room for the lead bundle, choice of fits.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from typing import Final

from geometry.finding import Finding
from recipes.job import Job
from recipes.refusal import Refused, stop, warn
from recipes.shaft.key_rules import key_seats
from recipes.shaft.sections import (
    SAME,
    Feature,
    Section,
    axle_bearing,
    axle_sections,
    collar_feature,
    flat_features,
    groove_features,
    slot_feature,
    stator_feature,
    turned_features,
)
from recipes.shaft.turning_rules import TURNING_RULES
from recipes.shaft.wire_slot_rules import SLOT_PLACE_RULES, SLOT_SHAPE_RULES
from recipes.tables.reader import TableError

#     Rules on assembly: what is pushed over what, what stops the bearings, what turns the stack.
#
# Each rule takes sections as given: `recipes.shaft.axle_rules` asks them only once features lie in order.

#: A shoulder for a bearing is at least this many ring chamfers high, and covers at most this
#: share of the space between bore and outside: beyond, it nears the turning ring or the seal. The
#: maker's abutment diameters go before (common practice).
ABUTMENT_CHAMFERS, ABUTMENT_SHARE = 2.0, 0.35

#: A groove this near to a bearing seat, mm, holds a ring that stops the bearing.
RING_BESIDE = 1.0

_PRACTICE: Final = "common practice"
Rule_mounting_rules = Callable[[Job], list[Finding]]


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
                stop(
                    "bearing-cannot-pass",
                    near.field,
                    (
                        f"bearing {job.design.axle.bearing} with its bore of {bore:g} mm cannot reach seat "
                        f"{nth} (counted from face A) over the {near.kind} of {near.diameter:g} mm "
                        f"at {near.start:g} to {near.end:g} mm"
                    ),
                    value=near.diameter,
                    limit=bore,
                    fix=f"turn {near.field} to {bore:g} mm or less",
                    source="order of assembly",
                )
            )
    return found


def stack_passes(job: Job) -> list[Finding]:
    """The stack can be pushed from the side away from the collar over everything before its seat."""
    bore = job.design.lamination.bore_diameter
    way, face = _way_of_stack(job)
    block = _in_the_way(way, bore)
    if block is None:
        return []
    return [
        stop(
            "stack-cannot-pass",
            block.field,
            (
                f"the stack with its bore of {bore:g} mm comes from face {face}, away from the collar, and "
                f"cannot pass the {block.kind} of {block.diameter:g} mm at {block.start:g} to "
                f"{block.end:g} mm ({block.field})"
            ),
            value=block.diameter,
            limit=bore,
            fix=f"turn that to {bore:g} mm or less, or use a larger lamination.bore_diameter",
            source="order of assembly",
        )
    ]


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
                warn(
                    "abutment-too-high",
                    step.field,
                    f"{step.field}: {step.diameter:g} mm {place} comes near the turning ring or the seal",
                    value=step.diameter,
                    limit=most,
                    fix=f"use at most {most:.2f} mm, or what the bearing's maker allows",
                    source=_PRACTICE,
                    confidence="practice",
                )
            )
        elif step.diameter < least - SAME and not _ringed(job, seat):
            found.append(
                warn(
                    "bearing-not-stopped",
                    step.field,
                    f"{step.field}: {step.diameter:g} mm {place} does not stop the inner ring",
                    value=step.diameter,
                    limit=least,
                    fix=f"use at least {least:.2f} mm, or a groove for a retaining ring beside the seat",
                    source=_PRACTICE,
                    confidence="practice",
                )
            )
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
                stop(
                    "flat-bore-cannot-pass",
                    "hub.flats.distance",
                    (
                        f"hub.flats.distance = {hub.distance:g} mm lets {across:g} mm through, but the "
                        f"{s.kind} of {s.diameter:g} mm at {s.start:g} to {s.end:g} mm is round"
                    ),
                    value=s.diameter,
                    limit=across,
                    fix=(
                        f"give axle.flats across {across:g} mm there, turn it to {across:g} mm, or hold the "
                        "stack by hub.keyway instead"
                    ),
                    source="order of assembly",
                )
            ]
    return []


#: Rules on assembly, asked once the features lie in order.
MOUNTING_RULES: tuple[Rule_mounting_rules, ...] = (
    bearings_pass,
    stack_passes,
    flat_bore_passes,
    bearing_abutment,
    key_seats,
)

Rule = Callable[[Job], list[Finding]]

#: Gap that still counts as "beside" between stator seat and collar: an undercut, mm.
UNDERCUT = 2.0


def axle_rules(job: Job) -> list[Finding]:
    """Return every finding on the axle, in the order of the rules.

    Rules about diameters stay silent while features overlap, leave the axle or name an unknown
    bearing: there is no diameter to judge until that is mended.
    """
    found = [f for rule in (*PLACE_RULES, *SLOT_PLACE_RULES) for f in rule(job)]
    try:
        axle_sections(job)
    except Refused:
        return found
    for rule in (*TURNING_RULES, *MOUNTING_RULES, *SLOT_SHAPE_RULES):
        try:
            found += rule(job)
        except Refused as refused:  # what cannot be drawn hides no other finding
            found += refused.findings
    return found


def two_seats(job: Job) -> list[Finding]:
    """Exactly two bearing seats."""
    n = len(job.design.axle.seats)
    if n == 2:
        return []
    return [
        stop(
            "two-seats",
            "axle.seats",
            f"axle.seats: {n} bearing seat{'s' * (n != 1)}; the rotor turns on two",
            value=n,
            limit=2,
            fix="give two seats, each { from_face, length, fit }",
            source="common practice",
            confidence="practice",
        )
    ]


def known_bearing(job: Job) -> list[Finding]:
    """The bearing is in its table."""
    try:
        axle_bearing(job)
    except Refused as refused:
        return refused.findings
    return []


def known_fits(job: Job) -> list[Finding]:
    """The table of fits holds those at the bearing's bore and at the stator seat."""
    axle = job.design.axle
    asked: list[tuple[str, float, str]] = [
        ("axle.stator_seat.fit", job.design.lamination.bore_diameter, axle.stator_seat.fit)
    ]
    if not known_bearing(job):
        bore = axle_bearing(job).bore_mm
        asked += [(f"axle.seats[{k}].fit", bore, s.fit) for k, s in enumerate(axle.seats, 1)]
    found = []
    for field, size, fit in asked:
        try:
            Section(0.0, 1.0, size, "seat", fit, field).limits  # noqa: B018 - asks the table
        except TableError as error:
            found.append(
                stop(
                    "no-such-fit",
                    field,
                    f"{field} = {fit!r}: {error}",
                    value=size,
                    fix="use a diameter of the table: `lookup fit` lists them",
                    source="ISO 286-2",
                )
            )
    return found


def inside_axle(job: Job) -> list[Finding]:
    """Every feature ends at face B or before it."""
    length = job.design.axle.length
    features = (
        *turned_features(job),
        slot_feature(job),
        *groove_features(job),
        *flat_features(job),
    )
    return [
        stop(
            "outside-axle",
            f"{f.field}.from_face",
            f"{f.field}: the {f.name} ends {f.end:.3f} mm from face A, the axle at {length:g} mm",
            value=f.end,
            limit=length,
            fix=f"move it at least {f.end - length:.3f} mm toward face A, or raise axle.length",
        )
        for f in features
        if f.end > length + SAME
    ]


def features_apart(job: Job) -> list[Finding]:
    """Seats, collar, grooves and flats do not overlap; grooves and flats keep to ends and lands.

    Flats may cross a groove, and the stator seat if the bore of the stack has flats too.
    """
    shared = ("axle.stator_seat",) if job.design.hub.flats else ()
    turned, grooves, flats = turned_features(job), groove_features(job), flat_features(job)
    pairs = [
        *combinations((*turned, *grooves), 2),
        *((other, flat) for flat in flats for other in turned if other.field not in shared),
        *combinations(flats, 2),
    ]
    return [_overlap(a, b) for a, b in pairs if a.overlap(b) > SAME]


def _overlap(a: Feature, b: Feature) -> Finding:
    first, second = (a, b) if a.start <= b.start else (b, a)
    return stop(
        "features-overlap",
        f"{second.field}.from_face",
        (
            f"{second.field}.from_face = {second.start:g} mm: {first.name} and {second.name} overlap by "
            f"{a.overlap(b):.3f} mm"
        ),
        value=second.start,
        limit=first.end,
        fix=f"start the {second.name} at {first.end:g} mm or later, or shorten the {first.name}",
    )


def collar_beside_stack(job: Job) -> list[Finding]:
    """The collar stands beside the stator seat."""
    seat, collar = stator_feature(job), collar_feature(job)
    gap = -seat.overlap(collar)
    if gap <= UNDERCUT + SAME:
        return []
    beside = seat.end if collar.start > seat.start else seat.start - (collar.end - collar.start)
    return [
        stop(
            "collar-apart",
            "axle.shoulder.from_face",
            (
                f"axle.shoulder.from_face = {collar.start:g} mm: the collar stands {gap:.3f} mm from the "
                f"stator seat, more than an undercut of {UNDERCUT:g} mm: the stack would leave its seat"
            ),
            value=collar.start,
            limit=beside,
            fix=f"use axle.shoulder.from_face = {beside:g}",
            source="common practice",
            confidence="practice",
        )
    ]


def collar_height(job: Job) -> list[Finding]:
    """The collar stands above the stator seat and stays below the coils."""
    lam, collar = job.design.lamination, job.design.axle.shoulder.diameter
    floor = lam.outer_diameter - 2 * lam.slot_depth
    if collar <= lam.bore_diameter + SAME:
        return [
            stop(
                "collar-too-low",
                "axle.shoulder.diameter",
                (
                    f"axle.shoulder.diameter = {collar:g} mm does not stand above the stator seat of "
                    f"{lam.bore_diameter:g} mm: nothing stops the stack"
                ),
                value=collar,
                limit=lam.bore_diameter,
                fix=f"use more than {lam.bore_diameter:g} mm; 3 mm more or above is usual",
                source="common practice",
                confidence="practice",
            )
        ]
    if collar <= floor + SAME:
        return []
    return [
        warn(
            "collar-under-coils",
            "axle.shoulder.diameter",
            (
                f"axle.shoulder.diameter = {collar:g} mm reaches past the slot bottom at {floor:.2f} mm: "
                "bare steel beside the coil ends"
            ),
            value=collar,
            limit=floor,
            fix=f"use at most {floor:.2f} mm, or insulate that face of the collar",
            source="common practice",
            confidence="practice",
        )
    ]


def stack_on_seat(job: Job) -> list[Finding]:
    """The stator seat is as long as the stack."""
    seat, stack = job.design.axle.stator_seat.length, job.stack.length
    if seat >= stack - SAME:
        return []
    return [
        stop(
            "stator-seat-short",
            "axle.stator_seat.length",
            f"axle.stator_seat.length = {seat:g} mm is shorter than the stack of {stack:.3f} mm",
            value=seat,
            limit=stack,
            fix=f"use at least {stack:.3f} mm",
        )
    ]


def bearing_on_seat(job: Job) -> list[Finding]:
    """A bearing seat is as long as the bearing is wide."""
    if known_bearing(job):
        return []
    width = axle_bearing(job).width_mm
    return [
        warn(
            "bearing-seat-short",
            f"axle.seats[{k}].length",
            (
                f"axle.seats[{k}].length = {s.length:g} mm is shorter than bearing "
                f"{job.design.axle.bearing} is wide, {width:g} mm: its inner ring stands out"
            ),
            value=s.length,
            limit=width,
            fix=f"use at least {width:g} mm",
            source="ISO 15",
        )
        for k, s in enumerate(job.design.axle.seats, 1)
        if s.length < width - SAME
    ]


#: Rules that need no diameters of the whole axle.
PLACE_RULES: tuple[Rule, ...] = (
    two_seats,
    known_bearing,
    known_fits,
    inside_axle,
    features_apart,
    collar_beside_stack,
    collar_height,
    stack_on_seat,
    bearing_on_seat,
)
