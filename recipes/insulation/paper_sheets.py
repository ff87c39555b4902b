"""Slot paper laid out on sheets for a paper cutter: every liner, wedge and separator, spares included.

    +---------------------------+   sheet: `print.cutter_sheet`, else the page of the printer
    | +- - -+ +- - -+ +- - -+   |   - - folds: short cuts through, `perforation_dash` long, with
    | |     | |     | |     |   |       `perforation_gap` left whole between them
    | +- - -+ +- - -+ +- - -+   |
    | [=======] [=======]       |   grain: from left to right on every piece, none lies turned
    +---------------------------+

One set of sheets for each material and thickness. The trial strips are left out: their result
decides the width of the liner, so they are cut before. Names are not cut. Not checked: whether the
cutter holds the paper flat.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.packing.blank import NestPiece, check_pieces, nest
from geometry.part import Part, Path
from geometry.printing.page import sheet_size
from geometry.segment import Line, Segment
from recipes.design.shop import Print
from recipes.refusal import note, warn
from recipes.tables.process import process


def paper_sheets(pieces: Sequence[Part], printer: Print) -> tuple[Part, ...]:
    """Return one part for each different sheet; none if no piece fits it.

    Args:
        pieces: liner, wedge and separator of the catalogue, as far as the motor has them.
        printer: the [print] table: sheet of the cutter and perforation.

    Returns:
        "paper_sheet_1" and so on, lower left corner of the sheet at the origin, mm; `quantity` is
        how many sheets are cut alike.
    """
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in pieces:
        if not _too_large(part, printer):
            groups.setdefault((part.material, part.thickness), []).append(part)
    found: list[Part] = []
    for members in groups.values():
        found += _sheets(members, printer, len(found))
    return tuple(found)


def is_laid_out(part: Part) -> bool:
    """Tell whether a part only lays others out that are counted by themselves."""
    return part.name.startswith("paper_sheet_")


def cutter_sheet(printer: Print) -> tuple[float, float]:
    """Return width and height of the sheet on the cutter, mm."""
    if printer.cutter_sheet is not None:
        return printer.cutter_sheet.width, printer.cutter_sheet.height
    return sheet_size(printer.page)


def perforation(fold: Segment, dash: float, gap: float) -> tuple[Path, ...]:
    """Return the cuts along a straight fold: `dash` mm each, at least `gap` mm whole at its ends.

    As many as go in, in the middle of the fold; none where it is shorter than dash and both gaps.
    """
    count = max(0, math.floor((fold.length - gap) / (dash + gap) + 1e-9))
    first = (fold.length - count * dash - (count - 1) * gap) / 2
    starts = [first + n * (dash + gap) for n in range(count)]
    return tuple(
        Path((Line(fold.point_at(s / fold.length), fold.point_at((s + dash) / fold.length)),))
        for s in starts
    )


def perforated(part: Part, printer: Print) -> tuple[Path, ...]:
    """Return the perforation of a piece: of its cuff folds, of all its folds, or none."""
    chosen = [
        edge
        for fold in part.fold
        for edge in fold.segments
        if printer.perforate == "all folds"
        or (printer.perforate == "cuff folds" and _is_cuff_fold(edge))
    ]
    dash, gap = printer.perforation_dash, printer.perforation_gap
    return tuple(cut for edge in chosen for cut in perforation(edge, dash, gap))


def paper_sheet_findings(pieces: Sequence[Part], printer: Print) -> list[Finding]:
    """Say which piece no sheet holds, and what a perforated wall of the slot means."""
    return [*_large(pieces, printer), *_slits(pieces, printer)]


def _large(pieces: Sequence[Part], printer: Print) -> Iterator[Finding]:
    for part in pieces:
        error = _too_large(part, printer)
        if error is not None:
            x0, y0, x1, y1 = part.box
            width, height = cutter_sheet(printer)
            _, _, margin = _measures(printer)
            yield note(
                "larger-than-cutter-sheet",
                "print.cutter_sheet",
                f"{part.name} of {x1 - x0:.2f} x {y1 - y0:.2f} mm does not fit a sheet of {width:g} x "
                f"{height:g} mm with {margin:g} mm of margin and its grain from left to right, so it "
                "is on no sheet for the paper cutter",
                value=error.value if isinstance(error.value, float) else None,
                limit=error.limit if isinstance(error.limit, float) else None,
                fix="give cutter_sheet the size of a longer mat, or cut it from its own DXF",
                source="size of the sheet; margin by common practice",
                confidence="yours",
            )


def _slits(pieces: Sequence[Part], printer: Print) -> Iterator[Finding]:
    inside = any(not _is_cuff_fold(e) for p in pieces for fold in p.fold for e in fold.segments)
    if printer.perforate == "all folds" and inside:
        yield warn(
            "perforated-in-slot",
            "print.perforate",
            "print.perforate = 'all folds' cuts through the liner at the corners of the slot, where "
            "wire presses on steel: a spark or a scratched enamel finds the slit",
            value=printer.perforate,
            limit="cuff folds",
            fix="use 'cuff folds' and crease the long folds over the former",
            source="common practice",
            confidence="practice",
        )


def _is_cuff_fold(edge: Segment) -> bool:
    """Tell whether a fold runs across the slot: those of the cuffs lie outside the steel."""
    return edge.start.y == edge.end.y


def _measures(printer: Print) -> tuple[tuple[float, float], float, float]:
    """Return size of the sheet, gap between pieces and margin, mm."""
    own = process("own")
    return cutter_sheet(printer), own.part_gap_mm, own.sheet_margin_mm


def _piece(part: Part) -> NestPiece:
    return NestPiece(part.name, part.cut[0], part.quantity, may_turn=False)


def _too_large(part: Part, printer: Print) -> GeometryError | None:
    try:
        check_pieces([_piece(part)], *_measures(printer))
    except GeometryError as error:
        return error
    return None


def _sheets(members: list[Part], printer: Print, before: int) -> Iterator[Part]:
    """Yield the different sheets of one material, numbered on after those before."""
    size, gap, margin = _measures(printer)
    plan = nest([_piece(p) for p in members], size, gap, margin)
    parts = {p.name: p for p in members}
    slits = {p.name: [s for path in perforated(p, printer) for s in path.segments] for p in members}
    for number, (placed, count) in enumerate(plan.repeats, start=before + 1):
        on_it = Counter(p.name for p in placed)
        cuts = [Path((s.moved(p.x, p.y),)) for p in placed for s in slits[p.name]]
        yield Part(
            name=f"paper_sheet_{number}",
            cut=tuple(p.place(parts[p.name].cut[0]) for p in placed),
            material=members[0].material,
            thickness=members[0].thickness,
            quantity=count,
            perforation=tuple(cuts),
            settings={
                "sheet_width_mm": size[0],
                "sheet_height_mm": size[1],
                "part_gap_mm": gap,
                "sheet_margin_mm": margin,
                "use_of_all_sheets": round(plan.use_fraction, 4),
                "grain": "from left to right of the sheet",
                **{f"pieces_{name}": n for name, n in on_it.items()},
            },
            notes=tuple(_notes(on_it, parts, bool(cuts), printer)),
        )


def _notes(
    on_it: Counter[str], parts: dict[str, Part], cuts: bool, printer: Print
) -> Iterator[str]:
    width, height = cutter_sheet(printer)
    told = " and ".join(f"{n} of {name}" for name, n in on_it.items())
    yield (
        f"each sheet of {width:g} x {height:g} mm holds {told}; grain from left to right, try one "
        "piece in the slot before the rest is cut"
    )
    if cuts:
        yield (
            f"layer PERFORATION: cuts of {printer.perforation_dash:g} mm with "
            f"{printer.perforation_gap:g} mm left whole between them; cut them before the outlines"
        )
    elif any(parts[name].fold for name in on_it):
        yield "folds are not cut: crease them over the former"
    if "wedge" in on_it:
        yield "board in several light passes of the knife; no paper cutter cuts glass laminate"
