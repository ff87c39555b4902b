"""Steps: have the sheets cut, and take the burr off them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.page.model import Amount, Blank, Caution, Do, Figure, Step
from recipes.shop.kerf import PILE
from recipes.tables.process import process
from recipes.units import format_number

if TYPE_CHECKING:
    from recipes.page.book import Book

#: Most burr that a stack of thin sheet takes, mm (common practice).
MOST_BURR = 0.05


def cut_step(book: Book) -> Step:
    """Return the step of cutting."""
    own = book.job.design.shop.process == "own"
    first: tuple[Do | Caution, ...] = (
        (
            Caution("Your own cutter: guard, suction and the eye protection that its maker asks for; dust and fumes of coated sheet harm."),
        )
        if own
        else (Do("Send the text of order.md with only the files it names; never a nest."),)
    )  # fmt: skip
    return Step(
        "cut",
        "Cut",
        "Done when every sheet is there, of the right size, with its burr on one side.",
        (
            *first,
            Do("Have the overall size read back before a sheet is cut: 25.4 times too large or small means a lost unit."),
            Caution("Sheets arrive with razor edges: gloves to unpack, carry by the faces, nobody else's hands near."),
            Do("Count them. Measure one over the tips and in the bore."),
            Do(f"Press {PILE} sheets together and measure the pile: it tells how many the stack takes."),
        ),
        files=(*book.path("order.md"), *book.path("order.csv")),
        figures=(*_sheet(book), *_work(book)),
    )  # fmt: skip


def _sheet(book: Book) -> tuple[Figure, ...]:
    design = book.job.design
    lam, row = design.lamination, process(design.shop.process)
    tolerance = f"± {row.tolerance_mm:g}"
    pile = PILE * lam.sheet_thickness
    source = f"tolerance of {row.name}: {row.source}"
    return (
        book.figure("sheets to order, spoil included", book.amount("sheets_to_order"),
                    source="stacking factor of a glued stack and 5 % spoil, at least 2; common practice",
                    fields=("lamination.stack_length", "lamination.sheet_thickness", "lamination.stacking_factor")),
        book.figure("over the tips", (f"{format_number(lam.outer_diameter, 2)} {tolerance}",), "mm", sure=row.confidence, source=source,
                    fields=("lamination.outer_diameter", "shop.process"), blanks=(Blank("tips", "over the tips", "mm"),)),
        book.figure("bore, as drawn", (book.amount("bore_drawn_mm", 2), f" {tolerance}"), "mm", sure=row.confidence, source=source,
                    fields=("lamination.bore_diameter", "shop.measured.bore_step"), blanks=(Blank("bore", "bore", "mm"),)),
        book.figure(f"pile of {PILE} sheets, pressed", (f"{format_number(pile, 2)} to {format_number(pile / 0.94, 2)}",), "mm",
                    source="coating and burr take up to 6 %; EN 60404-13 measures on such a pile",
                    fields=("lamination.sheet_thickness", "shop.measured.pile_of_20"),
                    blanks=(Blank("pile", f"pile of {PILE}", "mm", "shop.measured.pile_of_20"),)),
    )  # fmt: skip


def _work(book: Book) -> tuple[Figure, ...]:
    outline = ("lamination.outer_diameter", "motor.slots", "lamination.slot_depth")
    return (
        book.exact("cut length of one sheet", book.amount("lamination_cut_length_mm", 0), "mm", fields=outline),
        book.exact("starts of the cut", book.amount("lamination_pierces"), fields=outline),
        book.exact("net area of one sheet", book.amount("lamination_area_mm2", 0), "mm²", fields=outline),
        book.figure("kerf drawn in", book.amount("kerf_drawn_mm", 2), "mm", sure="yours",
                    source="0 is nominal: the shop compensates", fields=("shop.kerf_full_width",)),
    )  # fmt: skip


def deburr_step(book: Book) -> Step:
    """Return the step of deburring."""
    return Step(
        "deburr",
        "Deburr",
        "Done when a sheet slides over another without catching, and a cotton bud over any edge leaves no thread.",
        (
            Caution("Burr cuts and splinters: gloves for single sheets and eye protection; no gloves near anything that turns."),
            Do("Find the burr side with a magnifier; mark it, and keep it the same way up from here on."),
            Do("Draw the flat stone over the burr side, flat. Never tumble; never round the tooth tips: they set the air gap."),
            Do("Dress tab scars in bore and tips flush or below, never proud."),
            Do("Wipe steel dust off with solvent on a rag, away from flames: it shorts sheets and wears enamel."),
        ),
        figures=(
            book.figure("burr left", ("at most ", Amount(format_number(MOST_BURR, 2), MOST_BURR)), "mm",
                        fields=("shop.process",), blanks=(Blank("burr", "burr found", "mm"),)),
        ),
    )  # fmt: skip
