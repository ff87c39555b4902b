"""Preflight rules about how lines are drawn: dashed, wide, high, not plotted, for folds, as chords."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.inspection.chords import ON_ARC, ChordRun, chord_runs
from geometry.inspection.cut_file import Entity, drawn
from geometry.outline import Outline
from geometry.polygon import to_polygon
from geometry.segment import Segment
from geometry.tolerance import SAGITTA, SAME_PLACE
from recipes.design.units import counted
from recipes.manufacturing.preflight_facts import (
    DESIGN_GUIDES,
    MIN_AREA,
    Facts,
    found,
    is_perforation,
)

#: How far a fold may stand out beyond the part before it is told, mm.
FOLD_SLACK = 0.02

# How an entity is drawn says more than a cutter reads: whether it means a cut at all.


def broken_lines(facts: Facts) -> Iterator[Finding]:
    """What is cut is drawn in continuous lines."""
    for name, members in _grouped(facts, facts.file.broken_linetype).items():
        where, first = facts.place_of(members[0])
        text = (
            f"{counted(len(members), 'object')} in the line type {name!r}, the first "
            f"{first}: dashed and chain lines mean folds, hidden edges or axes; most programs cut "
            "them in full, some in dashes"
        )
        fix = "draw what is cut in continuous lines; delete what is not"
        yield found("warn", "linetype-broken", "line type", name, "CONTINUOUS", text, fix, where)


def unplotted(facts: Facts) -> Iterator[Finding]:
    """What is cut lies on layers that plot."""
    silent = facts.file.unplotted_layers

    def layer(entity: Entity) -> str:
        return entity.layer if entity.layer in silent else ""

    for name, members in _grouped(facts, layer).items():
        where, first = facts.place_of(members[0])
        text = (
            f"layer {name!r} with {counted(len(members), 'object')}, the first {first}, "
            "is set not to plot: such layers hold construction lines, and some programs drop them; "
            "judged as cut"
        )
        fix = "delete it if it is not to be cut, else let it plot"
        yield found("warn", "layer-no-plot", "layer", name, "plots", text, fix, where)


def wide_lines(facts: Facts) -> Iterator[Finding]:
    """Polylines have no width: a cutter follows their middle."""
    for number in facts.judged:
        entity = facts.file.model[number]
        width = facts.file.line_width(entity) * facts.mm_per_unit
        if width > SAME_PLACE:
            where, name = facts.place_of(entity)
            text = (
                f"{name} is up to {width:.3g} mm wide: the cutter follows its middle, or both its "
                "edges"
            )
            fix = "set its width to 0 and draw the edge that is meant"
            yield found("warn", "wide-line", "width_mm", width, 0, text, fix, where)


def extruded(facts: Facts) -> Iterator[Finding]:
    """Entities have no height of their own."""
    for number in facts.judged:
        entity = facts.file.model[number]
        height = facts.file.extrusion_height(entity) * facts.mm_per_unit
        if abs(height) > SAME_PLACE:
            where, name = facts.place_of(entity)
            text = (
                f"{name} is drawn up {height:.3g} mm into a wall: some programs refuse it or cut "
                "upper and lower edge"
            )
            fix = "set its thickness to 0; say the thickness of the sheet in the order"
            source = "DXF reference, group code 39"
            yield found("warn", "extruded", "thickness_mm", height, 0, text, fix, where, source)


def _grouped(facts: Facts, key: Callable[[Entity], str]) -> dict[str, list[Entity]]:
    """Return the entities to cut by a property; those without it are left out."""
    groups: dict[str, list[Entity]] = {}
    for number in facts.judged:
        entity = facts.file.model[number]
        name = key(entity)
        if name:
            groups.setdefault(name, []).append(entity)
    return groups


# Folds and perforations: open lines inside a part, which are no outlines.


def folds(facts: Facts) -> Iterator[Finding]:
    """Layers for folds hold lines inside a part; they are told, and not judged as outlines."""
    for name, numbers in facts.folds.items():
        lines = drawn(facts.file, numbers, facts.mm_per_unit)
        where = facts.file.place(facts.file.model[numbers[0]], facts.mm_per_unit)
        outside = _outside(facts, lines.edges)
        if outside is not None:
            spot = max((outside.start, outside.end), key=lambda p: _away(facts, p))
            text = (
                f"layer {name!r}: the line {facts.at(spot)} lies outside every part, so it folds "
                "nothing"
            )
            fix = "trim it at the edge of the part, or move it to the layer that it belongs to"
            yield found("warn", "fold-outside", "layer", name, "inside a part", text, fix, spot)
            continue
        count, first = len(lines.edges), f"the first {facts.at(where)}"
        if is_perforation(name):
            text = (
                f"layer {name!r}: {counted(count, 'cut')} of a perforation, {first}, cut through and "
                "judged as such, not as outlines"
            )
            fix = "cut it before the outlines, while the sheet still lies still"
        else:
            text = (
                f"layer {name!r}: {counted(count, 'line')} of a fold, {first}, not judged as a cut; a "
                "shop that cuts every layer cuts it"
            )
            fix = "say in the order that this layer is not cut, or leave it out"
        yield found("note", "fold-layer", "layer", name, "", text, fix, where, DESIGN_GUIDES)


def _outside(facts: Facts, edges: tuple[Segment, ...]) -> Segment | None:
    """Return the first line that leaves every part; None if none does or the parts are not sound."""
    import shapely

    if not facts.regions or facts.chains.runs or facts.crossings:
        return None
    try:
        # A fold may run across a hole, as bends of sheet do.
        parts = [to_polygon(region.outer).buffer(FOLD_SLACK) for region in facts.regions]
    except GeometryError:  # outlines that cross are told by a rule of their own
        return None
    lines = [shapely.LineString([tuple(e.start), *map(tuple, e.chords(SAGITTA))]) for e in edges]
    inside = set(shapely.STRtree(parts).query(lines, predicate="within")[0].tolist())
    return next((e for k, e in enumerate(edges) if k not in inside), None)


def _away(facts: Facts, spot: tuple[float, float]) -> float:
    """Return how far a place lies from the nearest part, mm."""
    import shapely

    point = shapely.Point(spot)
    return min(float(to_polygon(region).distance(point)) for region in facts.regions)


# Arcs that a program drew as chords.


def chords(facts: Facts) -> Iterator[Finding]:
    """Arcs are arcs, and circles circles, not many chords."""
    parts: list[tuple[Outline, ChordRun]] = []
    for loop in facts.loops:
        if loop.area <= MIN_AREA:
            continue
        for run in chord_runs(loop):
            if not run.whole:
                parts.append((loop, run))
                continue
            text = (
                f"a circle of {2 * run.radius:.3f} mm diameter {facts.at(run.center)} is drawn as "
                f"{run.count} chords: it cuts slowly and rough"
            )
            fix, spot = "draw it as a CIRCLE", loop.points[0]
            yield found(
                "warn", "chorded-circle", "edges", run.count, 2, text, fix, spot, DESIGN_GUIDES
            )
    if parts:
        yield _chorded_arcs(facts, parts)


def _chorded_arcs(facts: Facts, parts: list[tuple[Outline, ChordRun]]) -> Finding:
    """Return one finding for all arcs in chords: their count, and the longest as an example."""
    total = sum(run.count for _, run in parts)
    loop, run = max(parts, key=lambda p: p[1].count)
    spot = loop.points[(run.first + run.count // 2) % len(loop.points)]
    off = max(run.deviation for _, run in parts)
    text = (
        f"{total} chords in {counted(len(parts), 'run')} stand for arcs, corners within {off:.2g} mm "
        f"of them; the longest, {run.count} chords for an arc of R {run.radius:.3f} mm, "
        f"{facts.at(spot)}: they cut slowly and rough"
    )
    fix = f"export arcs as arcs, or draw lines and arcs that stray at most {ON_ARC:g} mm"
    return found("warn", "chorded-arc", "edges", total, len(parts), text, fix, spot, DESIGN_GUIDES)
