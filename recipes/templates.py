"""1:1 pages for paper parts: every copy of every piece, ready to cut with a knife."""

from __future__ import annotations

from collections.abc import Callable

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Region
from geometry.part import Part
from geometry.printing.page_layout import MOST_PAGES, Layout, lay_out
from geometry.printing.piece import Parting, Piece
from recipes.design.units import counted, ended
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit, note
from recipes.true_scale import printing_paper

#: Names on the paper, for people.
TITLES = {"liner": "slot liner", "liner_trial": "trial strip", "end_washer": "end washer"}

#: How strips that no page holds are cut into lengths: a liner and a separator must not leave bare
#: wire at a joint, so they lap; a wedge has no room for two thicknesses under the tips (common
#: practice).
PARTINGS = {
    "liner": Parting("y", 12.0),
    "separator": Parting("x", 12.0),
    "wedge": Parting("x", 0.0),
}


def template_layout(parts: tuple[Part, ...], imprint: Imprint) -> Layout:
    """Return the pages that hold all pieces of `parts` at true size, printer corrected.

    Raises:
        Refused: the printer's rulers are out of range.
    """
    printer = imprint.printer
    try:
        widest = printing_paper(printer).size()[0]
        pieces = [piece for part in parts for piece in _pieces(part, widest, imprint.said)]
        return lay_out(
            pieces,
            title=f"{imprint.name}: {' and '.join(dict.fromkeys(p.kind for p in pieces))}",
            page=printer.page,
            revision=imprint.revision,
            measured=(printer.measured_x, printer.measured_y),
            notes=[
                imprint.said(sentence(n)) for n in dict.fromkeys(n for p in parts for n in p.notes)
            ],
        )
    except GeometryError as error:
        raise Refused(misfit(error, "print.measured_x, print.measured_y")) from None


def template_findings(layout: Layout) -> list[Finding]:
    """Say which paper parts come in lengths, on tiles, or once for all copies."""
    found = [_parted(name, count) for name, count in layout.parted.items()]
    found += [_tiled(name) for name in layout.tiled]
    return found + ([_single(layout.single)] if layout.single else [])


def _parted(name: str, count: int) -> Finding:
    lap = next((p.lap for part, p in PARTINGS.items() if TITLES.get(part, part) == name), 0.0)
    how = (
        f"lap {lap:g} mm: the slot holds two thicknesses there, so wind that much less tight"
        if lap
        else "butt"
    )
    return note(
        "strip-in-lengths",
        "print.page",
        f"{name}: no page holds it whole, so it is printed in {counted(count, 'length')} that {how}",
        value=count,
        limit=1,
        fix="cut it whole from its DXF, or from the roll with two templates laid end to end",
        source="common practice",
        confidence="practice",
    )


def _tiled(name: str) -> Finding:
    return note(
        "printed-on-tiles",
        "print.page",
        (
            f"{name}: larger than the page, so it comes on sheets to be taped together by their crosses, "
            "with a map"
        ),
        fix="have it printed whole on a larger machine, or cut from its DXF",
        source="common practice",
        confidence="practice",
    )


def _single(names: tuple[str, ...]) -> Finding:
    return note(
        "template-once",
        "print.page",
        (
            f"{', '.join(names)}: all copies would take more than {MOST_PAGES} pages, so each is printed "
            "once, as a template"
        ),
        limit=MOST_PAGES,
        fix="go round it with a knife, or have all cut from the DXF",
        source="common practice",
        confidence="practice",
    )


def sentence(note: str) -> str:
    """Return a note of a part as a sentence for people."""
    return ended(f"{note[:1].upper()}{note[1:]}")


def _pieces(part: Part, widest: float, say: Callable[[str], str]) -> list[Piece]:
    """Return the pieces of a part; regions that go on one page side by side stay together.

    Args:
        part: with the folds that lie on its regions.
        widest: room across a page, mm.
        say: writes a sentence in the unit of the design.
    """
    kind = TITLES.get(part.name, part.name.replace("_", " "))
    regions = part.cut
    boxes = [r.box for r in regions]
    if len(regions) > 1:
        kind = f"{kind}s"
        wide = ", ".join(f"{b[2] - b[0]:.2f}" for b in boxes)
        if max(b[2] for b in boxes) - min(b[0] for b in boxes) <= widest:
            return [_piece(part, regions, say(f"{kind} {wide} mm wide"), kind, say)]
        return [
            _piece(part, (r,), say(f"{kind[:-1]} {b[2] - b[0]:.2f} mm wide"), kind, say)
            for r, b in zip(regions, boxes, strict=True)
        ]
    return [_piece(part, regions, kind, kind, say)]


def _piece(
    part: Part, regions: tuple[Region, ...], name: str, kind: str, say: Callable[[str], str]
) -> Piece:
    stock = f"{part.material} {part.thickness:.3g} mm" if part.thickness else part.material
    x0, x1 = min(r.box[0] for r in regions), max(r.box[2] for r in regions)
    return Piece(
        regions,
        name,
        part.quantity,
        say(stock).replace(" mm", "\u00a0mm"),
        0.0,
        tuple(p for p in part.fold if all(x0 <= s.start.x <= x1 for s in p.segments)),
        grain=0.0 if "grain" in part.settings else None,
        kind=kind,
        parting=PARTINGS.get(part.name),
    )
