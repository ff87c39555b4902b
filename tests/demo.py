"""Renew the demo pictures that the README shows: python -m tests.demo"""

from __future__ import annotations

import dataclasses
from pathlib import Path

from geometry.drafting.drawing import Drawing, Text
from geometry.formats.drawing_svg import write_svg
from recipes.assess import assess
from recipes.catalogue import Parts
from recipes.design.load import parse
from recipes.design.starter import starter_text
from recipes.field.flux_view import flux_view
from recipes.kept_field import solved_field
from recipes.motor import solve
from recipes.report.book import Book
from recipes.report.model import Picture
from recipes.report.pictures import liner_picture
from recipes.report.slot_picture import tooth_picture
from recipes.shaft.strength_view import axle_strength_view
from recipes.winding.slot_view import slot_view, stator_view

DEMO = Path(__file__).resolve().parent.parent / "out" / "demo"

#: The picture of the field: what is solved has not the same last bits on every machine.
FIELD = "field.svg"

#: Height of the lettering of the key, and of one of its lines, mm.
LETTERING, LINE = 3.2, 6.0


def by_field(picture: Picture, width: float) -> Drawing:
    """Return a picture of the build sheet whose sizes are replaced by numbers, with their fields.

    Args:
        picture: with a dimension for every field.
        width: room beside it for the key, mm.
    """
    drawing = picture.drawing
    items = [i for layer in picture.layers for i in layer.items] + list(drawing.items)
    for number, mark in enumerate(picture.marks, start=1):
        items += [
            dataclasses.replace(i, text=str(number)) if isinstance(i, Text) else i
            for i in mark.items
        ]
        y = drawing.height_mm - 8.0 - number * LINE
        items += [
            Text(drawing.width_mm + 8.0, y, LETTERING, str(number), anchor="right"),
            Text(drawing.width_mm + 11.0, y, LETTERING, mark.fields[0]),
        ]
    return Drawing(drawing.width_mm + width, drawing.height_mm, tuple(items), "fields")


def pictures() -> dict[str, str]:
    """Return file name and content of every demo picture."""
    job = solve(parse(starter_text("potters-wheel")))
    seen = assess(job)
    book = Book(job, Parts(job), seen.results, seen.findings, (), ())
    wound, wide, name = job.wound_slot, job.design.lamination.outer_diameter, job.design.name
    sheet = Parts(job)["lamination"][0].cut[0]
    return {
        "stator.svg": write_svg(stator_view(sheet, wound, wide, name)),
        "slot.svg": write_svg(slot_view(wound, wide, name)),
        "fields.svg": write_svg(by_field(tooth_picture(book), 72.0)),
        "liner.svg": write_svg(by_field(liner_picture(book), 64.0)),
        "axle.svg": write_svg(
            axle_strength_view(job.axle_shape, job.axle_strength, job.design.name)
        ),
        FIELD: write_svg(
            flux_view(
                solved_field(job), job.circuit.phase_current_A, job.design.name, job.design.wording
            )
        ),
    }


def main() -> None:
    """Write the pictures."""
    DEMO.mkdir(parents=True, exist_ok=True)
    for name, text in pictures().items():
        (DEMO / name).write_text(text, encoding="utf-8", newline="\n")
        print(DEMO / name)


if __name__ == "__main__":
    main()
