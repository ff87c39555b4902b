"""A drawing that differs from its file is found out: a line moved, bent, left out, another sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geometry.drafting.drawing import Drawing, Item, Stroke, Text
from geometry.formats.drawing_dxf import write_drawing_dxf
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.drawing_svg import write_svg
from geometry.formats.dxf_write import write_cut_dxf
from geometry.formats.step_write import write_step
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point
from geometry.segment import Arc, Line
from geometry.solids import Extruded
from recipes.build.read_back import check_drawing_dxf, check_dxf, check_pdf, check_step, check_svg
from tests.support.shape import stadium, toothed

A, B, C = Point(31.0, 42.5), Point(77.25, 58.0), Point(52.0, 91.0)
#: A half disc.
BOWED = (Arc(Point(120.0, 40.0), Point(150.0, 40.0), Point(135.0, 40.0), False), Line(Point(150.0, 40.0), Point(120.0, 40.0)))  # fmt: skip
ITEMS: tuple[Item, ...] = (
    Stroke((Line(A, B), Line(B, C)), "visible"),
    Stroke(Outline.circle(Point(101.0, 203.0), 17.3).segments, "visible"),
    Stroke(BOWED, "visible"),
    Text(23.0, 211.0, 3.5, "Nut 4,5 tief"),
)
SHEET = Drawing(210.0, 297.0, ITEMS, "sheet", (1.003, 0.998))


def changed(number: int, item: Item) -> Drawing:
    return replace(SHEET, items=(*ITEMS[:number], item, *ITEMS[number + 1 :]))


def test_a_sheet_is_the_same_as_its_files() -> None:
    assert check_pdf((SHEET, SHEET), write_pdf((SHEET, SHEET), title="two")) == []
    assert check_drawing_dxf(SHEET, write_drawing_dxf(SHEET)) == []
    assert check_svg(SHEET, write_svg(SHEET).encode()) == []


@pytest.mark.parametrize(
    ("drawn", "words"),
    [
        (changed(0, Stroke((Line(A, B), Line(B, Point(52.0, 91.02))), "visible")), "is 0.02"),
        (changed(1, Stroke(Outline.circle(Point(101.0, 203.0), 17.33).segments, "visible")), "off"),
        # the same box, filled out: only the area tells
        (changed(2, Stroke(Outline.rectangle(30.0, 15.0, Point(135.0, 47.5)).segments, "visible")), "an area at"),
        (replace(SHEET, items=ITEMS[1:]), "2 lines, not 3"),
        (replace(SHEET, width_mm=215.9), "is 215.90 x 297.00 mm"),
    ],
)  # fmt: skip
def test_a_page_that_differs_is_found_out(drawn: Drawing, words: str) -> None:
    faults = check_pdf((SHEET,), write_pdf((drawn,), title="other"))
    assert [words in f for f in faults].count(True) >= 1, faults
    assert all(f.startswith("page 1") for f in faults)


#: A sheet with two holes that are no circle and one that is.
HOLES = (Outline.circle(Point(0.6, -0.4), 11.3), stadium(2.9, 0.85).moved(-14.2, 8.3))
PLATE = Part(name="plate", cut=(Region(toothed(), HOLES),), material="steel", thickness=0.5, quantity=1)  # fmt: skip


def plate(hole: Outline) -> Part:
    """The plate with another second hole."""
    return replace(PLATE, cut=(Region(toothed(), (HOLES[0], hole)),))


#: Three micrometres off, and what a loose limit lets by: 0.02 and 0.9 mm.
@pytest.mark.parametrize("off", [3e-6, 0.02, 0.9])
@pytest.mark.parametrize("how", ["moved", "wider", "other arc"])
def test_a_cut_file_and_a_body_that_are_a_little_off_are_found_out(how: str, off: float) -> None:
    slot = HOLES[1]
    other = {
        "moved": slot.moved(off, 0.0),
        "wider": stadium(2.9, 0.85 + off).moved(-14.2, 8.3),
        "other arc": stadium(2.9 + off, 0.85).moved(-14.2, 8.3),
    }[how]
    for unit in ("mm", "in"):
        for version in ("R12", "R2000", "R2010"):
            data = write_cut_dxf(plate(other), version=version, unit=unit)
            assert check_dxf(plate(other), False, data, unit) == []
            assert check_dxf(PLATE, False, data, unit) != []
    wrong = write_step(Extruded(plate(other).cut[0], 0.5), name="plate")
    assert check_step(Extruded(PLATE.cut[0], 0.5), wrong) != []
    assert check_step(Extruded(plate(other).cut[0], 0.5), wrong) == []


def test_a_body_of_another_height_is_found_out() -> None:
    data = write_step(Extruded(PLATE.cut[0], 0.5), name="plate")
    assert check_step(Extruded(PLATE.cut[0], 0.50001), data)[:1] == ["length 0.500000 mm, not 0.500010 mm"]  # fmt: skip


def test_pages_lines_and_words_are_counted() -> None:
    assert check_pdf((SHEET,), write_pdf((SHEET, SHEET), title="x")) == ["2 pages, not 1"]
    fewer = replace(SHEET, items=ITEMS[:2])
    assert check_drawing_dxf(SHEET, write_drawing_dxf(fewer)) == ["2 lines, not 3", "0 words, not 1"]  # fmt: skip
    assert check_svg(SHEET, write_svg(fewer).encode()) == ["0 words, not 1"]
    assert check_svg(SHEET, write_svg(replace(SHEET, height_mm=279.4)).encode()) == ["size is 210mm x 279.4mm"]  # fmt: skip
