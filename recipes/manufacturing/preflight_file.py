"""Preflight rules about the file: units, kinds of entity, layers, planes, spaces, its own word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from geometry.finding import Finding, Level
from geometry.inspection.cut_file import (
    Entity,
    is_curve,
    is_exact,
    is_seen_from_behind,
    is_tilted,
    unit_size,
)
from geometry.tolerance import SAME_PLACE
from recipes.design.units import MM_PER_INCH, counted
from recipes.manufacturing.preflight_facts import (
    CUT_WORDS,
    DESIGN_GUIDES,
    SENSIBLE,
    Facts,
    found,
    is_fold,
    is_not_for_cutting,
    is_sensible,
    layer_words,
    name_of,
)

#: Heights below this (mm) are rounding: a thousandth of any sheet that is cut.
Z_NOISE = 1e-3


def unit_declared(facts: Facts) -> Iterator[Finding]:
    """The file says its unit, and says mm (or inches on purpose)."""
    file, (w, h) = facts.file, facts.size
    if file.unit == "mm":
        return
    sizes = f"{w:.2f} x {h:.2f} mm = {w / MM_PER_INCH:.3f} x {h / MM_PER_INCH:.3f} in"
    level: Level = "warn"
    if file.content.insunits not in (None, 0) and file.unit is None:
        code, number = "unit-unknown", file.content.insunits
        text = (
            f"the header declares the unit $INSUNITS = {number}, a number that stands for none; read "
            f"as millimetres the part is {sizes}"
        )
        fix = "declare millimetres ($INSUNITS = 4), and write the overall size in the order"
    elif file.unit is None:
        level, code = "warn" if file.can_declare else "note", "unit-missing"
        why = "its header names none" if file.can_declare else "this version has no place for one"
        text = f"the file declares no unit ({why}); read as millimetres the part is {sizes}"
        fix = "declare millimetres ($INSUNITS = 4), and write the overall size in the order"
    elif file.unit == "in":
        level, code = "note", "unit-inch"
        text = f"the file is in inches: {sizes}"
        fix = "say so when you order, with the overall size in both units"
    else:
        code, read = "unit-unusual", "as declared" if facts.mm_per_unit != 1.0 else "as millimetres"
        text = (
            f"the file declares {file.unit!r}; shops read millimetres or inches, and many ignore "
            f"the header; judged here {read}: {sizes}"
        )
        fix = "declare millimetres ($INSUNITS = 4) and draw the part in millimetres"
    yield found(level, code, "unit", file.unit, "mm", text, fix, source=DESIGN_GUIDES)


def unit_agrees(facts: Facts) -> Iterator[Finding]:
    """Everything in the file that names a unit names the same one."""
    file = facts.file
    says = [("$INSUNITS", file.unit)] if file.unit else []
    if file.measurement and (file.unit or not file.can_declare):
        metric = file.unit is not None and not file.imperial
        same = metric == (file.measurement == "mm") or file.unit is None
        says += [] if same else [("$MEASUREMENT", file.measurement)]
    for text in file.comments:
        words = layer_words(text)
        if "lengths" in words and words & {"millimetres", "millimeters", "mm"}:
            says.append(("a comment", "mm"))
        elif "lengths" in words and words & {"inch", "inches"}:
            says.append(("a comment", "in"))
    if len({unit for _, unit in says}) > 1:
        told = ", ".join(f"{who} says {unit}" for who, unit in says)
        yield found(
            "warn",
            "unit-contradiction",
            "unit",
            file.unit or says[0][1],
            "mm",
            f"the file contradicts itself about its unit: {told}; a program may scale it by 25.4",
            "export again with one unit, mm",
        )


def size_sane(facts: Facts) -> Iterator[Finding]:
    """The overall size is not one that only makes sense in the other unit (25.4 times)."""
    size = max(facts.size)
    if not facts.box or is_sensible(size):
        return
    for name in ("mm", "in", "cm", "m"):
        length = size / facts.mm_per_unit * unit_size(name)
        if abs(unit_size(name) - facts.mm_per_unit) > SAME_PLACE and is_sensible(length):
            yield found(
                "warn",
                "size-odd",
                "overall size_mm",
                size,
                SENSIBLE[0] if size < SENSIBLE[0] else SENSIBLE[1],
                f"the part is {size:.3f} mm overall; read in {name} it would be {length:.2f} mm, "
                f"which is likelier (factor {max(length / size, size / length):.4g}), "
                f"{facts.at(facts.box[2:])} is its far corner",
                f"check the unit: if it was drawn in {name}, declare that or scale it",
                facts.box[2:],
            )
            return


def kinds(facts: Facts) -> Iterator[Finding]:
    """Only lines, arcs, circles and polylines of them are to be cut."""
    allowed = "LINE, ARC, CIRCLE, LWPOLYLINE, POLYLINE"
    for entity in facts.file.model:
        if is_exact(entity):
            continue
        where, name = facts.place_of(entity)
        if is_curve(entity):
            code, text = "curve", "many controllers drop or coarsen such curves"
            fix = "convert it to lines and arcs that stray at most 0.01 mm, then check the shape"
        elif entity.kind == "INSERT":
            code, fix = "block", "explode all blocks"
            text = f"block {entity.target!r} is not opened by every shop; its content is not judged"
        elif is_tilted(entity):
            code, fix = "tilted-plane", "project it into the plane of the sheet"
            text = f"its plane is tilted against the sheet, normal {_vector(entity)}"
        elif entity.kind == "POINT":
            text = f"{name}: a lone point may be pierced"
            yield found("warn", "stray-point", "POINT", 1, 0, text, "delete it", where)
            continue
        else:
            code, text = "not-for-cutting", "nothing that a cutter can follow"
            fix = "delete it, or send it in a separate file"
        text = f"{name}: {text}"
        yield found("stop", code, "entity", entity.kind, allowed, text, fix, where, DESIGN_GUIDES)


def layers(facts: Facts) -> Iterator[Finding]:
    """A cut file holds layers for cutting only."""
    first: dict[str, Entity] = {}
    for entity in facts.file.model:
        first.setdefault(entity.layer, entity)
    count = Counter(entity.layer for entity in facts.file.model)
    for name, entity in first.items():
        where = facts.file.place(entity, facts.mm_per_unit)
        what = f"layer {name!r} with {count[name]} entities, the first {facts.at(where)}"
        if name in facts.file.hidden_layers:
            yield found(
                "warn",
                "layer-hidden",
                "layer",
                name,
                "visible",
                f"{what}: switched off or frozen; some programs cut it all the same; not judged",
                "delete what is not to be cut, show what is",
                where,
            )
        elif is_not_for_cutting(name):
            yield found(
                "warn",
                "layer-not-cut",
                "layer",
                name,
                "layers for cutting only",
                f"{what}: by its name not for cutting, so not judged; a shop that cuts every "
                "layer cuts it",
                "delete it from the cut file, or send it in a separate file",
                where,
                DESIGN_GUIDES,
            )
        elif name != "0" and not is_fold(name) and not layer_words(name) & CUT_WORDS:
            yield found(
                "note",
                "layer-unknown",
                "layer",
                name,
                "0, CUT_OUTER, CUT_INNER",
                f"{what}: the name does not say that it is cut; judged as cut",
                "name it for what it is, such as CUT_OUTER or CUT_INNER",
                where,
                DESIGN_GUIDES,
            )


def planes(facts: Facts) -> Iterator[Finding]:
    """Everything lies in the plane z = 0 and is seen from above."""
    upright = "flatten the drawing so that every normal is (0, 0, 1)"
    flat = "flatten the drawing to z = 0"
    noise: list[tuple[Entity, float]] = []
    for entity in facts.file.model:
        if not is_exact(entity) or entity.flat:
            continue
        where, name = facts.place_of(entity)
        low, high = (z * facts.mm_per_unit for z in entity.z)
        if is_seen_from_behind(entity):
            text = (
                f"{name} is drawn as seen from below, normal {_vector(entity)}; some programs then "
                "mirror it"
            )
            z = entity.extrusion[2]
            yield found("stop", "mirrored-plane", "normal z", z, 1, text, upright, where)
        elif SAME_PLACE < max(abs(low), abs(high)) <= Z_NOISE:
            noise.append((entity, high if abs(high) > abs(low) else low))
        elif high - low > SAME_PLACE:
            text = (
                f"{name} climbs from z = {low:g} to {high:g} mm; its true length is not what is cut"
            )
            z = high if abs(high) > abs(low) else low
            yield found("stop", "not-flat", "z_mm", z, 0, text, flat, where)
        elif max(abs(low), abs(high)) > SAME_PLACE:
            text = f"{name} lies at z = {high:g} mm, not in the plane of the sheet"
            yield found("warn", "not-flat", "z_mm", high, 0, text, flat, where)
        else:
            normal = _vector(entity)
            text = f"{name} has the normal {normal}; a line is not changed by it"
            yield found("note", "normal-odd", "normal", normal, "(0, 0, 1)", text, upright, where)
    if noise:
        where, name = facts.place_of(noise[0][0])
        z = max((z for _, z in noise), key=abs)
        text = (
            f"{counted(len(noise), 'object')} off z = 0 by at most {abs(z):.2g} mm, the "
            f"first {name}: rounding, which changes no cut"
        )
        yield found("note", "z-noise", "z_mm", z, Z_NOISE, text, flat, where)


def spaces(facts: Facts) -> Iterator[Finding]:
    """Nothing lies in paper space or is hidden."""
    if facts.file.paper:
        count = len(facts.file.paper)
        where, name = facts.place_of(facts.file.paper[0])
        yield found(
            "warn" if facts.judged else "stop",
            "paper-space",
            "entities in paper space",
            count,
            0,
            f"{count} entities in paper space, the first {name}: a shop sees model space only, or "
            "cuts both",
            "move what is to be cut to model space, delete the rest",
            where,
        )
    for entity in facts.file.model:
        if entity.invisible:
            where, name = facts.place_of(entity)
            yield found(
                "warn",
                "invisible",
                "entity",
                entity.kind,
                "visible",
                f"{name} is marked invisible; some programs cut it all the same",
                "delete it",
                where,
            )


def own_word(facts: Facts) -> Iterator[Finding]:
    """What the file says about its own content agrees with the content."""
    for entity in facts.file.model:
        said, count = facts.file.vertex_count(entity), len(entity.points)
        if said is not None and said != count:
            where = facts.file.place(entity, facts.mm_per_unit)
            yield found(
                "stop",
                "corner-count",
                "corners",
                count,
                said,
                f"{name_of(entity)} {facts.at(where) if where else ''} announces {said} corners "
                f"and has {count}: something was lost or edited",
                "export it again",
                where,
                "DXF reference, LWPOLYLINE group code 90",
                "standard",
            )
    box, said_box = facts.box, facts.file.extents
    if not box or not said_box or said_box[0] == said_box[2]:
        return
    declared = [v * facts.mm_per_unit for v in said_box]
    off = [abs(a - b) for a, b in zip(declared, box, strict=True)]
    if max(off) > max(0.01, 1e-6 * max(facts.size)):
        corner = (box[0], box[1]) if max(off[:2]) >= max(off[2:]) else (box[2], box[3])
        w, h = declared[2] - declared[0], declared[3] - declared[1]
        yield found(
            "note",
            "extents-differ",
            "overall size_mm",
            max(facts.size),
            max(w, h),
            f"the header announces {w:.2f} x {h:.2f} mm, drawn are {facts.size[0]:.2f} x "
            f"{facts.size[1]:.2f} mm; they part most {facts.at(corner)}",
            "see whether something is missing, or zoom to all and export again",
            corner,
            "DXF reference, $EXTMIN and $EXTMAX",
            "standard",
        )


def _vector(entity: Entity) -> str:
    return f"({', '.join(f'{v:g}' for v in entity.extrusion)})"
