"""Step: glue the sheets into a stack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.page.model import Blank, Caution, Do, Figure, Step

if TYPE_CHECKING:
    from recipes.page.book import Book


def stack_step(book: Book) -> Step:
    """Return the step."""
    notes = book.job.parts["stack"][0].notes
    return Step(
        "stack",
        "Stack",
        "Done when the stack is square, has its height all round, and slides on its seat.",
        (
            Do("Grease or wax the mandrel, and stand it upright on one clamp plate, film between."),
            Caution("Laminating resin sensitises skin and its dust harms: nitrile gloves, fresh air, the maker's "
                    "safety sheet. Sheets still cut: thin gloves do not stop them."),
            *(Do(_sentence(n)) for n in (n for note in notes for n in note.split("; "))),
            Do("Wipe glue on thin, sheet by sheet; tap down square. Clamp over yoke and teeth until it sets."),
            Do("Push the mandrel out straight. Scrape squeezed glue out of slots and bore."),
            Do("Measure the height at four places. Meter between first and last sheet: many ohms; next to none "
               "means burrs short the sheets."),
        ),
        figures=_figures(book),
    )  # fmt: skip


def _sentence(words: str) -> str:
    words = words.strip()
    return f"{words[:1].upper()}{words[1:]}."


def _figures(book: Book) -> tuple[Figure, ...]:
    lam = ("lamination.stack_length", "lamination.sheet_thickness", "lamination.stacking_factor")
    own = book.job.design.lamination.stacking_factor is not None
    steps = [
        book.exact(
            f"end sheets {k}, at each end",
            f"{step.count}, narrower by {book.said(step.narrower_by)} a side",
            fields=(f"ends.steps[{k}].count", f"ends.steps[{k}].narrower_by"),
        )
        for k, step in enumerate(book.job.design.ends.steps, 1)
    ]
    return (
        book.figure("sheets in the stack", book.amount("sheet_count"), source="height and stacking factor", fields=lam),
        *steps,
        book.figure("height", book.length("stack_length_mm"), sure="yours" if own else "practice",
                    source=f"stacking factor: {book.results['stacking_factor_from']}", fields=lam,
                    blanks=(Blank("stack_height", "height of the stack", "mm", "measured.stack_height"),)),
        book.figure("mass", book.amount("stack_mass_kg", 3), "kg", source="density of the grade; steel without glue",
                    fields=("lamination.steel", *lam), blanks=(Blank("stack_mass", "mass of the stack", "kg"),)),
        book.exact("each sheet turned against the last by", book.amount("rotation_step_slots"), "slots",
                   fields=("hub.rotation_step",)),
    )  # fmt: skip
