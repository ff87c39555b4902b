"""The whole motor cut along its axis, every part numbered, with its line of the order beside it."""

from __future__ import annotations

from collections.abc import Sequence

from recipes.assembly.half_section import half_section
from recipes.assembly.section_view import Numbered, numbered, section_view
from recipes.report.book import Book
from recipes.report.model import Figure, Picture


def motor_picture(book: Book) -> Picture:
    """Return the picture of the assembled motor."""
    bodies = half_section(book.motor)
    return Picture(
        "motor",
        "The motor, cut along its axis",
        "The assembled motor cut along its axis, face A with the leads at the left: above the axis the "
        "cut goes through a slot, below it through a tooth. What turns is blue and hatched the other "
        "way than what stands; numbers lead to the list of parts.",
        section_view(bodies, book.motor.design.name),
        (
            "Above the axis cut through a slot, below through a tooth; face A at the left. Blue turns, "
            "white stands, coils have a tone of their own. Rounds, undercuts and wire slot are left out; "
            "heights of coil ends, rings and collars are estimates.",
        ),
        figures=tuple(_figure(book, item) for item in numbered(bodies)),
        file="read/half-section.svg",
        wide=True,
    )


#: Field to change first where no body says one, by the recipe of the part; else that of the magnets' ring.
FIELDS = {"cover": "covers.thickness", "liner": "liner.thickness", "slot_strips": "wedge.thickness"}


def drawn_first(files: Sequence[str]) -> str:
    """Return the file that shows a part best: its drawing as PDF, else what it is cut or printed from."""
    folders = ("draw", "cut", "print", "solid", "wind", "read")
    return min(files, key=lambda path: (folders.index(path.split("/")[0]), path[-3:] != "pdf"))


def _figure(book: Book, item: Numbered) -> Figure:
    """Return the item with what is ordered for it."""
    told = []
    for line in book.lines:
        if item.orders(line.part or line.item):
            many = "×" if line.unit == "pieces" else line.unit
            told.append(f"{line.quantity:g} {many} {line.item}")
    handles = [h.field for b in item.bodies for h in (b.sized_by, b.moved_by) if h]
    field = FIELDS.get(item.bodies[0].part, "rotor.ring_thickness")
    return book.exact(
        f"{item.number} {item.title}, {item.motion}",
        ("; ".join(told) or "not in the order",),
        fields=(handles[0] if handles else field,),
    )
