"""Preflight rules about what the shop's process can cut: holes, slots, webs, corners, edges."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.finding import Finding
from geometry.inspect.least import Width
from recipes.preflight.facts import Facts, found

#: Limits are rules of thumb; a feature that misses one by less than this share passes.
SLACK = 0.01
#: A round left in an inside corner is seen, and felt by a key, from this radius on (mm; practice).
SEEN_RADIUS = 0.3


def holes(facts: Facts) -> Iterator[Finding]:
    """Every hole can be pierced and cut clean."""
    shop = facts.process
    limit = shop.hole(facts.t)
    narrow = {k for w in facts.widths if w.kind == "slot" for k in w.loops if w.size < limit}
    for size, center, k in facts.holes:
        if not _below(size, limit):
            break
        if k in narrow:  # told as a slot
            continue
        is_round = facts.loops[k].as_circle() is not None
        what = "diameter" if is_round else "largest circle in it"
        yield found(
            "stop", "hole-small", "hole diameter_mm", size, limit,
            f"hole {facts.at(center)}: {what} {size:.3f} mm; {shop.name} needs {limit:.3g} mm in "
            f"{facts.steel}",
            f"enlarge it to {limit:.3g} mm, or drill it", center, _source(facts),
        )  # fmt: skip


def slots(facts: Facts) -> Iterator[Finding]:
    """Every slot is wide enough; parts keep their distance."""
    shop, limit = facts.process, facts.slot_limit
    for w in facts.widths:
        if w.kind != "slot":
            continue
        between_parts = w.loops[0] != w.loops[1] and all(facts.nesting.depth[k] == 0 for k in w.loops)  # fmt: skip
        if between_parts and w.size < shop.part_gap_mm:
            yield found(
                "warn", "part-gap", "gap_mm", w.size, shop.part_gap_mm,
                f"two parts are {w.size:.3f} mm apart {facts.at(w.where)}; {shop.name} needs "
                f"{shop.part_gap_mm:g} mm between parts",
                "send one part a file, or move them apart", w.where, _source(facts),
            )  # fmt: skip
        elif not between_parts and _below(w.size, limit) and not _at_fault(facts, w):
            yield found(
                "stop", "slot-narrow", "slot width_mm", w.size, limit,
                f"slot {facts.at(w.where)} is {w.size:.3f} mm wide; {shop.name} needs {limit:.3g} "
                f"mm in {facts.steel}",
                f"widen it to {limit:.3g} mm, or use a finer process", w.where, _source(facts),
            )  # fmt: skip


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
                "stop", "web-thin", "web width_mm", w.size, web,
                f"only {w.size:.3f} mm of material {where}{facts.at(w.where)}; {shop.name} needs "
                f"{web:.3g} mm in {facts.steel}: it burns or bends",
                f"leave at least {web:.3g} mm", w.where, _source(facts),
            )  # fmt: skip
        elif hole_to_edge and _below(w.size, edge):
            yield found(
                "warn", "hole-near-edge", "hole to edge_mm", w.size, edge,
                f"a hole comes within {w.size:.3f} mm of the edge {facts.at(w.where)}; {shop.name} "
                f"wants {edge:.3g} mm in {facts.steel}: the edge bulges",
                f"move it in, or leave at least {edge:.3g} mm", w.where, _source(facts),
            )  # fmt: skip


def worst_case(facts: Facts) -> Iterator[Finding]:
    """The narrowest slot and web still do when the shop cuts at the end of its tolerance."""
    shop, both = facts.process, 2 * facts.process.tolerance_mm
    for kind, limit in (("slot", facts.slot_limit), ("web", shop.web(facts.t))):
        w = next((w for w in facts.widths if w.kind == kind), None)
        if w is None or _below(w.size, limit) or not _below(w.size - both, limit):
            continue
        yield found(
            "warn", "worst-case", f"{kind} width_mm", w.size - both, limit,
            f"the narrowest {kind} {facts.at(w.where)} is drawn {w.size:.3f} mm wide and may come "
            f"out {w.size - both:.3f} mm at the tolerance of {shop.name} (both edges "
            f"{shop.tolerance_mm:g} mm off); {limit:.3g} mm is the least it holds",
            f"draw it {limit + both:.3g} mm wide, or cut the test coupon first", w.where,
            f"{_source(facts)}; the worst case: common practice",
        )  # fmt: skip


def inside_corners(facts: Facts) -> Iterator[Finding]:
    """Inside corners are no tighter than the cut leaves them."""
    shop = facts.process
    least = shop.least_corner_radius_mm
    level = "warn" if least >= SEEN_RADIUS else "note"
    tight = [c for c in facts.corners if _below(c.radius, least)]
    sharp = [c for c in tight if c.radius == 0.0]
    for what, group in (("sharp", sharp), ("round", tight[len(sharp) :])):
        if not group:
            continue
        first = group[0]
        shape = "sharp inside corners" if what == "sharp" else "inside corners too tight"
        drawn = "" if what == "sharp" else f" of R {first.radius:.3f} mm"
        yield found(
            "warn" if level == "warn" or what == "round" else "note",
            "corner-tight", "corner radius_mm", first.radius, least,
            f"{len(group)} {shape}, the first{drawn} {facts.at(first.where)}; {shop.name} leaves "
            f"about R {least:g} mm, whatever the drawing says",
            f"draw R {least:g} mm or more, or relieve the corner where a key must seat",
            first.where, _source(facts),
        )  # fmt: skip


def _below(size: float, limit: float) -> bool:
    return size < limit * (1 - SLACK)


def _source(facts: Facts) -> str:
    return facts.process.source


def _at_fault(facts: Facts, width: Width) -> bool:
    """Tell whether a width is only the wedge beside a crossing that is told already."""
    return any(c.where.distance(width.where) < 2 * width.size + 0.05 for c in facts.crossings)
