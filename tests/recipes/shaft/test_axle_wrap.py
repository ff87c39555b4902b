"""The axle wrap: measured in the PDF, rolled back onto the axle, and read as at the bench."""

from __future__ import annotations

import io
import math

import numpy as np
import pdfplumber
import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from geometry.drafting.drawing import Drawing, Stroke
from geometry.drafting.legible import legibility
from geometry.formats.drawing_pdf import write_pdf
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.shaft.axle_wrap import Wrap, axle_wraps, slot_edge
from recipes.shaft.sections import drill_centres
from tests.support.design import STARTERS, job

MM = 25.4 / 72

MARKED = {
    "axle__flats": [{"from_face": 0.0, "length": 13.7, "across": 13.1, "angle": 23.0}],
    "axle__grooves": [{"from_face": 109.3, "width": 1.1, "diameter": 13.4}],
}


def pages(j: Motor) -> list[Drawing]:
    return list(Parts(j)["axle_wrap"][0].drawings)


def wraps_of(j: Motor) -> tuple[Wrap, ...]:
    d = j.design
    return axle_wraps(d.axle, j.sections, d.hub.keyway, d.print.paper_thickness)


def cut_boxes(page: Drawing) -> list[tuple[float, float, float, float]]:
    """Boxes of the wraps, from the PDF's own coordinates, mm."""
    with pdfplumber.open(io.BytesIO(write_pdf([page], title="x"))) as pdf:
        found = []
        for shape in [*pdf.pages[0].rects, *pdf.pages[0].curves]:
            if abs(shape["linewidth"] * MM - 0.35) < 0.01:
                found.append(tuple(float(shape[k]) * MM for k in ("x0", "y0", "x1", "y1")))
    return found  # type: ignore[return-value] # four numbers


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("paper", [0.1, 0.27])
def test_the_paper_is_once_round_at_its_own_middle(name: str, paper: float) -> None:
    """pi x (d + paper), survey of the trade; measured in the file to 0.05 mm."""
    j = job(name, print__paper_thickness=f"{paper} mm")
    bore = j.design.lamination.bore_diameter  # the slot of all three lies on a land of that size
    ((x0, _, x1, _),) = cut_boxes(pages(j)[0])
    assert x1 - x0 == pytest.approx(math.pi * (bore + paper), abs=0.05)


def test_lengths_along_the_axle_are_those_of_the_design() -> None:
    """Potter's wheel, by hand: land and seat of 30 from 36 to the collar at 94; slot 44 to 66, 8 wide."""
    j = job()
    (wrap,) = wraps_of(j)
    assert (wrap.start, wrap.end, wrap.edge, wrap.against) == (36.0, 94.0, "end", "shoulder")
    ((_, y0, _, y1),) = cut_boxes(pages(j)[0])
    assert y1 - y0 == pytest.approx(58.0, abs=0.05)
    assert drill_centres(j.design.axle.wire_slot) == pytest.approx((48.0, 62.0))
    said = " ".join(t.text for t in pages(j)[0].texts)
    for words in ("46", "48", "32", "62", "⌀8", "this edge to shoulder", "seam", "90°", "key seat"):
        assert words in said, words


def on_axle(wrap: Wrap, x: float, y: float) -> np.ndarray:
    """Roll the paper on: face A up, printed side out, its left edge at the seam.

    Axes right-handed: x right and y up as seen on face A, w out of it, towards the viewer.
    """
    around = math.radians(wrap.seam)
    outward = np.array([math.cos(around), math.sin(around), 0.0])
    up = np.array([0.0, 0.0, 1.0])  # on the paper, face A is up
    right = np.cross(up, outward)  # right x up = towards whoever looks at the print
    turn = 2 * math.pi * x / wrap.width
    spoke = math.cos(turn) * outward + math.sin(turn) * right
    return wrap.diameter / 2 * spoke + up * (y - wrap.end)


@pytest.mark.parametrize("angle", [0.0, 23.0, -135.0, 300.0])
def test_the_slot_rolled_on_is_the_slot_that_is_milled(angle: float) -> None:
    """Every point of its edge lies on a round-ended slot across the axle, in the design's direction."""
    j = job("kayak-thruster", axle__wire_slot__angle=angle)
    (wrap,) = wraps_of(j)
    slot = j.design.axle.wire_slot
    toward = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle)), 0.0])
    aside = np.cross([0.0, 0.0, 1.0], toward)
    low, high = (-z for z in reversed(drill_centres(slot)))
    for x, y in slot_edge(wrap, slot.width):
        p = on_axle(wrap, x, y)
        assert p @ toward > 0
        along = np.clip(p[2], low, high)
        assert math.hypot(p @ aside, p[2] - along) == pytest.approx(slot.width / 2, abs=1e-9)
    spots = [(x, y) for x, y in slot_edge(wrap, slot.width)]
    assert Polygon(spots).bounds[3] == pytest.approx(wrap.y(slot.from_face), abs=1e-9)


def test_chords_of_the_slot_stray_less_than_a_hundredth() -> None:
    (wrap,) = wraps_of(job())
    fine = slot_edge(wrap, 8.0)
    shape = Polygon(fine)
    r, half = 15.0, 4.0
    x0, top = wrap.x(wrap.slot.angle if wrap.slot else 0.0), wrap.y(44.0) - half
    for k in range(200):
        u = math.pi * (k / 199 - 0.5)
        exact = (x0 + (15.05) * math.asin(half * math.sin(u) / r), top + half * math.cos(u))
        assert shape.exterior.distance(Spot(exact)) < 0.01


def test_flats_end_where_the_plane_leaves_the_cylinder() -> None:
    """Across 13.1 on a diameter of 14.8: half the angle is acos(13.1 / 14.8)."""
    j = job("kayak-thruster", **MARKED)
    first, _, last = wraps_of(j)
    assert first.diameter == pytest.approx(14.8)
    flats = [m for m in first.marks if m.name == "flat"]
    assert [m.angle % 360 for m in flats] == [23.0, 203.0]
    for mark in flats:
        assert mark.half == pytest.approx(math.acos(13.1 / 14.8))
        edge = first.x(mark.angle) + mark.half / (2 * math.pi) * first.width
        p = on_axle(first, edge, first.y(5.0))
        normal = np.array(
            [math.cos(math.radians(mark.angle)), math.sin(math.radians(mark.angle)), 0]
        )
        assert p @ normal == pytest.approx(13.1 / 2)
    assert (first.edge, first.against) == ("start", "face A")
    (groove,) = last.marks
    assert groove.name == "groove"
    assert [groove.start, groove.end] == pytest.approx([109.3, 110.4])
    assert last.against == "face B"


def test_marks_are_drawn_where_the_wrap_says() -> None:
    j = job("kayak-thruster", **MARKED)
    (page,) = pages(j)
    (box, *_) = sorted(cut_boxes(page), key=lambda b: -b[3])
    first = wraps_of(j)[0]
    upright = [
        s.segments[0].start.x - box[0]
        for s in page.strokes
        if s.style == "mark" and len(s.segments) == 1
        and abs(s.segments[0].start.x - s.segments[0].end.x) < 1e-9
        and s.segments[0].length == pytest.approx(13.7)
    ]  # fmt: skip
    expected = [
        (first.x(m.angle) + side * m.half / (2 * math.pi) * first.width) % first.width
        for m in first.marks for side in (-1, 1)
    ]  # fmt: skip
    assert sorted(upright) == pytest.approx(sorted(expected), abs=0.01)


def test_a_low_step_is_no_shoulder() -> None:
    """14.8 beside a seat of 15: a tenth of a millimetre stops no paper, so the wrap goes by the face."""
    assert wraps_of(job("kayak-thruster", **MARKED))[2].against == "face B"


@pytest.mark.parametrize("name", STARTERS)
def test_pages_can_be_read(name: str) -> None:
    for page in pages(job(name)):
        assert [f.message for f in legibility(page)] == []


def test_a_wrap_wider_than_any_page_comes_on_tiles_of_the_same_width() -> None:
    j = job(
        "kayak-thruster", lamination__bore_diameter=170, lamination__outer_diameter=300,
        axle__land_diameter=170, axle__stock_diameter=195, axle__shoulder__diameter=190,
    )  # fmt: skip
    made = pages(j)
    assert "map" in made[0].title
    ends = [
        s.segments[0].start
        for p in made for s in p.strokes
        if s.style == "cut" and isinstance(s, Stroke) and len(s.segments) == 3
    ]  # fmt: skip
    assert ends  # the rectangle, open at the border of its first and last tile
    assert [f.message for p in made for f in legibility(p)] == []


def test_correction_of_the_printer_reaches_the_page() -> None:
    j = job(print__measured_x=98.9, print__measured_y=101.3)
    ((x0, y0, x1, y1),) = cut_boxes(pages(j)[0])
    assert (x1 - x0) * 0.989 == pytest.approx(math.pi * 30.1, abs=0.05)
    assert (y1 - y0) * 1.013 == pytest.approx(58.0, abs=0.05)
