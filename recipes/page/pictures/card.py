"""The winding card's picture: phase, sense, tails and links of every tooth from the lead side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.point import Point
from geometry.sheet.drawing import Drawing
from recipes.card.picture import stator_picture
from recipes.page.model import Picture
from recipes.page.pictures.style import LARGE

if TYPE_CHECKING:
    from recipes.page.book import Book


def card_picture(book: Book) -> Picture:
    """Return the stator as the winder sees it.

    Raises:
        Refused: the design has no winding, no slot, or no such wire.
    """
    job = book.job
    motor, winding = job.design.motor, job.design.winding
    middle = LARGE / 2
    drawn = stator_picture(job, Point(middle, middle), middle - 0.5)
    strands = f"{winding.strands} × " if winding.strands > 1 else ""
    paths = f", {winding.parallel_paths} parallel paths" if winding.parallel_paths > 1 else ""
    return Picture(
        "card",
        "Winding card",
        f"The stator from the lead side, tooth 1 up, {motor.slots} teeth numbered counter-clockwise. "
        "An arrow on every coil shows which way the wire crosses the tooth; phases U, V and W differ "
        "by hatching. The table of teeth in the winding step says the same in words.",
        Drawing(LARGE, LARGE, drawn.items, "winding card"),
        (
            "Seen from the lead side, numbers counter-clockwise. The arrow is the way the wire crosses "
            "the tooth on this side; S start, F finish, a dot is a joint. U hatched one way, V crossed, "
            "W dotted.",
        ),
        figures=(
            book.exact(
                "turns on one tooth",
                (f"{winding.turns} of {strands}{job.wire.label}",),
                fields=("winding.turns", "winding.strands", "winding.wire"),
            ),
            book.exact(
                "phases joined in", (f"{winding.connection}{paths}",),
                fields=("winding.connection", "winding.parallel_paths"),
            ),
            book.figure(
                "winding factor", book.amount("winding_factor", 3), sure="standard",
                source="star of slots", fields=("motor.slots", "motor.poles"),
            ),
        ),
        file=next(iter(book.path("wind/winding-card.pdf")), ""),
        wide=True,
    )  # fmt: skip
