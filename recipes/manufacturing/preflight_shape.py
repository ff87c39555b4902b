"""Preflight rules about the drawn edges: joined, apart, rightly nested, and wide enough to cut."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.finding import Finding
from geometry.inspection.chains import JOIN
from geometry.inspection.edges import MOST_PAIRS, WITHIN
from geometry.inspection.minimum_feature import Width
from geometry.point import Point
from geometry.tolerance import READ_BACK, SHORTEST_EDGE
from recipes.manufacturing.preflight_facts import (
    DESIGN_GUIDES,
    MIN_AREA,
    PRACTICE,
    Facts,
    found,
    layer_words,
    name_of,
)

#: Limits are rules of thumb; a feature that misses one by less than this share passes.
SLACK = 0.01
#: A round left in an inside corner is seen, and felt by a key, from this radius on (mm; practice).
SEEN_RADIUS = 0.3
#: Largest sheet that shops keep (mm; common practice): 1500 x 3000.
LARGEST_SHEET = (1500.0, 3000.0)
#: Smaller parts fall between the slats; shops refuse them below the first, ask below the second.
SMALL_PART = (15.0, 25.0)
#: Parts smaller than this both ways get a micro-joint on thin sheet.
TABBED = 100.0
#: An outline that repeats this often is taken for a lamination, which is turned in the stack.
REPEATS = 3
#: Less of the hull round it than this is sheet if an outline has slots (common practice).
SLOTTED_SHARE = 0.97

# The drawn edges.


def something(facts: Facts) -> Iterator[Finding]:
    """There is something to cut."""
    if not facts.drawn.edges:
        text = "the file holds no line or arc to cut in model space"
        fix = "draw the outline on a visible layer for cutting, in model space"
        yield found("stop", "nothing-to-cut", "edges", 0, 1, text, fix)


def specks(facts: Facts) -> Iterator[Finding]:
    """No entity is without length or shorter than a cutter can follow."""
    drawing = set(facts.drawn.owner)
    for number, spot in facts.drawn.empty:
        if number in drawing:
            text = (
                f"{name_of(facts.file.model[number])} repeats its corner {facts.at(spot)}: the edge "
                "between has no length and is passed over"
            )
            fix = "delete one of both corners, if a program stops there"
            yield found("note", "repeated-corner", "length_mm", 0.0, 0.0, text, fix, spot)
            continue
        yield found(
            "stop",
            "no-length",
            "length_mm",
            0.0,
            SHORTEST_EDGE,
            f"{name_of(facts.file.model[number])} {facts.at(spot)} has an edge without length: a "
            "stray pierce",
            "delete it",
            spot,
            DESIGN_GUIDES,
        )
    lengths = facts.table.length
    for k in (lengths < SHORTEST_EDGE).nonzero()[0]:
        length, spot = float(lengths[k]), facts.drawn.edges[int(k)].point_at(0.5)
        yield found(
            "warn",
            "tiny-edge",
            "length_mm",
            length,
            SHORTEST_EDGE,
            f"{name_of(facts.entity_of(int(k)))} {facts.at(spot)} has an edge of {length:.4f} mm; "
            f"below {SHORTEST_EDGE:g} mm the machine stutters or drops it",
            "join it with its neighbour",
            spot,
            DESIGN_GUIDES,
        )


def single(facts: Facts) -> Iterator[Finding]:
    """No line is drawn twice, whole or in part."""
    groups: dict[tuple[int, int], list[int]] = {}
    for k, o in enumerate(facts.overlaps):
        a, b = facts.drawn.owner[o.first], facts.drawn.owner[o.second]
        groups.setdefault((min(a, b), max(a, b)), []).append(k)
    for (a, b), members in groups.items():
        shared = [facts.overlaps[k] for k in members]
        spot = max(shared, key=lambda o: o.length).where
        length = math.fsum(o.length for o in shared)
        along = f"along {length:.3f} mm {facts.at(spot)}"
        one, other = name_of(facts.file.model[a]), name_of(facts.file.model[b])
        code, fix = "overlap", "trim one back to where they meet"
        if a == b:
            text = f"{one} runs back over itself {along}"
        elif all(o.whole for o in shared):
            code, fix = "doubled", "delete the double"
            text = f"{one} and {other} lie on each other {along}: cut twice, burnt edge"
        else:
            text = f"{one} and {other} overlap {along}"
        yield found("stop", code, "overlap_mm", length, WITHIN, text, fix, spot, DESIGN_GUIDES)


def joined(facts: Facts) -> Iterator[Finding]:
    """Every outline is one closed chain without branches."""
    for junction in facts.chains.junctions:
        count, where = len(junction.edges), junction.where
        names = ", ".join(dict.fromkeys(name_of(facts.entity_of(k)) for k in junction.edges))
        text = f"{count} edges meet {facts.at(where)}, so the cutter does not know its way: {names}"
        fix = "delete or trim what does not belong to the outline"
        yield found("stop", "junction", "edge ends", count, 2, text, fix, where, DESIGN_GUIDES)
    yield from _open_ends(facts)
    gaps = [c for c in (*facts.chains.loops, *facts.chains.runs) if c.gap > READ_BACK]
    if gaps:
        worst = max(gaps, key=lambda c: c.gap)
        yield found(
            "note",
            "joint-gap",
            "gap_mm",
            worst.gap,
            JOIN,
            f"{len(gaps)} outlines close only within a tolerance: the largest gap is "
            f"{worst.gap:.2g} mm {facts.at(worst.where)}; counted as closed",
            "draw with ends that share a point, if the shop complains",
            worst.where,
            DESIGN_GUIDES,
        )


def _open_ends(facts: Facts) -> Iterator[Finding]:
    nearest = {e.where: e.nearest for e in facts.chains.ends}
    told: set[Point] = set()
    fix = "move both ends to one point, or delete the stray line"
    for end in facts.chains.ends:
        if end.where in told:
            continue
        text = f"{name_of(facts.entity_of(end.edge))} ends {facts.at(end.where)}"
        gap = None
        if end.nearest is None:
            text += " and meets nothing"
        else:
            gap = end.gap
            text = (
                f"open outline: {text}, a gap of {gap:.4g} mm from the nearest other end "
                f"{facts.at(end.nearest)}"
            )
            if nearest.get(end.nearest) == end.where:
                told.add(end.nearest)
        yield found("stop", "open-end", "gap_mm", gap, JOIN, text, fix, end.where, DESIGN_GUIDES)


def apart(facts: Facts) -> Iterator[Finding]:
    """No outline crosses or touches itself or another."""
    chain_of = {
        k: n for n, c in enumerate((*facts.chains.loops, *facts.chains.runs)) for k in c.edges
    }
    told: set[tuple[int, int]] = set()
    for c in facts.crossings:
        spot = (round(c.where.x / WITHIN), round(c.where.y / WITHIN))
        if any((spot[0] + dx, spot[1] + dy) in told for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            continue
        told.add(spot)
        one, other = name_of(facts.entity_of(c.first)), name_of(facts.entity_of(c.second))
        if c.kind == "touch":
            code, text = "touching", f"{one} and {other} touch {facts.at(c.where)}"
            fix = "move them apart, or trim the one that ends there"
        elif chain_of.get(c.first) == chain_of.get(c.second):
            code = "self-crossing"
            text = f"an outline crosses itself {facts.at(c.where)}: {one} and {other}"
            fix = "trim both edges at the crossing"
        else:
            code, text = "crossing", f"{one} and {other} cross {facts.at(c.where)}"
            fix = "move one, or join both outlines into one"
        yield found("stop", code, "crossings", 1, 0, text, fix, c.where, DESIGN_GUIDES)
    if not facts.all_compared:
        yield found(
            "warn",
            "too-dense",
            "edge pairs",
            f"more than {MOST_PAIRS}",
            MOST_PAIRS,
            "edges lie so dense that not all pairs were compared: overlaps and crossings may be "
            "missing from this list",
            "mend what is listed and check again",
        )


def nested(facts: Facts) -> Iterator[Finding]:
    """One outer outline, its holes inside, nothing inside a hole; every outline has an area."""
    depths = facts.nesting.depth
    crossed = {edge for c in facts.crossings for edge in (c.first, c.second)}
    for k, loop in enumerate(facts.loops):
        spot = loop.segments[0].point_at(0.5)
        outline = f"the outline {facts.at(spot)}"
        if loop.area <= MIN_AREA and not crossed.intersection(facts.chains.loops[k].edges):
            text = f"{outline} encloses nothing: it runs there and back"
            fix = "delete it, or draw the outline that was meant"
            yield found("stop", "no-area", "area_mm2", loop.area, MIN_AREA, text, fix, spot)
        elif depths[k] >= 2:
            text = f"{outline} lies inside a hole: it falls out or is cut into scrap"
            fix = "send it in a file of its own, or delete it"
            yield found("stop", "island", "depth", depths[k], 1, text, fix, spot, DESIGN_GUIDES)
        yield from _layer_side(facts, k, spot)
    outers = [k for k, d in enumerate(depths) if d == 0]
    if len(outers) > 1 and not facts.chains.runs and not facts.own_machine:
        spot = facts.loops[outers[1]].segments[0].point_at(0.5)
        yield found(
            "warn",
            "several-parts",
            "parts",
            len(outers),
            1,
            f"{len(outers)} separate parts in one file, the second {facts.at(spot)}: shops quote one "
            "part a file and nest it themselves",
            "send one part a file, with its quantity in the order",
            spot,
            DESIGN_GUIDES,
        )


def _layer_side(facts: Facts, loop: int, spot: Point) -> Iterator[Finding]:
    """Check that a layer named for outer or inner outlines holds such: kerf goes by it."""
    entity = facts.entity_of(facts.chains.loops[loop].edges[0])
    words = layer_words(entity.layer)
    says_outer = bool(words & {"outer", "outside", "exterior"})
    says_inner = bool(words & {"inner", "inside", "interior", "hole", "holes"})
    is_hole = facts.nesting.depth[loop] % 2 == 1
    if says_outer != says_inner and says_outer == is_hole and not facts.chains.runs:
        is_, says = ("a hole", "outer") if is_hole else ("an outer outline", "inner")
        yield found(
            "warn",
            "layer-side",
            "layer",
            entity.layer,
            "inner" if is_hole else "outer",
            f"the outline {facts.at(spot)} is {is_} on a layer for {says} ones: the kerf would be "
            f"taken off the wrong side, so it comes out one kerf ({facts.process.kerf_full_width_mm:g} "
            f"mm) too {'large' if is_hole else 'small'}",
            "move it to the other layer",
            spot,
        )


# What the process can cut.


def holes(facts: Facts) -> Iterator[Finding]:
    """Every hole can be pierced and cut clean."""
    shop = facts.process
    limit = shop.hole(facts.t)
    narrow = {k for w in facts.widths if w.kind == "slot" for k in w.loops if w.size < limit}
    for size, center, k in facts.holes:
        if _below(size, limit) and k not in narrow:  # those are told as slots
            is_round = facts.loops[k].as_circle() is not None
            what = "diameter" if is_round else "largest circle in it"
            yield found(
                "stop",
                "hole-small",
                "hole diameter_mm",
                size,
                limit,
                f"hole {facts.at(center)}: {what} {size:.3f} mm; {shop.name} needs {limit:.3g} mm in "
                f"{facts.steel}",
                f"enlarge it to {limit:.3g} mm, or drill it",
                center,
                shop.source,
            )


def slots(facts: Facts) -> Iterator[Finding]:
    """Every slot is wide enough; parts keep their distance."""
    shop, limit = facts.process, facts.slot_limit
    for w in facts.widths:
        if w.kind != "slot":
            continue
        between_parts = w.loops[0] != w.loops[1] and all(
            facts.nesting.depth[k] == 0 for k in w.loops
        )
        if between_parts and _below(w.size, shop.part_gap_mm):
            yield found(
                "warn",
                "part-gap",
                "gap_mm",
                w.size,
                shop.part_gap_mm,
                f"two parts are {w.size:.3f} mm apart {facts.at(w.where)}; {shop.name} needs "
                f"{shop.part_gap_mm:g} mm between parts",
                "send one part a file, or move them apart",
                w.where,
                shop.source,
            )
        elif not between_parts and _below(w.size, limit) and not _at_fault(facts, w):
            yield found(
                "stop",
                "slot-narrow",
                "slot width_mm",
                w.size,
                limit,
                f"slot {facts.at(w.where)} is {w.size:.3f} mm wide; {shop.name} needs {limit:.3g} "
                f"mm in {facts.steel}",
                f"widen it to {limit:.3g} mm, or use a finer process",
                w.where,
                shop.source,
            )


def webs(facts: Facts) -> Iterator[Finding]:
    """Between two cuts enough material is left; beside the rim a little more."""
    shop = facts.process
    web, edge = shop.web(facts.t), shop.edge(facts.t)
    for w in facts.widths:
        if w.kind != "web" or _at_fault(facts, w):
            continue
        depths = {facts.nesting.depth[k] % 2 for k in w.loops}
        hole_to_edge = w.loops[0] != w.loops[1] and depths == {0, 1}
        if _below(w.size, web):
            where = "between a hole and the edge " if hole_to_edge else ""
            yield found(
                "stop",
                "web-thin",
                "web width_mm",
                w.size,
                web,
                f"only {w.size:.3f} mm of material {where}{facts.at(w.where)}; {shop.name} needs "
                f"{web:.3g} mm in {facts.steel}: it burns or bends",
                f"leave at least {web:.3g} mm",
                w.where,
                shop.source,
            )
        elif hole_to_edge and _below(w.size, edge):
            yield found(
                "warn",
                "hole-near-edge",
                "hole to edge_mm",
                w.size,
                edge,
                f"a hole comes within {w.size:.3f} mm of the edge {facts.at(w.where)}; {shop.name} "
                f"wants {edge:.3g} mm in {facts.steel}: the edge bulges",
                f"move it in, or leave at least {edge:.3g} mm",
                w.where,
                shop.source,
            )


def worst_case(facts: Facts) -> Iterator[Finding]:
    """The narrowest slot and web still do when the shop cuts at the end of its tolerance."""
    shop, both = facts.process, 2 * facts.process.tolerance_mm
    for kind, limit in (("slot", facts.slot_limit), ("web", shop.web(facts.t))):
        w = next((w for w in facts.widths if w.kind == kind), None)
        if w is None or _below(w.size, limit) or not _below(w.size - both, limit):
            continue
        yield found(
            "warn",
            "worst-case",
            f"{kind} width_mm",
            w.size - both,
            limit,
            f"the narrowest {kind} {facts.at(w.where)} is drawn {w.size:.3f} mm wide and may come "
            f"out {w.size - both:.3f} mm at the tolerance of {shop.name} (both edges "
            f"{shop.tolerance_mm:g} mm off); {limit:.3g} mm is the least it holds",
            f"draw it {limit + both:.3g} mm wide, or cut the test coupon first",
            w.where,
            f"{shop.source}; the worst case: common practice",
        )


def inside_corners(facts: Facts) -> Iterator[Finding]:
    """Inside corners are no tighter than the cut leaves them."""
    shop, limit = facts.process, facts.process.least_corner_radius_mm
    tight = [c for c in facts.corners if _below(c.radius, limit)]
    for group in ([c for c in tight if c.radius == 0.0], [c for c in tight if c.radius > 0.0]):
        if not group:
            continue
        first = group[0]
        is_sharp = first.radius == 0.0
        shape = "sharp inside corners" if is_sharp else "inside corners too tight"
        drawn = "" if is_sharp else f" of R {first.radius:.3f} mm"
        yield found(
            "note" if is_sharp and limit < SEEN_RADIUS else "warn",
            "corner-tight",
            "corner radius_mm",
            first.radius,
            limit,
            f"{len(group)} {shape}, the first{drawn} {facts.at(first.where)}; {shop.name} leaves "
            f"about R {limit:g} mm, whatever the drawing says",
            f"draw R {limit:g} mm or more, or relieve the corner where a key must seat",
            first.where,
            shop.source,
        )


def _below(size: float, limit: float) -> bool:
    return size < limit * (1 - SLACK)


def _at_fault(facts: Facts, width: Width) -> bool:
    """Tell whether a width is only the wedge beside a crossing that is told already."""
    return any(c.where.distance(width.where) < 2 * width.size + 0.05 for c in facts.crossings)


# The whole part: sheet and smallest size, tabs, turning and flipping.


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
        "stop" if facts.sheet else "warn",
        "larger-than-sheet",
        "overall size_mm",
        part[1],
        room[1],
        f"the part is {part[1]:.1f} x {part[0]:.1f} mm, far corner {facts.at(corner)}; {given} "
        f"of {sheet[0]:g} x {sheet[1]:g} mm leaves {room[1]:g} x {room[0]:g} mm within its "
        f"{margin:g} mm margins",
        "check the unit, split the part, or order a larger sheet",
        corner,
        facts.process.source if facts.sheet else PRACTICE,
    )


def not_too_small(facts: Facts) -> Iterator[Finding]:
    """The part does not fall between the slats of the table."""
    for region in () if facts.own_machine else facts.regions:
        x0, y0, x1, y1 = region.box
        small = min(x1 - x0, y1 - y0)
        if small >= SMALL_PART[1]:
            continue
        spot = Point((x0 + x1) / 2, (y0 + y1) / 2)
        yield found(
            "warn" if small < SMALL_PART[0] else "note",
            "small-part",
            "smaller side_mm",
            small,
            SMALL_PART[0] if small < SMALL_PART[0] else SMALL_PART[1],
            f"the part {facts.at(spot)} is only {small:.2f} mm across; shops refuse parts under "
            f"{SMALL_PART[0]:g} to {SMALL_PART[1]:g} mm or hold them by tabs",
            "ask the shop, or let it cut several in one frame",
            spot,
            DESIGN_GUIDES,
        )


def tabs(facts: Facts) -> Iterator[Finding]:
    """A small part will be held by tabs: say where they do no harm."""
    if len(facts.regions) != 1 or not facts.box or facts.own_machine or max(facts.size) >= TABBED:
        return
    spot = _tab_place(facts)
    yield found(
        "note",
        "tab-place",
        "overall size_mm",
        max(facts.size),
        TABBED,
        f"a part under {TABBED:g} mm both ways is held by tabs on thin sheet; each leaves a stub of "
        "0.2 to 0.4 mm: not in a slot bottom, where it cuts the liner, nor proud of the air gap; "
        f"here one may sit {facts.at(spot)}",
        "write in the order where tabs and lead-ins may be, or draw shallow notches for them",
        spot,
        DESIGN_GUIDES,
    )


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
    if s is None or not _is_slotted(facts) or s.outer_order < REPEATS or s.order == s.outer_order:
        return
    where = s.breaker or s.center
    if s.order == 1:
        text = "the whole sheet fits in one position only, so burrs and thickness cannot be averaged by turning"
    else:
        text = f"the whole sheet only {s.order} times: turn by {360 / s.order:g} degrees"
    yield found(
        "warn" if s.order == 1 else "note",
        "turning-limited",
        "symmetry order",
        s.order,
        s.outer_order,
        f"the outline repeats {s.outer_order} times round ({s.center.x:.3f}, {s.center.y:.3f}) mm, "
        f"{text}; what breaks it is {facts.at(where)}",
        f"use counts of holes, keys and marks that divide {s.outer_order}, if the stack is to be turned",
        where,
    )


def _is_slotted(facts: Facts) -> bool:
    """Tell whether the sheet is one part with slots in its rim: no plate, which nobody stacks."""
    import shapely

    if len(facts.regions) != 1:
        return False
    outer = facts.regions[0].outer
    hull = shapely.MultiPoint(outer.chords(0.05)).convex_hull.area
    return outer.area < SLOTTED_SHARE * float(hull)


def flips(facts: Facts) -> Iterator[Finding]:
    """A lamination shows which way up it lies, so that all burrs point one way."""
    s = facts.symmetry
    if s is None or not _is_slotted(facts) or not s.mirrored or s.outer_order < REPEATS:
        return
    middles = (e.point_at(0.5) for r in facts.regions for e in r.outer.segments)
    spot = max(middles, key=lambda p: round(p.distance(s.center), 6))
    yield found(
        "note",
        "no-flip-mark",
        "flip mark",
        0,
        1,
        "flipped over, the sheet looks the same: nobody sees on thin sheet which side the burr is; "
        f"a mark would do {facts.at(spot)}",
        "add a small notch off the middle of a tooth, repeated at the step by which the stack is "
        "turned",
        spot,
    )
