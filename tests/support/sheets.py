"""What every dimensioned drawing must keep, whatever it shows."""

from __future__ import annotations

from typing import Any

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.legible import legibility
from geometry.drafting.sheet import BLOCK_HEIGHT, BLOCK_WIDTH
from geometry.printing.page import live_box
from recipes.motor import Motor

#: Landscape sheets, mm: ISO 216 A4 and A3; ANSI/ASME Y14.1 size A, 8.5 x 11 in.
PAPERS = {(297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (279.4, 215.9)}

#: Scales of ISO 5455:1979 table 1.
SCALES = {
    *(f"{n}:1" for n in (50, 20, 10, 5, 2, 1)),
    *(f"1:{n}" for n in (2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)),
}

#: Data fields of ISO 7200 that a title block names.
FIELDS = {
    "Legal owner", "Number", "Date of issue", "Sheet", "Title", "Approved by", "Created by",
    "Document type", "Revision",
}  # fmt: skip


def spots(item: Item) -> list[tuple[float, float]]:
    """Corners of the box of an item, mm."""
    if isinstance(item, Stroke):
        boxes = [s.box() for s in item.segments]
    elif isinstance(item, Fill):
        boxes = [loop.box for loop in item.loops]
    else:
        return list(item.corners())
    return [p for b in boxes for p in ((b[0], b[1]), (b[2], b[3]))]


def faults(sheet: Drawing, j: Motor) -> list[str]:
    """Everything that breaks a rule for drawings, in words."""
    found = [f.message for f in legibility(sheet)]
    if (sheet.width_mm, sheet.height_mm) not in PAPERS:
        found.append(f"no paper measures {sheet.width_mm} x {sheet.height_mm}")
    if j.design.print.page == "Letter" and sheet.width_mm == 297.0:
        found.append("A4 although the design prints on Letter")
    found += [f"small: {t.text}" for t in sheet.texts if t.height_mm < SMALLEST_TEXT]
    right, top = sheet.width_mm - 10.0, sheet.height_mm - 10.0  # frame of ISO 5457
    for item in sheet.items:
        for x, y in spots(item):
            if not (20 - 1e-6 <= x <= right + 1e-6 and 10 - 1e-6 <= y <= top + 1e-6):
                found.append(f"outside the frame: {getattr(item, 'text', item)}")
    said = [t.text for t in sheet.texts]
    block = [t.text for t in sheet.texts if t.x > right - BLOCK_WIDTH and t.y < 10 + BLOCK_HEIGHT]
    found += [f"no field {name}" for name in sorted(FIELDS - set(block))]
    if j.revision not in block:
        found.append("the revision is missing")
    if not SCALES & set(block):
        found.append("the scale is none of ISO 5455")
    for text in said:
        named = text.split("(")[-1].split(")")[0] if "(" in text else ""
        if named.replace(":", "").isdigit() and ":" in named and named not in SCALES:
            found.append(f"the scale of {text!r} is none of ISO 5455")
    if ("[" in "".join(said)) != (j.design.units == "in"):
        found.append("inches in brackets where none are wanted, or none where they are")
    return found


def assert_read_on_paper(sheet: Drawing, page: Any) -> None:
    """Assert that a printed sheet of words can be read, and that no printer cuts any of them off."""
    x0, y0, x1, y1 = live_box(page)
    assert legibility(sheet) == []
    assert min(t.height_mm for t in sheet.texts) >= SMALLEST_TEXT
    for text in sheet.texts:
        for x, y in text.corners():
            assert x0 - 0.1 <= x <= x1 + 0.1
            assert y0 - 0.1 <= y <= y1 + 0.1, text.text
