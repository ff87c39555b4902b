"""Which files a design becomes: the one place where a recipe's part meets the writers.

Every writer answers with bytes; every file is read back at once by a parser that did not write
it, and compared with the outline that it was made from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from geometry.drafting.drawing import Drawing, Lazy, Text
from geometry.formats.cut_svg import write_cut_svg
from geometry.formats.drawing_dxf import write_drawing_dxf
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.drawing_svg import write_svg
from geometry.formats.dxf_write import write_cut_dxf, write_flat_dxf
from geometry.formats.step_write import write_step, write_stl
from geometry.part import Part
from geometry.printing.page_layout import Layout
from geometry.solids import Body, Extruded
from recipes.assembly.half_section import half_section
from recipes.assembly.section_view import numbered, section_view
from recipes.build.read_back import (
    DxfUnit,
    check_cut_svg,
    check_drawing_dxf,
    check_dxf,
    check_pdf,
    check_step,
    check_stl,
    check_svg,
)
from recipes.catalogue import RECIPES, Parts
from recipes.covers.chain import Chain
from recipes.covers.chain_rules import chain_csv
from recipes.design.inches import Wording
from recipes.field.answer import FieldAnswer
from recipes.field.wave_views import field_curves
from recipes.manufacturing.kerf import drawn_part
from recipes.manufacturing.nest_plan import nest_path
from recipes.motor import Motor
from recipes.report.assembly_picture import drawn_first
from recipes.report.winding_choices import winding_choices
from recipes.searches import wire_alternatives
from recipes.shaft.lead_view import lead_view
from recipes.shaft.strength_view import axle_strength_view
from recipes.stator.end_edge_view import edge_view
from recipes.tables.process import process
from recipes.templates import template_layout
from recipes.winding.slot_view import slot_view, stator_view


@dataclass(frozen=True)
class PackFile:
    """One file of a pack: its path in the folder, its bytes, and the part it shows."""

    path: str
    data: bytes
    purpose: str
    part: Part | None = None


@dataclass(frozen=True)
class Planned:
    """One file to write: where it goes, and how to make and check its bytes.

    `part` is None for a file about the whole motor. Files of purpose "solid" can be pickled with
    their body, to be made by a worker.
    """

    path: str
    purpose: str
    part: Part | None
    make: Callable[[], bytes]
    check: Callable[[bytes], list[str]]


#: How far the triangles of a mesh may stray from the body, mm: finer than any printer's layer.
STL_TOLERANCE = 0.02


class ReadBackFailed(RuntimeError):
    """A file that was just written does not say what the outline says: a fault of ours."""


def planned(
    motor: Motor,
    parts: tuple[Part, ...],
    kinds: tuple[str, ...],
    payload: str,
    layout: Callable[[], Layout] | None = None,
) -> Iterator[Planned]:
    """Yield every file that `parts` of one recipe become, of the `kinds` its catalogue line names.

    Args:
        motor: for the sheet's process and the printer.
        parts: what the recipe made.
        kinds: as in `recipes.catalogue.Recipe.files`.
        payload: text of the design, which travels in each file.
        layout: gives the 1:1 pages of the parts, if they are laid out elsewhere.
    """
    for part in parts:
        if "cut" in kinds and part.cut:
            yield from _cut(motor, part, payload)
        if "knife" in kinds:
            yield _knife(part)
        if "solid" in kinds:
            yield from _solid(part, payload)
        if "mesh" in kinds and part.solid is not None:
            yield _mesh(part, part.solid)
        if "draw" in kinds:
            yield from _draw(part, payload)
        if "wind" in kinds:
            yield from _sheets(part, payload, "wind")
        if "sheet" in kinds:
            yield from _sheets(part, payload, "print")
    printed = tuple(p for p in parts if p.cut)
    if "print" in kinds and printed:
        layout = layout or partial(template_layout, printed, motor.imprint)
        yield _print(motor, printed[0], layout, payload)


def planned_nests(nests: tuple[Part, ...], payload: str) -> Iterator[Planned]:
    """Yield the cut file of every blank of a nest; an extra for one's own machine."""
    for part in nests:
        make = partial(_make_dxf, part, True, payload, "R2010")
        yield Planned(nest_path(part), "cut", part, make, partial(check_dxf, part, True))


def paths_by_part(motor: Motor, parts: Parts) -> dict[str, tuple[str, ...]]:
    """Return the paths of the files of every part of the catalogue, by the part's name.

    Of a recipe that is printed all flat parts share the pages, which come first.
    """
    found: dict[str, list[str]] = {}
    for recipe in RECIPES:
        made = parts[recipe.name]
        for plan in planned(motor, made, recipe.files, ""):
            shared = plan.purpose == "print" and "print" in recipe.files
            for part in (p for p in made if p.cut) if shared else (plan.part,):
                if part is not None:
                    paths = found.setdefault(part.name, [])
                    paths.insert(0 if shared else len(paths), plan.path)
    return {name: tuple(paths) for name, paths in found.items()}


def planned_views(motor: Motor, parts: Parts) -> list[Planned]:
    """Return what is drawn of the whole motor, and the table of wires that could be chosen."""

    svg = partial(_worded_svg, motor.design.wording)

    def view(path: str, make: Callable[[], bytes]) -> Planned:
        return Planned(path, path.split("/")[0], None, make, lambda _: [])

    leads, name = motor.lead_bundle, motor.design.name
    found = [
        view("read/half-section.svg", lambda: svg(_half_section_view(motor, parts))),
        view(
            "read/stator.svg",
            lambda: svg(
                stator_view(
                    parts["lamination"][0].cut[0],
                    motor.wound_slot,
                    motor.design.lamination.outer_diameter,
                    motor.design.name,
                )
            ),
        ),
        view(
            "read/edge.svg",
            lambda: svg(
                edge_view(
                    motor.design.ends,
                    motor.stack.sheet_height,
                    motor.proposed_ends,
                    motor.design.liner.thickness,
                    motor.wire.overall_max_mm,
                    motor.design.name,
                )
            ),
        ),
        view(
            "read/axle-strength.svg",
            lambda: svg(axle_strength_view(motor.axle_shape, motor.axle_strength, name)),
        ),
    ]
    if leads:
        found.append(view("read/leads.svg", lambda: svg(lead_view(motor.axle_shape, leads, name))))
    closed = motor.closed_rotor
    if closed:
        gaps = closed.chains
        csv = partial(_chain_table, gaps)
        found.append(Planned("stack-up.csv", "read", None, csv, lambda _: []))
    return [
        *found,
        view(
            "wind/choices.md",
            lambda: winding_choices(
                name,
                motor.design.motor,
                motor.design.winding,
                wire_alternatives(motor),
                motor.connections,
                motor.thermal_layers,
            ).encode(),
        ),
        view(
            "read/slot.svg",
            lambda: svg(
                slot_view(
                    motor.wound_slot, motor.design.lamination.outer_diameter, motor.design.name
                )
            ),
        ),
    ]


def _half_section_view(motor: Motor, parts: Parts) -> Drawing:
    """Return the motor cut along its axis, with a list of parts that names a file of each."""
    bodies, files = half_section(motor), paths_by_part(motor, parts)
    listed = []
    for item in numbered(bodies):
        shown = (drawn_first(paths) for part, paths in files.items() if item.orders(part))
        place = " and ".join(dict.fromkeys(shown)) or (
            "order.md" if item.order else "not in the order"
        )
        listed.append(f"{item.number} {item.title}, {item.motion}: {place}")
    return section_view(bodies, motor.design.name, listed)


def _chain_table(gaps: Sequence[Chain]) -> bytes:
    return chain_csv(gaps).encode()


def field_pictures(motor: Motor, found: FieldAnswer, flux: Drawing) -> list[PackFile]:
    """Return what is drawn of the magnetic field: `flux`, and the curves of its answer."""
    curves, wording = field_curves(motor.design, found), motor.design.wording
    return [
        PackFile(f"read/{stem}.svg", _worded_svg(wording, drawing), "read")
        for stem, drawing in (("field", flux), *curves.items())
    ]


def _worded_svg(wording: Wording, drawing: Drawing) -> bytes:
    """Return a picture as SVG, its lengths in the units of the design."""
    said = wording.said
    items = (replace(i, text=said(i.text)) if isinstance(i, Text) else i for i in drawing.items)
    return make_svg(replace(drawing, items=tuple(items), title=said(drawing.title)))


def make_checked(plan: Planned) -> bytes:
    """Make a file and read it back.

    Raises:
        ReadBackFailed: what was written differs from what it was made from.
    """
    data = plan.make()
    faults = plan.check(data)
    if faults:
        raise ReadBackFailed(f"{plan.path}: read back, it differs: {'; '.join(faults)}")
    return data


def stem(part: Part) -> str:
    """Return the file name without ending: part, thickness and quantity."""
    name = part.name.replace("_", "-")
    return f"{name}_{part.thickness:g}mm_qty{part.quantity}" if part.thickness else name


def _cut(motor: Motor, part: Part, payload: str) -> Iterator[Planned]:
    """Yield the cut file of a part as it is drawn for the shop, and the twins asked for."""
    shop = motor.design.shop
    drawn = drawn_part(part, motor.design.lamination, motor.kerf)
    flat = bool(drawn.fold or drawn.mark or drawn.reference or drawn.perforation)
    flat = flat and drawn.settings.get("marks_engraved") != "no"
    version = shop.dxf_version or process(shop.process).dxf_version
    kinds: list[tuple[str, DxfUnit]] = [(version, "mm")]
    if shop.r12_twin and version != "R12":
        kinds.append(("R12", "mm"))
    if shop.inch_twin:
        kinds.append((version, "in"))
    for release, unit in kinds:
        make = partial(_make_dxf, drawn, flat, payload, release)
        yield Planned(
            f"cut/{cut_name(drawn, release, unit)}.dxf",
            "cut",
            drawn,
            make if unit == "mm" else partial(make, unit=unit),
            partial(check_dxf, drawn, flat, unit=unit),
        )


def cut_name(drawn: Part, version: str, unit: DxfUnit) -> str:
    """Return the name of a cut file: what was drawn in, and what its header cannot say.

    Args:
        drawn: as `recipes.manufacturing.kerf.drawn_part` returns it.
        version: DXF version; R12 declares no unit, so there the name does.
        unit: "mm" or "in".
    """
    kerf, bore = (drawn.settings.get(k, 0.0) for k in ("kerf_full_width_mm", "bore_drawn_mm"))
    words = [stem(drawn), f"kerf{kerf:.4g}"]
    if bore:
        words.append(f"bore{bore:.5g}")
    if version == "R12":
        words.append("R12")
    if unit == "in":
        words.append("inch")
    elif version == "R12":
        words.append("mm")
    return "_".join(words)


def _make_dxf(part: Part, flat: bool, payload: str, version: Any, unit: Any = "mm") -> bytes:
    write = write_flat_dxf if flat else write_cut_dxf
    return write(part, payload=payload, version=version, unit=unit)


def _knife(part: Part) -> Planned:
    page = float(part.settings["sheet_width_mm"]), float(part.settings["sheet_height_mm"])
    make, check = partial(_make_cut_svg, part, page), partial(check_cut_svg, part, page)
    return Planned(f"cut/{stem(part)}.svg", "cut", part, make, check)


def _make_cut_svg(part: Part, page: tuple[float, float]) -> bytes:
    return write_cut_svg(part, page).encode()


def _solid(part: Part, payload: str) -> Iterator[Planned]:
    body: Body | None = part.solid
    if body is None and part.cut:
        body = Extruded(part.cut[0], part.thickness)
    if body is not None:
        yield Planned(
            f"solid/{stem(part)}.step",
            "solid",
            part,
            partial(write_step, body, name=part.name, payload=payload),
            partial(check_step, body),
        )


def _mesh(part: Part, body: Body) -> Planned:
    make = partial(write_stl, body, STL_TOLERANCE)
    check = partial(check_stl, body, STL_TOLERANCE)
    return Planned(f"solid/{stem(part)}.stl", "solid", part, make, check)


def _draw(part: Part, payload: str) -> Iterator[Planned]:
    sheets = part.drawings
    for k in range(len(sheets)):
        name = part.name.replace("_", "-") + (f"-{k + 1}" if len(sheets) > 1 else "")
        one = Lazy(partial(_one, sheets, k), count=1)
        dxf, pdf = partial(_make_drawing_dxf, one, payload), partial(_make_pdf, one, payload)
        yield Planned(f"draw/{name}.dxf", "draw", part, dxf, partial(_check_drawing_dxf, one))
        yield Planned(f"draw/{name}.pdf", "draw", part, pdf, partial(check_pdf, one))


def _one(sheets: Sequence[Drawing], k: int) -> tuple[Drawing]:
    return (sheets[k],)


def _sheets(part: Part, payload: str, purpose: str) -> Iterator[Planned]:
    """Yield all sheets of a part as one PDF and, of a winding card, each as a picture too."""
    pages, name = part.drawings, part.name.replace("_", "-")
    if not pages:
        return
    pdf = partial(_make_pdf, pages, payload)
    yield Planned(f"{purpose}/{name}.pdf", purpose, part, pdf, partial(check_pdf, pages))
    for number, page in enumerate(pages if purpose == "wind" else (), start=1):
        svg = partial(make_svg, page)
        yield Planned(
            f"{purpose}/{name}-{number}.svg", purpose, part, svg, partial(check_svg, page)
        )


def make_svg(drawing: Drawing) -> bytes:
    """Return one sheet as SVG."""
    return write_svg(drawing).encode()


def _print(motor: Motor, first: Part, layout: Callable[[], Layout], payload: str) -> Planned:
    pages = Lazy(lambda: layout().pages)
    return Planned(
        f"print/{first.name.replace('_', '-')}-templates.pdf",
        "print",
        first,
        partial(_make_pdf, pages, payload, f"{motor.design.name}: {first.name}"),
        partial(check_pdf, pages),
    )


def _make_drawing_dxf(sheet: Sequence[Drawing], payload: str) -> bytes:
    return write_drawing_dxf(sheet[0], payload)


def _check_drawing_dxf(sheet: Sequence[Drawing], data: bytes) -> list[str]:
    return check_drawing_dxf(sheet[0], data)


def _make_pdf(pages: Sequence[Drawing], payload: str, title: str = "") -> bytes:
    return write_pdf(pages, title=title or pages[0].title, payload=payload)
