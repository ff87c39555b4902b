"""A drawing that differs from its file is found out: a line moved, bent, left out, another sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geometry.drafting.drawing import Drawing, Item, Stroke, Text
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.drawing_svg import write_svg
from geometry.formats.dxf_write import write_drawing_dxf
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line
from recipes.build.read_back import check_drawing_dxf, check_pdf, check_svg

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


def test_pages_lines_and_words_are_counted() -> None:
    assert check_pdf((SHEET,), write_pdf((SHEET, SHEET), title="x")) == ["2 pages, not 1"]
    fewer = replace(SHEET, items=ITEMS[:2])
    assert check_drawing_dxf(SHEET, write_drawing_dxf(fewer)) == ["2 lines, not 3", "0 words, not 1"]  # fmt: skip
    assert check_svg(SHEET, write_svg(fewer).encode()) == ["0 words, not 1"]
    assert check_svg(SHEET, write_svg(replace(SHEET, height_mm=279.4)).encode()) == ["size is 210mm x 279.4mm"]  # fmt: skip
