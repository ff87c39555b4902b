"""Step: round the ends, line the slots, and have wedges ready."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.ends.edge_view import FOOT, HEIGHT, MARGIN, WIDTH, edge_view
from recipes.page.model import Blank, Caution, Do, Figure, Picture, Step
from recipes.page.pictures.part_of import part_of
from recipes.tables.insulation import creepage

if TYPE_CHECKING:
    from recipes.page.book import Book


def line_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "line",
        "Line",
        "Done when every liner lies on its wall, both cuffs over the steel, and none moves under a thumb.",
        tuple(_entries(book)),
        figures=(*_edge(book), *_liner(book), *_strips(book)),
        pictures=(_picture(book),),
    )


def _entries(book: Book) -> list[Do | Caution]:
    ends, steel = (
        book.job.design.ends,
        "Round the end edges of every tooth: no wire may turn a square steel edge.",
    )
    found: list[Do | Caution] = []
    if ends.end_cap is not None:
        found += [
            Caution("Dust of glass laminate harms lungs: work wet or with suction, and wear a mask."),
            *(Do(f"{n[0].upper()}{n[1:]}.") for n in book.job.parts["end_cap"][0].notes if "dust" not in n),
        ]  # fmt: skip
    elif ends.steps:
        found.append(Do("Feel along the stepped end sheets: every corner below the next. Break the last edge with the stone."))  # fmt: skip
    else:
        found.append(Do(steel))
    found += [
        Do("Measure both rulers of the printed page: 100 mm each. If not, type them into [print] and build again."),
        Caution("Knife: cut away from the hand that holds the rule, fresh blade, several light strokes."),
        Do("Cut the three trial strips first; take the widest that lies flat on the wall and stays below the opening."),
        Do("Cut all liners dry, grain across the slot. Fold the cuffs outwards first, then the long folds over the former."),
        Do("Push each in from one end; both cuffs must stand clear of the steel and hold."),
    ]  # fmt: skip
    return found


def _picture(book: Book) -> Picture:
    box = (0.0, MARGIN + FOOT, WIDTH, HEIGHT)
    ends = book.job.design.ends
    kind = (
        "insulating cap"
        if ends.end_cap
        else "stepped end sheets"
        if ends.steps
        else "square steel edge"
    )
    return Picture(
        "edge",
        "End edge of a tooth",
        f"Section through the end of a tooth along its tip: sheets, {kind}, and the innermost wire turning over it.",
        part_of(edge_view(book.job), box, 3.0),
        (f"The innermost turn over the {kind}; the gap under it is paper and air.",),
        file="read/edge.svg",
        box=box,
    )  # fmt: skip


def _edge(book: Book) -> tuple[Figure, ...]:
    if "edge_radius_mm" not in book.results:
        return ()
    cap = book.job.design.ends.end_cap is not None
    fields = ("ends.end_cap.edge_radius",) if cap else ("ends.steps",)
    return (
        book.figure("round that the wire turns over", book.length("edge_radius_mm"),
                    source="one wire diameter and at least 0.8 mm, common practice", fields=fields,
                    blanks=(Blank("edge", "round found", "mm"),)),
    )  # fmt: skip


def _liner(book: Book) -> tuple[Figure, ...]:
    job = book.job
    wall = ("liner.mouth_gap", "lamination.slot_depth", "liner.thickness")
    need = creepage(job.design.motor.supply_voltage, 3)
    return (
        book.exact("liner, across the slot", book.length("liner_width_mm"), fields=wall,
                   blanks=(Blank("liner_width", "width taken after trial", "mm"),)),
        book.exact("liner, along the axle", book.length("liner_length_mm"),
                   fields=("lamination.stack_length", "liner.overhang", "liner.cuff"),
                   blanks=(Blank("liner_length", "length", "mm"),)),
        book.exact("liners, spare ones included", book.amount("liner_count"), fields=("liner.spare", "motor.slots")),
        book.figure("overhang at each end", (f"{job.design.liner.overhang:.3g}, at least {need.distance_mm:g}",), "mm",
                    sure="standard", source=need.source, fields=("liner.overhang", "motor.supply_voltage")),
    )  # fmt: skip


def _strips(book: Book) -> tuple[Figure, ...]:
    return tuple(
        book.exact(
            f"{name}s, spare ones included",
            (book.amount(f"{name}_count"), " of ", *book.length(f"{name}_width_mm"), " × ", *book.length(f"{name}_length_mm")),
            fields=fields,
        )
        for name, fields in (("wedge", ("wedge.overlap", "wedge.thickness")), ("separator", ("separator.thickness",)))
        if f"{name}_count" in book.results
    )  # fmt: skip
