"""Can this axle be made, and can rotor and stack be put on it? One small function a rule.

`stop` where it cannot be made or mounted, `warn` where a careful person would look again. Here: what
sits where, and what is pushed over what. Lathe (`turning_rules`), wire slot (`wire_slot_rules`) and
key seats (`key_seat`) have rules of their own. Not judged: strength, room for the leads, choice of fits.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.design.lamination import Flats, Hub, Lamination
from recipes.refusal import Refused, stop, warn
from recipes.shaft.end_thread import thread_name_findings
from recipes.shaft.key_seat import key_seat_findings, key_seats
from recipes.shaft.profile import axle_pieces
from recipes.shaft.ring_groove import groove_size_findings
from recipes.shaft.ring_rules import ring_findings
from recipes.shaft.sections import (
    AS_BOUGHT,
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
from recipes.shaft.thread_rules import thread_findings, thread_place_findings
from recipes.shaft.tube_rules import tube_findings
from recipes.shaft.turning_rules import turning_findings, wall_left
from recipes.shaft.wire_slot_rules import slot_place_findings, slot_shape_findings
from recipes.tables.bearings import Bearing
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError

#: Gap that still counts as "beside" between stator seat and collar: an undercut, mm.
UNDERCUT = 2.0

#: A shoulder for a bearing is at least this many ring chamfers high, and covers at most this
#: share of the space between bore and outside: beyond, it nears the turning ring or the seal. The
#: maker's abutment diameters go before (common practice).
ABUTMENT_CHAMFERS, ABUTMENT_SHARE = 2.0, 0.35

#: A groove this near to a bearing seat, mm, holds a ring that stops the bearing.
RING_BESIDE = 1.0

_stop = partial(stop, source="common practice", confidence="practice")
_warn = partial(warn, source="common practice", confidence="practice")


def axle_findings(
    axle: Axle, lamination: Lamination, hub: Hub, stack_length: float
) -> list[Finding]:
    """Return every finding on the axle, in the order of the rules.

    Rules about diameters stay silent while features overlap, leave the axle or name an unknown
    bearing: there is no diameter to judge until that is mended.

    Args:
        axle, lamination, hub: tables of the design.
        stack_length: of the finished stack, mm.
    """
    if stops := [*groove_size_findings(axle), *thread_name_findings(axle)]:
        return stops
    found = place_findings(axle, lamination, hub, stack_length)
    stator_bore = lamination.bore_diameter
    try:
        bearing = axle_bearing(axle.bearing)
        sections = axle_sections(axle, stator_bore, stack_length)
    except Refused:
        return found
    pieces = axle_pieces(axle, sections)
    return [
        *found,
        *turning_findings(axle, pieces),
        *tube_findings(axle, sections),
        *ring_findings(axle, sections, pieces),
        *thread_findings(axle),
        *bearings_pass(axle, bearing, sections),
        *stack_passes(stator_bore, sections),
        *flat_bore_passes(hub.flats, axle, sections),
        *bearing_abutment(axle, bearing, sections),
        *key_seat_findings(
            key_seats(hub.keyway, axle, stator_bore, stack_length), axle, stack_length
        ),
        *slot_shape_findings(axle, bearing, pieces),
    ]


def refuse_weak_shape(axle: Axle, lamination: Lamination, hub: Hub, stack_length: float) -> None:
    """Refuse an axle whose strength cannot be judged; arguments as of `axle_findings`, mm.

    Raises:
        Refused: features that overlap or leave it, no wall, not two seats, key seats off the stack.
    """
    stops = [f for f in place_findings(axle, lamination, hub, stack_length) if f.level == "stop"]
    if not stops:
        bore = lamination.bore_diameter
        seats = key_seats(hub.keyway, axle, bore, stack_length)
        walls = wall_left(axle, axle_pieces(axle, axle_sections(axle, bore, stack_length)))
        keys = key_seat_findings(seats, axle, stack_length)
        stops = [f for f in (*walls, *keys) if f.level == "stop"]
    if stops:
        raise Refused(*stops)


def place_findings(
    axle: Axle, lamination: Lamination, hub: Hub, stack_length: float
) -> list[Finding]:
    """Return the findings that need no diameters of the whole axle; see `axle_findings`, mm."""
    return [
        *two_seats_in_the_tables(axle, lamination.bore_diameter),
        *features_apart(axle, hub, stack_length),
        *stack_seated(axle, lamination, stack_length),
        *bearing_on_seat(axle),
        *slot_place_findings(axle, stack_length),
        *thread_place_findings(axle, stack_length),
    ]


def two_seats_in_the_tables(axle: Axle, stator_bore: float) -> Iterator[Finding]:
    """Exactly two bearing seats; tables hold the bearing, its fits and that of the stack's bore, mm."""
    n = len(axle.seats)
    if n != 2:
        yield _stop(
            "two-seats",
            "axle.seats",
            f"axle.seats: {n} bearing seat{'s' * (n != 1)}; the rotor turns on two",
            value=n,
            limit=2,
            fix="give two seats, each { from_face, length, fit }",
        )
    turned = axle.stator_seat
    asked = [("axle.stator_seat.fit", stator_bore, str(turned.fit))] if turned else []
    try:
        bore = axle_bearing(axle.bearing).bore_mm
        asked += [(f"axle.seats[{k}].fit", bore, s.fit) for k, s in enumerate(axle.seats, 1)]
    except Refused as refused:
        yield from refused.findings
    for field, size, fit in asked:
        try:
            fit_limits(size, fit)
        except TableError as error:
            yield stop(
                "no-such-fit",
                field,
                f"{field} = {fit!r}: {error}",
                value=size,
                fix="use a diameter of the table: lamwright lookup fit lists them",
                source="ISO 286-2",
            )


def features_apart(axle: Axle, hub: Hub, stack_length: float) -> Iterator[Finding]:
    """Features end before face B and do not overlap; grooves and flats keep to ends and lands; mm.

    Flats may cross a groove, and the stator seat if the bore of the stack has flats too.
    """
    turned, grooves = turned_features(axle, stack_length), groove_features(axle)
    flats = flat_features(axle)
    for f in (*turned, slot_feature(axle), *grooves, *flats):
        if f.end > axle.length + SAME:
            yield stop(
                "outside-axle",
                f.place,
                f"{f.field}: the {f.name} ends {f.end:.3f} mm from face A, the axle at {axle.length:g} mm",
                value=f.end,
                limit=axle.length,
                fix=f"move it at least {f.end - axle.length:.3f} mm toward face A, or raise axle.length",
            )
    shared = (stator_feature(axle, stack_length).field,) if hub.flats else ()
    pairs = [
        *combinations((*turned, *grooves), 2),
        *((other, flat) for flat in flats for other in turned if other.field not in shared),
        *combinations(flats, 2),
    ]
    for a, b in pairs:
        if a.overlap(b) > SAME:
            first, second = (a, b) if a.start <= b.start else (b, a)
            yield stop(
                "features-overlap",
                second.place,
                f"{second.place} = {second.start:g} mm: {first.name} and {second.name} overlap "
                f"by {a.overlap(b):.3f} mm",
                value=second.start,
                limit=first.end,
                fix=f"start the {second.name} at {first.end:g} mm or later, or shorten the {first.name}",
            )


def stack_seated(axle: Axle, lamination: Lamination, stack: float) -> Iterator[Finding]:
    """The collar stops the stack and keeps off the coils; the seat is as long as the stack, mm."""
    seat, turned = stator_feature(axle, stack), axle.stator_seat
    yield from _collar_beside(axle, seat)
    yield from _rings_beside(axle, seat)
    if axle.shoulder is not None:
        over = lamination.bore_diameter if turned is not None else axle.stock_diameter
        yield from _collar_height(axle.shoulder.diameter, over, lamination)
    if turned is not None and turned.length < stack - SAME:
        yield stop(
            "stator-seat-short",
            "axle.stator_seat.length",
            f"axle.stator_seat.length = {turned.length:g} mm is shorter than the stack of {stack:.3f} mm",
            value=turned.length,
            limit=stack,
            fix=f"use at least {stack:.3f} mm",
        )


def _collar_beside(axle: Axle, seat: Feature) -> Iterator[Finding]:
    """The collar, if there is one, stands right beside the stack."""
    collar = collar_feature(axle)
    gap = 0.0 if collar is None else -seat.overlap(collar)
    if collar is None or gap <= UNDERCUT + SAME:
        return
    beside = seat.end if collar.start > seat.start else seat.start - (collar.end - collar.start)
    yield _stop(
        "collar-apart",
        "axle.shoulder.from_face",
        f"axle.shoulder.from_face = {collar.start:g} mm: the collar stands {gap:.3f} mm from the "
        f"{seat.name}, more than an undercut of {UNDERCUT:g} mm: the stack would leave its seat",
        value=collar.start,
        limit=beside,
        fix=f"use axle.shoulder.from_face = {beside:g}",
    )


def _rings_beside(axle: Axle, seat: Feature) -> Iterator[Finding]:
    """Rings that are to hold the stack have their grooves right beside it."""
    if axle.shoulder is not None or axle.stack_held != "retaining rings":
        return
    grooves = groove_features(axle)
    before = any(abs(g.end - seat.start) < RING_BESIDE for g in grooves)
    behind = any(abs(g.start - seat.end) < RING_BESIDE for g in grooves)
    if not (before and behind):
        yield _warn(
            "stack-without-rings",
            "axle.stack_held",
            f'axle.stack_held = "retaining rings": no groove ends at {seat.start:.2f} mm and none begins at '
            f"{seat.end:.2f} mm, where the stack does",
            value=int(before) + int(behind),
            limit=2,
            fix="give two axle.grooves there",
        )


def _collar_height(high: float, seat: float, lamination: Lamination) -> Iterator[Finding]:
    """A collar of `high` mm stands above the seat, in mm, and below the bottom of the slots."""
    floor = lamination.outer_diameter - 2 * lamination.slot_depth
    if high <= seat + SAME:
        yield _stop(
            "collar-too-low",
            "axle.shoulder.diameter",
            f"axle.shoulder.diameter = {high:g} mm does not stand above the stator seat of "
            f"{seat:g} mm: nothing stops the stack",
            value=high,
            limit=seat,
            fix=f"use more than {seat:g} mm; 3 mm more or above is usual",
        )
    elif high > floor + SAME:
        yield _warn(
            "collar-under-coils",
            "axle.shoulder.diameter",
            f"axle.shoulder.diameter = {high:g} mm reaches past the slot bottom at {floor:.2f} mm: "
            "bare steel beside the coil ends",
            value=high,
            limit=floor,
            fix=f"use at most {floor:.2f} mm, or insulate that face of the collar",
        )


def bearing_on_seat(axle: Axle) -> Iterator[Finding]:
    """A bearing seat is as long as the bearing is wide."""
    try:
        width = axle_bearing(axle.bearing).width_mm
    except Refused:
        return
    for k, s in enumerate(axle.seats, 1):
        if s.length < width - SAME:
            yield warn(
                "bearing-seat-short",
                f"axle.seats[{k}].length",
                f"axle.seats[{k}].length = {s.length:g} mm is shorter than bearing {axle.bearing} is wide, "
                f"{width:g} mm: its inner ring stands out",
                value=s.length,
                limit=width,
                fix=f"use at least {width:g} mm",
                source="ISO 15, ABMA 20",
            )


# Assembly: what is pushed over what, and what stops the bearings.


def _in_the_way(sections: tuple[Section, ...], bore: float) -> Section | None:
    """Return the largest of the sections that a bore does not pass."""
    large = [s for s in sections if s.diameter > bore + SAME]
    return max(large, key=lambda s: s.diameter, default=None)


def bearings_pass(axle: Axle, bearing: Bearing, sections: tuple[Section, ...]) -> Iterator[Finding]:
    """Each bearing can be pushed from an end over everything before its seat."""
    bore = bearing.bore_mm
    seats = [k for k, s in enumerate(sections) if s.kind == "seat"]
    for nth, k in enumerate(seats, 1):
        seat = sections[k]
        from_a, from_b = _in_the_way(sections[:k], bore), _in_the_way(sections[k + 1 :], bore)
        if from_a and from_b:
            near = from_a if seat.start < axle.length - seat.end else from_b
            yield stop(
                "bearing-cannot-pass",
                near.field,
                f"bearing {axle.bearing} with its bore of {bore:g} mm cannot reach seat {nth} "
                f"(counted from face A) over the {near.kind} of {near.diameter:g} mm at "
                f"{near.start:g} to {near.end:g} mm",
                value=near.diameter,
                limit=bore,
                fix=f"turn {near.field} to {bore:g} mm or less",
                source="order of assembly",
            )


def _way_of_stack(sections: tuple[Section, ...]) -> tuple[tuple[Section, ...], str, str]:
    """Return the sections that the stack is pushed over, its seat left out, the face, and why there.

    From the side without collar; without one from that with the smaller diameters.
    """
    kinds = [s.kind for s in sections]
    k = kinds.index("stator")
    from_a, from_b = (sections[:k], "A"), (sections[k + 1 :], "B")
    if "shoulder" in kinds:
        return (*(from_a if kinds.index("shoulder") > k else from_b), "away from the collar")
    easier = min((from_a, from_b), key=lambda w: max((s.diameter for s in w[0]), default=0.0))
    return (*easier, "the easier way")


def stack_passes(bore: float, sections: tuple[Section, ...]) -> Iterator[Finding]:
    """The stack, with its bore in mm, goes over everything before its seat from the side without collar."""
    way, face, why = _way_of_stack(sections)
    seat = next(s for s in sections if s.kind == "stator")
    block = _in_the_way((*way, seat) if seat.field == AS_BOUGHT else way, bore)
    if block is None:
        return
    yield stop(
        "stack-cannot-pass",
        block.field,
        f"the stack with its bore of {bore:g} mm comes from face {face}, {why}, and "
        f"cannot pass the {block.kind} of {block.diameter:g} mm at "
        f"{block.start:g} to {block.end:g} mm ({block.field})",
        value=block.diameter,
        limit=bore,
        fix=f"turn that to {bore:g} mm or less, or use a larger lamination.bore_diameter",
        source="order of assembly",
    )


def flat_bore_passes(
    hub: Flats | None, axle: Axle, sections: tuple[Section, ...]
) -> Iterator[Finding]:
    """A stack whose bore has flats finds flats on its seat, and nothing round in its way."""
    if hub is None:
        return
    across = 2 * hub.distance
    flats = [
        feature
        for feature, cut in zip(flat_features(axle), axle.flats, strict=True)
        if cut.across <= across + SAME
    ]
    seat = next(s for s in sections if s.kind == "stator")
    for s in (seat, *_way_of_stack(sections)[0]):
        covered = any(f.start <= s.start + SAME and s.end <= f.end + SAME for f in flats)
        if s.diameter > across + SAME and not covered:
            yield stop(
                "flat-bore-cannot-pass",
                "hub.flats.distance",
                f"hub.flats.distance = {hub.distance:g} mm lets {across:g} mm through, but the "
                f"{s.kind} of {s.diameter:g} mm at {s.start:g} to {s.end:g} mm is round",
                value=s.diameter,
                limit=across,
                fix=f"give axle.flats across {across:g} mm there, turn it to {across:g} mm, or hold the "
                "stack by hub.keyway instead",
                source="order of assembly",
            )
            return
    return


def bearing_abutment(axle: Axle, ring: Bearing, sections: tuple[Section, ...]) -> Iterator[Finding]:
    """A shoulder or a ring stops each bearing, and no shoulder nears its turning parts."""
    least = ring.bore_mm + 2 * ABUTMENT_CHAMFERS * ring.chamfer_min_mm
    most = ring.bore_mm + ABUTMENT_SHARE * (ring.outside_mm - ring.bore_mm)
    for k, seat in enumerate(sections):
        if seat.kind != "seat":
            continue
        step = max((*sections[:k][-1:], *sections[k + 1 :][:1]), key=lambda s: s.diameter)
        place = f"{step.field}: {step.diameter:g} mm beside the bearing seat at {seat.start:g} mm"
        ringed = any(
            abs(groove.end - seat.start) < RING_BESIDE or abs(groove.start - seat.end) < RING_BESIDE
            for groove in groove_features(axle)
        )
        if step.diameter > most + SAME:
            yield _warn(
                "abutment-too-high",
                step.field,
                f"{place} comes near the turning ring or the seal",
                value=step.diameter,
                limit=most,
                fix=f"use at most {most:.2f} mm, or what the bearing's maker allows",
            )
        elif step.diameter < least - SAME and not ringed:
            yield _warn(
                "bearing-not-stopped",
                step.field,
                f"{place} does not stop the inner ring",
                value=step.diameter,
                limit=least,
                fix=f"use at least {least:.2f} mm, a groove for a retaining ring beside the seat, or a spacer tube "
                "or clamp collar that the inner ring rests against",
            )
