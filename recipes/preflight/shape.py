"""Preflight rules about the drawn edges: joined, single, apart, and rightly nested."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.finding import Finding
from geometry.inspect.chains import JOIN, Chain
from geometry.inspect.edge_table import MOST_PAIRS
from geometry.inspect.overlap import WITHIN
from geometry.point import Point
from geometry.segment import Line
from geometry.tolerance import READ_BACK, SHORTEST_EDGE
from recipes.preflight.facts import (
    DESIGN_GUIDES,
    LEAST_AREA,
    Facts,
    found,
    layer_words,
    name_of,
)

#: A closed run of so many equal chords was a circle once.
CHORDS = 12


def something(facts: Facts) -> Iterator[Finding]:
    """There is something to cut."""
    if not facts.drawn.edges:
        yield found(
            "stop", "nothing-to-cut", "edges", 0, 1,
            "the file holds no line or arc to cut in model space",
            "draw the outline on a visible layer for cutting, in model space",
        )  # fmt: skip


def specks(facts: Facts) -> Iterator[Finding]:
    """No entity is without length or shorter than a cutter can follow."""
    for number, spot in facts.drawn.empty:
        yield found(
            "stop", "no-length", "length_mm", 0.0, SHORTEST_EDGE,
            f"{name_of(facts.file.model[number])} {facts.at(spot)} has an edge without length: a "
            "stray pierce",
            "delete it", spot, DESIGN_GUIDES,
        )  # fmt: skip
    lengths = facts.table.length
    for k in (lengths < SHORTEST_EDGE).nonzero()[0]:
        edge, length = facts.drawn.edges[int(k)], float(lengths[k])
        spot = edge.point_at(0.5)
        yield found(
            "warn", "tiny-edge", "length_mm", length, SHORTEST_EDGE,
            f"{name_of(facts.entity_of(int(k)))} {facts.at(spot)} has an edge of {length:.4f} mm; "
            f"below {SHORTEST_EDGE:g} mm the machine stutters or drops it",
            "join it with its neighbour", spot, DESIGN_GUIDES,
        )  # fmt: skip


def single(facts: Facts) -> Iterator[Finding]:
    """No line is drawn twice, whole or in part."""
    groups: dict[tuple[int, int], list[int]] = {}
    for k, o in enumerate(facts.overlaps):
        a, b = facts.drawn.owner[o.first], facts.drawn.owner[o.second]
        groups.setdefault((min(a, b), max(a, b)), []).append(k)
    for (a, b), members in groups.items():
        shared = [facts.overlaps[k] for k in members]
        longest = max(shared, key=lambda o: o.length)
        length = math.fsum(o.length for o in shared)
        one, other = name_of(facts.file.model[a]), name_of(facts.file.model[b])
        what = f"{one} runs back over itself" if a == b else f"{one} and {other}"
        if all(o.whole for o in shared) and a != b:
            code, text = "doubled", f"{what} lie on each other along {length:.3f} mm {facts.at(longest.where)}: cut twice, burnt edge"  # fmt: skip
        else:
            joint = "" if a == b else " overlap"
            code, text = "overlap", f"{what}{joint} along {length:.3f} mm {facts.at(longest.where)}"
        yield found(
            "stop", code, "overlap_mm", length, WITHIN, text,
            "delete the double" if code == "doubled" else "trim one back to where they meet",
            longest.where, DESIGN_GUIDES,
        )  # fmt: skip


def joined(facts: Facts) -> Iterator[Finding]:
    """Every outline is one closed chain without branches."""
    for junction in facts.chains.junctions:
        names = ", ".join(dict.fromkeys(name_of(facts.entity_of(k)) for k in junction.edges))
        yield found(
            "stop", "junction", "edge ends", len(junction.edges), 2,
            f"{len(junction.edges)} edges meet {facts.at(junction.where)}, so the cutter does not "
            f"know its way: {names}",
            "delete or trim what does not belong to the outline", junction.where, DESIGN_GUIDES,
        )  # fmt: skip
    yield from _open_ends(facts)
    yield from _closed_gaps(facts)


def _open_ends(facts: Facts) -> Iterator[Finding]:
    nearest = {e.where: e.nearest for e in facts.chains.ends}
    told: set[Point] = set()
    for end in facts.chains.ends:
        if end.where in told:
            continue
        name = name_of(facts.entity_of(end.edge))
        if end.nearest is None:
            text, gap = f"{name} ends {facts.at(end.where)} and meets nothing", math.inf
        else:
            gap = end.gap
            text = (
                f"open outline: {name} ends {facts.at(end.where)}, a gap of {gap:.4g} mm from the "
                f"nearest other end {facts.at(end.nearest)}"
            )
            if nearest.get(end.nearest) == end.where:
                told.add(end.nearest)
        yield found(
            "stop", "open-end", "gap_mm", gap if math.isfinite(gap) else None, JOIN, text,
            "move both ends to one point, or delete the stray line", end.where, DESIGN_GUIDES,
        )  # fmt: skip


def _closed_gaps(facts: Facts) -> Iterator[Finding]:
    chains: tuple[Chain, ...] = (*facts.chains.loops, *facts.chains.runs)
    gaps = [c for c in chains if c.gap > READ_BACK]
    if gaps:
        worst = max(gaps, key=lambda c: c.gap)
        yield found(
            "note", "joint-gap", "gap_mm", worst.gap, JOIN,
            f"{len(gaps)} outlines close only within a tolerance: the largest gap is "
            f"{worst.gap:.2g} mm {facts.at(worst.where)}; counted as closed",
            "draw with ends that share a point, if the shop complains", worst.where, DESIGN_GUIDES,
        )  # fmt: skip


def apart(facts: Facts) -> Iterator[Finding]:
    """No outline crosses or touches itself or another."""
    chain_of = {k: n for n, c in enumerate((*facts.chains.loops, *facts.chains.runs)) for k in c.edges}  # fmt: skip
    told: set[tuple[int, int]] = set()
    for c in facts.crossings:
        spot = (round(c.where.x / WITHIN), round(c.where.y / WITHIN))
        if any((spot[0] + dx, spot[1] + dy) in told for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            continue
        told.add(spot)
        own = chain_of.get(c.first) == chain_of.get(c.second)
        one, other = name_of(facts.entity_of(c.first)), name_of(facts.entity_of(c.second))
        if c.kind == "touch":
            code, text = "touching", f"{one} and {other} touch {facts.at(c.where)}"
            fix = "move them apart, or trim the one that ends there"
        elif own:
            code, text = "self-crossing", f"an outline crosses itself {facts.at(c.where)}: {one} and {other}"  # fmt: skip
            fix = "trim both edges at the crossing"
        else:
            code, text = "crossing", f"{one} and {other} cross {facts.at(c.where)}"
            fix = "move one, or join both outlines into one"
        yield found("stop", code, "crossings", 1, 0, text, fix, c.where, DESIGN_GUIDES)
    if not facts.all_compared:
        yield found(
            "warn", "too-dense", "edge pairs", f"more than {MOST_PAIRS}", MOST_PAIRS,
            "edges lie so dense that not all pairs were compared: overlaps and crossings may be "
            "missing from this list",
            "mend what is listed and check again",
        )  # fmt: skip


def nested(facts: Facts) -> Iterator[Finding]:
    """One outer outline, its holes inside, nothing inside a hole; every outline has an area."""
    depths = facts.nesting.depth
    outers = [k for k, d in enumerate(depths) if d == 0]
    crossed = {edge for c in facts.crossings for edge in (c.first, c.second)}
    for k, loop in enumerate(facts.loops):
        spot = loop.segments[0].point_at(0.5)
        if loop.area <= LEAST_AREA and not crossed.intersection(facts.chains.loops[k].edges):
            yield found(
                "stop", "no-area", "area_mm2", loop.area, LEAST_AREA,
                f"the outline {facts.at(spot)} encloses nothing: it runs there and back",
                "delete it, or draw the outline that was meant", spot,
            )  # fmt: skip
        elif depths[k] >= 2:
            yield found(
                "stop", "island", "depth", depths[k], 1,
                f"the outline {facts.at(spot)} lies inside a hole: it falls out or is cut into scrap",
                "send it in a file of its own, or delete it", spot, DESIGN_GUIDES,
            )  # fmt: skip
        yield from _layer_side(facts, k, spot)
    if len(outers) > 1 and not facts.chains.runs:
        spot = facts.loops[outers[1]].segments[0].point_at(0.5)
        yield found(
            "warn", "several-parts", "parts", len(outers), 1,
            f"{len(outers)} separate parts in one file, the second {facts.at(spot)}: shops quote one "
            "part a file and nest it themselves",
            "send one part a file, with its quantity in the order", spot, DESIGN_GUIDES,
        )  # fmt: skip


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
            "warn", "layer-side", "layer", entity.layer, "inner" if is_hole else "outer",
            f"the outline {facts.at(spot)} is {is_} on a layer for {says} ones: the kerf would be "
            f"taken off the wrong side, so it comes out one kerf ({facts.process.kerf_full_width_mm:g} "
            f"mm) too {'large' if is_hole else 'small'}",
            "move it to the other layer", spot,
        )  # fmt: skip


def round_circles(facts: Facts) -> Iterator[Finding]:
    """Circles are circles, not many chords."""
    for loop in facts.loops:
        count = len(loop.segments)
        if count < CHORDS or not all(isinstance(s, Line) for s in loop.segments):
            continue
        if loop.area <= LEAST_AREA:
            continue
        center = loop.centroid
        spokes = [p.distance(center) for p in loop.points]
        if max(spokes) - min(spokes) < 0.002 * max(spokes):
            spot = loop.points[0]
            yield found(
                "warn", "chorded-circle", "edges", count, 2,
                f"a circle of {2 * max(spokes):.3f} mm diameter {facts.at(center)} is drawn as "
                f"{count} chords: it cuts slowly and rough",
                "draw it as a CIRCLE", spot, DESIGN_GUIDES,
            )  # fmt: skip
