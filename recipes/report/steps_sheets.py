"""Steps: have the sheets cut, and take the burr off them."""

from __future__ import annotations

from recipes.design.units import format_number
from recipes.report.book import Book
from recipes.report.model import Amount, Blank, Caution, Do, Figure, Step
from recipes.stator.coupon import HOLE, SQUARE
from recipes.stator.stack_count import PILE
from recipes.tables.process import process

# Step: glue the sheets into a stack.


def stack_step(book: Book) -> Step:
    """Return the step."""
    notes = book.parts["stack"][0].notes
    return Step(
        "stack",
        "Stack",
        "Done when the stack is square, has its height all round, and slides on its seat.",
        (
            Do("Grease or wax the mandrel, and stand it upright on one clamp plate, film between."),
            Caution(
                "Laminating resin sensitises skin and its dust harms: nitrile gloves, fresh air, the maker's "
                "safety sheet. Sheets still cut: thin gloves do not stop them."
            ),
            *(Do(_sentence(n)) for n in (n for note in notes for n in note.split("; "))),
            Do(
                "Wipe glue on thin, sheet by sheet; tap down square. Clamp over yoke and teeth until it sets."
            ),
            Do("Push the mandrel out straight. Scrape squeezed glue out of slots and bore."),
            Do(
                "Measure the height at four places. Meter between first and last sheet: many ohms; next to none "
                "means burrs short the sheets."
            ),
        ),
        figures=_figures(book),
    )


def _sentence(words: str) -> str:
    words = words.strip()
    return f"{words[:1].upper()}{words[1:]}."


def _figures(book: Book) -> tuple[Figure, ...]:
    lam = ("lamination.stack_length", "lamination.sheet_thickness", "lamination.stacking_factor")
    own = book.motor.design.lamination.stacking_factor is not None
    steps = [
        book.exact(
            f"end sheets {k}, at each end",
            f"{step.count}, narrower by {book.said(step.narrower_by)} a side",
            fields=(f"ends.steps[{k}].count", f"ends.steps[{k}].narrower_by"),
        )
        for k, step in enumerate(book.motor.design.ends.steps, 1)
    ]
    return (
        book.figure(
            "sheets in the stack",
            book.amount("sheet_count"),
            source="height and stacking factor",
            fields=lam,
        ),
        *steps,
        book.figure(
            "height",
            book.length("stack_length_mm"),
            sure="yours" if own else "practice",
            source=f"stacking factor: {book.results['stacking_factor_from']}",
            fields=lam,
            blanks=(Blank("stack_height", "height of the stack", "mm", "measured.stack_height"),),
        ),
        book.figure(
            "mass",
            book.amount("stack_mass_kg", 3),
            "kg",
            source="density of the grade; steel without glue",
            fields=("lamination.steel", *lam),
            blanks=(Blank("stack_mass", "mass of the stack", "kg"),),
        ),
        book.exact(
            "each sheet turned against the last by",
            book.amount("rotation_step_slots"),
            "slots",
            fields=("hub.rotation_step",),
        ),
    )


# Step: the test coupon, cut first, measured, and typed in.

_SOURCE = "drawn size; what comes out tells how this shop cuts"


def coupon_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "coupon",
        "Coupon",
        "Done when its sizes are typed in and the pack is built again: the stack is cut only then.",
        (
            Do(
                "Order the coupon alone, from the sheet and with the settings that the stack will get."
            ),
            Caution(
                "Cut sheet is razor-sharp and its burr splinters: gloves, and eye protection while filing."
            ),
            Do("File tabs off at the corners before anything is measured."),
            Do("Measure the square and its hole, onto the side with the notch and across it."),
            Do(
                "Lay the half-rings over the turned seat; count notches: one is the bore as drawn, each "
                "more is 0.05 mm larger."
            ),
            Do("Cut the three trial strips of the liner first, from the paper that you will use."),
            Do(
                "Fold a trial strip of the paper into the slot of the tooth piece, and pass the wire through "
                "its opening."
            ),
            Do(
                "Line the comb's gaps with two strips of paper; take the narrowest that lets the wire pass."
            ),
            Do("Type what you found into [shop.measured] of the design and build again."),
        ),
        figures=(*_sizes(book), *_steps(book), _kerf(book)),
    )


def _sizes(book: Book) -> tuple[Figure, ...]:
    rows = (
        ("square, onto the notch", SQUARE, "outer_x"),
        ("square, across", SQUARE, "outer_y"),
        ("hole, onto the notch", HOLE, "hole_x"),
        ("hole, across", HOLE, "hole_y"),
    )
    return tuple(
        book.figure(
            words,
            Amount(format_number(size, 2), size),
            "mm",
            sure="practice",
            source=_SOURCE,
            fields=(f"shop.measured.{name}", "shop.kerf_full_width"),
            blanks=(Blank(name, words, "mm", f"shop.measured.{name}"),),
        )
        for words, size, name in rows
    )


def _steps(book: Book) -> tuple[Figure, ...]:
    rows = (
        ("half-ring that goes over the seat without play", "0, one notch", "bore_step"),
        ("narrowest gap that lets the wire pass", "0, three notches", "opening_step"),
    )
    return tuple(
        book.figure(
            words,
            shown,
            source="as drawn, if the shop cuts true",
            fields=(f"shop.measured.{name}",),
            blanks=(Blank(name, words, "mm", f"shop.measured.{name}"),),
        )
        for words, shown, name in rows
    )


def _kerf(book: Book) -> Figure:
    found, row = book.motor.kerf, book.motor.process
    return book.figure(
        f"full kerf width of {row.name}, before the coupon tells",
        book.amount("kerf_full_width_mm", 2),
        "mm",
        sure=found.confidence,
        source=found.source,
        fields=("shop.process", "shop.kerf_full_width"),
    )


#: Most burr that a stack of thin sheet takes, mm (common practice).
MOST_BURR = 0.05


def cut_step(book: Book) -> Step:
    """Return the step of cutting."""
    own = book.motor.design.shop.process == "own"
    first: tuple[Do | Caution, ...] = (
        (
            Caution(
                "Your own cutter: guard, suction and the eye protection that its maker asks for; dust and fumes of coated sheet harm."
            ),
        )
        if own
        else (Do("Send the text of order.md with only the files it names; never a nest."),)
    )
    return Step(
        "cut",
        "Cut",
        "Done when every sheet is there, of the right size, with its burr on one side.",
        (
            *first,
            Do(
                "Have the overall size read back before a sheet is cut: 25.4 times too large or small means a lost unit."
            ),
            Caution(
                "Sheets arrive with razor edges: gloves to unpack, carry by the faces, nobody else's hands near."
            ),
            Do("Count them. Measure one over the tips and in the bore."),
            Do(
                f"Press {PILE} sheets together and measure the pile: it tells how many the stack takes."
            ),
        ),
        files=(*book.path("order.md"), *book.path("order.csv")),
        figures=(*_sheet(book), *_work(book)),
    )


def _sheet(book: Book) -> tuple[Figure, ...]:
    design = book.motor.design
    lam, row = design.lamination, process(design.shop.process)
    tolerance = f"± {row.tolerance_mm:g}"
    pile = PILE * lam.sheet_thickness
    source = f"tolerance of {row.name}: {row.source}"
    return (
        book.figure(
            "sheets to order, spoil included",
            book.amount("sheets_to_order"),
            source="stacking factor of a glued stack and 5 % spoil, at least 2; common practice",
            fields=(
                "lamination.stack_length",
                "lamination.sheet_thickness",
                "lamination.stacking_factor",
            ),
        ),
        book.figure(
            "over the tips",
            (f"{format_number(lam.outer_diameter, 2)} {tolerance}",),
            "mm",
            sure=row.confidence,
            source=source,
            fields=("lamination.outer_diameter", "shop.process"),
            blanks=(Blank("tips", "over the tips", "mm"),),
        ),
        book.figure(
            "bore, as drawn",
            (book.amount("bore_drawn_mm", 2), f" {tolerance}"),
            "mm",
            sure=row.confidence,
            source=source,
            fields=("lamination.bore_diameter", "shop.measured.bore_step"),
            blanks=(Blank("bore", "bore", "mm"),),
        ),
        book.figure(
            f"pile of {PILE} sheets, pressed",
            (f"{format_number(pile, 2)} to {format_number(pile / 0.94, 2)}",),
            "mm",
            source="coating and burr take up to 6 %; EN 60404-13 measures on such a pile",
            fields=("lamination.sheet_thickness", "shop.measured.pile_of_20"),
            blanks=(Blank("pile", f"pile of {PILE}", "mm", "shop.measured.pile_of_20"),),
        ),
    )


def _work(book: Book) -> tuple[Figure, ...]:
    outline = ("lamination.outer_diameter", "motor.slots", "lamination.slot_depth")
    return (
        book.exact(
            "cut length of one sheet",
            book.amount("lamination_cut_length_mm", 0),
            "mm",
            fields=outline,
        ),
        book.exact("starts of the cut", book.amount("lamination_pierces"), fields=outline),
        book.exact(
            "net area of one sheet", book.amount("lamination_area_mm2", 0), "mm²", fields=outline
        ),
        book.figure(
            "kerf drawn in",
            book.amount("kerf_drawn_mm", 2),
            "mm",
            sure="yours",
            source="0 is nominal: the shop compensates",
            fields=("shop.kerf_full_width",),
        ),
    )


def deburr_step(book: Book) -> Step:
    """Return the step of deburring."""
    return Step(
        "deburr",
        "Deburr",
        "Done when a sheet slides over another without catching, and a cotton bud over any edge leaves no thread.",
        (
            Caution(
                "Burr cuts and splinters: gloves for single sheets and eye protection; no gloves near anything that turns."
            ),
            Do(
                "Find the burr side with a magnifier; mark it, and keep it the same way up from here on."
            ),
            Do(
                "Draw the flat stone over the burr side, flat. Never tumble; never round the tooth tips: they set the air gap."
            ),
            Do("Dress tab scars in bore and tips flush or below, never proud."),
            Do(
                "Wipe steel dust off with solvent on a rag, away from flames: it shorts sheets and wears enamel."
            ),
        ),
        figures=(
            book.figure(
                "burr left",
                ("at most ", Amount(format_number(MOST_BURR, 2), MOST_BURR)),
                "mm",
                fields=("shop.process",),
                blanks=(Blank("burr", "burr found", "mm"),),
            ),
        ),
    )
