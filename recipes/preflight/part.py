"""Preflight rules about the whole part: sheet and least size, tabs, turning and flipping."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.finding import Finding
from geometry.point import Point
from recipes.preflight.facts import DESIGN_GUIDES, PRACTICE, Facts, found

#: Largest sheet that shops keep (mm; common practice): 1500 x 3000.
LARGEST_SHEET = (1500.0, 3000.0)
#: Smaller parts fall between the slats; shops refuse them below the first, ask below the second.
LEAST_PART = (15.0, 25.0)
#: Parts smaller than this both ways get a micro-joint on thin sheet.
TABBED = 100.0
#: An outline that repeats this often is taken for a lamination, which is turned in the stack.
REPEATS = 3


def fits_sheet(facts: Facts) -> Iterator[Finding]:
    """The part fits the sheet, with the margin that the process needs."""
    if not facts.box:
        return
    margin = facts.process.sheet_margin_mm
    sheet = facts.sheet or LARGEST_SHEET
    room = sorted(side - 2 * margin for side in sheet)
    part = sorted(facts.size)
    if all(p <= r for p, r in zip(part, room, strict=True)):
        return
    given = "the sheet" if facts.sheet else "the largest usual sheet"
    corner = (facts.box[2], facts.box[3])
    yield found(
        "stop" if facts.sheet else "warn", "larger-than-sheet", "overall size_mm", part[1], room[1],
        f"the part is {part[1]:.1f} x {part[0]:.1f} mm, far corner {facts.at(corner)}; {given} "
        f"of {sheet[0]:g} x {sheet[1]:g} mm leaves {room[1]:g} x {room[0]:g} mm within its "
        f"{margin:g} mm margins",
        "check the unit, split the part, or order a larger sheet", corner,
        facts.process.source if facts.sheet else PRACTICE,
    )  # fmt: skip


def not_too_small(facts: Facts) -> Iterator[Finding]:
    """The part does not fall between the slats of the table."""
    for region in facts.regions:
        x0, y0, x1, y1 = region.box
        small = min(x1 - x0, y1 - y0)
        if small >= LEAST_PART[1]:
            continue
        spot = Point((x0 + x1) / 2, (y0 + y1) / 2)
        yield found(
            "warn" if small < LEAST_PART[0] else "note", "small-part", "smaller side_mm", small,
            LEAST_PART[0] if small < LEAST_PART[0] else LEAST_PART[1],
            f"the part {facts.at(spot)} is only {small:.2f} mm across; shops refuse parts under "
            f"{LEAST_PART[0]:g} to {LEAST_PART[1]:g} mm or hold them by tabs",
            "ask the shop, or let it cut several in one frame", spot, DESIGN_GUIDES,
        )  # fmt: skip


def tabs(facts: Facts) -> Iterator[Finding]:
    """A small part will be held by tabs: say where they do no harm."""
    if len(facts.regions) != 1 or not facts.box or max(facts.size) >= TABBED:
        return
    spot = _tab_place(facts)
    yield found(
        "note", "tab-place", "overall size_mm", max(facts.size), TABBED,
        f"a part under {TABBED:g} mm both ways is held by tabs on thin sheet; each leaves a stub of "
        "0.2 to 0.4 mm: not in a slot bottom, where it cuts the liner, nor proud of the air gap; "
        f"here one may sit {facts.at(spot)}",
        "write in the order where tabs and lead-ins may be, or draw shallow notches for them",
        spot, DESIGN_GUIDES,
    )  # fmt: skip


def _tab_place(facts: Facts) -> Point:
    """Return the middle of the longest edge on the convex hull: on no slot bottom."""
    import shapely

    loop = facts.regions[0].outer
    hull = shapely.MultiPoint(loop.chords(0.05)).convex_hull
    edges = [
        s
        for s in loop.segments
        if shapely.distance(hull.boundary, shapely.Point(s.point_at(0.5))) < 0.1
    ]
    return max(edges or loop.segments, key=lambda s: round(s.length, 6)).point_at(0.5)


def turns(facts: Facts) -> Iterator[Finding]:
    """Laminations can be turned against each other in the stack by a step of the teeth."""
    s = facts.symmetry
    if s is None or not _is_lamination(s.outer_order) or s.order == s.outer_order:
        return
    where = s.breaker or s.center
    if s.order == 1:
        text = "the whole sheet fits in one position only, so burrs and thickness cannot be averaged by turning"  # fmt: skip
    else:
        text = f"the whole sheet only {s.order} times: turn by {360 / s.order:g} degrees"
    yield found(
        "warn" if s.order == 1 else "note", "turning-limited", "symmetry order", s.order,
        s.outer_order,
        f"the outline repeats {s.outer_order} times round ({s.center.x:.3f}, {s.center.y:.3f}) mm, "
        f"{text}; what breaks it is {facts.at(where)}",
        f"use counts of holes, keys and marks that divide {s.outer_order}, if the stack is to be turned",
        where,
    )  # fmt: skip


def flips(facts: Facts) -> Iterator[Finding]:
    """A lamination shows which way up it lies, so that all burrs point one way."""
    s = facts.symmetry
    if s is None or not s.mirrored or not _is_lamination(s.outer_order):
        return
    spot = _far_point(facts, s.center)
    yield found(
        "note", "no-flip-mark", "flip mark", 0, 1,
        "flipped over, the sheet looks the same: nobody sees on thin sheet which side the burr is; "
        f"a mark would do {facts.at(spot)}",
        "add a small notch off the middle of a tooth, repeated at the step by which the stack is "
        "turned",
        spot,
    )  # fmt: skip


def _is_lamination(order: int) -> bool:
    return order >= REPEATS


def _far_point(facts: Facts, center: Point) -> Point:
    spots = (s.point_at(0.5) for r in facts.regions for s in r.outer.segments)
    return max(spots, key=lambda p: round(p.distance(center), 6))


def flip_mark(facts: Facts) -> bool | None:
    """Return whether a flip shows; None if the outline cannot be judged."""
    return None if facts.symmetry is None else not facts.symmetry.mirrored
